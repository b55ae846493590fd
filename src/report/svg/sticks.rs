//! Sticks to one scale, and the pieces cut from them.

use super::canvas::{Anchor, Area, Canvas, Fill, THIN};
use super::text::{fit, told, width};
use super::{SMALL, TEXT, WIDTH};
use crate::quantity::Length;
use crate::report::document::Cell;
use crate::report::picture::Stick;

/// Height of a stick.
const HEIGHT: f64 = 5.2;

/// Room from stick to stick.
const ROW: f64 = 13.0;

pub(super) fn draw(sticks: &[Stick]) -> Canvas {
    let mut canvas = Canvas::new(WIDTH);
    let longest = sticks.iter().map(|stick| stick.length).max().unwrap_or_default().mm().max(1.0);
    let scale = (WIDTH - 0.4) / longest;
    for (at, stick) in sticks.iter().enumerate() {
        let top = ROW * at as f64;
        canvas.fitted((0.8, top + TEXT), TEXT, Anchor::Start, false, fit(&stick.label, TEXT, WIDTH - 0.8));
        cut(&mut canvas, stick, top + TEXT + 1.6, scale);
    }
    canvas.height = ROW * sticks.len() as f64;
    canvas
}

fn cut(canvas: &mut Canvas, stick: &Stick, y: f64, scale: f64) {
    let area = |from: f64, long: f64| Area { x: 0.2 + from, y, width: long, height: HEIGHT };
    let mut from = 0.0;
    let mut named = Vec::new();
    for &(count, each) in &stick.pieces {
        let start = from;
        for _ in 0..count {
            canvas.rect(area(from, each.mm() * scale), Fill::Paper, Some(THIN));
            from += each.mm() * scale;
        }
        named.push((start, from, count, each));
    }
    let whole = stick.length.mm() * scale;
    if whole > from {
        canvas.rect(area(from, whole - from), Fill::Pattern(1), None);
    }
    canvas.rect(area(0.0, whole), Fill::None, Some(super::canvas::Stroke { width: 0.45, ..THIN }));
    for (start, end, count, each) in named {
        let length = told(&Cell::from(each));
        let text = if count > 1 { format!("{count} × {length}") } else { length };
        let wide = width(&text, SMALL);
        if wide + 1.0 > end - start {
            continue;
        }
        let middle = 0.2 + f64::midpoint(start, end);
        if count > 1 {
            // The cuts behind the words stand back.
            let back = Area { x: middle - wide / 2.0 - 0.4, y: y + 0.7, width: wide + 0.8, height: HEIGHT - 1.4 };
            canvas.rect(back, Fill::Paper, None);
        }
        canvas.text((middle, y + HEIGHT / 2.0 + SMALL * 0.36), SMALL, Anchor::Middle, &text);
    }
    left_over(canvas, stick.left, (from, whole), y);
}

fn left_over(canvas: &mut Canvas, left: Length, (from, to): (f64, f64), y: f64) {
    let text = format!("{} left", told(&Cell::from(left)));
    let wide = width(&text, SMALL);
    if left > Length::ZERO && wide + 2.0 < to - from {
        let middle = 0.2 + f64::midpoint(from, to);
        canvas.rect(
            Area { x: middle - wide / 2.0 - 0.5, y: y + 0.7, width: wide + 1.0, height: HEIGHT - 1.4 },
            Fill::Paper,
            None,
        );
        canvas.text((middle, y + HEIGHT / 2.0 + SMALL * 0.36), SMALL, Anchor::Middle, &text);
    }
}
