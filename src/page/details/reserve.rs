//! What batteries have in reserve at dusk, with no more sun: of the chosen battery, or of the first to run flat. Worked
//! out beside the page, anew at every edit.

use crate::page::day::use_run;
use crate::page::jobs::{Job, Subject, priority, use_jobs};
use crate::page::store::use_store;
use crate::plan::{PartId, Plan};
use crate::quantity::Ms;
use crate::run::Lasts;
use crate::sheet::words::{hours, moment};
use crate::worker::{Answer, Task};
use leptos::prelude::*;
use std::collections::BTreeMap;

/// The reserve with the batteries by their ids.
#[derive(Clone, PartialEq)]
struct Known {
    dusk: Ms,
    day: Ms,
    batteries: BTreeMap<PartId, Lasts>,
}

/// What is known of a reserve, where it ever turns dark.
fn take(known: &mut Option<Option<Known>>, piece: Answer, plan: &Plan) -> bool {
    let Answer::Reserve(reserve) = piece else {
        return false;
    };
    *known = Some(reserve.map(|reserve| {
        let id = |at: usize| plan.parts.get(at).map(|p| p.id.clone());
        let all = reserve.batteries.into_iter();
        Known {
            dusk: reserve.dusk,
            day: plan.world.day_ms(),
            batteries: all
                .filter_map(|(at, lasts)| Some((id(at)?, lasts)))
                .collect(),
        }
    }));
    true
}

/// The sentence on the reserve at dusk.
#[component]
pub(super) fn ReserveLine(
    /// The battery; without one, whichever runs flat first.
    id: Option<PartId>,
) -> impl IntoView {
    let (store, run) = (use_store(), use_run());
    let job = Job::new(use_jobs(), Subject::Shown, take);
    // Once the chart is there, whose days it follows.
    let days = Memo::new(move |_| {
        let answer = run.answer()?;
        let days = answer
            .journey
            .record
            .end
            .div_ceil(answer.journey.day_ms.max(1));
        Some((answer.fingerprint, days.max(1)))
    });
    Effect::new(move |_| {
        let has_batteries = store.with_shown(|plan| !plan.batteries().is_empty());
        if let Some((_, days)) = days.get().filter(|_| has_batteries) {
            job.ask(vec![Task::Reserve(days)], priority::IN_SIGHT);
        }
    });
    move || {
        let known = job.answer()?.value.clone()?;
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
        Some(view! { <p class="reserve" class:old=move || job.is_out_of_date()>{said}</p> })
    }
}
