//! The sheet `Rates`: constants, tax and exchange.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::field::Field;
use super::log::Log;
use super::names::Names;
use super::page::{Page, Row};
use crate::catalogue::rules::Rates;
use crate::diagnostic::{Code, Diagnostic, Place};
use crate::money::{Currency, Money};
use crate::quantity::{Area, Current, Dimension, Length, Minutes, Quantity, Resistance, Share, Voltage};

/// The rates known by name; every other row is a currency.
const KNOWN: [&str; 22] = [
    "home currency",
    "tax",
    "learning",
    "end tail",
    "rod above",
    "rod bends",
    "clear distance",
    "light voltage",
    "light current",
    "lamp current",
    "lamps per lever",
    "lamps lit",
    "contact resistance",
    "fuse drop",
    "small fuse drop",
    "small fuse",
    "wires per terminal",
    "tag area",
    "plug low",
    "plug likely",
    "plug high",
    "notice",
];

/// What the sheet says.
#[derive(Debug, Clone)]
pub(super) struct RatesSheet {
    /// Constants; `None` where something is wrong with them.
    pub(super) rates: Option<Rates>,
    /// The notice to print.
    pub(super) notice: Option<String>,
    /// How prices become amounts in the home currency.
    pub(super) reckoning: Reckoning,
}

/// How prices become amounts in the home currency.
#[derive(Debug, Clone, Default)]
pub(super) struct Reckoning {
    /// The home currency, if it could be read.
    home: Option<Currency>,
    /// Tax as a share of the net price.
    tax: Decimal,
    /// Home units for one unit of a foreign currency; `None` where the row is wrong.
    exchange: BTreeMap<Currency, Option<Decimal>>,
}

impl Reckoning {
    /// Whether amounts in a currency can be brought home, or that they cannot has been told already.
    pub(super) fn knows(&self, currency: Currency) -> bool {
        self.home.is_none_or(|home| home == currency) || self.exchange.contains_key(&currency)
    }

    /// An amount in the home currency, tax added if it leaves it out, rounded once. `None` where no rate is known.
    ///
    /// # Errors
    /// The amount is beyond [`Money::LIMIT`].
    pub(super) fn home(&self, amount: Decimal, currency: Currency, tax_included: bool) -> Option<Result<Money, TooMuch>> {
        let home = self.home?;
        let rate = if currency == home { Decimal::ONE } else { (*self.exchange.get(&currency)?)? };
        let tax = if tax_included { Decimal::ONE } else { Decimal::ONE.checked_add(self.tax)? };
        let exact = amount.checked_mul(tax).and_then(|amount| amount.checked_mul(rate));
        Some(exact.and_then(|exact| Money::from_decimal(exact, home)).ok_or(TooMuch))
    }
}

/// An amount beyond [`Money::LIMIT`].
#[derive(Debug, Clone, Copy)]
pub(super) struct TooMuch;

/// The rows by their names.
struct Lines<'p> {
    rows: Vec<Row<'p>>,
    names: Names,
    whole: Place,
}

impl<'p> Lines<'p> {
    /// The cell of a rate, if there is a row and the cell is filled.
    fn field(&self, name: &str) -> Option<Field<'p>> {
        let row = self.names.index(name).and_then(|index| self.rows.get(index));
        row.map(|row| row.field("value")).filter(|field| !field.is_blank())
    }

    /// The value of a rate; a notice says which default is taken where there is no row or the cell is blank.
    fn value(&self, name: &'static str, default: &str, log: &mut Log) -> Option<Field<'p>> {
        let field = self.field(name);
        if field.is_none() {
            let what = format!("there is no value for `{name}`: {default} is taken");
            log.push(Diagnostic::notice(Code::MissingKey, self.whole.clone(), what).expected(format!("a row `{name}`")));
        }
        field
    }

    fn quantity(&self, name: &'static str, dimension: Dimension, default: Decimal, unit: &str, log: &mut Log) -> Quantity {
        let default = Quantity::parse_in(&default.to_string(), dimension, unit).unwrap_or(Quantity::new(dimension, default));
        let field = self.value(name, &default.to_string(), log);
        field.and_then(|field| field.quantity(log, dimension)).unwrap_or(default)
    }

    fn share(&self, name: &'static str, default: Decimal, log: &mut Log) -> Decimal {
        let shown = Quantity::new(Dimension::Share, default).to_string();
        self.value(name, &shown, log).and_then(|field| field.share(log)).unwrap_or(default)
    }

    fn whole(&self, name: &'static str, default: u32, log: &mut Log) -> u32 {
        self.value(name, &default.to_string(), log).and_then(|field| field.whole(log, 0..=20)).unwrap_or(default)
    }

    fn minutes(&self, name: &'static str, default: Decimal, log: &mut Log) -> Minutes {
        let field = self.value(name, &format!("{default} minutes"), log);
        let time = field.and_then(|field| field.quantity_in(log, Dimension::Time, "min"));
        minutes(time.unwrap_or_else(|| Quantity::new(Dimension::Time, default.saturating_mul(Decimal::from(60)))))
    }
}

/// A time in minutes.
pub(super) fn minutes(time: Quantity) -> Minutes {
    Minutes(time.to_f64() / 60.0)
}

/// Reads the sheet.
pub(super) fn rates(page: Option<&Page<'_>>, log: &mut Log) -> RatesSheet {
    let names = Names::of(page, "Rates", "rate", log);
    let Some(page) = page else {
        return RatesSheet { rates: None, notice: None, reckoning: Reckoning::default() };
    };
    let lines = Lines { rows: page.rows().collect(), names, whole: page.whole() };
    let home = home(&lines, log);
    let mut reckoning = Reckoning { home, tax: lines.share("tax", Decimal::new(20, 2), log), exchange: BTreeMap::new() };
    let mut exchanged = BTreeMap::new();
    for row in &lines.rows {
        let checked_on = row.field("checked on").day(log);
        let currency = exchange(row, &mut reckoning, log);
        exchanged.extend(currency.zip(checked_on));
    }
    let learning = lines.share("learning", Decimal::new(95, 2), log);
    if learning < Decimal::new(5, 1)
        && let Some(field) = lines.field("learning")
    {
        let what = "with such a learning rate, work would all but vanish with repeating";
        log.push(
            field
                .error(Code::OutOfRange, what)
                .expected("from 50 % to 100 %; 95 % means that doubling the number saves 5 % of the time of each"),
        );
    }
    let (lamps_per_lever, lamps_lit) = (lines.whole("lamps per lever", 2, log), lines.whole("lamps lit", 1, log));
    if lamps_lit > lamps_per_lever
        && let Some(field) = lines.field("lamps lit")
    {
        let what = format!("{lamps_lit} lamps of a lever cannot be lit, for it has {lamps_per_lever}");
        log.push(field.error(Code::Contradiction, what).expected(format!("at most {lamps_per_lever}")));
    }
    let tenth = |tenths: i64| Decimal::new(tenths, 1);
    let plug = [("plug low", tenth(3)), ("plug likely", tenth(5)), ("plug high", tenth(20))]
        .map(|(name, default)| lines.minutes(name, default, log));
    for (least, most, names) in
        [(plug[0], plug[1], ["plug low", "plug likely"]), (plug[1], plug[2], ["plug likely", "plug high"])]
    {
        let [below, above] = names;
        if most < least
            && let Some(field) = lines.field(above)
        {
            let what = format!("the time `{above}` is shorter than `{below}`");
            log.push(field.error(Code::Contradiction, what).expected(format!("at least {} min", least.0)));
        }
    }
    let whole = Decimal::from;
    let end_tail = lines.quantity("end tail", Dimension::Length, whole(150), "mm", log);
    let rod_above = lines.quantity("rod above", Dimension::Length, whole(6), "mm", log);
    let rod_bends = lines.quantity("rod bends", Dimension::Length, whole(20), "mm", log);
    let clear = lines.quantity("clear distance", Dimension::Length, whole(60), "mm", log);
    let light_voltage = lines.quantity("light voltage", Dimension::Voltage, whole(12), "V", log);
    let light_current = lines.quantity("light current", Dimension::Current, whole(10), "mA", log);
    let lamp_current = lines.quantity("lamp current", Dimension::Current, whole(5), "mA", log);
    let contact = lines.quantity("contact resistance", Dimension::Resistance, Decimal::new(1, 2), "ohm", log);
    let fuse_drops = [("fuse drop", 100), ("small fuse drop", 300)]
        .map(|(name, default)| lines.quantity(name, Dimension::Voltage, whole(default), "mV", log));
    let small_fuse = lines.quantity("small fuse", Dimension::Current, whole(630), "mA", log);
    let wires_per_terminal = lines.whole("wires per terminal", 2, log).max(1);
    let tag_area = lines.quantity("tag area", Dimension::Area, Decimal::new(15, 1), "mm2", log);
    let notice = lines.field("notice").and_then(|field| field.text(log));
    let rates = home.and_then(|home| {
        Some(Rates {
            home,
            tax: share(reckoning.tax),
            exchanged,
            learning: share(learning),
            end_tail: Length::try_from(end_tail).ok()?,
            rod_above: Length::try_from(rod_above).ok()?,
            rod_bends: Length::try_from(rod_bends).ok()?,
            clear: Length::try_from(clear).ok()?,
            light_voltage: Voltage::try_from(light_voltage).ok()?,
            light_current: Current::try_from(light_current).ok()?,
            lamp_current: Current::try_from(lamp_current).ok()?,
            lamps_per_lever,
            lamps_lit,
            contact: Resistance::try_from(contact).ok()?,
            fuse_drop: Voltage::try_from(fuse_drops[0]).ok()?,
            small_fuse_drop: Voltage::try_from(fuse_drops[1]).ok()?,
            small_fuse: Current::try_from(small_fuse).ok()?,
            wires_per_terminal,
            tag_area: Area(tag_area.to_f64()),
            plug,
        })
    });
    RatesSheet { rates, notice: notice.map(str::to_owned), reckoning }
}

fn share(share: Decimal) -> Share {
    Share(Quantity::new(Dimension::Share, share).to_f64())
}

fn home(lines: &Lines<'_>, log: &mut Log) -> Option<Currency> {
    let Some(row) = lines.names.index("home currency").and_then(|index| lines.rows.get(index)) else {
        let what = "there is no row `home currency`";
        log.push(
            Diagnostic::error(Code::MissingKey, lines.whole.clone(), what)
                .expected("a row `home currency` with the code of a currency, such as EUR"),
        );
        return None;
    };
    currency(&row.field("value"), log)
}

/// A currency by its code.
pub(super) fn currency(field: &Field<'_>, log: &mut Log) -> Option<Currency> {
    field.read(log, |text| {
        Currency::from_code(text).ok_or_else(|| {
            let what = format!("`{text}` is not the code of a currency");
            field.error(Code::UnknownWord, what).one_of(text, Currency::codes())
        })
    })
}

/// Takes the row of a foreign currency; a row that is neither that nor a known rate is an error.
fn exchange(row: &Row<'_>, reckoning: &mut Reckoning, log: &mut Log) -> Option<Currency> {
    let name = row.field("rate");
    let text = name.peek()?;
    if KNOWN.iter().any(|known| known.eq_ignore_ascii_case(text)) {
        return None;
    }
    let Some(currency) = Currency::from_code(text) else {
        let what = format!("there is no rate `{text}`");
        let mut error = name.error(Code::UnknownKey, what).one_of(text, KNOWN);
        error.expected = error.expected.map(|expected| format!("{expected}, or the code of a currency"));
        log.push(error);
        return None;
    };
    let field = row.field("value");
    let rate = field.number(log);
    if rate.is_some_and(|rate| rate <= Decimal::ZERO) {
        let what = format!("one {} cannot cost nothing or less", currency.code());
        log.push(field.error(Code::OutOfRange, what).expected("how many units of the home currency one unit of it costs"));
    }
    if reckoning.home == Some(currency) && rate.is_some_and(|rate| rate != Decimal::ONE) {
        log.push(
            field.error(Code::Contradiction, "one unit of the home currency costs one unit of it").expected("1, or no such row"),
        );
    }
    reckoning.exchange.insert(currency, rate.filter(|rate| *rate > Decimal::ZERO));
    Some(currency)
}
