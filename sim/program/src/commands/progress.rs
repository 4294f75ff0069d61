//! Long work as its owner sees it: a bar on a terminal's standard error, and Ctrl-C that ends it cleanly.

use super::Failure;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use latchstroke_core::studies::watch::Watch;
use std::io::{self, IsTerminal};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// What the shell makes of a program ended by Ctrl-C.
const INTERRUPTED: i32 = 130;

/// The bar and the wish to stop.
pub struct Progress {
    bar: ProgressBar,
    called_off: Arc<AtomicBool>,
}

impl Progress {
    /// A bar over `turns` turns, drawn on standard error if that is a terminal. From now on Ctrl-C calls the work off; pressed
    /// again, it ends the program at once.
    ///
    /// # Errors
    /// When the system does not let the program hear of Ctrl-C.
    pub fn start(what: &'static str, turns: u64) -> Result<Self, Failure> {
        let called_off = Arc::new(AtomicBool::new(false));
        let heard = Arc::clone(&called_off);
        ctrlc::set_handler(move || {
            if heard.swap(true, Ordering::Relaxed) {
                std::process::exit(INTERRUPTED);
            }
        })
        .map_err(|error| Failure::Plain(format!("cannot listen for Ctrl-C: {error}")))?;
        let target = if io::stderr().is_terminal() {
            ProgressDrawTarget::stderr()
        } else {
            ProgressDrawTarget::hidden()
        };
        let bar = ProgressBar::with_draw_target(Some(turns), target);
        let style = ProgressStyle::with_template("{msg}  {wide_bar}  {pos} of {len}  {eta} left");
        bar.set_style(style.unwrap_or_else(|_| ProgressStyle::default_bar()));
        bar.set_message(what);
        Ok(Self { bar, called_off })
    }

    /// Goes on to another piece of work of `turns` turns.
    pub fn next(&self, what: &'static str, turns: u64) {
        self.bar.set_message(what);
        self.bar.reset();
        self.bar.set_length(turns);
    }

    /// Takes the bar away.
    pub fn finish(&self) {
        self.bar.finish_and_clear();
    }
}

impl Watch for Progress {
    fn advance(&self, turns: u64) {
        self.bar.inc(turns);
    }

    fn called_off(&self) -> bool {
        self.called_off.load(Ordering::Relaxed)
    }
}
