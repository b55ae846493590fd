//! Fuses of the R10 series.

use crate::quantity::Current;

/// Ratings in milliamperes. Source: IEC 60127-1, series R10; 32 to 250 mA from memory.
const R10: [u32; 26] = [
    32, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400, 500, 630, 800, 1000, 1250, 1600, 2000, 2500, 3150, 4000, 5000, 6300,
    8000, 10_000,
];

/// The next rating of the series above a load; `None` beyond the largest.
pub fn next_r10(load: Current) -> Option<Current> {
    R10.iter().map(|&ma| Current(f64::from(ma) / 1000.0)).find(|rating| *rating > load)
}
