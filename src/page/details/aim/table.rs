//! The table of a day's output against direction and tilt, folded until it is asked for.

use super::Aiming;
use crate::quantity::Short;
use crate::sheet::dome::COMPASS;
use crate::sky::TILTS;
use leptos::prelude::*;

/// The table.
#[component]
pub(super) fn Table(aiming: Aiming) -> impl IntoView {
    let sign = aiming.store.unit().sign;
    let rows = move || {
        let (Some(panel), unit) = (aiming.panel.get(), aiming.store.unit()) else {
            return None;
        };
        let rows = aiming.found().rows;
        let most = rows.iter().flatten().copied().max().unwrap_or(0);
        let cell = |direction: usize, tilt: usize| {
            let Some(energy) = rows.get(tilt).and_then(|row| row.get(direction)).copied() else {
                return view! { <td>"…"</td> }.into_any();
            };
            let hours = unit.hours(panel.energy(energy));
            let said = three_digits(hours);
            let is_most = energy == most && most > 0;
            view! { <td class:most=is_most>{said}</td> }.into_any()
        };
        let each = |(direction, name): (usize, &'static str)| {
            let cells: Vec<_> = (0..TILTS.len()).map(|tilt| cell(direction, tilt)).collect();
            view! { <tr><th scope="row">{name}</th>{cells}</tr> }
        };
        Some(COMPASS.into_iter().enumerate().map(each).collect_view())
    };
    let tilts = TILTS.map(|tilt| view! { <th scope="col">{format!("{tilt}°")}</th> });
    view! {
        <details class="aim-table">
            <summary>"Output by direction and tilt"</summary>
            <div class="aim-table-scroll" aria-busy=move || aiming.is_looking().to_string() role="group" aria-label="Table" tabindex="0">
                <table>
                    <caption>{format!("{sign}·h a day; the most is framed")}</caption>
                    <thead><tr><td></td>{tilts}</tr></thead>
                    <tbody>{rows}</tbody>
                </table>
            </div>
        </details>
    }
}

/// A number to a tenth, or whole where it is 100 or more: the columns are narrow.
fn three_digits(x: f64) -> String {
    let places = if x < 99.95 { 10.0 } else { 1.0 };
    Short((x * places).round() / places).to_string()
}
