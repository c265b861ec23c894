//! The sheet that is printed in the page's place: title, board, day, duties, what is to be built and set, and the link, also as
//! a code.
//!
//! It is made when the browser is about to print and taken away after that. Something on the page may ask for another sheet
//! in its place (`paper`).

use super::caution::Caution;
use super::day::use_run;
use super::duties::use_duties;
use super::later::use_later;
use super::links;
use super::paper::use_paper;
use super::store::use_store;
use crate::sheet::day_picture::DayPicture;
use crate::sheet::verdict;
use crate::works::{Bill, StepWords, materials_said};
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
    let (later, paper) = (use_later(), use_paper());
    move || {
        if let Some(sheet) = paper.sheet() {
            return Some(view! { <article class="print-sheet">{sheet.run()}</article> }.into_any());
        }
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
    let bill = store.with_plan(Bill::of);
    let lines: Vec<_> = bill
        .parts
        .iter()
        .map(|line| view! { <li>{format!("{} × {}", line.count, line.label)}</li> })
        .collect();
    let settings = store.with_plan(StepWords::settings).into_iter();
    let settings: Vec<_> = settings.map(|says| view! { <li>{says}</li> }).collect();
    let link = links::address(store);
    let code = crate::picture::code(&link);
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
            <super::site::PrintedSite/>
            <TheDay/>
            {(!duties.is_empty()).then_some(view! { <h2>"Duties"</h2> <ul>{duties}</ul> })}
            <h2>"To build"</h2>
            <ul class="print-parts">{lines}</ul>
            <p>{format!("Materials: {}. Stage {}.", materials_said(&bill.materials), bill.stage)}</p>
            {(!settings.is_empty()).then_some(view! { <h2>"Settings"</h2> <p>"All that is not named here is as the parts come."</p> <ul class="print-settings">{settings}</ul> })}
            <h2>"Link"</h2>
            {code.map(|code| view! { <div class="print-code" inner_html=code></div> })}
            <p class="print-link">{link}</p>
            <Caution/>
        </article>
    }
}

/// The day of the moment shown, with every lane. A table, since the browser repeats its head on every page; no lane is
/// parted, and no heading stands alone at a page's foot.
#[component]
fn TheDay() -> impl IntoView {
    let (store, run) = (use_store(), use_run());
    let answer = untrack(|| run.answer())?;
    let (journey, moment) = (&answer.journey, store.with(|editor| editor.moment()));
    let day = moment / journey.day_ms.max(1);
    let picture = store.with_shown(|plan| DayPicture::of(plan, &journey.record, day));
    let mut rows: Vec<String> = Vec::new();
    let mut row = String::new();
    for strip in &picture.strips {
        strip.figure().write(&mut row);
        if !strip.is_heading {
            rows.push(std::mem::take(&mut row));
        }
    }
    let rows = rows.into_iter();
    let rows: Vec<_> = rows
        .map(|row| view! { <tr><td inner_html=row></td></tr> })
        .collect();
    let mut head = String::new();
    picture.head.figure().write(&mut head);
    Some(view! {
        <table class="print-day">
            <caption><h2>"The day"</h2>{format!("Day {}", day + 1)}</caption>
            <thead><tr><td inner_html=head></td></tr></thead>
            <tbody>{rows}</tbody>
        </table>
    })
}
