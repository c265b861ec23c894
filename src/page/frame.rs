//! The page's frame: a bar on top, the shelf on the left, the board in the middle, details and problems on the right,
//! the station log and the dial below the board; on a narrow screen one drawer from below for the panes.

use super::state::{Bench, Pane};
use leptos::prelude::*;
use std::time::Duration;

/// The whole page.
#[component]
pub fn Frame() -> impl IntoView {
    let bench = Bench::new();
    provide_context(bench);
    super::storage::Keeper::start(bench);
    let jobs = super::jobs::Jobs::new(bench);
    provide_context(jobs);
    provide_context(super::day::Run::start(jobs));
    provide_context(super::duties::DutiesJob::start(jobs));
    provide_context(super::losses::LossesJob::start(jobs));
    provide_context(super::logic::LogicJob::start(jobs));
    provide_context(super::findings::FindingsJob::start(jobs));
    provide_context(super::compare::Variants::start(jobs));
    provide_context(super::sizes::SizesJob::start(jobs));
    view! {
        <div class="frame" class:drawn=move || bench.pane().get().is_some()>
            <header class="bar">
                <super::toolbar::Toolbar/>
            </header>
            <aside class="shelf" class:open=open(bench, Pane::Shelf) aria-label="Shelf">
                <super::shelf::Shelf/>
            </aside>
            <main class="board" aria-label="Board">
                <super::board::Board/>
                <super::trial::TrialBanner/>
                <super::welcome::Welcome/>
            </main>
            <aside
                class="details"
                class:open=open_right(bench)
                class:of-problems=open(bench, Pane::Problems)
                aria-label="Details and problems"
            >
                <div class="pane-details"><super::details::Details/></div>
                <div class="pane-problems"><super::problems::Problems/></div>
            </aside>
            <super::log::Log open=open(bench, Pane::Log)/>
            <section class="dial" aria-label="Time">
                <super::dial::Dial/>
            </section>
            <nav class="drawer" aria-label="Panes">
                <Tab pane=Pane::Shelf name="Shelf"/>
                <Tab pane=Pane::Details name="Details"/>
                <Tab pane=Pane::Problems name="Problems"/>
                <Tab pane=Pane::Log name="Log"/>
            </nav>
            <Notice/>
        </div>
    }
}

fn open(bench: Bench, pane: Pane) -> impl Fn() -> bool + Send + Sync + Copy {
    move || bench.pane().get() == Some(pane)
}

fn open_right(bench: Bench) -> impl Fn() -> bool + Send + Sync + Copy {
    move || matches!(bench.pane().get(), Some(Pane::Details | Pane::Problems))
}

/// A button that opens and closes one pane of the drawer.
#[component]
fn Tab(
    /// The pane.
    pane: Pane,
    /// Its name on the button.
    name: &'static str,
) -> impl IntoView {
    let bench = super::state::use_bench();
    let is_open = open(bench, pane);
    let turn = move |_| {
        bench
            .pane()
            .update(|p| *p = if *p == Some(pane) { None } else { Some(pane) })
    };
    view! {
        <button type="button" class="tab" aria-expanded=move || is_open().to_string() on:click=turn>
            {name}
        </button>
    }
}

/// The polite line: what was done or could not be; it goes after six seconds.
#[component]
fn Notice() -> impl IntoView {
    let bench = super::state::use_bench();
    let text = bench.notice_text();
    Effect::new(move |before: Option<Option<TimeoutHandle>>| {
        before.flatten().inspect(TimeoutHandle::clear);
        if text.with(String::is_empty) {
            return None;
        }
        set_timeout_with_handle(move || text.set(String::new()), Duration::from_secs(6)).ok()
    });
    view! {
        <div class="notice" role="status" aria-live="polite" class:shown=move || !text.with(String::is_empty)>
            {move || text.get()}
        </div>
    }
}
