//! From the plan to the hands, in a window of its own: what is to be gathered, which cables are laid, and in which order it
//! is built. Each tab is a file or a folder beside this one. What a plan needs, what of it is missing and in which steps it
//! is built is the core's business.

mod cables;
mod gather;
mod readings;
mod steps;
mod take_away;

use super::caution::Caution;
use super::jobs::Jobs;
use super::store::use_store;
use super::tab_row::{TabRow, tab_id};
use leptos::prelude::*;

/// What the ids of the tabs begin with.
const TABS: &str = "build-tab";

/// The tabs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Tab {
    Gather,
    Cables,
    Steps,
}

impl Tab {
    const ALL: [Tab; 3] = [Tab::Gather, Tab::Cables, Tab::Steps];

    fn name(self) -> &'static str {
        match self {
            Tab::Gather => "Gather",
            Tab::Cables => "Cables",
            Tab::Steps => "Order of work",
        }
    }

    fn view(self) -> AnyView {
        match self {
            Tab::Gather => view! { <gather::Gather/> }.into_any(),
            Tab::Cables => view! { <cables::Cables/> }.into_any(),
            Tab::Steps => view! { <steps::Steps/> }.into_any(),
        }
    }
}

/// Which tab is open; it stays while the window is closed. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
struct OpenTab(RwSignal<Tab>);

/// Provides what the window needs. Call it in the page's root.
pub fn start(jobs: Jobs) {
    let store = jobs.store();
    provide_context(OpenTab(RwSignal::new(Tab::Gather)));
    provide_context(gather::Gathering::start(store));
    provide_context(readings::BaseReadings::start(store));
    let ticking = steps::Ticking::start(store);
    provide_context(ticking);
    provide_context(steps::StepsJob::start(jobs, ticking));
}

/// What stands in the window.
#[component]
pub fn BuildPage() -> impl IntoView {
    let store = use_store();
    let has_parts = Memo::new(move |_| {
        store.revision();
        store.with_plan(|plan| !plan.parts.is_empty())
    });
    let OpenTab(open) = expect_context();
    let turn = move |to: Tab| open.set(to);
    let tabs = Tab::ALL.map(|one| (one, one.name())).to_vec();
    let nothing = || {
        view! {
            <p>
                "This plan has no parts yet. Drag some from the shelf onto the board, or open an example: what they need is listed here then."
            </p>
        }
    };
    view! {
        <TabRow label="Pages of building" prefix=TABS panel="build-page" tabs=tabs open turn/>
        <div class="build-page" id="build-page" role="tabpanel" aria-labelledby=move || tab_id(TABS, open.get().name())>
            <Show when=move || has_parts.get() fallback=nothing>{move || open.get().view()}</Show>
        </div>
        <Caution/>
    }
}
