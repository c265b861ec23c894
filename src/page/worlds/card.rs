//! One kept world: what it is like, which plans follow it, what differs from the open plan, and what can be done with it.

use super::{Differs, use_worlds};
use crate::page::files;
use crate::page::keeping::use_keeper;
use crate::page::links;
use crate::page::store::use_store;
use crate::page::windows::use_windows;
use crate::plan::{NamedWorld, Plan};
use crate::sheet::followed;
use crate::sheet::numbers_changed::differing;
use crate::shelf::{Entry, Origin};
use leptos::prelude::*;
use std::sync::Arc;

/// The world.
#[component]
pub(super) fn WorldCard(
    /// Its key.
    key: String,
    /// Why the last act was refused, a sentence each.
    refused: RwSignal<Vec<String>>,
) -> impl IntoView {
    let (keeper, worlds) = (use_keeper(), use_worlds());
    let key = StoredValue::new(key);
    let world = Memo::new(move |_| worlds.get(&key.get_value()));
    let kept = Memo::new(move |_| {
        let kept = |shelf: &crate::shelf::Shelf| shelf.worlds.get(&key.get_value()).cloned();
        keeper.shelf().with(kept).unwrap_or_default()
    });
    // What is being typed stays, whatever else of the world is noted meanwhile.
    let name = Memo::new(move |_| kept.with(|kept| kept.name.clone()));
    let followers = Memo::new(move |_| {
        let names = |shelf: &crate::shelf::Shelf| {
            let found = kept.with(|kept| shelf.followers(&kept.id).map(Entry::name).collect());
            let names: Vec<String> = found;
            names
        };
        keeper.shelf().with(names)
    });
    let about = move || match (world.get(), kept.with(|kept| kept.damaged)) {
        (Some(world), _) => followed::about(&world),
        (None, true) => "Damaged: it can't be read, and stays as it is.".into(),
        (None, false) => String::new(),
    };
    let rename = move |event: leptos::ev::Event| {
        let called = event_target_value(&event).trim().to_string();
        match world.get_untracked() {
            Some(world) if !called.is_empty() && called != world.name => {
                let renamed = world.renamed(world.id(), &called);
                keeper.keep_world(&key.get_value(), renamed);
            }
            // What was typed is no name: the field shows the world's again.
            _ => event_target::<web_sys::HtmlInputElement>(&event).set_value(&name.get_untracked()),
        }
    };
    view! {
        <li class="world">
            <input type="text" aria-label=move || format!("Name of {}", name.get()) prop:value=name maxlength="200"
                disabled=move || world.with(Option::is_none) on:change=rename/>
            <p class="aside">{about}</p>
            <p class="aside">{move || followers.with(|names| followed::followers(names))}</p>
            {move || world.get().map(|world| view! { <Acts world refused/> })}
            <Forget key=key.get_value() name=name.into()/>
        </li>
    }
}

/// What can be done with a world that can be read.
#[component]
fn Acts(world: Arc<NamedWorld>, refused: RwSignal<Vec<String>>) -> impl IntoView {
    let (store, keeper, worlds) = (use_store(), use_keeper(), use_worlds());
    let windows = use_windows();
    let name = world.name.clone();
    let named = |does: &str| format!("{does} {name}");
    let [follow, followed_by, begin, link, file, differs] = [
        named("Follow"),
        named("Followed by this plan:"),
        named("New plan in"),
        named("Copy link to"),
        named("Save as a file:"),
        named("What differs from"),
    ];
    let world = StoredValue::new(world);
    let shows = RwSignal::new(false);
    let is_followed = Memo::new(move |_| {
        let own = worlds.followed();
        own.is_some_and(|(_, own)| world.with_value(|world| own.id() == world.id()))
    });
    let take = move |_| {
        let done = worlds.follow(&world.get_value());
        refused.set(done.err().unwrap_or_default());
    };
    let start = move |_| {
        let mut plan = Plan::fresh();
        // An empty plan stands on any numbers.
        if let Ok(edits) = plan.edits_to_follow(&world.get_value())
            && plan.apply_all(edits).is_ok()
        {
            keeper.open_other(plan, Origin::Own);
            windows.close();
        }
    };
    let table = move || {
        shows.get().then(|| {
            let world = world.get_value();
            let said = worlds.numbers().with(|own| differing(own, &world.numbers));
            match said.is_empty() {
                true => view! { <p>"Its numbers are those of this plan."</p> }.into_any(),
                false => view! { <Differs heads=["this plan".into(), world.name.clone()] said/> }
                    .into_any(),
            }
        })
    };
    view! {
        <p class="acts">
            <button type="button" disabled=is_followed on:click=take
                // The button's name has what stands on it.
                aria-label=move || if is_followed.get() { followed_by.clone() } else { follow.clone() }
            >
                {move || if is_followed.get() { "Followed by this plan" } else { "Follow" }}
            </button>
            <button type="button" aria-label=differs aria-expanded=move || shows.get().to_string()
                on:click=move |_| shows.update(|s| *s = !*s)>"What differs"</button>
            <button type="button" aria-label=begin on:click=start>"New plan"</button>
            <button type="button" aria-label=link on:click=move |_| links::copy_world(store, keeper, &world.get_value())>
                "Copy link"
            </button>
            <button type="button" aria-label=file on:click=move |_| files::download_world(store, &world.get_value())>
                "Save as a file"
            </button>
        </p>
        {table}
    }
}

/// Deletes the world, after a question.
#[component]
fn Forget(key: String, name: Signal<String>) -> impl IntoView {
    let keeper = use_keeper();
    let key = StoredValue::new(key);
    let asks = RwSignal::new(false);
    view! {
        <p class="acts">
            <Show
                when=move || asks.get()
                fallback=move || view! {
                    <button type="button" aria-label=move || format!("Delete {}…", name.get()) on:click=move |_| asks.set(true)>
                        "Delete…"
                    </button>
                }
            >
                <span class="asks" role="group" aria-label=move || format!("Delete {}? Plans that follow it keep their numbers.", name.get())>
                    <span>"Plans that follow it keep their numbers. "</span>
                    <button type="button" on:click=move |_| keeper.forget_world(&key.get_value())>"Delete for good"</button>
                    <button type="button" on:click=move |_| asks.set(false)>"Keep"</button>
                </span>
            </Show>
        </p>
    }
}
