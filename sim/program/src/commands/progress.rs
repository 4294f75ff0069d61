//! Long work as its owner sees it: a bar on a terminal's standard error, and Ctrl-C that ends it cleanly.

use super::signals;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use latchstroke_core::studies::watch::Watch;
use std::io::{self, IsTerminal};

/// The bar over work that asks whether it is called off.
pub struct Progress {
    bar: ProgressBar,
}

impl Progress {
    /// A bar over `turns` turns, drawn on standard error if that is a terminal on which a line can be drawn again. From now on
    /// Ctrl-C calls the work off; pressed again, it ends the program at once.
    pub fn start(what: &'static str, turns: u64) -> Self {
        signals::asking(true);
        let is_dumb = std::env::var_os("TERM").is_some_and(|term| term == "dumb");
        let target = if io::stderr().is_terminal() && !is_dumb {
            ProgressDrawTarget::stderr()
        } else {
            ProgressDrawTarget::hidden()
        };
        let bar = ProgressBar::with_draw_target(Some(turns), target);
        let style = ProgressStyle::with_template("{msg}  {wide_bar}  {pos} of {len}  {eta} left");
        bar.set_style(style.unwrap_or_else(|_| ProgressStyle::default_bar()));
        bar.set_message(what);
        Self { bar }
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
        signals::asking(false);
    }
}

impl Watch for Progress {
    fn advance(&self, turns: u64) {
        self.bar.inc(turns);
    }

    fn called_off(&self) -> bool {
        signals::heard().is_some()
    }
}
