//! A scheme that the program has never heard of, a rod in a tube worked by hand, comes in by rows of the workbook alone and goes through
//! every verb.

use underboard::catalogue::starter;

use crate::program::Desk;

/// Rows added to the starter's sheets. Names and prices are invented.
const ROWS: &[(&str, &str)] = &[
    ("Kinds", "push-rod,Push rod in a tube,rod,piece,pieces,,no\npull-knob,Knob for a push rod,panel sundry,each,at least,,no\n"),
    ("Offers", "rod-in-tube-2m,quemberlo,QB-9001,1,3.10,,2026-03-01\nknob-brass,quemberlo,QB-9002,1,0.95,,2026-03-01\n"),
    ("Tasks", "rod-tube,drive,Lay the tube and set the stroke of the rod,fitting,15,25,60,\n"),
];

/// The starter with the rows of the fourth scheme, as `(file name, text)`.
fn with_rod_in_tube() -> Vec<(String, String)> {
    let columns = |sheet: &str, text: &str, values: &[(&str, &str)]| {
        let heading = text.lines().next().unwrap_or_default();
        let known: Vec<&str> = heading.split(',').collect();
        for (name, _) in values {
            assert!(known.contains(name), "{sheet} has a column {name}");
        }
        known
            .iter()
            .map(|column| values.iter().find(|(name, _)| name == column).map_or("", |(_, value)| *value))
            .collect::<Vec<_>>()
            .join(",")
    };
    let starter = starter();
    let tables = starter.tables.iter().map(|(name, text)| {
        let sheet = name.trim_end_matches(".csv");
        let mut text = (*text).to_owned();
        if !text.ends_with('\n') {
            text.push('\n');
        }
        let more = match sheet {
            "Schemes" => columns(
                sheet,
                &text,
                &[
                    ("scheme", "rod-tube"),
                    ("title", "Rod in a tube"),
                    ("offered", "yes"),
                    ("drives", "tie bar; arm; gate; uncoupler"),
                    ("wiring", "none"),
                    ("draw", "none"),
                    ("lever", "by hand"),
                    ("arm (mm)", "600"),
                    ("depth (mm)", "15"),
                ],
            ),
            "Parts" => [
                ("rod-in-tube-2m", "push-rod", "Steel rod in a plastic tube, 2 m", "2 m"),
                ("knob-brass", "pull-knob", "Brass knob, 6 mm", ""),
            ]
            .iter()
            .map(|(part, kind, title, length)| {
                let quoted = format!("\"{title}\"");
                columns(sheet, &text, &[("part", part), ("kind", kind), ("title", &quoted), ("length (mm)", length)])
            })
            .collect::<Vec<_>>()
            .join("\n"),
            "Assemblies" => [
                ("push-rod", "rod length", "One rod from the knob at the board's edge to the tie bar"),
                ("pull-knob", "1", "A knob to pull and push"),
            ]
            .iter()
            .map(|(kind, amount, why)| {
                columns(
                    sheet,
                    &text,
                    &[("scheme", "rod-tube"), ("per", "drive"), ("kind", kind), ("amount", amount), ("why", why)],
                )
            })
            .collect::<Vec<_>>()
            .join("\n"),
            other => ROWS.iter().find(|(sheet, _)| *sheet == other).map(|(_, rows)| (*rows).to_owned()).unwrap_or_default(),
        };
        text.push_str(&more);
        ((*name).to_owned(), text)
    });
    tables.collect()
}

#[test]
fn a_rod_in_a_tube_goes_through_every_verb() {
    // The example fixes one drive to a servo; here all are worked by hand.
    let layout = include_str!("../../examples/saltmarsh-harbour.yaml");
    let free: Vec<&str> = layout.lines().filter(|line| !line.trim_start().starts_with("scheme: servo-made")).collect();
    let mut desk = Desk::new().file("layout.yaml", free.join("\n"));
    for (name, text) in with_rod_in_tube() {
        desk = desk.file(&format!("book/{name}"), text);
    }
    let run = |args: &[&str]| {
        let mut all = args.to_vec();
        all.extend(["layout.yaml", "--catalogue", "book", "--width", "120"]);
        desk.run(&all).report(0)
    };

    let compared = run(&["compare"]);
    assert!(compared.contains("Rod in a tube"), "{compared}");
    for verb in ["bill", "shop", "wiring", "power", "hours", "check"] {
        let report = run(&[verb, "--scheme", "rod-tube"]);
        assert!(report.contains("Rod in a tube"), "{verb}: {report}");
    }

    let bill = run(&["bill", "--scheme", "rod-tube"]);
    assert!(bill.contains("Steel rod in a plastic tube, 2 m") && bill.contains("Brass knob, 6 mm"), "{bill}");
    assert!(!bill.contains("Micro servo"), "nothing is motorised: {bill}");
    let why = run(&["bill", "--scheme", "rod-tube", "--why", "pull-knob"]);
    assert!(why.contains("A knob to pull and push") && why.contains("Assemblies › A"), "{why}");
    let hours = run(&["hours", "--scheme", "rod-tube"]);
    assert!(hours.contains("Lay the tube and set the stroke of the rod"), "{hours}");
}
