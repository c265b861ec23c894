//! What the plan does and why each part is there, as a page of the log and for one part among its details. What sentences
//! speak of is led to by the words themselves. It finds nothing out: a worker does.

mod job;
mod said;
mod why;

pub(super) use job::{ExplainJob, use_explanation};
pub(super) use why::WhyHere;

use super::copy_text;
use super::jobs::{OutOfDate, UnderWay};
use super::store::use_store;
use crate::explain::{SaidExplanation, SaidPassage};
use leptos::prelude::*;
use said::Said;
use wasm_bindgen_futures::spawn_local;

/// The page.
#[component]
pub fn ExplainPage() -> impl IntoView {
    let (store, explanation) = (use_store(), use_explanation());
    let job = explanation.job();
    let status = job.status();
    let stop = Callback::new(move |()| job.stop());
    let again = Callback::new(move |()| explanation.again());
    let is_empty = Memo::new(move |_| store.part_ids().with(Vec::is_empty));
    let body = move || {
        let answer = job.answer()?;
        Some(view! { <Sections said=answer.value.clone()/> })
    };
    let copy = move |_| {
        let Some(answer) = untrack(|| job.answer()) else {
            return;
        };
        let text = store.with_plan(|plan| answer.value.text(&plan.title));
        spawn_local(async move {
            let says = match copy_text::put(&text).await {
                true => "The explanation is on the clipboard.",
                false => "This browser gives no clipboard to the page: mark the text and copy it.",
            };
            store.notice(says.into());
        });
    };
    view! {
        <div class="explain-page">
            <h2 class="unseen">"What the plan does"</h2>
            <div class="explain-head">
                <UnderWay status doing="Explaining" stop again=("Go on", again)/>
                <OutOfDate when=Signal::derive(move || job.is_out_of_date() && !status.is_running())/>
                {move || job.answer().is_some().then(|| view! {
                    <button type="button" on:click=copy>"Copy as text"</button>
                })}
            </div>
            {move || is_empty.get().then(|| view! {
                <p class="aside">"Nothing is on the board yet. Once parts stand there and are wired, this page says in plain words what they do."</p>
            })}
            {body}
        </div>
    }
}

/// All that is told, under its headings.
#[component]
fn Sections(
    /// It.
    said: SaidExplanation,
) -> impl IntoView {
    let SaidExplanation {
        heading,
        groups,
        parts,
        day,
        dull,
        watch,
    } = said;
    let list = |id: &'static str, title: &'static str, all: Vec<SaidPassage>| {
        // The board shows no dull day: what is told of one leads to no moment.
        let is_shown = id != "explain-dull";
        let row = move |said: SaidPassage| view! { <li><Said says=said.says is_shown/></li> };
        (!all.is_empty()).then(|| {
            view! {
                <section aria-labelledby=id>
                    <h3 id=id>{title}</h3>
                    <ul class="explain-list">{all.into_iter().map(row).collect_view()}</ul>
                </section>
            }
        })
    };
    let steps = day.into_iter();
    let steps = steps.map(|(_, said)| view! { <li><Said says=said.says is_shown=true/></li> });
    let steps: Vec<_> = steps.collect();
    let the_day = (!steps.is_empty()).then(|| {
        view! {
            <section aria-labelledby="explain-day">
                <h3 id="explain-day">"The day"</h3>
                <ul class="explain-list">{steps}</ul>
            </section>
        }
    });
    view! {
        <p class="aside"><Said says=heading is_shown=true/></p>
        <div class="explain-columns">
            <div>
                {list("explain-watch", "Watch out", watch)}
                {list("explain-groups", "Groups", groups)}
                {the_day}
                {list("explain-dull", "On a dull day", dull)}
            </div>
            <div>{list("explain-parts", "Parts", parts)}</div>
        </div>
    }
}
