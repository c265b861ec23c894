//! What is said of a draft, in whole sentences: its demands, the changes that would make it possible, how far it was searched.

use super::asked::DraftDemand;
use super::impossible::{Impossible, OrderChange};
use super::order::DraftOrder;
use super::search::{DraftAnswer, Searched};
use crate::quantity::Short;
use serde_json::Value;

/// What a want is called: its name, or what the book calls its type; numbered from 1 where another is called the same.
pub fn want_called(order: &DraftOrder, want: usize) -> String {
    let plain = |at: usize| {
        let want = &order.wants[at];
        match want.name.is_empty() {
            true => type_called(order, &want.kind),
            false => want.name.clone(),
        }
    };
    let own = plain(want);
    let same = (0..order.wants.len()).filter(|at| plain(*at) == own);
    match same.clone().count() {
        1 => own,
        _ => {
            let number = same.take_while(|at| *at <= want).count();
            format!("{own} {number}")
        }
    }
}

fn type_called(order: &DraftOrder, kind: &str) -> String {
    let found = order.book.book.find(kind);
    found.map_or_else(|| kind.into(), |found| found.label.clone())
}

/// The names of wants, as in a list.
fn all_called(order: &DraftOrder, wants: &[usize]) -> String {
    let names: Vec<String> = wants.iter().map(|at| want_called(order, *at)).collect();
    names.join(", ")
}

fn days(n: u64) -> String {
    match n {
        1 => "1 dull day".into(),
        n => format!("{n} dull days in a row"),
    }
}

/// A demand of `order`, as what is asked.
pub fn demand_said(order: &DraftOrder, demand: &DraftDemand) -> String {
    let keeps = &order.keeps;
    match demand {
        DraftDemand::Duty(want) => format!("the duty of {}", want_called(order, *want)),
        DraftDemand::May(kind) => {
            let most = order.may.as_ref().and_then(|may| may.get(kind));
            let called = type_called(order, kind);
            match most.copied().flatten() {
                None | Some(0) => format!("that no {called} may be used"),
                Some(most) => format!("that at most {most} × {called} may be used"),
            }
        }
        DraftDemand::Stage => match order.stage {
            Some(stage) => format!("that no part is past stage {stage}"),
            None => "the stage".into(),
        },
        DraftDemand::Material(name) => {
            let there = order.materials.get(name).copied().unwrap_or(0);
            format!("that there is no more than {there} {name}")
        }
        DraftDemand::DullDays => format!("that {} are survived", days(keeps.dull_days)),
        DraftDemand::Hours => {
            format!(
                "that {} h without sun and wind are survived",
                Short(keeps.hours)
            )
        }
        DraftDemand::Losses => format!(
            "that any single loss is survived by {}",
            all_called(order, &keeps.losses)
        ),
        DraftDemand::Reach => format!(
            "that no contact within reach commands {}",
            all_called(order, &keeps.reach)
        ),
        DraftDemand::Switch => match order.switch.as_ref().filter(|s| !s.name.is_empty()) {
            Some(switch) => format!("that one switch turns loads off, {}", switch.name),
            None => "that one switch turns loads off".into(),
        },
    }
}

/// A change of `order` in a sentence, with what it comes to.
pub fn change_said(order: &DraftOrder, change: &OrderChange) -> String {
    let OrderChange {
        demand,
        to,
        materials_sum,
        parts,
        ..
    } = change;
    let came = format!("there is a plan of {parts} parts and {materials_sum} materials");
    let how = match demand {
        DraftDemand::Duty(want) => duty_eased(&want_called(order, *want), &change.change, to),
        DraftDemand::May(kind) => {
            format!("If up to {to} × {} may be used", type_called(order, kind))
        }
        DraftDemand::Stage => format!("If parts up to stage {to} may be used"),
        DraftDemand::Material(name) => format!("With {to} {name}"),
        DraftDemand::DullDays => match to.as_u64() {
            Some(n @ 1..) => format!("If {} are enough", days(n)),
            _ => "If no dull day has to be survived".into(),
        },
        DraftDemand::Hours => match to.as_f64().filter(|hours| *hours > 0.0) {
            Some(hours) => format!("If {} h without sun and wind are enough", Short(hours)),
            None => "If no hour without sun and wind has to be survived".into(),
        },
        DraftDemand::Losses => "If no duty has to stand single losses".into(),
        DraftDemand::Reach => "If contacts within reach may command the loads".into(),
        DraftDemand::Switch => "Without the one switch".into(),
    };
    format!("{how}, {came}.")
}

fn duty_eased(called: &str, change: &str, to: &Value) -> String {
    match (change.rsplit('.').next(), to.as_u64()) {
        (Some("grace_s"), Some(seconds)) if seconds % 60 == 0 => {
            format!("With {} min of grace for {called}", seconds / 60)
        }
        (Some("grace_s"), _) => format!("With {to} s of grace for {called}"),
        _ => format!("If {called} may run at other times, too"),
    }
}

/// Why there is no plan: a sentence that the demands follow, which [`demand_said`] says.
pub fn contradiction_said(impossible: &Impossible) -> &'static str {
    match (impossible.because.as_slice(), impossible.each) {
        ([], _) => "Nothing does what is asked.",
        ([_], true) => "Nothing does what is asked. Leaving this out makes it possible:",
        (_, true) => "Nothing does what is asked. Leaving out any one of these makes it possible:",
        (_, false) => "Nothing does what is asked. These can't all be had together:",
    }
}

/// How far a search went, in a sentence.
pub fn searched_said(answer: &DraftAnswer) -> &'static str {
    match (answer.searched, answer.plans.is_empty()) {
        (Searched::Complete, false) => {
            "Every circuit of the kinds that are searched was tried, or proven to cost more or to fail."
        }
        (Searched::Complete, true) => {
            "No circuit of the kinds that are searched does what is asked."
        }
        (Searched::Stopped, false) => "There are more circuits than were tried.",
        (Searched::Stopped, true) => {
            "No plan was found in as many circuits as are tried. Ask for less, or let more be used."
        }
    }
}
