//! What an empty battery lacked: how much more it would have had to hold for a load to run on, and which other load,
//! switched off for how long, would have left it as much.
//!
//! Found by running on with energy lent to the battery beneath its cut-out, and seeing how much of it is used. Energies
//! in 1/1000 step·ms.

use super::words::{enough, enough_time};
use crate::plan::{PartId, Plan, Spec};
use crate::quantity::{Energy, Ms, STEP_MS};
use crate::run::{Engine, Record, What};
use serde::{Deserialize, Serialize};

/// A battery that was empty while a load was to run.
#[derive(Clone, Copy, Debug)]
pub struct Want {
    /// The battery.
    pub battery: usize,
    /// The load.
    pub load: usize,
    /// When the load was to run.
    pub from: Ms,
    /// Until when; `None` for ever.
    pub to: Option<Ms>,
    /// Whether the battery never comes back.
    pub is_gone: bool,
    /// The longest stretch in which it may be off all the same.
    pub grace: Ms,
}

/// What would have been enough.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Enough {
    /// How much more the battery had to hold.
    pub energy: Energy,
    /// Where it is missing for ever: how much more a day had to come in.
    pub daily: Option<Energy>,
    /// Another load and for how long to switch it off.
    pub other: Option<(PartId, Ms)>,
}

impl Enough {
    /// What to do, as a sentence.
    pub fn says(&self, plan: &Plan) -> String {
        let unit = &plan.book.book.unit;
        if let Some(daily) = self.daily {
            return format!("It needs {} more a day.", enough(unit, daily));
        }
        let other = self.other.as_ref().map(|(load, time)| {
            format!(", or {} off for {}", plan.called(load), enough_time(*time))
        });
        let energy = enough(unit, self.energy);
        format!("It needs {energy} more{}.", other.unwrap_or_default())
    }
}

/// When the battery's output went off, seen from `t`; the start of the run if it has been off from there.
pub fn output_off_since(record: &Record, battery: usize, t: Ms) -> Ms {
    let mut events = record.events.iter().rev();
    events
        .find(|e| e.t <= t && e.place() == battery && e.what == What::OutputOff)
        .map_or(0, |e| e.t)
}

/// What would have been enough. `engine` is the run, come to the moment `off` at which the output went off, that
/// moment's events still ahead. `None` where more in the battery would not have kept the load running.
pub fn enough_for(
    engine: &Engine,
    plan: &Plan,
    record: &Record,
    want: Want,
    off: Ms,
) -> Option<Enough> {
    let mut engine = engine.clone();
    let Some(Spec::Battery {
        cut_out, max_out, ..
    }) = engine.net().nodes[want.battery].spec
    else {
        return None;
    };
    // What is missing for ever is seen in one round of the weather.
    let days = (plan.world.weather.len() as u64).max(1);
    let round = days.saturating_mul(plan.world.day_ms());
    let start = want.from.max(off);
    let gap_end = want.to.unwrap_or(Ms::MAX);
    let lasts = want.is_gone || want.to.is_none();
    let to = match lasts {
        true => start.saturating_add(round),
        false => gap_end.max(off),
    };
    // More than it could give in all the time.
    let loan = Energy::from(max_out) * Energy::from(to - off + 1) * STEP_MS;
    engine.lend(want.battery, loan);
    let mut others = fed_alone(&engine, plan, want);
    let mut ran = vec![0; others.len()];
    let mut lowest = engine.level(want.battery, off)?;
    let mut at_start = lowest;
    let (mut at, mut stretch) = (off, 0);
    engine.advance(off.saturating_add(1));
    while at < to {
        let runs = engine.live().runs.clone();
        let events = engine.events();
        // The level is asked for where the stretch begins.
        let pause = if at < start { start } else { to };
        engine.advance_some(pause, 1);
        let next = if engine.events() > events {
            engine.now()
        } else {
            pause
        };
        for (ran, load) in ran.iter_mut().zip(&others) {
            *ran += if runs[*load] { next - at } else { 0 };
        }
        let due = next.min(gap_end).saturating_sub(at.max(want.from));
        stretch = if runs[want.load] { 0 } else { stretch + due };
        if stretch > want.grace {
            return None;
        }
        let level = engine.level(want.battery, next)?;
        if next <= start {
            at_start = level;
        }
        lowest = lowest.min(level);
        at = next;
    }
    let drop = at_start - engine.level(want.battery, to)?;
    let daily = drop.max(0).unsigned_abs().div_ceil(u128::from(days));
    let daily = Some(daily as Energy).filter(|daily| lasts && *daily > 0);
    let energy = (cut_out + loan - lowest).max(0);
    let since = last_full(record, want.battery, off);
    for (ran, load) in ran.iter_mut().zip(&others) {
        let runs = record.loads.get(load).map_or(&[][..], |l| &l.runs);
        let before = runs
            .iter()
            .map(|(a, b)| (*b).min(off).saturating_sub((*a).max(since)));
        *ran += before.sum::<Ms>();
    }
    let time = |load: usize| match engine.net().nodes[load].spec {
        Some(Spec::Load { draw, .. }) => {
            let rate = (u128::from(draw) * STEP_MS as u128).max(1);
            Ms::try_from(energy.unsigned_abs().div_ceil(rate)).unwrap_or(Ms::MAX)
        }
        _ => Ms::MAX,
    };
    let mut rows: Vec<(usize, Ms, Ms)> = others
        .drain(..)
        .zip(ran)
        .map(|(load, ran)| (load, time(load), ran))
        .filter(|(_, time, ran)| time <= ran)
        .collect();
    rows.sort_by_key(|(load, time, _)| (*time, *load));
    Some(Enough {
        energy,
        daily,
        other: rows
            .first()
            .map(|(load, time, _)| (plan.parts[*load].id.clone(), *time)),
    })
}

/// The last moment before `t` at which the battery was full, or the start of the run: what is saved before is spilled.
fn last_full(record: &Record, battery: usize, t: Ms) -> Ms {
    let Some(battery) = record.batteries.get(&battery) else {
        return 0;
    };
    let top = battery.level.iter().map(|(_, level)| *level).max();
    let mut points = battery.level.iter().rev();
    points
        .find(|(at, level)| *at < t && Some(*level) == top)
        .map_or(0, |(at, _)| *at)
}

/// Loads without a duty that get all they take from this battery, when it gives: everything on the way has one input.
fn fed_alone(engine: &Engine, plan: &Plan, want: Want) -> Vec<usize> {
    let net = engine.net();
    let bound = |part: usize| plan.duties.iter().any(|d| d.part == plan.parts[part].id);
    let (mut found, mut waits) = (Vec::new(), vec![want.battery]);
    while let Some(part) = waits.pop() {
        for wire in net.nodes[part].outs.iter().flatten() {
            let ends = net.wires[*wire];
            let to = net.part_of[ends.to];
            if ends.signal || ends.closed {
                continue;
            }
            match net.nodes[to].spec {
                Some(Spec::Load { .. }) => {
                    if to != want.load && !bound(to) {
                        found.push(to);
                    }
                    waits.push(to);
                }
                Some(Spec::Tap(_) | Spec::Divider(_) | Spec::Meter | Spec::Contact { .. }) => {
                    waits.push(to);
                }
                _ => {}
            }
        }
    }
    found.sort_unstable();
    found
}
