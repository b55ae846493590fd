//! The key of a picture: what each pattern or sign stands for, in rows that fit the width.

use super::SMALL;
use super::canvas::{Anchor, Area, Canvas, Fill, Stroke, THIN};
use super::text::{fit, width};

/// What stands before a word of a key.
#[derive(Debug, Clone, Copy)]
pub(super) enum Swatch {
    /// A surface.
    Surface(Fill),
    /// A line.
    Stroke(Stroke),
    /// An upright mark.
    Upright,
    /// Something the caller draws about a point.
    Sign(fn(&mut Canvas, (f64, f64))),
}

/// Room of a swatch.
const SWATCH: f64 = 7.0;

/// Room from row to row.
const ROW: f64 = 4.6;

/// Draws the key from `top` on, and gives where it ends.
pub(super) fn draw<'a>(canvas: &mut Canvas, top: f64, entries: impl IntoIterator<Item = (Swatch, &'a str)>) -> f64 {
    let mut x = 0.0;
    let mut y = top;
    let mut any = false;
    for (swatch, word) in entries {
        any = true;
        let text = fit(word, SMALL, canvas.width - SWATCH - 2.0);
        let wide = SWATCH + 1.0 + width(&text.shown, SMALL) + 4.0;
        if x > 0.0 && x + wide > canvas.width {
            x = 0.0;
            y += ROW;
        }
        let middle = y + ROW / 2.0;
        match swatch {
            Swatch::Surface(fill) => {
                canvas.rect(Area { x: x + 0.4, y: middle - 1.5, width: SWATCH - 0.8, height: 3.0 }, fill, Some(THIN));
            }
            Swatch::Stroke(stroke) => canvas.line([(x + 0.2, middle), (x + SWATCH - 0.2, middle)], stroke),
            Swatch::Upright => {
                canvas.line([(x + SWATCH / 2.0, middle - 1.8), (x + SWATCH / 2.0, middle + 1.8)], Stroke { width: 0.7, ..THIN });
            }
            Swatch::Sign(sign) => sign(canvas, (x + SWATCH / 2.0, middle)),
        }
        canvas.fitted((x + SWATCH + 1.0, middle + SMALL * 0.36), SMALL, Anchor::Start, false, text);
        x += wide;
    }
    if any { y + ROW } else { top }
}
