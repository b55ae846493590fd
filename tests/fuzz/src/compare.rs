//! Any bytes as a layout; where it is one, it is compared, and every report of it is dressed in every form.
#![no_main]

#[path = "shared.rs"]
mod shared;

use libfuzzer_sys::fuzz_target;
use underboard::buying::{Beside, Choices, Limits};
use underboard::choice::compare;
use underboard::layout;
use underboard::report::view::{self, Pick, Plan};
use underboard::report::{Document, Dress, to_csv, to_json, to_markdown, to_terminal};

/// More devices than this cost time and show nothing new.
const MOST: usize = 60;

fuzz_target!(|bytes: &[u8]| {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    let catalogue = &*shared::CATALOGUE;
    let Ok(layout) = layout::read("layout.yaml", text, catalogue) else { return };
    if layout.devices.len() > MOST {
        return;
    }
    let choices = Choices::within(Limits::steps(20_000));
    let comparison = compare(&layout, catalogue, &choices);
    dressed(&view::compare(&layout, catalogue, &choices, &comparison));
    for column in &comparison.columns {
        let plan = Plan { layout: &layout, catalogue, choices: &choices, estimate: &column.estimate, pick: Pick::Named };
        for report in [view::bill, view::wiring, view::power, view::hours, view::check] {
            dressed(&report(&plan));
        }
        dressed(&view::shop(&plan, &Beside::default(), None));
    }
});

fn dressed(document: &Document) {
    let width = 80;
    for line in to_terminal(document, Dress { width, colour: false }).lines() {
        assert!(line.chars().all(|c| !c.is_control()), "{line:?}");
    }
    let _ = (to_json(document), to_markdown(document), to_csv(document));
}
