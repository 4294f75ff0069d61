//! The machine with the names of its parts.

use super::pen::{Pen, Place};
use super::{Mechanism, Pose, Tints, mould, pump};
use crate::error::PlotError;
use crate::font::{Fonts, Weight};
use crate::geometry::Point;
use crate::labels::column::spread;
use crate::scene::{Layout, Picture, Scene, Shape, TextBox};
use crate::theme::{Colour, Theme};

/// Width of the picture, px.
const WIDTH: u32 = 1920;
/// Height of the picture on a screen, px.
pub const SCREEN: u32 = 1080;
/// Width of each column of names, px.
const COLUMN: f64 = 330.0;
/// Between a name and its leader, px.
const TO_LEADER: f64 = 14.0;
/// Between a name's two lines, in type sizes.
const LEADING: f64 = 1.08;
/// The most lines of a headline, a name or its note.
const MOST_LINES: usize = 2;
/// Between names, px.
const BETWEEN: f64 = 8.0;

/// A part that can be named.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Part {
    /// The pump lever.
    Lever,
    /// The pump latch.
    Latch,
    /// The rod nut.
    Nut,
    /// The springs.
    Spring,
    /// The extension of the rod.
    Extension,
    /// The spring rod.
    Rod,
    /// The abutment.
    Abutment,
    /// The sleeve.
    Sleeve,
    /// The cross block.
    Block,
    /// The rod's shoulder.
    Shoulder,
    /// The cam.
    Cam,
    /// The cam's follower.
    Follower,
    /// The bell crank.
    Crank,
    /// The matrix.
    Matrix,
    /// The mould's cavity.
    Mould,
    /// The frozen skin.
    Skin,
    /// The piston.
    Piston,
    /// The inlet port.
    Port,
    /// The well.
    Well,
    /// The channel.
    Channel,
    /// The nozzle.
    Nozzle,
    /// The pressure gauge.
    Gauge,
}

impl Part {
    /// Where its leader ends (mm), and whether its name stands at the left.
    fn anchor(self, mechanism: &Mechanism, pose: &Pose) -> (Point, bool) {
        let plan = &mechanism.plan;
        let (block, rod) = (1e3 * pose.block_lift, 1e3 * pose.rod_lift);
        let face = plan.abutment_face() + block;
        let nut = plan.nut_face() + rod;
        let middle = |a: f64, b: f64| f64::midpoint(a, b);
        match self {
            Self::Lever => {
                let (rod, _) = plan.lever_pins(pose);
                let (x, y) = plan.fulcrum();
                ((middle(x, rod.0), middle(y, rod.1)), true)
            }
            Self::Latch => ((-plan.latch_pin().0, plan.latch_pin().1 - 22.0), true),
            Self::Nut => ((-9.0, nut + 13.0), true),
            Self::Spring => ((-plan.coil_half + 2.0, middle(face, nut)), true),
            Self::Extension => ((-2.0, plan.extension_at() + rod), true),
            Self::Rod => ((0.0, rod - 17.0), true),
            Self::Abutment => ((-plan.abutment_half + 5.0, face - 5.0), true),
            Self::Sleeve => ((-8.0, face - plan.boss - 10.0 - 0.3 * plan.sleeve), true),
            Self::Block => ((-40.0, 15.0 + block), true),
            Self::Shoulder => ((-8.0, rod - 10.0), true),
            Self::Cam => ((plan.cam_centre.0 - 20.0, plan.cam_centre.1 - 16.0), true),
            Self::Follower => (plan.roller(block), true),
            Self::Crank => (
                (
                    plan.crank.0 + 0.5 * (plan.pad(block).0 - plan.crank.0),
                    middle(plan.crank.1, plan.pad(block).1),
                ),
                true,
            ),
            Self::Matrix => (mould::matrix(plan), false),
            Self::Mould => (mould::inside(plan, 0.6, 0.3), false),
            Self::Skin => (mould::inside(plan, 0.985, 0.16), false),
            Self::Piston => {
                let (x, y) = mechanism.piston_face(pose.piston_travel);
                ((x + 0.6 * plan.piston_half, y + 0.8 * plan.piston_length), false)
            }
            Self::Port => ((plan.piston_x + plan.piston_half + 3.0, plan.face - 0.5 * plan.port), false),
            Self::Well => ((plan.piston_x + 0.4 * plan.piston_half, plan.well_floor + 14.0), false),
            Self::Channel => ((plan.riser_x, plan.well_floor + plan.channel + 12.0), false),
            Self::Nozzle => ((plan.riser_x + 4.5, plan.nozzle_foot + 0.45 * plan.nozzle_length), false),
            Self::Gauge => ((pump::centre(plan).0 - 9.0, pump::centre(plan).1 + 6.0), true),
        }
    }
}

/// A part's name and what is to be said of it.
#[derive(Debug, Clone, PartialEq)]
pub struct PartLabel {
    /// The part.
    pub part: Part,
    /// Its name.
    pub name: String,
    /// A figure below the name; may be empty.
    pub note: String,
}

/// The machine in one pose, with the names of its parts, 1920 px wide.
#[derive(Debug, Clone, PartialEq)]
pub struct Schematic<'a> {
    /// The machine.
    pub mechanism: &'a Mechanism,
    /// Where everything stands.
    pub pose: Pose,
    /// What the picture shows.
    pub headline: String,
    /// A small line at the foot.
    pub source: String,
    /// The names.
    pub labels: Vec<PartLabel>,
    /// Height, px; [`SCREEN`] for a screen.
    pub height: u32,
}

/// A name on its way into its column.
struct Name<'a> {
    label: &'a PartLabel,
    anchor: Point,
    height: f64,
    lines: Vec<(String, f64, Colour)>,
}

impl Schematic<'_> {
    /// Where the machine and its names begin: under the headline.
    fn top(&self, fonts: &Fonts, theme: &Theme) -> f64 {
        let size = theme.sizes.headline;
        let room = f64::from(WIDTH) - 2.0 * theme.margin;
        let lines = fonts.wrap(&self.headline, size, Weight::Bold, room, MOST_LINES).len().max(1);
        theme.margin + size * (1.15 * (lines - 1) as f64 + 1.0) + 26.0
    }

    /// The machine's place between the columns of names.
    fn place(&self, fonts: &Fonts, theme: &Theme) -> Place {
        let side = theme.margin + COLUMN + 30.0;
        let top = self.top(fonts, theme);
        let bottom = f64::from(self.height) - theme.margin - theme.sizes.small - 14.0;
        Place::fit(self.mechanism.extent(), (side, top, f64::from(WIDTH) - side, bottom))
    }

    /// The names of one column from the top, with the places they point at (px).
    fn column(&self, left: bool, place: &Place, (fonts, theme): (&Fonts, &Theme)) -> Vec<Name<'_>> {
        let mut names: Vec<Name> = self
            .labels
            .iter()
            .filter_map(|label| {
                let (anchor, at_left) = label.part.anchor(self.mechanism, &self.pose);
                let set = |text: &str, size: f64, colour: Colour| {
                    let lines = fonts.wrap(text, size, Weight::Regular, COLUMN, MOST_LINES);
                    lines.into_iter().map(move |line| (line, size, colour))
                };
                let mut lines: Vec<(String, f64, Colour)> =
                    set(&label.name, theme.sizes.label, theme.ink).collect();
                lines.extend(set(&label.note, theme.sizes.small, theme.muted));
                let last = lines.last().map_or(0.0, |line| line.1);
                let height = lines.iter().map(|line| LEADING * line.1).sum::<f64>() - (LEADING - 1.0) * last;
                (at_left == left).then(|| Name { label, anchor: place.px(anchor), height, lines })
            })
            .collect();
        names.sort_by(|a, b| a.anchor.1.total_cmp(&b.anchor.1));
        names
    }
}

impl Picture for Schematic<'_> {
    fn compose(&self, theme: &Theme) -> Result<Scene, PlotError> {
        let fonts = Fonts::load()?;
        let sizes = theme.sizes;
        let (wide, high) = (f64::from(WIDTH), f64::from(self.height));
        let place = self.place(&fonts, theme);
        let (mut shapes, mut texts, mut omitted) = (Vec::new(), Vec::new(), Vec::new());
        let tints = Tints::of(theme);
        self.mechanism.draw(&self.pose, &mut Pen { place, tints, outline: 3.0, shapes: &mut shapes });
        texts.extend(self.mechanism.gauge_words(&place, (&fonts, 22.0), theme.ink));
        let room = wide - 2.0 * theme.margin;
        let headline = fonts.wrap(&self.headline, sizes.headline, Weight::Bold, room, MOST_LINES);
        for (n, line) in headline.iter().enumerate() {
            let corner = (theme.margin, theme.margin - 12.0 + 1.15 * sizes.headline * n as f64);
            texts.push(TextBox::set(&fonts, line, corner, (sizes.headline, Weight::Bold, theme.ink)));
        }
        for line in fonts.wrap(&self.source, sizes.small, Weight::Regular, room, 1) {
            let corner = (theme.margin, high - theme.margin - sizes.small + 12.0);
            texts.push(TextBox::set(&fonts, &line, corner, (sizes.small, Weight::Regular, theme.muted)));
        }
        for left in [true, false] {
            let names = self.column(left, &place, (&fonts, theme));
            let wanted: Vec<(f64, f64)> = names.iter().map(|name| (name.anchor.1, name.height)).collect();
            let top = self.top(&fonts, theme);
            let bottom = high - theme.margin - sizes.small - 14.0;
            let Some(tops) = spread(&wanted, BETWEEN, top, bottom) else {
                omitted.extend(names.iter().map(|name| name.label.name.clone()));
                continue;
            };
            for (name, top) in names.iter().zip(tops) {
                let mut at = top;
                let mut reach = 0.0_f64;
                for (line, size, colour) in &name.lines {
                    let width = fonts.width(line, *size, Weight::Regular);
                    let x = if left { theme.margin } else { wide - theme.margin - COLUMN };
                    texts.push(TextBox::set(&fonts, line, (x, at), (*size, Weight::Regular, *colour)));
                    reach = if at > top { reach } else { width };
                    at += LEADING * size;
                }
                let level = top + 0.55 * sizes.label;
                let start = if left {
                    theme.margin + reach + TO_LEADER
                } else {
                    wide - theme.margin - COLUMN - TO_LEADER
                };
                leader((start, level), left, name.anchor, tints, &mut shapes);
            }
        }
        let layout = Layout { width: WIDTH, height: self.height, texts, omitted };
        Ok(Scene { background: theme.background, shapes, layout })
    }
}

/// A level line from the name to the column's edge, and from there straight to the part.
fn leader(start: Point, left: bool, end: Point, tints: Tints, shapes: &mut Vec<Shape>) {
    let edge = if left { start.0.max(330.0) } else { start.0 - 16.0 };
    let points = vec![start, (edge, start.1), end];
    shapes.push(Shape::Line { points: points.clone(), colour: tints.ground, width: 4.4 });
    shapes.push(Shape::Line { points, colour: tints.ink, width: 1.8 });
    shapes.push(Shape::Dot { centre: end, radius: 7.0, colour: tints.ground });
    shapes.push(Shape::Dot { centre: end, radius: 5.0, colour: tints.ink });
}
