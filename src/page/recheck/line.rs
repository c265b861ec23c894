//! How far a round is and what came of it, in one line: below the bar, and where somebody asked for it.

use super::{Rechecks, use_rechecks};
use crate::page::windows::{WindowKind, use_windows};
use leptos::prelude::*;

/// The standing line, until it is put away.
#[component]
pub fn RecheckLine() -> impl IntoView {
    let rechecks = use_rechecks();
    let put_away = move |_| rechecks.is_away.set(true);
    let is_over = move || {
        rechecks
            .report
            .with(|r| r.as_ref().is_some_and(|r| r.is_over))
    };
    let is_shown =
        Memo::new(move |_| !rechecks.is_away.get() && rechecks.report.with(Option::is_some));
    let is_calm = move || !(rechecks.report).with(|r| r.as_ref().is_some_and(|r| r.is_bad_news()));
    view! {
        <Show when=move || is_shown.get()>
            <p class:calm=is_calm>
                <Progress rechecks/>
                <Show when=is_over>
                    <button type="button" class="quiet" on:click=put_away>"Put away"</button>
                </Show>
            </p>
        </Show>
    }
}

/// What is under way or what came of it, with the button that stops it and then opens the report.
#[component]
pub fn Progress(
    /// The plans that are proven.
    rechecks: Rechecks,
) -> impl IntoView {
    let is_over = move || {
        rechecks
            .report
            .with(|r| r.as_ref().is_some_and(|r| r.is_over))
    };
    let says = move || {
        rechecks.report.with(|report| {
            let report = report.as_ref()?;
            Some(if report.is_over {
                report.sentence()
            } else {
                report.proving()
            })
        })
    };
    let done = move || {
        rechecks.report.with(|report| {
            let running = report.as_ref().filter(|report| !report.is_over)?;
            Some(format!(": {} done", running.plans.len()))
        })
    };
    let windows = use_windows();
    // One button throughout, so that the keyboard stays where it is.
    let act = move |_| match untrack(is_over) {
        true => windows.open(WindowKind::Report),
        false => rechecks.stop(),
    };
    view! {
        <span class="recheck-says">
            {says}
            // Each plan that is done would be read out.
            <span aria-live="off">{done}</span>
        </span>
        <button type="button" on:click=act>
            {move || if is_over() { "Report…" } else { "Stop" }}
        </button>
    }
}
