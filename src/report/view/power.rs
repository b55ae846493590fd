//! Power: what each feed draws, whether the supplies carry it, what to buy, and how to work safely.

use super::discharge::discharges;
use super::plan::{Plan, Show};
use super::timeline::timelines;
use super::words::{and, count_of, table_or};
use crate::catalogue::{Attr, Catalogue, Part, Per, Role, Value};
use crate::estimate::Estimate;
use crate::id::FeedId;
use crate::layout::Waveform;
use crate::power::{Demand, Load};
use crate::quantity::Share;
use crate::report::{Block, Cell, ColumnHead, Document, Prose, Row, Section, Table, prose};

/// The power of a plan.
pub fn power(plan: &Plan) -> Document {
    let demands = &plan.estimate.demands;
    let mut sections = vec![feeds(plan), supplies(plan)];
    sections.extend(demands.iter().map(|demand| loads(plan, demand)));
    sections.extend(lamps(plan));
    sections.extend(far_ends(plan));
    sections.extend(discharges(plan));
    sections.extend(timelines(plan));
    let document = plan.document("power", "power", sections, Show::All);
    // A supply that is bought is on the bill; here the question is whether what is owned carries the plan.
    Document { falls_short: document.falls_short || !plan.estimate.owned_supplies_carry(), ..document }
}

/// A feed in words: `12 V DC`.
fn feed_name(demand: &Demand) -> String {
    format!("{} {}", demand.voltage, demand.waveform.word())
}

fn name_of(plan: &Plan, feed: FeedId) -> String {
    plan.estimate.demands.iter().find(|demand| demand.id == feed).map_or_else(String::new, feed_name)
}

/// What each feed draws.
fn feeds(plan: &Plan) -> Section {
    let rows = plan.estimate.demands.iter().map(|demand| {
        Row::of([
            Cell::from(feed_name(demand)),
            demand.continuous.into(),
            demand.peak.into(),
            demand.start_up.into(),
            demand.fault.into(),
            demand.sections.into(),
            demand.needed_each().into(),
            demand.fuse.into(),
        ])
    });
    let table = Table::new(
        "feeds",
        "",
        [
            ColumnHead::words("feed", "Feed"),
            ColumnHead::number("continuous", "All the time"),
            ColumnHead::number("peak", "At most in use"),
            ColumnHead::number("start_up", "At switch-on"),
            ColumnHead::number("fault", "With one drive blocked"),
            ColumnHead::number("sections", "Supplies"),
            ColumnHead::number("needed_each", "Each must give"),
            ColumnHead::number("fuse", "Fuse of each"),
        ],
    )
    .rows(rows)
    .note("At switch-on all drives that may twitch together are counted together. A feed with several supplies is split into as many equal sections, each with a supply and a fuse of its own; their outputs are never joined.");
    let peaks = plan.estimate.demands.iter().filter(|demand| !demand.peak_of.is_empty());
    let peaks: Vec<Prose> = peaks.map(|demand| prose![format!("{}: {}", feed_name(demand), demand.peak_of)]).collect();
    let mut blocks = vec![table_or(table, "Nothing in this plan draws current.")];
    if !peaks.is_empty() {
        blocks.push(Block::text("What makes the most in use:"));
        blocks.push(Block::List(peaks));
    }
    Section::new("feeds", "What each feed draws", blocks)
}

/// How the supplies stand, and which to buy.
fn supplies(plan: &Plan) -> Section {
    let rows = plan.estimate.supplies.iter().map(|check| {
        Row::of([
            Cell::from(&check.name),
            Cell::from(name_of(plan, check.feed)),
            if check.is_owned { "yours" } else { "to buy" }.into(),
            check.rating.into(),
            check.headroom.into(),
            check.carries.into(),
        ])
    });
    let table = Table::new(
        "supplies",
        "",
        [
            ColumnHead::words("supply", "Supply"),
            ColumnHead::words("feed", "Feed"),
            ColumnHead::words("whose", "Whose"),
            ColumnHead::number("rating", "Gives"),
            ColumnHead::number("headroom", "Left at the most"),
            ColumnHead::words("carries", "Carries it"),
        ],
    )
    .rows(rows)
    .note(format!(
        "A supply carries its feed if two things hold: what it gives reaches the most the feed ever draws, in use or at switch-on, and the load of \
         all the time takes at most {} of it. The second is the converse of a rule for continuous loads in the American NEC, 210.20(A): a sound \
         habit here, not a duty. Where a feed has several supplies, each carries an equal section.",
        Share(1.0 - plan.layout.rules.headroom.value.0)
    ));
    let mut blocks = vec![table_or(table, "No supply is needed, or none can be had; see what is said of missing parts.")];
    let buy = supplies_to_buy(plan.catalogue, plan.estimate);
    if !buy.is_empty() {
        blocks.push(Block::text(format!("To buy: {}.", and(&buy))));
    }
    Section::new("supplies", "Supplies", blocks)
}

/// The supplies to buy, such as `1 x enclosed supply, 12 V DC, 2 A`.
fn supplies_to_buy(catalogue: &Catalogue, estimate: &Estimate) -> Vec<String> {
    to_buy(catalogue, estimate).map(|(count, part)| format!("{count} x {}", part.title)).collect()
}

/// The supplies to buy by what they give, such as `1 x 12 V DC, 2 A`.
pub(super) fn outputs_to_buy(catalogue: &Catalogue, estimate: &Estimate) -> Vec<String> {
    let gives = |part: &Part| {
        let value = |attr| part.attributes.get(&attr);
        match (part.measured(Attr::Voltage), value(Attr::Waveform), part.measured(Attr::Current)) {
            (Some(voltage), Some(Value::Text(waveform)), Some(current)) => {
                format!("{voltage} {waveform}, {current}")
            }
            _ => part.title.clone(),
        }
    };
    to_buy(catalogue, estimate).map(|(count, part)| format!("{count} x {}", gives(part))).collect()
}

fn to_buy<'a>(catalogue: &'a Catalogue, estimate: &'a Estimate) -> impl Iterator<Item = (u32, &'a Part)> {
    let bought = estimate.purchase.uses.iter().filter(|used| used.count > used.from_stock);
    bought
        .map(|used| (used.count - used.from_stock, catalogue.part(used.part)))
        .filter(|(_, part)| catalogue.kind(part.kind).role == Role::Supply)
}

/// What arrives at the worst device of each scheme.
fn far_ends(plan: &Plan) -> Option<Section> {
    let rows = plan.estimate.wiring.far_ends.iter().map(|far| {
        Row::of([
            Cell::from(plan.title(far.scheme)),
            far.worst.name(plan.layout).into(),
            far.fed.into(),
            far.arrives.into(),
            far.lost().into(),
            far.allowed.into(),
            far.is_within().into(),
        ])
    });
    let table = Table::new(
        "far_ends",
        "",
        [
            ColumnHead::words("scheme", "Scheme"),
            ColumnHead::words("worst", "Gets the least"),
            ColumnHead::number("fed", "Fed in"),
            ColumnHead::number("arrives", "Arrives"),
            ColumnHead::number("lost", "Lost"),
            ColumnHead::number("allowed", "May be lost"),
            ColumnHead::words("within", "Good"),
        ],
    )
    .rows(rows)
    .note("Wire takes some of the voltage on its way. Counted with the wire sizes chosen, when the most moves that may.");
    (!table.rows.is_empty()).then(|| Section::new("far_ends", "What reaches the far end", [Block::Table(table)]))
}

/// What draws from a feed, like loads together.
fn loads(plan: &Plan, demand: &Demand) -> Section {
    let mut like: Vec<(&Load, Vec<String>)> = Vec::new();
    for load in &demand.loads {
        let same = |known: &Load| {
            (known.continuous, known.start_up, known.moving, known.blocked)
                == (load.continuous, load.start_up, load.moving, load.blocked)
        };
        let name = load.subject.name(plan.layout);
        match like.iter_mut().find(|(known, _)| same(known)) {
            Some((_, names)) => names.push(name),
            None => like.push((load, vec![name])),
        }
    }
    let rows = like.into_iter().map(|(load, names)| {
        Row::of([
            Cell::from(and(&names)),
            names.len().into(),
            load.continuous.into(),
            load.start_up.into(),
            load.moving.into(),
            load.blocked.into(),
        ])
    });
    let table = Table::new(
        "loads",
        "",
        [
            ColumnHead::words("what", "What"),
            ColumnHead::number("count", "How many"),
            ColumnHead::number("continuous", "All the time"),
            ColumnHead::number("start_up", "At switch-on"),
            ColumnHead::number("moving", "More when moving"),
            ColumnHead::number("blocked", "More when blocked"),
        ],
    )
    .rows(rows)
    .note("The currents are of each.");
    let ratings = match demand.waveform {
        Waveform::Ac => "Alternating current: a transformer's rating in VA divided by its voltage is its current.",
        Waveform::Dc => "Direct current: mind plus and minus.",
    };
    let count = count_of(demand.loads.len(), "load");
    Section::new("loads", format!("On {}: {count}", feed_name(demand)), [Block::Table(table), Block::text(ratings)])
}

/// The resistors of lamps and lights.
fn lamps(plan: &Plan) -> Option<Section> {
    let rows = plan.estimate.lamps.iter().map(|check| {
        Row::of([
            Cell::from(if check.per == Per::Lamp { "panel lamps" } else { "lights of the layout" }),
            check.count.into(),
            check.feed.into(),
            check.takes.into(),
            check.wanted.into(),
            check.resistor.value.into(),
            check.planned.into(),
            check.flows().into(),
            check.heat().into(),
            check.rated.into(),
        ])
    });
    let table = Table::new(
        "lamps",
        "",
        [
            ColumnHead::words("lamps", "Lamps"),
            ColumnHead::number("count", "How many"),
            ColumnHead::number("feed", "Fed with"),
            ColumnHead::number("takes", "Each takes"),
            ColumnHead::number("wanted", "May have"),
            ColumnHead::number("least", "Resistor at least"),
            ColumnHead::number("planned", "On the bill"),
            ColumnHead::number("flows", "Then flows"),
            ColumnHead::number("heat", "Heat in it"),
            ColumnHead::number("rated", "It can shed"),
        ],
    )
    .rows(rows)
    .note(
        "One resistor in series with each lamp takes what the feed has too much. The least is the next value up in the E24 series of IEC 60063. \
         Choose a resistor that can shed twice the heat (common practice): it stays cool to the touch.",
    );
    (!table.rows.is_empty()).then(|| Section::new("lamps", "Lamps and their resistors", [Block::Table(table)]))
}
