//! The starter catalogue, embedded.

/// The embedded files.
#[derive(Debug, Clone, Copy)]
pub struct Starter {
    /// The tables as `(file name, text)`.
    pub tables: &'static [(&'static str, &'static str)],
    /// The workbook built from them.
    pub workbook: &'static [u8],
}

/// The starter.
pub fn starter() -> Starter {
    Starter { tables: &[], workbook: &[] }
}
