//! The page that opens anywhere.
//!
//! [`Session`] is what the page's script talks to: a request goes in as JSON, an answer comes out as JSON with its words and its
//! pictures (SVG) ready to be shown. It is the same library that the commands use; nothing is decided, worded or drawn here that
//! they decide, word or draw. Compiled to WebAssembly (`abi.rs`, `sim/page/build`) it stands in the page; on a machine it is
//! plain Rust, and `html` writes that page.
//!
//! | module | what it answers |
//! |---|---|
//! | `setting` | a scenario's text with values put in their place, or its mistakes |
//! | `dial` | what can be moved, in the owner's units |
//! | `judged` | verdict, limits, charts of one setting |
//! | `moving` | the machine at instants of its turns |
//! | `sweep` | what one dial does over its range |

#[cfg(target_arch = "wasm32")]
mod abi;
mod dial;
#[cfg(not(target_arch = "wasm32"))]
pub mod html;
mod judged;
mod look;
mod moving;
mod setting;
mod sweep;

use dial::Dial;
use judged::Judged;
use latchstroke_plots::{Weight, face};
use latchstroke_scenario::{Location, Mistake, Mistakes};
use look::Look;
use serde::Deserialize;
use serde_json::{Value, json};
use setting::{Base, Setting};

pub use setting::Measures;

/// What a page may ask.
#[derive(Debug, Deserialize)]
#[serde(tag = "ask", rename_all = "kebab-case")]
enum Request {
    /// Verdict, limits and the charts named.
    Judge { setting: Setting, look: Look, charts: Vec<String> },
    /// The machine at frames of the film.
    Frames { setting: Setting, look: Look, from: usize, count: usize },
    /// What a dial does over its range.
    Sweep { setting: Setting, look: Look, dial: Dial },
    /// How sure the verdict is, from so many machines drawn.
    Sure { setting: Setting, draws: usize },
    /// The report of `latchstroke turn`.
    Report { setting: Setting },
    /// The setting as a scenario of its own.
    Text { setting: Setting },
    /// A face of the type that the pictures are set in: its file.
    Face { bold: bool },
}

/// A page's conversation with the solver. What was last read and judged is kept, so that the frames of a setting cost no turn.
#[derive(Debug, Default)]
pub struct Session {
    base: Option<Base>,
    judged: Option<Judged>,
}

impl Session {
    /// The answer to a request, UTF-8 JSON but for the bytes of a face. Whatever is asked, there is an answer.
    pub fn answer(&mut self, request: &[u8]) -> Vec<u8> {
        let request: Request = match serde_json::from_slice(request) {
            Ok(request) => request,
            Err(error) => return json!({ "error": error.to_string() }).to_string().into_bytes(),
        };
        if let Request::Face { bold } = request {
            return face(if bold { Weight::Bold } else { Weight::Regular }).to_vec();
        }
        self.told(&request).to_string().into_bytes()
    }

    fn told(&mut self, request: &Request) -> Value {
        let answer = match request {
            Request::Judge { setting, look, charts } => {
                self.judged(setting).and_then(|judged| judged.answer(*look, charts))
            }
            Request::Frames { setting, look, from, count } => {
                self.judged(setting).and_then(|judged| moving::frames(judged, *look, (*from, *count)))
            }
            Request::Report { setting } => self.judged(setting).map(judged::Judged::report),
            Request::Sure { setting, draws } => self.judged(setting).and_then(|judged| judged.sure(*draws)),
            Request::Sweep { setting, look, dial } => {
                self.base(setting).and_then(|base| sweep::answer(base, setting, *dial, *look))
            }
            Request::Text { setting } => self
                .base(setting)
                .and_then(|base| base.with(setting))
                .map(|opened| json!({ "text": opened.scenario.resolved_toml() })),
            Request::Face { .. } => Ok(Value::Null),
        };
        answer.unwrap_or_else(|problem| problem.json())
    }

    /// The scenario of a setting as written.
    fn base(&mut self, setting: &Setting) -> Result<&Base, Problem> {
        if self.base.as_ref().is_none_or(|base| !base.is_of(setting)) {
            self.judged = None;
            self.base = None;
            self.base = Some(Base::read(setting)?);
        }
        self.base.as_ref().ok_or(Problem::Picture(String::new()))
    }

    /// A setting judged.
    fn judged(&mut self, setting: &Setting) -> Result<&Judged, Problem> {
        if self.judged.as_ref().is_none_or(|judged| judged.setting != *setting) {
            self.judged = None;
            self.judged = Some(Judged::of(self.base(setting)?, setting)?);
        }
        self.judged.as_ref().ok_or(Problem::Picture(String::new()))
    }
}

/// Why there is no answer.
#[derive(Debug)]
enum Problem {
    /// The setting has mistakes; beside each, the dial it was made on.
    Mistakes(Vec<(Mistake, Option<Dial>)>),
    /// A picture cannot be drawn.
    Picture(String),
}

impl Problem {
    /// Mistakes of which none was made on a dial.
    fn of(mistakes: &Mistakes) -> Self {
        Self::Mistakes(mistakes.list().iter().map(|mistake| (mistake.clone(), None)).collect())
    }

    fn json(&self) -> Value {
        match self {
            Self::Mistakes(list) => {
                json!({ "mistakes": list.iter().map(|(m, dial)| mistake(m, *dial)).collect::<Vec<_>>() })
            }
            Self::Picture(why) => json!({ "error": why }),
        }
    }
}

impl From<latchstroke_plots::PlotError> for Problem {
    fn from(error: latchstroke_plots::PlotError) -> Self {
        Self::Picture(error.to_string())
    }
}

/// A mistake or a remark as the page shows it: where, what, and what would be right.
fn mistake(of: &Mistake, dial: Option<Dial>) -> Value {
    let column = match of.location {
        Location::File { column, .. } => Some(column),
        _ => None,
    };
    json!({
        "line": of.location.line(),
        "column": column,
        "place": of.location.in_words(),
        "message": of.message,
        "right": of.right,
        "dial": dial,
    })
}

#[cfg(test)]
mod tests;
