//! Other settings of the contacts that lead to a load. Whether a contact turns the load on by closing or by opening is not
//! asked: each of its edges is tried at the wanted time.

use super::candidates::{Ahead, StartChange};
use super::meant::{MeantStart, signed};
use super::{Bound, OfferKind};
use crate::plan::{Clock, Edit, Function, Spec};
use crate::quantity::Ms;
use serde_json::{Value, json};

/// The most contacts of which settings are tried, the nearest first.
const CONTACTS: usize = 6;

pub(super) fn changes(ahead: &Ahead) -> Vec<StartChange> {
    let seen = ahead.seen;
    let contacts = ahead.parts.iter().filter_map(|at| match &seen.specs[*at] {
        Some(Spec::Contact { function, .. }) => Some((*at, function)),
        _ => None,
    });
    let mut out = Vec::new();
    for (at, function) in contacts.take(CONTACTS) {
        for (how, set) in settings(ahead, function) {
            out.push(change(ahead, at, OfferKind::Setting, &how, &set));
        }
    }
    out
}

/// A change of these settings of a part; `how` goes on from its name.
pub(super) fn change(
    ahead: &Ahead,
    part: usize,
    kind: OfferKind,
    how: &str,
    set: &[(&str, Value)],
) -> StartChange {
    let (name, id) = (ahead.seen.name(part), ahead.seen.id(part));
    let edit = |(key, value): &(&str, Value)| {
        Edit::Set(id.clone(), (*key).to_string(), Some(value.clone()))
    };
    StartChange {
        kind,
        group: format!("{id} {:?} {:?}", kind, set.first().map(|one| one.0)),
        what: format!("{name} {how}"),
        name: format!("have {name} {how}"),
        edits: set.iter().map(edit).collect(),
    }
}

type Set = (String, Vec<(&'static str, Value)>);

fn settings(ahead: &Ahead, function: &Function) -> Vec<Set> {
    let (meant, lag) = (ahead.meant, ahead.seen.plan.book.book.lag_ms);
    let minutes = minutes(meant, lag);
    let mut out: Vec<Set> = Vec::new();
    match function {
        Function::Clock(..) => {
            for minute in &minutes {
                let said = minute.to_string();
                out.push((format!("set from {said}"), vec![("from", json!(said))]));
                out.push((
                    format!("set to {said} as its end"),
                    vec![("to", json!(said))],
                ));
            }
        }
        Function::Twilight(_) => {
            for below in thresholds(ahead) {
                let how = format!("set to light below {below}");
                out.push((how, vec![("below", json!(below))]));
            }
        }
        Function::Manual { schedule, .. } => {
            let times: Vec<Ms> = schedule.iter().map(|(at, _)| *at).collect();
            for (moved, place, minute) in moved(&times, meant, &minutes) {
                let mut list: Vec<(Clock, bool)> = (moved.into_iter())
                    .zip(schedule.iter().map(|entry| entry.1))
                    .collect();
                list.sort();
                let was = Clock::at(times[place], meant.day);
                let list: Vec<Value> = (list.iter())
                    .map(|(at, closed)| json!([at.to_string(), closed]))
                    .collect();
                let how = format!("thrown at {minute} instead of {was}");
                out.push((how, vec![("schedule", json!(list))]));
            }
        }
        Function::Button { presses, .. } => {
            for (mut moved, place, minute) in moved(presses, meant, &minutes) {
                moved.sort_unstable();
                let was = Clock::at(presses[place], meant.day);
                let list: Vec<String> = moved.iter().map(Clock::to_string).collect();
                let how = format!("pressed at {minute} instead of {was}");
                out.push((how, vec![("presses", json!(list))]));
            }
        }
        Function::OnDelay(delay) | Function::OffDelay(delay) | Function::Pulse(delay) => {
            let other = signed(*delay).saturating_sub(meant.now);
            if other >= 0 {
                let how = format!(
                    "set to a delay of {}",
                    crate::proof::length(other.unsigned_abs())
                );
                out.push((how, vec![("delay_s", json!(other as f64 / 1000.0))]));
            }
        }
        Function::Charge { watches, low, high } => {
            out.extend(levels(ahead, watches, *low, *high));
        }
        _ => {}
    }
    out
}

/// Minutes of the dial at which something set to them may start the load as wanted: a contact acts by its lag later, and
/// so may some in a row.
pub(super) fn minutes(meant: &MeantStart, lag: Ms) -> Vec<Clock> {
    let lags: &[i64] = match meant.bound {
        Bound::AtLatest => &[0, 1, 3],
        Bound::NotBefore => &[0],
    };
    let mut out = Vec::new();
    for lags in lags {
        let at = Clock::at(meant.of_day(meant.wanted - lags * signed(lag)), meant.day);
        if !out.contains(&at) {
            out.push(at);
        }
    }
    out
}

/// The daily times with the one nearest to the start moved to each of these minutes: all, which one, and where to.
fn moved(times: &[Ms], meant: &MeantStart, minutes: &[Clock]) -> Vec<(Vec<Clock>, usize, Clock)> {
    let far = |place: &usize| {
        let apart = meant.of_day(signed(times[*place]) - meant.start());
        apart.min(meant.day - apart)
    };
    let Some(place) = (0..times.len()).min_by_key(far) else {
        return Vec::new();
    };
    let with = |minute: &Clock| {
        let mut all: Vec<Clock> = (times.iter().map(|t| Clock::at(*t, meant.day))).collect();
        all[place] = *minute;
        (all, place, *minute)
    };
    minutes.iter().map(with).collect()
}

/// Light below which a twilight switch turns just in time: four places, just above the light then, and just below it.
pub(super) fn thresholds(ahead: &Ahead) -> Vec<f64> {
    let (sky, lag) = (
        ahead.seen.plan.world.sky(),
        ahead.seen.plan.book.book.lag_ms,
    );
    let meant = ahead.meant;
    let early = match meant.bound {
        Bound::AtLatest => 0,
        Bound::NotBefore => 1,
    };
    let light = sky.light(meant.of_day(meant.wanted - signed(lag) - early)) * 10_000.0;
    let above = (light.floor() + 1.0) / 10_000.0;
    let below = light.floor() / 10_000.0;
    let fits = |below: &f64| *below > 0.0 && *below <= 1.0;
    [above, below].into_iter().filter(fits).collect()
}

/// Levels of a charge contact: what the battery holds at the wanted time on the repeating days.
fn levels(ahead: &Ahead, watches: &str, low: u64, high: u64) -> Vec<Set> {
    let (seen, meant) = (ahead.seen, ahead.meant);
    let Some(battery) = seen.place(&watches.into()) else {
        return Vec::new();
    };
    let Some(Spec::Battery { capacity, .. }) = seen.specs[battery] else {
        return Vec::new();
    };
    let course = seen.levels(battery);
    let time = meant.of_day(meant.wanted);
    let mut held = Vec::new();
    let mut midnight = seen.from;
    while midnight < seen.to {
        let t = midnight + time;
        let pair = course.windows(2).find(|p| p[0].0 <= t && t < p[1].0);
        if let Some([(a, low), (b, high)]) = pair {
            let level = low + (high - low) * (t - a) as i128 / (b - a) as i128;
            held.push(level * 1000 / capacity.max(1));
        }
        midnight += meant.day;
    }
    let ends = [held.iter().max(), held.iter().min()];
    let mut out: Vec<Set> = Vec::new();
    for mille in ends.into_iter().flatten() {
        for mille in [*mille, *mille + 1] {
            let mille = u64::try_from(mille).unwrap_or(0).min(1000);
            for (l, h) in [(mille, high.max(mille)), (low.min(mille), mille)] {
                let percent = |mille: u64| crate::quantity::Short(mille as f64 / 10.0);
                let how = format!("set to {} % and {} %", percent(l), percent(h));
                out.push((how, vec![("low", json!(l)), ("high", json!(h))]));
            }
        }
    }
    out
}
