//! The title block, the symbol of the method of projection, and the bar that proves a print's scale.

use super::ink::{HEADING, Pen, WORDS};
use super::page::{Border, Group};
use super::scale::Scale;
use super::{Projection, TitleBlock};
use crate::font::{Fonts, Weight};
use crate::geometry::Point;

/// Height of the block, mm.
pub(super) const BLOCK_HEIGHT: f64 = 46.0;
/// Type size of the part's name, mm.
const NAME: f64 = 7.0;
/// Space beside words in a field, mm.
const PAD: f64 = 2.5;

/// Heights of the block's three rows, mm.
const ROWS: [f64; 3] = [18.0, 14.0, 14.0];

/// A field: left edge, width and top, and what stands in it.
struct Field<'a> {
    left: f64,
    width: f64,
    top: f64,
    heading: &'a str,
    words: &'a str,
    size: f64,
    weight: Weight,
}

/// Draws the block in the bottom of the frame.
pub(super) fn block(
    title: &TitleBlock,
    (scale, projection): (Scale, Projection),
    border: &Border,
    fonts: &Fonts,
) -> Group {
    let mut group = Group::new("title-block");
    let Border { left, right, bottom, .. } = *border;
    let [first, second, third] = ROWS;
    let tops = [bottom - BLOCK_HEIGHT, bottom - BLOCK_HEIGHT + first, bottom - third];
    for top in tops {
        group.line(Pen::Edge, [(left, top), (right, top)]);
    }
    let sheet = format!("{} of {}", title.number.0, title.number.1);
    let (scale, quantity) = (scale.to_string(), title.quantity.to_string());
    let method = match projection {
        Projection::First => "first-angle projection",
        Projection::Third => "third-angle projection",
    };
    // The last field of each row takes what is left of its width.
    let rows: [&[(&str, &str, f64)]; 3] = [
        &[
            (&title.machine, &title.part, 78.0),
            ("drawing number", &title.drawing, 42.0),
            ("scale", &scale, 22.0),
            (method, "", 0.0),
        ],
        &[
            ("material", &title.material, 46.0),
            ("finish", &title.finish, 52.0),
            ("where no tolerance is stated", &title.tolerances, 50.0),
            ("dimensions", &title.dimensions, 0.0),
        ],
        &[
            ("measures from", &title.source, 56.0),
            ("drawn by", "latchstroke", 24.0),
            ("checked by", "", 24.0),
            ("date", &title.date, 38.0),
            ("quantity", &quantity, 18.0),
            ("sheet", &sheet, 0.0),
        ],
    ];
    for (n, ((fields, top), height)) in rows.into_iter().zip(tops).zip([first, second, third]).enumerate() {
        let mut x = left;
        for (k, &(heading, words, width)) in fields.iter().enumerate() {
            let width = if width > 0.0 { width } else { right - x };
            if k > 0 {
                group.line(Pen::Thin, [(x, top), (x, top + height)]);
            }
            let is_name = n == 0 && k == 0;
            let (size, weight) = if is_name {
                (NAME, Weight::Bold)
            } else if n == 0 {
                (4.2, Weight::Bold)
            } else {
                (WORDS, Weight::Regular)
            };
            field(&mut group, fonts, &Field { left: x, width, top, heading, words, size, weight });
            x += width;
        }
    }
    symbol(&mut group, projection, (right - 18.0, tops[0] + 11.0));
    group
}

fn field(group: &mut Group, fonts: &Fonts, field: &Field<'_>) {
    let room = field.width - 2.0 * PAD;
    let x = field.left + PAD;
    for line in fonts.wrap(field.heading, HEADING, Weight::Regular, room, 1) {
        group.text(fonts, &line, (x, field.top + 3.4), HEADING, Weight::Regular);
    }
    for (row, line) in fonts
        .wrap(field.words, field.size, field.weight, room, if field.size > WORDS { 1 } else { 2 })
        .iter()
        .enumerate()
    {
        let baseline = field.top + 4.4 + 1.1 * field.size + 1.15 * field.size * row as f64;
        group.text(fonts, line, (x, baseline), field.size, field.weight);
    }
}

/// The symbol of the method: a truncated cone, small end to the left, and the view from the left, in which both circles are seen; on
/// its right by the first-angle method, on its left by the third. The methods are those of ISO 5456-2; the proportions are our own.
fn symbol(group: &mut Group, projection: Projection, (x, y): Point) {
    const SMALL: f64 = 1.9;
    const LARGE: f64 = 3.8;
    const LONG: f64 = 7.6;
    const APART: f64 = 5.0;
    let (start, centre) = match projection {
        Projection::First => (x - 12.0, x - 12.0 + LONG + APART + LARGE),
        Projection::Third => (x - 12.0 + 2.0 * LARGE + APART, x - 12.0 + LARGE),
    };
    let end = start + LONG;
    group.line(
        Pen::Edge,
        [(start, y - SMALL), (end, y - LARGE), (end, y + LARGE), (start, y + SMALL), (start, y - SMALL)],
    );
    let centre = (centre, y);
    group.circle(Pen::Edge, centre, LARGE);
    group.circle(Pen::Edge, centre, SMALL);
    group.line(Pen::Axis, [(start - 2.0, y), (end + 2.0, y)]);
    group.line(Pen::Axis, [(centre.0 - LARGE - 1.6, y), (centre.0 + LARGE + 1.6, y)]);
    group.line(Pen::Axis, [(centre.0, y - LARGE - 1.6), (centre.0, y + LARGE + 1.6)]);
}

/// A bar of 50 mm, or of two inches, so that a print can be proved with a rule.
pub(super) fn proof_bar((x, y): Point, in_inches: bool, fonts: &Fonts) -> Group {
    let (length, parts, whole, says) = if in_inches { (50.8, 8, 4, "2 in") } else { (50.0, 5, 5, "50 mm") };
    let mut group = Group::new("proof-bar");
    group.line(Pen::Edge, [(x, y), (x + length, y)]);
    for n in 0..=parts {
        let tick = x + length * f64::from(n) / f64::from(parts);
        let rise = if n % whole == 0 { 2.6 } else { 1.5 };
        group.line(Pen::Thin, [(tick, y), (tick, y - rise)]);
    }
    let words = format!("{says} when printed at full size. Work to the figures, not to the drawing.");
    group.text(fonts, &words, (x + length + 4.0, y), WORDS, Weight::Regular);
    group
}
