//! The documents of every verb, of every example.

use std::sync::LazyLock;

use underboard::buying::{Choices, beside};
use underboard::catalogue::from_starter;
use underboard::choice::compare;
use underboard::mends::price_mends;
use underboard::report::view::{self, Pick, Plan};
use underboard::report::{Block, Document, Table};

use crate::support::layout;

/// The examples by name.
const EXAMPLES: [(&str, &str); 3] = [
    ("shelf", include_str!("../../../examples/shelf.yaml")),
    ("harbour", include_str!("../../../examples/saltmarsh-harbour.yaml")),
    ("exhibition", include_str!("../../../examples/brindlewold-exhibition.yaml")),
];

/// Of each example its name and the document of every verb, worked out once.
pub(crate) static DOCUMENTS: LazyLock<Vec<(&'static str, Vec<Document>)>> =
    LazyLock::new(|| EXAMPLES.into_iter().map(|(name, text)| (name, documents(text))).collect());

fn documents(text: &str) -> Vec<Document> {
    let catalogue = from_starter().unwrap();
    let layout = layout(text, &catalogue);
    let choices = Choices::default();
    let mut comparison = compare(&layout, &catalogue, &choices);
    let compared = view::compare(&layout, &catalogue, &choices, &comparison);
    let mut estimate = comparison.columns.swap_remove(comparison.verdict.column()).estimate;
    price_mends(&layout, &catalogue, &mut estimate, &choices);
    let beside = beside(&estimate.takeoff, &catalogue, &choices, &estimate.purchase);
    let plan = Plan { layout: &layout, catalogue: &catalogue, choices: &choices, estimate: &estimate, pick: Pick::Named };
    let why = view::why(&plan, &view::Why::find(&catalogue, "servo-lead").unwrap());
    vec![
        compared,
        view::bill(&plan),
        view::shop(&plan, &beside, None),
        view::wiring(&plan),
        view::power(&plan),
        view::hours(&plan),
        view::check(&plan),
        why,
    ]
}

/// The tables of a document, in order.
pub(crate) fn tables(document: &Document) -> Vec<&Table> {
    let blocks = document.sections.iter().flat_map(|section| &section.blocks);
    blocks
        .filter_map(|block| match block {
            Block::Table(table) => Some(table),
            _ => None,
        })
        .collect()
}
