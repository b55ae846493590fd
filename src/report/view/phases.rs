//! Board by board: an order for each, and what that costs against ordering at once.

use super::beside::left_over;
use super::cutting::cutting_of;
use super::orders::{OrderOf, Orders, all_orders};
use super::plan::{Plan, Show};
use super::words::and;
use crate::buying::{Fresh, Proof};
use crate::money::Money;
use crate::phases::{Phase, Phases};
use crate::report::{Block, Cell, ColumnHead, Document, Prose, Row, Section, Table, prose};
use crate::takeoff::Subject;

/// The orders of all phases, and what they cost together.
pub fn phases(plan: &Plan, phases: &Phases, fresh: Option<Fresh>) -> Document {
    let mut sections = vec![total(plan, phases)];
    for (at, phase) in phases.phases.iter().enumerate() {
        let name = format!("Phase {}, {}", at + 1, plan.layout.board(phase.board).name);
        let heading = format!("{name}: order from ");
        let (catalogue, heading) = (plan.catalogue, &*heading);
        let orders = Orders { catalogue, purchase: &phase.purchase, reels: &phase.reels, heading, fresh, on_paper: false };
        sections.extend(orders.sections());
        sections.extend(cutting_of(&Plan { catalogue: &phase.shelf, ..*plan }, &phase.reels, &format!("{name}: cutting list")));
    }
    let is_proven = phases.phases.iter().all(|phase| phase.purchase.proof == Proof::Whole);
    sections.extend(left_over(plan.catalogue, &phases.left_over, is_proven));
    sections.push(orders(plan, phases));
    sections.extend(plan.elsewhere());
    plan.document("shop", "orders board by board", sections, Show::ForOrder)
}

/// All orders of all phases.
fn orders(plan: &Plan, phases: &Phases) -> Section {
    let numbered = phases.phases.iter().enumerate();
    let parcels = numbered.flat_map(|(at, phase)| phase.purchase.parcels.iter().map(move |parcel| (at + 1, parcel)));
    let orders: Vec<OrderOf> = parcels
        .map(|(phase, parcel)| OrderOf {
            parcel,
            name: format!("Phase {phase}: {}", plan.catalogue.supplier(parcel.supplier).title),
        })
        .collect();
    Section::new("total", "All orders", [Block::Table(all_orders(&orders, plan.catalogue.rates.home))])
}

/// What of a phase's order is for each device that is motorised already.
fn already_there<'a>(plan: &'a Plan, at: usize, phase: &'a Phase) -> impl Iterator<Item = Prose> + 'a {
    plan.layout.devices.iter().filter(|device| device.owned).filter_map(move |device| {
        let is_its = |subject: Subject| match subject {
            Subject::Drive(drive) => device.drives.contains(&drive),
            Subject::Lever(lever) | Subject::Lamp(lever, _) => {
                plan.layout.lever(lever).drives.iter().any(|drive| device.drives.contains(drive))
            }
            Subject::Aspect(id, _) | Subject::Signal(id) => plan.layout.devices.get(id.index()) == Some(device),
            Subject::Frog(frog) => device.frogs.contains(&frog),
            _ => false,
        };
        let needs = phase.takeoff.needs.iter().filter(|need| need.reasons.iter().any(|reason| is_its(reason.subject)));
        let mut kinds: Vec<&str> = needs.map(|need| &*plan.catalogue.kind(need.kind).title).collect();
        kinds.dedup();
        let board = &plan.layout.board(phase.board).name;
        (!kinds.is_empty()).then(|| prose![format!("Phase {}, {board}: {} takes {}.", at + 1, device.name, and(&kinds))])
    })
}

fn total(plan: &Plan, phases: &Phases) -> Section {
    let rows = phases.phases.iter().enumerate().map(|(at, phase)| {
        Row::of([
            Cell::from(at + 1),
            (&*plan.layout.board(phase.board).name).into(),
            phase.purchase.parcels.len().into(),
            phase.purchase.postage.into(),
            phase.purchase.total.into(),
        ])
    });
    let table = Table::new(
        "phases",
        "",
        [
            ColumnHead::number("phase", "Phase"),
            ColumnHead::words("board", "Board"),
            ColumnHead::number("parcels", "Orders"),
            ColumnHead::number("postage", "Postage"),
            ColumnHead::number("total", "To pay"),
        ],
    )
    .rows(rows)
    .rows([
        Row::total([Cell::Missing, "All phases".into(), Cell::Missing, Cell::Missing, phases.total.into()]).named("total"),
        Row::total([Cell::Missing, "All at once".into(), Cell::Missing, Cell::Missing, phases.at_once.into()]).named("at_once"),
        Row::total([
            Cell::Missing,
            "More for phases".into(),
            Cell::Missing,
            Cell::Missing,
            (phases.total - phases.at_once).into(),
        ])
        .named("more"),
    ])
    .note("What is left of packs, and what is left of wire and sticks, serves the next phases: keep it by, with its length.");
    let how = prose![
        "Boards are built in the order of the layout file, each with its levers. The first phase brings what serves the whole layout, \
         and every phase the joints and wires between its board and the panel. What serves the panel or a board as a whole, such as an \
         encoder or a panel plate, is bought with the first phase that needs it, as large as the whole plan needs it, so that no second \
         one must follow."
    ];
    let mut blocks = vec![Block::Table(table), Block::Text(how)];
    let yours: Vec<Prose> = phases.phases.iter().enumerate().flat_map(|(at, phase)| already_there(plan, at, phase)).collect();
    if !yours.is_empty() {
        blocks.push(Block::text("What you have motorised already gets no motor, and still takes of these orders:"));
        blocks.push(Block::List(yours));
    }
    if phases.phases.iter().any(|phase| matches!(phase.purchase.proof, Proof::Stopped(_))) {
        let gap = Money::total(phases.phases.iter().map(|phase| phase.purchase.gap()), plan.catalogue.rates.home);
        blocks.push(Block::Text(prose![
            "Not every search came to its end: all phases together might cost up to ",
            gap,
            " less. With `--patience 20` each is searched for up to 20 seconds."
        ]));
    }
    Section::new("phases", "Board by board", blocks)
}
