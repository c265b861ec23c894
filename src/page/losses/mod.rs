//! The log's page of losses: a sentence to quote, a table ranked by damage, pairs on request. Choosing a loss shows the
//! plan as it would be on the board.

mod book;
mod pairs;
mod table;

pub(super) use book::{LossBook, use_losses};

use super::log::AsOf;
use crate::proof::{LossReport, survival};
use crate::sheet::{losses as words, verdict};
use book::{Told, Under};
use leptos::prelude::*;

/// The page. Opened for the first time it tries the losses by itself.
#[component]
pub fn LossPage() -> impl IntoView {
    let book = use_losses();
    let told = book.told();
    if told.with_untracked(Option::is_none) && untrack(|| book.under()).is_none() {
        book.try_all();
    }
    let is_old = Signal::derive(move || book.is_old());
    view! {
        <div class="proof-page">
            <Head/>
            <AsOf is_old/>
            {move || book.failed().map(|why| view! { <p class="aside" role="alert">"Not worked out: "{why}</p> })}
            {move || told.with(|t| t.as_ref().map(points))}
            <table::Table/>
            <pairs::PairTable/>
            <What/>
        </div>
    }
}

/// What the columns mean, in the trade's words, cited.
#[component]
fn What() -> impl IntoView {
    view! {
        <details class="proof-what aside">
            <summary>"What the columns mean"</summary>
            <p>
                "Each loss is tried alone: the plan is run without it until its days repeat. A plan that survives every single \
                 loss keeps what operators of grids call the (N−1) criterion: what remains must be capable of accommodating \
                 the new situation (ENTSO-E, Network Code on Operational Security)."
            </p>
            <p>
                "Load lost a day: hours in which at least one of the broken duties is not served, whatever its size. Unserved a \
                 day: energy that their loads should have had. They are loss-of-load hours and unserved energy in the sense of \
                 NERC's probabilistic assessments, counted over the days that go on repeating, or over all days run where \
                 none does. No chance is involved."
            </p>
            <p>
                "A single point of failure is a part or wire whose loss breaks a duty. A load is always one for its own duty."
            </p>
            <p>"A duty that the whole plan breaks already is not counted against a loss."</p>
        </details>
    }
}

/// The sentence, and the buttons.
#[component]
fn Head() -> impl IntoView {
    let book = use_losses();
    let told = book.told();
    let says = move || told.with(|t| t.as_ref().map(sentence)).unwrap_or_default();
    let empty = book.empty();
    let again = move || match book.under() {
        Some(_) => None,
        None => Some(
            view! { <button type="button" on:click=move |_| book.try_all()>"Try every loss again"</button> },
        ),
    };
    view! {
        <div class="proof-head">
            <p class="proof-says" role="status">{says}</p>
            <Under on=Under::Singles/>
            {again}
            <label class="proof-choice">
                <input type="checkbox" prop:checked=move || empty.get()
                    on:change=move |ev| { empty.set(event_target_checked(&ev)); book.try_all(); }/>
                "Batteries found empty, too"
            </label>
        </div>
    }
}

/// How far it is, and a way to stop it.
#[component]
fn Under(
    /// What is being worked out.
    on: Under,
) -> impl IntoView {
    let book = use_losses();
    let what = match on {
        Under::Singles => "losses",
        Under::Pairs => "pairs",
    };
    move || {
        (book.under() == Some(on)).then(|| {
            let share = move || {
                let (done, of) = book.progress();
                let says = match of {
                    0 => "the whole plan first".to_string(),
                    _ => format!("{done} of {of} {what}"),
                };
                (done as f64 / of.max(1) as f64, says)
            };
            view! {
                <span class="proof-under">
                    <progress aria-label=format!("Trying {what}") value=move || share().0.to_string()/>
                    <span>{move || share().1}</span>
                    <button type="button" on:click=move |_| book.stop()>"Stop"</button>
                </span>
            }
        })
    }
}

fn sentence(told: &Told) -> String {
    if told.plan.duties.is_empty() {
        return "No load has a duty yet, so no loss can break one. Give a load a duty in its details.".into();
    }
    let survival = survival(&told.singles);
    let said = words::survives(&survival, told.kept);
    match told.complete {
        Some((_, true)) => said,
        Some((days, false)) => format!("{said} No day repeats, so that holds for {days} days."),
        None => format!("So far: {said}"),
    }
}

/// Single points of failure, the worst by name; the table has them all.
fn points(told: &Told) -> impl IntoView + use<> {
    let said = words::single_points(&told.plan, &told.singles, &survival(&told.singles));
    said.map(|(says, names)| {
        view! { <p class="proof-points"><strong>{says}": "</strong>{names.join("; ")}"."</p> }
    })
}

/// The duties that a report names, in words.
fn broken(told: &Told, report: &LossReport, which: &[usize]) -> Vec<String> {
    let duty = |at: &usize| {
        let duty = told.plan.duties.get(*at)?;
        let harm = report.harms.binary_search_by_key(at, |h| h.duty).ok()?;
        let harm = &report.harms[harm];
        let mut said = verdict::duty(&told.plan, duty);
        if let Some(first) = harm.first {
            said.push_str(&format!(": from {}", words::moment(&told.plan, first)));
        }
        for (time, what) in [
            (harm.dark, "not served"),
            (harm.needless, "on though it must not be"),
        ] {
            if time > 0 {
                said.push_str(&format!(
                    ", {what} {} a day",
                    words::a_day(time, report.days)
                ));
            }
        }
        Some(said)
    };
    which.iter().filter_map(duty).collect()
}
