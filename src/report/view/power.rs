//! Power: what each feed draws, whether the supplies carry it, what to buy, and how to work safely.

use super::discharge::discharges;
use super::panel::reverses;
use super::plan::{Plan, Show};
use super::supplies::supplies;
use super::timeline::timelines;
use super::words::{and, count_of, table_or};
use crate::catalogue::Per;
use crate::id::FeedId;
use crate::layout::{AtOnce, Layout, SwitchOn, Waveform};
use crate::power::fuse::STEADY;
use crate::power::{Demand, Load, cure, cure_taken};
use crate::quantity::Current;
use crate::report::{Block, Cell, ColumnHead, Document, Prose, Row, Section, Table, prose};
use crate::takeoff::Subject;
use crate::wiring::open_schemes;

/// The power of a plan.
pub fn power(plan: &Plan) -> Document {
    let demands = &plan.estimate.demands;
    let mut parts = vec![feeds(plan)];
    parts.extend(sections(plan));
    parts.push(supplies(plan));
    parts.extend(demands.iter().map(|demand| loads(plan, demand)));
    parts.extend(lamps(plan));
    parts.extend(far_ends(plan));
    parts.extend(discharges(plan));
    parts.extend(timelines(plan));
    let document = plan.document("power", "power", parts, Show::All);
    // A supply that is bought is on the bill; here the question is whether what is owned carries the plan.
    Document { falls_short: document.falls_short || !plan.estimate.owned_supplies_carry(), ..document }
}

pub(super) fn name_of(plan: &Plan, feed: FeedId) -> String {
    plan.estimate.demands.iter().find(|demand| demand.id == feed).map_or_else(String::new, Demand::name)
}

/// What each feed draws.
fn feeds(plan: &Plan) -> Section {
    let rows = plan.estimate.demands.iter().map(|demand| {
        Row::of([
            Cell::from(demand.name()),
            demand.drawn.continuous.into(),
            demand.drawn.peak.into(),
            demand.drawn.start_up.into(),
            demand.drawn.fault.into(),
            demand.sections.len().into(),
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
        ],
    )
    .rows(rows)
    .note(format!("{} With one drive blocked, the others that move with it still do.", most_in_use(plan.layout)));
    let peaks = plan.estimate.demands.iter().filter(|demand| !demand.drawn.peak_of.is_empty());
    let peaks: Vec<Prose> = peaks.map(|demand| prose![format!("{}: {}", demand.name(), demand.drawn.peak_of)]).collect();
    let mut blocks = vec![table_or(table, "Nothing in this plan draws current.")];
    if !peaks.is_empty() {
        blocks.push(Block::text("What makes the most in use:"));
        blocks.push(Block::List(peaks));
    }
    blocks.extend(at_switch_on(plan).map(Block::text));
    Section::new("feeds", "What each feed draws", blocks)
}

/// What the most in use counts, by the rule of what moves at once.
fn most_in_use(layout: &Layout) -> String {
    match layout.rules.at_once.value {
        AtOnce::Routes => "At most in use counts all that one route moves as if it moved at the same moment; second by second, further down, they \
                           follow one another and may draw less."
            .to_owned(),
        AtOnce::Levers(1) => "At most in use counts the one lever that draws most: by the rule `at once: 1 lever` the next is thrown when the one before \
                              has moved."
            .to_owned(),
        AtOnce::Levers(most) => {
            format!("At most in use counts the {most} levers that draw most: by the rule `at once` no more move at the same moment.")
        }
    }
}

/// What holds motors still at switch-on, in the words of the workbook.
pub(super) fn at_switch_on(plan: &Plan) -> Option<String> {
    if plan.layout.rules.switch_on.value != SwitchOn::Held {
        return None;
    }
    let schemes = open_schemes(&plan.estimate.assignment);
    let order = (&plan.estimate.takeoff, &plan.estimate.purchase);
    let (rule, part) = schemes
        .into_iter()
        .find_map(|scheme| Some((cure(plan.catalogue, scheme)?, cure_taken(plan.catalogue, order, scheme)?)))?;
    let (title, why) = (&plan.catalogue.part(part).title, &plan.catalogue.rule(rule).why);
    Some(format!("At switch-on motors are held still by a part on the bill, one for each: {title}. {why}."))
}

/// Whether any feed has several supplies.
pub(super) fn is_divided(plan: &Plan) -> bool {
    plan.estimate.demands.iter().any(|demand| demand.sections.len() > 1)
}

/// Which supply and fuse feed what.
pub(super) fn sections(plan: &Plan) -> Option<Section> {
    let rows = plan.estimate.demands.iter().flat_map(|demand| {
        let several = demand.sections.len() > 1;
        (1_usize..).zip(&demand.sections).map(move |(n, section)| {
            let boards: Vec<String> = section.boards.iter().map(|board| plan.layout.board(*board).name.to_string()).collect();
            Row::of([
                Cell::from(demand.name()),
                n.into(),
                if several { and(&boards) } else { "all that it feeds".to_owned() }.into(),
                section.drawn.continuous.into(),
                section.drawn.most().into(),
                if section.owned.is_some() { section.needed } else { section.asked() }.rounded_up().into(),
                section.fuse.into(),
            ])
        })
    });
    let rates = &plan.catalogue.rates;
    let table = Table::new(
        "sections",
        "",
        [
            ColumnHead::words("feed", "Feed"),
            ColumnHead::number("section", "Supply"),
            ColumnHead::words("boards", "Boards"),
            ColumnHead::number("continuous", "All the time"),
            ColumnHead::number("most", "At most"),
            ColumnHead::number("gives", "Must give"),
            ColumnHead::number("fuse", "Fuse"),
        ],
    )
    .rows(rows)
    .note(format!(
        "The fuse is a rating of IEC 60127 above the most, of which the load of all the time takes {STEADY} at most (the converse of the American NEC, \
         210.20(A)), and the most too where wire and supply allow the larger fuse: one that is loaded fully opens in the end. Use time-lag fuses. \
         Each takes some of the voltage itself: at its rating {} are counted, {} below {}, and less in proportion (`fuse drop` in the sheet Rates).",
        rates.fuse_drop, rates.small_fuse_drop, rates.small_fuse
    ));
    if table.rows.is_empty() {
        return None;
    }
    let mut blocks = vec![Block::Table(table)];
    if is_divided(plan) {
        blocks.push(Block::text(
            "Each of several supplies has its own socket, its own fuse behind it, and its own pair of power wires to its boards; where the wires of \
             one pass the board of another, nothing of that board is joined to them. The plus poles of two supplies are never joined, nor any \
             poles of transformers. The minus poles of supplies of direct current meet in one place, at the sockets: commands over the link need \
             one common return.",
        ));
    }
    Some(Section::new("sections", "Which supply and fuse feed what", blocks))
}

/// How what arrives is reckoned.
const FAR_ENDS: &str = "Wire takes some of the voltage on its way. Counted with the wire sizes chosen, the lead of the supply with its plug, the fuses \
                        and their holders, the pins and tails at every joint, and all else that draws through the same lead, when the most moves that may.";

/// Where a discharge unit stands between.
const BY_DISCHARGE: &str = "Coils that get stored pulses are told with their discharge unit.";

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
    .note(if plan.estimate.discharges.is_empty() { FAR_ENDS.to_owned() } else { format!("{FAR_ENDS} {BY_DISCHARGE}") });
    (!table.rows.is_empty()).then(|| Section::new("far_ends", "What reaches the far end", [Block::Table(table)]))
}

/// What a load is, in words.
fn load_name(plan: &Plan, load: &Load) -> String {
    match load.subject {
        Subject::Panel if load.is_encoder(plan.catalogue) => "encoder at the panel".to_owned(),
        Subject::Panel if load.moving > Current::ZERO => "discharge unit".to_owned(),
        Subject::Board(board) => format!("encoder on board {}", plan.layout.board(board).name),
        other => other.name(plan.layout),
    }
}

/// What draws from a feed, like loads together.
fn loads(plan: &Plan, demand: &Demand) -> Section {
    let mut like: Vec<(&Load, Vec<String>)> = Vec::new();
    for load in &demand.loads {
        let same = |known: &Load| {
            (known.continuous, known.start_up, known.moving, known.blocked)
                == (load.continuous, load.start_up, load.moving, load.blocked)
        };
        let name = load_name(plan, load);
        match like.iter_mut().find(|(known, _)| same(known)) {
            Some((_, names)) => names.push(name),
            None => like.push((load, vec![name])),
        }
    }
    let rows = like.into_iter().map(|(load, mut names)| {
        let count = names.len();
        // Encoders at one place have one name.
        names.dedup();
        Row::of([
            Cell::from(and(&names)),
            count.into(),
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
    let counted = demand.loads.iter().filter(|load| load.is_encoder(plan.catalogue)).count();
    let ordered = plan.estimate.encoders.len();
    let more = (ordered > 0 && counted > ordered).then(|| {
        Block::text(format!(
            "{} counted, the order has {ordered}: counted as they are ordered, the order would come out with more of them. It is the safe side.",
            count_of(counted, "encoder")
        ))
    });
    let blocks = [Block::Table(table), Block::text(ratings)].into_iter().chain(more);
    Section::new("loads", format!("On {}: {count}", demand.name()), blocks.collect::<Vec<_>>())
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
            ColumnHead::number("count", "Resistors"),
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
    let mut blocks = vec![Block::Table(table)];
    if reverses(plan) {
        blocks.push(Block::text(
            "The lamps of a lever that reverses its motor need no contact of their own: join the two beside each other the other way round \
             (antiparallel), with one resistor before both, across the two wires to the motor behind the switch. One lights each way, and keeps \
             the voltage off the other, which must not bear 12 V backwards.",
        ));
    }
    (!plan.estimate.lamps.is_empty()).then(|| Section::new("lamps", "Lamps and their resistors", blocks))
}
