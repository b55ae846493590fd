//! A board to scale: its outline, what stands on it, and the courses of wires.

use std::collections::BTreeMap;

use super::canvas::{Anchor, Area, Canvas, FAINT, Fill, Stroke, THIN};
use super::legend::{self, Swatch};
use super::place::Placed;
use super::text::{fit, lines, width};
use super::{SMALL, WIDTH};
use crate::layout::Point;
use crate::report::picture::{Plan, Seen, Sign};

/// Scales that are drawn: one to so many.
const SCALES: [f64; 21] =
    [1.0, 2.0, 2.5, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 75.0, 100.0, 150.0, 200.0, 300.0, 500.0];

/// The last of them, which is doubled until a layout fits.
const LARGEST: f64 = 1000.0;

/// The tallest that a board is drawn.
const TALLEST: f64 = 130.0;

/// Room around the outline.
const MARGIN: f64 = 4.0;

/// Between parallel courses of different sorts.
const LANE: f64 = 1.0;

/// The widest that a name on a plan gets; the whole stands in the schedule.
const NAME: f64 = 30.0;

pub(super) fn draw(plan: &Plan) -> Canvas {
    let mut canvas = Canvas::new(WIDTH);
    let scale = scale_for(|scale| plan.length.mm() / scale <= WIDTH - 2.0 * MARGIN && plan.width.mm() / scale <= TALLEST);
    let (wide, deep) = (plan.length.mm() / scale, plan.width.mm() / scale);
    let left = (WIDTH - wide) / 2.0;
    let nameless = board(&mut canvas, plan, (left, MARGIN), scale);
    let mut y = MARGIN + deep + MARGIN + 1.0;
    y = edges(&mut canvas, plan, (left, wide), y);
    y = scale_bar(&mut canvas, scale, y + 1.0);
    let stroke = |at: usize| Swatch::Stroke(course_stroke(at));
    let sorts = plan.sorts.iter().enumerate().map(|(at, sort)| (stroke(at), sort.as_str()));
    let signs = Sign::ALL.into_iter().filter(|sign| plan.things.iter().any(|thing| thing.sign == *sign));
    y = legend::draw(&mut canvas, y + 1.0, signs.map(|sign| (Swatch::Sign(painter(sign)), sign.word())).chain(sorts));
    canvas.height = left_unnamed(&mut canvas, &nameless, y);
    canvas
}

/// The largest scale that fits.
pub(super) fn scale_for(fits: impl Fn(f64) -> bool) -> f64 {
    SCALES.into_iter().find(|scale| fits(*scale)).unwrap_or_else(|| {
        let mut scale = LARGEST;
        while !fits(scale) && scale.is_finite() {
            scale *= 2.0;
        }
        scale
    })
}

/// Where a point of the board stands on the page.
pub(super) fn spot(plan: &Plan, origin: (f64, f64), scale: f64, at: Point) -> (f64, f64) {
    let x = match plan.seen {
        Seen::FromAbove => at.x.mm(),
        Seen::FromBelow => plan.length.mm() - at.x.mm(),
    };
    (origin.0 + x / scale, origin.1 + (plan.width.mm() - at.y.mm()) / scale)
}

fn course_stroke(sort: usize) -> Stroke {
    Stroke { width: if sort == 0 { 0.35 } else { 0.5 }, dash: sort, faint: false }
}

/// Draws the board with its near left corner of the page at `origin`, and gives the names that found no room.
pub(super) fn board(canvas: &mut Canvas, plan: &Plan, origin: (f64, f64), scale: f64) -> Vec<String> {
    let outline = Area { x: origin.0, y: origin.1, width: plan.length.mm() / scale, height: plan.width.mm() / scale };
    canvas.rect(outline, Fill::Paper, Some(Stroke { width: 0.5, ..THIN }));
    let mut placed = Placed::within(outline.grown(MARGIN - 0.4));
    for (sort, from, to) in courses(plan, origin, scale) {
        canvas.line([from, to], course_stroke(sort));
        placed.wire(from, to);
    }
    let corners = [(0.0, 0.0), (outline.width, 0.0), (outline.width, outline.height), (0.0, outline.height)];
    let corners = corners.map(|(x, y)| (outline.x + x, outline.y + y));
    corners.iter().zip(corners.iter().cycle().skip(1)).for_each(|(&from, &to)| placed.wire(from, to));
    let mut spots = Vec::new();
    // Joints stand where they are; what shares a point with another steps aside.
    let mut order: Vec<_> = plan.things.iter().collect();
    order.sort_by_key(|thing| (thing.sign != Sign::Joint, thing.sign as u8));
    for thing in order {
        let at = placed.sign(spot(plan, origin, scale, thing.at), size(thing.sign));
        spots.push((thing, at));
    }
    let mut nameless = Vec::new();
    let mut names = Vec::new();
    for (thing, at) in &spots {
        let text = fit(&thing.name, SMALL, NAME);
        let room = (width(&text.shown, SMALL) + 0.8, SMALL + 0.5);
        let (wide, deep) = size(thing.sign);
        match placed.name(*at, f64::max(wide, deep) / 2.0, room) {
            Some(area) => names.push((*at, area, text)),
            None => nameless.push(thing.name.clone()),
        }
    }
    for (at, area, _) in &names {
        leader(canvas, *at, *area);
    }
    for (thing, at) in &spots {
        painter(thing.sign)(canvas, *at);
    }
    for (_, area, text) in names {
        canvas.rect(area, Fill::Paper, None);
        canvas.fitted((area.x + 0.4, area.y + 0.25 + SMALL * 0.8), SMALL, Anchor::Start, false, text);
    }
    nameless
}

/// A faint line from a sign to its name, where the two stand apart.
fn leader(canvas: &mut Canvas, at: (f64, f64), name: Area) {
    let near = (at.0.clamp(name.x, name.x + name.width), at.1.clamp(name.y, name.y + name.height));
    if (near.0 - at.0).hypot(near.1 - at.1) > 4.0 {
        canvas.line([at, near], Stroke { width: 0.25, ..FAINT });
    }
}

type Stretch = (usize, (f64, f64), (f64, f64));

/// The stretches of all courses on the page; those of one sort that lie on one another are drawn once.
fn courses(plan: &Plan, origin: (f64, f64), scale: f64) -> Vec<Stretch> {
    let middle = (plan.sorts.len() as f64 - 1.0) / 2.0;
    // Lines by sort and by where they lie, in hundredths of a millimetre, each with its stretches.
    let mut along: BTreeMap<(usize, i64), Vec<(f64, f64)>> = BTreeMap::new();
    let mut across: BTreeMap<(usize, i64), Vec<(f64, f64)>> = BTreeMap::new();
    #[expect(clippy::cast_possible_truncation, reason = "a page is far smaller than that")]
    let key = |value: f64| (value * 100.0).round() as i64;
    for course in &plan.courses {
        let lane = (course.sort as f64 - middle) * LANE;
        let (from, to) = (spot(plan, origin, scale, course.from), spot(plan, origin, scale, course.to));
        let (y, x) = (from.1 + lane, to.0 + lane);
        along.entry((course.sort, key(y))).or_default().push((from.0.min(x), from.0.max(x)));
        across.entry((course.sort, key(x))).or_default().push((y.min(to.1), y.max(to.1)));
        // From its lane to the sign itself.
        along.entry((course.sort, key(to.1))).or_default().push((x.min(to.0), x.max(to.0)));
    }
    let hundredths = |value: i64| value as f64 / 100.0;
    let along = along.into_iter().flat_map(|((sort, y), stretches)| {
        joined(stretches).into_iter().map(move |(a, b)| (sort, (a, hundredths(y)), (b, hundredths(y))))
    });
    let across = across.into_iter().flat_map(|((sort, x), stretches)| {
        joined(stretches).into_iter().map(move |(a, b)| (sort, (hundredths(x), a), (hundredths(x), b)))
    });
    along.chain(across).filter(|(_, from, to)| (from.0 - to.0).abs() + (from.1 - to.1).abs() > 0.05).collect()
}

/// Stretches that touch become one.
fn joined(mut stretches: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
    stretches.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut joined: Vec<(f64, f64)> = Vec::new();
    for (from, to) in stretches {
        match joined.last_mut() {
            Some(last) if from <= last.1 + 0.01 => last.1 = last.1.max(to),
            _ => joined.push((from, to)),
        }
    }
    joined
}

/// The room a sign takes.
fn size(sign: Sign) -> (f64, f64) {
    match sign {
        Sign::Controller => (7.0, 4.2),
        Sign::Strip => (5.4, 2.4),
        Sign::Panel => (4.6, 4.6),
        Sign::Turnout | Sign::Signal | Sign::Other | Sign::Joint => (3.2, 3.2),
    }
}

/// What draws a sign about a point.
pub(super) fn painter(sign: Sign) -> fn(&mut Canvas, (f64, f64)) {
    match sign {
        Sign::Turnout => |canvas, (x, y)| {
            canvas.shape([(x - 1.5, y + 1.3), (x + 1.5, y + 1.3), (x, y - 1.5)], Fill::Ink, THIN);
        },
        Sign::Signal => |canvas, at| {
            canvas.circle(at, 1.5, Fill::Paper);
            canvas.circle(at, 0.6, Fill::Ink);
        },
        Sign::Other => {
            |canvas, (x, y)| canvas.rect(Area { x: x - 1.3, y: y - 1.3, width: 2.6, height: 2.6 }, Fill::Paper, Some(THIN))
        }
        Sign::Controller => |canvas, (x, y)| {
            canvas.rect(
                Area { x: x - 3.5, y: y - 2.1, width: 7.0, height: 4.2 },
                Fill::Pattern(4),
                Some(Stroke { width: 0.4, ..THIN }),
            );
        },
        Sign::Strip => |canvas, (x, y)| {
            canvas.rect(Area { x: x - 2.7, y: y - 1.2, width: 5.4, height: 2.4 }, Fill::Paper, Some(THIN));
            for at in [-1.8, 0.0, 1.8] {
                canvas.circle((x + at, y), 0.5, Fill::Paper);
            }
        },
        Sign::Panel => |canvas, (x, y)| {
            canvas.rect(Area { x: x - 2.3, y: y - 2.3, width: 4.6, height: 4.6 }, Fill::Paper, Some(THIN));
            canvas.rect(Area { x: x - 1.4, y: y - 1.4, width: 2.8, height: 2.8 }, Fill::Pattern(5), Some(THIN));
        },
        Sign::Joint => |canvas, (x, y)| canvas.rect(Area { x: x - 1.6, y: y - 1.6, width: 3.2, height: 3.2 }, Fill::Ink, None),
    }
}

/// What the edges are, below the outline.
fn edges(canvas: &mut Canvas, plan: &Plan, (left, wide): (f64, f64), y: f64) -> f64 {
    let ends = match plan.seen {
        Seen::FromAbove => ["left end", "right end"],
        Seen::FromBelow => ["right end", "left end"],
    };
    let base = y + SMALL * 0.4;
    let size = format!("front edge, {} x {} mm", plan.length.mm_up(), plan.width.mm_up());
    let room = ends.map(|end| width(end, SMALL));
    // On a very short board the ends give way.
    if wide > room[0] + room[1] + width(&size, SMALL) + 6.0 {
        canvas.text((left, base), SMALL, Anchor::Start, ends[0]);
        canvas.text((left + wide, base), SMALL, Anchor::End, ends[1]);
    }
    canvas.text((WIDTH / 2.0, base), SMALL, Anchor::Middle, &size);
    base + SMALL * 0.5
}

/// A bar that says how large things are drawn.
fn scale_bar(canvas: &mut Canvas, scale: f64, y: f64) -> f64 {
    let long = [50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0].into_iter().find(|mm| mm / scale >= 12.0).unwrap_or(5000.0);
    let (x, base) = (0.4, y + 3.0);
    canvas.line(
        [(x, base - 1.2), (x, base), (x + long / scale, base), (x + long / scale, base - 1.2)],
        Stroke { width: 0.4, ..THIN },
    );
    let text = format!("{long} mm on the board; drawn 1 to {scale}");
    canvas.text((x + long / scale + 2.0, base), SMALL, Anchor::Start, &text);
    base + 1.0
}

/// Names that found no room on the plan.
fn left_unnamed(canvas: &mut Canvas, names: &[String], y: f64) -> f64 {
    if names.is_empty() {
        return y + 0.5;
    }
    let text = format!("There was no room on the plan for the names of {}.", names.join(", "));
    let mut base = y;
    for line in lines(&text, SMALL, WIDTH - 0.8, 4) {
        base += SMALL * 1.35;
        canvas.fitted((0.8, base), SMALL, Anchor::Start, false, line);
    }
    base + SMALL * 0.5
}
