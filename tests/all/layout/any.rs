//! No text makes the reader panic, and what it accepts is whole.

use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::TestRunner;
use serde_yaml::{Mapping, Value};
use underboard::buying::{Beside, Choices, Limits};
use underboard::catalogue::from_starter;
use underboard::choice::compare;
use underboard::commissioning::checks;
use underboard::diagnostic::Place;
use underboard::layout;
use underboard::mechanics::drillings;
use underboard::report::view::{self, Book, Pick, Plan};
use underboard::report::{Document, Dress, to_csv, to_html, to_json, to_markdown, to_terminal, to_workbook};
use underboard::wiring::courses;

use super::good::consistent;
use super::small_catalogue;

/// Texts that look like layouts: the form's words, values good and bad, and YAML's own signs, in any order.
fn nearly_a_layout() -> impl Strategy<Value = String> {
    let words = prop::sample::select(vec![
        "name:",
        "boards:",
        "joints:",
        "panel:",
        "turnouts:",
        "signals:",
        "others:",
        "routes:",
        "rules:",
        "supplies:",
        "id:",
        "board:",
        "at:",
        "kind:",
        "frog:",
        "with:",
        "scheme:",
        "owned:",
        "between:",
        "lead:",
        "throws:",
        "gives:",
        "arms:",
        "aspects:",
        "lit:",
        "lamp:",
        "size:",
        "top:",
        "hour:",
        "at once:",
        "spare ways:",
        "set-ups:",
        "A",
        "B",
        "T1",
        "T2",
        "live",
        "diamond",
        "double slip",
        "scissors",
        "semaphore",
        "colour light",
        "none",
        "yes",
        "servo-made",
        "1200 x 450 mm",
        "-1 mm",
        "9 V",
        "20 %, at least 2",
        "16 V AC, 1 A",
        "99999999999999999999 m",
        "1e400",
        "0",
        "~",
        "8.00 per hour",
        "é×½",
        "\n",
        "\n  ",
        "\n    ",
        "\n- ",
        "\n  - ",
        "\n    - ",
        "- ",
        "[",
        "]",
        "{",
        "}",
        ",",
        " ",
        ": ",
        "&a ",
        "*a",
        "!t ",
        "!!int ",
        "|\n",
        ">\n",
        "\"",
        "'",
        "#",
        "? ",
        "---\n",
        "...\n",
        "%YAML 1.2\n",
        "\t",
        "<<: ",
        "\u{feff}",
        "\u{0}",
        "\u{85}",
        "\r",
    ]);
    prop::collection::vec(words, 0..60).prop_map(|words| words.concat())
}

/// Values that a key takes.
fn good(key: &str) -> &'static [&'static str] {
    match key {
        "board" => &["A"],
        "at" => &["300 x 200 mm", "0 x 0", "10 x 10 cm"],
        "kind" => &["plain", "wye", "double slip", "three-way", "scissors", "diamond", "catch"],
        "signal" => &["semaphore", "colour light", "ground signal"],
        "other" => &["gate", "uncoupler", "lamp"],
        "frog" => &["insulated", "live", "blade fed"],
        "with" | "throws" => &["T1", "T2", "T3"],
        "scheme" | "schemes" => &["servo-made"],
        "owned" | "hidden" | "lamp" => &["yes", "no", "true"],
        "arms" | "aspects" | "years" | "sections" => &["1", "2", "3", "12"],
        "lit" => &["1"],
        "further" => &["700 x 200 mm"],
        "size" => &["1200 x 450 mm", "3 x 2 ft"],
        "top" | "frame" | "lead" => &["9 mm", "1 in"],
        "gives" => &["16 V AC, 1 A"],
        "slack" | "spares" | "headroom" | "drop" => &["10 %", "1.5 %"],
        "spare channels" | "spare ways" => &["20 %, at least 2", "0", "at least 1"],
        "switch on" => &["held", "quiet", "twitching"],
        "at once" => &["1 lever", "4 levers"],
        "hour" => &["8.00 per hour", "8"],
        "set-ups" => &["12 per year"],
        "lamps" => &["proved", "none"],
        "controllers" => &["each board", "neighbour"],
        "decide by" => &["money", "life cost"],
        _ => &[],
    }
}

/// Mostly a value that the key takes.
fn value(key: &str) -> impl Strategy<Value = Value> + use<> {
    let bad = ["T9", "B", "-1 mm", "9 V", "servo", "solenoid", "routes", "0", "", "1 x 1 x 1 m", "101 %", "nothing of the kind"];
    let bad = prop::sample::select(bad.to_vec()).prop_map(Value::from);
    let good = prop::sample::select(if good(key).is_empty() { vec!["A"] } else { good(key).to_vec() }).prop_map(Value::from);
    let list = prop::collection::vec(good.clone(), 0..3).prop_map(Value::from);
    prop_oneof![60 => good, 1 => bad, 1 => list, 3 => Just(Value::Null), 1 => Just(Value::from(-3))]
}

/// A map with some of the keys, and mostly an id of its own if `number` is given. `kind` stands for the sort of kind.
fn entry(keys: &'static [&'static str], id: Option<(&'static str, usize)>) -> impl Strategy<Value = Value> {
    let pick = |key: &'static str| {
        let name = if matches!(key, "signal" | "other") { "kind" } else { key };
        let share = if matches!(key, "signal" | "other" | "gives" | "throws") { 0.98 } else { 0.25 };
        prop::option::weighted(share, value(key)).prop_map(move |value| value.map(|value| (Value::from(name), value)))
    };
    let odd = prop::option::weighted(0.02, prop::sample::select(vec!["T1", "t2", "T1a", "panel", "S1/2"]));
    (odd, keys.iter().copied().map(pick).collect::<Vec<_>>()).prop_map(move |(odd, values)| {
        let usual = id.map(|(letter, number)| format!("{letter}{number}"));
        let id = odd.map(str::to_owned).filter(|_| usual.is_some()).or(usual).map(|id| (Value::from("id"), id.into()));
        Value::Mapping(id.into_iter().chain(values.into_iter().flatten()).collect::<Mapping>())
    })
}

/// A file of the right build, with values that may fit or not.
fn built_like_a_layout() -> impl Strategy<Value = String> {
    const TURNOUT: &[&str] = &["board", "at", "further", "kind", "frog", "with", "scheme", "owned", "hidden"];
    const SIGNAL: &[&str] = &["board", "signal", "arms", "aspects", "lit", "lamp", "with"];
    const RULES: &[&str] = &[
        "schemes",
        "slack",
        "spares",
        "spare channels",
        "spare ways",
        "controllers",
        "at once",
        "switch on",
        "sections",
        "headroom",
        "drop",
        "hour",
        "set-ups",
        "years",
        "lamps",
        "decide by",
    ];
    let list = |keys, letter, most: usize| {
        let items: Vec<_> = (1..=most).map(|number| entry(keys, Some((letter, number)))).collect();
        (items, 0..=most).prop_map(|(items, some)| Value::from(items.into_iter().take(some).collect::<Vec<_>>()))
    };
    let lists = (
        list(TURNOUT, "T", 4),
        list(SIGNAL, "S", 3),
        list(&["board", "other", "with"], "G", 2),
        list(&["throws"], "R", 2),
        list(&["gives"], "P", 2),
        entry(&["size", "top", "frame"], None),
    );
    let rest = (entry(&["board", "at", "lead"], None), entry(RULES, None), prop::collection::vec(any::<bool>(), 8));
    (lists, rest).prop_map(|((turnouts, signals, others, routes, supplies, mut board), (panel, rules, there))| {
        if let Some(board) = board.as_mapping_mut() {
            board.insert("id".into(), "A".into());
        }
        let all = [
            ("boards", Value::from(vec![board])),
            ("turnouts", turnouts),
            ("signals", signals),
            ("others", others),
            ("routes", routes),
            ("supplies", supplies),
            ("panel", panel),
            ("rules", rules),
        ];
        let there = all.into_iter().zip(there).filter(|(_, there)| *there).map(|((key, value), _)| (key.into(), value));
        serde_yaml::to_string(&Value::Mapping(there.collect())).unwrap()
    })
}

fn survives(text: &str) {
    match layout::read("any.yaml", text, &small_catalogue()) {
        Ok(layout) => {
            assert!(!layout.devices.is_empty());
            consistent(&layout);
        }
        Err(problems) => {
            assert!(!problems.is_empty());
            for problem in problems {
                assert!(!matches!(problem.place, Place::Yaml { line: 0, .. } | Place::Yaml { column: 0, .. }));
                assert!(!problem.what.chars().any(char::is_control), "{:?}", problem.what);
                assert!(problem.found.iter().all(|found| !found.chars().any(char::is_control)), "{:?}", problem.found);
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_text_panics(text in any::<String>()) {
        survives(&text);
    }

    #[test]
    fn no_bytes_panic(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        survives(&String::from_utf8_lossy(&bytes));
    }

    #[test]
    fn nothing_that_is_nearly_a_layout_panics(text in nearly_a_layout()) {
        survives(&text);
    }

    #[test]
    fn nothing_built_like_a_layout_panics(text in built_like_a_layout()) {
        survives(&text);
    }

    /// The harbour with a piece cut out, or put in twice.
    #[test]
    fn no_damage_to_a_good_file_panics(from in 0_usize..6000, length in 0_usize..40, double in any::<bool>()) {
        let text: Vec<char> = include_str!("../../../examples/saltmarsh-harbour.yaml").chars().collect();
        let from = from.min(text.len());
        let to = (from + length).min(text.len());
        let back = if double { from } else { to };
        let damaged: String = text[..to].iter().take(if double { to } else { from }).chain(&text[back..]).collect();
        survives(&damaged);
    }
}

/// The document in every form; none of them may fail, nor a terminal obey anything.
fn dressed(document: &Document) {
    for width in [40, 100] {
        let text = to_terminal(document, Dress { width, colour: false });
        assert!(text.chars().all(|c| c == '\n' || !c.is_control()), "{text:?}");
    }
    let _: serde_json::Value = serde_json::from_str(&to_json(document)).unwrap();
    assert!(!to_markdown(document).is_empty() && !to_csv(document).is_empty());
    assert!(to_workbook(document).unwrap().starts_with(b"PK"));
}

/// Layouts of every kind of device, good by chance, go through every report and every form of it.
#[test]
fn whatever_is_a_layout_goes_through_every_report_and_form() {
    let catalogue = from_starter().unwrap();
    let choices = Choices::within(Limits::steps(20_000));
    let mut runner = TestRunner::deterministic();
    let mut kinds = std::collections::BTreeSet::new();
    let mut read = 0;
    for _ in 0..400 {
        let text = built_like_a_layout().new_tree(&mut runner).unwrap().current();
        let Ok(layout) = layout::read("any.yaml", &text, &catalogue) else { continue };
        read += 1;
        kinds.extend(layout.devices.iter().map(|device| format!("{:?}", device.kind)));
        let comparison = compare(&layout, &catalogue, &choices);
        dressed(&view::compare(&layout, &catalogue, &choices, &comparison));
        for column in &comparison.columns {
            let estimate = &column.estimate;
            let plan = Plan { layout: &layout, catalogue: &catalogue, choices: &choices, estimate, pick: Pick::Named };
            for report in [view::bill, view::wiring, view::power, view::hours, view::check] {
                dressed(&report(&plan));
            }
            dressed(&view::shop(&plan, &Beside::default(), None));
            let book = Book {
                plan,
                comparison: &comparison,
                checks: &checks(&layout, &catalogue, estimate),
                drillings: &drillings(&layout, &catalogue, &estimate.takeoff, &estimate.purchase, &estimate.rods),
                courses: &courses(&layout, &estimate.assignment, &estimate.wiring),
            };
            assert!(to_html(&view::book(&book, &[])).ends_with("</html>\n"));
        }
        if read == 30 {
            break;
        }
    }
    assert_eq!(read, 30, "too few of them are layouts");
    assert!(kinds.len() >= 10, "{kinds:?}");
}
