//! Rods that yield, drives that do not reach or fit, screws that come through.

use underboard::catalogue::{Asked, Attr, Catalogue, Role, Value};
use underboard::estimate::Estimate;
use underboard::quantity::{Dimension, Length, Quantity};

use super::{followed, row_of};
use crate::electrics::{by, catalogue, found};

#[test]
fn a_rod_too_soft() {
    let mut catalogue = catalogue();
    let rods: Vec<bool> = catalogue.rules.iter().map(|rule| catalogue.kind(rule.kind).role == Role::Rod).collect();
    let thin = Value::Measured(Quantity::new(Dimension::Length, rust_decimal::Decimal::new(8, 1)));
    for (rule, _) in catalogue.rules.iter_mut().zip(rods).filter(|(_, is_rod)| *is_rod) {
        for (_, asked) in rule.asks.iter_mut().filter(|(attr, _)| *attr == Attr::Diameter) {
            *asked = Asked::Value(thin.clone());
        }
    }
    let layout = row_of(&catalogue, 2, ", top: 75 mm", "scale: H0");
    let plan = by("servo-made", &layout, &catalogue);
    // By hand, in newtons and millimetres: E I = 203400 π 0.8⁴ ÷ 64; the tip yields F a² (a + b) ÷ 3 E I under 0.3 N, with 6 mm of track bed and
    // sleepers above the top; the drive goes b ÷ a of it.
    let rigidity = 203_400.0 * std::f64::consts::PI * 0.8_f64.powi(4) / 64.0;
    let bend = 0.3 * 81.0_f64.powi(2) * 111.0 / 3.0 / rigidity;
    let [rod] = plan.rods.as_slice() else { panic!("one sort") };
    assert!((rod.bend.unwrap().mm() - bend).abs() < 0.01, "{:?} is not {bend}", rod.bend);
    let travel = (1.6 + 2.0 * bend) * 30.0 / 81.0;
    assert!(
        (rod.pressing_drive.unwrap().mm() - travel).abs() < 0.02 && travel > 12.0,
        "{:?} is not {travel}",
        rod.pressing_drive
    );
    let mended = followed(&layout, &catalogue, &plan, "rod-too-soft");
    assert_eq!(mended.rods[0].presses(), Some(true));
    assert!(rod.better_top.unwrap() < rod.top, "less rod above the hole yields less");
    advice_passes(&catalogue, &plan, ", top: 75 mm", "rod-too-soft");
}

#[test]
fn a_drive_that_moves_too_little() {
    let mut catalogue = catalogue();
    let servo = catalogue.scheme_named("servo-made").unwrap();
    catalogue.schemes[servo.index()].mechanics.travel = Some(Length::from_mm(5));
    let plan = by("servo-made", &row_of(&catalogue, 1, ", top: 3 mm", "scale: H0"), &catalogue);
    // By hand: 1.6 mm × 30 ÷ (3 + 6) are 5.3 mm.
    assert!(
        found(&plan, "drive-moves-too-little").is_some_and(|finding| finding.what.contains("must move 5.33")),
        "{:?}",
        plan.rods
    );
    assert!(plan.rods[0].better_top.unwrap() > plan.rods[0].top, "more rod above the hole moves the blades further");
    advice_passes(&catalogue, &plan, ", top: 3 mm", "drive-moves-too-little");
}

/// Each mend of a rod that needs no part, followed to the letter, leaves nothing to tell.
fn advice_passes(catalogue: &Catalogue, plan: &Estimate, board: &str, code: &str) {
    let finding = found(plan, code).unwrap();
    let figure = |before: &str, after: &str| {
        let texts = finding.mends.iter().filter_map(|mend| mend.text.split_once(before));
        let text = texts.map(|(_, rest)| rest).next().unwrap_or_else(|| panic!("no `{before}` in {finding:?}"));
        text.split_once(after).unwrap().0.parse::<i64>().unwrap()
    };
    let servo = catalogue.scheme_named("servo-made").unwrap();
    let with = |change: fn(&mut underboard::scheme::Mechanics, Length), mm: i64| {
        let mut changed = catalogue.clone();
        change(&mut changed.schemes[servo.index()].mechanics, Length::from_mm(mm));
        by("servo-made", &row_of(&changed, 1, board, "scale: H0"), &changed)
    };
    let top = format!(", top: {} mm", figure("Write `top: ", " mm"));
    let mended = [
        by("servo-made", &row_of(catalogue, 1, &top, "scale: H0"), catalogue),
        with(|mechanics, arm| mechanics.arm = arm, figure("Write ", " under `arm")),
        with(|mechanics, travel| mechanics.travel = Some(travel), figure("moves ", " mm or more")),
    ];
    for plan in mended {
        assert_eq!(plan.rods[0].presses(), Some(true), "{:?} after {finding:?}", plan.rods[0]);
    }
}

#[test]
fn a_drive_deeper_than_the_frame() {
    let catalogue = catalogue();
    let layout = row_of(&catalogue, 3, ", frame: 50 mm", "");
    let plan = by("stall-motor", &layout, &catalogue);
    followed(&layout, &catalogue, &plan, "deeper-than-the-frame");
    let deepened = row_of(&catalogue, 3, ", frame: 90 mm", "");
    assert!(found(&plan, "deeper-than-the-frame").unwrap().mends[0].text.contains("frame: 90 mm"));
    assert!(found(&by("stall-motor", &deepened, &catalogue), "deeper-than-the-frame").is_none());
}

#[test]
fn a_screw_too_long() {
    let mut catalogue = catalogue();
    let plan = by("servo-made", &row_of(&catalogue, 1, ", top: 6 mm", ""), &catalogue);
    let finding = found(&plan, "screw-too-long").expect("8 mm less 2 mm enter 6 mm");
    assert!(finding.mends.len() >= 2 && finding.mends[0].text.contains("top: 7 mm"), "{finding:?}");
    assert!(found(&by("servo-made", &row_of(&catalogue, 1, ", top: 7 mm", ""), &catalogue), "screw-too-long").is_none());
    // With a screw of 7 mm in the catalogue, that is the advice.
    for part in catalogue.parts.iter_mut().filter(|part| &*part.name == "wood-screw-2.5x10") {
        part.attributes.insert(Attr::Length, Value::Measured(Quantity::new(Dimension::Length, 7.into())));
    }
    let layout = row_of(&catalogue, 1, ", top: 6 mm", "");
    followed(&layout, &catalogue, &by("servo-made", &layout, &catalogue), "screw-too-long");
}
