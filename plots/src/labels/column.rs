//! Names in a column, each as near as may be to its wanted height.

/// Tops of blocks of the given wanted centre and height, kept in order, `gap` px apart and between `top`
/// and `bottom`. The sum of the squares of their shifts is least (pooling of adjacent violators, Ayer et
/// al. 1955), before the column's ends are taken into account.
///
/// Returns nothing if the blocks do not fit.
pub fn spread(wanted: &[(f64, f64)], gap: f64, top: f64, bottom: f64) -> Option<Vec<f64>> {
    let needed: f64 = wanted.iter().map(|(_, height)| height + gap).sum::<f64>() - gap;
    if wanted.is_empty() || needed > bottom - top {
        return wanted.is_empty().then(Vec::new);
    }
    // Each pool: how many blocks, the sum of the tops they would like, their height with gaps.
    let mut pools: Vec<(usize, f64, f64)> = Vec::new();
    for (centre, height) in wanted {
        let mut pool = (1, centre - height / 2.0, height + gap);
        while let Some(&(count, sum, size)) = pools.last() {
            let mean = |(count, sum, _): (usize, f64, f64)| sum / count as f64;
            if mean((count, sum, size)) + size <= mean(pool) {
                break;
            }
            pools.pop();
            // The lower pool's wishes, told as wishes for the top of the joined pool.
            pool = (count + pool.0, sum + pool.1 - pool.0 as f64 * size, size + pool.2);
        }
        pools.push(pool);
    }
    let mut heights = wanted.iter().map(|(_, height)| height + gap);
    let mut tops = Vec::with_capacity(wanted.len());
    let mut floor = top;
    for (count, sum, size) in pools {
        let mut next = (sum / count as f64).max(floor);
        floor = next + size;
        for _ in 0..count {
            tops.push(next);
            next += heights.next().unwrap_or(0.0);
        }
    }
    // Whatever hangs below the bottom is pushed up, from the last block.
    let mut ceiling = bottom;
    for (found, (_, height)) in tops.iter_mut().zip(wanted).rev() {
        *found = found.min(ceiling - height);
        ceiling = *found - gap;
    }
    Some(tops)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn closed_form_two_equal_wishes_share_the_shift() {
        assert_eq!(spread(&[(50.0, 10.0), (50.0, 10.0)], 2.0, 0.0, 100.0), Some(vec![39.0, 51.0]));
    }

    #[test]
    fn closed_form_the_ends_hold() {
        assert_eq!(spread(&[(0.0, 10.0), (0.0, 10.0)], 0.0, 0.0, 100.0), Some(vec![0.0, 10.0]));
        assert_eq!(spread(&[(100.0, 10.0), (100.0, 10.0)], 0.0, 0.0, 100.0), Some(vec![80.0, 90.0]));
        assert_eq!(spread(&[(5.0, 60.0), (5.0, 60.0)], 0.0, 0.0, 100.0), None);
    }

    #[test]
    fn property_blocks_never_overlap() {
        for seed in 0..200_u32 {
            let wish = |i: u32| f64::from((seed * 7919 + i * i * 104_729) % 997);
            let mut wanted: Vec<(f64, f64)> =
                (0..12).map(|i| (wish(i), 20.0 + wish(i + 50) % 31.0)).collect();
            wanted.sort_by(|a, b| a.0.total_cmp(&b.0));
            let tops = spread(&wanted, 3.0, 0.0, 700.0).unwrap_or_default();
            assert_eq!(tops.len(), 12, "seed {seed}");
            let mut floor = 0.0;
            for (top, (_, height)) in tops.iter().zip(&wanted) {
                assert!(*top >= floor - 1e-9 && top + height <= 700.0 + 1e-9, "seed {seed}: {tops:?}");
                floor = top + height + 3.0;
            }
        }
    }
}
