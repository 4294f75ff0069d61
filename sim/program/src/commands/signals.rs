//! Ctrl-C and the system's wish that the program end: nothing half done is left, and the exit code says what happened.

use latchstroke_report::outbox;
use std::sync::atomic::{AtomicBool, AtomicI32, Ordering};

/// What has been heard; 0 where nothing has.
static HEARD: AtomicI32 = AtomicI32::new(0);
/// Whether the work under way asks whether it is called off, and ends by itself.
static ASKED: AtomicBool = AtomicBool::new(false);

/// Listens from now on. Work that asks is given the time to end by itself; other work, and any work at the second time, is ended
/// here.
pub fn listen() {
    #[cfg(unix)]
    {
        use signal_hook::consts::{SIGINT, SIGTERM, SIGXFSZ};
        // A file that grows beyond what the system lets is then an error of its writing.
        let _ = signal_hook::flag::register(SIGXFSZ, std::sync::Arc::default());
        // Where the system does not let the program listen, it ends it; what that leaves is cleared at the next run.
        let Ok(mut signals) = signal_hook::iterator::Signals::new([SIGINT, SIGTERM]) else { return };
        std::thread::spawn(move || {
            for signal in signals.forever() {
                let again = HEARD.swap(signal, Ordering::SeqCst) != 0;
                if again || !ASKED.load(Ordering::SeqCst) {
                    end(signal);
                }
            }
        });
    }
}

/// Ends the program for a signal.
#[cfg(unix)]
fn end(signal: i32) -> ! {
    use std::io::Write as _;
    let written = outbox::abandon();
    let text = if written { "called off" } else { "called off; nothing was written" };
    // With standard error gone there is nobody left to tell.
    let _ = writeln!(std::io::stderr(), "latchstroke: {text}");
    std::process::exit(i32::from(code_of(signal)))
}

/// What a shell makes of a program ended by a signal: 130 for Ctrl-C, 143 for the system's wish.
fn code_of(signal: i32) -> u8 {
    u8::try_from(128 + signal).unwrap_or(u8::MAX)
}

/// Whether the work asks from now on.
pub fn asking(asks: bool) {
    ASKED.store(asks, Ordering::SeqCst);
}

/// The exit code of work that was called off, if it was.
pub fn heard() -> Option<u8> {
    Some(HEARD.load(Ordering::SeqCst)).filter(|signal| *signal != 0).map(code_of)
}
