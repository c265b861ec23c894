//! One wire: from where to where, what it carries, removing and straightening it.

use crate::editor::Selection;
use crate::page::store::use_store;
use crate::plan::{Edit, End, WireId};
use crate::sheet::words;
use leptos::prelude::*;

/// One wire.
#[component]
pub(super) fn WireDetails(
    /// Its id.
    id: WireId,
    /// What is said of it on the site.
    on_site: AnyView,
) -> impl IntoView {
    let store = use_store();
    let (wire, flow) = (store.wire(&id)?, store.flow(&id)?);
    let unit = store.unit();
    let said = move || words::flow(&flow.get(), &unit);
    let (from, to) = wire.with_untracked(|w| (w.from.clone(), w.to.clone()));
    let bent = Signal::derive(move || wire.with(|w| w.bends.len()));
    let (removed, straight) = (id.clone(), id);
    let straighten = move |_| {
        if bent.get_untracked() > 0 {
            store.commit(
                "straighten a wire",
                vec![Edit::Bend(straight.clone(), Vec::new())],
            );
        }
    };
    let bends = move || match bent.get() {
        0 => "Its course finds itself.".to_string(),
        1 => "Led through 1 bend by hand.".to_string(),
        n => format!("Led through {n} bends by hand."),
    };
    Some(view! {
        <section aria-labelledby="details-title">
            <h2 id="details-title">"Wire"</h2>
            <p class="now" aria-live="polite">{said}</p>
            <dl class="numbers">
                <dt>"From"</dt><dd><EndButton end=from/></dd>
                <dt>"To"</dt><dd><EndButton end=to/></dd>
            </dl>
            <p class="aside">{bends}</p>
        </section>
        {on_site}
        <section aria-label="What to do with it">
            <div class="buttons">
                <button type="button"
                    on:click=move |_| { store.commit("remove a wire", vec![Edit::RemoveWire(removed.clone())]); }>
                    "Remove"
                </button>
                <button type="button" disabled=move || bent.get() == 0 on:click=straighten>"Straighten"</button>
            </div>
        </section>
    })
}

/// One end: its part, which it chooses, and its port.
#[component]
fn EndButton(end: End) -> impl IntoView {
    let store = use_store();
    let part = end.part.clone();
    let said = move || {
        store.revision();
        store.with_plan(|plan| format!("{}, {}", plan.called(&end.part), end.port))
    };
    view! {
        <button type="button" class="quiet" on:click=move |_| store.select(Selection::part(&part))>{said}</button>
    }
}
