//! Any bytes as a layout; where it is one, it is compared, and every report of it is dressed in every form.
#![no_main]

#[path = "shared.rs"]
mod shared;

use libfuzzer_sys::fuzz_target;
use underboard::buying::Limits;
use underboard::choice::compare;
use underboard::layout;
use underboard::report::view::{self, Pick, Plan};
use underboard::report::{Document, Dress, to_json, to_terminal};

/// More devices than this cost time and show nothing new.
const MOST: usize = 60;

fuzz_target!(|bytes: &[u8]| {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    let catalogue = &*shared::CATALOGUE;
    let Ok(layout) = layout::read("layout.yaml", text, catalogue) else { return };
    if layout.devices.len() > MOST {
        return;
    }
    let comparison = compare(&layout, catalogue, Limits::steps(20_000));
    dressed(&view::compare(&layout, catalogue, &comparison));
    for column in &comparison.columns {
        let plan = Plan { layout: &layout, catalogue, estimate: &column.estimate, pick: Pick::Named };
        for report in [view::bill, view::shop, view::wiring, view::power, view::hours, view::check] {
            dressed(&report(&plan));
        }
    }
});

fn dressed(document: &Document) {
    let width = 80;
    for line in to_terminal(document, Dress { width, colour: false }).lines() {
        assert!(line.chars().all(|c| !c.is_control()), "{line:?}");
    }
    to_json(document);
}
