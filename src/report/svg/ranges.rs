//! Ranges: from the least to the most, with what is likely between.

use super::axis::Axis;
use super::bars::{figures, grid, name, name_room};
use super::canvas::{Anchor, Area, Canvas, Fill, Stroke, THIN};
use super::legend::{self, Swatch};
use super::text::{told, width};
use super::{TEXT, WIDTH};
use crate::report::document::Cell;
use crate::report::picture::Ranges;

/// Room from range to range.
const ROW: f64 = 7.0;

pub(super) fn draw(ranges: &Ranges) -> Canvas {
    let mut canvas = Canvas::new(WIDTH);
    let [low, likely, high] = &ranges.names;
    let stretch = format!("{low} to {high}");
    let keys = [(Swatch::Surface(Fill::Pattern(1)), stretch.as_str()), (Swatch::Sign(diamond), likely.as_str())];
    let top = legend::draw(&mut canvas, 0.0, keys) + 1.5;
    let names = name_room(ranges.rows.iter().map(|(name, _)| name.as_str()));
    let figures_room = ranges.rows.iter().map(|(_, [_, likely, _])| width(&told(likely), TEXT)).fold(0.0, f64::max) + 2.0;
    let axis = Axis::new(ranges.rows.iter().flat_map(|(_, values)| values), names, WIDTH - names - figures_room - 2.0);
    let bottom = top + ROW * ranges.rows.len() as f64;
    grid(&mut canvas, &axis, top, bottom);
    for (at, (label, [low, likely, high])) in ranges.rows.iter().enumerate() {
        let middle = top + ROW * (at as f64 + 0.5);
        name(&mut canvas, label, names, middle);
        let (from, to) = (axis.of(low), axis.of(high));
        let area = Area { x: from, y: middle - 1.5, width: (to - from).max(0.0), height: 3.0 };
        canvas.rect(area, Fill::Pattern(1), Some(THIN));
        if *likely != Cell::Missing {
            diamond(&mut canvas, (axis.of(likely), middle));
        }
        canvas.text((WIDTH, middle + TEXT * 0.36), TEXT, Anchor::End, &told(likely));
    }
    canvas.height = figures(&mut canvas, &axis, bottom);
    canvas
}

fn diamond(canvas: &mut Canvas, (x, y): (f64, f64)) {
    canvas.shape([(x - 1.6, y), (x, y - 2.2), (x + 1.6, y), (x, y + 2.2)], Fill::Ink, Stroke { width: 0.4, ..THIN });
}
