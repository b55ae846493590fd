//! The starter catalogue, embedded.

/// The embedded files.
#[derive(Debug, Clone, Copy)]
pub struct Starter {
    /// The tables as `(file name, text)`.
    pub tables: &'static [(&'static str, &'static str)],
    /// The workbook built from them.
    pub workbook: &'static [u8],
}

macro_rules! table {
    ($file:literal) => {
        ($file, include_str!(concat!("../../catalogue/starter/", $file)))
    };
}

/// The tables, in the order in which a newcomer should read them.
const TABLES: &[(&str, &str)] = &[
    table!("Rates.csv"),
    table!("Schemes.csv"),
    table!("Kinds.csv"),
    table!("Parts.csv"),
    table!("Suppliers.csv"),
    table!("Offers.csv"),
    table!("Stock.csv"),
    table!("Assemblies.csv"),
    table!("Tasks.csv"),
    table!("Turnouts.csv"),
];

/// The starter. `UPDATE_STARTER=1 cargo test --test all starter` builds the workbook anew from the tables.
pub fn starter() -> Starter {
    Starter { tables: TABLES, workbook: include_bytes!("../../catalogue/starter.xlsx") }
}
