//! The cheapest purchase against `HiGHS`, an open integer programming solver: the totals of random purchases and of the harbour example.

use underboard::buying::{Choices, Limits, Proof, solve};
use underboard::catalogue::from_starter;
use underboard::estimate::estimate;
use underboard::scheme::assign;

use super::figures;
use crate::instances::{SIZES, Size, TWENTY, instance};

/// Size, seed, and the least cost.
type Row = (String, u64, i64);

fn sized(name: &str) -> Option<Size> {
    SIZES.into_iter().chain([TWENTY]).find(|size| size.name.replace(' ', "-") == name)
}

#[test]
fn random_purchases_cost_what_the_other_solver_finds() {
    let mut proven = 0;
    let rows: Vec<Row> = figures("purchase");
    let rows = rows.into_iter().filter_map(|(name, seed, least)| Some((sized(&name)?, seed, least)));
    let mut count = 0;
    for (size, seed, least) in rows {
        // The largest get no more than a taste here; the bench takes them to the end.
        let steps = if size.offers > 500 { 2_000_000 } else { 100_000_000 };
        let found = solve(&instance(size, seed), Limits::steps(steps)).unwrap();
        assert!(
            found.bound <= least && least <= found.total,
            "{} {seed}: {}..{}, not {least}",
            size.name,
            found.bound,
            found.total
        );
        if found.proof == Proof::Whole {
            assert_eq!(found.total, least, "{} {seed}", size.name);
            proven += usize::from(size.offers <= 500);
        }
        count += usize::from(size.offers <= 500);
    }
    assert!(count >= 134, "there are figures for every small and medium purchase");
    assert!(proven * 10 >= count * 9, "{proven} of {count} proven");
}

#[test]
fn the_harbour_costs_what_the_other_solver_finds_in_the_file_written_for_it() {
    let catalogue = from_starter().unwrap();
    let layout = crate::support::layout(include_str!("../../../examples/saltmarsh-harbour.yaml"), &catalogue);
    let rows: Vec<Row> = figures("purchase");
    let mut checked = 0;
    for (name, _, least) in rows {
        let Some(scheme) = name.strip_prefix("harbour ") else { continue };
        let scheme = catalogue.scheme_named(scheme).unwrap();
        let choices = Choices::within(Limits::steps(2_000_000_000));
        let purchase = estimate(&layout, &catalogue, assign(&layout, &catalogue, scheme), &choices).purchase;
        checked += 1;
        assert!(purchase.bound.minor() <= least && least <= purchase.total.minor(), "{name}");
        if purchase.proof == Proof::Whole {
            assert_eq!(purchase.total.minor(), least, "{name}");
        }
    }
    assert!(checked > 0);
}
