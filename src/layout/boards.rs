//! Boards, joints, the panel, and whether the panel reaches every board that needs it.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::field::{Entry, Field};
use super::form::{BOARD, JOINT, PANEL};
use super::forms::{Fault, Size, Written, any, plain, within};
use super::model::{Board, BoardRole, Joint, Panel, Point, Spot};
use super::names::Names;
use super::report::Report;
use super::words::{YesNo, word};
use crate::diagnostic::{Code, Diagnostic, Given, Place};
use crate::id::{BoardId, JointId};
use crate::quantity::Length;

/// The name of the board and the joint that a panel on a flying lead becomes.
const PANEL_NAME: &str = "panel";
/// The name of the one board of a layout that names none.
const ONLY_BOARD: &str = "A";

/// The size of a board that names none.
const USUAL_SIZE: Size = Size { length: Length::from_mm(1200), width: Length::from_mm(600) };

const LONGEST_LEAD: Length = Length::from_mm(20_000);

/// What carries the layout.
pub(super) struct Ground {
    /// The boards; a panel on a flying lead is the last.
    pub(super) boards: Vec<Board>,
    /// Boards whose size is written but could not be read: nobody knows what is on them.
    unsized_boards: BTreeSet<BoardId>,
    /// Their names.
    pub(super) names: Names,
    /// The joints; that of a flying lead is the last.
    pub(super) joints: Vec<Joint>,
    /// The panel.
    pub(super) panel: Option<Panel>,
    /// Whether a joint could not be read, so that nobody knows what is connected.
    unsure: bool,
}

impl Ground {
    /// Reads `boards`, `joints` and `panel`.
    pub(super) fn read(file: &Entry<'_>, report: &mut Report) -> Self {
        let (boards, names, unsized_boards) = boards(file, report);
        let mut ground = Self { boards, names, unsized_boards, joints: Vec::new(), panel: None, unsure: false };
        ground.read_joints(file, report);
        ground.read_panel(file, report);
        ground
    }

    /// The board a key names, or the first. A name that is not known is reported.
    pub(super) fn board_of(&self, entry: &Entry<'_>, report: &mut Report) -> Given<BoardId> {
        match entry.get("board") {
            Some(field) => {
                let board = self.names.find(&field, report).map_or(BoardId(0), BoardId::at);
                Given::new(board, field.place(report))
            }
            None => Given::new(BoardId(0), report.took(&entry.path("board"), plain(self.name(BoardId(0))))),
        }
    }

    fn name(&self, board: BoardId) -> &str {
        self.boards.get(board.index()).map_or("", |board| &board.name)
    }

    /// A check that a point is on a board, if its size is known.
    pub(super) fn on(&self, board: BoardId) -> impl Fn(&Point) -> Result<(), Fault> + use<> {
        let known = self.boards.get(board.index()).filter(|_| !self.unsized_boards.contains(&board));
        let corner = known.map(|board| (board.name.clone(), board.length.value, board.width.value));
        move |point| {
            let Some((name, length, width)) = &corner else { return Ok(()) };
            let inside = |at: Length, end: Length| at >= Length::ZERO && at <= end;
            if inside(point.x, *length) && inside(point.y, *width) {
                return Ok(());
            }
            let size = Size { length: *length, width: *width }.write();
            Err(Fault::new(Code::OutOfRange, format!("the point is not on board `{name}`"))
                .expected(format!("a point from 0 x 0 mm to {size}")))
        }
    }

    fn read_joints(&mut self, file: &Entry<'_>, report: &mut Report) {
        let Some(list) = file.get("joints") else {
            self.chain(report);
            return;
        };
        self.unsure = !list.is_list();
        for item in list.list("a list of joints", report) {
            match item.entry(&JOINT, report).and_then(|entry| self.read_joint(&entry, report)) {
                Some(joint) => self.joints.push(joint),
                None => self.unsure = true,
            }
        }
    }

    /// Neighbours in the order written are joined.
    fn chain(&mut self, report: &mut Report) {
        let ids: Vec<BoardId> = (0..self.boards.len()).map(BoardId::at).collect();
        let pairs: Vec<(BoardId, BoardId)> = ids.windows(2).filter_map(|pair| Some((*pair.first()?, *pair.get(1)?))).collect();
        if pairs.is_empty() {
            return;
        }
        let name = |id: BoardId| plain(self.name(id));
        let joints: Vec<String> =
            pairs.iter().map(|&(one, other)| format!("{{between: [{}, {}]}}", name(one), name(other))).collect();
        let place = report.took("joints", format!("[{}]", joints.join(", ")));
        for (first, second) in pairs {
            let (from, to) = self.facing(first, second);
            let name = self.joint_name(first, second).into();
            self.joints.push(Joint { name, place: place.clone(), from, to, lead: Length::ZERO, keyed: false });
        }
    }

    /// The middle of the right edge of the first, and of the left edge of the second.
    fn facing(&self, first: BoardId, second: BoardId) -> (Spot, Spot) {
        let size = |id: BoardId| {
            self.boards.get(id.index()).map_or((Length::ZERO, Length::ZERO), |board| (board.length.value, board.width.value))
        };
        let half = |width: Length| Length::from_mm(width.um() / 2000);
        let (length, width) = size(first);
        let right = Spot { board: first, at: Point { x: length, y: half(width) } };
        let left = Spot { board: second, at: Point { x: Length::ZERO, y: half(size(second).1) } };
        (right, left)
    }

    fn joint_name(&self, first: BoardId, second: BoardId) -> String {
        let usual = format!("{}-{}", self.name(first), self.name(second));
        let taken = |name: &str| self.joints.iter().any(|joint| &*joint.name == name);
        let same = self.joints.iter().filter(|joint| (joint.from.board, joint.to.board) == (first, second)).count();
        // Names of boards with a `-` in them can make one joint's name out of two pairs; then a later number is free.
        let numbered = |nth: usize| if nth == 1 { usual.clone() } else { format!("{usual}/{nth}") };
        // Each joint takes one name.
        (1..).skip(same).take(self.joints.len().saturating_add(1)).map(numbered).find(|name| !taken(name)).unwrap_or_default()
    }

    fn read_joint(&self, entry: &Entry<'_>, report: &mut Report) -> Option<Joint> {
        let Some(between) = entry.get("between") else {
            report.problem(entry.missing("between", "a joint names the two boards that part there", report));
            return None;
        };
        let ends = between.list("two boards, such as `[A, B]`", report);
        let found: Vec<Option<usize>> = ends.iter().map(|end| self.names.find(end, report)).collect();
        let lead = entry.given("lead", Length::ZERO, within(Length::ZERO, LONGEST_LEAD), report).value;
        let keyed = keyed(entry, report);
        let [first, second] = found.as_slice() else {
            if between.is_list() {
                let what = "a joint is between two boards";
                let count = Diagnostic::error(Code::WrongType, between.place(report), what);
                report.problem(count.found(counted(ends.len(), "board")).expected("two boards, such as `[A, B]`"));
            }
            return None;
        };
        let (first, second) = (BoardId::at((*first)?), BoardId::at((*second)?));
        if first == second {
            let what = "a joint is between two boards, and here both are the same";
            let name = self.name(first);
            let same = Diagnostic::error(Code::Contradiction, between.place(report), what);
            report.problem(same.found(format!("{name} twice")).expected("two different boards"));
            return None;
        }
        let (mut from, mut to) = self.facing(first, second);
        match entry.get("at") {
            Some(at) => self.read_joint_points(&at, [&mut from, &mut to], report),
            None => {
                report.took(&entry.path("at"), format!("[{}, {}]", from.at.write(), to.at.write()));
            }
        }
        Some(Joint { name: self.joint_name(first, second).into(), place: entry.place(report), from, to, lead, keyed })
    }

    fn read_joint_points(&self, at: &Field<'_>, spots: [&mut Spot; 2], report: &mut Report) {
        const EXPECTED: &str = "a point on each board, such as `[1200 x 225 mm, 0 x 225 mm]`";
        let points = at.list(EXPECTED, report);
        if points.len() != spots.len() {
            if at.is_list() {
                let count = Diagnostic::error(Code::WrongType, at.place(report), "a joint has a point on each of its two boards");
                report.problem(count.found(counted(points.len(), "point")).expected(EXPECTED));
            }
            return;
        }
        for (field, spot) in points.iter().zip(spots) {
            if let Some(point) = field.read::<Point>(report) {
                match self.on(spot.board)(&point) {
                    Ok(()) => spot.at = point,
                    Err(fault) => report.problem(field.fault(fault, report)),
                }
            }
        }
    }

    fn read_panel(&mut self, file: &Entry<'_>, report: &mut Report) {
        let Some(field) = file.get("panel") else {
            let front = self.front_middle(BoardId(0));
            let name = plain(self.name(BoardId(0)));
            let place = report.took("panel", format!("{{board: {name}, at: {}}}", front.write()));
            self.panel = Some(Panel { spot: Spot { board: BoardId(0), at: front }, flying: None, place });
            return;
        };
        if let Some(text) = field.as_text() {
            if let Err(fault) = word(text, &["none"], |none| none) {
                report.problem(field.fault(fault.expected("`none`, or a map with `board`, `at` and `lead`"), report));
            }
            return;
        }
        let place = field.place(report);
        let Some(entry) = field.entry(&PANEL, report) else { return };
        let board = self.board_of(&entry, report).value;
        let at = entry.given("at", self.front_middle(board), self.on(board), report).value;
        let spot = Spot { board, at };
        let lead = entry.optional("lead", within(Length::from_mm(1), LONGEST_LEAD), report);
        let keyed = keyed(&entry, report);
        self.panel = Some(match lead {
            None => Panel { spot, flying: None, place },
            Some(lead) => self.fly(spot, (lead.value, keyed), place, report),
        });
    }

    /// The panel on a flying lead becomes the last board, and its lead the last joint.
    fn fly(&mut self, from: Spot, (lead, keyed): (Length, bool), place: Place, report: &mut Report) -> Panel {
        if let Some(taken) = self.names.place(PANEL_NAME) {
            let what = format!("`{PANEL_NAME}` is the name of the panel on the flying lead");
            let clash = Diagnostic::error(Code::DuplicateId, taken.clone(), what);
            report.problem(clash.found(PANEL_NAME).expected("another name for the board"));
        }
        let given = |mm| Given::new(Length::from_mm(mm), Place::Default(PANEL_NAME.into()));
        let board = Board {
            name: PANEL_NAME.into(),
            place: place.clone(),
            role: BoardRole::FlyingPanel,
            length: given(300),
            width: given(200),
            top: given(3),
            frame: given(60),
        };
        // The lead enters in the middle of the back, where the levers' wiring starts.
        let at = Point { x: Length::from_mm(150), y: board.width.value };
        let spot = Spot { board: BoardId::at(self.boards.len()), at };
        self.boards.push(board);
        let flying = Some(JointId::at(self.joints.len()));
        self.joints.push(Joint { name: PANEL_NAME.into(), place: place.clone(), from, to: spot, lead, keyed });
        Panel { spot, flying, place }
    }

    fn front_middle(&self, board: BoardId) -> Point {
        let length = self.boards.get(board.index()).map_or(Length::ZERO, |board| board.length.value);
        Point { x: Length::from_mm(length.um() / 2000), y: Length::ZERO }
    }

    /// Reports every board of `used` that the joints do not connect with the panel, or with the first board where there is none.
    pub(super) fn check_reach(&self, used: &BTreeSet<BoardId>, report: &mut Report) {
        if self.unsure {
            return;
        }
        let origin = self.panel.as_ref().map_or(BoardId(0), |panel| panel.spot.board);
        let mut reached = BTreeSet::from([origin]);
        let mut next = vec![origin];
        while let Some(here) = next.pop() {
            for joint in &self.joints {
                for (one, other) in [(&joint.from, &joint.to), (&joint.to, &joint.from)] {
                    if one.board == here && reached.insert(other.board) {
                        next.push(other.board);
                    }
                }
            }
        }
        let from: &str = if self.panel.is_some() { "the panel" } else { "the first board, where the power comes in" };
        for board in used.difference(&reached).filter_map(|id| self.boards.get(id.index())) {
            let what = format!("no joint leads from {from} to board `{}`, so nothing on it can be wired", board.name);
            let lost = Diagnostic::error(Code::Unreachable, board.place.clone(), what);
            let connected: Vec<&str> =
                reached.iter().filter_map(|id| self.boards.get(id.index())).map(|board| &*board.name).take(12).collect();
            report.problem(lost.found(&*board.name).expected(format!(
                "a joint between `{}` and one of {}",
                board.name,
                connected.join(", ")
            )));
        }
    }
}

/// The boards, their names, and those of unknown size.
fn boards(file: &Entry<'_>, report: &mut Report) -> (Vec<Board>, Names, BTreeSet<BoardId>) {
    let mut names = Names::new("board");
    let items = file.get("boards").map_or_else(Vec::new, |list| {
        names.unsure = !list.is_list();
        list.list("a list of boards", report)
    });
    let (mut boards, mut unsized_boards) = (Vec::new(), BTreeSet::new());
    for item in items {
        if let Some(entry) = item.entry(&BOARD, report) {
            let name = names.add(&entry, report);
            let size = size(&entry, report);
            if size.is_none() {
                unsized_boards.insert(BoardId::at(boards.len()));
            }
            boards.push(board(name, size, &entry, report));
        }
    }
    if boards.is_empty() {
        let name: Arc<str> = ONLY_BOARD.into();
        let place = report.took("boards", format!("[{{id: {ONLY_BOARD}}}]"));
        names.push(&name, place.clone());
        let entry = Entry::nothing("boards[0]");
        boards.push(Board { place, ..board(name, size(&entry, report), &entry, report) });
    }
    (boards, names, unsized_boards)
}

/// The size of a board; `None` where it is written but wrong, which is reported.
fn size(entry: &Entry<'_>, report: &mut Report) -> Option<Given<Size>> {
    let reasonable = within(Length::from_mm(50), Length::from_mm(20_000));
    if entry.get("size").is_none() {
        return Some(Given::new(USUAL_SIZE, report.took(&entry.path("size"), USUAL_SIZE.write())));
    }
    entry.optional("size", |size: &Size| reasonable(&size.length).and_then(|()| reasonable(&size.width)), report)
}

fn board(name: Arc<str>, size: Option<Given<Size>>, entry: &Entry<'_>, report: &mut Report) -> Board {
    let size = size.unwrap_or_else(|| Given::new(USUAL_SIZE, entry.place(report)));
    Board {
        name,
        place: entry.place(report),
        role: BoardRole::Baseboard,
        length: Given::new(size.value.length, size.place.clone()),
        width: Given::new(size.value.width, size.place),
        top: entry.given("top", Length::from_mm(9), within(Length::from_mm(1), Length::from_mm(200)), report),
        frame: entry.given("frame", Length::from_mm(80), within(Length::from_mm(1), Length::from_mm(2_000)), report),
    }
}

/// Whether the plugs of a joint are keyed.
fn keyed(entry: &Entry<'_>, report: &mut Report) -> bool {
    entry.optional::<YesNo>("keyed", any, report).is_some_and(|yes| yes.value.0)
}

fn counted(number: usize, of: &str) -> String {
    if number == 1 { format!("1 {of}") } else { format!("{number} {of}s") }
}

/// A point of a device, checked to be on its board.
pub(super) fn point(entry: &Entry<'_>, ground: &Ground, board: BoardId, report: &mut Report) -> Option<Given<Point>> {
    match entry.get("board") {
        // Where the board is not known, neither is its size.
        Some(field) if field.as_text().is_none_or(|name| ground.names.index(name).is_none()) => entry.optional("at", any, report),
        _ => entry.optional("at", ground.on(board), report),
    }
}
