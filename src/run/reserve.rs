//! What batteries have in reserve at dusk: how long each lasts with no more sun. Times in milliseconds.

use super::{Engine, Event, MOST_DAYS};
use crate::book::Profile;
use crate::plan::Plan;
use crate::quantity::Ms;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// How long one battery lasts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Lasts {
    /// Its output is off at dusk already.
    Off,
    /// Its output goes off so long after dusk.
    For(Ms),
    /// Its output stays on for all the days that were looked at.
    Longer,
}

/// The reserve at one dusk.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Reserve {
    /// The moment from which there is no sun.
    pub dusk: Ms,
    /// The batteries, by their places in the plan.
    pub batteries: BTreeMap<usize, Lasts>,
}

impl Plan {
    /// The last moment before `end` at which it turns dark; `None` where it never does.
    fn last_dusk(&self, end: Ms) -> Option<Ms> {
        let (dark, turns) = self.world.sky().dark_changes();
        let day = self.world.day_ms();
        let of_day = turns.into_iter().enumerate();
        let dusk = of_day
            .filter(|(at, _)| dark == (at % 2 == 1))
            .map(|(_, t)| t)
            .next_back()?;
        (0..=end / day)
            .rev()
            .map(|n| n * day + dusk)
            .find(|t| *t < end)
    }
}

/// The reserve at the last dusk of a run of `days` days: from there the sun gives nothing, wind and steady sources go on,
/// for [`MOST_DAYS`] days at the most. `None` where it never turns dark.
pub fn reserve(plan: &Plan, days: u64) -> Option<Reserve> {
    let day = plan.world.day_ms();
    let dusk = plan.last_dusk(day.saturating_mul(days))?;
    let mut engine = Engine::watching_outputs(plan);
    engine.advance(dusk);
    engine.shade(dusk, Ms::MAX, |profile| profile == Profile::Sun);
    engine.advance(dusk.saturating_add(1));
    let mut batteries: BTreeMap<usize, Lasts> = BTreeMap::new();
    for part in engine.batteries.keys() {
        let lasts = if engine.controls.output[*part] {
            Lasts::Longer
        } else {
            Lasts::Off
        };
        batteries.insert(*part, lasts);
    }
    // Of what went off before nothing is asked.
    engine.told();
    for n in 1..=MOST_DAYS {
        if batteries.values().all(|l| *l != Lasts::Longer) {
            break;
        }
        engine.advance(dusk.saturating_add(day.saturating_mul(n)));
        for event in engine.told() {
            let lasts = batteries.get_mut(&event.place());
            if let Some(lasts) = lasts.filter(|l| **l == Lasts::Longer) {
                *lasts = Lasts::For(event.t - dusk);
            }
        }
    }
    Some(Reserve { dusk, batteries })
}

impl Engine {
    /// The events since this was last asked; they are kept no longer.
    fn told(&mut self) -> Vec<Event> {
        let recorder = self.recorder.as_mut();
        recorder.map_or_else(Vec::new, |r| std::mem::take(&mut r.events))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::read_plan;
    use crate::run::What;

    /// A day with the sun from 06:00 to 18:00 straight above; a battery of 10 u·h at a lamp of 2 u.
    fn plan(start: u64, draw: &str) -> Plan {
        let text = format!(
            r#"{{ "format": "duskline/plan", "version": 1, "book": "outpost",
                  "world": {{ "sky": {{ "rise": "06:00", "set": "18:00", "rise_azimuth": 90, "highest": 90 }} }},
                  "parts": [ {{ "id": "b", "type": "battery-cell", "set": {{ "start": {start} }} }},
                             {{ "id": "l", "type": "{draw}" }} ],
                  "wires": [ {{ "id": "w", "from": "b.out", "to": "l.in" }} ] }}"#
        );
        read_plan(&text).expect("a plan")
    }

    #[test]
    fn what_is_left_at_dusk_lasts_as_long_as_the_draw_lets_it() {
        // Nothing charges the cell, so that without sun all goes on as before: it lasts from dusk to where it is off anyway.
        let plan = plan(1000, "lamp");
        let record = crate::run::run(&plan, 3);
        let off = record
            .events
            .iter()
            .find(|e| e.what == What::OutputOff)
            .map(|e| e.t);
        let got = reserve(&plan, 1).expect("it turns dark");
        assert_eq!(got.dusk, 64_800_000);
        let expected = match off {
            Some(t) if t > got.dusk => Lasts::For(t - got.dusk),
            Some(_) => Lasts::Off,
            None => Lasts::Longer,
        };
        assert_eq!(got.batteries, BTreeMap::from([(0, expected)]));
    }

    #[test]
    fn a_world_without_dusk_has_no_reserve_at_dusk() {
        let mut plan = plan(1000, "lamp");
        plan.world.sky = crate::plan::SkyRef::Place {
            latitude: 89.0,
            day_of_year: 172.0,
        };
        assert_eq!(reserve(&plan, 1), None);
    }
}
