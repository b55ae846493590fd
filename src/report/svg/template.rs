//! What to drill and cut, at full size: one millimetre on the page is one millimetre on the work.

use super::canvas::{Anchor, Area, Canvas, FAINT, Fill, Stroke, THIN};
use super::text::{fit, told, width};
use super::{SMALL, WIDTH};
use crate::quantity::Length;
use crate::report::document::Cell;
use crate::report::picture::Template;

/// A bar of this length proves that the page was printed at its size.
pub(super) const PROOF: f64 = 100.0;

/// Room about the work for lines and words.
const MARGIN: f64 = 7.0;

pub(super) fn draw(template: &Template) -> Canvas {
    let mut canvas = Canvas::new(WIDTH);
    let outline = template.outline.as_ref();
    let long = outline.map_or(0.0, |(_, long, _)| long.mm());
    let wide = outline.and_then(|(_, _, wide)| *wide).map_or(0.0, Length::mm);
    let reach = |along: &Length, diameter: &Length| along.mm().abs() + diameter.mm() / 2.0;
    let half = template
        .holes
        .iter()
        .map(|(_, along, diameter)| reach(along, diameter))
        .fold(long / 2.0, f64::max)
        .min(WIDTH / 2.0 - MARGIN);
    let high = template.holes.iter().map(|(_, _, diameter)| diameter.mm()).fold(wide, f64::max).max(10.0);
    let centre = (half + MARGIN, high / 2.0 + MARGIN);
    piece(&mut canvas, centre, (long, wide));
    canvas.line(
        [(centre.0 - half - 5.0, centre.1), (centre.0 + half + 5.0, centre.1)],
        Stroke { width: 0.2, dash: 3, faint: false },
    );
    let drawn = holes(&mut canvas, template, centre, high);
    let words = words(template);
    let right = centre.0 + half + 9.0;
    let mut y = MARGIN;
    for line in &words {
        canvas.fitted((right, y), SMALL, Anchor::Start, false, fit(line, SMALL, WIDTH - right));
        y += SMALL * 1.45;
    }
    let bottom = drawn.max(y).max(centre.1 + high / 2.0 + MARGIN);
    canvas.height = proof(&mut canvas, bottom);
    canvas
}

/// The piece laid about the centre; without a known width only its ends.
fn piece(canvas: &mut Canvas, (x, y): (f64, f64), (long, wide): (f64, f64)) {
    let stroke = Stroke { width: 0.3, ..THIN };
    if wide > 0.0 {
        canvas.rect(Area { x: x - long / 2.0, y: y - wide / 2.0, width: long, height: wide }, Fill::None, Some(stroke));
    } else if long > 0.0 {
        for end in [x - long / 2.0, x + long / 2.0] {
            canvas.line([(end, y - 5.0), (end, y + 5.0)], stroke);
        }
    }
}

/// Each hole with its cross and a letter; gives how far down they reach.
fn holes(canvas: &mut Canvas, template: &Template, (x, y): (f64, f64), high: f64) -> f64 {
    let below = y + high / 2.0 + 4.5;
    let mut taken: Vec<(f64, f64)> = Vec::new();
    for (letter, (_, along, diameter)) in ('a'..).zip(&template.holes) {
        let at = x + along.mm();
        let radius = diameter.mm() / 2.0;
        canvas.circle((at, y), radius, Fill::None);
        let cross = radius + 1.2;
        canvas.line([(at, y - cross), (at, y + cross)], FAINT);
        canvas.line([(at - cross, y), (at + cross, y)], FAINT);
        // Letters of holes about one centre stand one below another.
        let depth = taken.iter().filter(|(other, _)| (other - at).abs() < SMALL * 1.2).count() as f64;
        let base = below + depth * SMALL * 1.2;
        canvas.text((at, base), SMALL, Anchor::Middle, &letter.to_string());
        taken.push((at, base));
    }
    taken.iter().map(|(_, base)| base + 1.5).fold(below, f64::max)
}

/// What the letters and the outline are.
fn words(template: &Template) -> Vec<String> {
    let length = |length: Length| told(&Cell::from(length));
    let mut words: Vec<String> = ('a'..)
        .zip(&template.holes)
        .map(|(letter, (name, along, diameter))| {
            let where_ = if *along == Length::ZERO {
                "at the centre".to_owned()
            } else {
                format!("{} from it", length(Length::from_um(along.um().abs())))
            };
            format!("{letter}: {name}, {} across, {where_}", length(*diameter))
        })
        .collect();
    words.extend(template.outline.iter().map(|(name, long, wide)| match wide {
        Some(wide) => format!("outline: {name}, {} x {}", length(*long), length(*wide)),
        None => format!("ends: {name}, {} long", length(*long)),
    }));
    words
}

/// The bar that proves the size; gives where it ends.
fn proof(canvas: &mut Canvas, top: f64) -> f64 {
    let y = top + 3.0;
    let x = 1.0;
    canvas.line([(x, y - 1.5), (x, y), (x + PROOF, y), (x + PROOF, y - 1.5)], Stroke { width: 0.4, ..THIN });
    for tenth in 1..10 {
        let at = x + f64::from(tenth) * PROOF / 10.0;
        canvas.line([(at, y - 0.9), (at, y)], THIN);
    }
    let text = fit("100 mm: measure this bar first", SMALL, WIDTH - PROOF - 4.0);
    debug_assert!(width(&text.shown, SMALL) <= WIDTH - PROOF - 4.0);
    canvas.fitted((x + PROOF + 2.5, y), SMALL, Anchor::Start, false, text);
    y + 1.5
}
