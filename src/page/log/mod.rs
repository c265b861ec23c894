//! The station log below the board: what the plan does over its days, on pages of their own. A grip sets its height, a
//! button folds it. The pages' names are tabs. Each page has a height of its own, which is kept in the browser, and
//! scrolls by itself.
//!
//! A page that is not open is not there: it costs nothing. It computes no power.

mod grip;
mod scrolls;

use super::keeping::browser;
use super::later::use_later;
use super::store::{LogPage, use_store};
use super::tab_row::{TabRow, show_tab, tab_id};
use grip::Grip;
use leptos::html;
use leptos::prelude::*;

/// What the ids of the tabs begin with.
const TABS: &str = "log-tab";

/// The log.
#[component]
pub fn Log(
    /// Whether a narrow screen shows it.
    open: impl Fn() -> bool + Send + Sync + Copy + 'static,
) -> impl IntoView {
    let store = use_store();
    let folded = RwSignal::new(false);
    let page = store.log();
    let kept = |page: LogPage| format!("log/{}", page.name());
    let height_of = move |page| {
        let height = browser::read(&kept(page)).and_then(|h| h.parse().ok());
        height.unwrap_or_else(grip::at_first)
    };
    let height = RwSignal::new(height_of(page.get_untracked()));
    // What can't be kept is as at first at the next visit, which harms nothing.
    let keep = move || {
        let _ = browser::write(
            &kept(page.get_untracked()),
            &height.get_untracked().to_string(),
        );
    };
    let (frame, scrolls) = (NodeRef::<html::Div>::new(), scrolls::Scrolls::default());
    // Whoever opens a page from elsewhere wants to see it.
    Effect::watch(
        move || page.get(),
        move |page, _, _| {
            folded.set(false);
            height.set(height_of(*page));
            if let Some(frame) = frame.get_untracked() {
                scrolls.restore(*page, frame.into());
            }
        },
        false,
    );
    let turn = move |to: LogPage| {
        page.set(to);
        folded.set(false);
    };
    // While a narrow screen shows something else, the row of tabs has no width to scroll in.
    Effect::new(move |_| {
        if open() {
            show_tab(tab_id(TABS, page.get().name()));
        }
    });
    let tabs = LogPage::ALL.map(|one| (one, one.name())).to_vec();
    let later = use_later();
    let play = move || (page.get() == LogPage::Day && !folded.get()).then(|| later.part());
    let shown = move || later.place(move |part| (part.log_page)(page.get()));
    let style = move || format!("--log-height: {}px", height.get());
    view! {
        <section class="log" class:open=open class:folded=move || folded.get() style=style aria-label="Station log">
            <Grip height keep/>
            <div class="log-head">
                <TabRow label="Pages of the log" prefix=TABS panel="log-page" tabs=tabs open=page turn/>
                {move || play().flatten().map(|part| (part.play)())}
                <button type="button" class="log-fold" aria-expanded=move || (!folded.get()).to_string()
                    on:click=move |_| folded.update(|f| *f = !*f)>
                    {move || if folded.get() { "Unfold" } else { "Fold" }}
                </button>
            </div>
            <div class="log-page" id="log-page" role="tabpanel" aria-labelledby=move || tab_id(TABS, page.get().name())
                node_ref=frame hidden=move || folded.get()
                on:scroll:capture=move |ev| scrolls.note(page.get_untracked(), &ev)>
                {move || (!folded.get()).then(shown)}
            </div>
        </section>
    }
}
