//! All boards to one scale, in rows, from above: what is thrown where.

use super::canvas::{Anchor, Canvas};
use super::legend::{self, Swatch};
use super::plan::{Names, board, key, painter, scale_for};
use super::text::fit;
use super::{TEXT, WIDTH};
use crate::report::picture::{Plan, Sign};

/// Between boards, and around each for names.
const GAP: f64 = 7.0;

/// The tallest that the whole gets.
const TALLEST: f64 = 215.0;

/// The longest that a board is drawn.
const LONGEST: f64 = 82.0;

pub(super) fn draw(plans: &[Plan]) -> Canvas {
    let mut canvas = Canvas::new(WIDTH);
    let scale = scale_for(|scale| {
        plans.iter().all(|plan| plan.length.mm() / scale <= LONGEST)
            && rows(plans, scale).iter().map(Placing::end).fold(0.0, f64::max) <= TALLEST
    });
    let mut bottom: f64 = 0.0;
    let mut numbered = Vec::new();
    for (plan, placing) in plans.iter().zip(rows(plans, scale)) {
        let room = (plan.length.mm() / scale).max(20.0);
        canvas.fitted((placing.x, placing.y + TEXT), TEXT, Anchor::Start, true, fit(&plan.name, TEXT * 1.12, room));
        board(&mut canvas, plan, (placing.x, placing.y + TEXT + 2.0), scale, Names::Within, &mut numbered);
        bottom = bottom.max(placing.end());
    }
    let signs = Sign::ALL.into_iter().filter(|sign| plans.iter().any(|plan| plan.things.iter().any(|thing| thing.sign == *sign)));
    let bottom = legend::draw(&mut canvas, bottom + 1.0, signs.map(|sign| (Swatch::Sign(painter(sign)), sign.word())));
    canvas.height = key(&mut canvas, &numbered, bottom);
    canvas
}

/// Where a board stands.
struct Placing {
    x: f64,
    y: f64,
    deep: f64,
}

impl Placing {
    fn end(&self) -> f64 {
        self.y + TEXT + self.deep + GAP
    }
}

fn rows(plans: &[Plan], scale: f64) -> Vec<Placing> {
    let mut placings: Vec<Placing> = Vec::new();
    let (mut x, mut y, mut deepest) = (GAP / 2.0, 0.0, 0.0_f64);
    for plan in plans {
        let (wide, deep) = ((plan.length.mm() / scale).max(20.0), plan.width.mm() / scale);
        if x > GAP / 2.0 && x + wide + GAP / 2.0 > WIDTH {
            x = GAP / 2.0;
            y += deepest + TEXT + GAP + 1.5;
            deepest = 0.0;
        }
        placings.push(Placing { x, y, deep });
        x += wide + GAP;
        deepest = deepest.max(deep);
    }
    placings
}
