//! Any bytes as a workbook.
#![no_main]

#[path = "shared.rs"]
mod shared;

use libfuzzer_sys::fuzz_target;
use underboard::catalogue::from_workbook;

fuzz_target!(|bytes: &[u8]| {
    match from_workbook("book.xlsx", bytes) {
        Ok(catalogue) => shared::told(&catalogue.notices, false),
        Err(problems) => shared::told(&problems, true),
    }
});
