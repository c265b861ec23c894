//! The page's native dialogs: one shell for them, the large windows, and the messages.

use super::keeping::use_keeper;
use super::later::use_later;
use super::store::use_store;
use super::windows::{WindowKind, use_windows};
use crate::shelf::Origin;
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
    /// Whether it takes as much room as there is.
    #[prop(optional)]
    large: bool,
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
    // The page's own polite line lies behind an open dialog.
    let notice = use_store().notice_text();
    let said = move || match open.get() {
        true => notice.get(),
        false => String::new(),
    };
    view! {
        <dialog class="sheet" class:large=large node_ref=dialog aria-labelledby=id on:close=move |_| on_close()>
            <h2 id=id>{move || title.get()}</h2>
            {children()}
            <p class="ends">
                <span class="said" role="status">{said}</span>
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
                keeper.open_other(plan.clone(), Origin::Received);
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

/// A large window over the page. What stands in it is made when it is opened.
#[component]
pub fn LargeWindow(
    /// Which one.
    kind: WindowKind,
) -> impl IntoView {
    let (windows, later) = (use_windows(), use_later());
    let is_open = Memo::new(move |_| windows.is_open(kind));
    // The browser tells of the closing later, when another may be open in its place.
    let on_close = move || {
        if is_open.get_untracked() {
            windows.close();
        }
    };
    let (id, title) = kind.heading();
    view! {
        <Dialog open=is_open on_close=on_close id=id title=title large=true>
            <Show when=move || is_open.get()>{later.place(move |part| (part.window)(kind))}</Show>
        </Dialog>
    }
}
