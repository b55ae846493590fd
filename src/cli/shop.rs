//! `shop` and `pool`: what to order, for all at once, for a budget, board by board, or for several layouts.

use std::process::ExitCode;

use super::args::{Age, Pool, Shop};
use super::files::{Inputs, read, read_more, spare};
use super::orders::write_orders;
use super::output::{exit_code, show, write_file, write_text};
use super::plan::{Chosen, choose};
use super::progress::watched;
use super::stop::Stop;
use super::tell::tell_notices;
use crate::buying::{beside, compile, to_mps_with_names};
use crate::catalogue::Catalogue;
use crate::cutlist::cutting_list;
use crate::diagnostic::{Code, Diagnostic, Place};
use crate::money::Money;
use crate::phases::{phases, within};
use crate::pooled::pooled;
use crate::report::Document;
use crate::report::view::{self, Plan};
use crate::takeoff::Takeoff;

/// Shows what to order.
pub(super) fn shop(args: &Shop) -> Result<ExitCode, Stop> {
    let files = &args.plan.sources.files;
    for (flag, output) in [("--to", &args.to), ("--mps", &args.mps)] {
        output.as_deref().map_or(Ok(()), |output| spare(files, flag, output))?;
    }
    let inputs = read(files, &args.plan.sources.buying)?;
    let money = args.budget.map(|amount| budget(amount, &inputs)).transpose()?;
    let chosen = choose(&inputs, args.plan.scheme.as_deref())?;
    let plan = chosen.plan(&inputs);
    if let Some(file) = &args.mps {
        let takeoff = &plan.estimate.takeoff;
        let compiled = compile(takeoff, plan.catalogue, plan.choices);
        write_file(file, to_mps_with_names(&compiled, takeoff, plan.catalogue).as_bytes(), args.force)?;
    }
    tell_notices(&notices(plan.catalogue, &args.age));
    let document = watched(plan.catalogue.rates.home, || document(args, &plan, money));
    let Some(to) = &args.to else { return show(&document, &args.plan.sources.look) };
    write_text(&write_orders(&document, to, args.force)?)?;
    Ok(exit_code(&document))
}

fn document(args: &Shop, plan: &Plan, money: Option<Money>) -> Document {
    let fresh = args.age.fresh();
    let Plan { layout, catalogue, choices, estimate, .. } = *plan;
    let beside = |plan: &Plan| beside(&plan.estimate.takeoff, catalogue, choices, &plan.estimate.purchase);
    if args.phases {
        return view::phases(plan, &phases(layout, catalogue, choices, estimate), fresh);
    }
    let Some(money) = money else { return view::shop(plan, &beside(plan), fresh) };
    let budget = within(layout, catalogue, choices, estimate, money);
    // What the list shows is the part of the plan that the budget pays for.
    let mut estimate = estimate.clone();
    estimate.takeoff.clone_from(&budget.takeoff);
    estimate.purchase.clone_from(&budget.purchase);
    estimate.reels = cutting_list(&estimate.takeoff, catalogue, &estimate.purchase, &estimate.wiring);
    let part = Plan { estimate: &estimate, ..*plan };
    view::budget(&part, &budget, &beside(&part), fresh)
}

/// What was passed over in reading, and what is odd about the day of the order.
fn notices(catalogue: &Catalogue, age: &Age) -> Vec<Diagnostic> {
    catalogue.notices.iter().cloned().chain(age.notice(catalogue)).collect()
}

/// A budget in the home currency.
fn budget(amount: rust_decimal::Decimal, inputs: &Inputs) -> Result<Money, Diagnostic> {
    let home = inputs.catalogue.rates.home;
    Money::from_decimal(amount, home).ok_or_else(|| {
        let what = "this is more than any plan costs";
        let problem = Diagnostic::error(Code::OutOfRange, Place::Flag("--budget".into()), what).found(amount.to_string());
        problem.expected(format!("an amount in {} that is smaller", home.code()))
    })
}

/// Shows one order for several layouts.
pub(super) fn pool(args: &Pool) -> Result<ExitCode, Stop> {
    let first = read(&args.plan.sources.files, &args.plan.sources.buying)?;
    let more = args.more.iter().map(|path| read_more(path, &first)).collect::<Result<Vec<Inputs>, Stop>>()?;
    let all: Vec<&Inputs> = std::iter::once(&first).chain(&more).collect();
    tell_notices(&notices(&first.catalogue, &args.age));
    let chosen = all.iter().map(|inputs| choose(inputs, args.plan.scheme.as_deref())).collect::<Result<Vec<Chosen>, _>>()?;
    let plans: Vec<Plan> = chosen.iter().zip(&all).map(|(chosen, inputs)| chosen.plan(inputs)).collect();
    let takeoffs: Vec<&Takeoff> = plans.iter().map(|plan| &plan.estimate.takeoff).collect();
    let (catalogue, choices) = (&first.catalogue, &first.choices);
    let pooled = watched(catalogue.rates.home, || pooled(&takeoffs, catalogue, choices));
    show(&view::pool(&plans, catalogue, &pooled, args.age.fresh()), &args.plan.sources.look)
}
