//! The whole sheet: which scale fits, and where each thing stands.

use super::assembly::{Laid, Pose};
use super::callout::Callouts;
use super::dimension::{COLUMN_OFF, Column, Rows};
use super::ink::{FORBIDS, Pen, UPPER, WORDS};
use super::page::{Border, Group, Page};
use super::part::PartView;
use super::placing::Placing;
use super::scale::Scale;
use super::title::{self, BLOCK_HEIGHT};
use super::{Figure, Projection, Sheet, end_view, side_view};
use crate::error::PlotError;
use crate::font::{Fonts, Weight};

/// Clear space inside the frame, mm.
const INSET: f64 = 6.0;
/// Least space between side view and end view, mm.
const BETWEEN: f64 = 8.0;
/// How much of the distance from part to rows and callouts the column beside the end view may take up, mm.
const CLEARING: f64 = 6.0;
/// Least stretch of a broken part beside the gap, mm on paper.
const KEEP: f64 = 6.0;
/// From line to line of the notes, mm.
const NOTE_LEADING: f64 = 1.32 * WORDS;
/// Room for the number of a note, mm.
const NOTE_INDENT: f64 = 6.0;
/// Height of the bar by which the printed scale is proved, with its words, mm.
const PROOF_HEIGHT: f64 = 10.0;

/// What stands round the figure, and the room that it leaves.
struct Room {
    border: Border,
    notes: Vec<Vec<String>>,
    /// Why nothing is to be made, in lines.
    forbidden: Vec<String>,
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
}

impl Room {
    fn of(sheet: &Sheet, fonts: &Fonts) -> Self {
        let border = Border::of(sheet.paper);
        let (left, right) = (border.left + INSET, border.right - INSET);
        let wrap =
            |words: &str, room: f64, most: usize| fonts.wrap(words, WORDS, Weight::Regular, room, most);
        let notes: Vec<Vec<String>> =
            sheet.notes.iter().map(|note| wrap(note, right - left - NOTE_INDENT, 4)).collect();
        let forbidden =
            sheet.forbidden.as_ref().map_or_else(Vec::new, |why| wrap(why, right - left - 2.0 * INSET, 5));
        let top = border.top + INSET + forbidden_height(&forbidden);
        let bottom = notes_top(&border, &notes) - INSET;
        Self { border, notes, forbidden, left, right, top, bottom }
    }

    fn width(&self) -> f64 {
        self.right - self.left
    }

    fn height(&self) -> f64 {
        self.bottom - self.top
    }
}

fn forbidden_height(lines: &[String]) -> f64 {
    if lines.is_empty() { 0.0 } else { 1.6 * FORBIDS + NOTE_LEADING * lines.len() as f64 + INSET }
}

fn notes_top(border: &Border, notes: &[Vec<String>]) -> f64 {
    let lines: usize = notes.iter().map(Vec::len).sum();
    border.bottom - BLOCK_HEIGHT - PROOF_HEIGHT - NOTE_LEADING * lines as f64 - 1.6 * WORDS - INSET
}

/// The figure laid out at one scale.
enum Plan<'a> {
    Part(Box<PartPlan<'a>>),
    Assembly(&'a [Pose], Vec<Laid>),
}

/// A part laid out at one scale.
struct PartPlan<'a> {
    view: &'a PartView,
    rows: Rows,
    column: Column,
    callouts: Callouts,
    /// Left end of the axis of the side view.
    placing: Placing,
    /// Centre of the end view.
    centre: (f64, f64),
    /// How far from the axis rows and callouts keep, mm.
    clear: f64,
    half: f64,
}

/// Finds the largest scale that fits; a part too long for 1 : 1 is broken before it is drawn smaller.
fn plan<'a>(sheet: &'a Sheet, room: &Room, fonts: &Fonts) -> Result<(Scale, Plan<'a>), PlotError> {
    let (length, diameter) = match &sheet.figure {
        Figure::Part(view) => (view.part.length(), view.part.greatest_diameter()),
        Figure::Assembly(poses) => {
            let all = poses.iter().map(Pose::extent).map(|(left, right, wide)| (right - left, wide));
            all.reduce(|a, b| (a.0.max(b.0), a.1.max(b.1))).unwrap_or((0.0, 0.0))
        }
    };
    if !(length.is_finite() && diameter.is_finite() && length > 0.0 && diameter > 0.0) {
        return Err(PlotError::Drawing(format!(
            "a part {length} mm long and {diameter} mm thick has no size"
        )));
    }
    let at = |scale: Scale| match &sheet.figure {
        Figure::Part(view) => {
            let part = part_at(view, room, scale, fonts);
            part.map(|plan| Plan::Part(Box::new(plan)))
        }
        Figure::Assembly(poses) => assembly_at(poses, room, scale, fonts),
    };
    Scale::ALL.iter().find_map(|&scale| Some((scale, at(scale)?))).ok_or_else(|| {
        PlotError::Drawing(format!(
            "a part {length:.0} mm long and {diameter:.0} mm thick does not fit on the sheet"
        ))
    })
}

fn part_at<'a>(view: &'a PartView, room: &Room, scale: Scale, fonts: &Fonts) -> Option<PartPlan<'a>> {
    let whole = Placing::whole(scale.factor());
    match part_placed(view, room, whole, fonts) {
        Ok(plan) => Some(plan),
        Err(excess) if scale.paper <= scale.part => {
            let broken = whole.broken(view.part.plainest(), excess?, KEEP)?;
            part_placed(view, room, broken, fonts).ok()
        }
        Err(_) => None,
    }
}

/// Lays out a part; by how much it is too wide for the sheet where it is, and nothing where it is too high.
fn part_placed<'a>(
    view: &'a PartView,
    room: &Room,
    mut placing: Placing,
    fonts: &Fonts,
) -> Result<PartPlan<'a>, Option<f64>> {
    let length = placing.x(view.part.length());
    let half = 0.5 * placing.factor * view.part.greatest_diameter();
    let rows = Rows::plan(&view.lengths, &placing, fonts);
    let column = Column::plan(&view.diameters, fonts);
    let callouts = Callouts::plan(&view.callouts, room.width(), fonts);
    // Side view, end view and column share what is left over.
    let (past_left, past_right) = rows.overhang(length);
    let past_left = past_left.max(side_view::AXIS_PAST);
    let beside = side_view::AXIS_PAST + BETWEEN;
    let needed = past_left + length + (beside + 2.0 * half + COLUMN_OFF + column.width).max(past_right);
    let spare = room.width() - needed;
    // Words above and below keep clear of the column, so that they may run on beneath the end view.
    let clear = half.max(0.5 * column.height - CLEARING);
    let (above, below) = (callouts.height() + clear, rows.depth() + clear);
    let spare_height = room.height() - (above + below);
    if spare_height < 0.0 {
        return Err(None);
    }
    if spare < 0.0 {
        return Err(Some(-spare));
    }
    let axis = room.top + 0.5 * spare_height + above;
    let x0 = room.left + spare / 3.0 + past_left;
    let centre = (x0 + length + beside + spare / 3.0 + half, axis);
    placing.origin = (x0, axis);
    Ok(PartPlan { view, rows, column, callouts, placing, centre, clear, half })
}

fn assembly_at<'a>(poses: &'a [Pose], room: &Room, scale: Scale, fonts: &Fonts) -> Option<Plan<'a>> {
    let factor = scale.factor();
    let laid: Vec<Laid> = poses.iter().map(|pose| Laid::plan(pose, factor, room.width(), fonts)).collect();
    let height: f64 = laid.iter().map(|pose| pose.height).sum();
    let reach = reach(&laid);
    (height <= room.height() && reach.0 + reach.1 <= room.width()).then_some(Plan::Assembly(poses, laid))
}

/// What poses one below the other take left and right of their common nought, mm.
fn reach(laid: &[Laid]) -> (f64, f64) {
    laid.iter().fold((0.0, 0.0), |all: (f64, f64), pose| (all.0.max(pose.reach.0), all.1.max(pose.reach.1)))
}

/// The scale of a sheet.
pub(super) fn scale(sheet: &Sheet, fonts: &Fonts) -> Result<Scale, PlotError> {
    Ok(plan(sheet, &Room::of(sheet, fonts), fonts)?.0)
}

/// Lays out the sheet.
pub(super) fn compose(sheet: &Sheet, fonts: &Fonts) -> Result<Page, PlotError> {
    let room = Room::of(sheet, fonts);
    let (scale, plan) = plan(sheet, &room, fonts)?;
    let mut groups = vec![frame(&room.border)];
    match plan {
        Plan::Part(plan) => groups.extend(part(&plan, sheet.projection, &room, fonts)),
        Plan::Assembly(poses, laid) => groups.extend(assembly(poses, &laid, scale, &room, fonts)),
    }
    if !room.forbidden.is_empty() {
        groups.push(forbidden(&room, fonts));
    }
    let border = &room.border;
    groups.push(notes(&room, fonts));
    let bar = (room.left, border.bottom - BLOCK_HEIGHT - 4.0);
    groups.push(title::proof_bar(bar, sheet.title.in_inches, fonts));
    groups.push(title::block(&sheet.title, (scale, sheet.projection), border, fonts));
    let title = format!("{}, {}, scale {scale}", sheet.title.part, sheet.title.machine);
    Ok(Page { paper: border.paper, groups, title })
}

fn part(plan: &PartPlan<'_>, projection: Projection, room: &Room, fonts: &Fonts) -> Vec<Group> {
    let PartPlan { view, placing, .. } = plan;
    let factor = placing.factor;
    let seen = match projection {
        Projection::First => end_view::draw(&view.part, plan.centre, factor),
        Projection::Third => end_view::draw(&view.part.turned_round(), plan.centre, factor),
    };
    vec![
        side_view::draw(&view.part, placing),
        seen,
        plan.rows.draw(&view.lengths, placing, (plan.half, plan.clear), fonts),
        plan.column.draw(&view.diameters, plan.centre, (plan.half, factor), fonts),
        plan.callouts.draw(&view.callouts, placing, (plan.clear, room.left, room.right), fonts),
    ]
}

fn assembly(poses: &[Pose], laid: &[Laid], scale: Scale, room: &Room, fonts: &Fonts) -> Vec<Group> {
    let height: f64 = laid.iter().map(|pose| pose.height).sum();
    let spare = (room.height() - height) / (laid.len() + 1) as f64;
    let reach = reach(laid);
    let x0 = room.left + 0.5 * (room.width() - reach.0 - reach.1) + reach.0;
    let mut top = room.top;
    let mut groups = Vec::new();
    for (pose, laid) in poses.iter().zip(laid) {
        top += spare;
        groups.extend(laid.draw(pose, (x0, top, scale.factor()), (room.left, room.right), fonts));
        top += laid.height;
    }
    groups
}

fn frame(border: &Border) -> Group {
    let mut group = Group::new("frame");
    let size = (border.right - border.left, border.bottom - border.top);
    group.boxed(Pen::Frame, (border.left, border.top), size);
    group
}

/// The words that forbid the making of the piece, and the figure struck out from corner to corner.
fn forbidden(room: &Room, fonts: &Fonts) -> Group {
    const FORBIDDEN: &str = "NOT FOR MAKING";
    let mut group = Group::new("forbidden");
    let top = room.border.top + INSET;
    let height = forbidden_height(&room.forbidden) - INSET;
    group.boxed(Pen::Frame, (room.left, top), (room.width(), height));
    let width = fonts.width(FORBIDDEN, FORBIDS, Weight::Bold);
    let middle = 0.5 * (room.left + room.right);
    group.text(fonts, FORBIDDEN, (middle - 0.5 * width, top + 1.1 * FORBIDS), FORBIDS, Weight::Bold);
    for (n, line) in room.forbidden.iter().enumerate() {
        let baseline = top + 1.6 * FORBIDS + NOTE_LEADING * n as f64 + 0.5 * WORDS;
        group.text(fonts, line, (room.left + INSET, baseline), WORDS, Weight::Regular);
    }
    group.line(Pen::Frame, [(room.left, room.top), (room.right, room.bottom)]);
    group.line(Pen::Frame, [(room.left, room.bottom), (room.right, room.top)]);
    group
}

fn notes(room: &Room, fonts: &Fonts) -> Group {
    let mut group = Group::new("notes");
    let mut baseline = notes_top(&room.border, &room.notes) + WORDS;
    if !room.notes.is_empty() {
        group.text(fonts, "Notes", (room.left, baseline), UPPER, Weight::Bold);
        baseline += 1.6 * WORDS;
    }
    for (n, lines) in room.notes.iter().enumerate() {
        group.text(fonts, &format!("{}", n + 1), (room.left, baseline), WORDS, Weight::Bold);
        for line in lines {
            group.text(fonts, line, (room.left + NOTE_INDENT, baseline), WORDS, Weight::Regular);
            baseline += NOTE_LEADING;
        }
    }
    group
}
