//! Orders by supplier, what they come to, and how far that is known to be the least.

use std::collections::BTreeMap;

use super::cutting::asked;
use crate::buying::{Fresh, Halt, Parcel, Proof, Purchase};
use crate::catalogue::Catalogue;
use crate::cutlist::Reel;
use crate::day::Day;
use crate::id::PartId;
use crate::money::{Currency, Money};
use crate::report::{Block, Cell, ColumnHead, Prose, Row, Section, Table, prose};
use crate::wiring::Colour;

/// What is added to an order to reach a threshold.
pub(super) const TOP_UP: &str = "Anything you can use";

/// All that is added to reach thresholds, if anything.
pub(super) fn top_up(parcels: &[Parcel]) -> Option<Money> {
    parcels.iter().filter_map(|parcel| parcel.top_up).sum()
}

/// What an order comes to.
fn to_pay(parcel: &Parcel) -> Money {
    parcel.goods + parcel.postage + added(parcel)
}

/// What is added to an order to reach a threshold.
fn added(parcel: &Parcel) -> Money {
    parcel.top_up.unwrap_or(Money::zero(parcel.goods.currency()))
}

/// An order with its name in the table of all.
#[derive(Debug)]
pub(super) struct OrderOf<'a> {
    pub(super) parcel: &'a Parcel,
    pub(super) name: String,
}

/// The table of all orders and what they come to.
pub(super) fn all_orders(orders: &[OrderOf], home: Currency) -> Table {
    let row = |order: &OrderOf| {
        let parcel = order.parcel;
        Row::of([
            Cell::from(&order.name),
            parcel.goods.into(),
            added(parcel).into(),
            parcel.postage.into(),
            to_pay(parcel).into(),
        ])
    };
    let sum = |of: fn(&Parcel) -> Money| Cell::from(Money::total(orders.iter().map(|order| of(order.parcel)), home));
    let total = [Cell::from("In all"), sum(|parcel| parcel.goods), sum(added), sum(|parcel| parcel.postage), sum(to_pay)];
    Table::new(
        "orders",
        "",
        [
            ColumnHead::words("supplier", "Supplier"),
            ColumnHead::number("goods", "Goods"),
            ColumnHead::number("top_up", "Added"),
            ColumnHead::number("postage", "Postage"),
            ColumnHead::number("total", "To pay"),
        ],
    )
    .rows(orders.iter().map(row))
    .rows([Row::total(total).named("total")])
    .note("Added: what an order must grow by, with anything you can use, to be taken or to save more postage than it costs.")
}

/// Orders to show.
#[derive(Debug, Clone, Copy)]
pub(super) struct Orders<'a> {
    pub(super) catalogue: &'a Catalogue,
    pub(super) purchase: &'a Purchase,
    /// The reels of its cutting list, which say in which colours wire is asked for.
    pub(super) reels: &'a [Reel],
    /// What stands before a supplier's name in a heading.
    pub(super) heading: &'a str,
    /// The day of the orders, by which old prices are marked.
    pub(super) fresh: Option<Fresh>,
    /// Whether they are read on paper, where no option can be given.
    pub(super) on_paper: bool,
}

impl<'a> Orders<'a> {
    /// A section for each supplier.
    pub(super) fn sections(self) -> impl Iterator<Item = Section> + use<'a> {
        let mut asked = asked(self.reels);
        self.purchase.parcels.iter().map(move |parcel| self.order(parcel, &mut asked))
    }

    /// The order at one supplier. The colours it asks for are taken from those `asked` for in all.
    fn order(self, parcel: &Parcel, asked: &mut BTreeMap<PartId, Vec<Colour>>) -> Section {
        let supplier = self.catalogue.supplier(parcel.supplier);
        let lines = parcel.lines.iter().map(|line| {
            let offer = self.catalogue.offer(line.offer);
            let colours = asked.get_mut(&offer.part);
            let colours = colours.map(|colours| colours.drain(..colours.len().min(line.parts as usize)).collect::<Vec<_>>());
            Row::of([
                Cell::from(&self.catalogue.part(offer.part).title),
                Cell::from(&offer.code),
                colours.map_or_else(String::new, |colours| in_words(&colours, line.parts)).into(),
                offer.pack.into(),
                line.packs.into(),
                line.parts.into(),
                offer.price.into(),
                line.total.into(),
                checked(offer.checked_on, self.fresh),
            ])
        });
        let sum = |id, what: &str, money: Money| {
            let between = std::iter::repeat_n(Cell::Missing, 6);
            let cells = [what.into()].into_iter().chain(between).chain([money.into(), Cell::Missing]);
            Row::total(cells.collect::<Vec<Cell>>()).named(id)
        };
        let sums = [
            Some(sum("goods", "Goods", parcel.goods)),
            parcel.top_up.map(|top_up| sum("top_up", TOP_UP, top_up)),
            Some(sum("postage", "Postage", parcel.postage)),
            Some(sum("total", "To pay", to_pay(parcel))),
        ];
        let checked_on = ColumnHead::words("checked_on", "Price checked");
        let table = Table::new(
            "order",
            "",
            [
                ColumnHead::words("part", "Part"),
                ColumnHead::words("code", "Their code"),
                ColumnHead::words("colours", "Ask for"),
                ColumnHead::number("pack", "Pack of"),
                ColumnHead::number("packs", "Packs"),
                ColumnHead::number("parts", "Parts").detail(),
                ColumnHead::number("price", "A pack"),
                ColumnHead::number("total", "Line"),
                if self.fresh.is_some() { checked_on } else { checked_on.detail() },
            ],
        )
        .rows(lines.collect::<Vec<_>>())
        .rows(sums.into_iter().flatten());
        let names_colours = table.rows.iter().any(|row| matches!(row.cells.get(2), Some(Cell::Text(text)) if !text.is_empty()));
        let table = if names_colours { table.note(COLOURS) } else { table };
        let mut blocks = vec![Block::Table(table)];
        let terms: Vec<Prose> = self.terms(parcel);
        if !terms.is_empty() {
            blocks.push(Block::List(terms));
        }
        Section::new("order", format!("{}{}", self.heading, supplier.title), blocks)
    }

    /// What the supplier's thresholds did to the order.
    fn terms(self, parcel: &Parcel) -> Vec<Prose> {
        let supplier = self.catalogue.supplier(parcel.supplier);
        let postage = supplier.postage;
        let mut terms = Vec::new();
        if !supplier.tax_included {
            terms.push(prose![
                "They show their prices without tax; here ",
                self.catalogue.rates.tax,
                " tax is in every price already."
            ]);
        }
        if let Some(least) = supplier.least_order {
            let told = prose!["They take no order of less than ", least];
            terms.push(match parcel.top_up {
                Some(top_up) if parcel.goods < least => told.then(": add ").then(top_up).then(" of anything you can use."),
                _ => told.then("."),
            });
        }
        if let Some(free_from) = supplier.free_from.filter(|_| postage.minor() > 0) {
            let told = prose!["Postage of ", postage, " is not charged from ", free_from];
            terms.push(match parcel.top_up {
                Some(top_up) if parcel.goods < free_from && parcel.postage.minor() == 0 => {
                    told.then(": add ").then(top_up).then(" of anything you can use, which costs less than the postage it saves.")
                }
                _ if parcel.postage.minor() == 0 => told.then(", and the goods reach that."),
                _ if self.purchase.proof == Proof::Whole => told.then("; to reach that would cost more than it saves."),
                _ => told.then("."),
            });
        }
        terms
    }

    /// All orders together, and how far the total is known to be the least.
    pub(super) fn total(self) -> Section {
        let purchase = self.purchase;
        if purchase.parcels.is_empty() {
            return Section::new("total", "All orders", [Block::text("There is nothing to order.")]);
        }
        let named = |parcel| OrderOf { parcel, name: self.catalogue.supplier(parcel.supplier).title.clone() };
        let orders: Vec<OrderOf> = purchase.parcels.iter().map(named).collect();
        let table = all_orders(&orders, self.catalogue.rates.home);
        Section::new("total", "All orders", [Block::Table(table), Block::Text(self.proof())])
    }

    /// How far the total is known to be the least.
    fn proof(self) -> Prose {
        let purchase = self.purchase;
        let (stopped, next) = match purchase.proof {
            Proof::Whole if !purchase.unmet.is_empty() => {
                return "No other way to order what can be had costs less, postage included. What cannot be had is listed below and is in \
                        no sum here."
                    .into();
            }
            Proof::OfThese => {
                return "So few orders do not hold everything. The suppliers were taken that sell most of it; others were not weighed. What \
                        they do not sell is listed below and is in no sum here."
                    .into();
            }
            Proof::Whole => {
                return "No other way to order these parts costs less, postage included: every one was weighed or ruled out."
                    .into();
            }
            Proof::Stopped(Halt::Work) => {
                ("The search was stopped before it was done", "With `--patience 60` it goes on for up to 60 seconds.")
            }
            Proof::Stopped(Halt::Clock) => (
                "The search was stopped when the time was up that you gave it",
                "Another run may find another order; with more `--patience` this one may be proven, or a better one found.",
            ),
            Proof::Stopped(Halt::Room) => (
                "The search ended without a proof",
                "There is too much to choose from for a proof; more `--patience` would not help.",
            ),
            Proof::Stopped(Halt::Hand) => {
                ("You stopped the search", "This is the best order found by then; another run may find another.")
            }
        };
        let next = if self.on_paper { "A longer search may find such an order, or prove that there is none." } else { next };
        prose![
            stopped,
            ": no order can cost less than ",
            purchase.bound,
            ", so another could save at most ",
            purchase.gap(),
            ", ",
            purchase.gap_share(),
            " of this one. ",
            next
        ]
    }
}

/// How the colours asked for are meant.
const COLOURS: &str = "Colours are for reels, as the cutting list takes them: each serves its own colour as far as it reaches, and the list names the \
                       pieces for which it has to serve another. Any other colour does as well if you mark the ends.";

/// The colours of so many reels in words, like ones together; nothing where none has a colour.
fn in_words(colours: &[Colour], of: u32) -> String {
    let mut words: Vec<String> = Vec::new();
    for alike in colours.chunk_by(|one, other| one == other) {
        words.extend(alike.first().map(|colour| format!("{} {} ({})", alike.len(), colour.word(), colour.letters())));
    }
    let rest = (of as usize).saturating_sub(colours.len());
    if rest > 0 && !words.is_empty() {
        words.push(format!("{rest} of any colour"));
    }
    words.join(", ")
}

/// The day a price was checked, with a mark if that is too long ago.
fn checked(on: Option<Day>, fresh: Option<Fresh>) -> Cell {
    let is_old = |day| fresh.is_some_and(|fresh| fresh.is_old(day));
    on.map(|day| if is_old(day) { format!("{day}, old") } else { day.to_string() }).into()
}
