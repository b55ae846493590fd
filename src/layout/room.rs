//! Room under the boards: where something can be fitted, nearest to where it is wanted.

use std::collections::BTreeMap;

use super::{Layout, Point, Spot};
use crate::id::BoardId;
use crate::quantity::Length;

/// Places are looked for so far apart.
const STEP: i64 = 20_000;

/// And so many steps away at most, along the board and across it together.
const STEPS: i64 = 60;

/// What stands on each board. The rule: a thing that is fitted keeps the clear distance from every device, joint, panel and edge, and from what
/// is fitted already, measured along the board and across it: in one of the two it must be as far away. It takes the nearest place that does,
/// square to the edges, in steps of 20 mm; of equally near ones that further left, then further forward. On a board with no such place it
/// stands where it is wanted.
#[derive(Debug, Clone)]
pub struct Room {
    clear: Length,
    taken: BTreeMap<BoardId, Vec<Point>>,
}

impl Room {
    /// The room that a layout leaves.
    pub fn new(layout: &Layout, clear: Length) -> Self {
        let devices = layout.devices.iter().map(|device| device.spot.value);
        let drives = layout.drives.iter().map(|drive| drive.spot);
        let joints = layout.joints.iter().flat_map(|joint| [joint.from, joint.to]);
        let mut room = Self { clear, taken: BTreeMap::new() };
        for spot in devices.chain(drives).chain(joints).chain([layout.origin()]) {
            room.take(spot);
        }
        room
    }

    /// Something is fitted here.
    pub fn take(&mut self, spot: Spot) {
        let taken = self.taken.entry(spot.board).or_default();
        if !taken.contains(&spot.at) {
            taken.push(spot.at);
        }
    }

    /// The free place nearest to the one wanted; it is taken.
    pub fn fit(&mut self, layout: &Layout, wanted: Spot) -> Spot {
        let free = ring(wanted.at).find(|&at| self.is_free(layout, Spot { at, ..wanted }));
        let spot = Spot { at: free.unwrap_or(wanted.at), ..wanted };
        self.take(spot);
        spot
    }

    fn is_free(&self, layout: &Layout, spot: Spot) -> bool {
        let board = layout.board(spot.board);
        let within = |at: Length, size: Length| at >= self.clear && at + self.clear <= size;
        let apart = |other: &Point| spot.at.x.abs_diff(other.x) >= self.clear || spot.at.y.abs_diff(other.y) >= self.clear;
        within(spot.at.x, board.length.value)
            && within(spot.at.y, board.width.value)
            && self.taken.get(&spot.board).is_none_or(|taken| taken.iter().all(apart))
    }
}

/// Points around one, nearest first.
fn ring(about: Point) -> impl Iterator<Item = Point> {
    (0..=STEPS).flat_map(move |far| {
        (far.saturating_neg()..=far).flat_map(move |along| {
            let across = far.saturating_sub(along.saturating_abs());
            let both = [across.saturating_neg(), across];
            let sides = if across == 0 { &both[..1] } else { &both[..] };
            let point = |across: &i64| Point {
                x: about.x + Length::from_um(along.saturating_mul(STEP)),
                y: about.y + Length::from_um(across.saturating_mul(STEP)),
            };
            sides.iter().map(point).collect::<Vec<_>>()
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::from_starter;

    fn layout(text: &str) -> Layout {
        crate::layout::read("room.yaml", text, &from_starter().unwrap()).unwrap()
    }

    fn at(x: i64, y: i64) -> Spot {
        Spot { board: BoardId(0), at: Point { x: Length::from_mm(x), y: Length::from_mm(y) } }
    }

    #[test]
    fn nothing_stands_on_a_device_nor_on_what_was_fitted_before() {
        let layout = layout("boards: [{id: A, size: 1200 x 450 mm}]\nturnouts: [{id: T1, at: 300 x 200 mm}]\n");
        let mut room = Room::new(&layout, Length::from_mm(60));
        assert_eq!(room.fit(&layout, at(300, 200)), at(240, 200), "60 mm to the left of the turnout");
        assert_eq!(room.fit(&layout, at(300, 200)), at(300, 140), "the next place as near");
        assert_eq!(room.fit(&layout, at(800, 200)), at(800, 200), "free where it is wanted");
        assert_eq!(room.fit(&layout, at(900, 0)), at(900, 60), "clear of the edge");
    }

    #[test]
    fn on_a_board_without_room_it_stands_where_it_is_wanted() {
        let layout = layout("boards: [{id: A, size: 110 x 110 mm}]\nturnouts: [{id: T1, at: 50 x 50 mm}]\n");
        assert_eq!(Room::new(&layout, Length::from_mm(60)).fit(&layout, at(50, 50)), at(50, 50));
    }
}
