//! Which mutant is awake: the one whose number `LATCHSTROKE_MUTANT` holds. Where `LATCHSTROKE_REACH` names a file, none is, and the numbers
//! of all that are come by are written there, each once.
#![allow(missing_docs)]

use std::fs::OpenOptions;
use std::io::Write;
use std::path::PathBuf;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering::Relaxed};

const MOST: usize = 200_000;
const UNKNOWN: usize = usize::MAX;
static AWAKE: AtomicUsize = AtomicUsize::new(UNKNOWN);
static REACH: OnceLock<Option<PathBuf>> = OnceLock::new();
static SEEN: [AtomicBool; MOST] = [const { AtomicBool::new(false) }; MOST];

#[inline]
pub fn awake(number: usize) -> bool {
    match AWAKE.load(Relaxed) {
        UNKNOWN => first(number),
        awake => awake == number,
    }
}

#[cold]
#[inline(never)]
fn first(number: usize) -> bool {
    let reach = REACH.get_or_init(|| {
        let reach = std::env::var_os("LATCHSTROKE_REACH").map(PathBuf::from);
        if reach.is_none() {
            let called = std::env::var("LATCHSTROKE_MUTANT").ok().and_then(|number| number.parse().ok());
            AWAKE.store(called.unwrap_or(0), Relaxed);
        }
        reach
    });
    let Some(path) = reach else { return AWAKE.load(Relaxed) == number };
    if !SEEN[number].swap(true, Relaxed) {
        if let Ok(mut file) = OpenOptions::new().create(true).append(true).open(path) {
            let _ = file.write_all(format!("{number}\n").as_bytes());
        }
    }
    false
}

pub trait More {
    #[must_use]
    fn more(self) -> Self;
}

impl More for f64 {
    fn more(self) -> Self {
        1.5 * self
    }
}

impl More for usize {
    fn more(self) -> Self {
        self + 1
    }
}

impl More for u32 {
    fn more(self) -> Self {
        self + 1
    }
}

impl More for u64 {
    fn more(self) -> Self {
        self + 1
    }
}

#[inline]
pub fn scaled<T: More>(number: usize, value: T) -> T {
    if awake(number) { value.more() } else { value }
}
