//! Plans drafted from what is wanted, in a window of its own: the order on one side, the plans that come of it on the other.
//!
//! The search is the core's, in a worker. An order is this browser's, not a plan's: whoever drafts has one at a time.

mod allowed;
mod answer;
mod chosen;
mod dear;
mod desk;
mod exchange;
mod keeps;
mod nothing;
mod trade_off;
mod want;
mod wants;

use super::caution::Caution;
use super::jobs::Jobs;
use desk::Desk;
use leptos::prelude::*;
use wasm_bindgen::JsCast;

/// Provides what the window needs. Call it in the page's root.
pub fn start(jobs: Jobs) {
    provide_context(Desk::start(jobs));
}

/// The window.
#[component]
pub fn DraftPage() -> impl IntoView {
    let desk: Desk = expect_context();
    if desk.order.with_untracked(|order| order.wants.is_empty()) {
        // Nothing is lost, and what is added next is of the open plan's book.
        desk.take_world();
    }
    view! {
        <div class="draft">
            <section class="draft-order" aria-labelledby="draft-order">
                <h3 id="draft-order">"What is wanted"</h3>
                <p class="draft-jump"><button type="button" class="quiet" on:click=|_| show_plans()>"To the plans"</button></p>
                <exchange::Exchange desk/>
                <wants::Wants desk/>
                <keeps::Keeps desk/>
                <allowed::Allowed desk/>
                <dear::Dear desk/>
            </section>
            <section class="draft-plans" aria-labelledby="draft-plans">
                <h3 id="draft-plans" tabindex="-1">"Plans that do it"</h3>
                <answer::Search desk/>
                <answer::AnswerPane desk/>
            </section>
        </div>
        <Caution/>
    }
}

/// Brings the plans into sight, which stand below the order on a narrow screen, and reading goes on there.
fn show_plans() {
    let heading = document().get_element_by_id("draft-plans");
    if let Some(heading) = heading.and_then(|e| e.dyn_into::<web_sys::HtmlElement>().ok()) {
        heading.scroll_into_view();
        // Focus may be refused, which harms nothing.
        let _ = heading.focus();
    }
}
