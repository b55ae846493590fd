//! Ways of wires on a plan: square to the edges, within the outline, apart from one another and from signs they do not end at.

use std::collections::BTreeMap;

use super::canvas::Area;

/// Between lines of different sorts, and from the outline.
const APART: f64 = 1.6;

/// How many steps to either side a line may leave its place.
const STEPS: i32 = 8;

/// What it counts to run through a sign, in millimetres off its place.
const SIGN: f64 = 12.0;

/// What it counts to lie on another line.
const LINE: f64 = 20.0;

/// From a sign to where a line turns.
const STUB: f64 = 2.4;

/// What is to be joined: a sort of wire, from where, to where.
#[derive(Debug, Clone, Copy)]
pub(super) struct Course {
    pub(super) sort: usize,
    pub(super) from: (f64, f64),
    pub(super) to: (f64, f64),
}

/// A straight piece of wire.
pub(super) type Stretch = (usize, (f64, f64), (f64, f64));

/// A line that is chosen: level, from, to.
type Line = (f64, f64, f64);

/// A value in hundredths of a millimetre, by which lines are told apart.
#[expect(clippy::cast_possible_truncation, reason = "a page is far smaller than that")]
fn key(value: f64) -> i64 {
    (value * 100.0).round() as i64
}

/// Courses first along the front edge, then across; those of one sort that set out level with one another share a line.
struct Field<'a> {
    inside: Area,
    signs: &'a [Area],
}

/// One direction of lines: along or across.
struct Levels {
    chosen: BTreeMap<(usize, i64), f64>,
    lines: Vec<Line>,
}

impl Field<'_> {
    /// Chooses a level for each group of stretches, each with its reach and the points at which its courses end.
    fn levels(&self, groups: &BTreeMap<(usize, i64), Group>, is_along: bool) -> Levels {
        let (low, high) = if is_along {
            (self.inside.y, self.inside.y + self.inside.height)
        } else {
            (self.inside.x, self.inside.x + self.inside.width)
        };
        let mut levels = Levels { chosen: BTreeMap::new(), lines: Vec::new() };
        for (&group, Group { level, reach, ends }) in groups {
            let tries = (0..=STEPS).flat_map(|step| [f64::from(step), -f64::from(step)]).map(|step| level + step * APART);
            let tries = tries.map(|at| at.clamp(low.min(high), high.max(low)));
            let cost = |at: f64| {
                let on = levels.lines.iter().filter(|(other, from, to)| {
                    (other - at).abs() < APART * 0.9 && *from < reach.1 + APART && reach.0 < *to + APART
                });
                let line = if is_along {
                    Area { x: reach.0, y: at, width: reach.1 - reach.0, height: 0.01 }
                } else {
                    Area { x: at, y: reach.0, width: 0.01, height: reach.1 - reach.0 }
                };
                let through = self
                    .signs
                    .iter()
                    .filter(|sign| sign.grown(0.4).overlaps(line) && !ends.iter().any(|end| sign.grown(0.1).contains(*end)));
                (at - level).abs() + on.count() as f64 * LINE + through.count() as f64 * SIGN
            };
            let best = tries.map(|at| (cost(at), at)).min_by(|a, b| a.0.total_cmp(&b.0)).map_or(*level, |(_, at)| at);
            levels.lines.push((best, reach.0, reach.1));
            levels.chosen.insert(group, best);
        }
        levels
    }
}

/// Stretches of one sort on one level before it is chosen.
#[derive(Debug)]
struct Group {
    level: f64,
    reach: (f64, f64),
    ends: Vec<(f64, f64)>,
}

fn group(courses: &[Course], of: impl Fn(&Course) -> (f64, f64, f64)) -> BTreeMap<(usize, i64), Group> {
    let mut groups: BTreeMap<(usize, i64), Group> = BTreeMap::new();
    for course in courses {
        let (level, a, b) = of(course);
        let group =
            groups.entry((course.sort, key(level))).or_insert(Group { level, reach: (a.min(b), a.max(b)), ends: Vec::new() });
        group.reach = (group.reach.0.min(a.min(b)), group.reach.1.max(a.max(b)));
        group.ends.extend([course.from, course.to]);
    }
    groups
}

/// The stretches of all courses; those of one sort that lie on one another are drawn once.
pub(super) fn route(courses: &[Course], outline: Area, signs: &[Area]) -> Vec<Stretch> {
    let field = Field { inside: outline.grown(-APART), signs };
    let ys = field.levels(&group(courses, |course| (course.from.1, course.from.0, course.to.0)), true);
    let xs = field.levels(&group(courses, |course| (course.to.0, course.from.1, course.to.1)), false);
    let mut along: BTreeMap<(usize, i64), Vec<(f64, f64)>> = BTreeMap::new();
    let mut across: BTreeMap<(usize, i64), Vec<(f64, f64)>> = BTreeMap::new();
    for course in courses {
        let (from, to, sort) = (course.from, course.to, course.sort);
        let y = ys.chosen.get(&(sort, key(from.1))).copied().unwrap_or(from.1);
        let x = xs.chosen.get(&(sort, key(to.0))).copied().unwrap_or(to.0);
        // From the sign a little towards where it goes, before it turns to its own line.
        let out = (x - from.0).clamp(-STUB, STUB);
        let turn = if (y - from.1).abs() < 0.05 { from.0 } else { from.0 + out };
        let add = |lines: &mut BTreeMap<(usize, i64), Vec<(f64, f64)>>, level: f64, a: f64, b: f64| {
            lines.entry((sort, key(level))).or_default().push((a.min(b), a.max(b)));
        };
        add(&mut along, from.1, from.0, turn);
        add(&mut across, turn, from.1, y);
        add(&mut along, y, turn, x);
        add(&mut across, x, y, to.1);
        add(&mut along, to.1, x, to.0);
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

#[cfg(test)]
mod tests {
    use super::*;

    const BOARD: Area = Area { x: 0.0, y: 0.0, width: 150.0, height: 60.0 };

    fn course(sort: usize, from: (f64, f64), to: (f64, f64)) -> Course {
        Course { sort, from, to }
    }

    #[test]
    fn wires_stay_within_the_board_and_apart() {
        let courses: Vec<Course> = (0..6).map(|sort| course(sort, (0.0, 0.0), (150.0, 60.0))).collect();
        let stretches = route(&courses, BOARD, &[]);
        for (sort, from, to) in &stretches {
            for (x, y) in [*from, *to] {
                assert!((0.0..=150.0).contains(&x) && (0.0..=60.0).contains(&y), "{sort}: {x}, {y}");
            }
        }
        let long: Vec<f64> =
            stretches.iter().filter(|(_, from, to)| (to.0 - from.0).abs() > 100.0).map(|(_, from, _)| from.1).collect();
        assert_eq!(long.len(), 6);
        for (at, y) in long.iter().enumerate() {
            assert!(*y >= 1.5 && long[at + 1..].iter().all(|other| (other - y).abs() > 1.4), "{long:?}");
        }
    }

    #[test]
    fn a_wire_goes_round_a_sign_it_does_not_end_at() {
        let sign = |x: f64, y: f64| Area { x: x - 1.6, y: y - 1.6, width: 3.2, height: 3.2 };
        let signs = [sign(20.0, 30.0), sign(70.0, 30.0), sign(120.0, 30.0)];
        let stretches = route(&[course(0, (20.0, 30.0), (120.0, 30.0))], BOARD, &signs);
        let through = |(_, from, to): &&Stretch| {
            let line = Area {
                x: from.0.min(to.0),
                y: from.1.min(to.1),
                width: (from.0 - to.0).abs() + 0.01,
                height: (from.1 - to.1).abs() + 0.01,
            };
            signs[1].overlaps(line)
        };
        assert_eq!(stretches.iter().filter(through).count(), 0, "{stretches:?}");
        // It is still one way from end to end.
        assert!(stretches.iter().any(|(_, from, _)| (from.0 - 20.0).abs() < 0.01));
        assert!(stretches.iter().any(|(_, _, to)| (to.0 - 120.0).abs() < 0.01));
    }
}
