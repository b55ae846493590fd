//! The rules a layout is planned under, the supplies the user owns, and routes.

use std::collections::BTreeSet;

use rust_decimal::Decimal;

use super::devices::{Draft, find_scheme};
use super::field::{Entry, Field};
use super::form::{ROUTE, RULES, SUPPLY};
use super::forms::{Fault, Output, PerYear, Written, any, plain, within};
use super::levers::Works;
use super::model::{AtOnce, Controllers, Lamps, Margin, OwnedSupply, Route, Rules, SwitchOn};
use super::names::Names;
use super::report::{Report, shown};
use super::thrown::Throwable;
use super::words::YesNo;
use crate::catalogue::Catalogue;
use crate::diagnostic::{Code, Given};
use crate::id::{LeverId, SchemeId};
use crate::money::{Currency, Money};
use crate::name::folded;
use crate::quantity::{Current, Share, Voltage};

/// Reads `supplies`.
pub(super) fn supplies(file: &Entry<'_>, report: &mut Report) -> Vec<OwnedSupply> {
    let mut names = Names::new("supply");
    let items = file.get("supplies").map_or_else(Vec::new, |list| list.list("a list of supplies", report));
    let mut supplies = Vec::new();
    for entry in items.into_iter().filter_map(|item| item.entry(&SUPPLY, report)).collect::<Vec<_>>() {
        let name = names.add(&entry, report);
        if entry.get("gives").is_none() {
            let why = "what a supply gives is printed on its label";
            report.problem(entry.missing("gives", why, report).expected("`gives: 16 V AC, 1 A`"));
        }
        if let Some(output) = entry.optional("gives", safe, report) {
            let Output { voltage, waveform, current } = output.value;
            supplies.push(OwnedSupply { name, place: entry.place(report), voltage, waveform, current });
        }
    }
    supplies
}

/// A supply gives something, and no more than is safe.
fn safe(output: &Output) -> Result<(), Fault> {
    let highest = output.waveform.highest();
    if output.voltage <= Voltage::ZERO || output.current <= Current::ZERO {
        return Err(Fault::new(Code::OutOfRange, "a supply gives more than nothing").expected(Output::EXPECTED));
    }
    if output.voltage > highest {
        let what = "this is no extra-low voltage; mains stays inside a certified, enclosed supply";
        return Err(Fault::new(Code::OutOfRange, what).expected(format!("at most {highest} {}", output.waveform.word())));
    }
    if output.current > Current(100.0) {
        return Err(Fault::new(Code::OutOfRange, "no supply of a model railway gives as much").expected("at most 100 A"));
    }
    Ok(())
}

/// Reads `routes`.
pub(super) fn routes(file: &Entry<'_>, drafts: &[Draft<'_>], devices: &Names, works: &Works, report: &mut Report) -> Vec<Route> {
    let mut names = Names::new("route");
    let items = file.get("routes").map_or_else(Vec::new, |list| list.list("a list of routes", report));
    let throwable = Throwable::new(&works.devices, &works.drives, &works.levers);
    let mut routes = Vec::new();
    for entry in items.into_iter().filter_map(|item| item.entry(&ROUTE, report)).collect::<Vec<_>>() {
        let name = names.add(&entry, report);
        let throws = entry.get("throws");
        let fields = throws.as_ref().map_or_else(Vec::new, |throws| throws.one_or_more("devices, such as `[T1, T2]`", report));
        if fields.is_empty() && throws.is_none_or(|throws| throws.is_list()) {
            let why = "a route throws the levers of at least one device";
            report.problem(entry.missing("throws", why, report).expected("`throws: [T1, T2]`"));
        }
        let levers = thrown(&fields, (&throwable, drafts, devices), report);
        routes.push(Route { name, place: entry.place(report), levers });
    }
    routes
}

/// The levers of what is named, each once, in order. Both ends of a crossover may be named, but nothing twice.
fn thrown(
    fields: &[Field<'_>],
    (throwable, drafts, devices): (&Throwable, &[Draft<'_>], &Names),
    report: &mut Report,
) -> Vec<LeverId> {
    let mut levers = Vec::new();
    let mut named = BTreeSet::new();
    for field in fields {
        let Some(word) = field.as_text() else {
            devices.find(field, report);
            continue;
        };
        if !named.insert(folded(word)) {
            let twice = Fault::new(Code::DuplicateId, format!("`{}` stands in this route already", shown(word.trim())));
            report.problem(field.fault(twice.expected("each device once: a route throws its levers one way"), report));
            continue;
        }
        let of = match throwable.find(word) {
            Ok(of) => of,
            Err(why) => {
                let device = devices.index(word);
                if let (Some((what, expected)), None) = (why.part(), device) {
                    report.problem(field.fault(Fault::new(Code::UnknownId, what).expected(expected), report));
                } else if device.is_none() {
                    devices.find(field, report);
                } else if device.and_then(|index| drafts.get(index)).is_some_and(|draft| draft.shape.is_some()) {
                    let fault = Fault::new(Code::Contradiction, "this device has no lever that a route could throw");
                    report.problem(field.fault(fault.expected("the device it follows"), report));
                }
                continue;
            }
        };
        levers.extend(of.iter().copied().filter(|lever| !levers.contains(lever)).collect::<Vec<_>>());
    }
    levers
}

/// What the defaults of some rules depend on.
#[derive(Clone, Copy)]
pub(super) struct Circumstances {
    /// Whether there are joints.
    pub(super) portable: bool,
    /// Whether there are routes.
    pub(super) routes: bool,
}

/// Reads `rules`.
pub(super) fn rules(file: &Entry<'_>, catalogue: &Catalogue, has: Circumstances, report: &mut Report) -> Rules {
    let entry = file.get("rules").and_then(|rules| rules.entry(&RULES, report));
    let nothing = Entry::nothing("rules");
    let entry: &Entry<'_> = entry.as_ref().unwrap_or(&nothing);
    let part = |most: f64| within(Share::ZERO, Share(most));
    let margin = Margin { share: Share(0.2), least: 2 };
    let fits = |margin: &Margin| part(1.0)(&margin.share).and_then(|()| within(0, 1000)(&margin.least));
    let at_once = if has.routes { AtOnce::Routes } else { AtOnce::Levers(1) };
    let possible = |at_once: &AtOnce| match at_once {
        AtOnce::Routes if !has.routes => {
            Err(Fault::new(Code::Contradiction, "the layout has no routes").expected("a number of levers, or a list of `routes`"))
        }
        AtOnce::Levers(many) => within(1, 1000)(many),
        AtOnce::Routes => Ok(()),
    };
    let set_ups = PerYear(if has.portable { 6 } else { 0 });
    Rules {
        schemes: schemes(entry, catalogue, report),
        slack: entry.given("slack", Share(0.1), part(1.0), report),
        spares: entry.given("spares", Share(0.1), part(1.0), report),
        exhibition_kit: kit(entry.given("exhibition kit", YesNo(false), any, report)),
        spare_channels: entry.given("spare channels", margin, fits, report),
        controllers: entry.given("controllers", Controllers::EachBoard, any, report),
        spare_ways: entry.given("spare ways", margin, fits, report),
        at_once: entry.given("at once", at_once, possible, report),
        switch_on: entry.given("switch on", SwitchOn::Held, any, report),
        sections: entry.given("sections", 1, within(1, 20), report),
        headroom: entry.given("headroom", Share(0.2), part(0.9), report),
        drop: entry.given("drop", Share(0.05), within(Share(0.001), Share(0.5)), report),
        hour: entry.get("hour").and_then(|field| hour(&field, catalogue.rates.home, report)),
        set_ups: bare(entry.given("set-ups", set_ups, within(PerYear(0), PerYear(1000)), report)),
        years: entry.given("years", 10, within(1, 100), report),
        lamps: entry.given("lamps", Lamps::Commanded, any, report),
        decide_by: entry.optional("decide by", any, report),
    }
}

fn kit(given: Given<YesNo>) -> Given<bool> {
    Given::new(given.value.0, given.place)
}

fn bare(given: Given<PerYear>) -> Given<u32> {
    Given::new(given.value.0, given.place)
}

/// The schemes named, or all that are offered.
fn schemes(entry: &Entry<'_>, catalogue: &Catalogue, report: &mut Report) -> Given<Vec<SchemeId>> {
    let offered = || (0..catalogue.schemes.len()).map(SchemeId::at).filter(|id| catalogue.scheme(*id).offered);
    let Some(field) = entry.get("schemes") else {
        let names: Vec<String> = offered().map(|id| plain(&catalogue.scheme(id).name)).collect();
        let place = report.took(&entry.path("schemes"), format!("[{}]", names.join(", ")));
        return Given::new(offered().collect(), place);
    };
    let named = field.one_or_more("the names of schemes in square brackets", report);
    if named.is_empty() && field.is_list() {
        let fault = Fault::new(Code::OutOfRange, "there is nothing to compare").expected("at least one scheme, or no `schemes`");
        report.problem(field.fault(fault, report));
    }
    let mut seen = BTreeSet::new();
    let mut schemes = Vec::new();
    for name in &named {
        let Some(scheme) = find_scheme(name, catalogue, report) else { continue };
        if seen.insert(scheme) {
            schemes.push(scheme);
        } else {
            let fault = Fault::new(Code::DuplicateId, "this scheme is named twice").expected("each scheme once");
            report.problem(name.fault(fault, report));
        }
    }
    Given::new(schemes, field.place(report))
}

/// What an hour is worth: `8.00`, `8.00 per hour`, `8.00 EUR per hour`.
fn hour(field: &Field<'_>, home: Currency, report: &mut Report) -> Option<Given<Money>> {
    let expected = format!("an amount in {0}, such as `8.00 {0} per hour`", home.code());
    let text = field.text(&expected, report)?.trim();
    match read_hour(text, home) {
        Ok(money) => Some(Given::new(money, field.place(report))),
        Err(fault) => {
            report.problem(field.fault(fault.or_expected(&expected), report));
            None
        }
    }
}

fn read_hour(text: &str, home: Currency) -> Result<Money, Fault> {
    let amount = text.strip_suffix("hour").and_then(|rest| rest.trim_end().strip_suffix("per")).unwrap_or(text).trim();
    let (number, code) = match amount.rsplit_once(char::is_whitespace) {
        Some((number, code)) => (number.trim(), Some(code)),
        None => (amount, None),
    };
    match code.map(|code| (code, Currency::from_code(code))) {
        None => {}
        Some((code, None)) => {
            return Err(Fault::new(Code::WrongMoney, format!("`{}` is not a currency code of ISO 4217", shown(code))));
        }
        Some((_, Some(currency))) if currency == home => {}
        Some((_, Some(currency))) => {
            let what = format!("the catalogue reckons in {}, and this is in {}", home.code(), currency.code());
            return Err(Fault::new(Code::Contradiction, what));
        }
    }
    if number.contains(',') {
        let what = format!("`{}` has a comma; a decimal point is read, and nothing between thousands", shown(number));
        return Err(Fault::new(Code::WrongMoney, what));
    }
    // The decimal reader would take `1_000` as well.
    let is_plain = number.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | '-' | '+'));
    let decimal = Decimal::from_str_exact(number)
        .ok()
        .filter(|_| is_plain)
        .ok_or_else(|| Fault::new(Code::WrongMoney, format!("`{}` is not an amount of money", shown(number))))?;
    if decimal.is_sign_negative() && !decimal.is_zero() {
        return Err(Fault::new(Code::OutOfRange, "an hour cannot be worth less than nothing"));
    }
    Money::from_decimal(decimal, home).ok_or_else(|| Fault::new(Code::OutOfRange, "the amount is too large"))
}
