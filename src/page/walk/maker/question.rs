//! What a step asks, as somebody types it: the question, the answers a line each, which is right, and why. It is kept once
//! there is a text and two answers, and gone once there is nothing.

use super::Maker;
use crate::limits::{ANSWERS, WALK_TEXT};
use crate::plan::{WalkQuestion, WalkStep};
use leptos::prelude::*;

/// What is typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Draft {
    asks: String,
    answers: String,
    right: usize,
    because: String,
}

impl Draft {
    fn of(question: Option<&WalkQuestion>) -> Draft {
        question.map_or_else(Draft::default, |question| Draft {
            asks: question.asks.clone(),
            answers: question.answers.join("\n"),
            right: question.right,
            because: question.because.clone(),
        })
    }

    fn answers(&self) -> Vec<String> {
        let lines = self.answers.lines().map(str::trim);
        lines
            .filter(|line| !line.is_empty())
            .map(String::from)
            .collect()
    }

    fn is_blank(&self) -> bool {
        self.asks.trim().is_empty() && self.answers().is_empty() && self.because.trim().is_empty()
    }

    /// The question; none where something is missing.
    fn question(&self) -> Option<WalkQuestion> {
        let answers = self.answers();
        let is_whole = !self.asks.trim().is_empty() && (2..=ANSWERS).contains(&answers.len());
        is_whole.then(|| WalkQuestion {
            asks: self.asks.trim().into(),
            right: self.right.min(answers.len() - 1),
            answers,
            because: self.because.trim().into(),
            extra: serde_json::Map::new(),
        })
    }
}

/// The form.
#[component]
pub(super) fn QuestionForm(maker: Maker, index: usize, step: Memo<WalkStep>) -> impl IntoView {
    let kept = Memo::new(move |_| step.with(|step| step.question.clone()));
    let draft = RwSignal::new(Draft::of(kept.get_untracked().as_ref()));
    // What comes from elsewhere, by undo for one, stands in the form.
    Effect::watch(
        move || kept.get(),
        move |question, _, _| {
            if draft.with_untracked(Draft::question) != *question {
                draft.set(Draft::of(question.as_ref()));
            }
        },
        false,
    );
    let change = move |with: Box<dyn FnOnce(&mut Draft)>| {
        draft.update(with);
        let (now, is_blank) = draft.with_untracked(|draft| (draft.question(), draft.is_blank()));
        let is_other = kept.with_untracked(|kept| *kept != now);
        if is_other && (now.is_some() || is_blank) {
            maker.set(index, "set the question of a step", move |step| {
                step.question = now
            });
        }
    };
    let missing = move || {
        let is_missing = draft.with(|draft| !draft.is_blank() && draft.question().is_none());
        is_missing.then(|| {
            let says = format!(
                "Not kept yet: a question needs its text and 2 to {ANSWERS} answers, a line each."
            );
            view! { <p class="wrong" role="status">{says}</p> }
        })
    };
    let number = index + 1;
    let name = move || match kept.with(Option::is_some) {
        true => "Its question",
        false => "Ask a question",
    };
    let options = move || {
        let answers = draft.with(Draft::answers);
        let right = draft.with(|draft| draft.right.min(answers.len().saturating_sub(1)));
        let option = |(at, text): (usize, String)| {
            view! { <option value=at.to_string() selected={at == right}>{text}</option> }
        };
        answers.into_iter().enumerate().map(option).collect_view()
    };
    let most = WALK_TEXT.to_string();
    view! {
        <details class="walk-ask">
            <summary aria-label=move || format!("{}, step {number}", name())>{name}</summary>
            <label>"Question"
                <input type="text" maxlength=most.clone() prop:value=move || draft.with(|d| d.asks.clone())
                    on:change=move |ev| { let text = event_target_value(&ev); change(Box::new(move |d| d.asks = text)) }/>
            </label>
            <label>"Answers, a line each"
                // What may be the right one follows while it is typed; kept it is once the field is left.
                <textarea rows="3" maxlength=most.clone() prop:value=move || draft.with(|d| d.answers.clone())
                    on:input=move |ev| { let text = event_target_value(&ev); draft.update(|d| d.answers = text) }
                    on:change=move |ev| { let text = event_target_value(&ev); change(Box::new(move |d| d.answers = text)) }></textarea>
            </label>
            <label>"The right one"
                <select on:change=move |ev| {
                    let at = event_target_value(&ev).parse().unwrap_or(0);
                    change(Box::new(move |d| d.right = at));
                }>{options}</select>
            </label>
            <label>"Why, said once somebody has answered"
                <textarea rows="2" maxlength=most prop:value=move || draft.with(|d| d.because.clone())
                    on:change=move |ev| { let text = event_target_value(&ev); change(Box::new(move |d| d.because = text)) }></textarea>
            </label>
            {missing}
        </details>
    }
}
