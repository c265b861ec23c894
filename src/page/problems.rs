//! The list of what is wrong at the moment shown, worst first. Each sentence brings what it speaks of to the middle of
//! the board, or to the world's settings where those mend it. A weight is told by a word and by a shape, never by colour alone.

use super::fold::Folds;
use super::later::use_later;
use super::store::{Pane, WrongOnSite, use_store};
use crate::editor::{Drawing, Message, SiteAct};
use crate::net::{Problem, Weight};
use crate::sheet::words::weight_mark;
use leptos::prelude::*;

/// The problems.
#[component]
pub fn Problems() -> impl IntoView {
    let store = use_store();
    let later = use_later();
    let problems = store.problems();
    let on_site = store.wrong_on_site();
    let on_site = move || on_site.with(|site| site.as_ref().map_or(0, |wrong| wrong.errors));
    let said = move || match counts(&problems.get(), on_site()) {
        none if none.is_empty() => "Nothing is wrong at this moment.".to_string(),
        counts => counts,
    };
    let numbered = move || {
        store.worded();
        let mut seen: Vec<(Problem, String)> = Vec::new();
        for p in problems.get() {
            if seen.iter().all(|(known, _)| *known != p) {
                let says = store.with_shown(|plan| p.says(plan));
                seen.push((p, says));
            }
        }
        seen
    };
    view! {
        <section class="problems" class:put-away=move || store.pane().get() == Some(Pane::Details) aria-labelledby="problems-title">
            <h2 id="problems-title">"Problems"</h2>
            <p class="aside" role="status">{said}</p>
            <ul>
                <For each=numbered
                    key=|(p, says)| (p.kind.code(), says.clone(), p.parts.clone(), p.wires.clone())
                    children=|(p, says)| view! { <Entry problem=p says/> }/>
            </ul>
            {move || later.part().map(|part| (part.site_problems)())}
        </section>
    }
}

/// How many there are of each weight, with some errors more, in words; nothing where there are none.
fn counts(problems: &[Problem], errors: usize) -> String {
    let counts = [Weight::Error, Weight::Warning, Weight::Hint].map(|weight| {
        let more = if weight == Weight::Error { errors } else { 0 };
        let count = more + problems.iter().filter(|p| p.weight == weight).count();
        let more = if count == 1 { "" } else { "s" };
        (count > 0).then(|| format!("{count} {}{more}", weight.word()))
    });
    counts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// What is worst.
#[derive(Clone, PartialEq)]
enum WorstProblem {
    /// Of the power.
    Power(Box<Problem>),
    /// Of the site.
    Site(WrongOnSite),
}

/// How many problems there are, and the worst, to be seen without scrolling; it leads to where that one is. A plan with
/// hints only shows none.
#[component]
pub fn Worst() -> impl IntoView {
    let store = use_store();
    let problems = store.problems();
    let on_site = store.wrong_on_site();
    let worst = Memo::new(move |_| {
        let first = problems.with(|all| all.first().cloned());
        let first = first.filter(|p| p.weight != Weight::Hint);
        match (first, on_site.get()) {
            (Some(power), Some(site)) if power.weight != Weight::Error => {
                Some(WorstProblem::Site(site))
            }
            (Some(power), _) => Some(WorstProblem::Power(Box::new(power))),
            (None, site) => site.map(WorstProblem::Site),
        }
    });
    let folds: Folds = expect_context();
    let lead = move |worst: &WorstProblem| match worst {
        WorstProblem::Power(worst) => {
            if worst.kind.asks_for_home_hours() {
                folds.details.set(false);
            }
            store.lead_to(worst);
        }
        WorstProblem::Site(wrong) => {
            store.dispatch(Message::Site(SiteAct::Turn(Drawing::Site)));
            store.show(&wrong.parts, &wrong.wires);
        }
    };
    let says = move |worst: &WorstProblem| match worst {
        WorstProblem::Power(worst) => {
            store.worded();
            store.with_shown(|plan| worst.says(plan))
        }
        WorstProblem::Site(wrong) => wrong.says.clone(),
    };
    let count = move || {
        let more = on_site.with(|site| site.as_ref().map_or(0, |wrong| wrong.errors));
        counts(&problems.get(), more)
    };
    move || {
        worst.get().map(|worst| {
            let says = says(&worst);
            let title = says.clone();
            let of = match &worst {
                WorstProblem::Power(worst) => worst.weight,
                WorstProblem::Site(_) => Weight::Error,
            };
            let class = format!("worst {}", of.word());
            view! {
                <button type="button" class=class title=title
                    on:click=move |_| lead(&worst)>
                    <svg class="mark" viewBox="0 0 12 12" aria-hidden="true"><path d=weight_mark(of)/></svg>
                    <span class="count">{count}</span>
                    <span class="says">{says}</span>
                </button>
            }
        })
    }
}

/// One problem.
#[component]
fn Entry(
    /// The problem.
    problem: Problem,
    /// What it says.
    says: String,
) -> impl IntoView {
    let store = use_store();
    let (weight, code) = (problem.weight, problem.kind.code());
    view! {
        <li class=weight.word()>
            <button type="button" class="problem" data-code=code
                on:click=move |_| store.lead_to(&problem)>
                <svg class="mark" viewBox="0 0 12 12" aria-hidden="true"><path d=weight_mark(weight)/></svg>
                <span><span class="weight">{weight.label()}": "</span>{says}</span>
            </button>
        </li>
    }
}
