//! What batteries have in reserve at dusk, with no more sun: of the chosen battery, or of the first to run flat. Worked
//! out beside the page, anew at every edit.

use crate::page::day::use_run;
use crate::page::store::use_store;
use crate::page::worker::{Answer, Clerk, Task};
use crate::plan::PartId;
use crate::quantity::Ms;
use crate::run::Lasts;
use crate::sheet::words::{hours, moment};
use leptos::prelude::*;
use std::collections::BTreeMap;

/// The reserve with the batteries by their ids.
#[derive(Clone, PartialEq)]
struct Known {
    dusk: Ms,
    day: Ms,
    batteries: BTreeMap<PartId, Lasts>,
}

/// The sentence on the reserve at dusk.
#[component]
pub(super) fn ReserveLine(
    /// The battery; without one, whichever runs flat first.
    id: Option<PartId>,
) -> impl IntoView {
    let (store, run) = (use_store(), use_run());
    let clerk = Clerk::new();
    let known = RwSignal::new(None::<Known>);
    // Once the chart is there, whose days it follows.
    let days = Memo::new(move |_| {
        run.told().map(|t| {
            (
                t.shown,
                t.journey.record.end.div_ceil(t.journey.day_ms.max(1)),
            )
        })
    });
    Effect::new(move |_| {
        let Some((_, days)) = days.get() else { return };
        let (ids, day): (Vec<PartId>, Ms) = store.with_shown(|plan| {
            (
                plan.parts.iter().map(|p| p.id.clone()).collect(),
                plan.world.day_ms(),
            )
        });
        let hear = move |piece: Result<Answer, String>| {
            let Ok(Answer::Reserve(reserve)) = piece else {
                return;
            };
            known.set(reserve.map(|r| {
                Known {
                    dusk: r.dusk,
                    day,
                    batteries: r
                        .batteries
                        .into_iter()
                        .filter_map(|(at, l)| Some((ids.get(at)?.clone(), l)))
                        .collect(),
                }
            }));
        };
        store.with_shown(|plan| clerk.ask(plan, Task::Reserve(days.max(1)), hear));
    });
    move || {
        let known = known.get()?;
        let least = |l: &Lasts| match l {
            Lasts::Off => 0,
            Lasts::For(ms) => *ms,
            Lasts::Longer => Ms::MAX,
        };
        let (of, lasts) = match &id {
            Some(id) => (id.clone(), *known.batteries.get(id)?),
            None => known
                .batteries
                .iter()
                .min_by_key(|(_, l)| least(l))
                .map(|(id, l)| (id.clone(), *l))?,
        };
        let name = store.with_shown(|plan| plan.called(&of));
        let at = moment(known.dusk, known.day);
        let said = match lasts {
            Lasts::Off => format!("At dusk ({at}) {name} is off already."),
            Lasts::For(ms) => format!(
                "From dusk ({at}), with no more sun, {name} lasts {}, until {}.",
                hours(ms, known.day),
                moment(known.dusk + ms, known.day)
            ),
            Lasts::Longer => {
                format!("From dusk ({at}), with no more sun, {name} lasts longer than 60 days.")
            }
        };
        Some(view! { <p class="reserve" class:old=move || clerk.is_busy()>{said}</p> })
    }
}
