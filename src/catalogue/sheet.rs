//! Tables of cells with places, from a workbook or from CSV.
