//! Learning and three-point sums against Python's `decimal`, `fractions` and `statistics`.

use underboard::hours::{Z_80, deviation, learning_sum, mean};
use underboard::quantity::{Minutes, Share};

use super::{agree, figures};

/// Agrees within a billionth.
#[test]
fn repeats_follow_the_unit_form_of_the_learning_curve() {
    for (rate, times, sum) in figures::<(f64, u32, f64)>("learning") {
        agree(&format!("{times} at {rate}"), learning_sum(Share(rate), times), sum, 1e-9);
    }
}

#[test]
fn three_points_have_their_mean_and_variance() {
    for (low, likely, high, expected, variance) in figures::<(f64, f64, f64, f64, f64)>("three-point") {
        agree("mean", mean(Minutes(low), Minutes(likely), Minutes(high)).0, expected, 1e-9);
        agree("variance", deviation(Minutes(low), Minutes(high)).0.powi(2), variance, 1e-9);
    }
}

#[test]
fn four_builds_of_five_lie_below_the_quantile() {
    for (share, deviations) in figures::<(f64, f64)>("quantile") {
        agree("share", share, 0.8, 1e-12);
        agree("quantile", Z_80, deviations, 1e-9);
    }
}
