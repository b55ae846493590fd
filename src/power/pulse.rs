//! The heating of pulses: what a connector's pin, rated for a steady current, makes of a burst of tens of milliseconds.

use crate::quantity::{Current, Seconds, Share};
use crate::scheme::Draw;

/// A pulse as its heating: the integral of the current squared over time, in ampere squared seconds.
#[derive(Debug, Clone, Copy, Default, PartialEq, PartialOrd)]
pub struct Pulse {
    heating: f64,
}

impl Pulse {
    /// A pulse of constant current: I²t.
    pub fn rectangular(current: Current, duration: Seconds) -> Self {
        Self { heating: current.0 * current.0 * duration.0.max(0.0) }
    }

    /// A discharge that begins at `peak` and decays with a time constant, cut off after `duration`: I²τ/2 (1 − e^(−2t/τ)).
    pub fn discharge(peak: Current, time_constant: Seconds, duration: Seconds) -> Self {
        if time_constant <= Seconds::ZERO {
            return Self::default();
        }
        let share = 1.0 - (-2.0 * duration.0.max(0.0) / time_constant.0).exp();
        Self { heating: peak.0 * peak.0 * time_constant.0 / 2.0 * share }
    }

    /// Two pulses through the same pin.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        Self { heating: self.heating + other.heating }
    }

    /// The steady current that heats as much as this pulse repeated every `period`; `None` without a period.
    ///
    /// The period is the shortest time in which the pulse comes again: for a discharge unit, its recharge.
    pub fn rms(self, period: Seconds) -> Option<Current> {
        (period.0 > 0.0).then(|| Current((self.heating / period.0).sqrt()))
    }
}

/// The shortest time in which a pulse comes again through the same wire, pin or converter. Common practice, no source: nobody throws faster by hand,
/// and few discharge units recharge faster.
pub const BETWEEN_PULSES: Seconds = Seconds(1.0);

/// The steady current that heats as much as this one: of a pulse, its r.m.s.
pub fn heats(draw: Draw, current: Current) -> Current {
    match draw {
        Draw::Pulse { duration, .. } => Pulse::rectangular(current, duration).rms(BETWEEN_PULSES).unwrap_or(current),
        _ => current,
    }
}

/// The steady current that heats as much as a steady one and pulses together.
pub fn together(steady: Current, pulses: Current) -> Current {
    Current(steady.0.hypot(pulses.0))
}

/// How many pins to parallel for a current: the fewest of which each bears its part.
///
/// Paralleled pins never share alike, so each counts with `sharing` of its rating when there is more than one; 80 % is common
/// practice, no source. `None` where no number of pins serves, or more than [`MOST_PINS`].
pub fn pins(current: Current, rating: Current, sharing: Share) -> Option<u32> {
    let bears = |pins: u32| {
        let each = if pins == 1 { rating.0 } else { rating.0 * sharing.0.min(1.0) };
        current.0 <= f64::from(pins) * each * (1.0 + 1e-9)
    };
    (1..=MOST_PINS).find(|&pins| bears(pins))
}

/// More pins than this are no longer paralleled: another connector is wanted.
pub const MOST_PINS: u32 = 64;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_steady_current_is_its_own_mean() {
        let steady = Pulse::rectangular(Current(2.0), Seconds(3.0)).rms(Seconds(3.0));
        assert_eq!(steady, Some(Current(2.0)));
    }

    #[test]
    fn a_short_pulse_heats_little() {
        // 4.5 A for 50 ms every 2 s: 4.5 × √(0.05 ÷ 2) by hand.
        let rms = Pulse::rectangular(Current(4.5), Seconds(0.05)).rms(Seconds(2.0)).unwrap();
        assert!((rms.0 - 0.711_512).abs() < 1e-6);
    }

    #[test]
    fn a_discharge_heats_as_the_sum_of_its_slices() {
        let (peak, tau, end) = (4.6, 0.0224, 0.05);
        let slices = 100_000;
        let step = end / f64::from(slices);
        let current = |at: f64| peak * (-at / tau).exp();
        let sum: f64 = (0..slices).map(|i| current((f64::from(i) + 0.5) * step).powi(2) * step).sum();
        let pulse = Pulse::discharge(Current(peak), Seconds(tau), Seconds(end));
        assert!((pulse.heating - sum).abs() < 1e-8 * sum);
    }

    #[test]
    fn pins_are_paralleled_where_one_is_too_weak() {
        let pins = |current, rating| pins(Current(current), Current(rating), Share(0.8));
        assert_eq!(pins(0.7, 1.0), Some(1));
        assert_eq!(pins(1.0, 1.0), Some(1));
        assert_eq!(pins(1.1, 1.0), Some(2));
        assert_eq!(pins(1.7, 1.0), Some(3), "two share 1.6 A at most");
        assert_eq!(pins(1.0, 0.0), None);
        assert_eq!(pins(f64::NAN, 1.0), None);
    }

    #[test]
    fn without_a_period_there_is_no_mean() {
        assert_eq!(Pulse::default().rms(Seconds::ZERO), None);
    }
}
