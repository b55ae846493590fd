//! A small bar for each row under each column, all to one scale.

use super::bars::{name, name_room};
use super::canvas::{Anchor, Area, Canvas, FAINT, Fill, THIN};
use super::text::{lines, told, width};
use super::{SMALL, TEXT, WIDTH};
use crate::report::picture::Cells;

/// Room from row to row.
const ROW: f64 = 6.5;

/// Lines that a heading may take.
const HEADING: usize = 4;

pub(super) fn draw(cells: &Cells) -> Canvas {
    let mut canvas = Canvas::new(WIDTH);
    let names = name_room(cells.rows.iter().map(|(name, _)| name.as_str()).chain([cells.rows_are.as_str()]));
    let column = (WIDTH - names) / cells.columns.len().max(1) as f64;
    let headings: Vec<_> = cells.columns.iter().map(|heading| lines(heading, SMALL, column - 2.0, HEADING)).collect();
    let deep = headings.iter().map(Vec::len).max().unwrap_or(0) as f64;
    let top = deep * SMALL * 1.15 + 2.0;
    for (at, heading) in headings.into_iter().enumerate() {
        let x = names + column * at as f64;
        let first = top - 1.6 - (heading.len() as f64 - 1.0) * SMALL * 1.15;
        for (line, part) in heading.into_iter().enumerate() {
            canvas.fitted((x, first + line as f64 * SMALL * 1.15), SMALL, Anchor::Start, false, part);
        }
    }
    name(&mut canvas, &cells.rows_are, names, top - 1.6 - SMALL * 0.36);
    canvas.line([(0.0, top), (WIDTH, top)], THIN);
    let values = || cells.rows.iter().flat_map(|(_, values)| values);
    let most = values().filter_map(crate::report::Cell::number).fold(0.0, f64::max);
    let figure = values().map(|value| width(&told(value), TEXT)).fold(0.0, f64::max) + 1.6;
    let reach = (column - figure - 3.0).max(1.0);
    for (at, (label, values)) in cells.rows.iter().enumerate() {
        let middle = top + ROW * (at as f64 + 0.5);
        name(&mut canvas, label, names, middle);
        for (at, value) in values.iter().enumerate() {
            let x = names + column * at as f64;
            canvas.text((x + figure - 1.6, middle + TEXT * 0.36), TEXT, Anchor::End, &told(value));
            let long = if most > 0.0 { value.number().unwrap_or(0.0).max(0.0) / most * reach } else { 0.0 };
            if long > 0.0 {
                let area = Area { x: x + figure, y: middle - 1.6, width: long, height: 3.2 };
                canvas.rect(area, Fill::Pattern(1), Some(THIN));
            }
        }
        canvas.line([(0.0, top + ROW * (at as f64 + 1.0)), (WIDTH, top + ROW * (at as f64 + 1.0))], FAINT);
    }
    canvas.height = top + ROW * cells.rows.len() as f64 + 0.5;
    canvas
}
