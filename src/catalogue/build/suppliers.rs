//! The sheet `Suppliers`, and sums of money in a supplier's currency.

use rust_decimal::Decimal;

use super::field::Field;
use super::log::Log;
use super::names::Names;
use super::page::{Page, Row};
use super::rates::{Reckoning, currency};
use crate::catalogue::goods::Supplier;
use crate::diagnostic::{Code, Diagnostic};
use crate::money::{Currency, Money};
use crate::quantity::Dimension;

/// In which money a supplier asks its prices.
#[derive(Debug, Clone, Copy)]
pub(super) struct Terms {
    /// The currency.
    pub(super) currency: Currency,
    /// Whether tax is included.
    pub(super) tax_included: bool,
}

/// Reads the sheet; a row that is wrong leaves `None` in its place.
pub(super) fn suppliers(page: Option<&Page<'_>>, names: &Names, reckoning: &Reckoning, log: &mut Log) -> Vec<Option<Supplier>> {
    let rows = page.into_iter().flat_map(Page::rows).enumerate();
    rows.map(|(index, row)| supplier(&row, index, names, reckoning, log)).collect()
}

fn supplier(row: &Row<'_>, index: usize, names: &Names, reckoning: &Reckoning, log: &mut Log) -> Option<Supplier> {
    let title = row.field("title").text(log);
    let field = row.field("currency");
    let currency = currency(&field, log);
    if let Some(currency) = currency.filter(|currency| !reckoning.knows(*currency)) {
        let what = format!("the sheet Rates does not say what one {} costs", currency.code());
        log.push(field.error(Code::MissingKey, what).expected(format!("a row `{}` in the sheet Rates", currency.code())));
    }
    let tax_included = row.field("tax").pick(log, &[("in", true), ("out", false)]);
    let terms = currency.zip(tax_included).map(|(currency, tax_included)| Terms { currency, tax_included });
    let mut sum = |column| money(&row.field(column), terms, reckoning, log).map(|(_, money)| money);
    let (postage, free_from, least_order) = (sum("postage"), sum("free from"), sum("least order"));
    let terms = terms?;
    // From nothing on free means always free; a least order of nothing is none.
    let always_free = free_from.is_some_and(|from| from.minor() == 0);
    let postage = postage?;
    Some(Supplier {
        name: names.shared(index),
        title: title?.to_owned(),
        place: row.place(),
        postage: if always_free { Money::zero(postage.currency()) } else { postage },
        free_from: free_from.filter(|_| !always_free),
        least_order: least_order.filter(|least| least.minor() > 0),
        currency: terms.currency,
        tax_included: terms.tax_included,
    })
}

/// Signs of currencies, which do not tell one dollar from another.
const SIGNS: [char; 10] = ['€', '£', '$', '¥', '₣', '₤', '₩', '₹', '₺', '¢'];

/// A sum in a supplier's money, not negative: as written, and in the home currency.
pub(super) fn money(field: &Field<'_>, terms: Option<Terms>, reckoning: &Reckoning, log: &mut Log) -> Option<(Decimal, Money)> {
    let amount = field.read(log, |text| amount(field, text, terms))?;
    let terms = terms?;
    let home = reckoning.home(amount, terms.currency, terms.tax_included)?;
    if home.is_err() {
        log.push(field.error(Code::OutOfRange, "the sum is larger than any that is reckoned with").expected("a smaller sum"));
    }
    home.ok().map(|home| (amount, home))
}

/// A plain number, with the code of the supplier's own currency beside it or without.
fn amount(field: &Field<'_>, text: &str, terms: Option<Terms>) -> Result<Decimal, Diagnostic> {
    let wrong = |what: String| {
        field
            .error(Code::WrongMoney, what)
            .expected("a plain number such as 2.50, in the currency that the sheet Suppliers names")
    };
    let mut number = text;
    for code in Currency::codes() {
        let Some(rest) = strip_code(text, code) else { continue };
        if let Some(terms) = terms.filter(|terms| terms.currency.code() != code) {
            return Err(wrong(format!("`{text}` is in {code}, but the supplier's prices are in {}", terms.currency.code())));
        }
        number = rest;
    }
    let amount = field.measure(number, Dimension::Count, None).map_err(|error| {
        if text.contains(SIGNS) {
            return wrong(format!("`{text}` has the sign of a currency beside the number"));
        }
        match error.code {
            Code::OutOfRange => error,
            _ if number.starts_with(|c: char| c.is_ascii_digit()) => Diagnostic { code: Code::WrongMoney, ..error },
            _ => wrong(format!("`{text}` is not a sum of money")),
        }
    });
    let amount = amount?.value();
    if amount.is_sign_negative() && !amount.is_zero() {
        return Err(wrong(format!("`{text}` is less than nothing")));
    }
    Ok(amount)
}

/// The text without a currency's code at either end.
fn strip_code<'a>(text: &'a str, code: &str) -> Option<&'a str> {
    let ends =
        text.get(..code.len()).is_some_and(|start| start.eq_ignore_ascii_case(code)).then(|| text.get(code.len()..)).flatten();
    let starts = text.len().checked_sub(code.len()).and_then(|at| text.split_at_checked(at));
    let starts = starts.filter(|(_, end)| end.eq_ignore_ascii_case(code)).map(|(start, _)| start);
    ends.or(starts).map(str::trim)
}
