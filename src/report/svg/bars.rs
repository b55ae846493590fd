//! Bars made of parts laid end to end.

use super::axis::Axis;
use super::canvas::{Anchor, Area, Canvas, Fill, Stroke, THIN};
use super::legend::{self, Swatch};
use super::text::{Fitted, lines, told, width};
use super::{SMALL, TEXT, WIDTH};
use crate::report::document::Cell;
use crate::report::picture::Bars;

/// Room from bar to bar; more where a name takes more lines than two.
const ROW: f64 = 8.0;

/// The most lines of a name beside a bar: the last of them may tell a figure.
const LINES: usize = 5;

/// Height of a bar.
const HEIGHT: f64 = 5.0;

/// The widest that names beside a chart get.
pub(super) const NAMES: f64 = 52.0;

pub(super) fn draw(bars: &Bars) -> Canvas {
    let mut canvas = Canvas::new(WIDTH);
    let keys = bars.parts.iter().enumerate().map(|(at, part)| (Swatch::Surface(Fill::Pattern(at)), part.as_str()));
    let limit = bars.bars.iter().find_map(|bar| bar.limit.as_ref()).map(|(name, _)| (Swatch::Upright, name.as_str()));
    let top = legend::draw(&mut canvas, 0.0, keys.chain(limit)) + 1.5;
    let names = name_room(bars.bars.iter().map(|bar| bar.label.as_str()));
    let totals = bars.bars.iter().map(|bar| width(&told(&bar.total), TEXT)).fold(0.0, f64::max) + 2.0;
    let ends = bars.bars.iter().flat_map(|bar| std::iter::once(&bar.total).chain(bar.limit.as_ref().map(|(_, value)| value)));
    let axis = Axis::new(ends, names, WIDTH - names - totals);
    let deep: Vec<f64> =
        bars.bars.iter().map(|bar| ROW.max(name_lines(&bar.label, names, LINES).len() as f64 * LINE + 1.6)).collect();
    let bottom = top + deep.iter().sum::<f64>();
    grid(&mut canvas, &axis, top, bottom);
    let mut next = top;
    for (bar, deep) in bars.bars.iter().zip(deep) {
        let middle = next + deep / 2.0;
        next += deep;
        put_name(&mut canvas, name_lines(&bar.label, names, LINES), middle);
        let mut sum = 0.0;
        for (part, value) in bar.values.iter().enumerate() {
            let value = value.number().unwrap_or(0.0).max(0.0);
            if value > 0.0 {
                let (from, to) = (axis.at(sum), axis.at(sum + value));
                let area = Area { x: from, y: middle - HEIGHT / 2.0, width: to - from, height: HEIGHT };
                canvas.rect(area, Fill::Pattern(part), Some(THIN));
            }
            sum += value;
        }
        if let Some((_, limit)) = &bar.limit {
            let x = axis.of(limit);
            canvas.line([(x, middle - ROW / 2.0 + 0.4), (x, middle + ROW / 2.0 - 0.4)], Stroke { width: 0.7, ..THIN });
        }
        canvas.text((WIDTH, middle + TEXT * 0.36), TEXT, Anchor::End, &told(&bar.total));
    }
    canvas.height = figures(&mut canvas, &axis, bottom);
    canvas
}

/// The room that names take, with a gap.
pub(super) fn name_room<'a>(names: impl Iterator<Item = &'a str>) -> f64 {
    names.map(|name| width(&crate::report::plain::harmless(name), TEXT)).fold(0.0, f64::max).clamp(10.0, NAMES) + 3.2
}

/// A name beside its row, in two lines where it must be.
pub(super) fn name(canvas: &mut Canvas, name: &str, room: f64, middle: f64) {
    put_name(canvas, name_lines(name, room, 2), middle);
}

/// From line to line of a name.
const LINE: f64 = TEXT * 1.12;

fn name_lines(name: &str, room: f64, most: usize) -> Vec<Fitted> {
    lines(name, TEXT, room - 3.0, most)
}

fn put_name(canvas: &mut Canvas, parts: Vec<Fitted>, middle: f64) {
    let first = middle + TEXT * 0.36 - (parts.len() as f64 - 1.0) * LINE / 2.0;
    for (at, part) in parts.into_iter().enumerate() {
        canvas.fitted((0.8, first + at as f64 * LINE), TEXT, Anchor::Start, false, part);
    }
}

/// Faint lines at the figures of an axis.
pub(super) fn grid(canvas: &mut Canvas, axis: &Axis, top: f64, bottom: f64) {
    for (x, _) in axis.ticks() {
        canvas.line([(x, top), (x, bottom)], super::canvas::FAINT);
    }
    let zero = axis.of(&Cell::Count(0));
    canvas.line([(zero, top), (zero, bottom)], THIN);
}

/// The figures below an axis along the bottom, with its unit; gives where they end.
pub(super) fn figures(canvas: &mut Canvas, axis: &Axis, top: f64) -> f64 {
    let base = top + SMALL * 1.25;
    let mut free = f64::NEG_INFINITY;
    let ticks = axis.ticks();
    let last = ticks.len().saturating_sub(1);
    for (at, (x, figure)) in ticks.into_iter().enumerate() {
        let text = if at == last && !axis.symbol.is_empty() { format!("{figure} {}", axis.symbol) } else { figure };
        let half = width(&text, SMALL) / 2.0;
        let x = x.min(canvas.width - half);
        // The last figure carries the unit and always stands; one before it gives way.
        if x - half > free + 0.8 {
            canvas.text((x, base), SMALL, Anchor::Middle, &text);
            free = x + half;
        } else if at == last {
            canvas.marks.pop();
            canvas.text((x, base), SMALL, Anchor::Middle, &text);
        }
    }
    base + SMALL * 0.5
}
