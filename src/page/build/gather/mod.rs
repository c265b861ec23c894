//! What is to be gathered: the parts and materials of the open plan, with what is there already, which somebody enters or
//! ticks, and what is missing; the list to take away; and beside it that of another plan.

mod beside;
mod entries;
mod sheet;
mod table;
mod take_away;

pub use entries::Gathering;

use crate::page::build::kept_entries::Unkept;
use crate::page::keys;
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
    let stock = gathering.stock;
    let list = Memo::new(move |_| {
        store.revision();
        let of = |entries: &_| store.with_plan(|plan| GatherList::of(plan, entries));
        stock.now().with(of)
    });
    let says = move || list.with(|list| missing_said(&list.bill, &list.missing));
    let key = keys::on_undo(move || stock.put_back());
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
    let stock = gathering.stock;
    let nothing_entered = move || stock.now().with(|entries| entries.is_empty());
    view! {
        <p class="build-acts">
            <button type="button" on:click=move |_| stock.act(|entries, plan| entries.tick_all_parts(plan))>
                "All parts are there"
            </button>
            <button type="button" disabled=nothing_entered on:click=move |_| stock.act(|entries, _| *entries = Default::default())>
                "Nothing is there"
            </button>
            <button type="button" disabled=move || !stock.can_put_back() aria-keyshortcuts="Control+Z"
                title="Takes back the last entry or tick (Ctrl Z)" on:click=move |_| stock.put_back()>
                "Put back"
            </button>
        </p>
        <Unkept why=stock.unkept() does="enter"/>
    }
}
