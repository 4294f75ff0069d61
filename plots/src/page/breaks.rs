//! Breaking a paragraph into lines, over the whole paragraph at once.
//!
//! D. E. Knuth and M. F. Plass, Breaking Paragraphs into Lines, Software: Practice and Experience 11 (1981) 1119–1184: of all ways
//! to break the paragraph, the one with the least sum of demerits, found by dynamic programming. Set ragged right, a line of
//! natural width w on a measure m is looser by r = (m − w)/z, with z the depth of a good rag; its badness is 100·r³ and its
//! demerits are (1 + badness)². The last line may be short, but not shorter than the least one.

/// Depth of a good rag, as a share of the measure.
const RAG: f64 = 0.12;
/// The shortest last line that is no eyesore, as a share of the measure.
const SHORTEST_LAST: f64 = 0.22;
/// Demerits of a last line that is shorter: more than those of any rag.
const STUB: f64 = 1e8;
/// Demerits of a word wider than the measure; it stands on a line of its own.
const OVERFULL: f64 = 1e12;
/// Rounding of widths that is not yet overfull, pt.
const SLACK: f64 = 1e-6;

/// A word as breaking sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// Width of the space before it, pt; nothing at the head of a line.
    pub space: f64,
    /// Its own width, pt.
    pub width: f64,
}

/// The number of the first word of each line but the first. `indent` shortens the first line, pt.
pub fn breaks(words: &[Measured], measure: f64, indent: f64) -> Vec<usize> {
    let count = words.len();
    // Least demerits of breaking words[..end], and where the last of those lines begins.
    let mut best: Vec<(f64, usize)> = vec![(0.0, 0)];
    for end in 1..=count {
        let mut found = (f64::INFINITY, end - 1);
        let mut width = 0.0;
        for start in (0..end).rev() {
            let Some(word) = words.get(start) else { continue };
            let space_after = words.get(start + 1).filter(|_| start + 1 < end).map_or(0.0, |next| next.space);
            width += word.width + space_after;
            let room = if start == 0 { measure - indent } else { measure };
            if width > room + SLACK && end - start > 1 {
                break;
            }
            let before = best.get(start).map_or(f64::INFINITY, |(sum, _)| *sum);
            let total = before + demerits(width, room, end == count);
            if total < found.0 {
                found = (total, start);
            }
        }
        best.push(found);
    }
    let mut starts = Vec::new();
    let mut end = count;
    while let Some(&(_, start)) = best.get(end).filter(|_| end > 0) {
        if start > 0 {
            starts.push(start);
        }
        end = start;
    }
    starts.reverse();
    starts
}

/// Demerits of a line.
pub fn demerits(width: f64, room: f64, is_last: bool) -> f64 {
    if width > room + SLACK {
        return OVERFULL;
    }
    if is_last {
        return if width < SHORTEST_LAST * room { STUB } else { 1.0 };
    }
    let looseness = (room - width).max(0.0) / (RAG * room);
    (1.0 + 100.0 * looseness.powi(3)).powi(2)
}
