//! The shopping list as a workbook (.xlsx): a sheet for each supplier and one for all, whose sums are formulas with their results
//! stored. Text is written as text and never as a formula.

mod live;
mod sheet;

use rust_xlsxwriter::{DocProperties, ExcelDateTime, Workbook, XlsxError};

use self::live::{all_parts, order_sums, overall_sums, phase_sums};
use self::sheet::{Sheet, Words, sheet_name};
use super::document::{Block, Document, Section, Table};
use super::figures::{bracket, sentence};

/// The document of `shop` as the bytes of a workbook; the same bytes each time.
///
/// # Errors
/// The list has more rows than a sheet holds.
pub fn to_workbook(document: &Document) -> Result<Vec<u8>, XlsxError> {
    let orders: Vec<(Sheet, &Table)> = orders(document);
    let mut sheets = vec![overall(document, &orders)];
    sheets.extend(all_parts(&orders));
    sheets.extend(orders.into_iter().map(|(sheet, _)| sheet));
    for section in document.sections.iter().filter(|section| section.id != "order" && !is_overall(section)) {
        let name = free_name(&sheets, section);
        sheets.push(other(section, name));
    }

    let mut workbook = Workbook::new();
    // Without a fixed day the bytes would change with the clock.
    let made = ExcelDateTime::from_ymd(2000, 1, 1)?;
    workbook.set_properties(&DocProperties::new().set_creation_datetime(&made));
    for sheet in sheets {
        sheet.write(workbook.add_worksheet())?;
    }
    workbook.save_to_buffer()
}

/// The tables of a section.
fn tables(section: &Section) -> impl Iterator<Item = &Table> {
    section.blocks.iter().filter_map(|block| match block {
        Block::Table(table) => Some(table),
        _ => None,
    })
}

/// The suppliers' names, as the table of all orders has them; none where there is no such table.
fn suppliers(document: &Document) -> Vec<String> {
    let total = document.sections.iter().filter(|section| section.id == "total").flat_map(tables);
    let rows = total.flat_map(|table| &table.rows).filter(|row| !row.is_total);
    rows.filter_map(|row| row.cells.first()).map(|cell| sentence(&super::Prose(vec![cell.clone()]))).collect()
}

/// A sheet for each supplier, beside the table it is made of.
fn orders(document: &Document) -> Vec<(Sheet, &Table)> {
    let suppliers = suppliers(document);
    let sections = document.sections.iter().filter(|section| section.id == "order");
    let tables = sections.filter_map(|section| tables(section).next().map(|table| (section, table)));
    let sheets = tables.enumerate().map(|(at, (section, table))| {
        let name = suppliers.get(at).unwrap_or(&section.heading);
        let mut sheet = Sheet::new(sheet_name(&format!("{} {name}", at + 1)));
        sheet.words(Words::Title, &section.heading);
        document.notices.iter().for_each(|notice| sheet.words(Words::Plain, notice));
        sheet.words(
            Words::Plain,
            "Tick what is ordered or has come. Change the cells with a coloured ground, and the sums follow here and on the sheets of all orders. \
             Postage does not change by itself: see the terms below.",
        );
        sheet.gap();
        let sums = order_sums(table, sheet.next_table(true));
        sheet.list(table.clone(), sums);
        sheet.gap();
        blocks(&mut sheet, section.blocks.iter().filter(|block| !matches!(block, Block::Table(_))));
        (sheet, table)
    });
    sheets.collect()
}

/// Whether a section stands on the sheet of all orders.
fn is_overall(section: &Section) -> bool {
    matches!(section.id, "scheme" | "phases" | "total")
}

/// The sheet of all orders together.
fn overall(document: &Document, orders: &[(Sheet, &Table)]) -> Sheet {
    let mut sheet = Sheet::new("All orders".to_owned());
    sheet.words(Words::Title, &document.title);
    document.notices.iter().for_each(|notice| sheet.words(Words::Plain, notice));
    for section in document.sections.iter().filter(|section| is_overall(section)) {
        sheet.gap();
        sheet.words(Words::Heading, &section.heading);
        for block in &section.blocks {
            match block {
                Block::Table(table) => {
                    let spot = sheet.next_table(false);
                    let sums =
                        if section.id == "phases" { phase_sums(table, spot, orders) } else { overall_sums(table, spot, orders) };
                    sheet.table(table.clone(), sums);
                    sheet.note(table);
                }
                other => blocks(&mut sheet, [other]),
            }
        }
    }
    sheet
}

/// A name for the sheet of a section that no sheet has yet.
fn free_name(sheets: &[Sheet], section: &Section) -> String {
    let name = sheet_name(&section.heading);
    let is_free = |name: &str| !name.is_empty() && sheets.iter().all(|sheet| sheet.name().to_lowercase() != name.to_lowercase());
    if is_free(&name) { name } else { format!("{} {}", sheets.len() + 1, section.id) }
}

/// The sheet of any other section, as it stands.
fn other(section: &Section, name: String) -> Sheet {
    let mut sheet = Sheet::new(name);
    sheet.words(Words::Title, &section.heading);
    sheet.gap();
    blocks(&mut sheet, &section.blocks);
    sheet
}

fn blocks<'a>(sheet: &mut Sheet, blocks: impl IntoIterator<Item = &'a Block>) {
    for block in blocks {
        match block {
            Block::Text(prose) => sheet.words(Words::Plain, &sentence(prose)),
            Block::List(items) => items.iter().for_each(|item| sheet.words(Words::Plain, &format!("• {}", sentence(item)))),
            Block::Table(one) => table(sheet, one),
            Block::Picture(picture) => table(sheet, &picture.data()),
            Block::Findings(findings) => {
                for finding in findings {
                    sheet.words(Words::Heading, &format!("{}: {} [{}]", finding.weight.word(), finding.what, finding.code));
                    finding.seen.iter().for_each(|seen| sheet.words(Words::Plain, &format!("You would see: {seen}")));
                    for mend in &finding.mends {
                        sheet.words(Words::Plain, &format!("To mend it: {}{}", mend.text, bracket(mend)));
                    }
                }
            }
        }
    }
}

fn table(sheet: &mut Sheet, table: &Table) {
    sheet.gap();
    sheet.title_of(table);
    sheet.table(table.clone(), live::Sums::new());
    sheet.note(table);
}
