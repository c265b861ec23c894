//! One wire: from where to where, what it carries now and at the most, its cable's number and length, removing and
//! straightening it.

use crate::editor::Selection;
use crate::page::cables::use_cables;
use crate::page::store::use_store;
use crate::plan::{Edit, End, WireId};
use crate::sheet::cables_said::CableSaid;
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
    let (cable, removed, straight) = (id.clone(), id.clone(), id);
    let straighten = move |_| {
        if bent.get_untracked() > 0 {
            store.commit(
                "straighten a wire",
                vec![Edit::Bend(straight.clone(), Vec::new())],
            );
        }
    };
    let bends = move || match bent.get() {
        0 => "On the board its line is laid out by itself.".to_string(),
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
                <Cable id=cable/>
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

/// What the cable schedule says of it. A wire of a change that is only tried is in no schedule.
#[component]
fn Cable(id: WireId) -> impl IntoView {
    let (store, cables) = (use_store(), use_cables());
    cables.show();
    let job = cables.job();
    let wire = id.clone();
    let number = move || {
        store.revision();
        let place = store.with_plan(|plan| plan.wire_place(&wire));
        place.map(|place| view! { <dt>"Cable"</dt><dd>{place + 1}</dd> })
    };
    let said = Memo::new(move |_| {
        let cable = cables.cable(&id)?;
        let answer = job.answer()?;
        Some((CableSaid::of(&answer.plan, &cable), cable.most))
    });
    let rest = move || {
        let Some((said, most)) = said.get() else {
            let is_running = job.status().is_running();
            return is_running
                .then(|| view! { <dt>"At the most"</dt><dd>"is worked out…"</dd> }.into_any());
        };
        let most = match most {
            0 => "It never carries anything.".to_string(),
            _ => format!("{}, first at {}", said.most, said.at),
        };
        Some(
            view! {
                <dt>"At the most"</dt>
                <dd class:old=move || job.is_out_of_date()>{most}</dd>
            }
            .into_any(),
        )
    };
    view! { {number}{rest} }
}

/// One end: its part, which it chooses, and its port.
#[component]
fn EndButton(end: End) -> impl IntoView {
    let store = use_store();
    let part = end.part.clone();
    let said = move || {
        store.revision();
        store.with_followed(|plan| format!("{}, {}", plan.called(&end.part), end.port))
    };
    view! {
        <button type="button" class="quiet" on:click=move |_| store.select(Selection::part(&part))>{said}</button>
    }
}
