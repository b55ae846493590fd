//! A linear axis from nothing, or from the least below it, with round figures.

use rust_decimal::prelude::ToPrimitive;

use crate::report::document::Cell;
use crate::report::figures::{Figures, Scale};

/// An axis: what stretch of millimetres stands for what stretch of values.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Axis {
    /// The unit of its figures; empty for plain numbers.
    pub(super) symbol: String,
    /// The value, as [`Cell::number`] gives it, that one unit is.
    unit: f64,
    low: f64,
    high: f64,
    step: f64,
    from: f64,
    span: f64,
}

impl Axis {
    /// An axis for these values that begins at `from` and is `span` long.
    pub(super) fn new<'a>(cells: impl Iterator<Item = &'a Cell> + Clone, from: f64, span: f64) -> Self {
        let scale = Scale::common(cells.clone(), Figures::Rounded);
        let unit = match (cells.clone().find(|cell| cell.number().is_some()), scale) {
            (Some(Cell::Money(money)), _) => 10_f64.powi(i32::try_from(money.currency().places()).unwrap_or(0)),
            (Some(Cell::Percent(_)), _) => 0.01,
            (_, Some(scale)) => scale.unit.to_f64().unwrap_or(1.0),
            (_, None) => 1.0,
        };
        let values = cells.filter_map(Cell::number).map(|value| value / unit);
        let (low, high) = values.fold((0.0_f64, 0.0_f64), |(low, high), value| (low.min(value), high.max(value)));
        let high = if high > low { high } else { low + 1.0 };
        let step = round_step((high - low) / 5.0);
        let symbol = scale.map(|scale| scale.symbol.to_owned()).unwrap_or_default();
        Self { symbol, unit, low: (low / step).floor() * step, high: (high / step).ceil() * step, step, from, span }
    }

    /// Where a value, as [`Cell::number`] gives it, stands.
    pub(super) fn at(&self, value: f64) -> f64 {
        self.from + (value / self.unit - self.low) / (self.high - self.low) * self.span
    }

    /// Where a cell's value stands; at nothing where it has none.
    pub(super) fn of(&self, cell: &Cell) -> f64 {
        self.at(cell.number().unwrap_or(0.0))
    }

    /// Where the figures stand, and what they are.
    pub(super) fn ticks(&self) -> Vec<(f64, String)> {
        let places = (0..6).find(|&places| self.step * 10_f64.powi(places) >= 0.999_999).unwrap_or(6);
        let places = usize::try_from(places).unwrap_or(0);
        let count = ((self.high - self.low) / self.step).round();
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "some five to ten steps")]
        let steps = 0..=(count.clamp(1.0, 20.0) as u32);
        steps
            .map(|n| {
                let value = self.low + f64::from(n) * self.step;
                (self.at(value * self.unit), format!("{value:.places$}"))
            })
            .collect()
    }
}

/// 1, 2 or 5 times a power of ten, not below the wish.
fn round_step(wish: f64) -> f64 {
    let power = 10_f64.powf(wish.log10().floor());
    [1.0, 2.0, 5.0].into_iter().map(|times| times * power).find(|step| *step >= wish * 0.999_999).unwrap_or(10.0 * power)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Current;
    use crate::report::sample::euro;

    #[test]
    fn a_value_twice_as_large_reaches_twice_as_far() {
        let cells = [Cell::from(euro(10_000)), euro(20_000).into()];
        let axis = Axis::new(cells.iter(), 30.0, 100.0);
        assert!(((axis.of(&cells[1]) - 30.0) - 2.0 * (axis.of(&cells[0]) - 30.0)).abs() < 1e-9);
        assert_eq!(axis.ticks().first().unwrap(), &(30.0, "0".to_owned()));
        assert_eq!(axis.ticks().last().unwrap(), &(130.0, "200".to_owned()));
        assert_eq!(axis.symbol, "EUR");
    }

    #[test]
    fn figures_are_round_and_in_the_unit_of_the_values() {
        let cells = [Cell::from(Current(0.25)), Current(0.731).into()];
        let axis = Axis::new(cells.iter(), 0.0, 100.0);
        let ticks: Vec<String> = axis.ticks().into_iter().map(|(_, figure)| figure).collect();
        assert_eq!((axis.symbol.as_str(), ticks.join(" ")), ("mA", "0 200 400 600 800".to_owned()));
    }

    #[test]
    fn what_falls_below_nothing_has_room() {
        let cells = [Cell::Percent(-0.3), Cell::Percent(0.4)];
        let axis = Axis::new(cells.iter(), 0.0, 100.0);
        assert!(axis.of(&cells[0]) >= 0.0 && axis.at(0.0) > axis.of(&cells[0]));
        assert_eq!(axis.ticks().first().unwrap().1, "-40");
    }
}
