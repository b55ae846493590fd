//! A board to scale: its outline, what stands on it, and the courses of wires.

use std::collections::BTreeMap;

use super::canvas::{Anchor, Area, Canvas, FAINT, Fill, Stroke, THIN};
use super::legend::{self, Swatch};
use super::place::{Placed, leader};
use super::route::{Course, route};
use super::text::{Fitted, fit, lines, width};
use super::{SMALL, WIDTH};
use crate::layout::Point;
use crate::quantity::Length;
use crate::report::picture::{Plan, Seen, Sign, Thing};

/// Scales that are drawn: one to so many.
const SCALES: [f64; 21] =
    [1.0, 2.0, 2.5, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 75.0, 100.0, 150.0, 200.0, 300.0, 500.0];

/// The last of them, which is doubled until a layout fits.
const LARGEST: f64 = 1000.0;

/// The tallest that a board is drawn.
const TALLEST: f64 = 130.0;

/// Room around the outline.
const MARGIN: f64 = 4.0;

/// The widest that a name on a plan gets; longer ones get a number.
const NAME: f64 = 30.0;

/// Where names of a plan may stand.
#[derive(Debug, Clone, Copy)]
pub(super) enum Names {
    /// Within the outline, or between it and the edge of the picture.
    Around,
    /// Within the outline.
    Within,
}

pub(super) fn draw(plan: &Plan) -> Canvas {
    let mut canvas = Canvas::new(WIDTH);
    let beside = beside(plan);
    let scale =
        scale_for(|scale| plan.length.mm() / scale <= WIDTH - 2.0 * (MARGIN + beside) && plan.width.mm() / scale <= TALLEST);
    let (wide, deep) = (plan.length.mm() / scale, plan.width.mm() / scale);
    let left = (WIDTH - wide) / 2.0;
    let mut numbered = Vec::new();
    let [behind, before] = across(plan);
    board(&mut canvas, plan, (left, MARGIN + behind), scale, Names::Around, &mut numbered);
    let mut y = MARGIN + behind + deep + before + MARGIN + 1.0;
    y = edges(&mut canvas, plan, (left, wide), y);
    y = scale_bar(&mut canvas, scale, y + 1.0);
    let sorts = plan.sorts.iter().map(|(sort, name)| (Swatch::Stroke(course_stroke(*sort)), name.as_str()));
    let signs = Sign::ALL.into_iter().filter(|sign| plan.things.iter().any(|thing| thing.sign == *sign));
    y = legend::draw(&mut canvas, y + 1.0, signs.map(|sign| (Swatch::Sign(painter(sign)), sign.word())).chain(sorts));
    canvas.height = key(&mut canvas, &numbered, y);
    canvas
}

/// The room that the names of joints take at the left and right of a board, outside its outline, so that they cover no wire.
fn beside(plan: &Plan) -> f64 {
    let at_ends =
        plan.things.iter().filter(|thing| thing.sign == Sign::Joint && (thing.at.x <= Length::ZERO || thing.at.x >= plan.length));
    let names = at_ends.map(|thing| width(&thing.name, SMALL)).filter(|wide| *wide <= NAME);
    names.fold(0.0, f64::max)
}

/// The room for names behind a board and before its front edge, where something stands on these edges.
fn across(plan: &Plan) -> [f64; 2] {
    let on_edge = |is_on: fn(&Thing, &Plan) -> bool| plan.things.iter().any(|thing| is_on(thing, plan));
    let behind = on_edge(|thing, plan| thing.at.y >= plan.width);
    let before = on_edge(|thing, _| thing.at.y <= Length::ZERO);
    [behind, before].map(|has_names| if has_names { SMALL * 1.6 } else { 0.0 })
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

/// How wires of a sort are drawn on every plan: width and dashes.
pub(super) fn course_stroke(sort: usize) -> Stroke {
    const STROKES: [(f64, usize); 7] = [(0.35, 0), (0.5, 1), (0.9, 0), (0.7, 2), (0.35, 4), (0.5, 3), (0.35, 6)];
    let (width, dash) = STROKES.get(sort).copied().unwrap_or((0.35, sort));
    Stroke { width, dash, faint: false }
}

/// Draws the board with its near left corner of the page at `origin`. A name that finds no room, or is too long, is a number on the plan and
/// joins those that are `numbered`.
pub(super) fn board(canvas: &mut Canvas, plan: &Plan, origin: (f64, f64), scale: f64, names: Names, numbered: &mut Vec<String>) {
    let outline = Area { x: origin.0, y: origin.1, width: plan.length.mm() / scale, height: plan.width.mm() / scale };
    canvas.rect(outline, Fill::Paper, Some(Stroke { width: 0.5, ..THIN }));
    let field = match names {
        Names::Around => {
            let [behind, before] = across(plan);
            let near = outline.grown(MARGIN - 0.4);
            Area { x: 0.4, width: WIDTH - 0.8, y: near.y - behind, height: near.height + behind + before }
        }
        Names::Within => outline.grown(-0.4),
    };
    let mut placed = Placed::within(outline.grown(MARGIN - 0.4));
    let mut spots: Vec<(&Thing, (f64, f64))> = Vec::new();
    // Joints stand where they are; what shares a point with another steps aside.
    let mut order: Vec<_> = plan.things.iter().collect();
    order.sort_by_key(|thing| (thing.sign != Sign::Joint, thing.sign as u8));
    for thing in order {
        let at = placed.sign(spot(plan, origin, scale, thing.at), size(thing.sign));
        spots.push((thing, at));
    }
    let signs: Vec<Area> = spots.iter().map(|(thing, at)| about(*at, size(thing.sign))).collect();
    // A wire begins at the strip, controller or joint of its point and ends at the drive, wherever their signs have stepped; of several drives
    // at one point each gets its turn.
    let mut turns: BTreeMap<(Point, usize), usize> = BTreeMap::new();
    let is_device = |thing: &Thing| matches!(thing.sign, Sign::Turnout | Sign::Signal | Sign::Other);
    let mut sign_of = |point: Point, sort: usize, begins: bool| {
        let here = |devices: bool| spots.iter().filter(move |(thing, _)| thing.at == point && is_device(thing) == devices);
        let devices: Vec<(f64, f64)> = here(true).map(|(_, at)| *at).collect();
        let fixed = here(false).map(|(_, at)| *at).next();
        let turn = turns.entry((point, sort)).or_default();
        let turned = devices.get(*turn % devices.len().max(1)).copied();
        *turn += usize::from(!begins);
        let found = if begins { fixed.or(turned) } else { turned.or(fixed) };
        found.unwrap_or_else(|| spot(plan, origin, scale, point))
    };
    let courses = plan.courses.iter().map(|course| Course {
        sort: course.sort,
        from: sign_of(course.from, course.sort, true),
        to: sign_of(course.to, course.sort, false),
    });
    for (sort, from, to) in route(&courses.collect::<Vec<_>>(), outline, &signs) {
        canvas.line([from, to], course_stroke(sort));
        placed.wire(from, to);
    }
    let corners = [(0.0, 0.0), (outline.width, 0.0), (outline.width, outline.height), (0.0, outline.height), (0.0, 0.0)];
    let corners = corners.map(|(x, y)| (outline.x + x, outline.y + y));
    corners.iter().zip(corners.iter().skip(1)).for_each(|(&from, &to)| placed.wire(from, to));
    placed.widen(field);
    let mut written = Vec::new();
    for (thing, at) in &spots {
        let (wide, deep) = size(thing.sign);
        let mut find = |text: &Fitted| {
            let room = (width(&text.shown, SMALL) + 0.8, SMALL + 0.5);
            placed.name(*at, f64::max(wide, deep) / 2.0, room)
        };
        let whole = fit(&thing.name, SMALL, NAME);
        let found = if whole.whole.is_none() { find(&whole).map(|area| (area, whole)) } else { None };
        let found = found.or_else(|| {
            numbered.push(thing.name.clone());
            let number = fit(&marked(numbered.len()), SMALL, NAME);
            find(&number).map(|area| (area, number))
        });
        written.extend(found.map(|(area, text)| (*at, area, text)));
    }
    for (at, area, _) in &written {
        if let Some(line) = leader(*at, *area) {
            canvas.line(line, Stroke { width: 0.25, ..FAINT });
        }
    }
    for (thing, at) in &spots {
        painter(thing.sign)(canvas, *at);
    }
    for (_, area, text) in written {
        canvas.rect(area, Fill::Paper, None);
        canvas.fitted((area.x + 0.4, area.y + 0.25 + SMALL * 0.8), SMALL, Anchor::Start, false, text);
    }
}

/// The room about a point.
fn about((x, y): (f64, f64), (width, height): (f64, f64)) -> Area {
    Area { x: x - width / 2.0, y: y - height / 2.0, width, height }
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

/// A number that stands for a name: in brackets, for a turnout may well be called 1.
fn marked(number: usize) -> String {
    format!("[{number}]")
}

/// The names that are numbers on the plan; gives where they end.
pub(super) fn key(canvas: &mut Canvas, names: &[String], y: f64) -> f64 {
    if names.is_empty() {
        return y + 0.5;
    }
    let mut base = y;
    for (number, name) in (1..).zip(names) {
        base += SMALL * 1.35;
        let words = format!("{} = {name}", marked(number));
        for line in lines(&words, SMALL, WIDTH - 0.8, 2) {
            canvas.fitted((0.8, base), SMALL, Anchor::Start, false, line);
            base += SMALL * 1.2;
        }
        base -= SMALL * 1.2;
    }
    base + SMALL * 0.5
}
