//! What is to be gathered: the parts and materials of the open plan, with what is there already, which somebody enters or
//! ticks, and what is missing; the list to take away; and beside it that of another plan.

mod beside;
mod entries;
mod table;
mod take_away;

pub use entries::Gathering;

use crate::page::site::use_site;
use crate::page::store::use_store;
use crate::sheet::bill_said::{length_said, missing_said};
use crate::works::{GatherList, WireLength};
use entries::use_gathering;
use leptos::prelude::*;

/// The tab.
#[component]
pub fn Gather() -> impl IntoView {
    let (store, gathering) = (use_store(), use_gathering());
    let list = Memo::new(move |_| {
        store.revision();
        let of = |entries: &_| store.with_plan(|plan| GatherList::of(plan, entries));
        gathering.entries().with(of)
    });
    let says = move || list.with(|list| missing_said(&list.bill, &list.missing));
    // A text field has an undo of its own.
    let key = move |event: web_sys::KeyboardEvent| {
        let undoes = event.ctrl_key() || event.meta_key();
        let is_z = event.key().eq_ignore_ascii_case("z") && !event.shift_key();
        let at = event_target::<web_sys::Element>(&event);
        if undoes && is_z && !at.matches("input[type=text]").unwrap_or(false) {
            event.prevent_default();
            gathering.put_back();
        }
    };
    view! {
        <div class="gather" on:keydown=key>
            <section class="gather-list" aria-labelledby="gather-list">
                <h3 id="gather-list">"Parts and materials"</h3>
                <p class="gather-says" role="status">{says}</p>
                <Acts gathering/>
                <table::Rows gathering list/>
            </section>
            <div class="gather-side">
                <section aria-labelledby="gather-all">
                    <h3 id="gather-all">"In all"</h3>
                    <dl class="numbers">
                        <dt>"Parts"</dt><dd>{move || list.with(|list| list.bill.part_count())}</dd>
                        <dt>"Stage needed"</dt><dd>{move || list.with(|list| list.bill.stage)}</dd>
                        <dt>"Wires"</dt>
                        <dd>{move || list.with(|list| format!("{}{}", list.bill.wires, wire_length().map_or_else(String::new, length_said)))}</dd>
                    </dl>
                    <take_away::TakeAway list/>
                </section>
                <beside::Beside list/>
            </div>
        </div>
    }
}

/// How long all wires are in the plan's site; none without a site. Tracked.
fn wire_length() -> Option<WireLength> {
    use_site().on_site().map(|on_site| on_site.length())
}

/// What is done with all entries at once.
#[component]
fn Acts(gathering: Gathering) -> impl IntoView {
    let nothing_entered = move || gathering.entries().with(|entries| entries.is_empty());
    let unkept = move || {
        let says = |why| view! { <p class="refused" role="status">{why}": what you enter here is gone when the page is closed."</p> };
        gathering.unkept().get().map(says)
    };
    view! {
        <p class="gather-acts">
            <button type="button" on:click=move |_| gathering.act(|entries, plan| entries.tick_all_parts(plan))>
                "All parts are there"
            </button>
            <button type="button" disabled=nothing_entered on:click=move |_| gathering.act(|entries, _| *entries = Default::default())>
                "Nothing is there"
            </button>
            <button type="button" disabled=move || !gathering.can_put_back() aria-keyshortcuts="Control+Z"
                title="Takes back the last entry or tick (Ctrl Z)" on:click=move |_| gathering.put_back()>
                "Put back"
            </button>
        </p>
        {unkept}
    }
}
