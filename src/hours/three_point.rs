//! The sums: three-point estimates and the learning curve.

use crate::quantity::{Minutes, Share};

/// How many deviations above the mean are not exceeded in four builds of five: the 0.8 quantile of the normal distribution.
pub const Z_80: f64 = 0.841_621_233_572_914;

/// The expected time (a + 4m + b) ÷ 6 of a low, likely and high estimate.
/// Source: the three-point formula of the programme evaluation and review technique.
pub fn mean(low: Minutes, likely: Minutes, high: Minutes) -> Minutes {
    Minutes((low.0 + 4.0 * likely.0 + high.0) / 6.0)
}

/// The standard deviation (b − a) ÷ 6 of a low and high estimate. Source as [`mean`].
pub fn deviation(low: Minutes, high: Minutes) -> Minutes {
    Minutes((high.0 - low.0) / 6.0)
}

/// What `times` repeats take together, in units of the first: the sum of n^log₂ r over n, the unit form of the learning curve, in which each
/// doubling makes the single repeat take the share r of what it took.
pub fn learning_sum(rate: Share, times: u32) -> f64 {
    let exponent = rate.0.log2();
    (1..=times).map(|n| f64::from(n).powf(exponent)).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: activities of a project management textbook's worked example; mean 24 and variance 5.0 on the path.
    #[test]
    fn a_path_of_activities_sums_to_the_textbook_figures() {
        let path = [(5.0, 8.0, 17.0), (3.0, 5.0, 7.0), (4.0, 6.0, 8.0), (3.0, 4.0, 5.0)];
        let total: f64 = path.iter().map(|&(a, m, b)| mean(Minutes(a), Minutes(m), Minutes(b)).0).sum();
        let variance: f64 = path.iter().map(|&(a, _, b)| deviation(Minutes(a), Minutes(b)).0.powi(2)).sum();
        assert!((total - 24.0).abs() < 1e-9, "{total}");
        assert!((variance - 5.0).abs() < 1e-9, "{variance}");
    }

    /// Source: the unit form computed for 80 %: 100, 80, 70.21, 64; sums 180, 250.21, 314.21, 534.59 at 2, 3, 4, 8.
    #[test]
    fn the_learning_curve_in_unit_form() {
        for (times, sum) in [(1, 100.0), (2, 180.0), (3, 250.21), (4, 314.21), (8, 534.59)] {
            assert!((100.0 * learning_sum(Share(0.8), times) - sum).abs() < 0.01, "{times}");
        }
    }
}
