//! One sheet of the workbook: words and tables from the top down, dressed for screen and paper.

use rust_xlsxwriter::utility::{cell_range, quote_sheet_name, row_col_to_cell};
use rust_xlsxwriter::{
    Color, ConditionalFormatFormula, DataValidation, DataValidationRule, Format, FormatAlign, FormatBorder, Formula, Worksheet,
    XlsxError,
};

use super::live::{Live, Sums};
use crate::report::document::{Cell, Table};
use crate::report::figures::Figures;
use crate::report::plain::{harmless, wrap};
use crate::report::text_table::TextTable;

/// A box to tick, and the same ticked.
pub(super) const BOX: &str = "☐";
const TICKED: &str = "☑";

/// The most letters a cell holds, with room to spare.
const LONGEST: usize = 30_000;

/// The height of a line, in points.
const LINE: u32 = 15;

/// The number that stands for A4 in a workbook.
const A4: u8 = 9;

/// The look of words outside tables.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Words {
    Title,
    Heading,
    Plain,
}

/// Where the values of a table begin on its sheet.
#[derive(Debug, Clone, Copy)]
pub(super) struct Spot {
    row: u32,
    column: u16,
}

impl Spot {
    fn at(self, row: usize, column: usize) -> (u32, u16) {
        let row = u32::try_from(row).unwrap_or(u32::MAX);
        let column = u16::try_from(column).unwrap_or(u16::MAX);
        (self.row.saturating_add(row), self.column.saturating_add(column))
    }

    /// A value's cell, such as `D7`.
    pub(super) fn cell(self, row: usize, column: usize) -> String {
        let (row, column) = self.at(row, column);
        row_col_to_cell(row, column)
    }

    /// The sum of a column from one row to another.
    pub(super) fn sum(self, column: usize, first: usize, last: usize) -> String {
        let ((first, column), (last, _)) = (self.at(first, column), self.at(last, column));
        format!("SUM({})", cell_range(first, column, last, column))
    }
}

/// A table where it stands.
#[derive(Debug)]
struct Placed {
    table: Table,
    sums: Sums,
    spot: Spot,
    ticks: bool,
}

#[derive(Debug)]
enum Item {
    Words(u32, Words, String),
    Table(Placed),
}

/// A sheet before it is written.
#[derive(Debug)]
pub(super) struct Sheet {
    name: String,
    items: Vec<Item>,
    row: u32,
    /// Which table's headings are repeated on each page and stay in sight.
    list: Option<Spot>,
}

/// The text as a name that a sheet may have: letters, digits and blanks only, of bounded length.
pub(super) fn sheet_name(text: &str) -> String {
    let plain: String = text.chars().map(|c| if c.is_alphanumeric() { c } else { ' ' }).collect();
    let mut name = String::new();
    for word in plain.split_whitespace() {
        let longer = if name.is_empty() { word.to_owned() } else { format!("{name} {word}") };
        // A long word is cut, others are left out.
        let room = longer.encode_utf16().count() <= 31;
        match (room, name.is_empty()) {
            (true, _) => name = longer,
            (false, true) => return longer.chars().take(15).collect(),
            (false, false) => break,
        }
    }
    name
}

impl Sheet {
    /// An empty sheet.
    pub(super) fn new(name: String) -> Self {
        Self { name, items: Vec::new(), row: 0, list: None }
    }

    /// Its name.
    pub(super) fn name(&self) -> &str {
        &self.name
    }

    /// Where the values of its list of parts begin.
    pub(super) fn list_spot(&self) -> Option<Spot> {
        self.list
    }

    /// The box to tick of a row of its list, from another sheet.
    pub(super) fn tick(&self, row: usize) -> Option<String> {
        let (row, _) = self.list?.at(row, 0);
        Some(format!("{}!{}", quote_sheet_name(&self.name), row_col_to_cell(row, 0)))
    }

    /// A line of words.
    pub(super) fn words(&mut self, look: Words, text: &str) {
        let text: String = harmless(text).replace('\u{a0}', " ").chars().take(LONGEST).collect();
        self.items.push(Item::Words(self.row, look, text));
        self.row += 1;
    }

    /// An empty row.
    pub(super) fn gap(&mut self) {
        self.row += 1;
    }

    /// Where the values of the next table will begin, with boxes to tick in front or without.
    pub(super) fn next_table(&self, ticks: bool) -> Spot {
        Spot { row: self.row + 1, column: u16::from(ticks) }
    }

    /// The title of a table, if it has one.
    pub(super) fn title_of(&mut self, table: &Table) {
        if !table.title.is_empty() {
            self.words(Words::Heading, &table.title);
        }
    }

    /// The note below a table, if it has one.
    pub(super) fn note(&mut self, table: &Table) {
        table.note.iter().for_each(|note| self.words(Words::Plain, note));
    }

    /// A table.
    pub(super) fn table(&mut self, table: Table, sums: Sums) {
        self.place(table, sums, false);
    }

    /// The list of the sheet, whose headings are repeated on each page.
    pub(super) fn repeated(&mut self, table: Table, sums: Sums) {
        self.list = Some(self.next_table(false));
        self.place(table, sums, false);
    }

    /// The same with boxes to tick.
    pub(super) fn list(&mut self, table: Table, sums: Sums) {
        self.list = Some(self.next_table(true));
        self.place(table, sums, true);
    }

    fn place(&mut self, table: Table, sums: Sums, ticks: bool) {
        let spot = self.next_table(ticks);
        self.row = spot.at(table.rows.len(), 0).0;
        self.items.push(Item::Table(Placed { table, sums, spot, ticks }));
    }

    /// Writes it.
    pub(super) fn write(&self, sheet: &mut Worksheet) -> Result<(), XlsxError> {
        sheet.set_name(&self.name)?.set_paper_size(A4).set_landscape().set_print_fit_to_pages(1, 0);
        sheet.set_footer("&L&A&R&P / &N").set_margins(0.4, 0.4, 0.5, 0.6, 0.3, 0.3);
        if let Some(heading) = self.list.and_then(|spot| spot.row.checked_sub(1)) {
            sheet.set_repeat_rows(heading, heading)?.set_freeze_panes(heading + 1, 0)?;
        }
        let widths = self.widths();
        for (column, &width) in (0_u16..).zip(&widths) {
            sheet.set_column_width(column, width)?;
        }
        for item in &self.items {
            match item {
                Item::Words(row, look, text) => words(sheet, *row, *look, text, &widths)?,
                Item::Table(placed) => placed.write(sheet, &widths)?,
            }
        }
        Ok(())
    }

    /// The widths of its columns, in letters.
    fn widths(&self) -> Vec<u32> {
        let mut widths: Vec<usize> = Vec::new();
        for item in &self.items {
            let Item::Table(placed) = item else { continue };
            let text = TextTable::of(&placed.table, Figures::Raw);
            for (at, heading) in text.headings.iter().enumerate() {
                let at = at + usize::from(placed.spot.column);
                let cells = text.rows.iter().filter_map(|row| row.get(at - usize::from(placed.spot.column)));
                let longest = cells.map(|cell| cell.chars().count()).max().unwrap_or(0);
                let word = heading.split(' ').map(|word| word.chars().count()).max().unwrap_or(0);
                if widths.len() <= at {
                    widths.resize(at + 1, 4);
                }
                if let Some(width) = widths.get_mut(at) {
                    *width = (*width).max(longest.max(word).clamp(6, 50) + 3);
                }
            }
        }
        if widths.is_empty() {
            widths.push(110);
        }
        widths.into_iter().map(|width| u32::try_from(width).unwrap_or(60)).collect()
    }
}

/// Words over the width of the sheet's tables.
fn words(sheet: &mut Worksheet, row: u32, look: Words, text: &str, widths: &[u32]) -> Result<(), XlsxError> {
    let format = top();
    let format = match look {
        Words::Title => format.set_bold().set_font_size(15),
        Words::Heading => format.set_bold(),
        Words::Plain => format,
    };
    let room: u32 = widths.iter().sum();
    sheet.set_row_height(row, lines(text, room) * if look == Words::Title { 20 } else { LINE })?;
    match u16::try_from(widths.len() - 1) {
        Ok(last @ 1..) => sheet.merge_range(row, 0, row, last, text, &format)?,
        _ => sheet.write_string_with_format(row, 0, text, &format)?,
    };
    Ok(())
}

/// How many lines a text takes in a cell of so many letters: not every program makes room by itself.
fn lines(text: &str, room: u32) -> u32 {
    u32::try_from(wrap(text, room.max(4) as usize).len()).unwrap_or(20).min(20)
}

fn top() -> Format {
    Format::new().set_align(FormatAlign::Top).set_text_wrap()
}

impl Placed {
    fn write(&self, sheet: &mut Worksheet, widths: &[u32]) -> Result<(), XlsxError> {
        let text = TextTable::of(&self.table, Figures::Raw);
        let widths = widths.get(usize::from(self.spot.column)..).unwrap_or_default();
        let height =
            |texts: &[String]| LINE * texts.iter().zip(widths).map(|(text, &width)| lines(text, width)).max().unwrap_or(1);
        self.headings(sheet, &text)?;
        sheet.set_row_height(self.spot.row.saturating_sub(1), height(&text.headings))?;
        for (row, (of, texts)) in self.table.rows.iter().zip(&text.rows).enumerate() {
            sheet.set_row_height(self.spot.at(row, 0).0, height(texts))?;
            for (column, (cell, text)) in of.cells.iter().zip(texts).enumerate() {
                let format = self.format(row, column, cell);
                let at = self.spot.at(row, column);
                match self.sums.get(&(row, column)) {
                    Some(Live::Formula(formula)) => {
                        sheet.write_formula_with_format(at.0, at.1, Formula::new(formula).set_result(text), &format)?;
                    }
                    _ => value(sheet, at, cell, text, &format)?,
                }
            }
        }
        self.guard_counts(sheet)?;
        if self.ticks { self.boxes(sheet) } else { Ok(()) }
    }

    fn headings(&self, sheet: &mut Worksheet, text: &TextTable) -> Result<(), XlsxError> {
        let head = top().set_bold().set_background_color(Color::RGB(0xE4_E4_E4)).set_border_bottom(FormatBorder::Thin);
        let row = self.spot.row.saturating_sub(1);
        if self.ticks {
            sheet.write_string_with_format(row, 0, "✓", &head)?;
        }
        for (at, (heading, column)) in text.headings.iter().zip(&self.table.columns).enumerate() {
            let format = head.clone();
            let format = if column.is_number {
                format.set_align(FormatAlign::Right)
            } else {
                format.set_align(FormatAlign::Left).set_indent(1)
            };
            sheet.write_string_with_format(row, self.spot.at(0, at).1, heading, &format)?;
        }
        Ok(())
    }

    fn format(&self, row: usize, column: usize, cell: &Cell) -> Format {
        let mut format = match cell {
            Cell::Money(money) => top().set_num_format(money_format(money.currency().places())),
            Cell::Hours(_) | Cell::Minutes(_) | Cell::Percent(_) => top().set_num_format("0.0"),
            _ => top(),
        };
        format = if self.table.columns.get(column).is_some_and(|head| head.is_number) {
            format.set_align(FormatAlign::Right)
        } else {
            format.set_align(FormatAlign::Left).set_indent(1)
        };
        if self.table.rows.get(row).is_some_and(|row| row.is_total) {
            format = format.set_bold();
        }
        if self.sums.get(&(row, column)) == Some(&Live::Given) {
            format = format.set_background_color(Color::RGB(0xFF_F4_CC)).set_border_bottom(FormatBorder::Dotted);
        }
        format
    }

    /// Packs that are changed stay whole numbers, and none is less than nothing.
    fn guard_counts(&self, sheet: &mut Worksheet) -> Result<(), XlsxError> {
        let whole = DataValidation::new()
            .allow_whole_number(DataValidationRule::Between(0, 100_000))
            .set_error_message("A whole number of packs, such as 2.")?;
        for (&(row, column), live) in &self.sums {
            let is_count =
                self.table.rows.get(row).and_then(|row| row.cells.get(column)).is_some_and(|cell| matches!(cell, Cell::Count(_)));
            if is_count && *live == Live::Given {
                let (row, column) = self.spot.at(row, column);
                sheet.add_data_validation(row, column, row, column, &whole)?;
            }
        }
        Ok(())
    }

    /// A box in front of each row that is no sum; what is ticked turns grey.
    fn boxes(&self, sheet: &mut Worksheet) -> Result<(), XlsxError> {
        let lines = self.table.rows.iter().take_while(|row| !row.is_total).count();
        let Some(last) = lines.checked_sub(1) else { return Ok(()) };
        let (first, last) = (self.spot.row, self.spot.at(last, 0).0);
        let center = top().set_align(FormatAlign::Center);
        for row in first..=last {
            sheet.write_string_with_format(row, 0, BOX, &center)?;
        }
        let choice = DataValidation::new().allow_list_strings(&[BOX, TICKED])?;
        sheet.add_data_validation(first, 0, last, 0, &choice)?;
        let right = self.spot.at(0, self.table.columns.len()).1.saturating_sub(1);
        let done = ConditionalFormatFormula::new()
            .set_rule(format!("=$A{}=\"{TICKED}\"", first + 1).as_str())
            .set_format(Format::new().set_font_color(Color::RGB(0x80_80_80)).set_font_strikethrough());
        sheet.add_conditional_format(first, 0, last, right, &done)?;
        Ok(())
    }
}

/// Thousands apart, with the decimal places of the currency.
fn money_format(places: u32) -> String {
    if places == 0 { "#,##0".to_owned() } else { format!("#,##0.{}", "0".repeat(places as usize)) }
}

/// Numbers as numbers, all else as text.
fn value(sheet: &mut Worksheet, at: (u32, u16), cell: &Cell, text: &str, format: &Format) -> Result<(), XlsxError> {
    let is_text = matches!(cell, Cell::Text(_) | Cell::Flag(_) | Cell::Missing);
    match text.parse::<f64>() {
        Ok(number) if !is_text && number.is_finite() => sheet.write_number_with_format(at.0, at.1, number, format)?,
        _ => {
            let text: String = text.replace('\u{a0}', " ").chars().take(LONGEST).collect();
            sheet.write_string_with_format(at.0, at.1, text, format)?
        }
    };
    Ok(())
}
