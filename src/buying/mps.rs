//! A programme in free MPS, the common format of integer programming, so that any solver can check the purchase.

use std::collections::BTreeMap;
use std::fmt::Write;

use super::compile::Compiled;
use super::cutting::Cutting;
use super::programme::{Need, Programme};
use crate::catalogue::Catalogue;
use crate::takeoff::Takeoff;

const HEADER: &str = "\
* The cheapest purchase. Money in minor units, lengths in micrometres.
* n<o>      packs of offer o                    b<o>      1 if the price break of offer o is used
* y<s>t<t>  1 if supplier s is ordered from under its terms t (each a floor for the goods and a fee)
* u<s>      what is added to reach the floor
* x<i>p<p>  how many of part p serve need i     k<p>_<k>  1 if stick k of part p is cut
* c<i>_<j>p<p>_<k>  how many of the j-th piece of need i are cut from it
";

/// Writes the programme of a plan as free MPS, with what its needs, offers and suppliers are.
pub fn to_mps_with_names(compiled: &Compiled, takeoff: &Takeoff, catalogue: &Catalogue) -> String {
    let mut legend = String::new();
    let mut line = |name: String, what: &str| {
        // A comment ends with its line, whatever a workbook says.
        let what: String = what.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
        // Writing to a string cannot fail.
        let _ = writeln!(legend, "* {name} {what}");
    };
    for (at, &need) in compiled.needs.iter().enumerate() {
        line(format!("need{at}"), &takeoff.need(need).title(catalogue));
    }
    for (at, &part) in compiled.parts.iter().enumerate() {
        line(format!("p{at}"), &catalogue.part(part).title);
    }
    for (at, &offer) in compiled.offers.iter().enumerate() {
        let offer = catalogue.offer(offer);
        let (part, supplier) = (catalogue.part(offer.part), catalogue.supplier(offer.supplier));
        line(format!("n{at}"), &format!("{}, pack of {}, {} of {}", part.title, offer.pack, offer.code, supplier.title));
    }
    for (at, &supplier) in compiled.suppliers.iter().enumerate() {
        line(format!("y{at}"), &catalogue.supplier(supplier).title);
    }
    let programme = to_mps(&compiled.programme);
    programme.strip_prefix(HEADER).map_or_else(|| programme.clone(), |rows| format!("{HEADER}{legend}{rows}"))
}

/// Writes a programme as free MPS. All variables are whole, with bounds written out.
pub fn to_mps(programme: &Programme) -> String {
    let mut mps = Mps::default();
    let parts = mps.needs(programme);
    mps.stock(programme, &parts);
    mps.orders(programme);
    mps.text()
}

/// The sense of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Sense {
    AtLeast,
    AtMost,
}

/// A variable: what one costs, the most, and its coefficients by row.
#[derive(Debug, Default)]
struct Column {
    cost: i64,
    most: i64,
    entries: BTreeMap<usize, i64>,
}

/// Rows and columns, in the order in which they came up.
#[derive(Debug, Default)]
struct Mps {
    rows: Vec<(String, Sense, i64)>,
    names: Vec<String>,
    columns: BTreeMap<String, Column>,
}

impl Mps {
    fn row(&mut self, name: String, sense: Sense, due: i64) -> usize {
        self.rows.push((name, sense, due));
        self.rows.len() - 1
    }

    fn column(&mut self, name: String, cost: i64, most: i64) {
        self.names.push(name.clone());
        self.columns.insert(name, Column { cost, most, ..Column::default() });
    }

    fn put(&mut self, row: usize, column: &str, value: i64) {
        if let Some(column) = self.columns.get_mut(column) {
            *column.entries.entry(row).or_default() += value;
        }
    }

    /// Rows of the needs. Returns for each part what is used of it: columns with how many each takes.
    fn needs(&mut self, programme: &Programme) -> Vec<Vec<(String, i64)>> {
        let mut used = vec![Vec::new(); programme.parts.len()];
        for (at, need) in programme.needs.iter().enumerate() {
            match need {
                Need::Amount { amount, gains } => {
                    let row = self.row(format!("need{at}"), Sense::AtLeast, *amount);
                    for &(part, gain) in gains {
                        let name = format!("x{at}p{part}");
                        self.column(name.clone(), 0, (amount + gain - 1) / gain);
                        self.put(row, &name, gain.min(*amount));
                        used[part].push((name, 1));
                    }
                }
                Need::Pieces { pieces, .. } => {
                    for (piece, &(_, count)) in pieces.iter().enumerate() {
                        self.row(format!("need{at}_{piece}"), Sense::AtLeast, count);
                    }
                }
            }
        }
        for (part, used) in used.iter_mut().enumerate() {
            self.sticks(programme, part, used);
        }
        used
    }

    /// The sticks that may be cut from a part, each with what is cut from it.
    fn sticks(&mut self, programme: &Programme, part: usize, used: &mut Vec<(String, i64)>) {
        let plain = programme.parts[part];
        let cut: Vec<usize> = (0..programme.needs.len())
            .filter(|&need| matches!(&programme.needs[need], Need::Pieces { parts, .. } if parts.contains(&part)))
            .collect();
        let most = Cutting::new(programme, &cut, &[vec![part]]).most()[0];
        for stick in 0..if cut.is_empty() { 0 } else { most } {
            let name = format!("k{part}_{stick}");
            self.column(name.clone(), 0, 1);
            used.push((name.clone(), 1));
            let room = plain.length + plain.kerf;
            let row = self.row(format!("room{part}_{stick}"), Sense::AtMost, 0);
            self.put(row, &name, -room);
            if stick > 0 {
                // Sticks are cut in turn.
                let row = self.row(format!("turn{part}_{stick}"), Sense::AtMost, 0);
                self.put(row, &name, 1);
                self.put(row, &format!("k{part}_{}", stick - 1), -1);
            }
            for &need in &cut {
                let Need::Pieces { pieces, .. } = &programme.needs[need] else { continue };
                for (piece, &(length, count)) in pieces.iter().enumerate().filter(|(_, piece)| piece.0 <= plain.length) {
                    let cuts = format!("c{need}_{piece}p{part}_{stick}");
                    self.column(cuts.clone(), 0, count.min(room / (length + plain.kerf)));
                    self.put(row, &cuts, length + plain.kerf);
                    if let Some(met) = self.rows.iter().position(|row| row.0 == format!("need{need}_{piece}")) {
                        self.put(met, &cuts, 1);
                    }
                }
            }
        }
    }

    /// Of each part no more is used than there is; the packs of its offers are columns.
    fn stock(&mut self, programme: &Programme, used: &[Vec<(String, i64)>]) {
        for (part, used) in used.iter().enumerate() {
            let row = self.row(format!("part{part}"), Sense::AtMost, programme.parts[part].stock);
            let mut wanted = 0;
            for (name, takes) in used {
                self.put(row, name, *takes);
                wanted += self.columns.get(name).map_or(0, |column| column.most);
            }
            for (at, offer) in programme.offers.iter().enumerate().filter(|(_, offer)| offer.part == part) {
                let most = offer.at_least.max((wanted + offer.pack - 1) / offer.pack);
                self.column(format!("n{at}"), offer.price, most);
                self.put(row, &format!("n{at}"), -offer.pack);
            }
        }
    }

    /// Suppliers: their terms, what is added, and that nothing is bought where nothing is ordered.
    fn orders(&mut self, programme: &Programme) {
        let parcels = programme
            .most_parcels
            .map(|most| self.row("parcels".to_owned(), Sense::AtMost, i64::try_from(most).unwrap_or(i64::MAX)));
        for (at, supplier) in programme.suppliers.iter().enumerate() {
            let once = self.row(format!("once{at}"), Sense::AtMost, 1);
            let floor = self.row(format!("floor{at}"), Sense::AtLeast, 0);
            let added = self.row(format!("added{at}"), Sense::AtMost, 0);
            let terms: Vec<(String, i64)> =
                supplier.terms().enumerate().map(|(t, terms)| (format!("y{at}t{t}"), terms.floor)).collect();
            let highest = terms.iter().map(|terms| terms.1).max().unwrap_or(0);
            self.column(format!("u{at}"), 1, highest);
            self.put(floor, &format!("u{at}"), 1);
            self.put(added, &format!("u{at}"), 1);
            for ((name, least), terms) in terms.iter().zip(supplier.terms()) {
                self.column(name.clone(), terms.fee, 1);
                self.put(once, name, 1);
                self.put(floor, name, -least);
                // Where an order with postage is open to any goods, no more than the postage is added to save it.
                let saves = terms.fee == 0 && supplier.least_order + supplier.postage <= terms.floor && supplier.postage > 0;
                self.put(added, name, -if saves { supplier.postage - 1 } else { terms.floor });
                if let Some(parcels) = parcels {
                    self.put(parcels, name, 1);
                }
            }
            for (offer, plain) in programme.offers.iter().enumerate().filter(|(_, offer)| offer.supplier == at) {
                let packs = format!("n{offer}");
                let Some(most) = self.columns.get(&packs).map(|column| column.most) else { continue };
                self.put(floor, &packs, plain.price);
                let open = self.row(format!("open{offer}"), Sense::AtMost, 0);
                self.put(open, &packs, 1);
                terms.iter().for_each(|(name, _)| self.put(open, name, -most));
                if plain.at_least > 1 {
                    let taken = format!("b{offer}");
                    self.column(taken.clone(), 0, 1);
                    let (least, most_row) = (
                        self.row(format!("least{offer}"), Sense::AtLeast, 0),
                        self.row(format!("most{offer}"), Sense::AtMost, 0),
                    );
                    self.put(least, &packs, 1);
                    self.put(least, &taken, -plain.at_least);
                    self.put(most_row, &packs, 1);
                    self.put(most_row, &taken, -most);
                }
            }
        }
    }

    fn text(&self) -> String {
        let mut text = String::from(HEADER);
        // Writing to a string cannot fail.
        let _ = self.write(&mut text);
        text
    }

    fn write(&self, text: &mut String) -> std::fmt::Result {
        writeln!(text, "NAME purchase\nROWS\n N cost")?;
        for (name, sense, _) in &self.rows {
            writeln!(text, " {} {name}", if *sense == Sense::AtLeast { "G" } else { "L" })?;
        }
        writeln!(text, "COLUMNS\n MARK0 'MARKER' 'INTORG'")?;
        for name in &self.names {
            let Some(column) = self.columns.get(name) else { continue };
            writeln!(text, " {name} cost {}", column.cost)?;
            for (row, value) in &column.entries {
                writeln!(text, " {name} {} {value}", self.rows[*row].0)?;
            }
        }
        writeln!(text, " MARK1 'MARKER' 'INTEND'\nRHS")?;
        for (name, _, due) in self.rows.iter().filter(|row| row.2 != 0) {
            writeln!(text, " rhs {name} {due}")?;
        }
        writeln!(text, "BOUNDS")?;
        for name in &self.names {
            writeln!(text, " UP bound {name} {}", self.columns.get(name).map_or(0, |column| column.most))?;
        }
        writeln!(text, "ENDATA")
    }
}
