//! Which cells of the shopping list a spreadsheet works out anew, and which the user may change.

use std::collections::BTreeMap;

use rust_xlsxwriter::utility::quote_sheet_name;

use super::sheet::{Sheet, Spot};
use crate::report::document::{Cell, ColumnHead, Row, Table};

/// What stands behind a cell of a table, by row and column.
pub(super) type Sums = BTreeMap<(usize, usize), Live>;

/// What stands behind the value of a cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Live {
    /// It is worked out by a formula.
    Formula(String),
    /// The user may change it.
    Given,
}

fn column(table: &Table, id: &str) -> Option<usize> {
    table.columns.iter().position(|head| head.id == id)
}

/// The row of a sum with a fixed id.
fn row_of(table: &Table, id: &str) -> Option<usize> {
    table.rows.iter().position(|row| row.id == Some(id))
}

/// How many rows are no sums.
fn lines(table: &Table) -> usize {
    table.rows.iter().take_while(|row| !row.is_total).count()
}

/// The sums of one order: what a line comes to, the goods, all to pay.
pub(super) fn order_sums(table: &Table, spot: Spot) -> Sums {
    let mut sums = Sums::new();
    let at = |id| column(table, id);
    let (Some(pack), Some(packs), Some(parts), Some(price), Some(total)) =
        (at("pack"), at("packs"), at("parts"), at("price"), at("total"))
    else {
        return sums;
    };
    let lines = lines(table);
    let goods = row_of(table, "goods");
    for (row, of) in table.rows.iter().enumerate() {
        let (packs_at, price_at) = (spot.cell(row, packs), spot.cell(row, price));
        match of.id {
            _ if row < lines => {
                let places = places(of.cells.get(total));
                sums.insert((row, packs), Live::Given);
                sums.insert((row, price), Live::Given);
                sums.insert((row, parts), Live::Formula(format!("{}*{packs_at}", spot.cell(row, pack))));
                sums.insert((row, total), Live::Formula(format!("ROUND({packs_at}*{price_at},{places})")));
            }
            Some("goods") if lines > 0 => {
                sums.insert((row, total), Live::Formula(spot.sum(total, 0, lines - 1)));
            }
            Some("total") => {
                let formula = goods.filter(|&goods| goods < row).map(|goods| spot.sum(total, goods, row - 1));
                sums.extend(formula.map(|formula| ((row, total), Live::Formula(formula))));
            }
            _ => {
                sums.insert((row, total), Live::Given);
            }
        }
    }
    sums
}

/// Decimal places of an amount of money.
fn places(cell: Option<&Cell>) -> u32 {
    match cell {
        Some(Cell::Money(money)) => money.currency().places(),
        _ => 2,
    }
}

/// A cell of a supplier's sheet, from another sheet.
fn on(sheet: &Sheet, row: usize, column: usize) -> Option<String> {
    let spot = sheet.list_spot()?;
    Some(format!("{}!{}", quote_sheet_name(sheet.name()), spot.cell(row, column)))
}

/// The sums of all orders, from the suppliers' sheets.
pub(super) fn overall_sums(table: &Table, spot: Spot, orders: &[(Sheet, &Table)]) -> Sums {
    let mut sums = Sums::new();
    let lines = lines(table);
    if lines != orders.len() {
        return sums;
    }
    for (at, head) in table.columns.iter().enumerate() {
        for (row, (sheet, order)) in orders.iter().enumerate() {
            let there = row_of(order, &head.id).zip(column(order, "total"));
            let formula = there.and_then(|(row, column)| on(sheet, row, column));
            sums.extend(formula.map(|formula| ((row, at), Live::Formula(formula))));
        }
        if head.is_number && lines > 0 {
            let totals = table.rows.iter().enumerate().skip(lines).filter(|(_, row)| row.is_total);
            sums.extend(totals.map(|(row, _)| ((row, at), Live::Formula(spot.sum(at, 0, lines - 1)))));
        }
    }
    sums
}

/// The sums of phases, each of so many of the orders as it says, from their sheets; then those of all phases.
pub(super) fn phase_sums(table: &Table, spot: Spot, orders: &[(Sheet, &Table)]) -> Sums {
    let mut sums = Sums::new();
    let (Some(parcels), Some(total)) = (column(table, "parcels"), column(table, "total")) else { return sums };
    let lines = lines(table);
    let mut left = orders;
    for (row, of) in table.rows.iter().enumerate().take(lines) {
        let Some(Cell::Count(count)) = of.cells.get(parcels) else { continue };
        let (here, rest) = left.split_at(usize::try_from(*count).unwrap_or(0).min(left.len()));
        left = rest;
        for id in ["postage", "total"] {
            let from = |(sheet, order): &(Sheet, &Table)| on(sheet, row_of(order, id)?, column(order, "total")?);
            let cells: Vec<String> = here.iter().filter_map(from).collect();
            let formula = column(table, id).filter(|_| !cells.is_empty()).map(|at| ((row, at), Live::Formula(cells.join("+"))));
            sums.extend(formula);
        }
    }
    let (Some(all), Some(at_once), Some(more)) = (row_of(table, "total"), row_of(table, "at_once"), row_of(table, "more")) else {
        return sums;
    };
    if lines > 0 {
        sums.insert((all, total), Live::Formula(spot.sum(total, 0, lines - 1)));
    }
    sums.insert((more, total), Live::Formula(format!("{}-{}", spot.cell(all, total), spot.cell(at_once, total))));
    sums
}

/// The columns of the list of all parts, by their ids in an order.
const OF_ALL: [&str; 6] = ["part", "code", "colours", "packs", "parts", "total"];

/// The sheet of all parts of all orders, whose ticks and figures are those of the suppliers' sheets.
pub(super) fn all_parts(orders: &[(Sheet, &Table)]) -> Option<Sheet> {
    let (_, first) = orders.first()?;
    let heads = OF_ALL.iter().filter_map(|id| column(first, id).and_then(|at| first.columns.get(at)).cloned());
    let columns = [ColumnHead::words("tick", "✓"), ColumnHead::words("supplier", "Supplier")].into_iter().chain(heads);
    let mut table = Table::new("all", "", columns.collect::<Vec<_>>());
    let mut sums = Sums::new();
    for (sheet, order) in orders {
        for (row, line) in order.rows.iter().enumerate().take(lines(order)) {
            let here = table.rows.len();
            let mut cells = vec![Cell::from(super::sheet::BOX), sheet.name().into()];
            sums.extend(sheet.tick(row).map(|tick| ((here, 0), Live::Formula(tick))));
            for id in OF_ALL {
                let Some(at) = column(order, id) else { continue };
                if line.cells.get(at).is_some_and(|cell| matches!(cell, Cell::Count(_) | Cell::Money(_))) {
                    sums.extend(on(sheet, row, at).map(|formula| ((here, cells.len()), Live::Formula(formula))));
                }
                cells.push(line.cells.get(at).cloned().unwrap_or(Cell::Missing));
            }
            table.rows.push(Row::of(cells));
        }
    }
    let mut sheet = Sheet::new("All parts".to_owned());
    sheet.words(super::sheet::Words::Title, "All parts of all orders");
    sheet.words(super::sheet::Words::Plain, "Tick and change them on the suppliers' sheets; this one follows.");
    sheet.gap();
    sheet.repeated(table, sums);
    Some(sheet)
}
