//! A purchase as a programme of plain integers: what the search works on, what `to_mps` writes, and what any other solver
//! can be given to check it.
//!
//! Money is whole minor units of one currency, lengths are whole micrometres, all counts are whole. The programme is
//!
//! * minimise, over suppliers, the money spent there plus its postage, as [`Supplier::cost`] says;
//! * the packs of an offer are none, or at least `at_least`;
//! * of each part, no more is used than is in stock and in the packs bought;
//! * each need is met by the parts named in it, and a part used for one need is not used for another.

/// Everything that decides the cheapest purchase. Fields refer to each other by index.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Programme {
    /// Who sells.
    pub suppliers: Vec<Supplier>,
    /// What can be used.
    pub parts: Vec<Part>,
    /// What can be bought.
    pub offers: Vec<Offer>,
    /// What must be met.
    pub needs: Vec<Need>,
    /// The most suppliers that may be ordered from, if that is limited.
    pub most_parcels: Option<usize>,
}

/// A supplier.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Supplier {
    /// Postage of an order.
    pub postage: i64,
    /// Goods from which on there is no postage.
    pub free_from: Option<i64>,
    /// The least goods of an order; 0 if there is none.
    pub least_order: i64,
}

/// One way in which a supplier charges: no less than `floor` for the goods, and `fee` on top.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Terms {
    /// The least that is paid for goods: an order of less is topped up with anything useful.
    pub floor: i64,
    /// Postage.
    pub fee: i64,
}

impl Terms {
    /// What an order with `goods` costs.
    pub fn cost(self, goods: i64) -> i64 {
        goods.max(self.floor).saturating_add(self.fee)
    }
}

impl Supplier {
    /// The terms the buyer may choose from: with postage, and from the threshold on without. Terms that never cost less than others
    /// are left out.
    pub fn terms(&self) -> impl Iterator<Item = Terms> + use<> {
        let paying = Terms { floor: self.least_order, fee: self.postage };
        let free = self.free_from.map(|threshold| Terms { floor: threshold.max(self.least_order), fee: 0 });
        let (first, second) = match free {
            Some(free) if free.floor <= paying.floor => (free, None),
            Some(free) if paying.fee > 0 => (paying, Some(free)),
            _ => (paying, None),
        };
        std::iter::once(first).chain(second)
    }

    /// The cheapest terms for an order with `goods`.
    pub fn terms_for(&self, goods: i64) -> Terms {
        let paying = Terms { floor: self.least_order, fee: self.postage };
        self.terms().min_by_key(|terms| terms.cost(goods)).unwrap_or(paying)
    }

    /// What an order with `goods` costs in all, topping up to the least order, and to the threshold where that is cheaper than the
    /// postage.
    pub fn cost(&self, goods: i64) -> i64 {
        self.terms_for(goods).cost(goods)
    }
}

/// A part.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Part {
    /// How many are at hand, free.
    pub stock: i64,
    /// Its length, where pieces are cut from it; else 0.
    pub length: i64,
    /// What a saw cut takes from it.
    pub kerf: i64,
}

/// An offer of a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Offer {
    /// The part.
    pub part: usize,
    /// Who sells it.
    pub supplier: usize,
    /// Parts in a pack, at least 1.
    pub pack: i64,
    /// The price of a pack.
    pub price: i64,
    /// The least number of packs, at least 1.
    pub at_least: i64,
}

/// A need.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Need {
    /// The gains of the parts used add up to the amount.
    Amount {
        /// How much.
        amount: i64,
        /// Each part that serves, with what one of it gives: 1 for a thing, its channels or ways for a capacity.
        gains: Vec<(usize, i64)>,
    },
    /// Pieces, each cut whole from one part.
    Pieces {
        /// Length and number, longest first, each length once.
        pieces: Vec<(i64, i64)>,
        /// The parts they may be cut from.
        parts: Vec<usize>,
    },
}

impl Need {
    /// The parts that serve.
    pub fn parts(&self) -> impl Iterator<Item = usize> + '_ {
        let (gains, parts): (&[(usize, i64)], &[usize]) = match self {
            Self::Amount { gains, .. } => (gains, &[]),
            Self::Pieces { parts, .. } => (&[], parts),
        };
        gains.iter().map(|&(part, _)| part).chain(parts.iter().copied())
    }
}

impl Programme {
    /// What the packs of each offer cost with all postage and topping up.
    pub fn cost(&self, packs: &[i64]) -> i64 {
        let orders = self.goods(packs).into_iter().zip(&self.suppliers);
        orders.filter_map(|(goods, supplier)| Some(supplier.cost(goods?))).sum()
    }

    /// What is spent on goods at each supplier; `None` where nothing is bought.
    pub fn goods(&self, packs: &[i64]) -> Vec<Option<i64>> {
        let mut goods = vec![None; self.suppliers.len()];
        for (offer, &n) in self.offers.iter().zip(packs).filter(|(_, n)| **n > 0) {
            *goods[offer.supplier].get_or_insert(0) += offer.price * n;
        }
        goods
    }

    /// How many of each part there are with the packs bought and the stock.
    pub fn at_hand(&self, packs: &[i64]) -> Vec<i64> {
        let mut counts: Vec<i64> = self.parts.iter().map(|part| part.stock).collect();
        for (offer, &n) in self.offers.iter().zip(packs) {
            counts[offer.part] += offer.pack * n;
        }
        counts
    }
}
