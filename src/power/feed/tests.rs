//! Checks of the feed's sums by hand and by property; simulated ones are in `tests/outside`.

use proptest::prelude::*;

use super::*;
use crate::quantity::Length;

fn amperes(current: f64) -> Draws {
    Draws::Current(Current(current))
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * (1.0 + a.abs().max(b.abs()))
}

#[test]
fn one_load_by_ohms_law() {
    let mut feed = Feed::new(Voltage(12.0));
    let out = feed.extend(Feed::OUT, Resistance(0.5));
    let back = feed.extend(Feed::BACK, Resistance(0.25));
    feed.load(out, back, amperes(2.0));
    let solution = feed.solve().unwrap();
    assert_eq!(solution.voltages, [Voltage(10.5)]);
    assert_eq!(solution.nodes[back.0], Voltage(0.5));
    assert_eq!(solution.conductors, [Current(2.0), Current(-2.0)]);
    assert_eq!((solution.total, solution.worst()), (Current(2.0), Some((0, Voltage(10.5)))));
    assert_eq!(solution.most(), Current(2.0));
}

#[test]
fn a_shared_return_carries_the_sum() {
    let mut feed = Feed::new(Voltage(12.0));
    let (a, b) = (feed.extend(Feed::OUT, Resistance(1.0)), feed.extend(Feed::OUT, Resistance(1.0)));
    let shared = feed.extend(Feed::BACK, Resistance(1.0));
    feed.load(a, shared, amperes(1.0));
    feed.load(b, shared, amperes(2.0));
    let solution = feed.solve().unwrap();
    assert_eq!(solution.voltages, [Voltage(12.0 - 1.0 - 3.0), Voltage(12.0 - 2.0 - 3.0)]);
    assert_eq!(solution.conductors[2], Current(-3.0));
}

#[test]
fn a_constant_power_settles_at_the_higher_root() {
    // V² − 12 V + R P = 0 with R = 1 ohm, P = 20 W: V = 6 + √16 = 10 V, 2 A.
    let mut feed = Feed::new(Voltage(12.0));
    let out = feed.extend(Feed::OUT, Resistance(1.0));
    feed.load(out, Feed::BACK, Draws::converter(Power(16.0), Share(0.8)));
    let solution = feed.solve().unwrap();
    assert!(close(solution.voltages[0].0, 10.0) && close(solution.currents[0].0, 2.0));
}

#[test]
fn more_power_than_the_wire_can_bring_is_a_collapse() {
    // The most that 12 V bring through 1 ohm is V²/4R = 36 W.
    let solve = |watts| {
        let mut feed = Feed::new(Voltage(12.0));
        let out = feed.extend(Feed::OUT, Resistance(1.0));
        feed.load(out, Feed::BACK, amperes(0.0));
        feed.load(out, Feed::BACK, Draws::Power(Power(watts)));
        feed.solve()
    };
    assert!((solve(35.99).unwrap().voltages[1].0 - (6.0 + (36.0_f64 - 35.99).sqrt())).abs() < 1e-6);
    assert!(matches!(solve(36.01), Err(FeedError::Collapse(_))));
    assert!(matches!(solve(1e9), Err(FeedError::Collapse(_))));
}

#[test]
fn a_current_that_uses_up_the_voltage_is_a_collapse() {
    let mut feed = Feed::new(Voltage(5.0));
    let out = feed.extend(Feed::OUT, Resistance(10.0));
    feed.load(Feed::OUT, Feed::BACK, amperes(1.0));
    feed.load(out, Feed::BACK, amperes(0.6));
    assert_eq!(feed.solve(), Err(FeedError::Collapse(1)));
}

#[test]
fn a_ring_feeds_from_both_sides() {
    // A ring of four equal conductors with the load opposite the terminal: half from each side.
    let mut feed = Feed::new(Voltage(10.0));
    let left = feed.extend(Feed::OUT, Resistance(1.0));
    let far = feed.extend(left, Resistance(1.0));
    let right = feed.extend(Feed::OUT, Resistance(1.0));
    let closing = feed.conductor(far, right, Resistance(1.0));
    feed.load(far, Feed::BACK, amperes(2.0));
    let solution = feed.solve().unwrap();
    assert!(close(solution.voltages[0].0, 8.0));
    assert!(close(solution.conductors[closing].0, -1.0));
}

#[test]
fn a_bridge_of_resistors_balances() {
    // A resistor between the terminals is a load of its own: 10 V over 4 + 6 ohm beside 10 V over 2 + 3 ohm, bridged without current.
    let mut feed = Feed::new(Voltage(10.0));
    let (a, b) = (feed.extend(Feed::OUT, Resistance(4.0)), feed.extend(Feed::OUT, Resistance(2.0)));
    feed.conductor(a, Feed::BACK, Resistance(6.0));
    feed.conductor(b, Feed::BACK, Resistance(3.0));
    let bridge = feed.conductor(a, b, Resistance(1.0));
    let solution = feed.solve().unwrap();
    assert!(close(solution.total.0, 3.0) && close(solution.conductors[bridge].0, 0.0));
    assert!(close(solution.nodes[a.0].0, 6.0));
}

#[test]
fn conductors_without_resistance_are_no_harm_but_for_a_short() {
    let mut feed = Feed::new(Voltage(10.0));
    let a = feed.extend(Feed::OUT, Resistance::ZERO);
    let b = feed.extend(a, Resistance::ZERO);
    feed.conductor(Feed::OUT, b, Resistance::ZERO);
    feed.load(b, Feed::BACK, amperes(1.0));
    assert_eq!(feed.solve().unwrap().voltages, [Voltage(10.0)]);
    feed.conductor(b, Feed::BACK, Resistance::ZERO);
    assert_eq!(feed.solve(), Err(FeedError::Short));
}

#[test]
fn what_is_not_physical_or_not_connected_is_refused() {
    let feed = |resistance, current| {
        let mut feed = Feed::new(Voltage(10.0));
        let out = feed.extend(Feed::OUT, Resistance(resistance));
        feed.load(out, Feed::BACK, amperes(current));
        feed
    };
    for bad in [feed(-1.0, 1.0), feed(f64::NAN, 1.0), feed(f64::INFINITY, 1.0), feed(1.0, -1.0), Feed::new(Voltage::ZERO)] {
        assert_eq!(bad.solve(), Err(FeedError::NotPhysical));
    }
    let mut loose = feed(1.0, 1.0);
    let node = loose.node();
    assert_eq!(loose.solve(), Err(FeedError::Unconnected(node)));
    let mut foreign = feed(1.0, 1.0);
    foreign.load(Node(99), Feed::BACK, amperes(1.0));
    assert_eq!(foreign.solve(), Err(FeedError::Unconnected(Node(99))));
}

#[test]
fn a_feed_without_loads_has_its_full_voltage() {
    let mut feed = Feed::new(Voltage(10.0));
    let far = feed.extend(Feed::OUT, Resistance(1.0));
    let solution = feed.solve().unwrap();
    assert_eq!((solution.nodes[far.0], solution.total, solution.worst()), (Voltage(10.0), Current::ZERO, None));
}

#[test]
fn hundreds_of_nodes_and_loops_are_quick() {
    // Sixty boards in two rows, joined as a ladder, out and back: 240 nodes and 118 loops.
    let mut feed = Feed::new(Voltage(12.0));
    let per_metre = Resistance(0.04);
    for terminal in [Feed::OUT, Feed::BACK] {
        let mut row = [terminal, terminal];
        for _ in 0..60 {
            row = row.map(|last| feed.extend(last, per_metre));
            feed.conductor(row[0], row[1], per_metre);
        }
    }
    let nodes = feed.nodes;
    for i in 2..nodes / 2 {
        feed.load(Node(i), Node(i + nodes / 2 - 1), Draws::Power(Power(0.1)));
    }
    let solution = feed.solve().unwrap();
    let drawn: f64 = solution.currents.iter().map(|current| current.0).sum();
    assert!(close(solution.total.0, drawn));
    assert!(solution.worst().unwrap().1.0 < 12.0);
}

/// A tree of outgoing conductors and a tree of returns beside it, with loads from one to the other.
#[derive(Debug, Clone)]
struct Plan {
    /// Where each conductor begins (as a part of the nodes before it), its length in millimetres outgoing and returning.
    runs: Vec<(f64, i64, i64)>,
    /// Where each load sits (as a part of the nodes) and what it draws.
    loads: Vec<(f64, Draws)>,
}

impl Plan {
    fn feed(&self, line: crate::quantity::LineResistance) -> Feed {
        let mut feed = Feed::new(Voltage(12.0));
        let mut pairs = vec![(Feed::OUT, Feed::BACK)];
        for &(from, out, back) in &self.runs {
            let (a, b) = pick(&pairs, from);
            let pair = (feed.extend(a, line * Length::from_mm(out)), feed.extend(b, line * Length::from_mm(back)));
            pairs.push(pair);
        }
        for &(at, draws) in &self.loads {
            let (out, back) = pick(&pairs, at);
            feed.load(out, back, draws);
        }
        feed
    }
}

fn pick<T: Copy>(all: &[T], part: f64) -> T {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a part of one of a small count")]
    all[((all.len() as f64 * part) as usize).min(all.len() - 1)]
}

fn draws() -> impl Strategy<Value = Draws> {
    prop_oneof![(0.0..0.3).prop_map(amperes), (0.0..1.0).prop_map(|watts| Draws::Power(Power(watts)))]
}

fn plans(draws: impl Strategy<Value = Draws> + Clone) -> impl Strategy<Value = Plan> {
    let runs = prop::collection::vec((0.0..1.0, 0..5000_i64, 0..5000_i64), 1..12);
    let loads = prop::collection::vec((0.0..1.0, draws), 1..10);
    (runs, loads).prop_map(|(runs, loads)| Plan { runs, loads })
}

/// 7/0.2.
const THIN: crate::quantity::LineResistance = crate::quantity::LineResistance(78.4);

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_total_is_the_sum_of_the_loads(plan in plans((0.0..0.05).prop_map(amperes))) {
        let solution = plan.feed(THIN).solve().unwrap();
        let sum: f64 = plan.loads.iter().map(|(_, draws)| draws.amount()).sum();
        prop_assert!((solution.total.0 - sum).abs() <= 1e-9);
    }

    #[test]
    fn another_load_never_raises_a_voltage(plan in plans(draws().boxed()), at in 0.0..1.0, more in draws()) {
        let mut loaded = plan.clone();
        loaded.loads.push((at, more));
        match (plan.feed(THIN).solve(), loaded.feed(THIN).solve()) {
            (Ok(before), Ok(after)) => {
                for (before, after) in before.voltages.iter().zip(&after.voltages) {
                    prop_assert!(after.0 <= before.0 + 1e-8);
                }
            }
            (before, after) => prop_assert!(after.is_err(), "{before:?} was mended by a load: {after:?}"),
        }
    }

    #[test]
    fn thicker_wire_never_raises_a_drop(plan in plans(draws().boxed()), thicker in 0.1..1.0) {
        let thick = plan.feed(THIN * thicker).solve();
        match (plan.feed(THIN).solve(), thick) {
            (Ok(thin), Ok(thick)) => {
                for (thin, thick) in thin.voltages.iter().zip(&thick.voltages) {
                    prop_assert!(thick.0 >= thin.0 - 1e-8);
                }
            }
            (thin, thick) => prop_assert!(thin.is_err(), "{thin:?} collapses in thicker wire: {thick:?}"),
        }
    }

    #[test]
    fn kirchhoff_holds_in_any_network(
        plan in plans(draws().boxed()),
        closings in prop::collection::vec((0.0..1.0, 0.0..1.0, 0.0..2.0), 0..6),
    ) {
        let mut feed = plan.feed(THIN);
        let nodes: Vec<_> = (0..feed.nodes).map(Node).collect();
        for (from, to, ohms) in closings {
            let (from, to) = (pick(&nodes, from), pick(&nodes, to));
            // Loops stay on one side, so that none is a short circuit; out and back alternate.
            if from.0 % 2 == to.0 % 2 {
                feed.conductor(from, to, Resistance(ohms));
            }
        }
        if let Ok(solution) = feed.solve() {
            let mut net = vec![0.0; feed.nodes];
            for (conductor, current) in feed.conductors.iter().zip(&solution.conductors) {
                net[conductor.from.0] -= current.0;
                net[conductor.to.0] += current.0;
                let across = solution.nodes[conductor.from.0].0 - solution.nodes[conductor.to.0].0;
                prop_assert!((across - conductor.ohms * current.0).abs() < 1e-8);
            }
            for (load, current) in feed.loads.iter().zip(&solution.currents) {
                net[load.out.0] -= current.0;
                net[load.back.0] += current.0;
            }
            net[Feed::OUT.0] += solution.total.0;
            net[Feed::BACK.0] -= solution.total.0;
            prop_assert!(net.iter().all(|net| net.abs() < 1e-8));
        }
    }
}
