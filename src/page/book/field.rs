//! One field of a part type as an entry of the form, and the number that tells most of a type.

use super::Desk;
use crate::book::{Behaviour, PartType};
use crate::limits::{Field, Kind};
use crate::quantity::Unit;
use crate::sheet::entry;
use leptos::prelude::*;
use serde_json::Value;

/// The number that tells most of a type, to sort by and in words.
pub(super) fn main_number(kind: &PartType, unit: &Unit) -> (u64, String) {
    let power = |steps: u64| (steps, unit.say_power(steps));
    match &kind.behaviour {
        Behaviour::Source { peak, .. } => power(*peak),
        Behaviour::Load { draw, .. } => power(*draw),
        Behaviour::Battery { capacity, .. } => (*capacity as u64, unit.say_energy(*capacity)),
        Behaviour::Divider { ways } | Behaviour::Busbar { ways } => (*ways, format!("{ways} ways")),
        Behaviour::Contact { coil, .. } if *coil > 1 => {
            (*coil, format!("coil {}", unit.say_power(*coil)))
        }
        _ => (0, String::new()),
    }
}

/// One field of a type as an entry. What stands in it is tried while it is typed, and taken when it is left.
#[component]
pub(super) fn TypeField(
    desk: Desk,
    /// The type's name.
    kind: String,
    /// Where the field stands in the type: `["draw"]`, `["set", "tilt"]`.
    path: Vec<String>,
    /// What it may hold.
    field: Field,
    /// What it holds.
    value: Value,
) -> impl IntoView {
    let unit = desk.with_plan(|plan| plan.book.book.unit.clone());
    let shows = entry::unit_of(&field, &unit);
    let id = format!("type-{}", path.join("-"));
    let says = format!("set {}", field.label.to_lowercase());
    let edits = {
        let (kind, path) = (kind.clone(), path.clone());
        move |value: Option<Value>| {
            let path: Vec<&str> = path.iter().map(String::as_str).collect();
            desk.with_plan(|plan| plan.change_type_field(&kind, &path, value))
        }
    };
    let edits = StoredValue::new(edits);
    let put = move |value: Option<Value>| {
        let edits = edits.with_value(|edits| edits(value));
        let entered = desk.enter(&says, edits);
        entered.map_err(|reasons| reasons.join(" "))
    };
    match field.kind {
        Kind::Choice(words) => {
            let chosen = value.as_str().unwrap_or_default().to_string();
            let options: Vec<_> = words
                .iter()
                .map(|w| (w.to_string(), w.to_string()))
                .collect();
            let choose = move |word: String| {
                if let Err(said) = put(Some(word.into())) {
                    desk.refused.set(vec![said]);
                }
            };
            view! {
                <crate::page::details::Choice id label=field.label options=Signal::stored(options)
                    value=Signal::stored(chosen) choose/>
            }
            .into_any()
        }
        Kind::Whole(..) | Kind::Decimal(..) => {
            let shown = entry::show(&field, &value);
            let read = move |text: String| {
                if text.trim().is_empty() && field.optional {
                    return put(None);
                }
                put(Some(entry::read(&field, &text)?))
            };
            let try_out = move |event: web_sys::Event| {
                let value = entry::read(&field, &event_target_value(&event));
                let edits = value
                    .ok()
                    .map(|value| edits.with_value(|edits| edits(Some(value))));
                match edits {
                    Some(Ok(edits)) => desk.trial.show(edits),
                    _ => desk.trial.end(),
                }
            };
            view! {
                <div on:input=try_out>
                    <crate::page::details::Entry id label=field.label unit=shows value=Signal::stored(shown) read numeric=true/>
                </div>
            }
            .into_any()
        }
        // Schedules and the like are a part's own business: the book gives them as they are.
        _ => view! { <p class="aside">{format!("{}: {value}", field.label)}</p> }.into_any(),
    }
}
