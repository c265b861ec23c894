//! What a step asks: the answers as buttons, whether the one chosen is right, in words and by a mark, and why. Going on waits
//! for no answer.

use super::Walks;
use crate::plan::WalkQuestion;
use leptos::prelude::*;

/// A tick and a cross, as SVG path data in a square of 14.
const MARKS: [&str; 2] = ["M2 8l3.5 3.5L12 3", "M3 3l8 8M11 3l-8 8"];

/// The question of the step that is shown, where it has one.
#[component]
pub(super) fn Question(
    /// The walk.
    walks: Walks,
) -> impl IntoView {
    let asked = Memo::new(move |_| {
        let place = walks.store.walk_place()?;
        Some((place.step, walks.store.walk_step()?.question?))
    });
    move || {
        asked
            .get()
            .map(|(step, question)| view! { <Asked walks step question/> })
    }
}

#[component]
fn Asked(
    /// The walk.
    walks: Walks,
    /// The place of the step.
    step: usize,
    /// What it asks.
    question: WalkQuestion,
) -> impl IntoView {
    let WalkQuestion {
        asks,
        answers,
        right,
        because,
        ..
    } = question;
    let chosen = Memo::new(move |_| walks.answers.with(|all| all.get(&step).copied()));
    let answer = move |(at, text): (usize, String)| {
        let is_chosen = move || chosen.get() == Some(at);
        let choose = move |_| {
            walks.answers.update(|all| {
                all.insert(step, at);
            });
        };
        view! {
            <li>
                <button type="button" class="walk-answer" aria-pressed=move || is_chosen().to_string() on:click=choose>
                    {move || is_chosen().then(|| view! { <Mark is_right={at == right}/> })}
                    <span>{text}</span>
                </button>
            </li>
        }
    };
    let told = move || {
        let is_right = chosen.get()? == right;
        let says = match is_right {
            true => "That is right.",
            false => "That is not right. Choose another answer, or go on.",
        };
        let because = because.clone();
        Some(view! { <p><Mark is_right/> <strong>{says}</strong> " " <span>{because}</span></p> })
    };
    view! {
        <div class="walk-question" role="group" aria-labelledby="walk-asks">
            <p id="walk-asks" class="walk-asks">{asks}</p>
            <ul class="walk-answers">{answers.into_iter().enumerate().map(answer).collect_view()}</ul>
            <div class="walk-told" role="status">{told}</div>
        </div>
    }
}

/// A tick, or a cross.
#[component]
fn Mark(
    /// Whether it is a tick.
    is_right: bool,
) -> impl IntoView {
    let [tick, cross] = MARKS;
    let (class, d) = match is_right {
        true => ("walk-mark right", tick),
        false => ("walk-mark", cross),
    };
    view! {
        <svg class=class viewBox="0 0 14 14" width=14 height=14 aria-hidden="true">
            <path d=d/>
        </svg>
    }
}
