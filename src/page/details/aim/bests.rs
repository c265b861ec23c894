//! The four best aims as buttons, each with what it gives.

use super::Aiming;
use crate::sheet::aims::{self, Offer};
use leptos::prelude::*;

/// The best aims.
#[component]
pub(super) fn Bests(aiming: Aiming) -> impl IntoView {
    let offers = Memo::new(move |_| {
        let panel = aiming.panel.get()?;
        let unit = aiming.store.unit();
        let found = aiming.found();
        let said = aims::offers(&found.bests, &panel, &unit).into_iter();
        let known = said.enumerate();
        let known = known.map(|(at, offer)| (at < found.done, offer));
        Some(known.collect::<Vec<_>>())
    });
    let each = move |(known, offer): (bool, Offer)| {
        let is_now = move || {
            let best = offer.aim.map(|b| b.aim());
            best.is_some() && aiming.panel.with(|p| p.as_ref().map(|p| p.aim)) == best
        };
        let says = format!("aim the panel for {}", offer.best_for.to_lowercase());
        let take = move |_| {
            if let Some(best) = offer.aim {
                aiming.put(best.aim(), &says);
            }
        };
        let aim = offer
            .aim
            .map(|b| format!("{}°, tilted {}°", b.azimuth, b.tilt));
        let gives = if known {
            offer.gives
        } else {
            "looking…".into()
        };
        view! {
            <li>
                <button type="button" class="best" disabled=offer.aim.is_none() on:click=take>
                    <span class="best-for">{offer.best_for}</span>
                    <span class="best-aim">{aim}{move || is_now().then_some(" · as it is")}</span>
                    <span class="best-gives">{gives}</span>
                </button>
            </li>
        }
    };
    let list = move || {
        offers
            .get()
            .map(|all| all.into_iter().map(each).collect_view())
    };
    // What was found for the panel or the sky before stays until there is better.
    let looking = move || aiming.is_looking().then_some(" looking anew…");
    let failed = move || {
        let why = aiming.search.status().says()?;
        Some(view! { <p class="aside">{why}</p> })
    };
    view! {
        <h4>"Best aims"<span class="aside">{looking}</span></h4>
        <ul class="bests" aria-busy=move || looking().is_some().to_string()>{list}</ul>
        {failed}
        <p class="aside">
            "These aims know no duties. For a load that is to start at another time with every duty kept, choose the load: "
            <em>"Another time"</em>" in its details turns panels too."
        </p>
    }
}
