//! Any bytes as one table of a folder whose other tables are right; the first byte says which.
#![no_main]

#[path = "shared.rs"]
mod shared;

use libfuzzer_sys::fuzz_target;
use underboard::catalogue::from_folder;

fuzz_target!(|bytes: &[u8]| {
    let Some((which, bytes)) = bytes.split_first() else { return };
    let mut tables = shared::tables();
    let which = usize::from(*which) % tables.len();
    tables[which].1 = bytes.to_vec();
    match from_folder("book", &tables) {
        Ok(catalogue) => shared::told(&catalogue.notices, false),
        Err(problems) => shared::told(&problems, true),
    }
});
