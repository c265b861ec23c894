//! The page's frame: a bar on top, the shelf on the left, the board in the middle, details and problems on the right,
//! the station log and the dial below the board; on a narrow screen one drawer from below for the panes.

use super::later::{Fetch, Later};
use super::store::{Pane, Store};
use super::windows::{WindowKind, Windows};
use crate::editor::Drawing;
use leptos::prelude::*;
use std::time::Duration;

/// The whole page.
#[component]
pub fn Frame(
    /// What the browser keeps.
    loaded: super::keeping::Loaded,
    /// Fetches the second part.
    fetch: Fetch,
) -> impl IntoView {
    let store = Store::new();
    provide_context(store);
    Windows::start();
    let recording = super::recording::Recording::start(store);
    provide_context(recording);
    super::paper::Paper::start();
    let folds = super::fold::Folds::start();
    provide_context(folds);
    super::keeping::Keeper::start(store, loaded);
    let later = Later::start(store, fetch);
    provide_context(later);
    let is_site = move || store.drawing().get() == Drawing::Site;
    // What stands below the board then, with the way out, comes with the second part.
    let is_recorded = move || recording.is_on() && later.part().is_some();
    view! {
        <div
            class="frame"
            class:whole=move || later.part().is_some()
            class:drawn=move || store.pane().get().is_some()
            class:recording=is_recorded
            class:no-shelf=folds.shelf
            class:no-details=folds.details
        >
            <header class="bar">
                <super::toolbar::Toolbar/>
            </header>
            <aside class="shelf" class:open=open(store, Pane::Shelf) aria-label="Shelf">
                <div class="of-board" hidden=is_site><super::shelf::Shelf/></div>
                {move || is_site().then(|| later.place(|part| (part.site_shelf)()))}
            </aside>
            <main class="board" aria-label=move || if is_site() { "Site" } else { "Board" }>
                <div class="board-area">
                    <div class="board-whole" class:behind=is_site inert=move || is_site() || is_recorded()>
                        <super::board::Board/>
                        <super::welcome::Welcome/>
                    </div>
                    {move || is_site().then(|| view! { <div class="site-whole" inert=is_recorded>{later.place(|part| (part.site)())}</div> })}
                </div>
                {move || later.part().map(|part| (part.walk_bar)())}
                <super::preview::PreviewBanner/>
                {move || later.part().map(|part| (part.board_note)())}
                <Notice/>
            </main>
            <aside
                class="details"
                class:open=open_right(store)
                class:of-problems=open(store, Pane::Problems)
                aria-label="Details and problems"
            >
                <div class="pane-details">{later.place(|part| (part.details)())}</div>
                <div class="pane-problems"><super::problems::Problems/></div>
            </aside>
            {move || is_recorded().then(|| later.place(|part| (part.stage)()))}
            <super::log::Log open=open(store, Pane::Log)/>
            <section class="dial" aria-label="Time">
                <super::dial::Dial/>
            </section>
            <nav class="drawer" aria-label="Panes">
                <Tab pane=Pane::Shelf name="Shelf"/>
                <Tab pane=Pane::Details name="Details"/>
                <Tab pane=Pane::Problems name="Problems"/>
                <Tab pane=Pane::Log name="Log"/>
            </nav>
        </div>
        {WindowKind::ALL.map(|kind| view! { <super::dialog::LargeWindow kind/> }).collect_view()}
        <super::print::PrintSheet/>
    }
}

fn open(store: Store, pane: Pane) -> impl Fn() -> bool + Send + Sync + Copy {
    move || store.pane().get() == Some(pane)
}

fn open_right(store: Store) -> impl Fn() -> bool + Send + Sync + Copy {
    move || matches!(store.pane().get(), Some(Pane::Details | Pane::Problems))
}

/// A button that opens and closes one pane of the drawer.
#[component]
fn Tab(
    /// The pane.
    pane: Pane,
    /// Its name on the button.
    name: &'static str,
) -> impl IntoView {
    let store = super::store::use_store();
    let is_open = open(store, pane);
    let turn = move |_| {
        store
            .pane()
            .update(|p| *p = if *p == Some(pane) { None } else { Some(pane) })
    };
    view! {
        <button type="button" class="tab" aria-expanded=move || is_open().to_string() on:click=turn>
            {name}
        </button>
    }
}

/// The polite line: what was done or could not be; it goes after six seconds. It stands on the board, below the bar however
/// high that is, so that the verdict stays in sight.
#[component]
fn Notice() -> impl IntoView {
    let store = super::store::use_store();
    let text = store.notice_text();
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
