//! The shipped examples go through every verb with the starter catalogue, and what is printed of the harbour is as a person has read it.

use crate::program::Desk;

const VERBS: [&str; 7] = ["compare", "bill", "shop", "wiring", "power", "hours", "check"];

#[test]
fn every_verb_of_the_harbour_is_what_it_was() {
    let desk = Desk::new().file("saltmarsh-harbour.yaml", include_str!("../../examples/saltmarsh-harbour.yaml"));
    for verb in VERBS {
        let report = desk.run(&[verb, "saltmarsh-harbour.yaml", "--width", "100"]).report(0);
        insta::assert_snapshot!(format!("harbour_{verb}"), report);
    }
}

#[test]
fn the_harbour_in_markdown_and_csv_is_what_it_was() {
    let desk = Desk::new().file("saltmarsh-harbour.yaml", include_str!("../../examples/saltmarsh-harbour.yaml"));
    for verb in ["compare", "shop", "power"] {
        for form in ["markdown", "csv"] {
            let report = desk.run(&[verb, "saltmarsh-harbour.yaml", "--format", form]).report(0);
            insta::assert_snapshot!(format!("harbour_{verb}_{form}"), report);
        }
    }
}

#[test]
fn the_club_s_exhibition_layout_goes_through_every_verb() {
    let desk = Desk::new().file("brindlewold-exhibition.yaml", include_str!("../../examples/brindlewold-exhibition.yaml"));
    for verb in VERBS {
        let ran = desk.run(&[verb, "brindlewold-exhibition.yaml", "--format", "json"]);
        assert!(matches!(ran.code, Some(0 | 1)), "{verb}: {}", ran.stderr);
        let report: serde_json::Value = serde_json::from_str(&ran.stdout).unwrap();
        assert_eq!(report["verb"], *verb);
    }
}

#[test]
fn json_of_every_verb_reads_back_to_the_same_report() {
    let desk = Desk::new().file("saltmarsh-harbour.yaml", include_str!("../../examples/saltmarsh-harbour.yaml"));
    for verb in VERBS {
        let written = desk.run(&[verb, "saltmarsh-harbour.yaml", "--format", "json"]).report(0);
        assert_eq!(underboard::report::rewritten(&written).unwrap(), written, "{verb}");
    }
}

/// Every wire of the schedule is bought: its length is a piece of some need, under every scheme that is offered.
#[test]
fn every_run_of_the_harbour_is_cut_from_something_bought() {
    use underboard::buying::Choices;
    use underboard::catalogue::from_starter;
    use underboard::estimate::estimate;
    use underboard::scheme::assign;

    let catalogue = from_starter().unwrap();
    let layout = crate::support::layout(include_str!("../../examples/saltmarsh-harbour.yaml"), &catalogue);
    for &scheme in &layout.rules.schemes.value {
        let plan = estimate(&layout, &catalogue, assign(&layout, &catalogue, scheme), &Choices::default());
        let mut pieces: Vec<_> = plan.takeoff.needs.iter().flat_map(underboard::takeoff::Need::pieces).collect();
        for run in &plan.wiring.runs {
            // An owned device is wired already.
            let owned = match run.subject {
                underboard::takeoff::Subject::Drive(drive) => layout.device_of(drive).owned,
                underboard::takeoff::Subject::Frog(frog) => layout.device(layout.frog(frog).device).owned,
                _ => false,
            };
            if owned {
                continue;
            }
            let at = pieces.iter().position(|&(length, subject)| length == run.length && subject == run.subject);
            let at =
                at.unwrap_or_else(|| panic!("{}: no piece for {} of {}", catalogue.scheme(scheme).name, run.label, run.length));
            pieces.swap_remove(at);
        }
    }
}
