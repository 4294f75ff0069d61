//! The whole sheet: which scale fits, and where each thing stands.

use super::dimension::{COLUMN_OFF, Callouts, Column, Rows};
use super::ink::{Pen, UPPER, WORDS};
use super::page::{FRAME, Group, Page};
use super::scale::Scale;
use super::side_view::Placing;
use super::title::{self, BLOCK_HEIGHT};
use super::{Sheet, end_view, side_view};
use crate::error::PlotError;
use crate::font::{Fonts, Weight};

/// Clear space inside the frame, mm.
const INSET: f64 = 6.0;
/// Least space between side view and end view, mm.
const BETWEEN: f64 = 16.0;
/// How much of the distance from part to rows and callouts the column beside the end view may take up, mm.
const CLEARING: f64 = 6.0;
/// From line to line of the notes, mm.
const NOTE_LEADING: f64 = 1.32 * WORDS;
/// Room for the number of a note, mm.
const NOTE_INDENT: f64 = 6.0;
/// Height of the bar by which the printed scale is proved, with its words, mm.
const PROOF_HEIGHT: f64 = 10.0;

/// A layout at one scale.
pub(super) struct Plan {
    pub scale: Scale,
    rows: Rows,
    column: Column,
    callouts: Callouts,
    notes: Vec<Vec<String>>,
    /// Left end of the axis of the side view.
    placing: Placing,
    /// Centre of the end view.
    centre: (f64, f64),
    /// How far from the axis rows and callouts keep, mm.
    clear: f64,
}

/// Finds the largest scale that fits.
pub(super) fn plan(sheet: &Sheet, fonts: &Fonts) -> Result<Plan, PlotError> {
    let (length, diameter) = (sheet.part.length(), sheet.part.greatest_diameter());
    if !(length.is_finite() && diameter.is_finite() && length > 0.0 && diameter > 0.0) {
        return Err(PlotError::Drawing(format!(
            "a part {length} mm long and {diameter} mm thick has no size"
        )));
    }
    Scale::ALL.iter().find_map(|&scale| at_scale(sheet, scale, fonts)).ok_or_else(|| {
        PlotError::Drawing(format!(
            "a part {length:.0} mm long and {diameter:.0} mm thick does not fit on the sheet"
        ))
    })
}

fn notes_top(notes: &[Vec<String>]) -> f64 {
    let lines: usize = notes.iter().map(Vec::len).sum();
    FRAME.3 - BLOCK_HEIGHT - PROOF_HEIGHT - NOTE_LEADING * lines as f64 - 1.6 * WORDS - INSET
}

fn at_scale(sheet: &Sheet, scale: Scale, fonts: &Fonts) -> Option<Plan> {
    let (left, top, right, _) = FRAME;
    let (left, top, right) = (left + INSET, top + INSET, right - INSET);
    let factor = scale.factor();
    let length = factor * sheet.part.length();
    let half = 0.5 * factor * sheet.part.greatest_diameter();
    let rows = Rows::plan(&sheet.lengths, sheet.part.length(), factor, fonts);
    let column = Column::plan(&sheet.diameters, fonts);
    let callouts = Callouts::plan(&sheet.callouts, right - left, fonts);
    let notes: Vec<Vec<String>> = sheet
        .notes
        .iter()
        .map(|note| fonts.wrap(note, WORDS, Weight::Regular, right - left - NOTE_INDENT, 4))
        .collect();
    // Side view, end view and column share what is left over.
    let (past_left, past_right) = rows.overhang(length);
    let past_left = past_left.max(side_view::AXIS_PAST);
    let beside = side_view::AXIS_PAST + BETWEEN;
    let needed = past_left + length + (beside + 2.0 * half + COLUMN_OFF + column.width).max(past_right);
    let spare = right - left - needed;
    // Words above and below keep clear of the column, so that they may run on beneath the end view.
    let clear = half.max(0.5 * column.height - CLEARING);
    let (above, below) = (callouts.height() + clear, rows.depth() + clear);
    let spare_height = notes_top(&notes) - INSET - top - (above + below);
    if spare < 0.0 || spare_height < 0.0 {
        return None;
    }
    let axis = top + 0.5 * spare_height + above;
    let x0 = left + spare / 3.0 + past_left;
    let centre = (x0 + length + beside + spare / 3.0 + half, axis);
    Some(Plan {
        scale,
        rows,
        column,
        callouts,
        notes,
        placing: Placing { origin: (x0, axis), factor },
        centre,
        clear,
    })
}

/// Lays out the sheet.
pub(super) fn compose(sheet: &Sheet, fonts: &Fonts) -> Result<Page, PlotError> {
    let plan = plan(sheet, fonts)?;
    let factor = plan.placing.factor;
    let half = 0.5 * factor * sheet.part.greatest_diameter();
    let (left, _, right, _) = FRAME;
    let groups = vec![
        frame(),
        side_view::draw(&sheet.part, &plan.placing),
        end_view::draw(&sheet.part, plan.centre, factor),
        plan.rows.draw(&sheet.lengths, &plan.placing, (half, plan.clear), fonts),
        plan.column.draw(&sheet.diameters, plan.centre, (half, factor), fonts),
        plan.callouts.draw(&sheet.callouts, &plan.placing, (plan.clear, left + INSET, right - INSET), fonts),
        notes(&plan.notes, fonts),
        title::proof_bar((left + INSET, FRAME.3 - BLOCK_HEIGHT - 4.0), sheet.title.in_inches, fonts),
        title::block(&sheet.title, plan.scale, fonts),
    ];
    Ok(Page { groups, title: format!("{}, {}, scale {}", sheet.title.part, sheet.title.machine, plan.scale) })
}

fn frame() -> Group {
    let mut group = Group::new("frame");
    let (left, top, right, bottom) = FRAME;
    group.line(Pen::Frame, [(left, top), (right, top), (right, bottom), (left, bottom), (left, top)]);
    group
}

fn notes(notes: &[Vec<String>], fonts: &Fonts) -> Group {
    let mut group = Group::new("notes");
    let x = FRAME.0 + INSET;
    let mut baseline = notes_top(notes) + WORDS;
    if !notes.is_empty() {
        group.text(fonts, "Notes", (x, baseline), UPPER, Weight::Bold);
        baseline += 1.6 * WORDS;
    }
    for (n, lines) in notes.iter().enumerate() {
        group.text(fonts, &format!("{}", n + 1), (x, baseline), WORDS, Weight::Bold);
        for line in lines {
            group.text(fonts, line, (x + NOTE_INDENT, baseline), WORDS, Weight::Regular);
            baseline += NOTE_LEADING;
        }
    }
    group
}
