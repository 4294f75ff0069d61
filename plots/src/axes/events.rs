//! Names of events above the first panel, each on its pole.

use super::Axes;
use super::page::UNDER_TITLE;
use crate::canvas::Setting;
use crate::font::Weight;
use crate::labels::strip::{self, Flag, Flown};
use crate::scene::TextBox;

/// At most this many rows of event names; more are numbered.
const MOST_ROWS: usize = 5;
/// Row height of event names, in type sizes.
const ROW: f64 = 1.18;

/// Names of events above the first panel.
pub struct Strip {
    /// Height kept free above the first panel's title row, px.
    pub height: f64,
    /// How far the first panel's title is lifted above its usual row, px.
    pub above_title: f64,
    /// Numbered names, where there was no room for names above the panel.
    pub key: Vec<String>,
    /// Names that stand nowhere.
    pub omitted: Vec<String>,
    flown: Vec<(f64, Option<Flown>, String, Weight)>,
    row: f64,
    floor: f64,
}

impl Strip {
    fn top(&self, row: usize, panel_top: f64) -> f64 {
        panel_top - self.floor - (row as f64 + 1.0) * self.row
    }

    /// The names as text; `panel_top` is the top of the first panel.
    pub fn texts(&self, setting: &Setting, panel_top: f64) -> Vec<TextBox> {
        let theme = setting.theme;
        self.flown
            .iter()
            .filter_map(|(_, flown, text, weight)| {
                let flown = flown.as_ref()?;
                let corner = (flown.left, self.top(flown.row, panel_top));
                Some(TextBox::set(setting.fonts, text, corner, (theme.sizes.label, *weight, theme.muted)))
            })
            .collect()
    }

    /// Upright lines: x and the top above the first panel.
    pub fn stems(&self, panel_top: f64) -> Vec<(f64, f64)> {
        self.flown
            .iter()
            .map(|(x, flown, ..)| {
                (*x, flown.as_ref().map_or(panel_top, |flown| self.top(flown.row, panel_top)))
            })
            .collect()
    }
}

/// Places the names of events; panels run from `left` to `right`.
pub fn lay(setting: &Setting, axes: &Axes, (left, right): (f64, f64)) -> Strip {
    let Setting { room: frame, theme, fonts, .. } = *setting;
    let size = theme.sizes.label;
    let row = ROW * size;
    let mut strip = Strip {
        height: 0.0,
        above_title: 0.0,
        key: Vec::new(),
        omitted: Vec::new(),
        flown: Vec::new(),
        row,
        floor: UNDER_TITLE / 2.0,
    };
    let mut poles: Vec<(f64, String)> = Vec::new();
    for event in axes.events {
        let label = crate::font::clean(&event.label);
        match axes.span.pixel(event.x, left, right).filter(|_| axes.span.holds(event.x)) {
            Some(pixel) => poles.push((pixel, label)),
            None => strip.omitted.push(label),
        }
    }
    poles.sort_by(|a, b| a.0.total_cmp(&b.0));
    if poles.is_empty() {
        return strip;
    }
    let title = axes.upright.first().map(|y| setting.width_of(&y.axis.title(&y.seen), theme.sizes.axis));
    let title_end = frame.left + title.unwrap_or(0.0).min(frame.width());
    // The title shares the lowest row with the names unless a line would run through it.
    let is_cut = poles.iter().any(|(pixel, _)| *pixel < title_end + 8.0);
    let taken = (!is_cut).then_some((frame.left, title_end + theme.sizes.axis));
    let flags = |names: &[String], weight: Weight| -> Vec<Flag> {
        let widths = names.iter().map(|name| fonts.width(name, size, weight));
        poles.iter().zip(widths).map(|((x, _), width)| Flag { x: *x, width }).collect()
    };
    let names: Vec<String> = poles.iter().map(|(_, name)| name.clone()).collect();
    let numbers: Vec<String> = (1..=poles.len()).map(|number| number.to_string()).collect();
    let fly = |flags: &[Flag]| strip::fly(flags, frame.left, frame.right, MOST_ROWS, taken);
    let (shown, flown, weight) = if let Some(flown) = fly(&flags(&names, Weight::Regular)) {
        (names, flown, Weight::Regular)
    } else {
        strip.key =
            names.iter().zip(&numbers).map(|(name, number)| format!("{number}\u{a0}{name}")).collect();
        let flown = fly(&flags(&numbers, Weight::Bold)).unwrap_or_default();
        (numbers, flown, Weight::Bold)
    };
    if flown.is_empty() {
        strip.omitted.append(&mut strip.key);
    }
    let rows = flown.iter().map(|flown| flown.row + 1).max().unwrap_or(0) as f64;
    let title_row = theme.sizes.axis + UNDER_TITLE;
    strip.height = (rows * row + strip.floor - title_row).max(0.0);
    if is_cut {
        strip.height = rows * row + strip.floor;
        strip.above_title = strip.height;
        strip.floor = strip.floor.min(UNDER_TITLE);
    }
    for (i, ((x, _), text)) in poles.into_iter().zip(shown).enumerate() {
        strip.flown.push((x, flown.get(i).copied(), text, weight));
    }
    strip
}
