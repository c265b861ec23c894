//! What must hold beside the duties of the loads: days and hours without sun, and what the one switch is called.

use super::desk::Desk;
use crate::limits::{Field, Kind};
use crate::page::details::Entry;
use crate::proof::{DAYS, MOST_BAD};
use crate::quantity::Short;
use crate::sheet::entry;
use leptos::prelude::*;

const DULL_DAYS: Field = Field {
    key: "dull_days",
    label: "Dull days in a row, begun on any day",
    unit: "days",
    kind: Kind::Whole(0, MOST_BAD),
    optional: false,
};

const HOURS: Field = Field {
    key: "hours",
    label: "Without sun and wind from the worst moment",
    unit: "h",
    kind: Kind::Decimal(0.0, 24.0 * DAYS as f64),
    optional: false,
};

/// The entries.
#[component]
pub(super) fn Keeps(desk: Desk) -> impl IntoView {
    let days = Signal::derive({
        let days = desk.of(|order| order.keeps.dull_days);
        move || days.get().to_string()
    });
    let set_days = move |text: String| {
        let days = entry::read(&DULL_DAYS, &text)?.as_u64().unwrap_or(0);
        desk.change(|order| order.keeps.dull_days = days);
        Ok(())
    };
    let hours = Signal::derive({
        let hours = desk.of(|order| Short(order.keeps.hours).to_string());
        move || hours.get()
    });
    let set_hours = move |text: String| {
        let hours = entry::read(&HOURS, &text)?.as_f64().unwrap_or(0.0);
        desk.change(|order| order.keeps.hours = hours);
        Ok(())
    };
    let switch = desk.of(|order| order.switch.as_ref().map(|switch| switch.name.clone()));
    let is_there = Memo::new(move |_| switch.with(Option::is_some));
    let name = Signal::derive(move || switch.get().unwrap_or_default());
    let set_name = move |text: String| {
        desk.change(|order| {
            if let Some(switch) = &mut order.switch {
                switch.name = text.trim().chars().take(80).collect();
            }
        });
        Ok(())
    };
    view! {
        <h4>"What all of it must survive"</h4>
        <Entry id="draft-days".to_string() label=DULL_DAYS.label unit=DULL_DAYS.unit value=days read=set_days numeric=true/>
        <Entry id="draft-hours".to_string() label=HOURS.label unit=HOURS.unit value=hours read=set_hours numeric=true/>
        <Show when=move || is_there.get()>
            <Entry id="draft-switch".to_string() label="The one switch is called" value=name read=set_name/>
        </Show>
    }
}
