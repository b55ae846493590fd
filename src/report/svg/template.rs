//! What to drill and cut, at full size: one millimetre on the page is one millimetre on the work.

use super::canvas::{Anchor, Area, Canvas, FAINT, Fill, Stroke, THIN};
use super::text::{fit, told, width};
use super::{SMALL, WIDTH};
use crate::quantity::Length;
use crate::report::document::Cell;
use crate::report::picture::{Hole, Leg, Template};

/// A bar of this length proves that the page was printed at its size.
pub(super) const PROOF: f64 = 100.0;

/// Room about the work for lines and words.
const MARGIN: f64 = 7.0;

/// A line of words.
const LINE: f64 = SMALL * 1.5;

pub(super) fn draw(template: &Template) -> Canvas {
    let mut canvas = Canvas::new(WIDTH);
    let outline = template.outline.as_ref();
    let long = outline.map_or(0.0, |(_, long, _)| long.mm());
    let wide = outline.and_then(|(_, _, wide)| *wide).map_or(0.0, Length::mm);
    let reach = |hole: &Hole| hole.along.mm().abs() + hole.widest().mm() / 2.0;
    let half = template.holes.iter().map(reach).fold(long / 2.0, f64::max).min(WIDTH / 2.0 - MARGIN);
    let high = template.holes.iter().map(|hole| hole.widest().mm()).fold(wide, f64::max).max(10.0);
    let centre = (half + MARGIN, high / 2.0 + MARGIN);
    // The leg is drawn folded flat, below the foot; without a width there is no place for it.
    let leg = (wide > 0.0 && template.holes.iter().any(|hole| hole.leg == Leg::Down)).then_some((centre.0, centre.1 + wide));
    piece(&mut canvas, centre, (long, wide), leg);
    let across = Stroke { width: 0.2, dash: 3, faint: false };
    canvas.line([(centre.0 - half - 5.0, centre.1), (centre.0 + half + 5.0, centre.1)], across);
    let drawn = holes(&mut canvas, template, centre, leg, high);
    let right = centre.0 + half + 9.0;
    let told = words(&mut canvas, template, (right, MARGIN));
    let bottom = drawn.max(told).max(leg.unwrap_or(centre).1 + high / 2.0 + MARGIN);
    canvas.height = proof(&mut canvas, bottom);
    canvas
}

/// The piece laid about the centre; without a known width only its ends.
fn piece(canvas: &mut Canvas, (x, y): (f64, f64), (long, wide): (f64, f64), leg: Option<(f64, f64)>) {
    let stroke = Stroke { width: 0.3, ..THIN };
    if wide > 0.0 {
        for (x, y) in [Some((x, y)), leg].into_iter().flatten() {
            canvas.rect(Area { x: x - long / 2.0, y: y - wide / 2.0, width: long, height: wide }, Fill::None, Some(stroke));
        }
    } else if long > 0.0 {
        for end in [x - long / 2.0, x + long / 2.0] {
            canvas.line([(end, y - 5.0), (end, y + 5.0)], stroke);
        }
    }
}

/// Each hole with its cross and a letter; gives how far down they reach.
fn holes(canvas: &mut Canvas, template: &Template, centre: (f64, f64), leg: Option<(f64, f64)>, high: f64) -> f64 {
    let mut lowest: f64 = 0.0;
    for (letter, hole) in template.lettered() {
        let (x, y) = match hole.leg {
            Leg::Foot => centre,
            Leg::Down => match leg {
                Some(leg) => leg,
                None => continue,
            },
        };
        let at = x + hole.along.mm();
        for bore in [hole.in_top.map(|(bore, _)| bore), hole.in_bracket].into_iter().flatten() {
            canvas.circle((at, y), bore.mm() / 2.0, Fill::None);
        }
        let cross = hole.widest().mm() / 2.0 + 1.2;
        canvas.line([(at, y - cross), (at, y + cross)], FAINT);
        canvas.line([(at - cross, y), (at + cross, y)], FAINT);
        let base = y - cross - 0.4;
        canvas.text((at + 1.8, base), SMALL, Anchor::Start, &letter.to_string());
        lowest = lowest.max(base + 1.5).max(y + high / 2.0);
    }
    lowest
}

/// What the letters are, in three columns; gives where they end.
fn words(canvas: &mut Canvas, template: &Template, (left, top): (f64, f64)) -> f64 {
    let length = |length: Length| told(&Cell::from(length));
    let has_bracket = template.holes.iter().any(|hole| hole.in_bracket.is_some());
    let room = WIDTH - left;
    let columns = if has_bracket { [0.0, 0.5, 0.79, 1.0] } else { [0.0, 0.6, 1.0, 1.0] }.map(|share| left + room * share);
    let mut y = top;
    let mut line = |canvas: &mut Canvas, bold: bool, texts: [String; 3]| {
        let ends = columns.iter().skip(1);
        for (text, (&from, &to)) in texts.into_iter().zip(columns.iter().zip(ends)).filter(|(text, _)| !text.is_empty()) {
            let room = (to - from - 1.5) / if bold { 1.12 } else { 1.0 };
            canvas.fitted((from, y), SMALL, Anchor::Start, bold, fit(&text, SMALL, room));
        }
        y += LINE;
    };
    let in_bracket = if has_bracket { "in the bracket" } else { "" };
    line(canvas, true, ["hole".to_owned(), "in the top".to_owned(), in_bracket.to_owned()]);
    for (letter, hole) in template.lettered() {
        let in_top = match hole.in_top {
            Some((bore, Some(depth))) => format!("{}, {} deep", length(bore), length(depth)),
            Some((bore, None)) => format!("{}, through", length(bore)),
            None => "none".to_owned(),
        };
        let in_bracket = match hole.in_bracket {
            Some(bore) => length(bore),
            None if has_bracket => "none".to_owned(),
            None => String::new(),
        };
        let where_ = if hole.along == Length::ZERO {
            "at the centre".to_owned()
        } else {
            format!("{} from the centre", length(Length::from_um(hole.along.um().abs())))
        };
        line(canvas, false, [format!("{letter}: {}, {where_}", hole.what), in_top, in_bracket]);
    }
    if let Some((name, long, wide)) = &template.outline {
        let size = wide.map_or_else(|| format!("{} long", length(*long)), |wide| format!("{} x {}", length(*long), length(wide)));
        let words = format!("Outline: {name}, {size}");
        canvas.fitted((left, y + 1.0), SMALL, Anchor::Start, false, fit(&words, SMALL, room - 1.5));
        y += LINE + 1.0;
    }
    y
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
