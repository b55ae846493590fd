//! Shows on a terminal how the search goes, and lets an interrupt end it with the best order found so far.

use std::io::{self, IsTerminal, Write};
use std::process;
use std::sync::Once;
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::thread;
use std::time::Duration;

use super::output::terminal_width;
use crate::buying::Watch;
use crate::money::{Currency, Money};

/// Looks on for the whole run of the program.
pub(super) static WATCH: Watch = Watch::new();

/// Exit code of a program that was interrupted, as shells give it: 128 and the number of the signal.
const INTERRUPTED: i32 = 130;

/// Nothing is shown of what takes less.
const SOON: Duration = Duration::from_millis(500);

/// Between two looks.
const TURN: Duration = Duration::from_millis(200);

/// Does what may take long: the first interrupt stops the search, the second the program; where standard error is a terminal, it
/// tells how the search goes.
pub(super) fn watched<T>(home: Currency, work: impl FnOnce() -> T) -> T {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        // Where no handler can be set, an interrupt ends the program, as it does anyway.
        let _ = ctrlc::set_handler(|| {
            if WATCH.stop() {
                process::exit(INTERRUPTED);
            }
        });
    });
    if !io::stderr().is_terminal() {
        return work();
    }
    thread::scope(|scope| {
        let (end, ended) = channel::<()>();
        scope.spawn(move || tell(&ended, home));
        let result = work();
        drop(end);
        result
    })
}

/// Tells how the search goes until it has ended, on one line that is wiped out at the end.
fn tell(ended: &Receiver<()>, home: Currency) {
    let mut wait = SOON;
    let mut shown: usize = 0;
    while ended.recv_timeout(wait) == Err(RecvTimeoutError::Timeout) {
        wait = TURN;
        let room = usize::from(terminal_width().unwrap_or(80)).saturating_sub(1);
        let line: String = line(home).chars().take(room).collect();
        let length = line.chars().count();
        to_stderr(&format!("\r{line}{}", " ".repeat(shown.saturating_sub(length))));
        shown = length;
    }
    if shown > 0 {
        to_stderr(&format!("\r{}\r", " ".repeat(shown)));
    }
}

/// Which order is searched for, and how that stands; short enough for most terminals.
fn line(home: Currency) -> String {
    let standing = WATCH.last().map_or(String::new(), |standing| {
        let money = |minor| Money::from_minor(minor, home);
        format!(": {} found, none below {}", money(standing.best), money(standing.bound))
    });
    format!("Order {} (Ctrl-C takes the best){standing}", WATCH.done().saturating_add(1))
}

fn to_stderr(text: &str) {
    // Where nobody hears, there is nobody to tell.
    let _ = io::stderr().lock().write_all(text.as_bytes()).and_then(|()| io::stderr().flush());
}
