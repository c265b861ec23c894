//! The most that each wire carries over the run of a check, and when it first does. Steps, milliseconds.
//!
//! One run, that of a check: to the midnight that repeats, for [`DAYS`] days at the most, or to the bound of events. A
//! midnight that repeats an earlier one shows what that showed, and the last one of a run that repeats nothing belongs to
//! the day after it.

use super::check::{DAYS, check_days};
use super::days::{AtMidnight, Next, Observer, RunEnd, run_days, run_observed};
use crate::plan::Plan;
use crate::quantity::Ms;
use crate::run::{Engine, Midnights};
use serde::{Deserialize, Serialize};

/// The largest take of one wire.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct MostTake {
    /// How much it is.
    pub take: u64,
    /// The first moment of it; 0 for a wire that never carries.
    pub at: Ms,
}

/// The largest take of each wire, in the plan's order; `watch` is told how many whole days are done, of [`DAYS`] at the
/// most.
pub fn most_takes(plan: &Plan, watch: &mut dyn FnMut(u64)) -> Vec<MostTake> {
    let mut engine = Engine::new(plan);
    let mut looking = Looking {
        most: vec![MostTake::default(); plan.wires.len()],
        end: DAYS.saturating_mul(plan.world.day_ms()),
        watch,
    };
    looking.look(&engine);
    let _ = run_days(
        &mut engine,
        &mut Midnights::new(plan),
        check_days(plan),
        &mut looking,
    );
    looking.most
}

struct Looking<'a> {
    most: Vec<MostTake>,
    /// The end of the run, which is left out.
    end: Ms,
    watch: &'a mut dyn FnMut(u64),
}

impl Looking<'_> {
    fn look(&mut self, engine: &Engine) {
        let t = engine.now();
        for (most, take) in self.most.iter_mut().zip(engine.takes()) {
            if *take > most.take {
                *most = MostTake { take: *take, at: t };
            }
        }
    }
}

impl Observer for Looking<'_> {
    fn advance(&mut self, engine: &mut Engine, end: Ms) -> RunEnd {
        run_observed(engine, end, &mut |engine| {
            if engine.now() < self.end {
                self.look(engine);
            }
            true
        })
    }

    fn midnight(&mut self, _: &mut Engine, at: AtMidnight) -> Next {
        (self.watch)(at.number);
        match at.round {
            Some(_) => Next::Over,
            None => Next::Day,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::net::testing::plan;
    use crate::quantity::HOUR_MS;

    #[test]
    fn a_wire_s_most_is_the_largest_take_and_its_first_moment() {
        let plan = plan(
            r#"{ "parts": { "gen": "generator", "door": ["switch", { "schedule": [["06:00", true], ["18:00", false]] }],
                            "lamp": "lamp", "heater": "heater", "spare": "lamp" },
                 "wires": ["gen.out heater.in", "heater.loop door.feed", "door.out lamp.in", "lamp.loop spare.in"] }"#,
        );
        let mut days = Vec::new();
        let most = most_takes(&plan, &mut |day| days.push(day));
        let told: Vec<(u64, Ms)> = most.iter().map(|most| (most.take, most.at)).collect();
        let six = 6 * HOUR_MS;
        // Heater 3, then the two lamps of 2 beside it.
        assert_eq!(told, [(7, six), (4, six), (4, six), (2, six)]);
        assert_eq!(days, [0, 1]);
    }

    #[test]
    fn a_wire_that_never_carries_has_0_at_the_start() {
        let plan = plan(r#"{ "parts": { "a": "lamp", "b": "lamp" }, "wires": ["a.loop b.in"] }"#);
        assert_eq!(most_takes(&plan, &mut |_| {}), [MostTake::default()]);
    }
}
