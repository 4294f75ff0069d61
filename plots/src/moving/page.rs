//! A reel as one page that plays it: the elements once, each frame as a list of them, and a small player.

use super::Reel;
use crate::svg::escaped;
use crate::theme::Theme;

/// The page, with places for what is put in.
const PAGE: &str = include_str!("player.html");

impl Reel {
    /// The reel as an HTML page that needs nothing else and no network: `captions` says in words what each frame shows, for
    /// those who cannot see it, each frame is shown for `hundredths` of a second and the last for `hold`.
    pub fn html(
        &self,
        title: &str,
        captions: &[String],
        (hundredths, hold): (u16, u16),
        theme: &Theme,
    ) -> String {
        let elements: Vec<String> = self.elements.iter().map(|element| quoted(element)).collect();
        let frames: Vec<String> = self.frames.iter().map(|list| quoted(&runs(list))).collect();
        let captions: Vec<String> = captions.iter().map(|caption| quoted(caption)).collect();
        let size = format!("0 0 {} {}", self.width, self.height);
        // Text from outside goes in last, so that nothing it says can be taken for one of the places.
        let mut page = PAGE.to_owned();
        for (name, value) in [
            ("{{view}}", size),
            ("{{ground}}", self.background.web()),
            ("{{ink}}", theme.ink.web()),
            ("{{muted}}", theme.muted.web()),
            ("{{accent}}", theme.series_colour(0).text.web()),
            ("{{last}}", self.len().saturating_sub(1).to_string()),
            ("{{delay}}", (10 * u32::from(hundredths)).to_string()),
            ("{{hold}}", (10 * u32::from(hold)).to_string()),
            ("{{first}}", self.group(0)),
            ("{{frames}}", frames.join(",\n")),
            ("{{elements}}", elements.join(",\n")),
            ("{{captions}}", captions.join(",\n")),
            ("{{title}}", escaped(title)),
        ] {
            page = page.replace(name, &value);
        }
        page
    }
}

/// A string of JavaScript that does not end the script it stands in.
fn quoted(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 2);
    out.push('"');
    for c in text.chars() {
        match c {
            '"' | '\\' => out.extend(['\\', c]),
            '/' if out.ends_with('<') => out += "\\/",
            '!' if out.ends_with('<') => out += "\\x21",
            '\n' | '\r' | '\u{2028}' | '\u{2029}' => out.push(' '),
            _ => out.push(c),
        }
    }
    out.push('"');
    out
}

/// Numbers with rising runs shortened: "0-57 61 70-72".
fn runs(list: &[u32]) -> String {
    let mut out = String::new();
    let mut rest = list;
    while let Some((&from, after)) = rest.split_first() {
        let more = after.iter().zip(from + 1..).take_while(|(id, next)| **id == *next).count();
        if !out.is_empty() {
            out.push(' ');
        }
        out += &from.to_string();
        if let Some(last) = more.checked_sub(1).and_then(|at| after.get(at)) {
            out += &format!("-{last}");
        }
        rest = after.get(more..).unwrap_or_default();
    }
    out
}
