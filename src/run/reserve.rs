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
    use crate::net::testing::plan;
    use crate::quantity::HOUR_MS;
    use crate::run::What;

    const SKY: &str =
        r#""sky": { "rise": "06:00", "set": "18:00", "rise_azimuth": 90, "highest": 90 }"#;

    /// A lamp of 2 u that is lit at dusk for good, at a store that is full until then.
    fn lit(world: &str, store: &str, sources: &str, wires: &str) -> Plan {
        plan(&format!(
            r#"{{ "world": {{ {SKY} {world} }},
                  "parts": {{ "store": ["{store}", {{ "start": 1000 }}], "lamp": "lamp",
                              "dusk": ["switch", {{ "closed": false, "schedule": [["18:00", true]] }}] {sources} }},
                  "wires": ["store.out dusk.feed", "dusk.out lamp.in" {wires}] }}"#
        ))
    }

    fn lasts(plan: &Plan) -> Lasts {
        let got = reserve(plan, 1).expect("it turns dark");
        assert_eq!(got.dusk, 18 * HOUR_MS);
        got.batteries[&0]
    }

    #[test]
    fn what_is_left_at_dusk_lasts_as_long_as_the_draw_lets_it() {
        // 20 u·h down to nothing, at 2 u: 10 h.
        let cell = lit("", "battery-cell", "", "");
        assert_eq!(lasts(&cell), Lasts::For(10 * HOUR_MS));
        // At its cut-out from the start.
        let empty = plan(&format!(
            r#"{{ "world": {{ {SKY} }}, "parts": {{ "store": ["battery-cell", {{ "start": 0 }}], "lamp": "lamp" }},
                  "wires": ["store.out lamp.in"] }}"#
        ));
        assert_eq!(lasts(&empty), Lasts::Off);
        // Nothing draws on it.
        let unused = plan(&format!(
            r#"{{ "world": {{ {SKY} }}, "parts": {{ "store": "battery-cell" }}, "wires": [] }}"#
        ));
        assert_eq!(lasts(&unused), Lasts::Longer);
    }

    #[test]
    fn from_dusk_on_the_sun_is_gone_and_the_wind_is_not() {
        let panel = r#", "panel": "sun-panel""#;
        let sunny = lit("", "battery", panel, r#", "panel.out store.in""#);
        let run = crate::run::run(&sunny, 4);
        assert!(run.events.iter().all(|e| e.what != What::OutputOff));
        // 60 u·h less a twentieth, at 2 u, over a noon that would have filled it: 28 h 30 min.
        assert_eq!(lasts(&sunny), Lasts::For(28 * HOUR_MS + HOUR_MS / 2));
        // A tenth of a turbine of 10 u stores 0.9 u: 57 u·h at 1.1 u last 186 545 454.5 ms, rounded up.
        let tenths = [0.1; 24].map(|f: f64| f.to_string()).join(", ");
        let windy = lit(
            &format!(r#", "wind": [{tenths}]"#),
            "battery",
            &format!(r#"{panel}, "mill": "wind-turbine-small", "bar": "busbar-2""#),
            r#", "panel.out bar.in1", "mill.out bar.in2", "bar.out store.in""#,
        );
        assert_eq!(lasts(&windy), Lasts::For(186_545_455));
    }

    #[test]
    fn a_world_without_dusk_has_no_reserve_at_dusk() {
        let mut plan = lit("", "battery-cell", "", "");
        plan.world.sky = crate::plan::SkyRef::Place {
            latitude: 89.0,
            day_of_year: 172.0,
        };
        assert_eq!(reserve(&plan, 1), None);
    }
}
