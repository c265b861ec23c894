//! The form of one part type: its name, its numbers, where it goes and what it costs, the settings that its parts begin with,
//! its drawing, and what there is to say of it.

use super::Desk;
use super::delete::DeleteType;
use super::field::TypeField;
use super::table::does;
use crate::book::PartType;
use crate::limits::{Field, MAX_RUN, MOUNTS, STAGE};
use crate::page::details::{Choice, Entry};
use crate::page::shelf::drawing;
use crate::plan::Template;
use crate::sheet::{entry, symbol};
use leptos::prelude::*;
use serde_json::{Map, Value, json};

/// Texts of one line: the field and its label.
const SHORT: [(&str, &str); 2] = [("label", "Name"), ("group", "Group")];
/// Texts that may be long.
const LONG: [(&str, &str); 3] = [
    ("says", "What it is"),
    ("note", "How to use it"),
    ("source", "Where the numbers come from"),
];

/// The form.
#[component]
pub(super) fn TypeForm(
    desk: Desk,
    /// The type.
    kind: PartType,
) -> impl IntoView {
    let name = kind.name.clone();
    let value = desk
        .with_plan(|plan| plan.type_value(&name))
        .unwrap_or_default();
    let held_in = |field: &Field| value.get(field.key).cloned().unwrap_or(Value::Null);
    let field = |path: Vec<String>, field: Field, held: Value| {
        view! { <TypeField desk kind=name.clone() path field value=held/> }
    };
    let own: Vec<_> = kind
        .numbers()
        .iter()
        .map(|f| {
            let held = match (f.key, held_in(f)) {
                ("coil", Value::Null) => json!(1),
                ("short", Value::Null) => json!("pass"),
                (_, held) => held,
            };
            field(vec![f.key.into()], *f, held)
        })
        .collect();
    let settings: Vec<_> = kind
        .fields()
        .iter()
        .filter(|f| f.key != "short")
        .map(|f| {
            let held = kind.set.get(f.key).cloned().unwrap_or(Value::Null);
            field(vec!["set".into(), f.key.into()], *f, held)
        })
        .collect();
    let has_settings = !settings.is_empty();
    let words = |which: &[(&'static str, &'static str)]| {
        let one = |(key, label): &(&'static str, &'static str)| {
            view! { <Words desk kind=name.clone() key=*key label=*label value=value[*key].clone()/> }
        };
        which.iter().map(one).collect_view()
    };
    let (short, long) = (words(&SHORT), words(&LONG));
    let stage = field(vec!["stage".into()], STAGE, json!(kind.stage));
    let run = field(vec!["max_run".into()], MAX_RUN, held_in(&MAX_RUN));
    view! {
        <h3>{drawing(&kind.symbol, None)}{kind.label.clone()}</h3>
        <p class="aside">{format!("What it does: {}. In files it is called “{}”.", does(&kind), kind.name)}</p>
        <Acts desk name=name.clone()/>
        {short}
        <h4>"Numbers"</h4>
        {own}
        {stage}
        {run}
        <Mount desk kind=name.clone() value=kind.mount.clone()/>
        <Cost desk kind=name.clone() cost=kind.cost.clone()/>
        <Show when=move || has_settings><h4>"Settings that its parts begin with"</h4></Show>
        {settings}
        <Symbol desk kind=kind.clone()/>
        {long}
    }
}

/// What is done with the type as a whole.
#[component]
fn Acts(desk: Desk, name: String) -> impl IntoView {
    let name = StoredValue::new(name);
    let copy = move |_| {
        let made = name.with_value(|n| desk.with_plan(|plan| plan.add_type(Template::Copy(n), "")));
        desk.add("copy a part type", made);
    };
    view! {
        <p class="acts">
            <button type="button" on:click=copy>"Copy it"</button>
            <DeleteType desk name/>
        </p>
    }
}

/// One text of the type; what may be long has an area of its own.
#[component]
fn Words(
    desk: Desk,
    kind: String,
    key: &'static str,
    label: &'static str,
    value: Value,
) -> impl IntoView {
    let shown = value.as_str().unwrap_or_default().to_string();
    let read = move |text: String| {
        let text = text.trim().to_string();
        let value = (!text.is_empty()).then(|| Value::from(text));
        let edits = desk.with_plan(|plan| plan.change_type_field(&kind, &[key], value));
        let entered = desk.enter(&format!("set {}", label.to_lowercase()), edits);
        entered.map_err(|reasons| reasons.join(" "))
    };
    let id = format!("type-{key}");
    if SHORT.iter().any(|(short, _)| *short == key) {
        return view! { <Entry id label value=Signal::stored(shown) read/> }.into_any();
    }
    let change = move |event| {
        if let Err(said) = read(event_target_value(&event)) {
            desk.refused.set(vec![said]);
        }
    };
    view! {
        <div class="long">
            <label for=id.clone()>{label}</label>
            <textarea id=id rows="3" prop:value=shown on:change=change></textarea>
        </div>
    }
    .into_any()
}

/// Which drawing stands for the type.
#[component]
fn Symbol(desk: Desk, kind: PartType) -> impl IntoView {
    let (name, chosen) = (StoredValue::new(kind.name.clone()), kind.symbol.clone());
    let own = symbol::initials_of(&kind.label);
    let all = symbol::names().into_iter().map(|name| (name.clone(), name));
    let all = all.chain([(own, "its initials".to_string())]);
    let one = |(symbol, called): (String, String)| {
        let (shown, wanted) = (symbol.clone(), symbol.clone());
        let take = move |_| {
            let value = Some(Value::from(wanted.as_str()));
            let edits = name.with_value(|n| {
                desk.with_plan(|plan| plan.change_type_field(n, &["symbol"], value))
            });
            desk.change("choose a drawing", edits);
        };
        view! {
            <button type="button" class="symbol-choice" title=called.clone() aria-label=called
                aria-pressed=(chosen == symbol).to_string() on:click=take>
                {drawing(&shown, None)}
            </button>
        }
    };
    view! {
        <details class="symbols">
            <summary>"Drawing"</summary>
            <div role="group" aria-label="Drawings">{all.map(one).collect_view()}</div>
        </details>
    }
}

/// Where its parts may be put up.
#[component]
fn Mount(desk: Desk, kind: String, value: String) -> impl IntoView {
    let mut options = vec![(String::new(), "not said".to_string())];
    options.extend(
        MOUNTS
            .iter()
            .map(|word| (word.to_string(), word.to_string())),
    );
    // A book may say other words.
    if !options.iter().any(|(word, _)| *word == value) {
        options.push((value.clone(), value.clone()));
    }
    let choose = move |word: String| {
        let value = (!word.is_empty()).then(|| Value::from(word));
        let edits = desk.with_plan(|plan| plan.change_type_field(&kind, &["mount"], value));
        desk.change("set the mount", edits);
    };
    view! { <Choice id="type-mount".to_string() label="Goes on" options=Signal::stored(options) value=Signal::stored(value) choose/> }
}

/// What it costs, as one text: `copper 3; glass 2`.
#[component]
fn Cost(desk: Desk, kind: String, cost: Vec<(String, u64)>) -> impl IntoView {
    let shown: Vec<String> = cost
        .iter()
        .map(|(material, amount)| format!("{material} {amount}"))
        .collect();
    let read = move |text: String| {
        let cost = read_cost(&text)?;
        let value = (!cost.is_empty()).then_some(Value::Object(cost));
        let edits = desk.with_plan(|plan| plan.change_type_field(&kind, &["cost"], value));
        let entered = desk.enter("set the cost", edits);
        entered.map_err(|reasons| reasons.join(" "))
    };
    view! { <Entry id="type-cost".to_string() label="Materials, such as copper 3; glass 2" value=Signal::stored(shown.join("; ")) read/> }
}

/// Materials and their amounts, parted by semicolons or commas.
fn read_cost(text: &str) -> Result<Map<String, Value>, String> {
    let mut cost = Map::new();
    for pair in text
        .split([';', ','])
        .map(str::trim)
        .filter(|p| !p.is_empty())
    {
        let wrong =
            || format!("Found “{pair}”, expected a material and a whole number, such as copper 3.");
        let (material, amount) = pair.rsplit_once(' ').ok_or_else(wrong)?;
        let amount = entry::number(amount)
            .filter(|n| n.fract() == 0.0 && *n >= 0.0)
            .ok_or_else(wrong)?;
        cost.insert(material.trim().into(), json!(amount as u64));
    }
    Ok(cost)
}
