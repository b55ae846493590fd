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

/// Every piece of the schedule is bought, those of owned devices too, and nothing beyond it but tails: under every scheme that is offered.
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
        let is_wire = |need: &&underboard::takeoff::Need| {
            matches!(catalogue.kind(need.kind).role, underboard::catalogue::Role::Wire | underboard::catalogue::Role::Link)
        };
        let mut pieces: Vec<_> = plan.takeoff.needs.iter().filter(is_wire).flat_map(underboard::takeoff::Need::pieces).collect();
        for (run, section) in plan.wiring.sections() {
            let at = pieces.iter().position(|&(length, subject)| length == section.length && subject == run.subject);
            let at = at
                .unwrap_or_else(|| panic!("{}: no piece for {} of {}", catalogue.scheme(scheme).name, run.label, section.length));
            pieces.swap_remove(at);
        }
        // What is cut beyond the schedule are the tails at the plugs.
        let tails: u32 = plan.wiring.joints.iter().map(|load| 2 * load.tails()).sum();
        assert!(pieces.iter().all(|(_, subject)| matches!(subject, underboard::takeoff::Subject::Joint(_))));
        assert_eq!(pieces.len(), tails as usize);
    }
}
