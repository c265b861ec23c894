//! One setting of a part as a row: its label, the entry that its kind asks for, its unit, what is wrong with what was
//! entered, and the way back to the book's value.

use super::lists;
use crate::limits::{Field, Kind};
use crate::page::store::use_store;
use crate::plan::{Edit, Part, PartId};
use crate::sheet::entry;
use leptos::prelude::*;
use serde_json::Value;

/// A labelled entry for a number, a clock time or a text, with its error below it. `read` gives the error for a text that
/// can't be taken; what was wrong stays in the entry to be mended.
#[component]
pub(crate) fn Entry(
    /// The entry's id, for its label.
    id: String,
    /// Its label.
    #[prop(into)]
    label: String,
    /// The unit behind it.
    #[prop(into, optional)]
    unit: String,
    /// What it shows.
    #[prop(into)]
    value: Signal<String>,
    /// Takes what was entered.
    read: impl Fn(String) -> Result<(), String> + Send + Sync + 'static,
    /// Whether numbers are entered.
    #[prop(optional)]
    numeric: bool,
) -> impl IntoView {
    let value = Memo::new(move |_| value.get());
    let wrong = RwSignal::new(String::new());
    let error_id = format!("{id}-error");
    let describes = error_id.clone();
    // Another value from elsewhere (undo, say) makes the old error untrue.
    Effect::watch(
        move || value.get(),
        move |_, _, _| wrong.set(String::new()),
        false,
    );
    let enter = move |ev| match read(event_target_value(&ev)) {
        Ok(()) => {
            wrong.set(String::new());
            event_target::<web_sys::HtmlInputElement>(&ev).set_value(&value.get_untracked());
        }
        Err(said) => wrong.set(said),
    };
    view! {
        <div class="field">
            <label for=id.clone()>{label}</label>
            <span class="value">
                <input id=id type="text" autocomplete="off" spellcheck="false"
                    inputmode=numeric.then_some("decimal")
                    prop:value=move || value.get()
                    aria-invalid=move || (!wrong.with(String::is_empty)).then_some("true")
                    aria-describedby=move || (!wrong.with(String::is_empty)).then(|| describes.clone())
                    on:change=enter/>
                {(!unit.is_empty()).then(|| view! { <span class="unit">{unit.clone()}</span> })}
            </span>
            <p class="wrong" id=error_id aria-live="polite" hidden=move || wrong.with(String::is_empty)>
                {move || wrong.get()}
            </p>
        </div>
    }
}

/// A labelled choice of one of a few words.
#[component]
pub(crate) fn Choice(
    /// The entry's id, for its label.
    id: String,
    /// Its label.
    #[prop(into)]
    label: String,
    /// Values and what is said of them.
    #[prop(into)]
    options: Signal<Vec<(String, String)>>,
    /// The value chosen now.
    #[prop(into)]
    value: Signal<String>,
    /// Takes another.
    choose: impl Fn(String) + Send + Sync + 'static,
) -> impl IntoView {
    let entries = move || {
        let now = value.get();
        let entry = |(v, said): (String, String)| {
            let selected = v == now;
            view! { <option value=v prop:selected=selected>{said}</option> }
        };
        options.get().into_iter().map(entry).collect::<Vec<_>>()
    };
    let change = move |ev| {
        choose(event_target_value(&ev));
        // What was refused is not chosen.
        let field: web_sys::HtmlSelectElement = event_target(&ev);
        field.set_value(&value.get_untracked());
    };
    view! {
        <div class="field">
            <label for=id.clone()>{label}</label>
            <span class="value">
                <select id=id on:change=change>{entries}</select>
            </span>
        </div>
    }
}

/// One setting of a part.
#[component]
pub(super) fn Setting(
    /// The part.
    id: PartId,
    /// The part's signal.
    part: ArcRwSignal<Part>,
    /// The setting.
    field: Field,
    /// The book's value; null where the book has none.
    book: Value,
) -> impl IntoView {
    let store = use_store();
    let own = {
        let part = part.clone();
        Memo::new(move |_| part.with(|p| p.set.get(field.key).cloned()))
    };
    let value = {
        let book = book.clone();
        Memo::new(move |_| own.get().unwrap_or_else(|| book.clone()))
    };
    let put = {
        let (id, book) = (id.clone(), book.clone());
        move |new: Value| {
            let same = new == book || (new.as_f64().is_some() && new.as_f64() == book.as_f64());
            let new = (!same).then_some(new);
            if new != own.get_untracked() {
                let says = format!("set {}", field.label.to_lowercase());
                store.commit(&says, vec![Edit::Set(id.clone(), field.key.into(), new)]);
            }
        }
    };
    let dom_id = format!("set-{}", field.key);
    let label = field.label;
    let entry = match field.kind {
        Kind::Whole(..) | Kind::Decimal(..) | Kind::Clock => {
            let unit = entry::unit_of(&field, &store.unit());
            let shown = Signal::derive(move || entry::show(&field, &value.get()));
            let read = move |text: String| entry::read(&field, &text).map(&put);
            view! { <Entry id=dom_id label unit value=shown read numeric=field.kind != Kind::Clock/> }.into_any()
        }
        Kind::Choice(words) => {
            let options: Vec<_> = words.iter().map(|w| (w.to_string(), spoken(field.key, w))).collect();
            let first = words.first().copied().unwrap_or_default();
            let now = Signal::derive(move || value.with(|v| v.as_str().unwrap_or(first).to_string()));
            let choose = move |word: String| put(Value::from(word));
            view! { <Choice id=dom_id label options=Signal::stored(options) value=now choose/> }.into_any()
        }
        Kind::Battery => {
            let options = Signal::derive(move || {
                store.revision();
                store.with_plan(|plan| {
                    let each = |p: &&Part| (p.id.to_string(), plan.called(&p.id));
                    let none = (String::new(), "no battery yet".to_string());
                    std::iter::once(none).chain(plan.batteries().iter().map(each)).collect::<Vec<_>>()
                })
            });
            let now = Signal::derive(move || value.with(|v| v.as_str().unwrap_or_default().to_string()));
            let choose = move |id: String| put(Value::from(id));
            view! { <Choice id=dom_id label options value=now choose/> }.into_any()
        }
        Kind::Flag => view! {
            <div class="field">
                <label for=dom_id.clone()>{label}</label>
                <span class="value">
                    <input id=dom_id type="checkbox" prop:checked=move || value.get() == Value::Bool(true)
                        on:change=move |ev| put(Value::Bool(event_target_checked(&ev)))/>
                </span>
            </div>
        }
        .into_any(),
        Kind::Schedule => view! { <lists::Schedule id=dom_id label value put/> }.into_any(),
        Kind::Presses => view! { <lists::Presses id=dom_id label value put/> }.into_any(),
        Kind::Spans => view! { <lists::Spans id=dom_id label value put/> }.into_any(),
    };
    let differs = move || own.with(Option::is_some);
    let reset = move |_| {
        let says = format!("set {} as in the book", label.to_lowercase());
        store.commit(&says, vec![Edit::Set(id.clone(), field.key.into(), None)]);
    };
    let back = format!("{label}: use the book's value");
    view! {
        {entry}
        <div class="field" hidden=move || !differs()>
            <button type="button" class="book quiet" aria-label=back on:click=reset>"Use the book's value"</button>
        </div>
    }
}

/// A word of a choice as it is said on the page.
fn spoken(key: &str, word: &str) -> String {
    match (key, word) {
        ("contact", "make") => "make: closes when true",
        ("contact", "break") => "break: opens when true",
        ("dominant", "set") => "set wins",
        ("dominant", "reset") => "reset wins",
        (_, word) => word,
    }
    .to_string()
}
