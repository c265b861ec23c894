//! The duties of a load: when it must run, whether only then, and for how long that may be broken.

use super::conditions::DutyConditions;
use super::field::Entry;
use crate::limits::{self, Field, Kind};
use crate::page::duties::{Mark, use_duties};
use crate::page::store::LogPage;
use crate::page::store::{Pane, Store, use_store};
use crate::plan::{Conditions, Duty, Edit, PartId, When};
use crate::sheet::entry;
use leptos::prelude::*;
use serde_json::Map;
use wasm_bindgen::JsCast;

/// The grace that a new duty has, in seconds.
pub(crate) const GRACE_S: f64 = 60.0;

/// The entry of a duty's grace.
pub(crate) const GRACE: Field = Field {
    key: "grace_s",
    label: "May be broken for",
    unit: "s",
    kind: Kind::Decimal(0.0, limits::SECONDS),
    optional: true,
};

/// The duties of the load `id`.
#[component]
pub(super) fn Duties(
    /// The load.
    id: PartId,
) -> impl IntoView {
    let store = use_store();
    let count = {
        let id = id.clone();
        Memo::new(move |_| {
            store.revision();
            own(store, &id).len()
        })
    };
    let add = {
        let id = id.clone();
        move |_| {
            let duty = Duty {
                part: id.clone(),
                when: When::Always.into(),
                only: false,
                grace_s: GRACE_S,
                extra: Map::new(),
            };
            let mut all = store.with_plan(|plan| plan.duties.clone());
            all.push(duty);
            let n = count.get_untracked();
            store.commit("add a duty", vec![Edit::Duties(all)]);
            // Once it is there, it is what one goes on with.
            request_animation_frame(move || {
                if let Some(field) = document().get_element_by_id(&format!("duty-{n}-when")) {
                    let _ = field.unchecked_into::<web_sys::HtmlElement>().focus();
                }
            });
        }
    };
    let rows = move || {
        let each = |n| view! { <DutyRow id=id.clone() n/> };
        (0..count.get()).map(each).collect::<Vec<_>>()
    };
    view! {
        <section aria-labelledby="details-duties">
            <h3 id="details-duties">"Duties"</h3>
            {move || (count.get() == 0).then(|| view! { <p class="aside">"Nobody has said yet when it must run."</p> })}
            <ul>{rows}</ul>
            <div class="buttons"><button type="button" on:click=add>"Add a duty"</button></div>
        </section>
    }
}

fn own(store: Store, id: &PartId) -> Vec<Duty> {
    store.with_plan(|plan| {
        plan.duties
            .iter()
            .filter(|d| d.part == *id)
            .cloned()
            .collect()
    })
}

/// Changes the `n`th duty of the load; `f` says whether it stays.
fn change(store: Store, id: &PartId, n: usize, says: &str, f: impl FnOnce(&mut Duty) -> bool) {
    let before = store.with_plan(|plan| plan.duties.clone());
    let place = before
        .iter()
        .enumerate()
        .filter(|(_, d)| d.part == *id)
        .map(|(i, _)| i)
        .nth(n);
    let Some(place) = place else { return };
    let mut after = before.clone();
    if !f(&mut after[place]) {
        after.remove(place);
    }
    if after != before {
        store.commit(says, vec![Edit::Duties(after)]);
    }
}

/// One duty.
#[component]
fn DutyRow(id: PartId, n: usize) -> impl IntoView {
    let store = use_store();
    let id = StoredValue::new(id);
    let duty = Memo::new(move |_| {
        store.revision();
        id.with_value(|id| own(store, id).get(n).cloned())
    });
    let set = move |says: &str, f: &dyn Fn(&mut Duty)| {
        id.with_value(|id| {
            change(store, id, n, says, |duty| {
                f(duty);
                true
            });
        });
    };
    let number = n + 1;
    let when = Signal::derive(move || duty.get().map(|d| d.when));
    let put = move |when: Conditions| set("set a duty", &|d| d.when = when);
    let grace = Signal::derive(move || {
        duty.get().map_or_else(String::new, |d| {
            crate::quantity::Short(d.grace_s).to_string()
        })
    });
    let read_grace = move |text: String| {
        let seconds = entry::read(&GRACE, &text)?.as_f64().unwrap_or(GRACE_S);
        set("set a duty", &|d| d.grace_s = seconds);
        Ok(())
    };
    let duties = use_duties();
    let verdict = Memo::new(move |_| id.with_value(|id| duties.of_duty(id, n)));
    let open = move |_| {
        store.log().set(LogPage::Duties);
        store.pane().set(Some(Pane::Log));
    };
    let verdict = move || {
        verdict.get().map(|(_, standing, said)| {
            let old = if duties.is_out_of_date() { " old" } else { "" };
            view! {
                <p class=format!("duty-standing {}{old}", standing.word())>
                    <Mark of=standing/>
                    <span>{capital(&said)}"."</span>
                    <button type="button" class="quiet" on:click=open>"Show why"</button>
                </p>
            }
        })
    };
    let only_id = format!("duty-{n}-only");
    let remove = move |_| id.with_value(|id| change(store, id, n, "remove a duty", |_| false));
    view! {
        <li><div role="group" aria-label=format!("Duty {number}")>
            {verdict}
            <DutyConditions id=format!("duty-{n}") when put/>
            <div class="field">
                <label for=only_id.clone()>"Only then"</label>
                <span class="value">
                    <input id=only_id type="checkbox" prop:checked=move || duty.get().is_some_and(|d| d.only)
                        on:change=move |ev| { let only = event_target_checked(&ev); set("set a duty", &|d| d.only = only) }/>
                </span>
            </div>
            <Entry id=format!("duty-{n}-grace") label=GRACE.label unit="s" value=grace read=read_grace numeric=true/>
            <div class="buttons">
                <button type="button" class="quiet" aria-label=format!("Remove duty {number}") on:click=remove>"Remove"</button>
            </div>
        </div></li>
    }
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    let first = chars.next().map(|c| c.to_uppercase().to_string());
    first.unwrap_or_default() + chars.as_str()
}
