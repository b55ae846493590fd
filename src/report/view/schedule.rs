//! The schedule: every piece of wire, board by board, in the order one lays it.

use super::plan::Plan;
use super::strips::name_by_place;
use super::words::and;
use crate::id::BoardId;
use crate::layout::Spot;
use crate::quantity::{Area, Quantity};
use crate::report::{Block, Cell, ColumnHead, Row, Section, Table};
use crate::takeoff::Subject;
use crate::wiring::{Colour, Lies, Run, Section as Piece, Stop, Use, legend};

/// A piece with the run it is of, and that run's place.
type Of<'a> = (usize, &'a Run, &'a Piece);

/// Every piece, board by board.
pub(super) fn schedule(plan: &Plan) -> Option<Section> {
    let boards = (0..plan.layout.boards.len()).map(BoardId::at);
    let mut tables: Vec<Table> = boards.flat_map(|board| on_board(plan, board)).collect();
    let colours = plan.estimate.wiring.runs.iter().flat_map(Run::colours);
    let first = tables.first_mut()?;
    *first = first.clone().note(key(colours));
    let mut blocks = vec![Block::text(how_to_lay(plan))];
    blocks.extend(tables.into_iter().map(Block::Table));
    Some(Section::new("runs", "Wires by board", blocks))
}

/// What the letters of these colours stand for.
pub(super) fn key(colours: impl IntoIterator<Item = Colour>) -> String {
    format!("Colours, by the letters of IEC 60757: {}.", legend(colours))
}

/// A point in words: `board A, 300 x 120 mm`.
pub(super) fn place(plan: &Plan, spot: Spot) -> String {
    format!("board {}, {} x {} mm", plan.layout.board(spot.board).name, spot.at.x.mm_up(), spot.at.y.mm_up())
}

/// Where the supplies plug in, in words.
fn source(plan: &Plan) -> String {
    let spot = plan.layout.origin();
    let at = place(plan, spot);
    match &plan.layout.panel {
        Some(panel) if panel.flying.is_some() => "The supplies plug in at the panel, at the end of its flying lead".to_owned(),
        Some(_) => format!("The supplies plug in at the panel ({at})"),
        None => format!("The supplies plug in at the front of the first board ({at})"),
    }
}

/// How to read a schedule, and how to lay wires.
pub(super) fn how_to_lay(plan: &Plan) -> String {
    let apart = if plan.estimate.branches.is_empty() {
        ""
    } else {
        " Bundle thin wires that have a fuse of their own apart from the thick ones of the feed: the fuse is in the plus, and a thin return pinched against \
         the feed's plus meets the large fuse."
    };
    format!(
        "{}; from there the wires go board by board. A wire over a joint is cut there: each board has its own piece, from plug to plug or from a plug to \
         a thing, and all pieces of one wire bear its label, on both ends. Lengths are cut lengths of one piece: along the board's edges, down through the top \
         at a thing, with a tail at each end and slack; the lead of a joint hangs on the half nearer the panel and is in the length there. \
         Which colour stands for what is our own choice: red goes out, black comes home. Keep pulse and \
         track wires 50 mm away from servo leads and links, and let them cross at right angles (common practice).{apart}",
        source(plan),
    )
}

/// What lies on a board: what comes in, what stays, what starts there and leaves; then what only passes.
pub(super) fn on_board(plan: &Plan, board: BoardId) -> Vec<Table> {
    let title = format!("On board {}", plan.layout.board(board).name);
    let mut tables = vec![of_pieces(plan, title, |_, piece| piece.board == board), passing(plan, board)];
    tables.retain(|table| !table.rows.is_empty());
    tables
}

/// All pieces that are wanted, in the order of their runs.
fn pieces<'a>(plan: &Plan<'a>, wanted: impl Fn(&Run, &Piece) -> bool) -> Vec<Of<'a>> {
    let runs = plan.estimate.wiring.runs.iter().enumerate();
    let all = runs.flat_map(|(at, run)| run.sections.iter().map(move |piece| (at, run, piece)));
    all.filter(|(_, run, piece)| wanted(run, piece)).collect()
}

/// The schedule of the pieces that are wanted, of those that begin or end at a thing.
pub(super) fn of_pieces(plan: &Plan, title: impl Into<String>, wanted: impl Fn(&Run, &Piece) -> bool) -> Table {
    let mut pieces = pieces(plan, |run, piece| wanted(run, piece) && piece.lies() != Lies::Passes);
    let is_of_device = |run: &Run| !matches!(run.subject, Subject::Board(_) | Subject::Controller(_) | Subject::Layout);
    pieces.sort_by_key(|(at, run, piece)| (piece.lies(), is_of_device(run), *at));
    let rows = pieces.into_iter().map(|(at, run, piece)| {
        let colours: Vec<&str> = run.colours().map(Colour::letters).collect();
        Row::of([
            Cell::from(&*run.label),
            piece.lies().word().into(),
            run.purpose.word().into(),
            stop(plan, at, piece.from).into(),
            stop(plan, at, piece.to).into(),
            colours.join(" ").into(),
            area(plan, run).into(),
            piece.length.into(),
        ])
    });
    Table::new(
        "runs",
        title,
        [
            ColumnHead::words("label", "Label"),
            ColumnHead::words("lies", "Here it").detail(),
            ColumnHead::words("use", "Use").detail(),
            ColumnHead::words("from", "From"),
            ColumnHead::words("to", "To"),
            ColumnHead::words("colour", "Colour"),
            ColumnHead::number("area", "Copper"),
            ColumnHead::number("length", "Length").in_metres(),
        ],
    )
    .rows(rows)
}

/// The pieces that come in at one joint of a board and leave at another, those alike in one row.
fn passing(plan: &Plan, board: BoardId) -> Table {
    let mut pieces = pieces(plan, |_, piece| piece.board == board && piece.lies() == Lies::Passes);
    let alike = |(at, run, piece): &Of| {
        (stop(plan, *at, piece.from), stop(plan, *at, piece.to), run.purpose, area(plan, run), run.conductors, piece.length)
    };
    pieces.sort_by_cached_key(|piece| (alike(piece), piece.0));
    let rows = pieces.chunk_by(|one, other| alike(one) == alike(other)).filter_map(|pieces| {
        let (_, run, piece) = pieces.first()?;
        let (from, to, ..) = alike(pieces.first()?);
        let labels: Vec<String> = pieces.iter().map(|(_, run, _)| marked(run)).collect();
        let (area, count) = (area(plan, run), pieces.len());
        Some(Row::of([
            from.into(),
            to.into(),
            run.purpose.word().into(),
            area.into(),
            count.into(),
            piece.length.into(),
            labels.join(", ").into(),
        ]))
    });
    Table::new(
        "passing",
        format!("Through board {}, from joint to joint", plan.layout.board(board).name),
        [
            ColumnHead::words("from", "From"),
            ColumnHead::words("to", "To"),
            ColumnHead::words("use", "Use").detail(),
            ColumnHead::number("area", "Copper"),
            ColumnHead::number("pieces", "Pieces"),
            ColumnHead::number("length", "Length of each").in_metres(),
            ColumnHead::words("labels", "Labels and colours"),
        ],
    )
    .rows(rows)
}

/// A label with its colours: `T1 normal YE`.
fn marked(run: &Run) -> String {
    let colours: Vec<&str> = run.colours().map(Colour::letters).collect();
    format!("{} {}", run.label, colours.join(" "))
}

/// A cable is bought by its cores, not by their copper.
fn area(plan: &Plan, run: &Run) -> Option<Quantity> {
    plan.estimate.wiring.area_of(run).filter(|_| run.purpose != Use::Link).map(Area::quantity)
}

/// An end of a piece in words: the thing, with the ways where it is a strip, or the joint with the plugs that carry it.
pub(super) fn stop(plan: &Plan, run: usize, stop: Stop) -> String {
    let of = |numbers: Vec<String>, one: &str| format!("{one}{} {}", if numbers.len() > 1 { "s" } else { "" }, and(&numbers));
    match stop {
        Stop::At(end) => {
            let name = end.name(plan.layout, plan.catalogue);
            let strip = plan.estimate.strips.iter().find(|strip| strip.at == end);
            let ways: Vec<String> = strip.into_iter().flat_map(|strip| strip.ways_of(run)).map(|way| way.to_string()).collect();
            if ways.is_empty() { name } else { format!("{}, {}", name_by_place(&name, end), of(ways, "way")) }
        }
        Stop::Plug(joint) => {
            let wiring = &plan.estimate.wiring;
            let name = &plan.layout.joint(joint).name;
            if wiring.joints.get(joint.index()).is_some_and(|load| load.plugs == 1) {
                return format!("joint {name}");
            }
            let plugs: Vec<String> = wiring.plugs_of(joint, run).into_iter().map(|plug| plug.to_string()).collect();
            format!("joint {name}, plug{} {}", if plugs.len() > 1 { "s" } else { "" }, and(&plugs))
        }
    }
}
