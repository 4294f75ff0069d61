//! The layout of a line chart, step by step.

use super::names::{Drawn, Names, Spot};
use super::page::{Page, Setting};
use super::{LineChart, paint};
use crate::error::PlotError;
use crate::font::Fonts;
use crate::frame;
use crate::scene::{Layout, Picture, Scene};
use crate::theme::Theme;

impl Picture for LineChart {
    fn compose(&self, theme: &Theme) -> Result<Scene, PlotError> {
        let fonts = Fonts::load()?;
        let (width, height) = theme.format.canvas((self.width, self.height));
        let chart = self.clone().with_size(width, height);
        let setting = Setting { chart: &chart, theme, fonts: &fonts };
        let lay = |setting: &Setting| settle(setting).map(|_| ());
        let Settled { page, drawn, names } =
            settle(&setting).map_err(|error| frame::enough(&setting, error, lay))?;
        let mut shapes = Vec::new();
        paint::ground(&setting, &page, &mut shapes);
        for ((panel, place), (drawn, names)) in
            self.panels.iter().zip(&page.panels).zip(drawn.iter().zip(&names))
        {
            paint::panel(&setting, &page, (panel, place), (drawn, names), &mut shapes);
        }
        let mut texts = paint::figures(&setting, &page);
        let mut omitted = page.omitted;
        texts.extend(page.texts);
        for mut panel in names {
            for text in &mut panel.texts {
                text.halo = paint::shade_under(theme, &page.bars, &text.rect());
            }
            texts.extend(panel.texts);
            omitted.extend(panel.omitted);
        }
        let layout = Layout { width, height, texts, omitted };
        Ok(Scene { background: theme.background, shapes, layout })
    }
}

struct Settled {
    page: Page,
    drawn: Vec<Drawn>,
    names: Vec<Names>,
}

/// Finds where names stand. A column beside one panel narrows all, which may leave too little room for
/// names inside another; each turn moves at least one more name to a column, so the turns end.
fn settle(setting: &Setting) -> Result<Settled, PlotError> {
    let chart = setting.chart;
    let draw = |page: &Page| -> Vec<Drawn> {
        chart
            .panels
            .iter()
            .zip(&page.panels)
            .map(|(panel, at)| Drawn::new(setting, page, panel, at))
            .collect()
    };
    let first = Page::new(setting, 0.0)?;
    let mut drawn = draw(&first);
    let mut spots: Vec<Vec<Spot>> =
        drawn.iter().zip(&first.panels).map(|(drawn, at)| drawn.wishes(setting, at)).collect();
    loop {
        let widths = drawn.iter().zip(&spots).map(|(drawn, spots)| drawn.column_width(setting, spots));
        let page = Page::new(setting, widths.fold(0.0, f64::max))?;
        drawn = draw(&page);
        let mut names = Vec::new();
        let mut moved = false;
        for (((panel, at), drawn), spots) in chart.panels.iter().zip(&page.panels).zip(&drawn).zip(&mut spots)
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
