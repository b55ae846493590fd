//! How long a comparison of a thousand devices over a hundred boards takes, beside reading the starter catalogue in the same run.
//!
//! `cargo bench --bench compare` prints the median of five runs of each and their ratio: a ratio holds when the machine's speed drifts.

#![allow(clippy::unwrap_used, clippy::print_stdout)]

use std::fmt::Write as _;
use std::hint::black_box;
use std::time::{Duration, Instant};

use underboard::buying::Choices;
use underboard::catalogue::from_starter;
use underboard::choice::compare;
use underboard::layout;

/// Seven hundred turnouts and three hundred signals, ten devices a board, in places that a fixed rule gives.
fn thousand() -> String {
    let mut text = String::from("boards:\n");
    for board in 0..100 {
        let _ = writeln!(text, "  - {{id: B{board}, size: 1200 x 600 mm}}");
    }
    text += "panel: {board: B50}\nturnouts:\n";
    let place = |n: usize| (50 + n * 379 % 1100, 50 + n * 211 % 500);
    for n in 0..700 {
        let (x, y) = place(n);
        let kind = ["plain", "plain", "plain", "curved", "double slip"][n % 5];
        let frog = ["live", "insulated"][n % 2];
        let _ = writeln!(text, "  - {{id: T{n}, board: B{}, at: {x} x {y} mm, kind: {kind}, frog: {frog}}}", n % 100);
    }
    text += "signals:\n";
    for n in 0..300 {
        let (x, y) = place(n + 700);
        let kind = ["semaphore", "colour light", "ground signal"][n % 3];
        let _ = writeln!(text, "  - {{id: S{n}, board: B{}, at: {x} x {y} mm, kind: {kind}}}", n % 100);
    }
    text
}

fn median<T>(mut work: impl FnMut() -> T) -> Duration {
    let mut times: Vec<Duration> = (0..5)
        .map(|_| {
            let start = Instant::now();
            black_box(work());
            start.elapsed()
        })
        .collect();
    times.sort_unstable();
    times[2]
}

fn main() {
    let catalogue = from_starter().unwrap();
    let layout = layout::read("thousand.yaml", &thousand(), &catalogue).unwrap();
    let reading = median(|| from_starter().unwrap());
    let comparing = median(|| compare(&layout, &catalogue, &Choices::default()));
    let ratio = comparing.as_secs_f64() / reading.as_secs_f64();
    println!("compare 1,000 devices: {comparing:.0?}; read the starter: {reading:.1?}; ratio {ratio:.0}");
}
