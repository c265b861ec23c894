//! Exercises and lessons in the page: a learner solves, whoever teaches sets and looks through what comes back. What a plan
//! is worth is worked out by the core in a worker, anew each time; nothing is graded here.

mod answer_row;
mod grade_job;
mod graded;
mod hand_in;
mod hints;
mod lessons_window;
mod progress;
mod set;
mod solutions;
mod task;

pub use lessons_window::{LessonsPage, open_lesson};
pub use set::ExerciseWindow;

use super::jobs::Jobs;
use super::keeping::{Keeper, use_keeper};
use super::store::{LogPage, Pane, Store, use_store};
use super::windows::{WindowKind, use_windows};
use crate::editor::{Message, WalkAct};
use crate::plan::Edit;
use grade_job::GradeJob;
use hints::HintsShown;
use leptos::prelude::*;
use progress::Progress;
use solutions::SolutionsJob;

/// Provides what exercises need. Call it in the page's root.
pub fn start(jobs: Jobs) {
    let grade = GradeJob::start(jobs);
    provide_context(grade);
    provide_context(Progress::start(jobs.store(), grade));
    provide_context(HintsShown::start(jobs.store()));
    provide_context(SolutionsJob::start(jobs));
    provide_context(set::OpenTab::start());
    let (store, keeper) = (jobs.store(), use_keeper());
    Effect::new(move |_| {
        store.opened();
        untrack(|| lead_learner(store, keeper));
    });
}

/// Whoever opens a plan on which he works at an exercise sees what is asked; on a small screen at once where nothing leads him
/// there first.
fn lead_learner(store: Store, keeper: Keeper) {
    let (is_learner, has_walk) =
        store.with_plan(|plan| (plan.is_solved_by_learner(), plan.walk.is_some()));
    if is_learner {
        store.log().set(LogPage::Exercise);
        if keeper.has_come_in() && !has_walk {
            store.pane().set(Some(Pane::Log));
        }
    }
}

/// How it stands with the exercise of the open plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Standing {
    /// There is none.
    None,
    /// The plan is where it is set.
    Set,
    /// A learner works at it.
    Solved,
}

/// Ends the walk that is followed: what is done with the exercise is done with the plan, and shown in its place.
fn leave_walk(store: Store) {
    store.dispatch(Message::Walk(WalkAct::End));
}

/// Does edits as one step of undo.
fn commit(store: Store, says: &str, edits: Vec<Edit>) {
    leave_walk(store);
    store.commit(says, edits);
}

/// Stars as they are drawn: those that were won, then the rest.
fn drawn_stars(won: u8, most: u8) -> String {
    (0..most).map(|n| if n < won { '★' } else { '☆' }).collect()
}

/// How it stands with the exercise of the open plan, followed.
fn standing() -> Memo<Standing> {
    let store = use_store();
    Memo::new(move |_| {
        store.revision();
        store.with_plan(|plan| match &plan.exercise {
            None => Standing::None,
            Some(_) if plan.is_solved_by_learner() => Standing::Solved,
            Some(_) => Standing::Set,
        })
    })
}

/// The log's page of the exercise.
#[component]
pub fn ExercisePage() -> impl IntoView {
    let standing = standing();
    view! {
        // Whoever is led here by keyboard goes on from its beginning.
        <div class="exercise-page" id="exercise-page" tabindex="-1">
            <h2 class="unseen">"Exercise"</h2>
            {move || match standing.get() {
                Standing::None => view! { <NoExercise/> }.into_any(),
                Standing::Set => view! { <WhereSet/> }.into_any(),
                Standing::Solved => view! { <Solving/> }.into_any(),
            }}
        </div>
    }
}

#[component]
fn NoExercise() -> impl IntoView {
    let windows = use_windows();
    view! {
        <p class="aside">"This plan sets no exercise. The lessons do, one after the other; and you can make an exercise of this plan for others."</p>
        <p class="exercise-buttons">
            <button type="button" on:click=move |_| windows.open(WindowKind::Lessons)>"Lessons…"</button>
            <button type="button" on:click=move |_| windows.open(WindowKind::Exercise)>"Set an exercise…"</button>
        </p>
    }
}

/// What whoever set the exercise sees.
#[component]
fn WhereSet() -> impl IntoView {
    let windows = use_windows();
    view! {
        <task::Task/>
        <p class="aside">"What stands on the board is what a learner begins with. Copy the plan's link and send it: whoever opens it can begin at once."</p>
        <p class="exercise-buttons">
            <hand_in::SolveHere/>
            <button type="button" on:click=move |_| windows.open(WindowKind::Exercise)>"Change the exercise…"</button>
        </p>
    }
}

/// What a learner sees.
#[component]
fn Solving() -> impl IntoView {
    view! {
        <div class="exercise-columns">
            <section aria-label="What is to be done">
                <task::Task/>
                <hints::Hints/>
            </section>
            <section aria-label="What your plan is worth">
                <graded::Graded/>
                <hand_in::HandIn/>
            </section>
        </div>
        <set::WhileSolving/>
    }
}
