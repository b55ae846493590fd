//! JSON.

use super::document::Document;

/// The version of the JSON form; it grows when a reader would notice.
pub const SCHEMA_VERSION: u32 = 1;

/// The document as JSON.
pub fn to_json(_: &Document) -> String {
    unimplemented!()
}

/// JSON Schema of the form.
pub fn schema() -> String {
    unimplemented!()
}
