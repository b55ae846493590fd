//! The chapters that are tables of other views, with room to tick.

use std::collections::BTreeMap;

use super::{of, under, with_fill};
use crate::catalogue::Role;
use crate::finding::Weight;
use crate::report::picture::{Drawing, Picture, Stick};
use crate::report::view::cutting::{LEFT_OVER, cutting as cutting_list};
use crate::report::view::defaults::{Told, defaults, file_name};
use crate::report::view::laying::{colours, labels};
use crate::report::view::orders::Orders;
use crate::report::view::plan::{Plan, Show};
use crate::report::view::rods::rods;
use crate::report::view::shop::{orders, stock};
use crate::report::view::wiring as wires;
use crate::report::view::words::{by_kind, pairs};
use crate::report::view::{bill as bill_view, check, strips, why};
use crate::report::{Block, Cell, ColumnHead, Fill, Prose, Row, Section, Table};

/// The figures of the plan that one looks for first.
pub(super) fn figures(plan: &Plan) -> Table {
    let estimate = plan.estimate;
    let least = |owned: bool| {
        let checks = || estimate.supplies.iter().filter(move |check| check.is_owned == owned);
        if checks().any(|check| !check.carries) {
            return Some(Cell::from("too small"));
        }
        let headroom = checks().map(crate::power::SupplyCheck::headroom);
        headroom.min_by(|a, b| a.0.total_cmp(&b.0)).map(Cell::from)
    };
    let headroom = [
        ("headroom_owned", "Least headroom of the supplies you have", least(true)),
        ("headroom", "Least headroom of the supplies to buy", least(false)),
    ];
    let headroom = headroom.into_iter().filter_map(|(id, what, least)| Some((id, what, least?)));
    pairs(
        "figures",
        "In short",
        [
            ("total", "Money now, with postage", estimate.purchase.total.into()),
            ("orders", "Orders to place", estimate.purchase.parcels.len().into()),
            ("hours", "Hours, likely", Cell::hours(estimate.hours.mean)),
            ("hours_at_80", "Hours, enough in 4 builds of 5", Cell::hours(estimate.hours.at_80)),
            ("drives", "Drives", plan.layout.drives.len().into()),
            ("levers", "Levers", plan.layout.levers.len().into()),
            ("conductors", "Conductors over all joints", estimate.wiring.conductors().into()),
            ("plugs", "Plugs at each set-up", estimate.wiring.plugs().into()),
        ]
        .into_iter()
        .chain(headroom),
    )
}

/// What to look at before anything is bought: each doubt in a sentence, since a plan that can be built may still be doubtful.
pub(super) fn doubted(plan: &Plan) -> Vec<Block> {
    let doubts =
        plan.findings(Show::All).into_iter().filter(|finding| matches!(finding.weight, Weight::Shortfall | Weight::Doubt));
    let doubts: Vec<Prose> = doubts.map(|finding| finding.what.into()).collect();
    if doubts.is_empty() {
        return Vec::new();
    }
    let first = if plan.estimate.can_be_built() { "It can be built, but look at this" } else { "Look at this" };
    vec![Block::text(format!("{first} before you buy; what mends it stands in the chapter Work safely:")), Block::List(doubts)]
}

/// Cautions first, then all else there is to know.
pub(super) fn safety(plan: &Plan) -> Vec<Section> {
    let (cautions, others): (Vec<_>, Vec<_>) =
        plan.findings(Show::All).into_iter().partition(|finding| finding.weight == Weight::Caution);
    let first = "Read this before you begin. Local codes and licensed practice come before anything printed here.";
    let mut sections = vec![Section::new("safety", "Work safely", [Block::text(first), Block::Findings(cautions)]).chapter()];
    sections.extend(way_round(plan));
    if !others.is_empty() {
        sections.push(Section::new("findings", "What to know of this plan", [Block::Findings(others)]));
    }
    sections
}

/// Where the small parts go that can be put in the wrong way round.
fn way_round(plan: &Plan) -> Option<Section> {
    let needs = &plan.estimate.takeoff.needs;
    let rows = needs.chunk_by(|a, b| a.kind == b.kind).filter_map(|needs| {
        let kind = plan.catalogue.kind(needs.first()?.kind);
        Some(Row::of([Cell::from(&kind.title), Cell::from(kind.way_round.as_ref()?)]))
    });
    let table = Table::new(
        "way_round",
        "",
        [ColumnHead::words("part", "Part"), ColumnHead::words("how", "Where, which way round, and what it joins")],
    )
    .rows(rows);
    (!table.rows.is_empty()).then(|| Section::new("way_round", "Which way round", [Block::Table(table)]))
}

/// What to order, with boxes to tick.
pub(super) fn shopping(plan: &Plan) -> Vec<Section> {
    let orders = Orders { on_paper: true, ..orders(plan, None) };
    let mut sections: Vec<Section> =
        orders.sections().chain([orders.total()]).chain(plan.elsewhere()).chain(stock(plan)).collect();
    for section in sections.iter_mut().filter(|section| section.id != "total") {
        for block in &mut section.blocks {
            if let Block::Table(table) = block {
                *table = with_fill(table.clone(), "got", "Got", Fill::Tick, true);
            }
        }
    }
    let how = "One list for each supplier. Tick a line when the parts have come.";
    under(Section::new("shopping", "Shopping list", [Block::text(how)]), sections)
}

/// Each stick with its pieces, to scale, and the list.
pub(super) fn cutting(plan: &Plan) -> Vec<Section> {
    let mut sections = Vec::from_iter(cutting_list(plan));
    for section in &mut sections {
        for block in &mut section.blocks {
            if let Block::Table(table) = block {
                *table = with_fill(table.clone(), "cut", "Cut", Fill::Tick, true);
                // What is left over is not cut.
                for row in table.rows.iter_mut().filter(|row| row.cells.last() == Some(&Cell::from(LEFT_OVER))) {
                    if let Some(tick) = row.cells.first_mut() {
                        *tick = "".into();
                    }
                }
            }
        }
        "Cutting, piece by piece".clone_into(&mut section.heading);
    }
    let mut blocks = vec![Block::text(
        "Sticks to scale, in the order to cut. Wire and cable are cut from reels; their pieces stand in the list.",
    )];
    blocks.extend(sticks(plan).into_iter().map(Block::Picture));
    under(Section::new("sticks", "Cutting list", blocks), sections)
}

/// So many sticks fit a page.
const STICKS: usize = 14;

/// Sticks that are cut alike are drawn once.
fn sticks(plan: &Plan) -> Vec<Picture> {
    let mut by_part: BTreeMap<_, Vec<Stick>> = BTreeMap::new();
    let mut numbers: BTreeMap<_, usize> = BTreeMap::new();
    for reel in &plan.estimate.reels {
        let key = by_kind(plan.catalogue, reel.part);
        let number = numbers.entry(key).or_default();
        *number += 1;
        let role = plan.catalogue.kind(plan.catalogue.part(reel.part).kind).role;
        if matches!(role, Role::Wire | Role::Link) {
            continue;
        }
        let pieces = reel.pieces.chunk_by(|a, b| a.piece.length == b.piece.length);
        let pieces = pieces.filter_map(|like| Some((like.len(), like.first()?.piece.length))).collect();
        let label = format!("No. {number}");
        let stick = Stick { label, count: 1, length: reel.stock, pieces, left: reel.left };
        let sticks = by_part.entry(key).or_default();
        match sticks.last_mut() {
            Some(last) if (&last.pieces, last.length, last.left) == (&stick.pieces, stick.length, stick.left) => {
                last.count += 1;
                last.label = format!("No. {} to {number}, {} alike", *number + 1 - last.count, last.count);
            }
            _ => sticks.push(stick),
        }
    }
    let on_pages = by_part.iter().flat_map(|((.., part), sticks)| sticks.chunks(STICKS).map(move |sticks| (*part, sticks)));
    let pictures = on_pages.map(|(part, sticks)| {
        let title = &plan.catalogue.part(part).title;
        Picture {
            id: "sticks",
            title: title.clone(),
            about: "Each stick with its pieces in the order cut, to one scale; what is left over is hatched. The table below has the figures.".to_owned(),
            drawing: Drawing::Sticks(sticks.to_vec()),
        }
    });
    pictures.collect()
}

/// The bill, then for each kind the rules that ask for it.
pub(super) fn bill(plan: &Plan) -> Vec<Section> {
    let mut sections = vec![bill_view::parts(plan)];
    sections.extend(plan.elsewhere());
    let needs = &plan.estimate.takeoff.needs;
    let mut reasons = Table::new(
        "reasons",
        "",
        [
            ColumnHead::words("kind", "What"),
            ColumnHead::words("rule", "Rule"),
            ColumnHead::words("why", "Why"),
            ColumnHead::number("amount", "Comes to"),
        ],
    )
    .note("The rules are rows of the catalogue. Spares come on top.");
    for needs in needs.chunk_by(|a, b| a.kind == b.kind) {
        let needs: Vec<_> = needs.iter().collect();
        let Some(first) = needs.first() else { continue };
        let title = &plan.catalogue.kind(first.kind).title;
        reasons.rows.extend(why::rules(plan, &needs).rows.into_iter().map(|row| {
            // The place in the workbook is of no use on paper.
            let cells = row.cells.into_iter().skip(1);
            Row::of(std::iter::once(Cell::from(title)).chain(cells).collect::<Vec<_>>())
        }));
    }
    sections.push(Section::new("reasons", "Why these parts", [Block::Table(reasons)]));
    under(
        Section::new("parts", "Bill of parts", [Block::text("Every part of the plan, and the rules by which it is counted.")]),
        sections,
    )
}

/// What parts at the joints, pin by pin for both halves, and what serves everywhere.
pub(super) fn wiring(plan: &Plan) -> Vec<Section> {
    let (mut pins, mut tails) = (wires::pins(plan), strips::tails(plan));
    for block in pins.iter_mut().chain(&mut tails).flat_map(|section| &mut section.blocks) {
        if let Block::Table(table) = block {
            let plug = with_fill(table.clone(), "plug_half", "Plug done", Fill::Tick, false);
            *table = with_fill(plug, "socket_half", "Socket done", Fill::Tick, false);
        }
    }
    let sections = [
        Some(wires::joints(plan)),
        pins,
        tails,
        wires::controllers(plan).map(without_channels),
        wires::sizes(plan),
        labels(plan),
        colours(plan),
        wires::totals(plan),
    ];
    let how = "What serves more than one board. The wires of each board stand with the board.";
    under(Section::new("joints_and_wires", "Joints and wiring", [Block::text(how)]), sections.into_iter().flatten().collect())
}

/// The controllers alone: the channels of each stand with its board.
fn without_channels(mut controllers: Section) -> Section {
    controllers.blocks.truncate(1);
    controllers.blocks.push(Block::text("The channels of each stand in the chapter of its board."));
    controllers
}

/// Defaults, doubts, how old the prices are.
pub(super) fn doubts(plan: &Plan) -> Vec<Section> {
    let mut blocks = vec![Block::text(format!(
        "Made from {} and the catalogue {}. Measure again before you cut: this reads the plan, not the layout.",
        file_name(&plan.layout.file),
        file_name(&plan.catalogue.book)
    ))];
    blocks.extend(plan.catalogue.notice.iter().map(|notice| Block::text(notice.clone())));
    blocks.push(Block::Table(prices(plan)));
    let mut sections = of(check(plan), &["read", "notices"]);
    for block in sections.iter_mut().flat_map(|section| &mut section.blocks) {
        if let Block::Table(table) = block {
            table.title = match table.id {
                "layout" => "Layout".to_owned(),
                "catalogue" => "Catalogue".to_owned(),
                _ => continue,
            };
        }
    }
    sections.extend(rods(plan));
    sections.extend(defaults(plan.layout, Told::OnPaper));
    under(Section::new("doubts", "Defaults and doubts", blocks), sections)
}

/// When the prices of each order were checked.
fn prices(plan: &Plan) -> Table {
    let rows = plan.estimate.purchase.parcels.iter().map(|parcel| {
        let dates = parcel.lines.iter().filter_map(|line| plan.catalogue.offer(line.offer).checked_on);
        let undated = parcel.lines.iter().filter(|line| plan.catalogue.offer(line.offer).checked_on.is_none()).count();
        Row::of([
            Cell::from(&plan.catalogue.supplier(parcel.supplier).title),
            dates.clone().min().map(|day| day.to_string()).into(),
            dates.max().map(|day| day.to_string()).into(),
            undated.into(),
        ])
    });
    Table::new(
        "prices",
        "How old the prices are",
        [
            ColumnHead::words("supplier", "Supplier"),
            ColumnHead::words("oldest", "Oldest checked on"),
            ColumnHead::words("newest", "Newest checked on"),
            ColumnHead::number("undated", "Lines without a date"),
        ],
    )
    .rows(rows)
}
