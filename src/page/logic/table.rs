//! The table of every combination: inputs on the left, loads and contacts on the right. An input's heading lets one see
//! only the rows in which it is so or so; with many inputs most begin as they are now.

use super::job::{LogicAnswer, use_logic};
use crate::page::store::use_store;
use crate::plan::PartId;
use crate::proof::{LogicRow, Rest};
use leptos::prelude::*;

/// So many inputs are left open at first; the rest begin as they are now.
const OPEN: usize = 5;

/// So many rows are drawn at the most.
const DRAWN: usize = 256;

/// The table.
#[component]
pub(super) fn TruthTable() -> impl IntoView {
    let job = use_logic().job();
    // Which truths are wanted of each input; set anew when the inputs are others.
    let wanted: RwSignal<Vec<Option<bool>>> = RwSignal::new(Vec::new());
    let inputs = Memo::new(move |_| {
        let answer = job.answer();
        answer
            .map(|a| a.value.table.inputs.clone())
            .unwrap_or_default()
    });
    Effect::new(move |_| {
        let inputs = inputs.get();
        let want =
            |(at, input): (usize, &crate::proof::LogicInput)| (at >= OPEN).then_some(input.now);
        wanted.set(inputs.iter().enumerate().map(want).collect());
    });
    move || {
        let answer = job.answer()?;
        let logic = &answer.value;
        if logic.table.inputs.is_empty() && logic.table.contacts.is_empty() {
            return None;
        }
        let want = wanted.get();
        let fits = |row: &LogicRow| {
            let pairs = row.inputs.iter().zip(&want);
            pairs
                .into_iter()
                .all(|(is, want)| want.is_none_or(|w| w == *is))
        };
        let chosen = logic.rows.iter().enumerate().filter(|(_, row)| fits(row));
        let count = chosen.clone().count();
        let rows: Vec<_> = chosen
            .take(DRAWN)
            .map(|(at, row)| line(&answer, at, row))
            .collect();
        let more = (count > DRAWN).then(|| {
            view! { <p class="aside">{format!("{DRAWN} of {count} rows. Choose what inputs are to be, to see others.")}</p> }
        });
        let left = (!logic.table.left_out.is_empty()).then(|| {
            let names: Vec<String> = logic.table.left_out.iter().map(|id| answer.plan.called(id)).collect();
            view! { <p class="aside">{format!("Left as they are, because there are too many: {}.", names.join(", "))}</p> }
        });
        let heads: Vec<_> = (logic.table.inputs.iter().enumerate())
            .map(|(at, input)| view! { <Head name=answer.plan.called(&input.part) at wanted/> })
            .collect();
        let others: Vec<_> = (logic.table.loads.iter().chain(&logic.table.contacts))
            .map(|id| view! { <Named id=id.clone() name=answer.plan.called(id)/> })
            .collect();
        let (ins, loads, contacts) = (
            heads.len(),
            logic.table.loads.len(),
            logic.table.contacts.len(),
        );
        Some(view! {
            {left}
            <div class="proof-scroll" tabindex="0" role="region" aria-label="Table of every combination">
                <table class="proof-table truth">
                    <thead>
                        <tr>
                            <td></td>
                            {(ins > 0).then(|| view! { <th scope="colgroup" colspan=ins>"Inputs"</th> })}
                            {(loads > 0).then(|| view! { <th scope="colgroup" colspan=loads>"Loads"</th> })}
                            {(contacts > 0).then(|| view! { <th scope="colgroup" colspan=contacts>"Contacts"</th> })}
                            <td></td>
                        </tr>
                        <tr>
                            <td></td>
                            {heads}
                            {others}
                            <th scope="col">"Comes to rest"</th>
                        </tr>
                    </thead>
                    <tbody>{rows}</tbody>
                </table>
            </div>
            {more}
        })
    }
}

fn line(answer: &LogicAnswer, at: usize, row: &LogicRow) -> impl IntoView + use<> {
    let is_now = at == answer.value.table.now;
    let cell = |is: bool, yes: &'static str| {
        view! { <td class=if is { "is" } else { "not" }>{if is { yes } else { "–" }}</td> }
    };
    let inputs: Vec<_> = row.inputs.iter().map(|is| cell(*is, "true")).collect();
    let runs: Vec<_> = row.runs.iter().map(|is| cell(*is, "runs")).collect();
    let conducts: Vec<_> = row.conducts.iter().map(|is| cell(*is, "closed")).collect();
    let rest = match &row.rest {
        Rest::Settled => "yes".to_string(),
        Rest::Restless => "no: timers go on".into(),
        Rest::Chatters(ids) => {
            let names: Vec<String> = ids.iter().map(|id| answer.plan.called(id)).collect();
            format!("no: {} chatters", names.join(", "))
        }
    };
    view! {
        <tr class:now=is_now>
            <th scope="row">{if is_now { format!("{}, now", at + 1) } else { (at + 1).to_string() }}</th>
            {inputs}
            {runs}
            {conducts}
            <td>{rest}</td>
        </tr>
    }
}

/// The heading of an input.
#[component]
fn Head(
    /// What the input is called.
    name: String,
    /// Its place among the inputs.
    at: usize,
    /// Which truths are wanted.
    wanted: RwSignal<Vec<Option<bool>>>,
) -> impl IntoView {
    let is = move || match wanted.with(|w| w.get(at).copied().flatten()) {
        None => "any",
        Some(true) => "true",
        Some(false) => "false",
    };
    let choose = move |ev| {
        let want = match event_target_value(&ev).as_str() {
            "true" => Some(true),
            "false" => Some(false),
            _ => None,
        };
        wanted.update(|w| w.iter_mut().skip(at).take(1).for_each(|w| *w = want));
    };
    let label = format!("{name} is");
    view! {
        <th scope="col">
            <span>{name}</span>
            <select aria-label=label prop:value=is on:change=choose>
                <option value="any" selected=move || is() == "any">"any"</option>
                <option value="true" selected=move || is() == "true">"true"</option>
                <option value="false" selected=move || is() == "false">"false"</option>
            </select>
        </th>
    }
}

/// The heading of a load or contact; a click shows it on the board.
#[component]
fn Named(
    /// The part.
    id: PartId,
    /// What it is called.
    name: String,
) -> impl IntoView {
    let store = use_store();
    view! {
        <th scope="col">
            <button type="button" class="proof-line" on:click=move |_| store.show(std::slice::from_ref(&id), &[])>{name}</button>
        </th>
    }
}
