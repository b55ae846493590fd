//! The table of a route, second by second, and the figures for the most in use follow one rule of what moves at once.

use std::fmt::Write as _;

use proptest::prelude::*;
use underboard::layout::AtOnce;
use underboard::scheme::Draw;

use crate::electrics::{by, catalogue};
use crate::support::layout;

/// Turnouts on two boards, the first two on one lever, with a route of some of them.
fn text(turnouts: usize, route: &[usize], at_once: &str) -> String {
    let mut text =
        String::from("panel: {board: A}\nboards: [{id: A, size: 1200 x 450 mm}, {id: B, size: 1200 x 450 mm}]\nturnouts:\n");
    for n in 0..turnouts {
        let (board, with) = (if n % 3 == 0 { "A" } else { "B" }, if n == 0 { ", with: T1" } else { "" });
        let _ = writeln!(text, "  - {{id: T{n}, board: {board}, at: {} x 200 mm{with}}}", 100 + 1000 * n / turnouts);
    }
    // The second turnout goes with the first.
    let mut throws: Vec<String> = Vec::new();
    for lever in route.iter().map(|n| n % turnouts).map(|n| format!("T{}", if n == 1 { 0 } else { n })) {
        if !throws.contains(&lever) {
            throws.push(lever);
        }
    }
    let _ = writeln!(text, "routes: [{{id: out, throws: [{}]}}]\nrules: {{at once: {at_once}}}", throws.join(", "));
    text
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 8, ..ProptestConfig::default() })]

    #[test]
    fn no_second_of_a_route_draws_more_than_the_most_in_use(
        turnouts in 3..7_usize,
        route in prop::collection::vec(0..7_usize, 2..6),
        at_once in prop::sample::select(vec!["1 lever", "2 levers", "3 levers", "routes"]),
        scheme in prop::sample::select(vec!["servo-made", "solenoid", "stall-motor"]),
    ) {
        let catalogue = catalogue();
        let layout = layout(&text(turnouts, &route, at_once), &catalogue);
        let plan = by(scheme, &layout, &catalogue);
        let lasts = match catalogue.scheme(catalogue.scheme_named(scheme).unwrap()).draw {
            Draw::Pulse { duration, .. } | Draw::Move { duration, .. } | Draw::Hold { duration, .. } => duration.0,
            Draw::None => 0.0,
        };
        let [timeline] = plan.timelines.as_slice() else { panic!("one route") };
        let thrown: Vec<f64> = timeline.moments.iter().flat_map(|moment| moment.throws.iter().map(|_| moment.at.0)).collect();
        for moment in &timeline.moments {
            for (current, demand) in moment.currents.iter().zip(&plan.demands) {
                prop_assert!(current.0 <= demand.drawn.peak.0 + 1e-9, "{} of {} at {}", current, demand.drawn.peak, moment.at);
            }
            if let AtOnce::Levers(most) = layout.rules.at_once.value {
                let move_now = thrown.iter().filter(|&&at| at <= moment.at.0 && moment.at.0 < at + lasts - 1e-9).count();
                prop_assert!(move_now <= most as usize, "{move_now} move at {}", moment.at);
            }
            for (scheme, _, voltage) in &moment.lowest {
                if let Some(far) = plan.wiring.far_ends.iter().find(|far| far.scheme == *scheme) {
                    prop_assert!(voltage.0 >= far.arrives.0 - 1e-6, "{} at {}, {} at the far end", voltage, moment.at, far.arrives);
                }
            }
        }
    }
}
