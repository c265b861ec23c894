//! What it may be built of: types with how many of each, the stage, and the materials at hand.

use super::desk::Desk;
use crate::draft::{DraftOrder, TypeGroup};
use crate::limits::{COUNT, Field, Kind};
use crate::page::add::Add;
use crate::page::details::{Choice, Entry};
use crate::sheet::entry;
use leptos::prelude::*;
use std::collections::BTreeSet;

const AT_MOST: Field = Field {
    key: "most",
    label: "At most",
    unit: "",
    kind: Kind::Whole(0, COUNT),
    optional: true,
};

const AT_HAND: Field = Field {
    key: "material",
    label: "At hand",
    unit: "",
    kind: Kind::Whole(0, 1_000_000_000_000),
    optional: false,
};

/// What a group is called.
fn called(group: TypeGroup) -> &'static str {
    match group {
        TypeGroup::Sources => "Sources",
        TypeGroup::Batteries => "Batteries",
        TypeGroup::Contacts => "Contacts and relays",
        TypeGroup::Wiring => "Taps, dividers and other wiring",
    }
}

/// The entries.
#[component]
pub(super) fn Allowed(desk: Desk) -> impl IntoView {
    view! {
        <h4>"What it may be built of"</h4>
        <p class="aside">"The wanted loads are not counted here. Where no number stands, any number may be used."</p>
        {TypeGroup::ALL.map(|group| view! { <Group desk group/> }).collect_view()}
        <Stage desk/>
        <Materials desk/>
    }
}

/// One group of types: all of the book, or only those listed.
#[component]
fn Group(desk: Desk, group: TypeGroup) -> impl IntoView {
    let all = desk.of(move |order| order.allows_all(group));
    // A list that is being made stays while every type happens to be in it.
    let lists = RwSignal::new(!all.get_untracked());
    let is_listed = Memo::new(move |_| lists.get() || !all.get());
    let options = vec![
        ("all".to_string(), "any of the book".to_string()),
        ("only".to_string(), "only these".to_string()),
    ];
    let value = Signal::derive(move || if is_listed.get() { "only" } else { "all" }.to_string());
    let choose = move |word: String| {
        lists.set(word == "only");
        desk.take_away(|order| order.allow_group(group, word == "all"));
    };
    let listed = desk.of(move |order| {
        let may = order.may.as_ref();
        let own = order.group(group).into_iter();
        own.filter(|kind| may.is_some_and(|may| may.contains_key(kind)))
            .collect::<Vec<String>>()
    });
    let left = desk.of(move |order| {
        let may = order.may.as_ref();
        let own = order.group(group).into_iter();
        own.filter(|kind| may.is_none_or(|may| !may.contains_key(kind)))
            .map(|kind| (kind.clone(), label(order, &kind)))
            .collect::<Vec<(String, String)>>()
    });
    let add = move |kind: String| {
        desk.change(|order| {
            order.may.get_or_insert_default().insert(kind, Some(1));
        });
    };
    let name = called(group);
    view! {
        <Choice id=format!("draft-may-{}", group as u8) label=name
            options=Signal::stored(options) value choose/>
        <Show when=move || is_listed.get()>
            <ul class="draft-may"><For each=move || listed.get() key=String::clone let:kind><Type desk kind/></For></ul>
            {move || listed.with(Vec::is_empty).then(|| view! { <p class="aside">"None of them, as it stands."</p> })}
            <Add id=format!("draft-add-{}", group as u8) label=format!("Add to {}", name.to_lowercase()) options=left add/>
        </Show>
    }
}

fn label(order: &DraftOrder, kind: &str) -> String {
    let found = order.book.book.find(kind);
    found.map_or_else(|| kind.into(), |found| found.label.clone())
}

/// A type that may be used, with how many at most.
#[component]
fn Type(desk: Desk, kind: String) -> impl IntoView {
    let named = desk.order.with_untracked(|order| label(order, &kind));
    let most = {
        let kind = kind.clone();
        desk.of(move |order| {
            order
                .may
                .as_ref()
                .and_then(|may| may.get(&kind).copied().flatten())
        })
    };
    let value = Signal::derive(move || most.get().map_or(String::new(), |most| most.to_string()));
    let read = {
        let kind = kind.clone();
        move |text: String| {
            let most = entry::read(&AT_MOST, &text)?.as_u64();
            desk.change(|order| {
                if let Some(found) = order.may.as_mut().and_then(|may| may.get_mut(&kind)) {
                    *found = most;
                }
            });
            Ok(())
        }
    };
    let id = format!("draft-most-{kind}");
    let away = move |_| {
        desk.change(|order| {
            if let Some(may) = &mut order.may {
                may.remove(&kind);
            }
        });
    };
    view! {
        <li>
            <Entry id label=format!("{named}: at most") value read numeric=true/>
            <button type="button" class="small" aria-label=format!("Remove {named}") on:click=away>"Remove"</button>
        </li>
    }
}

/// The stage that no part may pass.
#[component]
fn Stage(desk: Desk) -> impl IntoView {
    let stages = desk.of(|order| {
        let all: BTreeSet<u64> = order
            .book
            .book
            .types
            .iter()
            .map(|kind| kind.stage)
            .collect();
        // A file may name a stage between those of the book.
        let all: BTreeSet<u64> = all.into_iter().chain(order.stage).collect();
        all.into_iter().collect::<Vec<u64>>()
    });
    let options = Signal::derive(move || {
        let any = (String::new(), "any".to_string());
        let up_to = stages.get().into_iter();
        let up_to = up_to.map(|stage| (stage.to_string(), format!("up to {stage}")));
        std::iter::once(any).chain(up_to).collect::<Vec<_>>()
    });
    let stage = desk.of(|order| order.stage);
    let value =
        Signal::derive(move || stage.get().map_or(String::new(), |stage| stage.to_string()));
    let choose = move |word: String| desk.change(|order| order.stage = word.parse().ok());
    view! { <Choice id="draft-stage".to_string() label="Parts of stage" options value choose/> }
}

/// The materials at hand; those not named are no limit.
#[component]
fn Materials(desk: Desk) -> impl IntoView {
    let named = desk.of(|order| order.materials.keys().cloned().collect::<Vec<String>>());
    let left = desk.of(|order| {
        let types = order.book.book.types.iter();
        let all: BTreeSet<&String> = types
            .flat_map(|kind| kind.cost.iter().map(|(name, _)| name))
            .collect();
        let left = all
            .into_iter()
            .filter(|name| !order.materials.contains_key(*name));
        left.map(|name| (name.clone(), name.clone()))
            .collect::<Vec<(String, String)>>()
    });
    let add = move |name: String| {
        desk.change(|order| {
            order.materials.insert(name, 0);
        });
    };
    let row = move |name: String| {
        let there = {
            let name = name.clone();
            desk.of(move |order| order.materials.get(&name).copied().unwrap_or(0).to_string())
        };
        let value = Signal::derive(move || there.get());
        let read = {
            let name = name.clone();
            move |text: String| {
                let amount = entry::read(&AT_HAND, &text)?.as_u64().unwrap_or(0);
                desk.change(|order| {
                    order.materials.insert(name.clone(), amount);
                });
                Ok(())
            }
        };
        let (label, gone) = (format!("{name} at hand"), name.clone());
        let away = move |_| {
            desk.change(|order| {
                order.materials.remove(&gone);
            });
        };
        view! {
            <li>
                <Entry id=format!("draft-material-{}", name.replace(' ', "-")) label value read numeric=true/>
                <button type="button" class="small" aria-label=format!("No limit for {name}") on:click=away>"No limit"</button>
            </li>
        }
    };
    view! {
        <ul class="draft-may"><For each=move || named.get() key=String::clone children=row/></ul>
        <Add id="draft-limit" label="Limit a material" options=left add/>
    }
}
