//! The sheets are true to scale, and no words stand on others.

use super::*;

fn label(metric: &str, inch: &str) -> Label {
    Label { upper: metric.into(), lower: inch.into() }
}

fn title() -> TitleBlock {
    TitleBlock {
        part: "Sleeve".into(),
        machine: "Alder caster, Lower Quoin".into(),
        material: "bright mild steel".into(),
        finish: "turned; burrs off, edges broken".into(),
        tolerances: "± 0.20 mm, ± 0.0079 in".into(),
        dimensions: "mm, [inches]".into(),
        in_inches: false,
        drawing: "large_initials-1".into(),
        source: "large_initials.toml".into(),
        quantity: 1,
        date: String::new(),
        number: (1, 2),
    }
}

fn sheet(view: PartView, note: &str, notes: usize) -> Sheet {
    Sheet {
        figure: Figure::Part(view),
        notes: vec![note.into(); notes],
        title: title(),
        paper: Paper::A4,
        projection: Projection::First,
        forbidden: None,
    }
}

/// The part that a sheet shows.
fn view(sheet: &mut Sheet) -> &mut PartView {
    match &mut sheet.figure {
        Figure::Part(view) => view,
        Figure::Assembly(_) => panic!("a part"),
    }
}

/// A sleeve with a register: length, register's length, outside, register's diameter, bore, mm.
fn sleeve([long, register, outside, middle, bore]: [f64; 5]) -> Sheet {
    let step =
        |length, diameter, chamfers| OutsideStep { length, diameter, chamfers, surface: Surface::Plain };
    let both =
        |mm: f64| label(&format!("{mm:.2} ± 0.39"), &format!("[{:.4} ± 0.0156 ≈ 2 11/64 in]", mm / 25.4));
    let frame =
        Some(ToleranceFrame { characteristic: Characteristic::Square, value: "0.05".into(), datum: 'A' });
    let callout = |at: (f64, f64), text: &str| Callout { at, text: text.into(), frame: frame.clone() };
    let view = PartView {
        part: TurnedPart {
            outside: vec![step(long, outside, (0.02 * outside, 0.0)), step(register, middle, (0.0, 0.0))],
            bore: vec![BoreStep { length: long + register, diameter: bore, thread: None, countersink: 0.0 }],
            sectioned: long + register,
        },
        lengths: vec![
            LengthDimension { from: 0.0, to: long, label: both(long) },
            LengthDimension { from: long, to: long + register, label: both(register) },
        ],
        diameters: [outside, middle, bore]
            .into_iter()
            .map(|d| DiameterDimension {
                diameter: d,
                label: both(d),
                datum: d.total_cmp(&bore).is_eq().then_some('A'),
            })
            .collect(),
        callouts: vec![
            callout((0.0, 0.4 * outside), "Spring end, for the abutment; chamfers 0.5 × 45°"),
            callout((long, 0.5 * outside), "Shoulder, seats on the cross block"),
            callout((long + 0.5 * register, 0.5 * middle), "Register, to fit its recess"),
        ],
    };
    sheet(view, "Burrs off, edges broken. A burr in the bore scores the rod.", 5)
}

/// A stud with a threaded socket, flats and a thread.
fn stud(scale: f64) -> Sheet {
    let of = |mm: f64| mm * scale;
    let step = |length: f64, diameter: f64, chamfers, surface| OutsideStep {
        length: of(length),
        diameter: of(diameter),
        chamfers,
        surface,
    };
    let span = |from: f64, to: f64| LengthDimension {
        from: of(from),
        to: of(to),
        label: label(
            &format!("{:.2}", of(to - from)),
            &format!("[{:.4} ≈ 2 11/64 in]", of(to - from) / 25.4),
        ),
    };
    let callout =
        |at: (f64, f64), text: &str| Callout { at: (of(at.0), of(at.1)), text: text.into(), frame: None };
    let view = PartView {
        part: TurnedPart {
            outside: vec![
                step(34.0, 20.0, (of(0.5), 0.0), Surface::Plain),
                step(12.0, 20.0, (0.0, 0.0), Surface::Flats(of(17.0))),
                step(36.0, 12.0, (0.0, of(1.0)), Surface::Thread(of(9.85))),
            ],
            bore: vec![
                BoreStep {
                    length: of(12.0),
                    diameter: of(10.1),
                    thread: Some(of(12.0)),
                    countersink: of(1.0),
                },
                BoreStep { length: of(4.4), diameter: of(12.4), thread: None, countersink: 0.0 },
            ],
            sectioned: of(22.0),
        },
        lengths: vec![span(0.0, 16.4), span(34.0, 46.0), span(46.0, 82.0), span(16.4, 82.0), span(0.0, 82.0)],
        diameters: vec![DiameterDimension {
            diameter: of(20.0),
            label: label("Ø 20.00", "[0.7874 ≈ 25/32 in]"),
            datum: Some('A'),
        }],
        callouts: vec![
            callout((6.0, 5.0), "M12 × 1.75, thread 12.00 mm [≈ 15/32 in] deep"),
            callout((14.0, 6.2), "Groove Ø 12.40 × 4.38 mm; flat bottom, the rod’s end seats here"),
            callout((40.0, 8.5), "2 flats for a spanner, 17.00 mm [≈ 43/64 in] across"),
            callout((64.0, 6.0), "M12 × 1.75 for the nut"),
        ],
    };
    sheet(view, "Let the springs’ force off before you undo nuts.", 6)
}

/// Two pieces in two poses.
fn assembly(scale: f64) -> Sheet {
    let round = |at: f64, long: f64, inner: f64, outer: f64| Piece {
        at: scale * at,
        shape: Shape::Found(scale * long, scale * inner, scale * outer),
    };
    let rod = Piece { at: -20.0 * scale, shape: Shape::Rod(140.0 * scale, 12.0 * scale) };
    let spring = Piece { at: 60.0 * scale, shape: Shape::Spring(80.0 * scale, 30.0 * scale, 3.0 * scale, 9) };
    let span = |from: f64, to: f64| LengthDimension {
        from: scale * from,
        to: scale * to,
        label: label(&format!("{:.2}", scale * (to - from)), "free at rest"),
    };
    let name = |at: (f64, f64), text: &str| Callout {
        at: (scale * at.0, scale * at.1),
        text: text.into(),
        frame: None,
    };
    let pose = |callouts: Vec<Callout>| Pose {
        caption: "The rod held over the whole lift, as by a frozen nozzle".into(),
        pieces: vec![
            round(-16.0, 16.0, 12.0, 40.0),
            round(0.0, 55.0, 12.0, 20.0),
            rod.clone(),
            spring.clone(),
        ],
        lengths: vec![span(0.0, 55.0), span(60.0, 62.0), span(60.0, 140.0)],
        callouts,
    };
    let names = vec![
        name((-8.0, 20.0), "cross block"),
        name((20.0, 10.0), "sleeve"),
        name((57.0, 10.0), "abutment"),
        name((100.0, 15.0), "springs"),
        name((110.0, 6.0), "rod extension"),
        name((120.0, 6.0), "adjusting nut"),
    ];
    Sheet { figure: Figure::Assembly(vec![pose(names), pose(Vec::new())]), ..stud(1.0) }
}

fn sheets() -> Vec<Sheet> {
    let mut sheets: Vec<Sheet> = [0.3, 0.7, 1.0, 1.6, 3.0, 6.0].into_iter().map(stud).collect();
    sheets.extend([
        sleeve([68.26, 3.0, 22.2, 17.5, 13.1]),
        sleeve([10.0, 1.0, 22.0, 17.5, 13.0]),
        sleeve([3.0, 0.5, 10.0, 8.0, 6.0]),
        sleeve([500.0, 20.0, 60.0, 50.0, 31.0]),
        sleeve([120.0, 40.0, 140.0, 100.0, 60.0]),
        sleeve([300.0, 1.0, 9.0, 8.0, 6.0]),
        assembly(0.5),
        assembly(1.0),
        assembly(3.0),
    ]);
    let letter =
        |sheet: &Sheet| Sheet { paper: Paper::Letter, projection: Projection::Third, ..sheet.clone() };
    let forbidden =
        |sheet: &Sheet| Sheet { forbidden: Some("The latch never lets go. ".repeat(9)), ..sheet.clone() };
    let more: Vec<Sheet> = sheets.iter().map(letter).chain(sheets.iter().map(forbidden)).collect();
    sheets.extend(more);
    sheets
}

fn good<T>(result: Result<T, PlotError>) -> T {
    result.unwrap_or_else(|error| panic!("{error}"))
}

/// Points of the paths with a pen in a group of the SVG.
fn paths(svg: &str, group: &str, pen: &str) -> Vec<Vec<(f64, f64)>> {
    let document = usvg::roxmltree::Document::parse(svg).unwrap_or_else(|error| panic!("{error}"));
    document
        .descendants()
        .filter(|node| node.attribute("class") == Some(pen))
        .filter(|node| node.ancestors().any(|above| above.attribute("id") == Some(group)))
        .filter_map(|node| node.attribute("d"))
        .filter(|d| !d.contains('a'))
        .map(|d| {
            // A place, then steps.
            let numbers = d.replace('-', " -").replace(['M', 'l', 'Z'], " ");
            let numbers: Vec<f64> = numbers.split(' ').filter_map(|word| word.parse().ok()).collect();
            let steps = numbers.chunks_exact(2).map(|pair| (pair[0], pair[1]));
            steps
                .scan((0.0, 0.0), |here, step| {
                    *here = (here.0 + step.0, here.1 + step.1);
                    Some(*here)
                })
                .collect()
        })
        .collect()
}

#[test]
fn property_no_words_overlap_or_leave_the_frame() {
    for (n, sheet) in sheets().iter().enumerate() {
        let texts = good(sheet.texts());
        assert!(texts.len() > 20, "sheet {n}");
        for (k, text) in texts.iter().enumerate() {
            let (left, top, right, bottom) = text.bounds();
            let frame = super::page::Border::of(sheet.paper);
            let inside =
                left >= frame.left && top >= frame.top && right <= frame.right && bottom <= frame.bottom;
            assert!(inside, "sheet {n}: {text:?}");
            for other in texts.iter().skip(k + 1) {
                assert!(!text.overlaps(other), "sheet {n}:\n{text:?}\n{other:?}");
            }
        }
    }
}

#[test]
fn closed_form_edges_are_as_long_as_the_part_at_its_scale() {
    for (n, mut sheet) in sheets().into_iter().enumerate() {
        if matches!(sheet.figure, Figure::Assembly(_)) {
            continue;
        }
        let scale = good(sheet.scale()).factor();
        let edges = paths(&good(sheet.svg()), "side-view", "edge");
        let all: Vec<(f64, f64)> = edges.into_iter().flatten().collect();
        let span = |of: fn(&(f64, f64)) -> f64| {
            let values = all.iter().map(of);
            values.clone().fold(f64::NEG_INFINITY, f64::max) - values.fold(f64::INFINITY, f64::min)
        };
        // Coordinates are written to 0.0001 mm.
        let part = view(&mut sheet).part.clone();
        let long = span(|p| p.0);
        // A broken part is shorter on paper than it is, and has two free-hand lines more.
        let is_broken = long < scale * part.length() - 3e-4;
        assert!(long < scale * part.length() + 3e-4, "sheet {n}");
        assert!(!is_broken || scale <= 1.0, "sheet {n} is broken at {scale}");
        assert!((span(|p| p.1) - scale * part.greatest_diameter()).abs() < 3e-4, "sheet {n}");
    }
}

#[test]
fn closed_form_extension_lines_stand_as_far_apart_as_the_dimension_says() {
    let sheet = sleeve([68.26, 3.0, 22.2, 17.5, 13.1]);
    assert_eq!(good(sheet.scale()), Scale { paper: 1, part: 1 });
    let mut upright: Vec<f64> = paths(&good(sheet.svg()), "lengths", "thin")
        .into_iter()
        .filter(|line| matches!(line.as_slice(), [a, b] if (a.0 - b.0).abs() < 1e-9))
        .filter_map(|line| Some(line.first()?.0))
        .collect();
    upright.sort_by(f64::total_cmp);
    upright.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
    let gaps: Vec<f64> = upright.windows(2).map(|pair| pair[1] - pair[0]).collect();
    assert!(
        matches!(gaps.as_slice(), [a, b] if (a - 68.26).abs() < 3e-4 && (b - 3.0).abs() < 3e-4),
        "{gaps:?}"
    );
}

/// Words of a length stand between its arrows, or begin or end beside one of them; and the arrows stand as far apart as they say.
#[test]
fn property_the_words_of_a_length_stand_in_its_span_or_beside_it() {
    for (n, mut sheet) in sheets().into_iter().enumerate() {
        if matches!(sheet.figure, Figure::Assembly(_)) {
            continue;
        }
        let lengths = view(&mut sheet).lengths.clone();
        let page = good(super::sheet::compose(&sheet, &good(Fonts::load())));
        let group = page.groups.iter().find(|group| group.name == "lengths").expect("lengths");
        let tips = group.marks.iter().filter_map(|mark| match mark {
            super::page::Mark::Fill(corners) => corners.first().map(|tip| tip.0),
            _ => None,
        });
        let tips: Vec<f64> = tips.collect();
        assert_eq!((tips.len(), group.texts.len()), (2 * lengths.len(), 2 * lengths.len()), "sheet {n}");
        for ((tips, words), length) in tips.chunks(2).zip(group.texts.chunks(2)).zip(&lengths) {
            let (from, to) = (tips[0], tips[1]);
            let (left, right) = (words[0].x, words[0].x + words[0].width);
            let beside = (left - to).abs() < 6.0 || (from - right).abs() < 6.0;
            assert!(left > from && right < to || beside, "sheet {n}: {length:?} {from} {to} {left} {right}");
        }
        // No line of the group crosses words of it but the one that they stand on.
        for mark in &group.marks {
            let super::page::Mark::Line { points, .. } = mark else { continue };
            let (a, b) = (points[0], points[1]);
            for text in &group.texts {
                let (left, top, right, bottom) = text.bounds();
                let upright = (a.0 - b.0).abs() < 1e-9;
                let crosses =
                    upright && a.0 > left && a.0 < right && a.1.min(b.1) < bottom && a.1.max(b.1) > top;
                assert!(!crosses, "sheet {n}: {text:?} {points:?}");
            }
        }
    }
}

#[test]
fn closed_form_a_part_too_long_for_full_size_is_broken_and_its_view_is_not() {
    let mut sheet = sleeve([300.0, 3.0, 22.2, 17.5, 13.1]);
    assert_eq!(good(sheet.scale()), Scale { paper: 1, part: 1 });
    let svg = good(sheet.svg());
    // The two free-hand lines; the hatching stops at them.
    assert_eq!(paths(&svg, "side-view", "thin").len(), 2);
    let lines = paths(&svg, "side-view", "thin");
    let (left, right) = (lines[0][0].0, lines[1][0].0);
    assert!((right - left - 3.0).abs() < 3e-4, "{left} {right}");
    for stroke in paths(&svg, "side-view", "hatch") {
        assert!(stroke.iter().all(|p| p.0 <= left + 1e-3 || p.0 >= right - 1e-3), "{stroke:?}");
    }
    view(&mut sheet).part.outside.swap(0, 1);
    assert!(sheet.svg().is_ok());
}

#[test]
fn closed_form_third_angle_shows_the_right_end_on_the_right() {
    // Seen from its threaded end a stud shows its flats; from its socket they lie behind.
    let visible = |projection| {
        let svg = good(Sheet { projection, ..stud(1.0) }.svg());
        paths(&svg, "end-view", "edge").len()
    };
    assert_eq!((visible(Projection::First), visible(Projection::Third)), (0, 2));
}

#[test]
fn property_a_sheet_that_is_not_to_be_made_from_says_so_across_it() {
    let sheet = Sheet { forbidden: Some("The latch never lets go.".into()), ..stud(1.0) };
    let texts = good(sheet.texts());
    assert!(texts.iter().any(|text| text.text == "NOT FOR MAKING"));
    assert!(texts.iter().any(|text| text.text == "The latch never lets go."));
    let strikes = paths(&good(sheet.svg()), "forbidden", "frame");
    let slanting = strikes.iter().filter(|line| line.len() == 2 && (line[0].1 - line[1].1).abs() > 100.0);
    assert_eq!(slanting.count(), 2);
    assert!(!good(stud(1.0).texts()).iter().any(|text| text.text == "NOT FOR MAKING"));
}

#[test]
fn closed_form_paper_is_as_large_as_it_is_sold() {
    for (paper, size) in
        [(Paper::A4, "width='210mm' height='297mm'"), (Paper::Letter, "width='215.9mm' height='279.4mm'")]
    {
        let svg = good(Sheet { paper, ..stud(1.0) }.svg());
        assert!(svg.contains(size), "{}", &svg[..300]);
    }
}

#[test]
fn closed_form_hatching_stays_in_the_wall() {
    let sheet = sleeve([68.26, 3.0, 22.2, 17.5, 13.1]);
    let svg = good(sheet.svg());
    let axis = paths(&svg, "side-view", "axis");
    let height = axis.first().and_then(|line| line.first()).map_or(f64::NAN, |point| point.1);
    let strokes = paths(&svg, "side-view", "hatch");
    assert!(strokes.len() > 40);
    for (_, y) in strokes.into_iter().flatten() {
        let radius = (y - height).abs();
        assert!((0.5 * 13.1 - 1e-3..=0.5 * 22.2 + 1e-3).contains(&radius), "{radius}");
    }
}

#[test]
fn closed_form_only_a_part_cut_in_part_has_a_broken_edge() {
    // 10 + 3.175 is not what 13.175 rounds to; a thread would be the only other thin line.
    for numbers in [[10.0, 3.175, 22.225, 17.4625, 13.096875], [68.2625, 3.175, 22.225, 17.4625, 13.096875]] {
        let mut sheet = sleeve(numbers);
        view(&mut sheet).part.sectioned = (numbers[0] * 1e-3 + numbers[1] * 1e-3) * 1e3 - 1e-12;
        assert!(paths(&good(sheet.svg()), "side-view", "thin").is_empty(), "{numbers:?}");
        view(&mut sheet).part.sectioned = 0.5 * numbers[0];
        assert_eq!(paths(&good(sheet.svg()), "side-view", "thin").len(), 1, "{numbers:?}");
    }
}

#[test]
fn closed_form_first_angle_symbol_has_its_small_end_away_from_the_circles() {
    // In first-angle projection the view from the left stands on the right; from the small end both circles are seen.
    let svg = good(stud(1.0).svg());
    let cone =
        paths(&svg, "title-block", "edge").into_iter().find(|line| line.len() == 5).unwrap_or_default();
    let height = |x: f64| {
        let at: Vec<f64> = cone.iter().filter(|p| (p.0 - x).abs() < 1e-6).map(|p| p.1).collect();
        at.iter().copied().fold(f64::NEG_INFINITY, f64::max)
            - at.iter().copied().fold(f64::INFINITY, f64::min)
    };
    let left = cone.iter().map(|p| p.0).fold(f64::INFINITY, f64::min);
    let right = cone.iter().map(|p| p.0).fold(f64::NEG_INFINITY, f64::max);
    assert!(height(left) > 0.0 && height(left) < height(right), "{cone:?}");
    let circle = svg.split("id='title-block'").nth(1).and_then(|part| {
        let d = part.split("d='M").skip(1).find(|d| d.split('\'').next().is_some_and(|d| d.contains('a')))?;
        d.split(' ').next()?.parse::<f64>().ok()
    });
    assert!(circle.is_some_and(|x| x > right), "{circle:?}");
}

#[test]
fn property_sheets_are_the_same_each_time() {
    for sheet in [stud(1.0), sleeve([68.26, 3.0, 22.2, 17.5, 13.1])] {
        assert_eq!(good(sheet.svg()), good(sheet.svg()));
        let pdf = good(sheet.pdf());
        assert_eq!(pdf, good(sheet.pdf()));
        assert!(pdf.starts_with(b"%PDF-"));
        let words = String::from_utf8_lossy(&pdf).into_owned();
        assert!(!words.contains("CreationDate"));
    }
}

#[test]
fn property_a_part_without_size_or_too_large_is_refused() {
    let mut empty = stud(1.0);
    view(&mut empty).part.outside.clear();
    assert!(matches!(empty.svg(), Err(PlotError::Drawing(_))));
    assert!(matches!(sleeve([f64::NAN, 1.0, 20.0, 15.0, 10.0]).svg(), Err(PlotError::Drawing(_))));
    // However long, a part can be broken; not so one too thick.
    assert!(matches!(sleeve([10.0, 1.0, 1e6, 9e5, 8e5]).svg(), Err(PlotError::Drawing(_))));
}

#[test]
fn property_words_in_a_label_are_escaped() {
    let mut sheet = stud(1.0);
    sheet.title.material = "steel <\"A\" & B>".into();
    let svg = good(sheet.svg());
    let document = usvg::roxmltree::Document::parse(&svg).unwrap_or_else(|error| panic!("{error}"));
    assert!(document.descendants().any(|node| node.attribute("aria-label") == Some("steel <\"A\" & B>")));
    good(sheet.pdf());
}
