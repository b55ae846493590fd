//! How a discharge unit charges again past the resistor that empties it: between throws, and second by second on a route.

use underboard::catalogue::{Asked, Attr, Per, Role, Value};
use underboard::quantity::Resistance;

use crate::electrics::{by, catalogue};
use crate::support::layout;

const HARBOUR: &str = include_str!("../../examples/saltmarsh-harbour.yaml");

/// A current I into a capacitor with a resistor R across it: from V0 to V1 in R C ln((I R − V0) ÷ (I R − V1)).
#[test]
fn a_unit_recharges_past_the_resistor_that_empties_it() {
    let catalogue = catalogue();
    let plan = by("solenoid", &layout(HARBOUR, &catalogue), &catalogue);
    let [unit] = plan.discharges.as_slice() else { panic!("one unit") };
    let (amps, ohms) = (unit.limit.0, unit.bleeder.expect("it is on the bill").resistance.0);
    let farads = unit.capacitance.expect("stated").0 * 1.2e-6;
    let takes = |from: f64, to: f64| ohms * farads * ((amps * ohms - from) / (amps * ohms - to)).ln();
    let charges_in = unit.charges_in.expect("it gets full").0;
    assert!((charges_in - takes(0.0, unit.charged.least.0)).abs() < 1e-9);
    assert!(charges_in > 1.1 * farads * unit.charged.least.0 / amps, "the resistor takes its part");
    for throw in &unit.throws {
        let wait = takes(throw.residual.0, throw.throw.least_voltage(unit.needs).0);
        assert!((throw.next.expect("it gets there").0 - wait).abs() < 1e-9, "{throw:?}");
    }
    let held = unit.throws[0].throw.held.0;
    let (mut while_held, mut charging) = (0, 0);
    for timeline in &plan.timelines {
        let mut last = None;
        for moment in &timeline.moments {
            let charge = moment.charges[0];
            if moment.throws.iter().any(|&lever| unit.of(lever).is_some()) {
                last = Some((moment.at.0, charge.0));
                continue;
            }
            let Some((thrown, left)) = last else { continue };
            let since = moment.at.0 - thrown - held;
            if since < 0.0 {
                // While the lever is held it shows what the throw leaves, not the charge before it.
                assert!((charge.0 - left).abs() < 1e-9, "{moment:?}");
                while_held += 1;
            } else if charge < unit.charged.least {
                assert!((takes(left, charge.0) - since).abs() < 1e-6, "{moment:?}");
                charging += 1;
            }
        }
    }
    assert!(while_held > 0 && charging > 5, "{while_held}, {charging}");
}

/// A resistor that takes all that flows in keeps a unit from getting full, and the plan still comes to its end.
#[test]
fn a_unit_that_never_gets_full_names_no_time() {
    let mut catalogue = catalogue();
    let small = Resistance(100.0);
    let kinds: Vec<Role> = catalogue.kinds.iter().map(|kind| kind.role).collect();
    let is_across = |per: Per, role: Role| per == Per::Layout && role == Role::Resistor;
    for rule in catalogue.rules.iter_mut().filter(|rule| is_across(rule.per, kinds[rule.kind.index()])) {
        for (_, asked) in rule.asks.iter_mut().filter(|(attr, _)| *attr == Attr::Resistance) {
            *asked = Asked::Value(Value::Measured(small.quantity()));
        }
    }
    let plan = by("solenoid", &layout(HARBOUR, &catalogue), &catalogue);
    let [unit] = plan.discharges.as_slice() else { panic!("one unit") };
    assert_eq!(unit.bleeder.map(|bleeder| bleeder.resistance), Some(small));
    assert_eq!(unit.charges_in, None);
    assert!(unit.throws.iter().all(|throw| throw.next.is_none()));
    for timeline in &plan.timelines {
        let last = timeline.moments.last().expect("moments");
        assert!(last.charges[0].0 < unit.limit.0 * small.0 && last.at.0 < 60.0, "{last:?}");
    }
}
