//! Finds room for signs and names on a plan: none covers another, and names keep off the wires where they can.

use super::canvas::Area;

/// Directions from a sign to its name, the common ones first.
const DIRECTIONS: [(f64, f64); 8] =
    [(0.0, -1.0), (0.0, 1.0), (1.0, 0.0), (-1.0, 0.0), (1.0, -1.0), (-1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)];

/// What a crossing of a wire counts, in millimetres further away.
const CROSSING: f64 = 9.0;

/// What it counts to stand as near to another sign as to its own.
const STRANGE: f64 = 10.0;

/// What it counts that a leader crosses another, or that a name and the leader of another meet.
const TANGLED: f64 = 25.0;

/// A name farther from its sign than this is joined to it by a leader.
const LEADER: f64 = 3.2;

/// A straight line from point to point.
type Segment = [(f64, f64); 2];

/// How far from its sign a name may stand.
const FARTHEST: f64 = 45.0;

/// What stands on a plan already.
#[derive(Debug, Default)]
pub(super) struct Placed {
    /// Within which everything must stand.
    field: Option<Area>,
    /// What must not be covered.
    taken: Vec<Area>,
    /// The signs among it.
    signs: Vec<Area>,
    /// Wires, as thin areas.
    wires: Vec<Area>,
    /// The names, and their leaders.
    names: Vec<Area>,
    leaders: Vec<Segment>,
}

/// The faint line from a sign to its name, where the two stand apart.
pub(super) fn leader(at: (f64, f64), name: Area) -> Option<Segment> {
    let near = (at.0.clamp(name.x, name.x + name.width), at.1.clamp(name.y, name.y + name.height));
    ((near.0 - at.0).hypot(near.1 - at.1) > LEADER).then_some([at, near])
}

/// Whether two lines cross.
fn cross([a, b]: Segment, [c, d]: Segment) -> bool {
    let side = |p: (f64, f64), q: (f64, f64), r: (f64, f64)| (q.0 - p.0) * (r.1 - p.1) - (q.1 - p.1) * (r.0 - p.0);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

/// Whether a line comes into a room.
fn enters(line: Segment, area: Area) -> bool {
    let (left, top, right, bottom) = (area.x, area.y, area.x + area.width, area.y + area.height);
    let diagonals = [[(left, top), (right, bottom)], [(right, top), (left, bottom)]];
    line.iter().any(|&end| area.contains(end)) || diagonals.into_iter().any(|diagonal| cross(line, diagonal))
}

impl Placed {
    pub(super) fn within(field: Area) -> Self {
        Self { field: Some(field), ..Self::default() }
    }

    /// Lets names stand in another field than signs.
    pub(super) fn widen(&mut self, field: Area) {
        self.field = Some(field);
    }

    pub(super) fn wire(&mut self, from: (f64, f64), to: (f64, f64)) {
        let area = Area { x: from.0.min(to.0), y: from.1.min(to.1), width: (from.0 - to.0).abs(), height: (from.1 - to.1).abs() };
        self.wires.push(area.grown(0.15));
    }

    fn is_free(&self, area: Area) -> bool {
        self.field.is_none_or(|field| field.holds(area)) && !self.taken.iter().any(|taken| taken.overlaps(area))
    }

    /// Where a sign stands: at its point, or beside it where that is taken.
    pub(super) fn sign(&mut self, at: (f64, f64), (width, height): (f64, f64)) -> (f64, f64) {
        let area = |(x, y): (f64, f64)| Area { x: x - width / 2.0, y: y - height / 2.0, width, height };
        let beside = (1..8).flat_map(|far| DIRECTIONS.iter().map(move |(x, y)| (at.0 + x * far_by(far), at.1 + y * far_by(far))));
        let found = std::iter::once(at).chain(beside).find(|&spot| self.is_free(area(spot))).unwrap_or(at);
        self.taken.push(area(found));
        self.signs.push(area(found));
        found
    }

    /// Where the name of a sign of radius `radius` about `at` stands, as the room it takes; `None` where there is none.
    pub(super) fn name(&mut self, at: (f64, f64), radius: f64, (width, height): (f64, f64)) -> Option<Area> {
        let mut best: Option<(f64, Area)> = None;
        let mut far = 0.6;
        while far <= FARTHEST {
            // What is farther than the best found with its crossings cannot be better.
            if best.is_some_and(|(cost, _)| cost <= far) {
                break;
            }
            for (x, y) in DIRECTIONS {
                let middle = (at.0 + x * (radius + far + width / 2.0), at.1 + y * (radius + far + height / 2.0));
                let area = Area { x: middle.0 - width / 2.0, y: middle.1 - height / 2.0, width, height };
                if !self.is_free(area) {
                    continue;
                }
                let crossings = self.wires.iter().filter(|wire| wire.overlaps(area)).count() as f64;
                // Nearer to another sign it would be read as that one's.
                let strange = self.signs.iter().any(|sign| !sign.contains(at) && sign.grown(far + 0.2).overlaps(area));
                let cost = far + crossings * CROSSING + if strange { STRANGE } else { 0.0 } + self.tangles(at, area) * TANGLED;
                if best.is_none_or(|(known, _)| cost < known) {
                    best = Some((cost, area));
                }
            }
            far += 0.8;
        }
        let (_, area) = best?;
        self.taken.push(area);
        self.names.push(area);
        self.leaders.extend(leader(at, area));
        Some(area)
    }

    /// How many leaders and names a name there, or its own leader, would cross.
    fn tangles(&self, at: (f64, f64), area: Area) -> f64 {
        let under = self.leaders.iter().filter(|&&other| enters(other, area)).count();
        let own = leader(at, area).map_or(0, |line| {
            let crossed = self.leaders.iter().filter(|&&other| cross(line, other)).count();
            let names = self.names.iter().filter(|&&name| enters(line, name)).count();
            let signs = self.signs.iter().filter(|&&sign| !sign.contains(at) && enters(line, sign)).count();
            crossed + names + signs
        });
        (under + own) as f64
    }
}

/// How far beside its point a sign is set at the n-th try.
fn far_by(n: i32) -> f64 {
    f64::from(n) * 2.2 + 1.6
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn names_never_cover_one_another_and_stay_within(points in prop::collection::vec((5.0..95.0_f64, 5.0..55.0_f64), 1..25)) {
            let field = Area { x: 0.0, y: 0.0, width: 100.0, height: 60.0 };
            let mut placed = Placed::within(field);
            let names: Vec<Area> = points.iter().filter_map(|&at| placed.name(at, 1.0, (7.0, 3.0))).collect();
            for (at, name) in names.iter().enumerate() {
                prop_assert!(field.holds(*name));
                prop_assert!(!names[at + 1..].iter().any(|other| other.overlaps(*name)));
            }
        }
    }

    /// Three signs in a column with room beside them only: the leaders fan out and do not cross.
    #[test]
    fn leaders_do_not_cross_where_that_can_be_helped() {
        let mut placed = Placed::within(Area { x: 0.0, y: 0.0, width: 100.0, height: 60.0 });
        let signs = [(50.0, 52.0), (50.0, 56.5)].map(|at| placed.sign(at, (3.2, 3.2)));
        placed.wire((40.0, 48.0), (60.0, 48.0));
        placed.wire((44.0, 40.0), (44.0, 58.0));
        placed.wire((47.0, 40.0), (47.0, 58.0));
        placed.wire((53.0, 40.0), (53.0, 58.0));
        let names = signs.map(|at| placed.name(at, 1.6, (18.0, 3.0)).unwrap());
        let lines: Vec<Segment> = signs.iter().zip(names).filter_map(|(&at, name)| leader(at, name)).collect();
        for (n, line) in lines.iter().enumerate() {
            assert!(!lines[n + 1..].iter().any(|other| cross(*line, *other)), "{lines:?}");
        }
        assert!(
            cross([(0.0, 0.0), (2.0, 2.0)], [(0.0, 2.0), (2.0, 0.0)])
                && !cross([(0.0, 0.0), (2.0, 2.0)], [(3.0, 0.0), (3.0, 9.0)])
        );
        assert!(enters([(0.0, 5.0), (10.0, 5.0)], Area { x: 4.0, y: 4.0, width: 2.0, height: 2.0 }));
    }

    #[test]
    fn a_name_keeps_off_a_wire_where_it_can() {
        let mut placed = Placed::within(Area { x: 0.0, y: 0.0, width: 100.0, height: 60.0 });
        placed.wire((50.0, 0.0), (50.0, 30.0));
        let name = placed.name((50.0, 30.0), 1.0, (8.0, 3.0)).unwrap();
        assert!(name.y > 30.0, "below, where no wire is: {name:?}");
    }
}
