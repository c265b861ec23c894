//! How well the world explains each reading: in words, and as a strip with what was read, what that allows, and what the
//! world gives.

use super::desk::Desk;
use crate::sheet::readings::{ReadingStrip, Strip, strips};
use leptos::prelude::*;

/// How high a strip is, in units.
const HIGH: f64 = 18.0;
/// Half the size of a mark.
const MARK: f64 = 5.0;

/// The readings of the last answer.
#[component]
pub(super) fn Residuals(desk: Desk) -> impl IntoView {
    let all = move || {
        let names = desk.names.get();
        let all = desk
            .measured
            .with(|m| m.as_ref().map(|m| strips(&m.readings, &m.fit, &names)));
        all.unwrap_or_default()
    };
    view! {
        <Show when=move || desk.measured.with(Option::is_some)>
            <h4>"How well it explains each reading"</h4>
            <p class="measure-legend">
                <span>{picture(&LEGEND[0], "")}"The bar is what a reading allows, the line across it what was read, the dot what the world gives."</span>
                <span>{picture(&LEGEND[1], "")}"A square outside the bar: the reading is off."</span>
            </p>
            <table class="proof-table measure-residuals" class:old=move || !desk.is_fresh.get()>
                <thead>
                    <tr>
                        <th scope="col"><abbr title="Number">"No."</abbr></th>
                        <th scope="col">"Reading"</th>
                        <th scope="col">"Picture"</th>
                        <th scope="col">"Off by"</th>
                    </tr>
                </thead>
                <tbody>{move || all().into_iter().map(row).collect_view()}</tbody>
            </table>
        </Show>
    }
}

/// A strip that is explained, and one that is not.
const LEGEND: [Strip; 2] = [
    Strip {
        allowed: (40.0, 80.0),
        read: 40.0,
        gives: 58.0,
        is_beyond: false,
    },
    Strip {
        allowed: (40.0, 80.0),
        read: 60.0,
        gives: 100.0,
        is_beyond: false,
    },
];

fn row(of: ReadingStrip) -> impl IntoView {
    let drawn = of.strip.map(|strip| picture(&strip, &of.sentence()));
    let off = match of.contradicts {
        true => format!("{}; contradicts", of.off),
        false => of.off,
    };
    view! {
        <tr class:differs=!of.is_explained>
            <th scope="row">{of.name}</th>
            <td>{of.what}<span class="aside">{format!("read {}, the world gives {}", of.says, of.gives)}</span></td>
            <td>{drawn}</td>
            <td>{off}</td>
        </tr>
    }
}

/// A strip; without a sentence it says nothing, for the words beside it do.
fn picture(strip: &Strip, says: &str) -> impl IntoView + use<> {
    let (from, to) = strip.allowed;
    let middle = HIGH / 2.0;
    let (read, gives) = (strip.read, strip.gives);
    let is_in = from <= gives && gives <= to;
    let mark = match is_in {
        true => view! { <circle class="gives" cx=gives cy=middle r=MARK/> }.into_any(),
        false => {
            let size = 2.0 * MARK;
            view! { <rect class="gives off" x=gives - MARK y=middle - MARK width=size height=size/> }.into_any()
        }
    };
    let role = if says.is_empty() {
        "presentation"
    } else {
        "img"
    };
    let label = (!says.is_empty()).then(|| says.to_string());
    view! {
        <svg class="measure-strip" viewBox=format!("0 0 {} {HIGH}", Strip::WIDE) role=role aria-label=label>
            <path class="along" d=format!("M0 {middle}H{}", Strip::WIDE)/>
            <rect class="allowed" x=from y=middle - 4.0 width=to - from height=8.0/>
            <path class="read" d=format!("M{read} 1V{}", HIGH - 1.0)/>
            {mark}
        </svg>
    }
}
