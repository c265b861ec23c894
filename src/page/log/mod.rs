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
use grip::Grip;
use leptos::prelude::*;
use leptos::{ev, html};
use wasm_bindgen::JsCast;

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
            bring_in(&tab_id(*page));
        },
        false,
    );
    let turn = move |to: LogPage| {
        page.set(to);
        folded.set(false);
    };
    let tab = move |one: LogPage| {
        let is_open = Memo::new(move |_| page.get() == one);
        view! {
            <button type="button" class="log-tab" role="tab" id=tab_id(one) aria-controls="log-page"
                aria-selected=move || is_open.get().to_string()
                tabindex=move || if is_open.get() { "0" } else { "-1" }
                on:click=move |_| turn(one)>
                {one.name()}
            </button>
        }
    };
    // The keys of tabs by the ARIA Authoring Practices Guide, W3C; Tab reaches the open one alone.
    let step = move |ev: ev::KeyboardEvent| {
        let all = LogPage::ALL;
        let at = all.iter().position(|one| *one == page.get_untracked());
        let (at, last) = (at.unwrap_or(0), all.len() - 1);
        let to = match ev.key().as_str() {
            "ArrowRight" => (at + 1) % all.len(),
            "ArrowLeft" => (at + last) % all.len(),
            "Home" => 0,
            "End" => last,
            _ => return,
        };
        ev.prevent_default();
        turn(all[to]);
        if let Some(tab) = document().get_element_by_id(&tab_id(all[to])) {
            let _ = tab.unchecked_into::<web_sys::HtmlElement>().focus();
        }
    };
    let later = use_later();
    let play = move || (page.get() == LogPage::Day && !folded.get()).then(|| later.part());
    let shown = move || later.place(move |part| (part.log_page)(page.get()));
    let style = move || format!("--log-height: {}px", height.get());
    view! {
        <section class="log" class:open=open class:folded=move || folded.get() style=style aria-label="Station log">
            <Grip height keep/>
            <div class="log-head">
                <div class="log-tabs" role="tablist" aria-label="Pages of the log" on:keydown=step>{LogPage::ALL.map(tab)}</div>
                {move || play().flatten().map(|part| (part.play)())}
                <button type="button" class="log-fold" aria-expanded=move || (!folded.get()).to_string()
                    on:click=move |_| folded.update(|f| *f = !*f)>
                    {move || if folded.get() { "Unfold" } else { "Fold" }}
                </button>
            </div>
            <div class="log-page" id="log-page" role="tabpanel" aria-labelledby=move || tab_id(page.get())
                node_ref=frame hidden=move || folded.get()
                on:scroll:capture=move |ev| scrolls.note(page.get_untracked(), &ev)>
                {move || (!folded.get()).then(shown)}
            </div>
        </section>
    }
}

/// Scrolls the row of tabs, which may be longer than a narrow screen is wide, as little as shows this one.
fn bring_in(tab: &str) {
    let tab = document().get_element_by_id(tab);
    let Some(tab) = tab.and_then(|tab| tab.dyn_into::<web_sys::HtmlElement>().ok()) else {
        return;
    };
    let Some(row) = tab.parent_element() else {
        return;
    };
    let (all, one) = (
        row.get_bounding_client_rect(),
        tab.get_bounding_client_rect(),
    );
    let by = (one.left() - all.left()).min(0.0) + (one.right() - all.right()).max(0.0);
    row.set_scroll_left(row.scroll_left() + by.round() as i32);
}

fn tab_id(of: LogPage) -> String {
    format!("log-tab-{}", of.name())
}
