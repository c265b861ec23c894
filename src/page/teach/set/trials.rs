//! What is tried on a learner's plan beside the plain days; hidden from him until he checks.

use super::{change, of_exercise};
use crate::book::PartType;
use crate::page::add::Add;
use crate::page::store::{Store, use_store};
use crate::plan::{Lost, Part, PartId, Plan, SkyRef, Trial};
use leptos::prelude::*;
use serde_json::{Map, Value, json};

/// The list, and what adds to it.
#[component]
pub fn Trials() -> impl IntoView {
    let store = use_store();
    let count = of_exercise(|exercise| exercise.trials.len());
    let any = move |_| {
        add(
            store,
            "any one part or wire fails",
            Trial {
                lose: Lost::AnyOne,
                ..Trial::default()
            },
        )
    };
    view! {
        <h3>"What is tried besides"</h3>
        <p class="aside">"The plain days of the plan's world are always tried. A learner sees the rest when he checks his plan. In weather 1 is a clear day and 0 one without sun, and the days begin again after the last. Day 172 of the year is about midsummer in the north, day 355 about midwinter."</p>
        <ol class="exercise-list">
            // A row stays while what stands in it changes, so that a press right from its field counts.
            <For each=move || 0..count.get().unwrap_or(0) key=|at| *at children=|at| view! { <Row at/> }/>
        </ol>
        <div class="exercise-buttons">
            <Weather/>
            <Season/>
            <OfPart says="A switch is thrown" fits=is_switch make=|id, name| Trial {
                says: format!("somebody throws {name}"),
                throw: vec![id],
                ..Trial::default()
            }/>
            <OfPart says="A part is lost" fits=|_, _| true make=|id, name| Trial {
                says: format!("{name} is lost"),
                lose: Lost::These(vec![id], Vec::new()),
                ..Trial::default()
            }/>
            <button type="button" on:click=any>"Any one part or wire fails"</button>
        </div>
    }
}

fn add(store: Store, says: &str, trial: Trial) {
    let trial = match trial.says.is_empty() {
        true => Trial {
            says: says.into(),
            ..trial
        },
        false => trial,
    };
    change(store, "add a trial", |exercise| exercise.trials.push(trial));
}

#[component]
fn Row(
    /// Its place among the trials.
    at: usize,
) -> impl IntoView {
    let store = use_store();
    let trial = of_exercise(move |exercise| exercise.trials.get(at).cloned().unwrap_or_default());
    let trial = move || trial.get().unwrap_or_default();
    let renamed = move |event| {
        let says = event_target_value(&event).trim().to_string();
        change(store, "call a trial otherwise", |exercise| {
            if let Some(trial) = exercise.trials.get_mut(at) {
                trial.says = says;
            }
        });
    };
    let away = move |_| {
        change(store, "take a trial away", |exercise| {
            if at < exercise.trials.len() {
                exercise.trials.remove(at);
            }
        });
    };
    let what = move || store.with_plan(|plan| what(plan, &trial()));
    view! {
        <li>
            <span class="exercise-buttons">
                <input type="text" maxlength="200" aria-label=format!("What trial {} is called", at + 1) prop:value=move || trial().says on:change=renamed/>
                <span class="aside">{what}</span>
                <button type="button" class="small" aria-label=format!("Remove trial {}", at + 1) on:click=away>"Remove"</button>
            </span>
        </li>
    }
}

/// What a trial does, in a few words.
fn what(plan: &Plan, trial: &Trial) -> String {
    let given = plan.exercise_start();
    let given = given.as_ref().unwrap_or(plan);
    let named = |ids: &[PartId]| {
        ids.iter()
            .map(|id| given.called(id))
            .collect::<Vec<String>>()
            .join(", ")
    };
    let mut said: Vec<String> = Vec::new();
    for (key, value) in &trial.world {
        let days = value.as_array().filter(|_| key == "weather");
        let days = days.map(|days| {
            days.iter()
                .map(|day| day.as_f64().unwrap_or(1.0).to_string())
        });
        said.push(match days {
            Some(days) => format!(
                "weather day by day: {}",
                days.collect::<Vec<String>>().join(", ")
            ),
            None => match value.get("day_of_year") {
                Some(day) => format!("day {day} of the year"),
                None => format!("the world's {key}"),
            },
        });
    }
    if !trial.throw.is_empty() {
        said.push(format!("thrown: {}", named(&trial.throw)));
    }
    match &trial.lose {
        Lost::Nothing => {}
        Lost::AnyOne => said.push("each part and each wire in turn".into()),
        Lost::These(parts, wires) => {
            let wires = wires.iter().map(|wire| wire.to_string());
            let all: Vec<String> = parts
                .iter()
                .map(|id| given.called(id))
                .chain(wires)
                .collect();
            said.push(format!("lost: {}", all.join(", ")));
        }
    }
    said.join("; ")
}

fn is_switch(plan: &Plan, part: &Part) -> bool {
    plan.kind_of(part).is_some_and(PartType::is_switch)
}

/// Chooses a given part for a trial.
#[component]
fn OfPart(
    /// What is tried.
    says: &'static str,
    /// Which parts it can be tried with.
    fits: fn(&Plan, &Part) -> bool,
    /// Makes the trial of a part and its name.
    make: fn(PartId, String) -> Trial,
) -> impl IntoView {
    let store = use_store();
    let given = Memo::new(move |_| {
        store.revision();
        store
            .with_plan(|plan| {
                let given = plan.exercise_start()?;
                let parts = given.parts.iter().filter(|part| fits(&given, part));
                Some(
                    parts
                        .map(|part| (part.id.clone(), given.called(&part.id)))
                        .collect::<Vec<(PartId, String)>>(),
                )
            })
            .unwrap_or_default()
    });
    let options = Signal::derive(move || {
        let given = given.get().into_iter();
        given
            .map(|(id, name)| (id.to_string(), name))
            .collect::<Vec<_>>()
    });
    let chosen = move |id: String| {
        let found = given
            .get_untracked()
            .into_iter()
            .find(|(other, _)| other.as_str() == id);
        if let Some((id, name)) = found {
            add(store, says, make(id, name));
        }
    };
    view! {
        <Show when=move || !given.with(Vec::is_empty)>
            <Add id=format!("trial-{}", says.to_lowercase().replace(' ', "-")) label=says options add=chosen/>
        </Show>
    }
}

/// Other weather.
#[component]
fn Weather() -> impl IntoView {
    let (store, text) = (use_store(), RwSignal::new("1, 0, 0, 0".to_string()));
    let go = move |_| {
        let text = text.get_untracked();
        let days: Option<Vec<f64>> = text.split(',').map(|day| day.trim().parse().ok()).collect();
        let sound = |days: &Vec<f64>| days.iter().all(|day| (0.0..=1.0).contains(day));
        match days.filter(sound) {
            Some(days) => {
                let says: Vec<String> = days.iter().map(f64::to_string).collect();
                let says = format!("days of weather {}", says.join(", "));
                add_world(store, &says, json!({ "weather": days }));
            }
            None => store.notice("The weather is a number from 0 to 1 for each day, with commas between: 1, 0, 0, 0.".into()),
        }
    };
    view! {
        <span class="exercise-pair">
            <label>"Weather, day by day "<input type="text" size="12" prop:value=text on:input=move |e| text.set(event_target_value(&e))/></label>
            <button type="button" on:click=go>"Add weather"</button>
        </span>
    }
}

/// Another day of the year, where the world's sky has one.
#[component]
fn Season() -> impl IntoView {
    let (store, text) = (use_store(), RwSignal::new("355".to_string()));
    let sky = Memo::new(move |_| {
        store.revision();
        store.with_plan(|plan| matches!(plan.world.sky, SkyRef::Place { .. }))
    });
    let go = move |_| {
        let day = text.with_untracked(|text| text.trim().parse::<u64>().ok());
        let world = store.with_plan(|plan| plan.world.write());
        match day.filter(|day| (1..=366).contains(day)) {
            Some(day) => {
                let mut sky = world
                    .get("sky")
                    .and_then(Value::as_object)
                    .cloned()
                    .unwrap_or_default();
                sky.insert("day_of_year".into(), day.into());
                add_world(
                    store,
                    &format!("day {day} of the year"),
                    json!({ "sky": sky }),
                );
            }
            None => store.notice("The day of the year is a whole number from 1 to 366.".into()),
        }
    };
    view! {
        <Show when=move || sky.get()>
            <span class="exercise-pair">
                <label>"Day of the year "<input type="text" inputmode="numeric" size="4" prop:value=text on:input=move |e| text.set(event_target_value(&e))/></label>
                <button type="button" on:click=go>"Add season"</button>
            </span>
        </Show>
    }
}

/// Adds a trial in another world, if that can be one.
fn add_world(store: Store, says: &str, world: Value) {
    let world: Map<String, Value> = world.as_object().cloned().unwrap_or_default();
    let trial = Trial {
        says: says.into(),
        world,
        ..Trial::default()
    };
    let place = crate::read::Place::root("world");
    match store.with_plan(|plan| trial.in_world(&plan.world, &place)) {
        Ok(_) => add(store, says, trial),
        Err(faults) => store.notice(faults.iter().map(|fault| format!("{fault}.")).collect()),
    }
}
