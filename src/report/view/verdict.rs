//! Which scheme to take, in plain words; and what is missing from those that cannot be built.

use super::measures::{Measure, Side};
use super::plan::grave;
use super::words::and;
use crate::choice::{Column, Verdict};
use crate::layout::DecideBy;
use crate::report::{Block, Prose, Section, prose};
use crate::takeoff::Need;

/// Which scheme the rules choose and why, or how to have one chosen.
pub(super) fn which(side: Side) -> Section {
    let blocks = match side.comparison.verdict {
        Verdict::Chosen { column, by, runner_up } => chosen(side, column, by, runner_up),
        Verdict::Open { cheapest, quickest, fewest } => open(side, cheapest, quickest, fewest),
        Verdict::NoneFits { nearest } => {
            let nearest = side.comparison.columns.get(nearest).map_or("", |column| title(side, column));
            vec![Block::text(format!(
                "None of the schemes compared can be built as layout, catalogue and what you ask of the order stand; see what is missing. \
                 {nearest} lacks least, and the other verbs take it."
            ))]
        }
    };
    Section::new("verdict", "Which to take", blocks)
}

fn title<'a>(side: Side<'a>, column: &Column) -> &'a str {
    &side.catalogue.scheme(column.scheme).title
}

/// The measure a decision goes by.
fn measure_of(by: DecideBy) -> Measure {
    match by {
        DecideBy::Money => Measure::Money,
        DecideBy::Hours => Measure::Hours,
        DecideBy::Conductors => Measure::Conductors,
        DecideBy::LifeCost => Measure::LifeCost,
    }
}

fn chosen(side: Side, at: usize, by: Option<DecideBy>, runner_up: Option<usize>) -> Vec<Block> {
    let columns = &side.comparison.columns;
    let Some(column) = columns.get(at) else { return Vec::new() };
    let name = title(side, column);
    let written = side.layout.rules.decide_by.as_ref().map(|by| by.value);
    let because = match by {
        None => prose![
            format!("{name}. It is the cheapest ("),
            Measure::Money.of(side, column),
            "), the quickest to build (",
            Measure::Hours.of(side, column),
            ") and has the fewest conductors over the joints (",
            Measure::Conductors.of(side, column),
            "), so it leads whichever of these counts most."
        ],
        Some(by) if written == Some(by) => prose![
            format!("{name}. Your rules decide by {}, and it has the least: ", by.word()),
            measure_of(by).of(side, column),
            "."
        ],
        Some(by) => prose![
            format!(
                "{name}. Your rules give an hour a value, so that money and time can be weighed together, and it has the least {}: ",
                by.word()
            ),
            measure_of(by).of(side, column),
            "."
        ],
    };
    let mut blocks = vec![Block::Text(because)];
    let fit = columns.iter().filter(|column| column.estimate.can_be_built()).count();
    match (fit, columns.len()) {
        (_, 1) => blocks.push(Block::text("It is the only scheme compared.")),
        (1, _) => blocks.push(Block::text("It is the only one that can be built from this catalogue.")),
        (fit, all) if fit < all => blocks.push(Block::text(format!("Weighed were the {fit} of {all} that can be built."))),
        _ => {}
    }
    if let Some(second) = runner_up.and_then(|at| columns.get(at)) {
        blocks.extend(runner(side, column, second, by));
    }
    blocks
}

/// What the runner-up would cost by the same measure, and what it does better.
fn runner(side: Side, first: &Column, second: &Column, by: Option<DecideBy>) -> Vec<Block> {
    let name = title(side, second);
    let measure = measure_of(by.unwrap_or(DecideBy::Money));
    let told = prose![format!("Next comes {name}, with "), measure.of(side, second), " against ", measure.of(side, first), "."];
    let better: Vec<Prose> = Measure::ALL
        .into_iter()
        .filter_map(|measure| {
            let (theirs, ours) = (measure.of(side, second), measure.of(side, first));
            measure.is_better(&theirs, &ours).then(|| prose![format!("{}: ", measure.title()), theirs, " against ", ours])
        })
        .collect();
    if better.is_empty() {
        return vec![Block::Text(told.then(" It does better in nothing listed here."))];
    }
    vec![Block::Text(told.then(" It does better in this:")), Block::List(better)]
}

/// The leaders, and how to have one chosen.
fn open(side: Side, cheapest: usize, quickest: usize, fewest: usize) -> Vec<Block> {
    let leader = |what: &str, at: usize, measure: Measure| {
        let column = side.comparison.columns.get(at)?;
        Some(prose![format!("{what}: {}, ", title(side, column)), measure.of(side, column)])
    };
    let leaders = [
        leader("Cheapest", cheapest, Measure::Money),
        leader("Quickest to build", quickest, Measure::Hours),
        leader("Fewest conductors over the joints", fewest, Measure::Conductors),
    ];
    let mut blocks = vec![
        Block::text(
            "No scheme is the cheapest, the quickest and the one with fewest conductors at once, and your rules do not say what counts most.",
        ),
        Block::List(leaders.into_iter().flatten().collect()),
    ];
    let words: Vec<String> =
        DecideBy::ALL.iter().filter(|&&by| by != DecideBy::LifeCost).map(|by| format!("`decide by: {}`", by.word())).collect();
    if side.layout.rules.decide_by.as_ref().is_some_and(|by| by.value == DecideBy::LifeCost) {
        blocks.push(Block::text("Your rules decide by life cost, which needs the value of an hour as well."));
    }
    blocks.push(Block::text(format!(
        "To have one chosen, write under `rules:` in {} one of {}; or say what an hour of your time is worth, such as `hour: 8.00`, and money and time are weighed together as life cost. Until then the cheapest is taken.",
        side.layout.file,
        and(&words),
    )));
    blocks
}

/// What to know about the scheme that the other verbs take: where it falls short and what is doubtful, with what mends it.
pub(super) fn known(side: Side) -> Option<Section> {
    let column = side.comparison.columns.get(side.comparison.verdict.column())?;
    let grave = grave(&column.estimate);
    let is_sound = grave.is_empty() && column.estimate.can_be_built();
    let words = if is_sound { "Nothing falls short and nothing is doubtful." } else { "" };
    let rest = format!(
        "{words} Cautions for the work, and all else there is to know: `underboard check {} --scheme {}`, with the options that \
         you gave here.",
        side.layout.file,
        side.catalogue.scheme(column.scheme).name
    );
    let findings = (!grave.is_empty()).then_some(Block::Findings(grave));
    let blocks: Vec<Block> = findings.into_iter().chain([Block::text(rest.trim_start().to_owned())]).collect();
    Some(Section::new("findings", format!("What to know about {}", title(side, column)), blocks))
}

/// What is missing from each scheme that cannot be built.
pub(super) fn missing(side: Side) -> Option<Section> {
    let mut blocks = Vec::new();
    for column in side.comparison.columns.iter().filter(|column| !column.estimate.can_be_built()) {
        let estimate = &column.estimate;
        let need = |need: &Need| {
            let place = need.site.map_or(String::new(), |site| format!(" for {}", site.name(side.layout)));
            format!("{}{place}", need.title(side.catalogue))
        };
        let unmet =
            estimate.purchase.unmet.iter().map(|unmet| format!("{}: {}", need(estimate.takeoff.need(unmet.need)), unmet.why));
        let still: Vec<&str> = side
            .layout
            .drive_ids()
            .filter(|&drive| estimate.assignment.of(drive).is_none())
            .map(|drive| &*side.layout.drive(drive).name)
            .collect();
        let still = (!still.is_empty()).then(|| format!("a scheme that can move {}", and(&still)));
        blocks.push(Block::text(format!("{} lacks:", title(side, column))));
        blocks.push(Block::List(still.into_iter().chain(unmet).map(Prose::from).collect()));
    }
    if !blocks.is_empty() {
        blocks.push(Block::text(
            "What would mend it: an offer by a supplier that you ask (sheet Offers), a part that serves (sheets Parts and Offers), or what \
             you have (sheet Stock).",
        ));
    }
    (!blocks.is_empty()).then(|| Section::new("missing", "What cannot be built, and why", blocks))
}
