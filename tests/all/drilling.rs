//! What is drilled: every drive has a template, and every hole its drill on the bill.

use underboard::catalogue::{Attr, Role, from_starter};
use underboard::layout::read;
use underboard::mechanics::{Drilling, drillings};
use underboard::quantity::Length;

use crate::electrics::by;

const EXAMPLES: [&str; 2] =
    [include_str!("../../examples/saltmarsh-harbour.yaml"), include_str!("../../examples/brindlewold-exhibition.yaml")];

#[test]
fn every_hole_has_its_drill_and_every_new_drive_its_template() {
    let catalogue = from_starter().unwrap();
    for text in EXAMPLES {
        let layout = read("example.yaml", text, &catalogue).unwrap();
        for scheme in ["solenoid", "servo-made", "servo-ready", "stall-motor"] {
            let plan = by(scheme, &layout, &catalogue);
            let drilled = drillings(&layout, &catalogue, &plan.takeoff, &plan.purchase, &plan.rods);
            let is_drill = |kind| &*catalogue.kind(kind).name == "drill-bit";
            let parts = plan.purchase.uses.iter().map(|used| catalogue.part(used.part)).filter(|part| is_drill(part.kind));
            let drills: Vec<Length> =
                parts.map(|part| Length::try_from(part.measured(Attr::Diameter).unwrap()).unwrap()).collect();
            for hole in drilled.iter().flat_map(Drilling::holes) {
                assert!(drills.contains(&hole), "{scheme}: no drill of {hole} among {drills:?}");
            }
            let of = |drive| drilled.iter().filter(|drilling| drilling.drives.contains(&drive)).count();
            for drive in layout.drive_ids().filter(|&drive| !layout.device_of(drive).owned) {
                assert_eq!(of(drive), 1, "{scheme}: {}", layout.drive(drive).name);
            }
            let made = drilled.iter().filter_map(|drilling| drilling.bracket.as_ref());
            assert!(made.clone().count() > 0 || scheme != "servo-made");
            assert!(made.clone().all(|bracket| bracket.lugs.is_some() && bracket.width.is_some()));
            let screws = drilled.iter().filter_map(|drilling| drilling.screws);
            assert!(screws.clone().all(|screws| screws.depth < screws.length && screws.pilot < screws.diameter));
            let rods = plan.takeoff.needs.iter().filter(|need| catalogue.kind(need.kind).role == Role::Rod);
            assert!(rods.count() > 0, "{scheme}");
        }
    }
}
