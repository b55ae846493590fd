//! The YAML as written: the values of a file, each with its place. The only file that knows the YAML library for values.

use std::fmt;
use std::rc::Rc;

use serde::Deserialize;
use serde::de::{DeserializeSeed, Deserializer, EnumAccess, Error, IgnoredAny, MapAccess, SeqAccess, VariantAccess, Visitor};

use super::positions::{Key, Located, Mark, Within, locate};
use super::report::{Refused, Report};
use super::slips::not_yaml;

/// A value as written, and its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Node {
    /// Where it starts.
    pub(super) mark: Mark,
    /// What it is.
    pub(super) body: Body,
}

/// A value as written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Body {
    /// Nothing after the key, or `null`.
    Nothing,
    /// A text or number, as written: `8.00` stays `8.00`.
    Text(String),
    /// A list.
    List(Vec<Node>),
    /// Keys and values, in the order written.
    Map(Vec<(Key, Node)>),
}

/// Reads a file into values with places. An empty file is an empty map.
///
/// # Errors
/// What makes it impossible to read the file any further.
pub(super) fn parse(text: &str, report: &mut Report) -> Result<Node, Refused> {
    // A byte order mark is no part of the text.
    let text = text.strip_prefix('\u{FEFF}').unwrap_or(text);
    let Some(located) = locate(text, report)? else {
        return Ok(Node { mark: Mark { line: 1, column: 1 }, body: Body::Map(Vec::new()) });
    };
    let reader = serde_yaml::Deserializer::from_str(text);
    Seed(&located).deserialize(reader).map_err(|error| {
        let (line, column) = error.location().map_or((1, 1), |at| (at.line(), at.column()));
        let number = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        let message = error.to_string();
        let reason = message.split(" at line ").next().unwrap_or_default();
        not_yaml(text, Mark { line: number(line), column: number(column) }, reason, report)
    })
}

/// Reads a value whose places are known.
#[derive(Clone, Copy)]
struct Seed<'a>(&'a Rc<Located>);

impl Seed<'_> {
    fn node(self, body: Body) -> Node {
        Node { mark: self.0.mark, body }
    }

    /// A number or truth value as it was written.
    fn written(self, value: &dyn fmt::Display) -> Node {
        match &self.0.within {
            Within::Text(text) => self.node(Body::Text(text.clone())),
            _ => self.node(Body::Text(value.to_string())),
        }
    }
}

impl<'de> DeserializeSeed<'de> for Seed<'_> {
    type Value = Node;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Node, D::Error> {
        deserializer.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Seed<'_> {
    type Value = Node;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a value")
    }

    fn visit_unit<E: Error>(self) -> Result<Node, E> {
        Ok(self.node(Body::Nothing))
    }

    fn visit_bool<E: Error>(self, value: bool) -> Result<Node, E> {
        Ok(self.written(&value))
    }

    fn visit_i64<E: Error>(self, value: i64) -> Result<Node, E> {
        Ok(self.written(&value))
    }

    fn visit_u64<E: Error>(self, value: u64) -> Result<Node, E> {
        Ok(self.written(&value))
    }

    fn visit_i128<E: Error>(self, value: i128) -> Result<Node, E> {
        Ok(self.written(&value))
    }

    fn visit_u128<E: Error>(self, value: u128) -> Result<Node, E> {
        Ok(self.written(&value))
    }

    fn visit_f64<E: Error>(self, value: f64) -> Result<Node, E> {
        Ok(self.written(&value))
    }

    fn visit_str<E: Error>(self, value: &str) -> Result<Node, E> {
        Ok(self.node(Body::Text(value.to_owned())))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut access: A) -> Result<Node, A::Error> {
        let places: &[Rc<Located>] = if let Within::List(items) = &self.0.within { items } else { &[] };
        let mut items = Vec::new();
        // Where the two readers disagree on what is in a list, its own place serves for the items.
        while let Some(item) = access.next_element_seed(Seed(places.get(items.len()).unwrap_or(self.0)))? {
            items.push(item);
        }
        Ok(self.node(Body::List(items)))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut access: A) -> Result<Node, A::Error> {
        let places: &[(Key, Rc<Located>)] = if let Within::Map(entries) = &self.0.within { entries } else { &[] };
        let mut entries = Vec::new();
        while access.next_key::<IgnoredAny>()?.is_some() {
            let unknown = || Key { text: String::new(), mark: self.0.mark };
            let (key, place) = places.get(entries.len()).map_or_else(|| (unknown(), self.0), |(key, place)| (key.clone(), place));
            entries.push((key, access.next_value_seed(Seed(place))?));
        }
        Ok(self.node(Body::Map(entries)))
    }

    /// A tagged value; the tag itself has been refused.
    fn visit_enum<A: EnumAccess<'de>>(self, access: A) -> Result<Node, A::Error> {
        let (_, value) = access.variant::<Tag>()?;
        value.newtype_variant_seed(self)
    }
}

/// A tag, whatever it says.
struct Tag;

impl<'de> Deserialize<'de> for Tag {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_identifier(IgnoredAny).map(|_| Self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The values with their places, in one line.
    fn drawn(node: &Node) -> String {
        let Mark { line, column } = node.mark;
        let body = match &node.body {
            Body::Nothing => "~".to_owned(),
            Body::Text(text) => format!("{text:?}"),
            Body::List(items) => format!("[{}]", items.iter().map(drawn).collect::<Vec<_>>().join(" ")),
            Body::Map(entries) => {
                let entry =
                    |(key, node): &(Key, Node)| format!("{}@{}:{}={}", key.text, key.mark.line, key.mark.column, drawn(node));
                format!("{{{}}}", entries.iter().map(entry).collect::<Vec<_>>().join(" "))
            }
        };
        format!("{body}@{line}:{column}")
    }

    #[track_caller]
    fn reads(text: &str, expected: &str) {
        let mut report = Report::new("f", crate::size::Size::Usual);
        assert_eq!(parse(text, &mut report).as_ref().map(drawn).as_deref(), Ok(expected));
        assert!(report.finish().is_ok());
    }

    #[test]
    fn numbers_keep_the_way_they_are_written() {
        reads(
            "[8.00, 0x1F, 1e3, true, ~, null, '~', .inf]",
            "[\"8.00\"@1:2 \"0x1F\"@1:8 \"1e3\"@1:14 \"true\"@1:19 ~@1:25 ~@1:28 \"~\"@1:34 \".inf\"@1:39]@1:1",
        );
    }

    #[test]
    fn every_key_and_value_has_its_place() {
        reads("# r\na:\n  - b: 1\n    c: x y\n  - d\n", "{a@2:1=[{b@3:5=\"1\"@3:8 c@4:5=\"x y\"@4:8}@3:5 \"d\"@5:5]@3:3}@2:1");
    }

    #[test]
    fn texts_over_several_lines_are_one_text() {
        reads("a: >\n  x\n  y\nb: |\n  z\n", "{a@1:1=\"x y\\n\"@2:3 b@4:1=\"z\\n\"@5:3}@1:1");
    }

    #[test]
    fn an_alias_has_the_place_of_what_it_repeats() {
        reads("[&a [1], *a]", "[[\"1\"@1:6]@1:2 [\"1\"@1:6]@1:2]@1:1");
    }

    #[test]
    fn an_empty_file_is_an_empty_map() {
        reads("", "{}@1:1");
        reads("\u{FEFF}# nothing\n", "{}@1:1");
    }
}
