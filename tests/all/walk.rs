//! The wiring walked wire by wire, as an electrician would with a meter: every load is joined to both poles of its own feed when its lever or its
//! blades stand so, and apart from them when they do not; plus and minus never meet; every terminal that wants a wire has one.
//!
//! The walk knows nothing of how the wires were planned: it goes by the schedule, the strips and the short wires alone, and by what each thing joins
//! inside (a changeover its common tag to one of the others; common practice, no source).

mod graph;

use std::collections::BTreeSet;

use proptest::prelude::*;
use underboard::buying::Choices;
use underboard::catalogue::{Catalogue, Role};
use underboard::estimate::estimate;
use underboard::id::{ControllerId, DeviceId, DriveId, FrogId, LeverId, PartId};
use underboard::layout::{Lamps, Layout};
use underboard::power::{branches, demand};
use underboard::scheme::{Action, Assignment, Connection, assign};
use underboard::takeoff::Site;
use underboard::wiring::{
    Clamp, Encoder, End, Input, Jumper, LampLead, LatchTag, Port, Strip, Switch, Tag, Tap, Wiring, jumpers, lamps_of, plan,
};

use self::graph::{Graph, Point};
use crate::electrics::catalogue;
use crate::support::layout;
use crate::wiring::shapes;

/// What is walked.
struct Bench<'a> {
    layout: &'a Layout,
    catalogue: &'a Catalogue,
    assignment: &'a Assignment,
    wiring: &'a Wiring,
    strips: &'a [Strip],
    jumpers: &'a [Jumper],
}

/// How levers, blades and selectors stand: the levers and drives that are reversed, and the position of each selector.
#[derive(Debug, Clone, Default)]
struct Stand {
    levers: BTreeSet<LeverId>,
    drives: BTreeSet<DriveId>,
    position: u32,
}

impl Bench<'_> {
    fn levers(&self) -> impl Iterator<Item = LeverId> {
        (0..self.layout.levers.len()).map(LeverId::at)
    }

    /// A lever's switch for the family of a drive, as it is named in the schedule.
    fn family_in_name(&self, lever: LeverId, drive: DriveId) -> Option<underboard::id::SchemeId> {
        let family = |drive: DriveId| self.assignment.of(drive).map(|scheme| self.catalogue.family(scheme));
        let others = self.layout.lever(lever).drives.iter().any(|&other| family(other) != family(drive));
        family(drive).filter(|_| others)
    }

    /// Everything as it should be.
    fn check(&self) {
        let stands = [false, true].map(|reversed| Stand {
            levers: self.levers().filter(|_| reversed).collect(),
            drives: self.layout.drive_ids().filter(|_| reversed).collect(),
            position: u32::from(reversed),
        });
        for (reversed, stand) in [false, true].into_iter().zip(&stands) {
            let graph = self.graph(stand);
            Self::apart(&graph);
            self.drives(&graph, reversed);
            self.frogs(&graph, reversed);
            self.lamps(&graph, reversed);
            self.inputs(&graph, reversed);
            self.controllers(&graph);
        }
        self.lights();
        self.half_thrown();
    }

    /// The feed's poles that are joined to a point: fuses of sections, or the discharge unit; sockets, or its minus.
    fn poles(graph: &Graph, from: End, over_common_minus: bool) -> (BTreeSet<End>, BTreeSet<End>) {
        let reached = graph.from(Point::At(from), over_common_minus);
        let ends = reached.iter().filter_map(|point| if let Point::At(end) = *point { Some(end) } else { None });
        let (mut plus, mut minus) = (BTreeSet::new(), BTreeSet::new());
        for end in ends {
            match end {
                End::Fuse(_) | End::Store(Clamp::Plus) => drop(plus.insert(end)),
                End::Socket(_) | End::Store(Clamp::Minus) => drop(minus.insert(end)),
                _ => {}
            }
        }
        (plus, minus)
    }

    fn is_plus(graph: &Graph, end: End) -> Option<End> {
        let (plus, minus) = Self::poles(graph, end, true);
        (plus.len() == 1 && minus.is_empty()).then(|| *plus.first().unwrap())
    }

    /// Whether an end is joined to the minus of the section of a plus.
    fn is_minus_of(graph: &Graph, end: End, plus: End) -> bool {
        let (wrong, minus) = Self::poles(graph, end, true);
        wrong.is_empty()
            && minus.contains(&match plus {
                End::Fuse(source) => End::Socket(source),
                _ => End::Store(Clamp::Minus),
            })
    }

    /// No plus meets a minus, nor another plus.
    fn apart(graph: &Graph) {
        for &point in graph.points() {
            if let Point::At(end @ (End::Fuse(_) | End::Store(Clamp::Plus))) = point {
                assert_eq!(Self::is_plus(graph, end), Some(end), "{end:?} meets another pole");
            }
        }
    }

    fn drives(&self, graph: &Graph, reversed: bool) {
        for drive in self.layout.drive_ids() {
            let Some(scheme) = self.assignment.of(drive) else { continue };
            let name = &self.layout.drive(drive).name;
            let traits = self.catalogue.scheme(scheme);
            match traits.connection {
                Connection::Direct { conductors, shared } if shared > 0 => {
                    assert_eq!(conductors - shared, 2, "the starter's coils are two");
                    for coil in 0..2 {
                        let plus = Self::is_plus(graph, End::Motor(drive, Tag::Coil(coil)));
                        let thrown = (coil == 1) == reversed;
                        assert_eq!(plus.is_some(), thrown, "coil {coil} of {name}, reversed {reversed}");
                        if let Some(plus) = plus {
                            assert!(Self::is_minus_of(graph, End::Motor(drive, Tag::Return), plus), "return of {name}");
                        }
                    }
                }
                Connection::Direct { .. } => {
                    let ends = [0, 1].map(|n| End::Motor(drive, Tag::End(if reversed { 1 - n } else { n })));
                    let plus = Self::is_plus(graph, ends[0]).unwrap_or_else(|| panic!("plus of {name}, reversed {reversed}"));
                    assert!(Self::is_minus_of(graph, ends[1], plus), "minus of {name}, reversed {reversed}");
                }
                Connection::Local { .. } => {
                    let lead = &self.wiring.leads[&drive];
                    let controller = &self.assignment.controllers[lead.controller.index()];
                    assert_eq!(controller.drives[lead.channel as usize - 1], drive);
                }
                Connection::None => {}
            }
        }
    }

    fn frogs(&self, graph: &Graph, reversed: bool) {
        for (index, frog) in self.layout.frogs.iter().enumerate() {
            if self.layout.device(frog.device).owned || self.assignment.of(frog.drive).is_none() {
                continue;
            }
            let id = FrogId::at(index);
            for rail in 0..2 {
                let lies = (rail == 1) == reversed;
                assert_eq!(graph.joined(End::Frog(id), End::Rail(id, rail)), lies, "rail {rail} of frog {}", frog.name);
            }
        }
    }

    /// The lever's lamps, where it has any, and whether contacts of the drives prove them over wires of their own.
    fn lamp_drive(&self, lever: LeverId) -> Option<(DriveId, Lamps, bool)> {
        let lamps = lamps_of(self.layout, self.catalogue, self.assignment, self.layout.lever(lever));
        let &drive = self.layout.lever(lever).drives.first().filter(|_| lamps != Lamps::None)?;
        let scheme = self.catalogue.scheme(self.assignment.of(drive)?);
        Some((drive, lamps, matches!(scheme.connection, Connection::Direct { .. })))
    }

    fn lamps(&self, graph: &Graph, reversed: bool) {
        let mut outputs = BTreeSet::new();
        for lever in self.levers() {
            let Some((drive, lamps, is_direct)) = self.lamp_drive(lever) else { continue };
            let name = &self.layout.lever(lever).name;
            let action = self.catalogue.scheme(self.assignment.of(drive).unwrap()).action;
            for lamp in 0..2 {
                let lead = |lead: LampLead| End::Lamp(lever, lamp, lead);
                if !is_direct {
                    let output = graph.from(Point::At(lead(LampLead::Plus)), true);
                    let output = output.iter().find_map(|point| match point {
                        Point::At(End::Encoder(n, Port::Output(output))) => Some((*n, *output)),
                        _ => None,
                    });
                    let output = output.unwrap_or_else(|| panic!("an output lights lamp {lamp} of {name}"));
                    assert!(outputs.insert(output), "one output for two lamps: {output:?}, lamp {lamp} of {name}");
                    let encoder = output.0;
                    assert!(
                        graph.joined(lead(LampLead::Minus), End::Encoder(encoder, Port::Common)),
                        "minus of a lamp of {name}"
                    );
                    continue;
                }
                let plus = Self::is_plus(graph, lead(LampLead::Plus));
                let lights = plus.is_some_and(|plus| Self::is_minus_of(graph, lead(LampLead::Minus), plus));
                assert_eq!(lights, (lamp == 1) == reversed, "lamp {lamp} of {name}, reversed {reversed}");
                if lamps == Lamps::Commanded && action == Action::Momentary {
                    let coil = Self::is_plus(graph, End::Latch(lever, LatchTag::Coil(lamp)));
                    assert_eq!(coil.is_some(), (lamp == 1) == reversed);
                    assert!(coil.is_none_or(|plus| Self::is_minus_of(graph, End::Latch(lever, LatchTag::Return), plus)));
                }
            }
        }
    }

    /// Each lever of drives with controllers is read by an input of its own, closed one way and open the other.
    fn inputs(&self, graph: &Graph, reversed: bool) {
        let mut taken = BTreeSet::new();
        for lever in self.levers() {
            let drives = self.layout.lever(lever).drives.iter().copied();
            let local = |drive: &DriveId| {
                let scheme = self.assignment.of(*drive).map(|scheme| self.catalogue.scheme(scheme));
                scheme.is_some_and(|scheme| matches!(scheme.connection, Connection::Local { .. }))
            };
            let Some(drive) = drives.into_iter().find(local) else { continue };
            let switch = |tap: Tap| End::Lever(lever, self.family_in_name(lever, drive), Switch::Single(tap));
            let reached = graph.from(Point::At(switch(Tap::Reverse)), true);
            let inputs: Vec<(u32, u32)> = reached
                .iter()
                .filter_map(|point| match point {
                    Point::At(End::Encoder(encoder, Port::Input(input))) => Some((*encoder, *input)),
                    _ => None,
                })
                .collect();
            let name = &self.layout.lever(lever).name;
            if !reversed {
                let [input] = inputs[..] else { panic!("one input reads {name}: {inputs:?}") };
                assert!(taken.insert(input), "{input:?} reads two levers");
            }
            let closed = inputs.iter().any(|&(encoder, _)| reached.contains(&Point::At(End::Encoder(encoder, Port::Common))));
            assert_eq!(closed, reversed, "the input of {name}");
        }
    }

    fn controllers(&self, graph: &Graph) {
        for (index, controller) in self.assignment.controllers.iter().enumerate() {
            let id = End::Controller(ControllerId::at(index));
            let Connection::Local { link, feed, .. } = self.catalogue.scheme(controller.scheme).connection else {
                panic!("a controller")
            };
            assert_eq!((link, feed), (4, 2), "the starter's controllers");
            let reached = |first: u32| -> BTreeSet<End> {
                let reached = graph.from(Point::Port(id, false, first), true).into_iter();
                let ends = reached.filter_map(|point| if let Point::At(end) = point { Some(end) } else { None });
                ends.filter(|end| matches!(end, End::Fuse(_) | End::Socket(_))).collect()
            };
            let plus: Vec<End> = reached(0).into_iter().collect();
            let [End::Fuse(source)] = plus[..] else { panic!("controller {index} hangs on {plus:?}") };
            assert!(reached(1).contains(&End::Socket(source)) && reached(1).iter().all(|end| matches!(end, End::Socket(_))));
            for core in 0..link {
                let joined = graph.from(Point::Port(id, true, core), true);
                let all =
                    self.encoders().into_iter().all(|n| joined.contains(&Point::Port(End::Encoder(n, Port::Link), true, core)));
                assert!(all, "core {core} of the link of {index}");
            }
            for (channel, &drive) in (1..).zip(&controller.drives) {
                let lever = self.layout.drive(drive).lever;
                let lamps = lamps_of(self.layout, self.catalogue, self.assignment, self.layout.lever(lever));
                let first = self.layout.lever(lever).drives.first().and_then(|&first| self.assignment.of(first));
                let is_mine = first.is_some_and(|first| self.catalogue.family(first) == controller.scheme);
                if lamps == Lamps::Proved && is_mine {
                    let contacts = self.jumpers.iter().filter(|jumper| {
                        matches!((jumper.from, jumper.to), (End::Channel(ControllerId(at), of, from), End::Contact(at_drive, _, to))
                            if at as usize == index && of == channel && at_drive == drive && from == to)
                    });
                    assert_eq!(contacts.count(), 3, "the contact that proves {}", self.layout.drive(drive).name);
                }
            }
        }
        for encoder in self.encoders() {
            let plus = Self::is_plus(graph, End::Encoder(encoder, Port::Plus)).expect("an encoder is fed");
            assert!(Self::is_minus_of(graph, End::Encoder(encoder, Port::Minus), plus));
        }
    }

    fn encoders(&self) -> BTreeSet<u32> {
        self.ends().filter_map(|end| if let End::Encoder(n, _) = end { Some(n) } else { None }).collect()
    }

    fn ends(&self) -> impl Iterator<Item = End> {
        let runs = self.wiring.runs.iter().flat_map(|run| [run.from.end, run.to.end]);
        runs.chain(self.jumpers.iter().flat_map(|jumper| [jumper.from, jumper.to]))
    }

    /// Each light burns in its own position, or always, and its current comes home to the section that feeds it without the common minus.
    fn lights(&self) {
        for (index, device) in self.layout.devices.iter().enumerate() {
            let id = DeviceId::at(index);
            for light in 0..device.lights {
                let graph = self.graph(&Stand { position: light, ..Stand::default() });
                let plus = Self::is_plus(&graph, End::Light(id, light));
                let Some(End::Fuse(source)) = plus else { panic!("light {light} of {} hangs on {plus:?}", device.name) };
                let (_, minus) = Self::poles(&graph, End::LightReturn(id), false);
                assert!(
                    minus.contains(&End::Socket(source)),
                    "{} is fed from {source:?} and goes home to {minus:?}",
                    device.name
                );
                if device.drives.is_empty() {
                    let other = self.graph(&Stand { position: light + 1, ..Stand::default() });
                    assert_eq!(Self::is_plus(&other, End::Light(id, light)), None, "{} is switched", device.name);
                }
            }
        }
    }

    /// While one drive of a lever has gone over and another has not, no lamp that is proved by their contacts lights.
    fn half_thrown(&self) {
        for lever in self.levers() {
            let Some((_, Lamps::Proved, true)) = self.lamp_drive(lever) else { continue };
            let proving = underboard::wiring::proves(self.catalogue, self.assignment, self.layout.lever(lever));
            for &moved in proving.iter().filter(|_| proving.len() > 1) {
                let graph = self.graph(&Stand { drives: BTreeSet::from([moved]), ..Stand::default() });
                for lamp in 0..2 {
                    let plus = Self::is_plus(&graph, End::Lamp(lever, lamp, LampLead::Plus)).expect("plus of a proved lamp");
                    let home = Self::is_minus_of(&graph, End::Lamp(lever, lamp, LampLead::Minus), plus);
                    assert!(!home, "lamp {lamp} of {} lights too early", self.layout.lever(lever).name);
                }
            }
        }
    }
}

/// Encoders of three inputs each, so that there are several: which are bought is another matter.
fn encoders(layout: &Layout, catalogue: &Catalogue, assignment: &Assignment) -> Vec<Encoder> {
    let local = |drive: &DriveId| {
        let scheme = assignment.of(*drive).map(|scheme| catalogue.scheme(scheme));
        scheme.is_some_and(|scheme| matches!(scheme.connection, Connection::Local { .. }))
    };
    let levers: Vec<LeverId> =
        (0..layout.levers.len()).map(LeverId::at).filter(|&id| layout.lever(id).drives.iter().any(local)).collect();
    let site = |id: LeverId| {
        if layout.panel.is_some() { Site::Panel } else { Site::Board(layout.lever(id).spot.board) }
    };
    let mut levers = levers;
    levers.sort_by_key(|&id| (site(id), id));
    let groups = levers.chunk_by(|one, other| site(*one) == site(*other)).flat_map(|levers| levers.chunks(3));
    let read = |(number, levers): (u32, &[LeverId])| Encoder {
        number,
        part: PartId(0),
        site: site(levers[0]),
        inputs: (1..)
            .zip(levers)
            .map(|(input, &lever)| Input { lever, encoder: number, input, outputs: vec![2 * input - 1, 2 * input] })
            .collect(),
    };
    (1..).zip(groups).map(read).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn every_load_of_any_layout_is_joined_to_both_poles_of_its_feed(shape in shapes()) {
        let catalogue = crate::wiring::catalogue();
        let layout = layout(&shape.text(), catalogue);
        for &scheme in &layout.rules.schemes.value {
            let assignment = assign(&layout, catalogue, scheme);
            let demands = demand(&layout, catalogue, &assignment);
            let mut wiring = plan(&layout, catalogue, &assignment, &demands);
            wiring.begin_behind(&branches(catalogue, &demands, &wiring), &demands);
            let encoders = encoders(&layout, catalogue, &assignment);
            wiring.read_at(&encoders);
            let jumpers = jumpers(&layout, catalogue, &assignment, &demands, &encoders);
            let strips = wiring.strips(&catalogue.rates);
            Bench { layout: &layout, catalogue, assignment: &assignment, wiring: &wiring, strips: &strips, jumpers: &jumpers }.check();
        }
    }
}

/// The examples as they stand and with their rules changed, under each scheme, with the parts that are bought.
#[test]
fn every_load_of_the_examples_is_joined_to_both_poles_of_its_feed() {
    let catalogue = catalogue();
    for name in ["shelf", "saltmarsh-harbour", "brindlewold-exhibition"] {
        let text = std::fs::read_to_string(format!("{}/examples/{name}.yaml", env!("CARGO_MANIFEST_DIR"))).unwrap();
        for rule in ["", "  sections: 3\n", "  lamps: proved\n"] {
            if name.starts_with("brindlewold") && rule.contains("lamps") {
                continue;
            }
            if rule.contains("lamps") && text.contains("  lamps:") {
                continue;
            }
            let text = text.replacen("\nrules:\n", &format!("\nrules:\n{rule}"), 1);
            let layout = layout(&text, &catalogue);
            for scheme in ["solenoid", "servo-made", "stall-motor"] {
                let assignment = assign(&layout, &catalogue, catalogue.scheme_named(scheme).unwrap());
                let plan = estimate(&layout, &catalogue, assignment, &Choices::default());
                let (wiring, assignment) = (&plan.wiring, &plan.assignment);
                let bench = Bench {
                    layout: &layout,
                    catalogue: &catalogue,
                    assignment,
                    wiring,
                    strips: &plan.strips,
                    jumpers: &plan.jumpers,
                };
                bench.check();
                let bought = |role: Role| -> u32 {
                    let uses = plan.purchase.uses.iter();
                    uses.filter(|used| catalogue.kind(catalogue.part(used.part).kind).role == role).map(|used| used.count).sum()
                };
                let walked = bench.encoders();
                assert_eq!(walked.len(), bought(Role::Encoder) as usize, "every encoder that is bought is wired");
                assert_eq!(walked.len(), plan.encoders.len());
            }
        }
    }
}
