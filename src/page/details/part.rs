//! One part: what it is, how it stands now, its name, count, settings, reach, ports, duties, and what its type says.

use super::duties::Duties;
use super::field::{Choice, Entry, Setting};
use super::ports::Ports;
use super::start_by::AnotherTime;
use crate::book::{Behaviour, FunctionName, PartType};
use crate::diagnosis::Readable;
use crate::editor::{Mark, Message};
use crate::limits;
use crate::page::explain::WhyHere;
use crate::page::shelf::drawing;
use crate::page::store::use_store;
use crate::page::windows::use_windows;
use crate::plan::{Edit, Part, PartId, Plan, Reach};
use crate::run::PartState;
use crate::sheet::site::said;
use crate::sheet::{aims, entry, words};
use leptos::prelude::*;
use serde_json::Value;

/// One part.
#[component]
pub(super) fn PartDetails(
    /// Its id.
    id: PartId,
    /// What is said of it on the site.
    on_site: AnyView,
) -> impl IntoView {
    let store = use_store();
    let (part, state) = (store.part(&id)?, store.part_state(&id)?);
    let of_part = |plan: &Plan| plan.part(&id).and_then(|p| plan.kind_of(p)).cloned();
    let kind = untrack(|| store.with_followed(of_part))?;
    let unit = store.unit();
    let conducts = {
        let state = state.clone();
        Memo::new(move |_| match state.get() {
            PartState::Contact { conducts, .. } => Some(conducts),
            _ => None,
        })
    };
    let symbol = kind.symbol.clone();
    let (now, said) = {
        let (state, again) = (state.clone(), state);
        let unit = unit.clone();
        let is_short = move || matches!(again.get(), PartState::Load { runs: false, offered, .. } if offered > 0);
        let id = id.clone();
        let said = move || match store.mark_of_part(&id) {
            Mark::Gone => "Lost in what is tried: it does nothing there.".into(),
            _ => words::state(&state.get(), &unit),
        };
        (is_short, said)
    };
    let manual = kind.is_hand_operated();
    let load = matches!(kind.behaviour, Behaviour::Load { .. });
    let can_be_read = store.with_plan(|plan| Readable::Part(id.clone()).is_of(plan));
    let sun = store.with_plan(|plan| aims::Panel::of(plan, &id, 0).is_some());
    let settings: Vec<_> = kind
        .fields()
        .iter()
        .map(|field| {
            let book = kind
                .set
                .get(field.key)
                .cloned()
                .unwrap_or_else(|| absent(field));
            view! { <Setting id=id.clone() part=part.clone() field=*field book/> }
        })
        .collect();
    let numbers: Vec<_> = words::numbers(&kind, &unit)
        .into_iter()
        .map(|(name, said)| view! { <dt>{name}</dt><dd>{said}</dd> })
        .collect();
    let named = part.clone();
    let title = {
        let (part, label) = (part.clone(), kind.label.clone());
        move || {
            part.with(|p| {
                if p.name.is_empty() {
                    label.clone()
                } else {
                    p.name.clone()
                }
            })
        }
    };
    Some(view! {
        <section aria-labelledby="details-title">
            <div class="head">
                {move || drawing(&symbol, conducts.get())}
                <div>
                    <h2 id="details-title">{title}</h2>
                    <p class="aside" hidden=move || named.with(|p| p.name.is_empty())>{kind.label.clone()}</p>
                </div>
            </div>
            <p class="now" class:short=now aria-live="polite">{said}</p>
            {manual.then(|| throw_button(id.clone(), &kind))}
            <super::figures::Lasts id=id.clone()/>
            {can_be_read.then(|| doubt_button(id.clone()))}
        </section>
        <WhyHere id=id.clone()/>
        {on_site}
        <section aria-label="Settings">
            <Name id=id.clone() part=part.clone()/>
            {kind.banks().then(|| view! { <Count id=id.clone() part=part.clone()/> })}
            {settings}
            {manual.then(|| view! { <ReachChoice id=id.clone() part=part.clone()/> })}
        </section>
        {sun.then(|| view! { <super::aim::AimOf id=id.clone()/> })}
        <super::figures::Figures id=Some(id.clone())/>
        <Ports id=id.clone()/>
        {load.then(|| view! { <Duties id=id.clone()/><AnotherTime id=id.clone()/> })}
        <section aria-labelledby="details-kind">
            <h3 id="details-kind">"What it is"</h3>
            <p>{kind.says.clone()}</p>
            <dl class="numbers">{numbers}</dl>
            <p class="aside">{kind.note.clone()}</p>
        </section>
    })
}

/// Throws the switch or presses the button at the moment shown.
fn throw_button(id: PartId, kind: &PartType) -> impl IntoView + use<> {
    let store = use_store();
    let is_button = matches!(
        kind.behaviour,
        Behaviour::Contact {
            function: FunctionName::Button,
            ..
        }
    );
    let says = if is_button {
        "Press it at the moment shown"
    } else {
        "Throw it at the moment shown"
    };
    let throw = move |_| {
        store.dispatch(Message::Throw(id.clone()));
    };
    view! {
        <button type="button" on:click=throw>{says}</button>
    }
}

/// Leads to the fault finding, where the built part does not do what this one does.
fn doubt_button(id: PartId) -> impl IntoView + use<> {
    let windows = use_windows();
    view! {
        <button type="button" class="quiet doubt" aria-keyshortcuts="R" on:click=move |_| windows.doubt(id.clone())
            title="Enter what you read off the one that you built, and see which faults explain it (R)">
            "It doesn't do what it should"
        </button>
    }
}

/// What an optional setting is where neither book nor plan says.
fn absent(field: &limits::Field) -> Value {
    match field.kind {
        limits::Kind::Choice(words) => words.first().map_or(Value::Null, |w| Value::from(*w)),
        limits::Kind::Flag => Value::Bool(false),
        limits::Kind::Whole(least, _) => Value::from(least.max(1)),
        _ => Value::Null,
    }
}

/// The part's name.
#[component]
fn Name(id: PartId, part: ArcRwSignal<Part>) -> impl IntoView {
    let store = use_store();
    let value = Signal::derive(move || part.with(|p| p.name.clone()));
    let read = move |text: String| {
        let name = text.trim().to_string();
        if name != value.get_untracked() {
            store.commit("rename", vec![Edit::Rename(id.clone(), name)]);
        }
        Ok(())
    };
    view! { <Entry id="part-name".to_string() label="Name" value read/> }
}

/// How many equal ones the part stands for.
#[component]
fn Count(id: PartId, part: ArcRwSignal<Part>) -> impl IntoView {
    let store = use_store();
    let field = limits::Field {
        key: "count",
        label: "How many",
        unit: "",
        kind: limits::Kind::Whole(1, limits::COUNT),
        optional: true,
    };
    let value = Signal::derive(move || part.with(|p| p.count.to_string()));
    let read = move |text: String| {
        let count = entry::read(&field, &text)?.as_u64().unwrap_or(1);
        if count.to_string() != value.get_untracked() {
            store.commit("set how many", vec![Edit::Count(id.clone(), count)]);
        }
        Ok(())
    };
    view! { <Entry id="part-count".to_string() label=field.label value read numeric=true/> }
}

/// Who can reach a switch.
#[component]
fn ReachChoice(id: PartId, part: ArcRwSignal<Part>) -> impl IntoView {
    let store = use_store();
    let by_place = {
        let id = id.clone();
        Memo::new(move |_| {
            store.revision();
            store.with_plan(|plan| plan.reach_on_site(plan.part(&id)?))
        })
    };
    let options = Signal::derive(move || {
        let own = Reach::ALL.map(|r| (r.word().to_string(), said::who(r).to_string()));
        let placed = by_place.get().map(|r| {
            let says = format!("as it hangs: {}", said::who(r));
            (String::new(), says)
        });
        placed.into_iter().chain(own).collect::<Vec<_>>()
    });
    let value = Signal::derive(move || {
        let by_hand = part.with(|p| p.reach);
        match by_place.get() {
            Some(_) => by_hand.map_or("", Reach::word),
            None => by_hand.unwrap_or(Reach::Builders).word(),
        }
        .to_string()
    });
    let choose = move |word: String| {
        let reach = Reach::ALL.into_iter().find(|r| r.word() == word);
        // Without a place nobody but the builders is what is so anyway.
        let is_placed = by_place.with_untracked(Option::is_some);
        let reach = reach.filter(|r| is_placed || *r != Reach::Builders);
        store.commit("set who can reach it", vec![Edit::Reach(id.clone(), reach)]);
    };
    view! { <Choice id="part-reach".to_string() label="Can be reached by" options value choose/> }
}
