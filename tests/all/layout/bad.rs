//! One smallest bad file for each sort of error, with what is said of it.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use underboard::diagnostic::{Code, Diagnostic, Place};

use super::problems;

/// A bad file and the one thing that is said of it.
struct Bad {
    sort: &'static str,
    text: &'static str,
    at: (u32, u32),
    code: Code,
    found: Option<&'static str>,
    expected: &'static str,
    nearest: Option<&'static str>,
}

const fn bad(
    sort: &'static str,
    text: &'static str,
    at: (u32, u32),
    code: Code,
    found: Option<&'static str>,
    expected: &'static str,
    nearest: Option<&'static str>,
) -> Bad {
    Bad { sort, text, at, code, found, expected, nearest }
}

#[rustfmt::skip]
const CASES: &[Bad] = &[
    bad("empty file", "", (1, 1), Code::MissingKey, Some("nothing"), "`turnouts: [{id: T1}]`", None),
    bad("only a remark", "# nothing\n", (1, 1), Code::MissingKey, Some("nothing"), "`turnouts: [{id: T1}]`", None),
    bad("not YAML", "turnouts:\n  - id: T1\n    kind: [plain\n", (4, 1), Code::NotYaml, None, "YAML: `key: value` lines, lists of `- ` items, texts with `: ` or ` #` in quotes", None),
    bad("a tab", "turnouts:\n\t- id: T1\n", (2, 1), Code::NotYaml, Some("- id: T1"), "a line indented with spaces, as many as its neighbours have", None),
    bad("a tab below a text", "turnouts:\n  - id: T1\n  \tkind: wye\n", (3, 3), Code::NotYaml, Some("kind: wye"), "a line indented with spaces, as many as its neighbours have", None),
    bad("a tab at the head", "\tturnouts:\n", (1, 1), Code::NotYaml, Some("turnouts:"), "a line indented with spaces, as many as its neighbours have", None),
    bad("no blank behind a dash", "turnouts:\n  -id: T1\n", (2, 3), Code::WrongType, Some("a map of keys and values"), "a list of turnouts, each with a `- ` before its first word, with a blank behind each `-`", None),
    bad("a part of a kind", "turnouts:\n  - id: T1\n    kind: 3 way\n", (3, 11), Code::UnknownWord, Some("3 way"), "one of plain, wye, curved, catch, three-way, single slip, double slip, scissors, diamond", Some("three-way")),
    bad("two documents", "turnouts: [{id: T1}]\n---\nturnouts: [{id: T2}]\n", (2, 1), Code::NotYaml, Some("---"), "one document", None),
    bad("a list for a layout", "- id: T1\n", (1, 1), Code::WrongType, Some("a list"), "a layout, written as keys and values", None),
    bad("a text for a layout", "T1\n", (1, 1), Code::WrongType, Some("T1"), "a layout, written as keys and values", None),
    bad("unknown key", "turnots:\n  - id: T1\nturnouts: [{id: T1}]\n", (1, 1), Code::UnknownKey, Some("turnots"), "one of name, scale, boards, joints, panel, supplies, turnouts, signals, others, routes, rules", Some("turnouts")),
    bad("tab behind a colon", "turnouts:\n  - id:\tT1\n", (2, 8), Code::NotYaml, Some("- id:\u{FFFD}T1"), "a space in its place", None),
    bad("unknown key of a turnout", "turnouts:\n  - id: T1\n    bord: A\n", (3, 5), Code::UnknownKey, Some("bord"), "one of id, board, at, further, kind, frog, with, scheme, owned, hidden", Some("board")),
    bad("another word for a key", "points: [{id: T1}]\nturnouts: [{id: T1}]\n", (1, 1), Code::UnknownKey, Some("points"), "one of name, scale, boards, joints, panel, supplies, turnouts, signals, others, routes, rules", Some("turnouts")),
    bad("key that is no word", "turnouts:\n  - id: T1\n    [x, y]: A\n", (3, 5), Code::UnknownKey, Some("no plain text"), "one of id, board, at, further, kind, frog, with, scheme, owned, hidden", None),
    bad("duplicate key", "turnouts:\n  - id: T1\n    kind: wye\n    kind: plain\n", (4, 5), Code::DuplicateKey, Some("kind"), "each key once; the first is in line 3", None),
    bad("missing id", "turnouts:\n  - kind: plain\n", (2, 5), Code::MissingKey, Some("nothing"), "`id: …`", None),
    bad("duplicate id", "turnouts:\n  - id: T1\nsignals:\n  - id: t1\n    kind: semaphore\n", (4, 9), Code::DuplicateId, Some("t1"), "a name used once; the first `t1` is in line 2", None),
    bad("unknown board", "boards:\n  - id: Left\n  - id: Right\nturnouts:\n  - id: T1\n    board: Rigt\n", (6, 12), Code::UnknownId, Some("Rigt"), "one of Left, Right", Some("Right")),
    bad("joint to nowhere", "boards: [{id: A}, {id: B}]\njoints:\n  - between: [A, C]\nturnouts: [{id: T1}]\n", (3, 18), Code::UnknownId, Some("C"), "one of A, B", None),
    bad("joint with itself", "boards: [{id: A}, {id: B}]\njoints:\n  - between: [A, A]\nturnouts: [{id: T1}]\n", (3, 14), Code::Contradiction, Some("A twice"), "two different boards", None),
    bad("joint of three", "boards: [{id: A}, {id: B}]\njoints:\n  - between: [A, B, A]\nturnouts: [{id: T1}]\n", (3, 14), Code::WrongType, Some("3 boards"), "two boards, such as `[A, B]`", None),
    bad("joint of nothing", "boards: [{id: A}, {id: B}]\njoints:\n  - lead: 1 m\nturnouts: [{id: T1}]\n", (3, 5), Code::MissingKey, Some("nothing"), "`between: …`", None),
    bad("joint with one point", "boards: [{id: A}, {id: B}]\njoints:\n  - between: [A, B]\n    at: [0 x 0 mm]\nturnouts: [{id: T1}]\n", (4, 9), Code::WrongType, Some("1 point"), "a point on each board, such as `[1200 x 225 mm, 0 x 225 mm]`", None),
    bad("joint off the board", "boards: [{id: A}, {id: B}]\njoints:\n  - between: [A, B]\n    at: [1300 x 0 mm, 0 x 0]\nturnouts: [{id: T1}]\n", (4, 10), Code::OutOfRange, Some("1300 x 0 mm"), "a point from 0 x 0 mm to 1200 x 600 mm", None),
    bad("unreachable", "boards: [{id: A}, {id: B}, {id: C}]\njoints:\n  - between: [A, B]\nturnouts:\n  - id: T1\n    board: C\n", (1, 28), Code::Unreachable, Some("C"), "a joint between `C` and one of A, B", None),
    bad("wrong dimension", "boards:\n  - id: A\n    top: 9 V\nturnouts: [{id: T1}]\n", (3, 10), Code::WrongUnit, Some("9 V"), "a length with its unit, such as `9 mm`", None),
    bad("no unit", "boards:\n  - id: A\n    top: 9\nturnouts: [{id: T1}]\n", (3, 10), Code::WrongUnit, Some("9"), "a length with its unit, such as `9 mm`", None),
    bad("unknown unit", "boards:\n  - id: A\n    top: 9 nm\nturnouts: [{id: T1}]\n", (3, 10), Code::WrongUnit, Some("9 nm"), "a length with its unit, such as `9 mm`", None),
    bad("negative length", "boards:\n  - id: A\n    frame: -80 mm\nturnouts: [{id: T1}]\n", (3, 12), Code::OutOfRange, Some("-80 mm"), "from 1 mm to 2 m", None),
    bad("no number", "boards:\n  - id: A\n    top: thick\nturnouts: [{id: T1}]\n", (3, 10), Code::WrongType, Some("thick"), "a length with its unit, such as `9 mm`", None),
    bad("size of one length", "boards:\n  - id: A\n    size: 1200 mm\nturnouts: [{id: T1}]\n", (3, 11), Code::WrongType, Some("1200 mm"), "length along the front x width, such as `1200 x 450 mm`", None),
    bad("size without unit", "boards:\n  - id: A\n    size: 1200 x 600\nturnouts: [{id: T1}]\n", (3, 11), Code::WrongUnit, Some("1200 x 600"), "length along the front x width, such as `1200 x 450 mm`", None),
    bad("size of a list", "boards:\n  - id: A\n    size: [1200, 600]\nturnouts: [{id: T1}]\n", (3, 11), Code::WrongType, Some("a list"), "length along the front x width, such as `1200 x 450 mm`", None),
    bad("point off the board", "turnouts:\n  - id: T1\n    at: 1300 x 100 mm\n", (3, 9), Code::OutOfRange, Some("1300 x 100 mm"), "a point from 0 x 0 mm to 1200 x 600 mm", None),
    bad("unknown kind of turnout", "turnouts:\n  - id: T1\n    kind: dubble slip\n", (3, 11), Code::UnknownWord, Some("dubble slip"), "one of plain, wye, curved, catch, three-way, single slip, double slip, scissors, diamond", Some("double slip")),
    bad("unknown scheme", "turnouts:\n  - id: T1\n    scheme: solenoyd\n", (3, 13), Code::UnknownId, Some("solenoyd"), "one of solenoid, servo-made, stall-motor", Some("solenoid")),
    bad("scheme not offered", "turnouts:\n  - id: T1\n    scheme: servo\n", (3, 13), Code::Contradiction, Some("servo"), "one of solenoid, servo-made, stall-motor", Some("servo-made")),
    bad("scheme that cannot", "others:\n  - id: G1\n    kind: gate\n    scheme: solenoid\n", (4, 13), Code::Contradiction, Some("solenoid"), "one of servo-made", None),
    bad("scheme for a light", "others:\n  - id: L1\n    kind: lamp\n    scheme: solenoid\n", (4, 13), Code::Contradiction, Some("solenoid"), "no `scheme`", None),
    bad("unknown frog", "turnouts:\n  - id: T1\n    frog: alive\n", (3, 11), Code::UnknownWord, Some("alive"), "one of insulated, live, blade fed", Some("live")),
    bad("frog of a catch", "turnouts:\n  - id: T1\n    kind: catch\n    frog: live\n", (4, 11), Code::Contradiction, Some("live"), "no `frog` at all", None),
    bad("blade fed diamond", "turnouts:\n  - id: T1\n    kind: diamond\n    frog: blade fed\n", (4, 11), Code::Contradiction, Some("blade fed"), "insulated or live", None),
    bad("diamond alone", "turnouts:\n  - id: T1\n    kind: diamond\n    frog: live\n", (2, 5), Code::Contradiction, Some("no `with`"), "`with: …`, the turnout whose drive they follow, or an insulated frog", None),
    bad("diamond with a light", "turnouts:\n  - id: D1\n    kind: diamond\n    frog: live\n    with: L1\nothers: [{id: L1, kind: lamp}]\n", (5, 11), Code::Contradiction, Some("L1"), "a device that is moved", None),
    bad("diamond with two", "turnouts:\n  - id: D1\n    kind: diamond\n    frog: live\n    with: [T1, T2]\n  - id: T1\n  - id: T2\n", (5, 16), Code::Contradiction, Some("T2"), "one device to follow", None),
    bad("with nobody", "turnouts:\n  - id: T1\n    with: T2\n", (3, 11), Code::UnknownId, Some("T2"), "nothing: the file has no other device", None),
    bad("with itself", "turnouts:\n  - id: T1\n    with: T1\n", (3, 11), Code::Contradiction, Some("T1"), "another device", None),
    bad("with a slip", "turnouts:\n  - id: T1\n    with: T2\n  - id: T2\n    kind: double slip\n", (3, 11), Code::Contradiction, Some("T2"), "devices with one lever each", None),
    bad("name of a drive", "turnouts:\n  - id: T1\n    kind: double slip\n  - id: T1a\n", (4, 5), Code::DuplicateId, Some("T1a"), "another name", None),
    bad("name of a lever", "turnouts:\n  - id: T1\n    kind: double slip\n  - id: T1/2\n", (4, 5), Code::DuplicateId, Some("T1/2"), "another name", None),
    bad("signal without kind", "signals:\n  - id: S1\n", (2, 5), Code::MissingKey, Some("nothing"), "one of semaphore, colour light, ground signal", None),
    bad("unknown kind of signal", "signals:\n  - id: S1\n    kind: semafore\n", (3, 11), Code::UnknownWord, Some("semafore"), "one of semaphore, colour light, ground signal", Some("semaphore")),
    bad("arms of a colour light", "signals:\n  - id: S1\n    kind: colour light\n    arms: 2\n", (4, 11), Code::Contradiction, Some("2"), "another kind, or no such key", None),
    bad("a supply of nothing", "turnouts: [{id: T1}]\nsupplies:\n  - id: S1\n    gives: 12 V DC, 0 A\n", (4, 12), Code::OutOfRange, Some("12 V DC, 0 A"), "a voltage, AC or DC, and a current or volt-amperes, such as `16 V AC, 1 A` or `16 V AC, 16 VA`", None),
    bad("a supply of hundreds of amperes", "turnouts: [{id: T1}]\nsupplies:\n  - id: S1\n    gives: 12 V DC, 150 A\n", (4, 12), Code::OutOfRange, Some("12 V DC, 150 A"), "at most 100 A", None),
    bad("lights on the lever of a drive", "turnouts: [{id: T1}]\nsignals:\n  - id: S1\n    kind: colour light\n    with: T1\n", (5, 11), Code::Contradiction, Some("T1"), "a lever of its own, or one of others that only light", None),
    bad("a drive on the lever of lights", "turnouts:\n  - id: T1\n    with: G1\nothers: [{id: G1, kind: lamp}]\n", (3, 11), Code::Contradiction, Some("G1"), "a lever of its own, or one of others that only light", None),
    bad("more lit than there are", "signals:\n  - id: S1\n    kind: colour light\n    aspects: 3\n    lit: 4\n", (5, 10), Code::OutOfRange, Some("4"), "from 1 to 3", None),
    bad("half an arm", "signals:\n  - id: S1\n    kind: semaphore\n    arms: 1.5\n", (4, 11), Code::WrongType, Some("1.5"), "a whole number, such as `2`", None),
    bad("owned maybe", "turnouts:\n  - id: T1\n    owned: maybe\n", (3, 12), Code::UnknownWord, Some("maybe"), "yes or no", None),
    bad("panel of nothing known", "panel: nome\nturnouts: [{id: T1}]\n", (1, 8), Code::UnknownWord, Some("nome"), "`none`, or a map with `board`, `at` and `lead`", Some("none")),
    bad("panel clash", "boards:\n  - id: panel\npanel:\n  lead: 2 m\nturnouts: [{id: T1}]\n", (2, 9), Code::DuplicateId, Some("panel"), "another name for the board", None),
    bad("lead of nothing", "panel:\n  lead: 0\nturnouts: [{id: T1}]\n", (2, 9), Code::OutOfRange, Some("0"), "from 1 mm to 20 m", None),
    bad("mains", "supplies:\n  - id: S\n    gives: 230 V AC, 1 A\nturnouts: [{id: T1}]\n", (3, 12), Code::OutOfRange, Some("230 V AC, 1 A"), "at most 50 V AC", None),
    bad("supply without waveform", "supplies:\n  - id: S\n    gives: 16 V, 1 A\nturnouts: [{id: T1}]\n", (3, 12), Code::UnknownWord, Some("16 V, 1 A"), "a voltage, AC or DC, and a current or volt-amperes, such as `16 V AC, 1 A` or `16 V AC, 16 VA`", None),
    bad("supply without current", "supplies:\n  - id: S\n    gives: 16 V AC\nturnouts: [{id: T1}]\n", (3, 12), Code::WrongType, Some("16 V AC"), "a voltage, AC or DC, and a current or volt-amperes, such as `16 V AC, 1 A` or `16 V AC, 16 VA`", None),
    bad("supply of nothing", "supplies:\n  - id: S\nturnouts: [{id: T1}]\n", (2, 5), Code::MissingKey, Some("nothing"), "`gives: 16 V AC, 1 A`", None),
    bad("route to nowhere", "turnouts: [{id: T1}]\nroutes:\n  - id: R\n    throws: [T1, T2]\n", (4, 18), Code::UnknownId, Some("T2"), "`T1`, the only device", None),
    bad("a lever that is not there", "turnouts: [{id: T1, kind: three-way}]\nroutes:\n  - id: R\n    throws: [T1/3]\n", (4, 14), Code::UnknownId, Some("T1/3"), "`T1/1` or `T1/2`; or `T1` for all", None),
    bad("a device twice in a route", "turnouts: [{id: T1}]\nroutes:\n  - id: R\n    throws: [T1, t1]\n", (4, 18), Code::DuplicateId, Some("t1"), "each device once: a route throws its levers one way", None),
    bad("a text for a list of names", "turnouts: [{id: T1}, {id: T2}]\nroutes:\n  - id: R\n    throws: T1, T2\n", (4, 13), Code::UnknownId, Some("T1, T2"), "a list in square brackets with commas between", Some("[T1, T2]")),
    bad("empty route", "turnouts: [{id: T1}]\nroutes:\n  - id: R\n    throws: []\n", (3, 5), Code::MissingKey, Some("nothing"), "`throws: [T1, T2]`", None),
    bad("route without throws", "turnouts: [{id: T1}]\nroutes:\n  - id: R\n", (3, 5), Code::MissingKey, Some("nothing"), "`throws: [T1, T2]`", None),
    bad("route over a diamond", "turnouts:\n  - id: D\n    kind: diamond\nroutes:\n  - id: R\n    throws: D\n", (6, 13), Code::Contradiction, Some("D"), "the device it follows", None),
    bad("routes at once, without", "turnouts: [{id: T1}]\nrules:\n  at once: routes\n", (3, 12), Code::Contradiction, Some("routes"), "a number of levers, or a list of `routes`", None),
    bad("levers at once", "turnouts: [{id: T1}]\nrules:\n  at once: root\n", (3, 12), Code::WrongType, Some("root"), "a number of levers or `routes`, such as `1 lever`", None),
    bad("no schemes", "turnouts: [{id: T1}]\nrules:\n  schemes: []\n", (3, 12), Code::OutOfRange, None, "at least one scheme, or no `schemes`", None),
    bad("scheme twice", "turnouts: [{id: T1}]\nrules:\n  schemes: [solenoid, Solenoid]\n", (3, 23), Code::DuplicateId, Some("Solenoid"), "each scheme once", None),
    bad("slack without unit", "turnouts: [{id: T1}]\nrules:\n  slack: 0.1\n", (3, 10), Code::WrongUnit, Some("0.1"), "a share, such as `20 %`", None),
    bad("slack too large", "turnouts: [{id: T1}]\nrules:\n  slack: 150 %\n", (3, 10), Code::OutOfRange, Some("150 %"), "from 0 % to 100 %", None),
    bad("margin twice", "turnouts: [{id: T1}]\nrules:\n  spare ways: 10 %, 20 %\n", (3, 15), Code::WrongType, Some("10 %, 20 %"), "a share, a least number, or both, such as `20 %, at least 2`", None),
    bad("hour of words", "turnouts: [{id: T1}]\nrules:\n  hour: eight\n", (3, 9), Code::WrongMoney, Some("eight"), "an amount in EUR, such as `8.00 EUR per hour`", None),
    bad("hour with strokes", "turnouts: [{id: T1}]\nrules:\n  hour: 1_000\n", (3, 9), Code::WrongMoney, Some("1_000"), "an amount in EUR, such as `8.00 EUR per hour`", None),
    bad("no routes to throw", "turnouts: [{id: T1}]\nroutes: []\nrules:\n  at once: routes\n", (4, 12), Code::Contradiction, Some("routes"), "a number of levers, or a list of `routes`", None),
    bad("hour in another currency", "turnouts: [{id: T1}]\nrules:\n  hour: 8.00 GBP per hour\n", (3, 9), Code::Contradiction, Some("8.00 GBP per hour"), "an amount in EUR, such as `8.00 EUR per hour`", None),
    bad("hour in no currency", "turnouts: [{id: T1}]\nrules:\n  hour: 8.00 groats\n", (3, 9), Code::WrongMoney, Some("8.00 groats"), "an amount in EUR, such as `8.00 EUR per hour`", None),
    bad("hour below nothing", "turnouts: [{id: T1}]\nrules:\n  hour: -8\n", (3, 9), Code::OutOfRange, Some("-8"), "an amount in EUR, such as `8.00 EUR per hour`", None),
    bad("set-ups", "turnouts: [{id: T1}]\nrules:\n  set-ups: often\n", (3, 12), Code::WrongType, Some("often"), "a number of times a year, such as `12 per year`", None),
    bad("a further tie bar too many", "turnouts:\n  - id: T1\n    further: 100 x 100 mm\n", (3, 14), Code::Contradiction, Some("100 x 100 mm"), "a point for each tie bar after the first", None),
    bad("lamps", "turnouts: [{id: T1}]\nrules:\n  lamps: prooved\n", (3, 10), Code::UnknownWord, Some("prooved"), "one of none, commanded, proved", Some("proved")),
    bad("decide by", "turnouts: [{id: T1}]\nrules:\n  decide by: mony\n", (3, 14), Code::UnknownWord, Some("mony"), "one of money, hours, conductors, life cost", Some("money")),
    bad("rules as text", "turnouts: [{id: T1}]\nrules: none\n", (2, 8), Code::WrongType, Some("none"), "the rules, written as keys and values, such as `schemes: …`", None),
    bad("boards as text", "turnouts:\n  - id: T1\n    board: B\nboards: A, B\n", (4, 9), Code::WrongType, Some("A, B"), "a list of boards, each with a `- ` before its first word", None),
    bad("a tag", "turnouts:\n  - id: !odd T1\n", (2, 9), Code::WrongType, Some("a tag"), "the value without a tag", None),
    bad("ring", "turnouts: &a\n  - id: T1\n    with: *a\n", (3, 11), Code::Ring, None, "an alias of a value that ends before it", None),
    bad("unknown alias", "turnouts:\n  - id: *t\n", (2, 9), Code::NotYaml, Some("- id: *t"), "YAML: `key: value` lines, lists of `- ` items, texts with `: ` or ` #` in quotes", None),
    bad("nothing in a list", "turnouts:\n  -\n", (2, 4), Code::WrongType, Some("nothing"), "a turnout, written as keys and values, such as `id: …`", None),
    bad("control code", "turnouts:\n  - id: \"T\\e[31m\"\n", (2, 9), Code::OutOfRange, Some("T�[31m"), "1 to 200 printable characters", None),
    bad("list of nothing", "signals: []\n", (1, 10), Code::MissingKey, Some("an empty list"), "at least one, such as `signals: [{id: S1, kind: semaphore}]`", None),
    bad("decimal comma", "boards:\n  - id: A\n    top: 9,5 mm\nturnouts: [{id: T1}]\n", (3, 10), Code::WrongType, Some("9,5 mm"), "a length with a decimal point, such as `9 mm`", None),
    bad("blank between thousands", "boards:\n  - id: A\n    frame: 1 000 mm\nturnouts: [{id: T1}]\n", (3, 12), Code::WrongType, Some("1 000 mm"), "a length with its unit, such as `9 mm`", None),
    bad("watts of nothing", "supplies:\n  - id: S\n    gives: 0 V AC, 30 W\nturnouts: [{id: T1}]\n", (3, 12), Code::OutOfRange, Some("0 V AC, 30 W"), "a voltage, AC or DC, and a current or volt-amperes, such as `16 V AC, 1 A` or `16 V AC, 16 VA`", None),
    bad("hour with a comma", "turnouts: [{id: T1}]\nrules:\n  hour: 8,50\n", (3, 9), Code::WrongMoney, Some("8,50"), "an amount in EUR, such as `8.00 EUR per hour`", None),
    bad("letters that changed places", "turnouts:\n  - id: T1\n    frog: lvie\n", (3, 11), Code::UnknownWord, Some("lvie"), "one of insulated, live, blade fed", Some("live")),
    bad("one name, composed in two ways", "turnouts:\n  - id: M\u{fc}hle  1\n  - id: mu\u{308}hle 1\n", (3, 9), Code::DuplicateId, Some("mu\u{308}hle 1"), "a name used once; the first `mu\u{308}hle 1` is in line 2", None),
    bad("empty id", "turnouts:\n  - id: ' '\n", (2, 9), Code::OutOfRange, Some("nothing"), "1 to 200 printable characters", None),
];

fn at(problem: &Diagnostic) -> (u32, u32) {
    match &problem.place {
        Place::Yaml { line, column, .. } => (*line, *column),
        other => panic!("{other} is no place in the file"),
    }
}

#[test]
fn each_sort_of_error_is_placed_and_explained() {
    for case in CASES {
        let problems = problems(case.text);
        let [problem] = problems.as_slice() else { panic!("{}: one problem expected: {problems:#?}", case.sort) };
        assert_eq!(at(problem), case.at, "place of {}", case.sort);
        assert_eq!(problem.code, case.code, "code of {}", case.sort);
        assert_eq!(problem.found.as_deref(), case.found, "found in {}", case.sort);
        assert_eq!(problem.expected.as_deref(), Some(case.expected), "expected in {}", case.sort);
        assert_eq!(problem.nearest, Vec::from_iter(case.nearest), "nearest in {}", case.sort);
    }
}

#[test]
fn every_code_that_a_layout_can_raise_is_raised() {
    let raised: BTreeSet<Code> = CASES.iter().map(|case| case.code).chain([Code::TooLarge]).collect();
    let of_the_catalogue =
        [Code::NotAWorkbook, Code::MissingSheet, Code::MissingColumn, Code::UnknownColumn, Code::EmptyCell, Code::NoValue];
    let missing: Vec<_> = Code::ALL.iter().filter(|code| !raised.contains(code) && !of_the_catalogue.contains(code)).collect();
    assert!(missing.is_empty(), "{missing:?}");
}

/// The one problem of a file that is refused before its values are read.
fn refused(text: &str) -> Diagnostic {
    let mut problems = problems(text);
    assert_eq!(problems.len(), 1, "{problems:#?}");
    problems.remove(0)
}

#[test]
fn aliases_of_aliases_are_refused_where_they_grow_too_many() {
    let mut text = "a: &a0 [x, x, x, x, x, x, x, x, x, x]\n".to_owned();
    for level in 1..=9 {
        let aliases = vec![format!("*a{}", level - 1); 10].join(", ");
        writeln!(text, "b{level}: &a{level} [{aliases}]").unwrap();
    }
    let problem = refused(&text);
    assert_eq!(problem.code, Code::TooLarge);
    assert_eq!(at(&problem).0, 4, "11 + 111 + 1,111 values ten times each are too many in the fourth line");
    assert_eq!(problem.expected.as_deref(), Some("aliases that stand for at most 10000 values"));
}

#[test]
fn ten_thousand_aliases_of_a_long_list_are_refused() {
    let text = format!("a: &a [{}]\nb: [{}]\n", vec!["x"; 10_000].join(","), vec!["*a"; 10_000].join(","));
    let problem = refused(&text);
    assert_eq!((problem.code, at(&problem)), (Code::TooLarge, (2, 5)));
}

#[test]
fn deep_nesting_is_refused() {
    for text in ["[".repeat(100_000), "a: ".to_owned() + &"{a: ".repeat(100_000), "- ".repeat(100_000)] {
        let problem = refused(&text);
        assert_eq!(problem.code, Code::TooLarge);
        assert_eq!(problem.expected.as_deref(), Some("at most 64 levels"));
    }
}

#[test]
fn nesting_by_aliases_is_refused() {
    let mut text = "a0: &a0 [x]\n".to_owned();
    for level in 1..100 {
        writeln!(text, "a{level}: &a{level} [*a{}]", level - 1).unwrap();
    }
    let problem = refused(&text);
    assert_eq!(problem.expected.as_deref(), Some("at most 64 levels"));
}

#[test]
fn files_and_texts_beyond_all_measure_are_refused() {
    let file = refused(&"#\n".repeat(3 << 20));
    assert_eq!((file.code, at(&file), file.found.as_deref()), (Code::TooLarge, (1, 1), Some("6291456 bytes")));
    let text = refused(&format!("name: {}\n", "x".repeat(1_001)));
    assert_eq!((text.code, at(&text)), (Code::TooLarge, (1, 7)));
    let values = refused(&"- 1\n".repeat(100_001));
    assert_eq!((values.code, at(&values)), (Code::TooLarge, (100_001, 3)));
}

#[test]
fn a_list_of_more_things_than_any_layout_has_is_refused() {
    let mut text = "turnouts:\n".to_owned();
    for number in 0..2_001 {
        writeln!(text, "- id: T{number}").unwrap();
    }
    let problem = refused(&text);
    assert_eq!((problem.code, problem.found.as_deref()), (Code::TooLarge, Some("2001 items")));
}

#[test]
fn one_file_with_many_errors_tells_them_all_in_order() {
    let text = "\
nmae: Test
boards:
  - id: A
    size: 1200 x 450 V
    top: 9
  - id: a
  - id: B
    frame: -1 mm
joints:
  - between: [A, Z]
panel:
  boards: A
turnouts:
  - id: T1
    kind: plane
    frog: lvie
    board: Q
  - kind: wye
    kind: plain
  - id: T3
    with: [T1, T9]
    scheme: sevo-made
signals:
  - id: S1
    kind: colour light
    lit: 5
routes:
  - id: R
    throws: [T1, X]
rules:
  slack: much
  hour: 8.00 GBP
";
    let told: Vec<((u32, u32), &str)> = problems(text).iter().map(|problem| (at(problem), problem.code.as_str())).collect();
    let expected = [
        ((1, 1), "unknown-key"),
        ((4, 11), "wrong-unit"),
        ((5, 10), "wrong-unit"),
        ((6, 9), "duplicate-id"),
        ((8, 12), "out-of-range"),
        ((10, 18), "unknown-id"),
        ((12, 3), "unknown-key"),
        ((15, 11), "unknown-word"),
        ((16, 11), "unknown-word"),
        ((17, 12), "unknown-id"),
        ((18, 5), "missing-key"),
        ((19, 5), "duplicate-key"),
        ((21, 16), "unknown-id"),
        ((22, 13), "unknown-id"),
        ((26, 10), "out-of-range"),
        ((29, 18), "unknown-id"),
        ((31, 10), "wrong-type"),
        ((32, 9), "contradiction"),
    ];
    assert_eq!(told, expected);
}

#[test]
fn each_key_written_again_is_told_and_the_first_one_counts() {
    let text = "turnouts:\n  - id: T1\n    kind: wye\n    kind: nonsense\n    frog: live\n    id: T2\n    hidden: yes\n    kind: plain\n";
    let told: Vec<_> = problems(text).iter().map(|problem| (at(problem), problem.code)).collect();
    assert_eq!(told, [((4, 5), Code::DuplicateKey), ((6, 5), Code::DuplicateKey), ((8, 5), Code::DuplicateKey)]);
}

#[test]
fn of_a_board_whose_size_cannot_be_read_no_point_is_said_to_be_beside_it() {
    for size in ["1800 x 450", "30 m x 450 mm", "[1800, 450]"] {
        let text = format!(
            "boards: [{{id: A, size: {size}}}, {{id: B}}]\njoints: [{{between: [A, B], at: [1800 x 200 mm, 0 x 0 mm]}}]\nturnouts: [{{id: T1, at: 1500 x 100 mm}}]\n"
        );
        let problems = problems(&text);
        assert_eq!(problems.len(), 1, "{problems:#?}");
        assert_eq!(at(&problems[0]).0, 1);
    }
    let beside = problems("boards: [{id: A}]\nturnouts: [{id: T1, at: 1500 x 100 mm}]\n");
    assert_eq!((beside.len(), beside[0].code), (1, Code::OutOfRange));
}

#[test]
fn columns_count_characters_and_lines_end_as_they_may() {
    let text = "\u{FEFF}# Überraschung\r\nturnouts:\r\n  - {id: \"Ä→ö\", kind: plane}\r\n";
    let problems = problems(text);
    assert_eq!(problems.len(), 1, "{problems:#?}");
    assert_eq!(at(&problems[0]), (3, 23));
}

#[test]
fn a_mistake_behind_an_alias_is_placed_where_it_is_written() {
    let text = "turnouts:\n  - &usual\n    id: T1\n    kind: plane\n  - *usual\n";
    let told: Vec<_> = problems(text).iter().map(|problem| (at(problem), problem.code)).collect();
    assert_eq!(told, [((3, 9), Code::DuplicateId), ((4, 11), Code::UnknownWord), ((4, 11), Code::UnknownWord)]);
}

#[test]
fn thousands_of_errors_are_cut_short() {
    let problems = problems("k: y\n");
    assert_eq!(problems.len(), 1, "the key may have been meant for `turnouts`");
    let mut text = "turnouts: [{id: T1}]\n".to_owned();
    for number in 0..3_000 {
        writeln!(text, "k{number}: 1").unwrap();
    }
    let problems = super::problems(&text);
    assert_eq!(problems.len(), 501);
    assert!(problems[500].what.starts_with("2500 more things are wrong"));
}
