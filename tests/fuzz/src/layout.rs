//! Any bytes as a layout file: an answer, with every problem at a place of the file.
#![no_main]

#[path = "shared.rs"]
mod shared;

use libfuzzer_sys::fuzz_target;
use underboard::layout;

fuzz_target!(|bytes: &[u8]| {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    if let Err(problems) = layout::read("layout.yaml", text, &shared::CATALOGUE) {
        shared::told(&problems, true);
    }
});
