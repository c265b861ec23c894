//! The log's page of findings: what an experienced builder would say of the plan, worst first. A click shows the parts; a
//! change can be tried on the board, the plan beside it, and taken. Nothing is judged here.

mod search;

pub(super) use search::{Finds, use_finds};

use super::compare::SidesTable;
use super::log::AsOf;
use super::store::use_store;
use crate::net::Weight;
use crate::proof::findings::{Finding, Remedy};
use leptos::prelude::*;

/// The page.
#[component]
pub fn FindingsPage() -> impl IntoView {
    let finds = use_finds();
    finds.look_first();
    let rows = move || {
        let all = finds.list().into_iter();
        all.map(|finding| view! { <Item finding/> })
            .collect::<Vec<_>>()
    };
    let none = move || {
        let done = finds.is_asked() && finds.progress().is_none() && finds.stopped().is_none();
        (done && finds.list().is_empty())
            .then(|| view! { <p class="aside findings-line">"Nothing to say about this plan."</p> })
    };
    let beside = move || {
        finds.tried().map(|name| {
            view! {
                <section class="findings-beside" tabindex="0" aria-label="The plan beside the change">
                    <h3>"Now, and with the change: " {name}</h3>
                    <SidesTable sides=finds.sides() first=Signal::stored("Now".to_string())
                        second=Signal::stored("With it".to_string()) only_changed=true/>
                </section>
            }
        })
    };
    view! {
        <div class="findings-page" class:trying=move || finds.tried().is_some()>
            <div class="findings-main">
                <AsOf is_old=Signal::derive(move || finds.is_old())/>
                <Under/>
                {none}
                <ol class="finding-list" aria-label="Findings" class:old=move || finds.is_old()>{rows}</ol>
            </div>
            {beside}
        </div>
    }
}

/// The search under way, or a way to search again.
#[component]
fn Under() -> impl IntoView {
    let finds = use_finds();
    move || {
        if let Some((done, of)) = finds.progress() {
            return view! {
                <p class="under-way">
                    <label>"Looked at "{done}" of "{of}" "<progress max=of.to_string() value=done.to_string()></progress></label>
                    <button type="button" class="quiet" on:click=move |_| finds.stop()>"Stop"</button>
                </p>
            }
            .into_any();
        }
        let again = finds.is_old() || finds.stopped().is_some();
        again
            .then(|| {
                view! {
                    <p class="under-way">
                        {finds.stopped()}" "
                        <button type="button" class="quiet" on:click=move |_| finds.look()>"Look again"</button>
                    </p>
                }
            })
            .into_any()
    }
}

/// One finding.
#[component]
fn Item(
    /// The finding.
    finding: Finding,
) -> impl IntoView {
    let store = use_store();
    let (shape, word) = match finding.weight {
        Weight::Error => ("M1 1H11V11H1Z", "Error"),
        Weight::Warning => ("M6 1L11 11H1Z", "Warning"),
        Weight::Hint => ("M11 6A5 5 0 1 1 1 6A5 5 0 1 1 11 6Z", "Hint"),
    };
    let (parts, wires) = (finding.parts.clone(), finding.wires.clone());
    view! {
        <li class=format!("finding {}", finding.weight.word())>
            <button type="button" class="finding-says" data-kind=finding.kind.code()
                title="Show the parts on the board" on:click=move |_| store.show(&parts, &wires)>
                <svg class="mark" viewBox="0 0 12 12" aria-hidden="true"><path d=shape/></svg>
                <span><strong>{finding.kind.label()}</strong>" ("{word}"): "{finding.says.clone()}</span>
            </button>
            {finding.remedy.clone().map(|remedy| view! { <Change remedy/> })}
        </li>
    }
}

/// The change of a finding: try, put back, take.
#[component]
fn Change(
    /// The change.
    remedy: Remedy,
) -> impl IntoView {
    let (store, finds) = (use_store(), use_finds());
    let remedy = StoredValue::new(remedy);
    let name = remedy.with_value(|r| r.name.clone());
    let is_tried = Memo::new(move |_| finds.tried().as_ref() == Some(&name));
    let turn = move |_| {
        if is_tried.get_untracked() {
            store.end_trial();
        } else {
            remedy.with_value(|r| finds.try_it(r));
        }
    };
    view! {
        <div class="remedy" class:tried=move || is_tried.get()>
            <span class="remedy-says">{remedy.with_value(|r| r.says.clone())}</span>
            <button type="button" aria-pressed=move || is_tried.get().to_string() on:click=turn>
                {move || if is_tried.get() { "Put back" } else { "Try" }}
            </button>
            <button type="button" on:click=move |_| remedy.with_value(|r| finds.take(r))>"Take"</button>
        </div>
    }
}
