//! Shortest ways for wires against networkx, on random layouts.

use std::sync::Arc;

use underboard::diagnostic::{Given, Place};
use underboard::id::BoardId;
use underboard::layout::{AtOnce, Joint, Lamps, Layout, Margin, Point, Rules, Spot};
use underboard::quantity::{Length, Share};
use underboard::wiring::{Path, Paths};

use super::figures;

/// Cuts a text in two at a mark.
fn cut(text: &str, at: char) -> (&str, &str) {
    text.split_once(at).unwrap_or_else(|| panic!("`{text}` has no {at}"))
}

fn mm(text: &str) -> Length {
    Length::from_mm(text.parse().unwrap_or_else(|_| panic!("`{text}` is not a number")))
}

/// A spot written as `BOARD@XxY`.
fn spot(text: &str) -> Spot {
    let (board, at) = cut(text, '@');
    let (x, y) = cut(at, 'x');
    Spot { board: BoardId(board.parse().expect("a number")), at: Point { x: mm(x), y: mm(y) } }
}

/// A joint written as `SPOT-SPOT+LEAD`.
fn joint(text: &str) -> Joint {
    let (halves, lead) = cut(text, '+');
    let (from, to) = cut(halves, '-');
    Joint { name: Arc::from(text), place: place(), from: spot(from), to: spot(to), lead: mm(lead), keyed: false }
}

fn place() -> Place {
    Place::File(Arc::from("paths.csv"))
}

fn given<T>(value: T) -> Given<T> {
    Given::new(value, place())
}

/// A layout of joints alone: all that ways depend on.
fn layout(joints: Vec<Joint>) -> Layout {
    let none = Margin { share: Share::ZERO, least: 0 };
    Layout {
        scale: None,
        name: String::new(),
        file: Arc::from("paths.csv"),
        boards: Vec::new(),
        joints,
        panel: None,
        supplies: Vec::new(),
        devices: Vec::new(),
        drives: Vec::new(),
        frogs: Vec::new(),
        levers: Vec::new(),
        routes: Vec::new(),
        rules: Rules {
            schemes: given(Vec::new()),
            slack: given(Share::ZERO),
            spares: given(Share::ZERO),
            exhibition_kit: given(false),
            spare_channels: given(none),
            controllers: given(underboard::layout::Controllers::EachBoard),
            spare_ways: given(none),
            at_once: given(AtOnce::Levers(1)),
            switch_on: given(underboard::layout::SwitchOn::Held),
            sections: given(1),
            headroom: given(Share::ZERO),
            drop: given(Share::ZERO),
            hour: None,
            set_ups: given(0),
            years: given(0),
            lamps: given(Lamps::None),
            decide_by: None,
        },
        defaults: Vec::new(),
    }
}

/// The length of a way that crosses these joints in this order.
fn walked(layout: &Layout, from: Spot, path: &Path, to: Spot) -> Length {
    let across = |a: Spot, b: Spot| {
        assert_eq!(a.board, b.board, "a wire does not leave its board but at a joint");
        a.at.x.abs_diff(b.at.x) + a.at.y.abs_diff(b.at.y)
    };
    let mut at = from;
    let mut length = Length::ZERO;
    for &crossed in path.crosses.iter() {
        let joint = layout.joint(crossed);
        let (near, far) = if joint.from.board == at.board { (joint.from, joint.to) } else { (joint.to, joint.from) };
        length += across(at, near) + joint.lead;
        at = far;
    }
    length + across(at, to)
}

#[test]
fn ways_are_as_short_as_those_of_the_reference_library() {
    let layouts = figures::<(u32, String, String, String)>("paths");
    assert_eq!(layouts.len(), 200);
    for (number, _, joints, ways) in layouts {
        let layout = layout(joints.split_whitespace().map(joint).collect());
        let mut paths = Paths::new(&layout);
        for way in ways.split_whitespace() {
            let (ends, expected) = cut(way, '=');
            let (from, to) = cut(ends, '-');
            let (from, to) = (spot(from), spot(to));
            let found = paths.between(from, to);
            let length = found.as_ref().map(|path| path.length);
            assert_eq!(length, (expected != "none").then(|| mm(expected)), "layout {number}, {ends}");
            if let Some(path) = found {
                assert_eq!(
                    walked(&layout, from, &path, to),
                    path.length,
                    "layout {number}, {ends}: the joints named make another way"
                );
            }
        }
    }
}
