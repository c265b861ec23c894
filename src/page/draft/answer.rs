//! The plans that were found: how far the search is, the table of them, and which one is looked at.

use super::chosen::Chosen;
use super::desk::Desk;
use super::nothing::Nothing;
use super::trade_off::TradeOff;
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
    let word = move || match is_begun.get() {
        Some(false) => "Go on searching",
        _ => "Draft",
    };
    // The same order has the same answer.
    let is_answered = move || is_begun.get() == Some(true);
    let so_far = move || {
        let (steps, _) = status.progress();
        let found = desk.found.with(|found| {
            let said = found.as_ref().and_then(|found| found.said.as_ref().ok());
            said.map_or((0, 0), |said| (said.plans.len(), said.steps))
        });
        let plans = match found.0 {
            0 => "no plan yet".to_string(),
            1 => "1 plan so far".to_string(),
            n => format!("{n} plans so far"),
        };
        format!("{} circuits tried, {plans}.", steps.max(found.1))
    };
    view! {
        <p class="draft-search">
            {move || match status.is_running() {
                true => view! {
                    <progress aria-label="Searching"/>
                    <span>"Searching: "{so_far}</span>
                    <button type="button" on:click=move |_| desk.job.stop()>"Stop"</button>
                }.into_any(),
                false => view! {
                    <button type="button" class="main-act" disabled=move || is_empty.get() || is_answered() on:click=move |_| desk.search()>{word}</button>
                    {move || is_empty.get().then_some(" Add a load first.")}
                    {move || is_answered().then_some(" What stands below answers the order as it is.")}
                    {move || (is_begun.get() == Some(false)).then(|| format!(" Stopped: {}", so_far()))}
                }.into_any(),
            }}
        </p>
        {move || status.says().filter(|_| is_begun.get() != Some(false)).map(|why| view! { <p role="status">{why}</p> })}
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
    view! {
        {move || is_old.get().then(|| view! { <p class="as-of" role="status">"This answers what was asked before your last changes."</p> })}
        {pane}
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
    let chosen = desk.chosen;
    let shown = plans.clone();
    let looked_at = move || {
        let at = chosen.get().min(shown.len() - 1);
        view! { <Chosen desk plan=shown[at].clone() number=at + 1/> }
    };
    view! {
        {against_earlier(desk, &plans[0]).map(|said| view! { <p role="status">{said}</p> })}
        <Table desk plans=plans.clone()/>
        <TradeOff desk plans=plans/>
        {searched.map(|said| view! { <p class="aside" role="status">{said}</p> })}
        {looked_at}
    }
    .into_any()
}

/// How the least plan differs from the one for the order before.
fn against_earlier(desk: Desk, now: &SaidPlan) -> Option<String> {
    let earlier = desk.earlier.get_untracked()?.said.ok()?;
    let before = earlier.plans.first()?;
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
    let rows = plans.iter().enumerate().map(|(at, plan)| {
        let is_chosen = move || desk.chosen.get() == at;
        let plan = plan.clone();
        view! {
            <tr class:chosen=is_chosen>
                <th scope="row"><label>
                    <input type="radio" name="draft-plan" prop:checked=is_chosen on:change=move |_| desk.chosen.set(at)/>
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
                <th scope="col" class="number" title="How long every duty holds without sun and wind, from the worst moment">"Without sun"</th>
                <th scope="col" class="number" title="Days without sun in a row that it survives">"Dull days"</th>
                <th scope="col" class="number" title="The lowest level of a battery on the days that repeat">"Lowest level"</th>
                <th scope="col" class="number" title="Parts and wires whose loss breaks a duty">"Single points"</th>
                <th scope="col" class="number">"Spilled a day"</th>
            </tr></thead>
            <tbody>{rows}</tbody>
        </table></div>
    }
}
