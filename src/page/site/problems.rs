//! What does not go in the site, below the plan's own problems; each leads to its place.

use super::runs::{SiteRuns, use_site};
use crate::editor::{Drawing, SiteAct};
use crate::net::Weight;
use crate::page::store::{Store, WrongOnSite, use_store};
use crate::sheet::words::weight_mark;
use crate::works::SiteProblem;
use leptos::prelude::*;

/// Has the bar tell what does not go on the site, while there is such.
pub fn tell(store: Store, site: SiteRuns) {
    Effect::new(move |_| {
        store.worded();
        let on_site = site.on_site();
        let problems = on_site.iter().flat_map(|on_site| on_site.problems());
        let errors: Vec<_> = problems.filter(|p| p.weight() == Weight::Error).collect();
        let wrong = errors.first().map(|first| WrongOnSite {
            errors: errors.len(),
            says: store.with_plan(|plan| first.said(plan)),
            parts: first.parts(),
            wires: first.wires(),
        });
        store.wrong_on_site().set(wrong);
    });
}

/// The list; nothing where all goes.
#[component]
pub fn SiteProblems() -> impl IntoView {
    let store = use_store();
    let site = use_site();
    let problems = Memo::new(move |_| {
        store.worded();
        let on_site = site.on_site();
        store.with_plan(|plan| {
            let all = on_site.iter().flat_map(|on_site| on_site.problems());
            all.map(|problem| (problem.clone(), problem.said(plan)))
                .collect::<Vec<(SiteProblem, String)>>()
        })
    });
    let row = move |(problem, says): (SiteProblem, String)| {
        let weight = problem.weight();
        let lead = move |_| {
            super::act(store, SiteAct::Turn(Drawing::Site));
            store.show(&problem.parts(), &problem.wires());
        };
        view! {
            <li class=weight.word()>
                <button type="button" class="problem" on:click=lead>
                    <svg class="mark" viewBox="0 0 12 12" aria-hidden="true"><path d=weight_mark(weight)/></svg>
                    <span><span class="weight">{weight.label()}": "</span>{says}</span>
                </button>
            </li>
        }
    };
    view! {
        <div hidden=move || problems.with(Vec::is_empty)>
            <h3>"On the site"</h3>
            <ul>{move || problems.get().into_iter().map(row).collect_view()}</ul>
        </div>
    }
}
