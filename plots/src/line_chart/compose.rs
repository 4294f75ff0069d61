//! The layout of a line chart, step by step.

use super::names::{Drawn, Names, Spot};
use super::{Curves, paint};
use crate::axes::{Axes, Page, Span, Upright};
use crate::canvas::{Body, Content, Setting};
use crate::error::PlotError;

impl Body for Curves {
    fn draw(&self, setting: &Setting) -> Result<Content, PlotError> {
        let Settled { mut page, drawn, names } = self.settle(setting)?;
        let mut content = page.ground(setting);
        for ((panel, place), (drawn, names)) in
            self.panels.iter().zip(&page.panels).zip(drawn.iter().zip(&names))
        {
            paint::panel(setting, &page, (panel, place), (drawn, names), &mut content.shapes);
        }
        for mut panel in names {
            for text in &mut panel.texts {
                text.halo = page.shade_under(setting.theme, &text.rect());
            }
            content.texts.extend(panel.texts);
            content.omitted.extend(panel.omitted);
        }
        Ok(content)
    }
}

pub(super) struct Settled {
    pub(super) page: Page,
    pub(super) drawn: Vec<Drawn>,
    pub(super) names: Vec<Names>,
}

impl Curves {
    /// What its page is laid out for.
    fn axes(&self) -> Axes<'_> {
        let panels = || self.panels.iter();
        let curves = panels().flat_map(|panel| &panel.series).flat_map(|series| &series.points);
        let points = panels().flat_map(|panel| &panel.points).map(|point| point.at.0);
        let events = self.events.iter().map(|event| event.x);
        let limits = panels().flat_map(|panel| &panel.x_limits).map(|limit| limit.value);
        let own = panels().flat_map(|panel| &panel.events).map(|event| event.x);
        let values =
            curves.filter(|(_, y)| y.is_finite()).map(|(x, _)| *x).chain(points).chain(events).chain(own);
        let span = Span::of(&self.x, values.chain(limits));
        let upright = panels()
            .map(|panel| {
                let curves = panel.series.iter().flat_map(|series| &series.points);
                let seen = curves.filter(|(at, _)| span.holds(*at)).map(|(_, y)| *y);
                let limits = panel.limits.iter().map(|limit| limit.value);
                let points = panel.points.iter().map(|point| point.at.1);
                Upright {
                    axis: &panel.y,
                    seen: Span::of(&panel.y, seen.chain(limits).chain(points)),
                    share: panel.share,
                    hatched: panel.limits.iter().map(|limit| (limit.value, limit.hatch)).collect(),
                }
            })
            .collect();
        Axes { x: &self.x, span, upright, events: &self.events, bands: &self.bands }
    }

    /// Finds where names stand. A column beside one panel narrows all, which may leave too little room for
    /// names inside another; each turn moves at least one more name to a column, so the turns end.
    pub(super) fn settle(&self, setting: &Setting) -> Result<Settled, PlotError> {
        let axes = self.axes();
        let draw = |page: &Page| -> Vec<Drawn> {
            let places = self.panels.iter().zip(&page.panels);
            places.map(|(panel, at)| Drawn::new(setting, page, panel, at)).collect()
        };
        let first = Page::new(setting, &axes, 0.0)?;
        let mut drawn = draw(&first);
        let mut spots: Vec<Vec<Spot>> =
            drawn.iter().zip(&first.panels).map(|(drawn, at)| drawn.wishes(setting, at)).collect();
        loop {
            let widths = drawn.iter().zip(&spots).map(|(drawn, spots)| drawn.column_width(setting, spots));
            let page = Page::new(setting, &axes, widths.fold(0.0, f64::max))?;
            drawn = draw(&page);
            let mut names = Vec::new();
            let mut moved = false;
            for (((panel, at), drawn), spots) in
                self.panels.iter().zip(&page.panels).zip(&drawn).zip(&mut spots)
            {
                match drawn.name(setting, &page, (panel, at), spots) {
                    Ok(found) => names.push(found),
                    Err(homeless) => {
                        moved = true;
                        for (index, spot) in spots.iter_mut().enumerate() {
                            if homeless.contains(&index) {
                                *spot = Spot::Column;
                            }
                        }
                    }
                }
            }
            if !moved {
                return Ok(Settled { page, drawn, names });
            }
        }
    }
}
