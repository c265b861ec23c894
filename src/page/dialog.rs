//! The page's native dialogs: one shell for them, the messages, and the list of kept plans.

use super::keeping::{self, Keeper, use_keeper};
use super::later::use_later;
use leptos::html;
use leptos::prelude::*;

/// A modal dialog with a heading and a button that closes it.
#[component]
pub fn Dialog(
    /// Whether it is open; closing it by any means sets it.
    #[prop(into)]
    open: Signal<bool>,
    /// Called when it was closed.
    on_close: impl Fn() + Copy + 'static,
    /// The heading's id, of its own on the page.
    id: &'static str,
    /// The heading.
    #[prop(into)]
    title: Signal<String>,
    /// What stands in it.
    children: Children,
) -> impl IntoView {
    let dialog = NodeRef::<html::Dialog>::new();
    Effect::new(move || {
        let Some(dialog) = dialog.get() else { return };
        if open.get() && !dialog.open() {
            // It is in the document and not open, so it opens.
            let _ = dialog.show_modal();
        } else if !open.get() && dialog.open() {
            dialog.close();
        }
    });
    let close = move |_| {
        if let Some(dialog) = dialog.get_untracked() {
            dialog.close();
        }
    };
    view! {
        <dialog class="sheet" node_ref=dialog aria-labelledby=id on:close=move |_| on_close()>
            <h2 id=id>{move || title.get()}</h2>
            {children()}
            <p class="ends">
                <button type="button" on:click=close>"Close"</button>
            </p>
        </dialog>
    }
}

/// The dialog for what has to be told: a link or a file that can't be opened, and what can be had of it.
#[component]
pub fn Messages() -> impl IntoView {
    let keeper = use_keeper();
    let message = keeper.message();
    let title = move || message.with(|m| m.as_ref().map(|m| m.title.clone()).unwrap_or_default());
    let body = move || {
        let message = message.get()?;
        let rows = message
            .faults
            .iter()
            .take(200)
            .map(|[place, found, expected]| {
                view! {
                    <tr>
                        <th scope="row">{place.clone()}</th>
                        <td>{found.clone()}</td>
                        <td>{expected.clone()}</td>
                    </tr>
                }
            });
        let rows: Vec<_> = rows.collect();
        let faults = (!rows.is_empty()).then(|| {
            view! {
                <div class="faults" tabindex="0" role="region" aria-label="What is wrong">
                    <table>
                        <thead>
                            <tr>
                                <th scope="col">"Place"</th>
                                <th scope="col">"Found"</th>
                                <th scope="col">"Expected"</th>
                            </tr>
                        </thead>
                        <tbody>{rows}</tbody>
                    </table>
                </div>
            }
        });
        let copy = message.copy.clone().map(|text| {
            view! { <textarea readonly rows="4" aria-label="The link" prop:value=text on:focus=choose_all></textarea> }
        });
        let rest = message.rest.clone().map(|plan| {
            let parts = plan.parts.len();
            let open = move |_| {
                keeper.open_other(plan.clone());
                keeper.message().set(None);
            };
            view! {
                <button type="button" on:click=open>
                    {format!("Open the sound rest as another plan ({parts} parts)")}
                </button>
            }
        });
        Some(view! {
            <p>{message.text.clone()}</p>
            {faults}
            {copy}
            {rest}
        })
    };
    view! {
        <Dialog
            open=Signal::derive(move || message.with(Option::is_some))
            on_close=move || message.set(None)
            id="message-title"
            title=Signal::derive(title)
        >
            {body}
        </Dialog>
    }
}

fn choose_all(event: web_sys::FocusEvent) {
    event_target::<web_sys::HtmlTextAreaElement>(&event).select();
}

/// The dialog with the plans that are kept: to open, rename, delete, and a new one.
#[component]
pub fn Plans(
    /// Whether it is open.
    open: RwSignal<bool>,
) -> impl IntoView {
    let list = use_later().place(move |part| (part.plans)(open));
    view! {
        <Dialog open=open on_close=move || open.set(false) id="plans-title" title="Plans kept in this browser">
            <p class="aside">
                "They are kept at every edit, here and nowhere else. To have one elsewhere, save it as a file or send its link."
            </p>
            {list}
        </Dialog>
    }
}

/// What stands in that dialog.
#[component]
pub fn Kept(
    /// Whether it is open.
    open: RwSignal<bool>,
) -> impl IntoView {
    let keeper = use_keeper();
    let asks = RwSignal::new(None::<String>);
    Effect::new(move || {
        if !open.get() {
            asks.set(None);
        }
    });
    let begin = move |_| {
        keeper.open_other(crate::plan::Plan::empty());
        open.set(false);
    };
    let none = move || keeper.plans().with(Vec::is_empty);
    view! {
        <Show when=none>
            <p>"None yet: a plan is kept from its first part on."</p>
        </Show>
        <ul class="plans">
            <For
                each=move || keeper.plans().get()
                key=|kept| (kept.key.clone(), kept.name(), kept.title.clone(), kept.parts, kept.changed)
                children=move |kept| view! { <Entry kept=kept keeper=keeper open=open asks=asks/> }
            />
        </ul>
        <button type="button" on:click=begin>"New plan"</button>
    }
}

/// How much a kept plan holds, and when it was last changed, by this machine's clock.
fn holds(kept: &keeping::Kept) -> String {
    let parts = match kept.parts {
        1 => "1 part".to_string(),
        parts => format!("{parts} parts"),
    };
    if kept.changed == 0 {
        return parts;
    }
    let at = js_sys::Date::new(&(kept.changed as f64).into());
    format!(
        "{parts}, {}-{:02}-{:02} {:02}:{:02}",
        at.get_full_year(),
        at.get_month() + 1,
        at.get_date(),
        at.get_hours(),
        at.get_minutes()
    )
}

/// One kept plan.
#[component]
fn Entry(
    /// The plan.
    kept: keeping::Kept,
    /// The keeper.
    keeper: Keeper,
    /// Whether the dialog is open.
    open: RwSignal<bool>,
    /// The plan whose deletion is being asked about.
    asks: RwSignal<Option<String>>,
) -> impl IntoView {
    let key = StoredValue::new(kept.key.clone());
    let called = kept.name();
    let holds = holds(&kept);
    let is_open = move || keeper.key().with(|k| key.with_value(|own| own == k));
    let asked = move || asks.with(|a| a.as_ref().is_some_and(|a| key.with_value(|own| own == a)));
    let rename = move |event| keeper.rename(&key.get_value(), event_target_value(&event).trim());
    let take = move |_| {
        keeper.open(&key.get_value());
        open.set(false);
    };
    let delete = move |_| {
        asks.set(None);
        keeper.delete(&key.get_value());
    };
    let name = format!("Title of {called}");
    let [opens, opened, deletes, sure] =
        ["Open", "Open now:", "Delete", "Delete for good:"].map(|word| format!("{word} {called}"));
    // The button's name has what stands on it.
    let opens = move || {
        if is_open() {
            opened.clone()
        } else {
            opens.clone()
        }
    };
    view! {
        <li class:current=is_open>
            <input type="text" aria-label=name prop:value=kept.title maxlength="200" placeholder=called on:change=rename/>
            <span class="aside holds">{holds}</span>
            <button type="button" aria-label=opens disabled=is_open on:click=take>
                {move || if is_open() { "Open now" } else { "Open" }}
            </button>
            <Show
                when=asked
                fallback=move || {
                    let deletes = deletes.clone();
                    view! {
                        <button type="button" aria-label=deletes on:click=move |_| asks.set(Some(key.get_value()))>
                            "Delete…"
                        </button>
                    }
                }
            >
                <span class="asks" role="group" aria-label="Delete?">
                    <button type="button" aria-label=sure.clone() on:click=delete>"Delete for good"</button>
                    <button type="button" on:click=move |_| asks.set(None)>"Keep"</button>
                </span>
            </Show>
        </li>
    }
}
