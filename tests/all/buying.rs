//! The cheapest purchase against trying everything, and the properties that every cheapest purchase has.

use underboard::buying::{Limits, Proof, solve};

use crate::instances::tiny;
use crate::reference::{cheapest, meets};

#[test]
fn trying_everything_agrees_on_500_tiny_purchases() {
    for seed in 0..500 {
        let programme = tiny(seed);
        let expected = cheapest(&programme);
        let found = solve(&programme, Limits::default());
        assert_eq!(found.as_ref().map(|found| found.total), expected, "seed {seed}: {programme:?}");
        if let Some(found) = found {
            assert_eq!(found.proof, Proof::Whole, "seed {seed}");
            assert!(meets(&programme, &found.packs(&programme)), "seed {seed}");
            assert_eq!(programme.cost(&found.packs(&programme)), found.total, "seed {seed}");
        }
    }
}
