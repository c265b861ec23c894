//! The trade-off as a picture: the materials of each plan against how long it holds without sun and wind.

use super::desk::Desk;
use crate::sheet::draft_said::SaidPlan;
use leptos::prelude::*;

/// Width and height, in the picture's own units, and the room for the axes.
const SIZE: (f64, f64) = (460.0, 220.0);
const LEFT: f64 = 56.0;
const TOP: f64 = 34.0;
const BOTTOM: f64 = 34.0;
const RIGHT: f64 = 16.0;

/// The picture. A plan on which nothing ever breaks stands on the line at the top.
#[component]
pub(super) fn TradeOff(desk: Desk, plans: Vec<SaidPlan>) -> impl IntoView {
    // Where all hold as long as each other there is nothing to weigh.
    if plans.iter().all(|plan| plan.holds == plans[0].holds) {
        return ().into_any();
    }
    let materials = || plans.iter().map(|plan| plan.materials_sum as f64);
    let (fewest, most) = (
        materials().fold(f64::MAX, f64::min),
        materials().fold(1.0, f64::max),
    );
    // The axis begins near the least, so that plans of nearly the same cost stand apart.
    let (fewest, most) = ((fewest * 0.9).floor(), (most * 1.05).ceil());
    let hours = plans.iter().filter_map(|plan| plan.hours);
    let longest = (hours.fold(1.0, f64::max) * 1.05).ceil();
    let has_ever = plans.iter().any(|plan| plan.hours.is_none());
    let (wide, high) = SIZE;
    let bottom = high - BOTTOM;
    // Whatever holds for ever has a line above the longest of the others.
    let ceiling = if has_ever { TOP + 26.0 } else { TOP };
    let x =
        move |materials: f64| LEFT + (materials - fewest) / (most - fewest) * (wide - LEFT - RIGHT);
    let y = move |hours: Option<f64>| match hours {
        Some(hours) => bottom - hours / longest * (bottom - ceiling),
        None => TOP,
    };
    let all = StoredValue::new(plans.clone());
    let dots = plans.iter().enumerate().map(|(at, plan)| {
        let (cx, cy) = (x(plan.materials_sum as f64), y(plan.hours));
        let is_chosen = move || all.with_value(|plans| desk.looked_at(plans)) == at;
        let text = plan.text.clone();
        view! {
            <g class="draft-dot" class:chosen=is_chosen on:click=move |_| desk.chosen.set(text.clone())>
                <circle cx=cx cy=cy r="9"/>
                <text x=cx y=cy + 4.0 text-anchor="middle">{at + 1}</text>
            </g>
        }
    });
    let dots: Vec<_> = dots.collect();
    let said = plans.iter().enumerate().map(|(at, plan)| {
        format!(
            "plan {}: {} materials, {}",
            at + 1,
            plan.materials_sum,
            plan.holds
        )
    });
    let said = format!(
        "Materials against how long duties hold without sun: {}.",
        said.collect::<Vec<_>>().join("; ")
    );
    view! {
        <svg class="draft-trade-off" viewBox=format!("0 0 {wide} {high}") role="img" aria-label=said>
            <path class="axis" d=format!("M{LEFT} {TOP}V{bottom}H{}", wide - RIGHT)/>
            <text x=LEFT - 6.0 y=bottom + 4.0 text-anchor="end">"0 h"</text>
            <text x=LEFT - 6.0 y=ceiling + 4.0 text-anchor="end">{format!("{longest} h")}</text>
            {has_ever.then(|| view! { <text x=LEFT - 6.0 y=TOP + 4.0 text-anchor="end">"for ever"</text> })}
            <text x=LEFT y=bottom + 15.0 text-anchor="middle">{fewest.to_string()}</text>
            <text x=wide - RIGHT y=bottom + 15.0 text-anchor="end">{most.to_string()}</text>
            <text x=(LEFT + wide - RIGHT) / 2.0 y=high - 4.0 text-anchor="middle">"materials"</text>
            <text x=LEFT + 6.0 y="12">"how long duties hold without sun and wind"</text>
            {dots}
        </svg>
    }
    .into_any()
}
