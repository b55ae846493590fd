//! Lines over a common axis: what happens over time, or as something grows.

use super::axis::Axis;
use super::bars::figures;
use super::canvas::{Anchor, Canvas, FAINT, Fill, Stroke, THIN};
use super::legend::{self, Swatch};
use super::text::{lines as broken, width};
use super::{SMALL, WIDTH};
use crate::report::picture::{Joined, Line, Lines};

/// Height of the field that lines are drawn in.
const FIELD: f64 = 52.0;

/// The most rows of words below the field that say what happens where.
const TOLD: usize = 6;

pub(super) fn draw(lines: &Lines) -> Canvas {
    let mut canvas = Canvas::new(WIDTH);
    let stroke = |at: usize| Stroke { width: 0.55, dash: at, faint: false };
    let keys = lines.lines.iter().enumerate().map(|(at, line)| (Swatch::Stroke(stroke(at)), line.name.as_str()));
    let mut top = legend::draw(&mut canvas, 0.0, keys) + 4.0;
    let ups = lines.lines.iter().flat_map(|line| line.points.iter().map(|(_, up)| up));
    // Upwards on the page is less.
    let measure = Axis::new(ups.clone(), 0.0, FIELD);
    let unit = if measure.symbol.is_empty() { lines.up.clone() } else { format!("{}, {}", lines.up, measure.symbol) };
    canvas.fitted((0.8, top), SMALL, Anchor::Start, false, super::text::fit(&unit, SMALL, WIDTH - 0.8));
    top += 4.0 + if lines.marks.is_empty() { 0.0 } else { SMALL * 1.5 };
    let left = measure.ticks().iter().map(|(_, figure)| width(figure, SMALL)).fold(0.0, f64::max) + 2.0;
    let bottom = top + FIELD;
    let up = |value: f64| bottom - measure.at(value);
    for (at, figure) in measure.ticks() {
        let y = bottom - at;
        canvas.line([(left, y), (WIDTH - 3.0, y)], FAINT);
        canvas.text((left - 1.2, y + SMALL * 0.36), SMALL, Anchor::End, &figure);
    }
    let alongs = lines.lines.iter().flat_map(|line| line.points.iter().map(|(along, _)| along));
    let axis = Axis::new(alongs.chain(lines.marks.iter().map(|(along, _)| along)), left, WIDTH - left - 3.0);
    canvas.line([(left, top), (left, bottom), (WIDTH - 3.0, bottom)], THIN);
    for (at, line) in lines.lines.iter().enumerate() {
        curve(&mut canvas, line, &axis, &up, stroke(at));
    }
    for (x, _) in axis.ticks() {
        canvas.line([(x, bottom), (x, bottom + 0.8)], THIN);
    }
    let told = marks(&mut canvas, lines, &axis, top, bottom);
    let mut base = figures(&mut canvas, &axis, bottom + 0.6) + SMALL;
    canvas.fitted((WIDTH, base), SMALL, Anchor::End, false, super::text::fit(&lines.along, SMALL, WIDTH - 0.8));
    for line in broken(&told, SMALL, WIDTH - 0.8, TOLD) {
        base += SMALL * 1.4;
        canvas.fitted((0.8, base), SMALL, Anchor::Start, false, line);
    }
    canvas.height = base + SMALL * 0.5;
    canvas
}

fn curve(canvas: &mut Canvas, line: &Line, axis: &Axis, up: &impl Fn(f64) -> f64, stroke: Stroke) {
    let at = line.points.iter().filter_map(|(along, value)| Some((axis.at(along.number()?), up(value.number()?))));
    let at: Vec<(f64, f64)> = at.collect();
    match line.joined {
        Joined::Straight => canvas.line(at, stroke),
        Joined::Steps => {
            let mut steps: Vec<(f64, f64)> = Vec::new();
            for point in at {
                if let Some(&(_, before)) = steps.last() {
                    steps.push((point.0, before));
                }
                steps.push(point);
            }
            canvas.line(steps, stroke);
        }
        Joined::Not => at.into_iter().for_each(|point| canvas.circle(point, 0.9, Fill::Ink)),
    }
}

/// Numbers over the field where something happens; gives what they stand for. Those too near one another share a number's place.
fn marks(canvas: &mut Canvas, lines: &Lines, axis: &Axis, top: f64, bottom: f64) -> String {
    let mut told = Vec::new();
    let mut free = f64::NEG_INFINITY;
    for (number, (along, what)) in (1..).zip(&lines.marks) {
        let x = axis.of(along);
        let name = format!("{number}");
        canvas.line([(x, top - 1.0), (x, bottom)], Stroke { width: 0.2, dash: 4, faint: false });
        let half = width(&name, SMALL) / 2.0;
        if x - half > free {
            canvas.text((x, top - 1.6), SMALL, Anchor::Middle, &name);
            free = x + half + 0.6;
        }
        told.push(format!("at mark {number} {what}"));
    }
    if told.is_empty() { String::new() } else { format!("Thrown {}.", told.join(", ")) }
}
