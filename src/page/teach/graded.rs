//! The grade of the learner's plan: the verdict, the stars, what fails and when, each to be seen on the board.

use super::grade_job::use_grade;
use super::lessons_window::open_lesson;
use super::progress::use_progress;
use super::{drawn_stars, leave_walk};
use crate::page::jobs::{OutOfDate, UnderWay};
use crate::page::keeping::use_keeper;
use crate::page::store::{Fingerprint, Store, fingerprint, use_store};
use crate::plan::{Exercise, Plan};
use crate::teach::{
    Grade, GradeSentence, SaidGrade, SaidStar, SaidTrial, lesson_of, trial_name, tried,
    tried_without,
};
use leptos::html;
use leptos::prelude::*;
use web_sys::{ScrollIntoViewOptions, ScrollLogicalPosition};

/// The button that asks, and the answer.
#[component]
pub fn Graded() -> impl IntoView {
    let grade = use_grade();
    let job = grade.job();
    let status = job.status();
    let check = Callback::new(move |()| grade.check());
    let stop = Callback::new(move |()| job.stop());
    let store = use_store();
    let old = Signal::derive(move || {
        store.revision();
        let answer = job.answer();
        let is_other = answer.is_some_and(|answer| {
            store.with_plan(|plan| graded_by(plan) != graded_by(&answer.plan))
        });
        is_other && !status.is_running()
    });
    view! {
        <p class="exercise-buttons">
            <button type="button" class="main-act" on:click=move |_| check.run(())>"Check my plan"</button>
            <UnderWay status doing="Checking your plan" stop again=("Check it", check)/>
        </p>
        <OutOfDate when=old/>
        {move || {
            let answer = job.answer()?;
            Some(match &answer.value {
                Ok((grade, said)) => view! { <Verdict grade=grade.clone() said=said.clone()/> }.into_any(),
                Err(why) => view! { <p role="status">{format!("Not graded: {why}.")}</p> }.into_any(),
            })
        }}
        {move || job.is_blank().then(|| view! {
            <p class="aside">"Check your plan as often as you like. It is tried on plain days, and then on what else may come."</p>
        })}
    }
}

/// What a grade depends on: not on who solved it, nor on where things stand on the board.
fn graded_by(plan: &Plan) -> (Fingerprint, Option<Exercise>) {
    let exercise = plan.exercise.as_deref().map(Exercise::as_set);
    (fingerprint(plan), exercise)
}

/// The way to the next lesson, where a lesson is done and there is one.
#[component]
fn NextLesson() -> impl IntoView {
    let (store, keeper, progress) = (use_store(), use_keeper(), use_progress());
    let lessons = progress.lessons();
    let next = store
        .with_plan(|plan| lesson_of(plan, &lessons))
        .map(|at| at + 1);
    next.and_then(|at| {
        let title = lessons.get(at)?.title.clone();
        Some(view! {
            <p><button type="button" class="main-act" on:click=move |_| open_lesson(keeper, at)>{format!("On to {title}")}</button></p>
        })
    })
}

#[component]
fn Verdict(
    /// The grade.
    grade: Grade,
    /// Its words.
    said: SaidGrade,
) -> impl IntoView {
    let (stars, most) = (grade.stars(), grade.most_stars());
    let mark = if grade.kept { "✓" } else { "✗" };
    let SaidGrade {
        verdict,
        breaches,
        overruled,
        trials,
        stars: said_stars,
        ..
    } = said;
    let result = NodeRef::<html::Div>::new();
    // Below a long task on a small screen, it would be out of sight.
    Effect::new(move |_| {
        if let Some(result) = result.get() {
            let nearest = ScrollIntoViewOptions::new();
            nearest.set_block(ScrollLogicalPosition::Nearest);
            result.scroll_into_view_with_scroll_into_view_options(&nearest);
        }
    });
    view! {
        <div node_ref=result>
        <p class="exercise-verdict" class:kept=grade.kept role="status"><span aria-hidden="true">{mark}" "</span>{verdict}</p>
        <p class="exercise-stars" role="img" aria-label=format!("{stars} of {most} stars")>
            {drawn_stars(stars, most)}
        </p>
        {grade.kept.then(|| view! { <NextLesson/> })}
        {section("Against the rules", breaches)}
        {trials.into_iter().map(|trial| view! { <Trial trial/> }).collect_view()}
        {section("Not counted", overruled)}
        </div>
        <h3>"Stars"</h3>
        <ul class="exercise-list">{said_stars.into_iter().map(star).collect_view()}</ul>
    }
}

fn star(star: SaidStar) -> impl IntoView {
    let (mark, word) = if star.won {
        ("★", "Won: ")
    } else {
        ("☆", "Open: ")
    };
    view! {
        <li><span aria-hidden="true">{mark}" "</span>{word}<Sentence sentence=star.sentence/></li>
    }
}

fn section(title: &'static str, all: Vec<GradeSentence>) -> Option<impl IntoView> {
    let row = |sentence| view! { <li><Sentence sentence/></li> };
    (!all.is_empty()).then(|| {
        view! {
            <h3>{title}</h3>
            <ul class="exercise-list">{all.into_iter().map(row).collect_view()}</ul>
        }
    })
}

#[component]
fn Trial(
    /// It.
    trial: SaidTrial,
) -> impl IntoView {
    let (mark, word) = if trial.kept {
        ("✓", "kept")
    } else {
        ("✗", "not kept")
    };
    let row = |sentence| view! { <li><Sentence sentence/></li> };
    view! {
        <h3><span aria-hidden="true">{mark}" "</span>{trial.says}": "{word}</h3>
        <ul class="exercise-list">{trial.sentences.into_iter().map(row).collect_view()}</ul>
    }
}

/// A sentence, with a button that shows on the board what it speaks of.
#[component]
fn Sentence(
    /// It.
    sentence: GradeSentence,
) -> impl IntoView {
    let store = use_store();
    let GradeSentence { says, .. } = sentence.clone();
    let speaks = sentence.at.is_some() || !sentence.parts.is_empty() || !sentence.wires.is_empty();
    let shown = move |_| show(store, &sentence);
    view! {
        {says}
        {speaks.then(|| view! { " "<button type="button" class="small" on:click=shown>"Show on the board"</button> })}
    }
}

/// Shows the plan as it was tried, at the moment that the sentence speaks of; without one, the parts on the learner's own.
fn show(store: Store, sentence: &GradeSentence) {
    leave_walk(store);
    store.end_preview();
    let plan = store.document();
    if let (Some(at), Some(exercise)) = (sentence.at, plan.as_set()) {
        let shown = match &sentence.loss {
            None => tried(&exercise, &plan, sentence.trial),
            Some(loss) => tried_without(&exercise, &plan, sentence.trial, loss),
        };
        if let Ok(shown) = shown {
            let says = match sentence.trial {
                0 => "your plan on plain days".to_string(),
                trial => format!("your plan, {}", trial_name(&exercise, trial)),
            };
            store.preview_plan(&says, shown);
            store.go_to(at);
        }
    }
    // What the sentence is mainly about; that everything else in it were chosen too would say nothing.
    match sentence.parts.first() {
        Some(part) => store.show(std::slice::from_ref(part), &[]),
        None => store.show(&[], &sentence.wires),
    }
}
