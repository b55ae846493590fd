//! Pictures as inline SVG: all sizes in millimetres, text as text, patterns and words rather than colours.
//!
//! A chart sets marks on a [`Canvas`]; the canvas alone writes SVG. Every text has a box of known size, so that a test can see that
//! none overlap and none leaves the frame.

mod axis;
mod bars;
mod canvas;
mod cells;
mod legend;
mod lines;
mod place;
mod plan;
mod ranges;
mod route;
mod row;
mod sticks;
mod template;
mod text;

use maud::Markup;

use super::picture::{Drawing, Picture};
use canvas::Canvas;

/// As wide as a picture gets: what A4 and Letter leave between margins of 15 mm, and a little.
const WIDTH: f64 = 178.0;

/// Size of common text in a picture.
const TEXT: f64 = 2.9;

/// Size of small text: names on a plan, figures on an axis.
const SMALL: f64 = 2.6;

/// The picture as an `svg` element; `id` is unique on its page.
pub(super) fn to_svg(picture: &Picture, id: &str) -> Markup {
    canvas(picture).markup(id, &picture.title, &picture.about)
}

fn canvas(picture: &Picture) -> Canvas {
    match &picture.drawing {
        Drawing::Bars(bars) => bars::draw(bars),
        Drawing::Ranges(ranges) => ranges::draw(ranges),
        Drawing::Lines(lines) => lines::draw(lines),
        Drawing::Cells(cells) => cells::draw(cells),
        Drawing::Sticks(sticks) => sticks::draw(sticks),
        Drawing::Plan(plan) => plan::draw(plan),
        Drawing::Row(plans) => row::draw(plans),
        Drawing::Template(template) => template::draw(template),
    }
}

#[cfg(test)]
mod tests;
