//! The sheet that is printed in the page's place: title, board, day, duties, what is to be built, and the link.
//!
//! It is made when the browser is about to print and taken away after that.

use super::duties::use_duties;
use super::later::use_later;
use super::links;
use super::store::use_store;
use crate::sheet::verdict;
use crate::works::{Bill, materials_said};
use leptos::ev;
use leptos::prelude::*;

/// Makes the sheet while the browser prints.
#[component]
pub fn PrintSheet() -> impl IntoView {
    let prints = RwSignal::new(false);
    let begins = window_event_listener(ev::beforeprint, move |_| prints.set(true));
    let ends = window_event_listener(ev::afterprint, move |_| prints.set(false));
    on_cleanup(move || {
        begins.remove();
        ends.remove();
    });
    let later = use_later();
    move || {
        prints.get().then(|| match later.part() {
            Some(part) => (part.sheet)(),
            None => view! {
                <article class="print-sheet">
                    <p>"The sheet is not ready: a part of the page for it is not there yet. Print again in a moment."</p>
                </article>
            }
            .into_any(),
        })
    }
}

/// The sheet.
#[component]
pub fn Sheet() -> impl IntoView {
    let (store, duties) = (use_store(), use_duties());
    let (title, notes) = store.with_plan(|plan| (plan.title.clone(), plan.notes.clone()));
    let title = if title.is_empty() {
        "Untitled".to_string()
    } else {
        title
    };
    let moment = store.with(|editor| {
        let day = editor.plan().world.day_ms();
        crate::sheet::words::moment(editor.moment(), day)
    });
    let picture = store.with(|editor| editor.picture());
    let chart = document().query_selector(".log .chart-body").ok().flatten();
    let chart = chart.map(|chart| chart.outer_html());
    let said = untrack(|| duties.verdicts());
    let duties: Vec<_> = store.with_plan(|plan| {
        let of = |(at, duty)| {
            let verdict = said
                .as_ref()
                .and_then(|said| Some(verdict::of_duty(&said.check, said.verdict(at)?)));
            let verdict = verdict
                .map(|verdict| format!(": {verdict}"))
                .unwrap_or_default();
            view! { <li>{verdict::duty(plan, duty)}{verdict}</li> }
        };
        plan.duties.iter().enumerate().map(of).collect()
    });
    let caution = store.with_plan(|plan| plan.book.book.caution.clone());
    let bill = store.with_plan(Bill::of);
    let lines: Vec<_> = bill
        .parts
        .iter()
        .map(|line| view! { <li>{format!("{} × {}", line.count, line.label)}</li> })
        .collect();
    view! {
        <article class="print-sheet">
            <h1>{title}</h1>
            {(!notes.is_empty()).then_some(view! { <p>{notes}</p> })}
            {picture.map(|picture| view! {
                <figure>
                    <div class="print-board" inner_html=picture></div>
                    <figcaption>{moment}</figcaption>
                </figure>
            })}
            {chart.map(|chart| view! { <h2>"The day"</h2> <div class="chart" inner_html=chart></div> })}
            {(!duties.is_empty()).then_some(view! { <h2>"Duties"</h2> <ul>{duties}</ul> })}
            <h2>"To build"</h2>
            <ul class="print-parts">{lines}</ul>
            <p>{format!("Materials: {}. Stage {}.", materials_said(&bill.materials), bill.stage)}</p>
            <h2>"Link"</h2>
            <p class="print-link">{links::address(store)}</p>
            <p class="aside">
                "Duskline plans power for invented worlds. Real installations follow local codes and licensed practice."
            </p>
            {(!caution.is_empty()).then_some(view! { <p class="aside">{caution}</p> })}
        </article>
    }
}
