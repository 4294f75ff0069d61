//! A sheet as SVG, in millimetres.

use super::ink::Pen;
use super::page::{Group, Mark, Page, PlacedText};
use crate::font::Fonts;
use crate::svg::{Decimals, Lettering, Svg, Words, escaped};
use crate::theme::Colour;

/// A tenth of a micrometre.
const FINEST: Decimals = Decimals(4);

/// The sheet with its text as outlines or live.
pub(super) fn document(page: &Page, fonts: &Fonts, words: Words) -> String {
    let mut svg = Svg::document(page.paper, "mm", FINEST);
    svg.add(&format!(
        "<title>{}</title>\n<style>path {{ fill: none; stroke: #000; stroke-linecap: round; stroke-linejoin: round }} ",
        escaped(&page.title)
    ));
    for pen in Pen::ALL {
        let dashes = pen
            .dashes()
            .map_or(String::new(), |dashes| format!("; stroke-dasharray: {dashes}; stroke-linecap: butt"));
        svg.add(&format!(".{} {{ stroke-width: {}{dashes} }} ", pen.name(), pen.width()));
    }
    svg.add(".solid { fill: #000; stroke: none }</style>\n");
    svg.ground(page.paper, Colour::hex(0xFFFFFF));
    for group in &page.groups {
        write_group(&mut svg, group, fonts, words);
    }
    svg.end()
}

fn write_group(svg: &mut Svg, group: &Group, fonts: &Fonts, words: Words) {
    svg.open(&format!("id='{}'", group.name));
    for mark in &group.marks {
        let class = |pen: &Pen| format!("class='{}'", pen.name());
        match mark {
            Mark::Line { points, pen } => svg.line(points, &class(pen)),
            Mark::Arc { centre, radius, angles, pen } => svg.arc(*centre, *radius, *angles, &class(pen)),
            Mark::Fill(points) => svg.polygon(points, "class='solid'"),
        }
        svg.add("\n");
    }
    for text in &group.texts {
        match words {
            Words::Outlines => svg.letters(&lettering(text), fonts, "class='solid'"),
            Words::Live => svg.words(&lettering(text), fonts, ""),
        }
        svg.add("\n");
    }
    svg.close();
}

fn lettering(text: &PlacedText) -> Lettering<'_> {
    Lettering { text: &text.text, at: (text.x, text.baseline), size: text.size, weight: text.weight }
}
