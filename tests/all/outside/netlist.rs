//! Reads the few lines of a netlist that the tests need, so that they solve the very circuits that were simulated.

use std::collections::BTreeMap;

use underboard::power::feed::{Draws, Feed};
use underboard::quantity::{Current, Power, Resistance, Voltage};

/// A circuit of named elements between two nodes.
pub(crate) struct Netlist {
    /// What it is called: its title up to a colon.
    pub(crate) name: String,
    elements: Vec<[String; 4]>,
}

impl Netlist {
    /// The circuits of a text, each ended by `.end`.
    pub(crate) fn read_all(text: &str) -> Vec<Self> {
        text.split_terminator(".end\n").map(Self::read).collect()
    }

    fn read(text: &str) -> Self {
        let title = text.lines().next().and_then(|line| line.strip_prefix("* ")).expect("a netlist begins with its title");
        let name = title.split(':').next().expect("a title has a first part").to_owned();
        let elements = text.lines().filter(|line| line.starts_with(|c: char| c.is_ascii_lowercase()));
        let element = |line: &str| {
            let mut words = line.split_whitespace().map(str::to_owned);
            let [name, from, to] = std::array::from_fn(|_| words.next().expect("an element has a name and two nodes"));
            [name, from, to, words.collect::<Vec<_>>().join(" ")]
        };
        Self { name, elements: elements.map(element).collect() }
    }

    /// The value of an element.
    pub(crate) fn value(&self, name: &str) -> f64 {
        number(self.text(name).split(' ').next().expect("an element has a value"))
    }

    /// What an element starts from.
    pub(crate) fn start(&self, name: &str) -> f64 {
        number(self.text(name).split_once("ic=").expect("the element has a start").1)
    }

    fn text(&self, name: &str) -> &str {
        &self.elements.iter().find(|element| element[0] == name).unwrap_or_else(|| panic!("{} has no {name}", self.name))[3]
    }

    /// The circuit as a feed: conductors where it has resistors, loads where it has sources of current, constant (`i`) or drawn by a power
    /// (`b`, as power over voltage). Also the voltage of its supply.
    pub(crate) fn feed(&self) -> (Feed, Voltage) {
        let voltage = Voltage(number(self.text("vsource").strip_prefix("dc ").expect("a supply of direct current")));
        let mut feed = Feed::new(voltage);
        let mut nodes = BTreeMap::from([("out", Feed::OUT), ("0", Feed::BACK)]);
        for [name, from, to, value] in &self.elements {
            let [from, to] = [from, to].map(|node| *nodes.entry(node.as_str()).or_insert_with(|| feed.node()));
            match &name[..1] {
                "r" => _ = feed.conductor(from, to, Resistance(number(value))),
                "i" => _ = feed.load(from, to, Draws::Current(Current(number(value)))),
                "b" => _ = feed.load(from, to, Draws::Power(Power(number(between(value, "i=", "/v("))))),
                "v" => {}
                _ => panic!("{name} is no element of a feed"),
            }
        }
        (feed, voltage)
    }
}

fn between<'a>(text: &'a str, before: &str, after: &str) -> &'a str {
    let inner = text.strip_prefix(before).and_then(|text| text.split_once(after));
    inner.unwrap_or_else(|| panic!("`{text}` is not {before}…{after}…")).0
}

fn number(text: &str) -> f64 {
    text.parse().unwrap_or_else(|_| panic!("`{text}` is not a number"))
}
