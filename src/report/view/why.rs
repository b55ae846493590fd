//! `bill --why`: how a number of the bill came about, rule by rule and device by device.

use std::collections::BTreeMap;
use std::fmt;

use rust_decimal::Decimal;

use super::plan::{Plan, Show};
use super::words::{and, count_of, each, table_or};
use crate::buying::Line;
use crate::catalogue::{Asked, AssemblyRule, Catalogue, Form, Kind, Role, Word};
use crate::diagnostic::{Code, Diagnostic, Given, Place};
use crate::id::{KindId, NeedId, PartId, RuleId};
use crate::money::Money;
use crate::name::folded;
use crate::quantity::{Dimension, Quantity};
use crate::report::{Block, Cell, ColumnHead, Document, Row, Section, Table};
use crate::takeoff::{Need, Reason, SpareRule, spare_rule};

/// What is asked about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Why {
    /// Every need of these kinds.
    Kinds(Vec<KindId>),
    /// Every need that a part serves.
    Part(PartId),
}

impl Why {
    /// What a word names: a kind or a part by name or title; else all kinds of a role, such as `wire`; else all kinds that have the
    /// word in their name or title. What is nothing as it is written may be a plural.
    ///
    /// # Errors
    /// The catalogue has nothing of that name.
    pub fn find(catalogue: &Catalogue, word: &str) -> Result<Self, Diagnostic> {
        let singular = || folded(word).strip_suffix('s').map(str::to_owned);
        let found = Self::of(catalogue, word).or_else(|| Self::of(catalogue, &singular()?));
        found.ok_or_else(|| {
            let names = catalogue.kinds.iter().map(|kind| &*kind.name).chain(catalogue.parts.iter().map(|part| &*part.name));
            let mut unknown =
                Diagnostic::error(Code::UnknownId, Place::Flag("--why".into()), "the catalogue has no such kind or part")
                    .one_of(word, names);
            unknown.expected = Some("a kind as in the column Kind of `bill`, or a part, by its name or title".to_owned());
            unknown
        })
    }

    /// What a word names, as it is written.
    fn of(catalogue: &Catalogue, word: &str) -> Option<Self> {
        let asked = folded(word);
        let is = |name: &str, title: &str| folded(name) == asked || folded(title) == asked;
        let has = |name: &str| !asked.is_empty() && folded(name).contains(&asked);
        let kinds = |which: &dyn Fn(&Kind) -> bool| {
            let found: Vec<KindId> = (0..catalogue.kinds.len()).map(KindId::at).filter(|&id| which(catalogue.kind(id))).collect();
            (!found.is_empty()).then_some(Self::Kinds(found))
        };
        let part = || catalogue.parts.iter().position(|part| is(&part.name, &part.title)).map(|at| Self::Part(PartId::at(at)));
        kinds(&|kind| is(&kind.name, &kind.title))
            .or_else(part)
            .or_else(|| kinds(&|kind| Some(kind.role) == Role::from_word(word)))
            .or_else(|| kinds(&|kind| has(&kind.name) || has(&kind.title)))
    }
}

/// How the needs asked about came about.
pub fn why(plan: &Plan, asked: &Why) -> Document {
    let title = match asked {
        Why::Kinds(kinds) => and(&kinds.iter().map(|&kind| plan.catalogue.kind(kind).title.as_str()).collect::<Vec<_>>()),
        Why::Part(part) => plan.catalogue.part(*part).title.clone(),
    };
    let uses = &plan.estimate.purchase.uses;
    let concerns = |need: &&Need| match asked {
        Why::Kinds(kinds) => kinds.contains(&need.kind),
        Why::Part(part) => uses.iter().any(|used| used.need == need.id && used.part == *part),
    };
    let needs: Vec<&Need> = plan.estimate.takeoff.needs.iter().filter(concerns).collect();
    let mut sections: Vec<Section> = needs.chunk_by(|a, b| a.kind == b.kind).map(|needs| section(plan, needs)).collect();
    if sections.is_empty() {
        let nothing =
            Block::text("This plan needs none: no rule of the catalogue that asks for it counts anything on this layout.");
        sections.push(Section::new("need", title.clone(), [nothing]));
    }
    plan.document("why", &format!("why {title}"), sections, Show::ForOrder)
}

/// All needs of one kind.
fn section(plan: &Plan, needs: &[&Need]) -> Section {
    let by_rule = rules(plan, needs).rows(spared(plan, needs));
    let mut blocks = vec![Block::Table(by_rule), Block::Table(reasons(plan, needs))];
    blocks.push(table_or(served(plan, needs), "Nothing in the catalogue serves it."));
    let unmet = plan.estimate.purchase.unmet.iter().filter(|unmet| needs.iter().any(|need| need.id == unmet.need));
    blocks.extend(unmet.map(|unmet| Block::text(format!("Not met: {}", unmet.why))));
    let title = match needs {
        [need] => plan.need_title(need),
        [first, ..] => plan.catalogue.kind(first.kind).title.clone(),
        [] => String::new(),
    };
    Section::new("need", title, blocks)
}

/// What a need asks of its parts, and for a capacity where: what tells it from others of its kind.
fn asks(plan: &Plan, need: &Need) -> String {
    let asks: Vec<String> = need.asks.iter().map(ToString::to_string).collect();
    let site = need.site.map(|site| site.name(plan.layout));
    and(&asks.into_iter().chain(site).collect::<Vec<_>>())
}

/// The amount in the unit of its kind.
fn amount(plan: &Plan, need: &Need, amount: Decimal) -> Cell {
    match plan.catalogue.kind(need.kind).form {
        Form::Capacity(attr) => {
            let dimension = attr.dimension().unwrap_or(Dimension::Count);
            Cell::Quantity(Quantity::new(dimension, amount))
        }
        Form::AtLeast | Form::Pieces => Cell::Quantity(Quantity::new(Dimension::Count, amount)),
    }
}

/// The rules that count, each with its place in the workbook and what it comes to.
pub(super) fn rules(plan: &Plan, needs: &[&Need]) -> Table {
    let mut by_rule: BTreeMap<RuleId, Vec<(&Need, &Reason)>> = BTreeMap::new();
    for (need, reason) in needs.iter().flat_map(|need| need.reasons.iter().map(move |reason| (*need, reason))) {
        by_rule.entry(reason.rule).or_default().push((need, reason));
    }
    let rows = by_rule.into_iter().map(|(id, reasons)| {
        let rule = plan.catalogue.rule(id);
        let sum = reasons.iter().fold(Decimal::ZERO, |sum, (_, reason)| sum.saturating_add(reason.amount));
        let comes_to = reasons.first().map_or(Cell::Missing, |(need, _)| amount(plan, need, sum));
        Row::of([Cell::from(cell_of(rule)), written(plan.catalogue, rule).into(), rule.why.as_str().into(), comes_to])
    });
    Table::new(
        "rules",
        "By rule",
        [
            ColumnHead::words("place", "Row"),
            ColumnHead::words("rule", "Rule"),
            ColumnHead::words("why", "Why"),
            ColumnHead::number("amount", "Comes to"),
        ],
    )
    .rows(rows)
}

/// What the rules of the layout keep on top, rule by rule.
fn spared(plan: &Plan, needs: &[&Need]) -> Vec<Row> {
    let mut by_rule: BTreeMap<SpareRule, (&Need, Decimal)> = BTreeMap::new();
    for &need in needs {
        if let Some(rule) = spare_rule(plan.catalogue.kind(need.kind), &plan.layout.rules, need) {
            let (_, sum) = by_rule.entry(rule).or_insert((need, Decimal::ZERO));
            *sum = sum.saturating_add(need.spares);
        }
    }
    let rules = &plan.layout.rules;
    let row = |(rule, (need, sum))| {
        let (written, why) = match rule {
            SpareRule::Spares => (told(&rules.spares), "Small parts get lost; whole ones are counted"),
            SpareRule::SpareWays => (told(&rules.spare_ways), "Left free for what is added later"),
            SpareRule::SpareChannels => (told(&rules.spare_channels), "Left free for what is added later"),
            SpareRule::ExhibitionKit => {
                ("yes".to_owned(), "One more goes along to exhibitions, of a set as many as the largest has in use")
            }
        };
        Row::of([Cell::from(spare_word(rule)), written.into(), why.into(), amount(plan, need, sum)])
    };
    by_rule.into_iter().map(row).collect()
}

/// The value of a rule, and whether somebody wrote it.
fn told<T: fmt::Display>(rule: &Given<T>) -> String {
    let default = if matches!(rule.place, Place::Default(_)) { ", the default" } else { "" };
    format!("{}{default}", rule.value)
}

/// A rule of the layout as its file names it.
fn spare_word(rule: SpareRule) -> &'static str {
    match rule {
        SpareRule::Spares => "rules: spares",
        SpareRule::SpareWays => "rules: spare ways",
        SpareRule::SpareChannels => "rules: spare channels",
        SpareRule::ExhibitionKit => "rules: exhibition kit",
    }
}

/// A rule in words: `2 for each drive, under Servo`.
fn written(catalogue: &Catalogue, rule: &AssemblyRule) -> String {
    let measure = rule.measure.map(|measure| format!(" x {}", measure.word()));
    let scheme = rule.scheme.map(|scheme| format!(", under {}", catalogue.scheme(scheme).title));
    let when: Vec<&str> = rule.when.iter().map(|condition| condition.word()).collect();
    let when = (!when.is_empty()).then(|| format!(", when: {}", and(&when)));
    let asks: Vec<String> = rule.asks.iter().map(|(attr, asked)| format!("{}: {}", attr.word(), asked_word(asked))).collect();
    let asks = (!asks.is_empty()).then(|| format!("; asks {}", and(&asks)));
    let amount = format!("{}{} for {}", rule.amount.normalize(), measure.unwrap_or_default(), each(rule.per));
    [Some(amount), scheme, when, asks].into_iter().flatten().collect()
}

fn asked_word(asked: &Asked) -> String {
    match asked {
        Asked::Value(value) => value.to_string(),
        Asked::Measure(measure) => format!("its {}", measure.word()),
        Asked::Waveform => "that of its feed".to_owned(),
    }
}

/// The sum, device by device.
fn reasons(plan: &Plan, needs: &[&Need]) -> Table {
    let Some(form) = needs.first().map(|need| plan.catalogue.kind(need.kind).form) else { return Table::new("reasons", "", []) };
    let pieces = form == Form::Pieces;
    let told_apart = needs.len() > 1;
    let mut columns = vec![ColumnHead::words("for", "For"), ColumnHead::words("place", "By")];
    columns.extend(told_apart.then(|| ColumnHead::words("asks", "Asked of it")));
    columns.push(ColumnHead::number("amount", "Amount"));
    columns.extend(pieces.then(|| ColumnHead::number("piece", "Length of each")));
    let row = |need: &Need, reason: &Reason| {
        let rule = plan.catalogue.rule(reason.rule);
        let mut cells = vec![Cell::from(reason.subject.name(plan.layout)), cell_of(rule).into()];
        cells.extend(told_apart.then(|| Cell::from(asks(plan, need))));
        cells.push(amount(plan, need, reason.amount));
        cells.extend(pieces.then(|| Cell::from(reason.piece)));
        Row::of(cells)
    };
    let sum = |id: &'static str, what: &str, of: &dyn Fn(&Need) -> Decimal| {
        let value = needs.iter().fold(Decimal::ZERO, |sum, need| sum.saturating_add(of(need)));
        let mut cells = vec![Cell::from(what), Cell::Missing];
        cells.extend(told_apart.then_some(Cell::Missing));
        cells.push(needs.first().map_or(Cell::Missing, |need| amount(plan, need, value)));
        cells.extend(pieces.then_some(Cell::Missing));
        Row::total(cells).named(id)
    };
    let spares = if matches!(form, Form::Capacity(_)) { "To be left free" } else { "Spares" };
    let rows = needs.iter().flat_map(|need| need.reasons.iter().map(|reason| row(need, reason)));
    Table::new("reasons", "Device by device", columns).rows(rows).rows([
        sum("counted", "Counted", &Need::counted),
        sum("spares", spares, &|need| need.spares),
        sum("needed", "Needed", &Need::amount),
    ])
}

/// The sheet and cell of a rule, without the name of the workbook.
fn cell_of(rule: &AssemblyRule) -> String {
    match &rule.place {
        Place::Cell { sheet, cell, .. } if !cell.is_empty() => format!("{sheet} › {cell}"),
        place => place.to_string(),
    }
}

/// The parts that serve the needs, and what is bought of them for these and others.
fn served(plan: &Plan, needs: &[&Need]) -> Table {
    let purchase = &plan.estimate.purchase;
    let here = |need: NeedId| needs.iter().any(|one| one.id == need);
    let mut by_part: BTreeMap<PartId, (u32, u32)> = BTreeMap::new();
    for used in purchase.uses.iter().filter(|used| here(used.need)) {
        let (count, from_stock) = by_part.entry(used.part).or_default();
        *count += used.count;
        *from_stock += used.from_stock;
    }
    let rows = by_part.into_iter().map(|(part, (count, from_stock))| {
        let lines: Vec<&Line> = purchase.lines().filter(|line| plan.catalogue.offer(line.offer).part == part).collect();
        let packs = lines.iter().map(|line| {
            let offer = plan.catalogue.offer(line.offer);
            format!(
                "{} of {} from {}",
                count_of(line.packs as usize, "pack"),
                offer.pack,
                plan.catalogue.supplier(offer.supplier).title
            )
        });
        let others = purchase.uses.iter().filter(|other| other.part == part && !here(other.need));
        let cost: Option<Money> = lines.iter().map(|line| line.total).sum();
        Row::of([
            Cell::from(&plan.catalogue.part(part).title),
            count.into(),
            from_stock.into(),
            others.map(|other| other.count).sum::<u32>().into(),
            and(&packs.collect::<Vec<_>>()).into(),
            cost.into(),
        ])
    });
    Table::new(
        "served",
        "Served by",
        [
            ColumnHead::words("part", "Part"),
            ColumnHead::number("count", "Used here"),
            ColumnHead::number("from_stock", "You have"),
            ColumnHead::number("elsewhere", "For other needs").detail(),
            ColumnHead::words("bought", "Bought in all"),
            ColumnHead::number("cost", "Cost in all"),
        ],
    )
    .rows(rows)
}
