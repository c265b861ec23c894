//! From the plan to the hands, in a window of its own: what is to be gathered. Each tab is a file or a folder beside this
//! one. What a plan needs and what of it is missing is the core's business.

mod gather;

pub use gather::Gathering;

use super::caution::Caution;
use super::store::use_store;
use super::tab_row::{TabRow, tab_id};
use leptos::prelude::*;

/// What the ids of the tabs begin with.
const TABS: &str = "build-tab";

/// The tabs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Tab {
    Gather,
}

impl Tab {
    const ALL: [Tab; 1] = [Tab::Gather];

    fn name(self) -> &'static str {
        match self {
            Tab::Gather => "Gather",
        }
    }

    fn view(self) -> AnyView {
        match self {
            Tab::Gather => view! { <gather::Gather/> }.into_any(),
        }
    }
}

/// What stands in the window.
#[component]
pub fn BuildPage() -> impl IntoView {
    let store = use_store();
    let has_parts = Memo::new(move |_| {
        store.revision();
        store.with_plan(|plan| !plan.parts.is_empty())
    });
    let open = RwSignal::new(Tab::Gather);
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
