//! What the user asked of the order on the command line, so that nobody takes it for the cheapest of all.

use super::words::{and, count_of};
use crate::buying::Choices;
use crate::catalogue::Catalogue;
use crate::id::SupplierId;
use crate::report::{Block, Prose, Section, prose};

/// What was asked, and that it may have changed which scheme is taken, unless that was named; nothing where every supplier may be ordered from.
pub(super) fn asked_of(choices: &Choices, catalogue: &Catalogue, schemes: &str) -> Option<Section> {
    let mut section = asked(choices, catalogue)?;
    section.blocks.push(Block::text(schemes));
    Some(section)
}

/// What was asked; nothing where every supplier may be ordered from.
pub(super) fn asked(choices: &Choices, catalogue: &Catalogue) -> Option<Section> {
    let titles = |suppliers: &mut dyn Iterator<Item = SupplierId>| {
        and(&suppliers.map(|supplier| catalogue.supplier(supplier).title.as_str()).collect::<Vec<_>>())
    };
    let mut told: Vec<Prose> = Vec::new();
    if let Some(only) = &choices.only {
        told.push(prose!["Orders go to nobody but ", titles(&mut only.iter().copied()), "."]);
    }
    if !choices.without.is_empty() {
        told.push(prose!["Nothing is ordered from ", titles(&mut choices.without.iter().copied()), "."]);
    }
    if let Some(most) = choices.most_parcels {
        told.push(prose![if most == 1 { "There is at most " } else { "There are at most " }, count_of(most, "order"), "."]);
    }
    (!told.is_empty()).then(|| Section::new("asked", "As you asked", [Block::List(told)]))
}
