//! The catalogue: what is read, and what is said of what cannot be.

use crate::support::{SMALL, catalogue, show};

#[test]
fn the_small_catalogue_is_right() {
    let catalogue = catalogue(SMALL);
    assert!(catalogue.notices.is_empty(), "{:?}", catalogue.notices.iter().map(show).collect::<Vec<_>>());
}
