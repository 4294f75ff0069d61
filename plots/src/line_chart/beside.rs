//! Two line charts side by side on one canvas: a whole, and a part of it enlarged.

use super::{Curves, LineChart};
use crate::canvas::{Body, Chart, Content, Setting};
use crate::error::PlotError;
use crate::geometry::Rect;

/// Px between the two.
const BETWEEN: f64 = 56.0;

/// Two bodies side by side.
#[derive(Debug, Clone, PartialEq)]
pub struct Pair {
    /// At the left.
    pub left: Curves,
    /// At the right; none leaves the whole width to the left.
    pub right: Option<Curves>,
    /// Share of the width for the left.
    pub share: f64,
}

/// A whole, and a part of it enlarged, under one headline.
pub type Beside = Chart<Pair>;

impl LineChart {
    /// The chart with another at its right, which takes `share` of the width; the headline and the source are this one's.
    #[must_use]
    pub fn beside(self, right: Option<Self>, share: f64) -> Beside {
        let Self { headline, source, width, height, body } = self;
        let right = right.map(|chart| chart.body);
        Chart { headline, source, width, height, body: Pair { left: body, right, share: 1.0 - share } }
    }
}

impl Body for Pair {
    fn draw(&self, setting: &Setting) -> Result<Content, PlotError> {
        let Some(right) = &self.right else { return self.left.draw(setting) };
        let room = setting.room;
        let middle = room.left + self.share * room.width();
        let half = |left: f64, right: f64| Setting { room: Rect { left, right, ..room }, ..*setting };
        let mut content = self.left.draw(&half(room.left, middle - 0.5 * BETWEEN))?;
        content.extend(right.draw(&half(middle + 0.5 * BETWEEN, room.right))?);
        Ok(content)
    }
}
