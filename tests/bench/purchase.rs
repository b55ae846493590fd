//! How long the proof of the cheapest purchase takes, on random instances of every size.
//!
//! `cargo bench --bench purchase` prints, for each size, how many are proven within one and within ten seconds, the median and the
//! longest time, and the largest gap left. `-- --count N` sets how many instances of each size (default 20), `-- --seeds 3,8` which, `-- --write DIR` writes
//! each as an MPS file with its result beside it, for `tests/outside/generate/purchase.py`.

#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    clippy::expect_used,
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss
)]

#[path = "../all/instances.rs"]
mod instances;

use std::time::{Duration, Instant};

use instances::{SIZES, TWENTY, instance};
use underboard::buying::{Limits, solve, to_mps};

fn main() {
    let args: Vec<String> = std::env::args().collect();
    let after = |name: &str| args.iter().position(|arg| arg == name).and_then(|at| args.get(at + 1));
    let count: u64 = after("--count").and_then(|n| n.parse().ok()).unwrap_or(20);
    let seeds: Vec<u64> = match after("--seeds") {
        Some(list) => list.split(',').filter_map(|seed| seed.parse().ok()).collect(),
        None => (0..count).collect(),
    };
    let only = after("--size");
    for size in SIZES.into_iter().chain([TWENTY]).filter(|size| only.is_none_or(|only| only == size.name)) {
        let mut times = Vec::new();
        let (mut in_one, mut in_ten, mut gap) = (0, 0, 0.0_f64);
        for &seed in &seeds {
            let programme = instance(size, seed);
            let start = Instant::now();
            let found = solve(&programme, Limits::patience(Duration::from_secs(10))).expect("an instance has an order");
            let time = start.elapsed();
            let proven = found.bound == found.total;
            in_one += u64::from(proven && time <= Duration::from_secs(1));
            in_ten += u64::from(proven);
            gap = gap.max((found.total - found.bound) as f64 / found.total as f64);
            times.push(time);
            if let Some(dir) = after("--write") {
                let name = format!("{dir}/{}-{seed}", size.name.replace(' ', "-"));
                std::fs::write(format!("{name}.mps"), to_mps(&programme)).expect("the folder can be written to");
                let result = format!("{} {} {}\n", found.total, found.bound, time.as_secs_f64());
                std::fs::write(format!("{name}.txt"), result).expect("the folder can be written to");
            }
            if args.iter().any(|arg| arg == "--each") {
                println!("{} {seed}: {} {} in {time:.1?}", size.name, found.total, found.bound);
            }
        }
        times.sort_unstable();
        println!(
            "{:<17} {} instances: proven in 1 s {in_one}, in 10 s {in_ten}; median {:.1?}, longest {:.1?}; largest gap {:.3} %",
            size.name,
            times.len(),
            times[times.len() / 2],
            times[times.len() - 1],
            gap * 100.0
        );
    }
}
