//! Setting an exercise, in a window of its own: the exercise of the open plan, and the solutions that came back. Every change
//! is one step of undo of the plan.

mod form;
mod free;
mod may;
mod set_hints;
mod trials;

use super::solutions::Solutions;
use super::{Standing, commit, standing};
use crate::page::caution::Caution;
use crate::page::store::{Store, use_store};
use crate::page::tab_row::{TabRow, tab_id};
use crate::page::windows::{WindowKind, use_windows};
use crate::plan::{Edit, Exercise};
use form::{BackToSetting, Form};
use leptos::prelude::*;
use set_hints::RecordHint;

/// What the ids of the tabs begin with.
const TABS: &str = "exercise-tab";

/// The tabs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Tab {
    Exercise,
    Solutions,
}

/// Which tab is open; it stays while the window is closed. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct OpenTab(RwSignal<Tab>);

impl OpenTab {
    /// The exercise first.
    pub fn start() -> OpenTab {
        OpenTab(RwSignal::new(Tab::Exercise))
    }
}

/// The window.
#[component]
pub fn ExerciseWindow() -> impl IntoView {
    let OpenTab(open) = expect_context();
    let (store, standing) = (use_store(), standing());
    let tabs = vec![
        (Tab::Exercise, "The exercise"),
        (Tab::Solutions, "Solutions"),
    ];
    let make = move |_| change(store, "make an exercise of the plan", |_| ());
    let page = move || {
        match (standing.get(), open.get()) {
        (Standing::None, _) => view! {
            <p>"What stands on the board now is what a learner will begin with, and the plan's duties are what he has to keep. Say here what he may build, what is tried on his plan, and which hints he can have."</p>
            <button type="button" class="main-act" on:click=make>"Make an exercise of this plan"</button>
        }
        .into_any(),
        (_, Tab::Exercise) => view! { <Form/> }.into_any(),
        (_, Tab::Solutions) => view! { <Solutions/> }.into_any(),
    }
    };
    view! {
        <TabRow label="Pages of the exercise" prefix=TABS panel="exercise-window" tabs=tabs open turn=move |to| open.set(to)/>
        <div class="exercise-window" id="exercise-window" role="tabpanel"
            aria-labelledby=move || tab_id(TABS, match open.get() { Tab::Exercise => "The exercise", Tab::Solutions => "Solutions" })>
            {page}
        </div>
        <Caution/>
    }
}

/// What whoever sets the exercise does while he solves it, folded away from learners.
#[component]
pub fn WhileSolving() -> impl IntoView {
    let windows = use_windows();
    view! {
        <details class="while-solving">
            <summary>"For whoever sets this exercise"</summary>
            <p class="exercise-buttons">
                <RecordHint/>
                <BackToSetting/>
                <button type="button" on:click=move |_| windows.open(WindowKind::Exercise)>"Change the exercise…"</button>
            </p>
        </details>
    }
}

/// Changes the exercise of the open plan as one step; makes one where there is none.
fn change(store: Store, says: &str, act: impl FnOnce(&mut Exercise)) {
    let plan = store.document();
    let before = plan.exercise.as_deref();
    let mut exercise = before.cloned().unwrap_or_default();
    act(&mut exercise);
    if let Some(beyond) = exercise.beyond_limits() {
        return store.notice(beyond);
    }
    if before != Some(&exercise) {
        commit(store, says, vec![Edit::Exercise(Some(Box::new(exercise)))]);
    }
}

/// Something of the open plan's exercise, followed.
fn of_exercise<T: PartialEq + Send + Sync + 'static>(
    of: impl Fn(&Exercise) -> T + Send + Sync + 'static,
) -> Memo<Option<T>> {
    let store = use_store();
    Memo::new(move |_| {
        store.revision();
        store.with_plan(|plan| plan.exercise.as_deref().map(&of))
    })
}
