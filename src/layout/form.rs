//! The form of a layout file: its keys, what each holds and what is taken where it is not written.
//!
//! The one list of keys. Reading refuses every other key by it, and the JSON Schema that editors complete by is made from it.

use serde_json::{Map, Value, json};

use crate::name::same;

/// A map of the file: its name in messages, and its keys.
#[derive(Debug)]
pub(super) struct Form {
    /// With its article, such as `a turnout`.
    pub(super) title: &'static str,
    /// Its keys, in the order they are usually written.
    pub(super) keys: &'static [Key],
}

/// A key.
#[derive(Debug)]
pub(super) struct Key {
    /// As written.
    pub(super) name: &'static str,
    /// What follows it.
    holds: Holds,
    /// What it means, in one or two sentences.
    about: &'static str,
    /// What is taken where it is not written, in words or as it would be written.
    default: Option<&'static str>,
}

/// Other words that people have for a key, such as those of other countries.
const OTHER_WORDS: &[(&str, &str)] = &[
    ("baseboards", "boards"),
    ("depth", "frame"),
    ("location", "at"),
    ("modules", "boards"),
    ("name", "id"),
    ("points", "turnouts"),
    ("position", "at"),
    ("power", "supplies"),
    ("price of an hour", "hour"),
    ("switches", "turnouts"),
    ("thickness", "top"),
    ("type", "kind"),
];

/// What follows a key.
#[derive(Debug)]
enum Holds {
    /// A name or a text of a form, with an example.
    Text(&'static str),
    /// A whole number.
    Number,
    /// A number, or a text of a form, with an example.
    Amount(&'static str),
    /// Yes or no.
    YesNo,
    /// One of these words.
    Words(&'static [&'static str]),
    /// A name or a list of names.
    Names(&'static str),
    /// A list of texts.
    Texts(&'static str),
    /// A map.
    Map(&'static Form),
    /// A map, or a word for none.
    MapOr(&'static Form, &'static str),
    /// A list of maps.
    List(&'static Form),
}

impl Form {
    /// The names of the keys.
    pub(super) fn names(&self) -> impl Iterator<Item = &'static str> + use<> {
        self.keys.iter().map(|key| key.name)
    }

    /// The key that another word stands for.
    pub(super) fn meant(&self, word: &str) -> Option<&'static str> {
        OTHER_WORDS.iter().find(|(other, key)| same(other, word) && self.has(key)).map(|(_, key)| *key)
    }

    /// Whether it has a key.
    pub(super) fn has(&self, name: &str) -> bool {
        self.names().any(|known| known == name)
    }
}

const fn key(name: &'static str, holds: Holds, about: &'static str, default: &'static str) -> Key {
    Key { name, holds, about, default: if default.is_empty() { None } else { Some(default) } }
}

const ID: &str = "Its name, used once. Capital letters do not tell two names apart.";
const BOARD_OF: Key = key("board", Holds::Text("A"), "The board it stands on.", "the first board");
const AT: Key = key(
    "at",
    Holds::Text("300 x 200 mm"),
    "Where it stands: along the front, then towards the back, from the front left corner of its board as seen from above.",
    "spread evenly along the middle of the board",
);
const WITH: Key = key(
    "with",
    Holds::Names("T2"),
    "The devices on the same lever; what only lights goes with what only lights. For a diamond: the device whose drive its frogs follow.",
    "",
);
const SCHEME: Key =
    key("scheme", Holds::Text("servo-made"), "A scheme of the catalogue that drives it, whatever is chosen for the rest.", "");
const OWNED: Key = key("owned", Holds::YesNo, "Motorised already: it costs no parts and no fitting.", "no");
const KEYED: Key =
    key("keyed", Holds::YesNo, "Its plugs are keyed, marked or of different sizes: none is taken for another.", "no");
const HIDDEN: Key = key("hidden", Holds::YesNo, "Out of the public's sight.", "no");

/// A layout file.
pub(super) const LAYOUT: Form = Form {
    title: "a layout",
    keys: &[
        key("name", Holds::Text("Shelf siding"), "The name printed on everything.", "the name of the file"),
        key("scale", Holds::Text("H0"), "Its scale: Z, N, TT, H0, 00, S or 0. It tells how far blades must travel at least.", ""),
        key("boards", Holds::List(&BOARD), "The baseboards, from left to right.", "one board, A"),
        key("joints", Holds::List(&JOINT), "Where boards, and the wiring under them, part.", "each board and the next"),
        key(
            "panel",
            Holds::MapOr(&PANEL, "none"),
            "The control panel; `none` where there is none.",
            "fixed at the front of the first board, in the middle",
        ),
        key("supplies", Holds::List(&SUPPLY), "Power supplies that are owned already.", ""),
        key("turnouts", Holds::List(&TURNOUT), "The turnouts and crossings.", ""),
        key("signals", Holds::List(&SIGNAL), "The signals.", ""),
        key("others", Holds::List(&OTHER), "Other things that move or light.", ""),
        key("routes", Holds::List(&ROUTE), "What is thrown together for a train movement.", ""),
        key("rules", Holds::Map(&RULES), "How the plan is made.", ""),
    ],
};

/// A board.
pub(super) const BOARD: Form = Form {
    title: "a board",
    keys: &[
        key("id", Holds::Text("A"), ID, ""),
        key("size", Holds::Text("1200 x 450 mm"), "Length along the front, then width from front to back.", "1200 x 600 mm"),
        key("top", Holds::Text("9 mm"), "Thickness of the top, track bed included.", "9 mm"),
        key("frame", Holds::Text("80 mm"), "Free depth under the top.", "80 mm"),
    ],
};

/// A joint.
pub(super) const JOINT: Form = Form {
    title: "a joint",
    keys: &[
        key("between", Holds::Texts("A"), "The two boards that part here.", ""),
        key(
            "at",
            Holds::Texts("1200 x 225 mm"),
            "The point on the first board, then the point on the second.",
            "the middle of the right edge of the first, the middle of the left edge of the second",
        ),
        key("lead", Holds::Text("0.5 m"), "Length of the lead between the two halves; 0 where they plug face to face.", "0 mm"),
        KEYED,
    ],
};

/// The panel.
pub(super) const PANEL: Form = Form {
    title: "the panel",
    keys: &[
        key("board", Holds::Text("A"), "The board it is fixed to, or plugged into.", "the first board"),
        key("at", Holds::Text("600 x 0 mm"), "Where on that board.", "the middle of the front"),
        key("lead", Holds::Text("2 m"), "Length of its flying lead; leave it out for a panel fixed to the board.", ""),
        KEYED,
    ],
};

/// An owned supply.
pub(super) const SUPPLY: Form = Form {
    title: "a supply",
    keys: &[
        key("id", Holds::Text("old transformer"), ID, ""),
        key("gives", Holds::Text("16 V AC, 1 A"), "Voltage, AC or DC, and current, as its label says.", ""),
    ],
};

/// A turnout.
pub(super) const TURNOUT: Form = Form {
    title: "a turnout",
    keys: &[
        key("id", Holds::Text("T1"), ID, ""),
        BOARD_OF,
        AT,
        key(
            "further",
            Holds::Names("570 x 200 mm"),
            "Where its further tie bars are, one after the other: for a slip, that of the other end.",
            "where it stands",
        ),
        key("kind", Holds::Text("double slip"), "A kind of the catalogue's Turnouts sheet.", "plain"),
        key("frog", Holds::Words(&["insulated", "live", "blade fed"]), "How its crossing nose is made.", "insulated"),
        WITH,
        SCHEME,
        OWNED,
        HIDDEN,
    ],
};

/// A signal.
pub(super) const SIGNAL: Form = Form {
    title: "a signal",
    keys: &[
        key("id", Holds::Text("S1"), ID, ""),
        BOARD_OF,
        AT,
        key(
            "kind",
            Holds::Words(&["semaphore", "colour light", "ground signal"]),
            "What shows: arms, lamps, or one low arm.",
            "",
        ),
        key("arms", Holds::Number, "Arms of a semaphore; each is moved and has a lever.", "1"),
        key("aspects", Holds::Number, "Lamps of a colour light.", "2"),
        key("lit", Holds::Number, "Lamps of a colour light that are lit at once at most.", "1"),
        key("lamp", Holds::YesNo, "Whether a semaphore or ground signal has a lamp that is always lit.", "no"),
        WITH,
        SCHEME,
        OWNED,
        HIDDEN,
    ],
};

/// Another thing that moves or lights.
pub(super) const OTHER: Form = Form {
    title: "another thing",
    keys: &[
        key("id", Holds::Text("G1"), ID, ""),
        BOARD_OF,
        AT,
        key("kind", Holds::Words(&["gate", "uncoupler", "lamp"]), "What it is.", ""),
        WITH,
        SCHEME,
        OWNED,
        HIDDEN,
    ],
};

/// A route.
pub(super) const ROUTE: Form = Form {
    title: "a route",
    keys: &[
        key("id", Holds::Text("platform to yard"), ID, ""),
        key(
            "throws",
            Holds::Names("T1"),
            "The devices whose levers are thrown, in this order; `T3/2` is the second lever of a device that has several.",
            "",
        ),
    ],
};

/// The rules.
pub(super) const RULES: Form = Form {
    title: "the rules",
    keys: &[
        key("schemes", Holds::Names("servo-made"), "The schemes to compare.", "all that the catalogue offers"),
        key("slack", Holds::Text("10 %"), "Length added to every wire.", "10 %"),
        key("spares", Holds::Text("10 %"), "Spares of small parts that get lost.", "10 %"),
        key("exhibition kit", Holds::YesNo, "Whether a spare of each active part goes along to exhibitions.", "no"),
        key(
            "spare channels",
            Holds::Amount("20 %, at least 2"),
            "Channels left free at each controller, and inputs at an encoder.",
            "20 %, at least 2",
        ),
        key(
            "controllers",
            Holds::Words(&["each board", "neighbour"]),
            "Where controllers stand: on each board, or also on the one next to it.",
            "each board",
        ),
        key(
            "spare ways",
            Holds::Amount("20 %, at least 2"),
            "Ways left free: in the connectors of each joint, at terminal strips, and on the panel plate for further levers.",
            "20 %, at least 2",
        ),
        key(
            "at once",
            Holds::Amount("1 lever"),
            "What moves at once: so many levers, each thrown when one before has moved, or a whole route (`routes`).",
            "routes if there are any, else 1 lever",
        ),
        key(
            "switch on",
            Holds::Words(&["held", "quiet", "twitching"]),
            "What motors do at switch-on: held still by parts on the bill, quiet without such parts, or twitching all together.",
            "held",
        ),
        key(
            "sections",
            Holds::Number,
            "Over how many supplies each feed is divided at least, each with boards, a fuse and power wires of its own.",
            "1",
        ),
        key("headroom", Holds::Text("20 %"), "The part of a supply's rating to leave free under steady load.", "20 %"),
        key("drop", Holds::Text("5 %"), "The largest part of a feed's voltage to lose in its wires.", "5 %"),
        key("hour", Holds::Amount("8.00 per hour"), "What an hour of work is worth, in the catalogue's currency.", ""),
        key(
            "set-ups",
            Holds::Amount("12 per year"),
            "How often a year the layout is put together.",
            "6 if it has joints, else 0",
        ),
        key("years", Holds::Number, "Over how many years costs are counted.", "10"),
        key("lamps", Holds::Words(&["none", "commanded", "proved"]), "What the panel's lamps show.", "commanded"),
        key("decide by", Holds::Words(&["money", "hours", "conductors", "life cost"]), "What makes a scheme win.", ""),
    ],
};

/// The JSON Schema (draft 2020-12) of a layout file, by which an editor completes and checks it, ending with a line end.
pub fn schema() -> String {
    format!("{:#}\n", schema_value())
}

fn schema_value() -> Value {
    let mut schema = map(&LAYOUT);
    if let Value::Object(root) = &mut schema {
        root.insert("$schema".to_owned(), json!("https://json-schema.org/draft/2020-12/schema"));
    }
    schema
}

fn map(form: &Form) -> Value {
    let properties: Map<String, Value> = form.keys.iter().map(|key| (key.name.to_owned(), property(key))).collect();
    let required: Vec<&str> = form.names().filter(|name| matches!(*name, "id" | "between" | "gives" | "throws")).collect();
    json!({ "title": form.title, "type": "object", "properties": properties, "required": required, "additionalProperties": false })
}

fn property(key: &Key) -> Value {
    let text = |example: &str| json!({ "type": ["string", "number"], "examples": [example] });
    let mut property = match &key.holds {
        Holds::Text(example) | Holds::Amount(example) => text(example),
        Holds::Number => json!({ "type": "integer", "minimum": 0 }),
        Holds::YesNo => json!({ "enum": ["yes", "no", true, false] }),
        Holds::Words(words) => json!({ "enum": words }),
        Holds::Names(example) => json!({ "anyOf": [text(example), { "type": "array", "items": text(example) }] }),
        Holds::Texts(example) => json!({ "type": "array", "items": text(example), "minItems": 2, "maxItems": 2 }),
        Holds::Map(form) => map(form),
        Holds::MapOr(form, word) => json!({ "anyOf": [map(form), { "const": word }] }),
        Holds::List(form) => json!({ "type": "array", "items": map(form) }),
    };
    if let Value::Object(property) = &mut property {
        let about = match key.default {
            Some(default) => format!("{} Default: {default}.", key.about),
            None => key.about.to_owned(),
        };
        property.insert("description".to_owned(), Value::String(about));
    }
    property
}

#[cfg(test)]
mod tests;
