//! The talk as one page for a browser, with nothing to load.

use super::{Drawn, Slide, Told};
use latchstroke_plots::{Theme, escaped};

/// How the page looks: one picture at a time, or one to a page of paper.
const STYLE: &str = include_str!("page.css");
/// Keys and buttons.
const SCRIPT: &str = include_str!("page.js");

/// The drawing without its outermost element.
fn inside(svg: &str) -> &str {
    let start = svg.find("<svg").and_then(|at| Some(at + svg.get(at..)?.find('>')? + 1)).unwrap_or(0);
    let end = svg.rfind("</svg>").unwrap_or(svg.len());
    svg.get(start..end).unwrap_or_default()
}

/// The page; `drawn` are the slides as drawn, in their order, and `film` is the page of the film, which comes after the picture of the
/// latch.
pub fn html(
    told: &Told<'_>,
    slides: &[Slide<'_>],
    drawn: &[Drawn],
    film: Option<&str>,
    theme: &Theme,
) -> String {
    let mut page = format!(
        "<!DOCTYPE html>\n<html lang=\"en-GB\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>{title}</title>\n<style>\n:root {{ --ground: {ground}; --ink: {ink}; --muted: {muted}; --line: {line}; }}\n\
         {STYLE}</style>\n</head>\n<body>\n<main>\n",
        title = escaped(&format!("{}: is the pump latch needed?", told.machine)),
        ground = theme.background.web(),
        ink = theme.ink.web(),
        muted = theme.muted.web(),
        line = theme.grid.web(),
    );
    for (slide, picture) in slides.iter().zip(drawn) {
        let (width, height) = picture.size;
        page += &format!(
            "<section class=\"slide\" data-place=\"{number} / {all}\">\n<svg viewBox=\"0 0 {width} {height}\" role=\"img\" aria-label=\"{headline}\">{drawing}</svg>\n</section>\n",
            number = slide.number,
            all = slides.len(),
            headline = escaped(&slide.headline),
            drawing = inside(&picture.svg).trim(),
        );
        if let Some(film) = film.filter(|_| slide.stem == "latch") {
            page += &format!(
                "<section class=\"slide film\" data-place=\"{number} / {all}, film\">\n<iframe title=\"The film of the turn\" data-film=\"{film}\"></iframe>\n</section>\n",
                number = slide.number,
                all = slides.len(),
                film = escaped(film),
            );
        }
    }
    page += &format!(
        "</main>\n<nav hidden>\n<button type=\"button\" id=\"back\" aria-label=\"Previous\">\u{2190}</button>\n\
         <span id=\"place\" aria-live=\"polite\"></span>\n\
         <button type=\"button\" id=\"on\" aria-label=\"Next\">\u{2192}</button>\n</nav>\n\
         <script>\n{SCRIPT}</script>\n</body>\n</html>\n"
    );
    page
}
