//! The plans that were found: how far the search is, the table of them, and which one is looked at.

use super::chosen::Chosen;
use super::desk::Desk;
use super::nothing::Nothing;
use super::trade_off::TradeOff;
use crate::draft::order_of;
use crate::page::jobs::State;
use crate::plan::read_plan;
use crate::sheet::draft_said::{SaidDraft, SaidPlan, parts_against};
use leptos::prelude::*;

/// Begins the search, tells how far it is, stops it and goes on with it.
#[component]
pub(super) fn Search(desk: Desk) -> impl IntoView {
    let status = desk.job.status();
    let is_empty = desk.of(|order| order.wants.is_empty());
    // A search that was stopped, or that ended with another plan being opened, goes on where it was.
    let is_begun = desk.answered();
    let word = move || match (status.is_running(), is_begun.get()) {
        (true, _) => "Stop",
        (false, Some(false)) => "Go on searching",
        (false, _) => "Draft",
    };
    // The same order has the same answer.
    let is_answered = move || is_begun.get() == Some(true);
    let so_far = move || {
        // What is known of an earlier order says nothing of this search.
        let found = desk.found.with(|found| {
            let of_this = found.as_ref().filter(|_| is_begun.get().is_some());
            let said = of_this.and_then(|found| found.said.as_ref().ok());
            said.map_or((0, 0), |said| (said.plans.len(), said.steps))
        });
        let plans = match found.0 {
            0 => "no plan yet".to_string(),
            1 => "1 plan so far".to_string(),
            n => format!("{n} plans so far"),
        };
        format!(
            "{} circuits tried, {plans}.",
            status.progress().0.max(found.1)
        )
    };
    let press = move |_| match status.is_running() {
        true => desk.job.stop(),
        false if is_answered() => {}
        false => desk.search(),
    };
    // A button that is answered keeps the keyboard.
    let is_idle = move || (!status.is_running() && is_answered()).then_some("true");
    let is_dead = move || !status.is_running() && is_empty.get();
    let says = move || match (status.is_running(), is_begun.get()) {
        (true, _) => format!("Searching: {}", so_far()),
        (false, Some(false)) => format!("Stopped: {}", so_far()),
        (false, Some(true)) => "What stands below answers the order as it is.".into(),
        (false, None) if is_empty.get() => "Add a load first.".into(),
        (false, None) => String::new(),
    };
    let failed = move || match status.state() {
        State::Failed(_) => status.says(),
        _ => None,
    };
    view! {
        <p class="draft-search">
            <button type="button" class="main-act" disabled=is_dead aria-disabled=is_idle on:click=press>{word}</button>
            {move || status.is_running().then(|| view! { <progress aria-label="Searching"/> })}
            <span>{says}</span>
        </p>
        {move || failed().map(|why| view! { <p role="alert">{why}</p> })}
    }
}

/// What was found.
#[component]
pub(super) fn AnswerPane(desk: Desk) -> impl IntoView {
    let answered = desk.answered();
    let is_old = Memo::new(move |_| answered.get().is_none() && desk.found.with(Option::is_some));
    let said = Memo::new(move |_| {
        desk.found
            .with(|found| found.as_ref().map(|found| found.said.clone()))
    });
    let pane = move || match said.get()? {
        Err(faults) => Some(
            view! {
                <p role="alert">"The order can't be drafted:"</p>
                <ul>{faults.into_iter().map(|fault| view! { <li>{fault}</li> }).collect_view()}</ul>
            }
            .into_any(),
        ),
        Ok(said) => Some(plans(desk, said)),
    };
    // One that is looked at stays what it is while others come.
    let one = Memo::new(move |_| {
        said.with(|said| {
            let plans = &said.as_ref()?.as_ref().ok()?.plans;
            let at = desk.looked_at(plans);
            plans.get(at).map(|plan| (plan.clone(), at + 1))
        })
    });
    let looked_at = move || {
        one.get()
            .map(|(plan, number)| view! { <Chosen desk plan number/> })
    };
    view! {
        {move || is_old.get().then(|| view! { <p class="as-of" role="status">"This answers what was asked before your last changes."</p> })}
        {pane}
        {looked_at}
    }
}

fn plans(desk: Desk, said: SaidDraft) -> AnyView {
    let SaidDraft {
        plans,
        searched,
        nothing,
        ..
    } = said;
    if plans.is_empty() {
        return view! {
            {nothing.map(|found| view! { <Nothing desk found/> })}
            {searched.map(|said| view! { <p role="status">{said}</p> })}
        }
        .into_any();
    }
    view! {
        {against_earlier(desk, &plans[0]).map(|said| view! { <p role="status">{said}</p> })}
        <Table desk plans=plans.clone()/>
        <TradeOff desk plans=plans/>
        {searched.map(|said| view! { <p class="aside" role="status">{said}</p> })}
    }
    .into_any()
}

/// How the least plan differs from the one for the order before.
fn against_earlier(desk: Desk, now: &SaidPlan) -> Option<String> {
    let earlier = desk.earlier.get_untracked()?.said.ok()?;
    let before = earlier.plans.first()?;
    // Only an order for the same loads can be set beside this one.
    let loads = |plan: &SaidPlan| {
        let order = order_of(&read_plan(&plan.text).ok()?);
        Some(
            order
                .wants
                .into_iter()
                .map(|want| (want.kind, want.name, want.count))
                .collect::<Vec<_>>(),
        )
    };
    if loads(before) != loads(now) {
        return None;
    }
    let (was, is) = (read_plan(&before.text).ok()?, read_plan(&now.text).ok()?);
    let sums = format!(
        "The first plan takes {} materials, {} for the order before",
        now.materials_sum, before.materials_sum
    );
    Some(match parts_against(&was, &is) {
        Some(parts) => format!("{sums}: {parts}."),
        None => format!("{sums}, with the same parts."),
    })
}

/// The plans side by side; one of them is looked at.
#[component]
fn Table(desk: Desk, plans: Vec<SaidPlan>) -> impl IntoView {
    let all = StoredValue::new(plans.clone());
    let rows = plans.iter().enumerate().map(|(at, plan)| {
        let is_chosen = move || all.with_value(|plans| desk.looked_at(plans)) == at;
        let plan = plan.clone();
        let text = plan.text.clone();
        view! {
            <tr class:chosen=is_chosen>
                <th scope="row"><label>
                    <input type="radio" name="draft-plan" prop:checked=is_chosen on:change=move |_| desk.chosen.set(text.clone())/>
                    {format!("Plan {}", at + 1)}
                </label></th>
                <td class="number">{plan.materials_sum}</td>
                <td class="number">{plan.parts}</td>
                <td class="number">{plan.stage}</td>
                <td>{plan.kept}</td>
                <td class="number">{plan.holds}</td>
                <td class="number">{plan.dull_days}</td>
                <td class="number">{plan.lowest}</td>
                <td class="number">{plan.single_points}</td>
                <td class="number">{plan.spilled}</td>
            </tr>
        }
    });
    let rows: Vec<_> = rows.collect();
    view! {
        <div class="draft-table" tabindex="0" role="region" aria-label="The plans side by side"><table>
            <thead><tr>
                <th scope="col">"Plan"</th>
                <th scope="col" class="number">"Materials"</th>
                <th scope="col" class="number">"Parts"</th>
                <th scope="col" class="number">"Stage"</th>
                <th scope="col">"Duties kept"</th>
                <th scope="col" class="number" title="How long every duty holds without sun and wind, from the worst moment">"Without sun, at worst"</th>
                <th scope="col" class="number" title="Days without sun in a row that it survives">"Dull days"</th>
                <th scope="col" class="number" title="The lowest level of a battery on the days that repeat">"Lowest level"</th>
                <th scope="col" class="number" title="Parts and wires whose loss breaks a duty">"Single points"</th>
                <th scope="col" class="number">"Spilled a day"</th>
            </tr></thead>
            <tbody>{rows}</tbody>
        </table></div>
    }
}
