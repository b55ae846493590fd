//! Applies the rules of the catalogue to the subjects of a plan.

use std::borrow::Cow;
use std::collections::BTreeMap;

use rust_decimal::prelude::ToPrimitive;
use rust_decimal::{Decimal, RoundingStrategy};

use super::facts::{Facts, Subjects};
use super::model::{Guard, Need, Reason, Site, SpareRule, Takeoff};
use crate::catalogue::{Ask, Asked, AssemblyRule, Attr, Catalogue, Form, Kind, Measure, Sense, Value};
use crate::id::{KindId, NeedId, RuleId};
use crate::layout::{Layout, Rules};
use crate::quantity::{Dimension, Length};

/// What tells one need from another: the kind, what is asked, and for a capacity the place.
type Key = (KindId, Vec<Ask>, Option<Site>);

/// Counts every rule over the subjects it names, gathers what asks for the same into one need, and adds spares.
pub fn take_off(catalogue: &Catalogue, layout: &Layout, subjects: &Subjects) -> Takeoff {
    let mut needs: BTreeMap<Key, Vec<Reason>> = BTreeMap::new();
    for (index, rule) in catalogue.rules.iter().enumerate() {
        let kind = catalogue.kind(rule.kind);
        for facts in subjects.of(rule.per) {
            let Some(guard) = facts.counted_by(catalogue, rule.scheme, &rule.when).filter(|_| facts.wants(kind.role)) else {
                continue;
            };
            let parts = if counts_by_size(rule) { facts.by_size(catalogue, rule.scheme) } else { vec![Cow::Borrowed(facts)] };
            for facts in parts {
                let Some(asks) = asks(catalogue, rule, &facts) else { continue };
                let reasons = reasons(catalogue, RuleId::at(index), &facts, guard);
                if !reasons.is_empty() {
                    let site = matches!(kind.form, Form::Capacity(_)).then_some(facts.site);
                    needs.entry((rule.kind, asks, site)).or_default().extend(reasons);
                }
            }
        }
    }
    let needs = needs.into_iter().enumerate().map(|(index, ((kind, asks, site), reasons))| {
        let mut need = Need { id: NeedId::at(index), kind, asks, site, reasons, spares: Decimal::ZERO };
        need.spares = spares(catalogue.kind(kind), &layout.rules, need.counted());
        need
    });
    let mut needs: Vec<Need> = needs.collect();
    if layout.rules.exhibition_kit.value {
        needs.extend(second_sets(catalogue, &needs));
        needs.sort_by(|a, b| (a.kind, &a.asks, a.site, a.id).cmp(&(b.kind, &b.asks, b.site, b.id)));
        needs.iter_mut().enumerate().for_each(|(index, need)| need.id = NeedId::at(index));
    }
    Takeoff { needs }
}

/// For an exhibition kit, of each active kind that gives a capacity, such as encoders of so many inputs, as much again as its largest
/// place has in use: it may stand in for what is there, and is no part of it.
fn second_sets(catalogue: &Catalogue, needs: &[Need]) -> Vec<Need> {
    let mut sets: Vec<Need> = Vec::new();
    let active = |need: &&Need| {
        let kind = catalogue.kind(need.kind);
        kind.role.is_active() && matches!(kind.form, Form::Capacity(_))
    };
    for need in needs.iter().filter(active) {
        match sets.iter_mut().find(|set| (set.kind, &set.asks) == (need.kind, &need.asks)) {
            Some(set) => set.spares = set.spares.max(need.counted()),
            None => sets.push(Need { site: Some(Site::Layout), reasons: Vec::new(), spares: need.counted(), ..need.clone() }),
        }
    }
    sets
}

/// Whether a rule counts wires, or their ends, and asks for something of their size.
fn counts_by_size(rule: &AssemblyRule) -> bool {
    matches!(rule.measure, Some(Measure::RunLength | Measure::ScrewedEnds))
        && rule.asks.iter().any(|(_, asked)| *asked == Asked::Measure(Measure::WireArea))
}

/// What the rule asks of the part for this subject; `None` where the subject has no such measure, and so no use for the part.
fn asks(catalogue: &Catalogue, rule: &AssemblyRule, facts: &Facts) -> Option<Vec<Ask>> {
    let kind = catalogue.kind(rule.kind);
    rule.asks
        .iter()
        .map(|(attr, asked)| {
            let value = match asked {
                Asked::Value(value) => value.clone(),
                Asked::Waveform => Value::Text(facts.waveform?.word().into()),
                Asked::Measure(measure) => Value::Measured(facts.measure(catalogue, rule.scheme, *measure)?),
            };
            Some(Ask { attr: *attr, sense: kind.matching.get(attr).copied().unwrap_or(Sense::Equal), value })
        })
        .collect()
}

/// One reason for each amount: for a kind that is cut, one for each piece length.
fn reasons(catalogue: &Catalogue, id: RuleId, facts: &Facts, guard: Guard) -> Vec<Reason> {
    let rule = catalogue.rule(id);
    let kind = catalogue.kind(rule.kind);
    let reason = |amount: Decimal, piece: Option<Length>| {
        let amount = amount.saturating_mul(Decimal::from(facts.times));
        Reason { subject: facts.subject, rule: id, guard, amount, piece }
    };
    let Some(measure) = rule.measure else { return vec![reason(rule.amount, None)] };
    if measure.dimension() == Dimension::Length {
        let lengths = facts.lengths(catalogue, rule.scheme, measure);
        return if kind.form == Form::Pieces {
            let mut counted: BTreeMap<Length, u32> = BTreeMap::new();
            for length in lengths {
                *counted.entry(length).or_default() += 1;
            }
            counted.into_iter().map(|(length, n)| reason(rule.amount.saturating_mul(Decimal::from(n)), Some(length))).collect()
        } else {
            let metres = Decimal::new(lengths.into_iter().sum::<Length>().um(), 6);
            vec![reason(rule.amount.saturating_mul(metres), None)]
        };
    }
    let amount = facts.measure(catalogue, rule.scheme, measure).map(|quantity| rule.amount.saturating_mul(quantity.value()));
    amount.map(|amount| reason(amount, None)).into_iter().collect()
}

/// Spares of a kind that is lost or spoilt, whole ones, and at least one of an active kind for an exhibition kit; of a capacity, what
/// the rules leave free.
pub(super) fn spares(kind: &Kind, rules: &Rules, counted: Decimal) -> Decimal {
    kept(kind, rules, counted).map_or(Decimal::ZERO, |(_, spares)| spares)
}

/// The rule of the layout that the spares of a need come from; `None` where it has none.
pub fn spare_rule(kind: &Kind, rules: &Rules, need: &Need) -> Option<SpareRule> {
    if need.spares <= Decimal::ZERO {
        return None;
    }
    // A second set has no reasons of its own.
    if need.reasons.is_empty() { Some(SpareRule::ExhibitionKit) } else { kept(kind, rules, need.counted()).map(|(rule, _)| rule) }
}

/// What is kept on top of what is counted, and by which rule.
fn kept(kind: &Kind, rules: &Rules, counted: Decimal) -> Option<(SpareRule, Decimal)> {
    let in_kit = rules.exhibition_kit.value && kind.role.is_active() && counted > Decimal::ZERO;
    let kit = in_kit.then_some((SpareRule::ExhibitionKit, Decimal::ONE));
    match kind.form {
        Form::AtLeast if !kind.spares => kit,
        Form::AtLeast => {
            let share = rules.spares.value.quantity().value();
            let with = counted.saturating_mul(share.saturating_add(Decimal::ONE));
            let spares = with.round_dp_with_strategy(0, RoundingStrategy::ToPositiveInfinity).saturating_sub(counted);
            kit.filter(|(_, least)| *least > spares).or(Some((SpareRule::Spares, spares)))
        }
        Form::Capacity(attr) if kind.spares => {
            let (rule, margin) = match attr {
                Attr::Ways => (SpareRule::SpareWays, rules.spare_ways.value),
                _ => (SpareRule::SpareChannels, rules.spare_channels.value),
            };
            let used = counted.ceil().to_u32().unwrap_or(u32::MAX);
            Some((rule, Decimal::from(margin.on(used) - used)))
        }
        Form::Capacity(_) | Form::Pieces => None,
    }
}
