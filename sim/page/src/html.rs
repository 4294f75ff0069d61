//! The page itself: one file with the scenario, the module and the page's own script and style, and nothing from outside.
//!
//! Its content security policy lets run what stands in it, named by its hash, and WebAssembly; no address is allowed anything. What
//! comes from a scenario stands in it as data, never as markup.

use crate::setting::Measures;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use latchstroke_core::studies::judge::Verdict;
use latchstroke_plots::{Theme, escaped};
use latchstroke_report::{cautions, limits};
use serde_json::json;
use sha2::{Digest as _, Sha256};

/// The module as `sim/page/build` makes it, compressed.
pub const MODULE: &[u8] = include_bytes!("../latchstroke.wasm.gz");
const PAGE: &str = include_str!("../assets/page.html");
const STYLE: &str = include_str!("../assets/page.css");
const SCRIPT: &str = concat!(
    include_str!("../assets/solver.js"),
    include_str!("../assets/dials.js"),
    include_str!("../assets/page.js")
);
const WORKER: &str = include_str!("../assets/worker.js");

/// What a page is written for.
#[derive(Debug, Clone, Copy)]
pub struct Given<'a> {
    /// What the machine is called.
    pub machine: &'a str,
    /// What the scenario is called where mistakes are told.
    pub name: &'a str,
    /// The scenario's file as a command would name it; none for the built-in demo.
    pub file: Option<&'a str>,
    /// The scenario's text, with nothing beside it.
    pub text: &'a str,
    /// Values put in place of the text's.
    pub sets: &'a [String],
    /// The system to answer in, where one was asked for.
    pub units: Option<Measures>,
}

/// The page; the same for the same scenario.
pub fn page(given: &Given) -> String {
    let data = json!({
        "name": given.name,
        "file": given.file,
        "text": given.text,
        "sets": given.sets,
        "units": given.units.map(|measures| match measures {
            Measures::Metric => "metric",
            Measures::Inch => "inch",
        }),
    });
    // Within a script element the only thing that counts is what might end it.
    let data = data.to_string().replace('<', "\\u003c");
    let style = format!("{}{STYLE}", colours());
    let policy = format!(
        "default-src 'none'; script-src 'sha256-{}' 'wasm-unsafe-eval'; style-src 'sha256-{}'; worker-src blob:; base-uri 'none'; form-action 'none'",
        hash(SCRIPT),
        hash(&style)
    );
    let mut page = PAGE.to_owned();
    // What comes from outside goes in last, so that nothing it says can be taken for one of the places.
    for (place, value) in [
        ("{{policy}}", policy.as_str()),
        ("{{style}}", &style),
        ("{{script}}", SCRIPT),
        ("{{worker}}", WORKER),
        ("{{module}}", &STANDARD.encode(MODULE)),
        ("{{set}}", limits::verdict(Verdict::Set)),
        ("{{aside}}", limits::verdict(Verdict::LeaveAside)),
        ("{{neither}}", limits::verdict(Verdict::Neither)),
        ("{{heading}}", cautions::HEADING),
        ("{{cautions}}", &escaped(&cautions::plain())),
        ("{{machine}}", &escaped(given.machine)),
        ("{{given}}", &data),
    ] {
        page = page.replace(place, value);
    }
    page
}

/// The hash of a script or a style, as a policy names it.
fn hash(text: &str) -> String {
    STANDARD.encode(Sha256::digest(text.as_bytes()))
}

/// The pictures' own colours for the page round them, light and dark; on paper never light on dark.
fn colours() -> String {
    let of = |theme: &Theme| {
        let names = [
            ("sheet", theme.background),
            ("ink", theme.ink),
            ("muted", theme.muted),
            ("rule", theme.axis),
            ("hair", theme.grid),
            ("red", theme.limit),
            ("set", theme.series_colour(0).text),
            ("aside", theme.series_colour(1).text),
        ];
        names.map(|(name, colour)| format!("--{name}:{};", colour.web())).concat()
    };
    let (light, dark) = (of(&Theme::light()), of(&Theme::dark()));
    format!(
        ":root{{{light}}}\n:root.dark{{{dark}}}\n@media print{{:root.dark{{color-scheme:light;{light}}}}}\n"
    )
}
