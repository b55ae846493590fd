//! The catalogue: what is read, and what is said of what cannot be.

use underboard::catalogue::from_starter;

use crate::support::{SMALL, catalogue, show};

#[test]
fn the_small_catalogue_is_right() {
    let catalogue = catalogue(SMALL);
    assert!(catalogue.notices.is_empty(), "{:?}", catalogue.notices.iter().map(show).collect::<Vec<_>>());
}

#[test]
fn the_starter_reads_without_a_notice() {
    let read = from_starter().map(|catalogue| catalogue.notices);
    let told: Vec<String> = match &read {
        Ok(notices) => notices.iter().map(show).collect(),
        Err(errors) => errors.iter().map(show).collect(),
    };
    assert!(told.is_empty() && read.is_ok(), "{}", told.join("\n"));
}
