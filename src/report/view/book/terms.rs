//! The page of words: what the trade's terms in this book mean, and the letters of the colours.

use std::collections::BTreeSet;

use crate::report::view::plan::Plan;
use crate::report::{Block, ColumnHead, Row, Section, Table};
use crate::wiring::{Colour, Run};

/// Terms of the trade as they are used here, in the order one meets them under the board.
const TERMS: [(&str, &str); 20] = [
    ("drive", "what moves a pair of blades, an arm or a gate: a motor with its rod; a slip has two"),
    (
        "normal, reverse",
        "the two settings of a turnout; say once which of yours is normal, as a rule the straight road, and keep to it",
    ),
    ("blades", "the two rails of a turnout that move"),
    ("tie bar", "the bar that joins the two blades; the rod pushes it"),
    ("frog", "where the two inner rails cross; live: it is joined to one rail or the other by a contact, as the blades lie"),
    ("over-centre spring", "a small spring in some turnouts that snaps the blades to the rail"),
    ("lever", "the switch that throws one drive, or several together"),
    ("momentary", "springs back when you let go"),
    ("maintained", "stays where you put it"),
    ("reversing", "stays, and swaps plus and minus"),
    ("commanded", "the lamp shows what the lever asks for"),
    ("proved", "the lamp shows what a contact at the drive has reported"),
    ("feed", "everything that runs off one voltage, behind one fuse"),
    ("return", "the wire home, shared by several"),
    ("link", "the thin cable that carries commands from the panel to the controllers"),
    ("encoder", "the board at the panel that reads the levers and sends commands over the link"),
    ("controller, channel", "the board that moves servos; each of its outlets is a channel"),
    ("lead, extension", "the servo's own three wires, and a ready-made piece that lengthens them"),
    ("strip", "a row of screw terminals under a board"),
    ("joint", "where two boards part; plug and socket"),
];

/// The page at the front.
pub(super) fn terms(plan: &Plan) -> Vec<Section> {
    let words = Table::new("words", "", [ColumnHead::words("word", "Word"), ColumnHead::words("means", "What it means here")])
        .rows(TERMS.iter().map(|(word, means)| Row::of([(*word).into(), (*means).into()])));
    let used: BTreeSet<Colour> = plan.estimate.wiring.runs.iter().flat_map(Run::colours).collect();
    let colours = Table::new(
        "letters",
        "Letters of the colours, by IEC 60757",
        [ColumnHead::words("letters", "Letters"), ColumnHead::words("colour", "Colour")],
    )
    .rows(used.into_iter().map(|colour| Row::of([colour.letters().into(), colour.word().into()])));
    let tables = [words, colours].into_iter().filter(|table| !table.rows.is_empty()).map(Block::Table);
    vec![Section::new("terms", "Words and colours", tables.collect::<Vec<_>>()).chapter()]
}
