//! Autonomy: with no more sun and wind, how long each duty still holds; from any instant, and from the worst start.
//!
//! From the instant on, sun and wind sources give nothing; steady ones go on, and so do batteries, contacts and the
//! dial. A duty holds until the first stretch begins that becomes longer than its grace and goes on after the instant;
//! one that is in such a stretch at the instant holds for no time. A stretch that is over at the instant, or ends in its
//! millisecond, is what the plan breaks anyway and does not count. One that comes later counts, whether or not the plan
//! would have it with sun and wind too: what is asked is when the load next fails its duty. So a duty that is broken
//! every day holds no longer than up to its next gap.
//!
//! Each run goes on for [`DAYS`] days at the most; one that is stopped at its bound of events says only up to where a
//! duty holds. Milliseconds.

use super::check::DAYS;
use super::days::{AtMidnight, DayRange, Next, Observer, RunEnd, run_days};
use super::watch::{Watch, run_watched};
use super::words::length;
use crate::plan::Plan;
use crate::quantity::Ms;
use crate::run::{Engine, Midnights};
use serde::{Deserialize, Serialize};

/// How long a duty holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Holds {
    /// For so long: then the load is off although it should run, or `on` although it should not.
    For {
        /// How long.
        time: Ms,
        /// Whether it then runs.
        on: bool,
    },
    /// For at least so long: then the run was stopped at its bound of events. No time at all where it did not come to
    /// the instant.
    Stopped(Ms),
    /// For at least so many days, and no longer was looked.
    Days(u64),
    /// For ever: the days without sun and wind repeat.
    ForEver,
}

impl Holds {
    /// Whether it holds for less time than `other`, or may do so for all that is known.
    pub fn is_less(self, other: Holds) -> bool {
        let rank = |holds: Holds| match holds {
            Holds::For { time, .. } => (0, time, 0),
            Holds::Stopped(time) => (0, time, 1),
            Holds::Days(_) => (1, 0, 0),
            Holds::ForEver => (2, 0, 0),
        };
        rank(self) < rank(other)
    }
}

impl Holds {
    /// As long and so much more.
    pub(super) fn longer(self, more: Ms) -> Holds {
        match self {
            Holds::For { time, on } => Holds::For {
                time: time.saturating_add(more),
                on,
            },
            Holds::Stopped(time) => Holds::Stopped(time.saturating_add(more)),
            other => other,
        }
    }

    /// What the load wrongly is when the duty holds no longer, `on` or `off`.
    pub fn then(self) -> Option<&'static str> {
        match self {
            Holds::For { on, .. } => Some(if on { "on" } else { "off" }),
            _ => None,
        }
    }

    /// `72 h`, `60 days or more`, `for ever`, `at least 16 min, then the run was stopped`.
    pub fn says(self) -> String {
        match self {
            Holds::For { time, .. } => length(time),
            Holds::Stopped(0) => "not known: the run was stopped".into(),
            Holds::Stopped(time) => {
                format!("at least {}, then the run was stopped", length(time))
            }
            Holds::Days(days) => format!("{days} days or more"),
            Holds::ForEver => "for ever".into(),
        }
    }
}

/// How long each duty holds from an instant.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Autonomy {
    /// The instant from which sun and wind give nothing.
    pub from: Ms,
    /// The duties, in the plan's order.
    pub duties: Vec<Holds>,
}

/// A run with its duties watched, which can be left without sun and wind at any moment.
#[derive(Clone)]
pub(super) struct Watched {
    /// Where the run has come to.
    pub engine: Engine,
    watches: Vec<Watch>,
}

impl Watched {
    /// At t = 0.
    pub fn new(plan: &Plan) -> Watched {
        let engine = Engine::skimming(plan);
        let watch = |duty| Watch::new(plan, duty, &engine);
        let watches = plan.duties.iter().map(watch).collect();
        Watched { engine, watches }
    }

    /// Goes on through every event before `t`; whether it came there.
    #[must_use]
    pub fn go(&mut self, t: Ms) -> bool {
        run_watched(&mut self.engine, &mut self.watches, t, &mut |_, _| true) == RunEnd::Complete
    }

    /// When some duty next starts or stops applying after `t`.
    pub fn next_boundary(&self, t: Ms) -> Option<Ms> {
        let next = self.watches.iter().filter_map(|w| w.next_boundary(t));
        next.min()
    }

    /// How long each duty holds from `t`, to which the run has come, without sun and wind; a duty that holds for longer
    /// than its `most` need not be looked at to the end. Also how many events the run went through.
    pub fn holds(&self, plan: &Plan, t: Ms, most: &[Holds]) -> (Vec<Holds>, u64) {
        let mut run = self.clone();
        run.engine.still(t);
        let day = plan.world.day_ms();
        let end = t.saturating_add(day.saturating_mul(DAYS));
        let mut still = Still {
            watches: std::mem::take(&mut run.watches),
            broken: vec![None; plan.duties.len()],
            from: t,
            end,
            most,
            closed: false,
        };
        still.run(&mut run.engine, day);
        let events = run.engine.events() - self.engine.events();
        let broken = still.broken.into_iter();
        let holds = broken.map(|b| b.unwrap_or(Holds::Days(DAYS))).collect();
        (holds, events)
    }
}

/// A run without sun and wind.
struct Still<'a> {
    watches: Vec<Watch>,
    /// How long each duty holds, once that is known.
    broken: Vec<Option<Holds>>,
    /// Since when there is neither sun nor wind, and up to when is looked.
    from: Ms,
    end: Ms,
    /// A duty that holds for longer than this need not be looked at to the end.
    most: &'a [Holds],
    /// Whether no duty is left to look at.
    closed: bool,
}

impl Still<'_> {
    fn run(&mut self, engine: &mut Engine, day: Ms) {
        let days = DayRange {
            first: self.from.div_ceil(day),
            // The end is looked at whether or not it is a midnight.
            last: self.end.saturating_sub(2) / day,
            day,
        };
        let mut midnights = Midnights::of_equal_days();
        let run = run_days(engine, &mut midnights, days, self);
        match (run.end, run.round) {
            (RunEnd::Stopped(at), _) => self.stopped(at),
            (RunEnd::Enough, Some(round)) if !self.closed => {
                // Once more round, and every stretch has either ended or never will.
                let from = run.days.saturating_mul(day);
                let again = from.saturating_add(round.saturating_mul(day));
                let stop = again.saturating_add(1).min(self.end);
                match self.advance(engine, stop) {
                    RunEnd::Stopped(at) => self.stopped(at),
                    RunEnd::Complete if self.is_open(stop) && stop < self.end => self.repeats(from),
                    RunEnd::Complete | RunEnd::Enough => {}
                }
            }
            (RunEnd::Enough, _) => {}
            (RunEnd::Complete, _) => {
                if let RunEnd::Stopped(at) = self.advance(engine, self.end) {
                    self.stopped(at);
                }
            }
        }
    }

    /// Whether there is a duty of which more is to be seen after `t`.
    fn is_open(&self, t: Ms) -> bool {
        let latest = |holds: &Holds| match holds {
            Holds::For { time, .. } | Holds::Stopped(time) => self.from.saturating_add(*time),
            Holds::Days(_) | Holds::ForEver => self.end,
        };
        let mut rest = self.broken.iter().zip(self.most);
        rest.any(|(broken, most)| broken.is_none() && latest(most) >= t)
    }

    /// The run was stopped: a stretch that is open there may yet become too long.
    fn stopped(&mut self, at: Ms) {
        for (broken, watch) in self.broken.iter_mut().zip(&self.watches) {
            let seen = watch.since().map_or(at, |(since, _)| since);
            broken.get_or_insert(Holds::Stopped(seen.saturating_sub(self.from)));
        }
    }

    /// All has gone round once since the midnight `from`: what has been open all the way never ends.
    fn repeats(&mut self, from: Ms) {
        for (broken, watch) in self.broken.iter_mut().zip(&self.watches) {
            let never = watch.since().filter(|(since, _)| *since <= from);
            let never = never.map(|(since, on)| breaks(self.from, since, on));
            *broken = broken.or(never).or(Some(Holds::ForEver));
        }
    }
}

impl Observer for Still<'_> {
    fn advance(&mut self, engine: &mut Engine, end: Ms) -> RunEnd {
        let (from, broken) = (self.from, &mut self.broken);
        let mut note = |at: usize, (since, on): (Ms, bool)| {
            broken[at].get_or_insert(breaks(from, since, on));
            broken.iter().any(Option::is_none)
        };
        run_watched(engine, &mut self.watches, end, &mut note)
    }

    fn midnight(&mut self, _: &mut Engine, at: AtMidnight) -> Next {
        self.closed = !self.is_open(at.t.saturating_add(1));
        match self.closed || at.round.is_some() {
            true => Next::Over,
            false => Next::Day,
        }
    }
}

/// How long a duty holds from `from` on if the stretch that breaks it begins then.
fn breaks(from: Ms, since: Ms, on: bool) -> Holds {
    Holds::For {
        time: since.saturating_sub(from),
        on,
    }
}

/// How long each duty holds if sun and wind give nothing from `from` on.
pub fn autonomy(plan: &Plan, from: Ms) -> Autonomy {
    let mut run = Watched::new(plan);
    let most = vec![Holds::ForEver; plan.duties.len()];
    let duties = if run.go(from) {
        run.holds(plan, from, &most).0
    } else {
        vec![Holds::Stopped(0); plan.duties.len()]
    };
    Autonomy { from, duties }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::net::testing::plan;
    use crate::plan::read_plan;
    use crate::proof::stretch::stretches;
    use crate::proof::{check, worst_starts};
    use crate::quantity::HOUR_MS;
    use crate::run::Clockwork;

    const MINUTE: Ms = 60_000;

    fn off(time: Ms) -> Holds {
        Holds::For { time, on: false }
    }

    #[test]
    fn the_first_days_are_told_where_they_are_worse_than_those_that_repeat() {
        let text = include_str!("../../assets/examples/first-light.json");
        let plan = read_plan(text).expect("an example reads");
        let found = worst_starts(&plan, &check(&plan), &mut |_, _, _| true);
        let (later, nine) = (
            found.duties[0].holds,
            autonomy(&plan, 9 * HOUR_MS).duties[0],
        );
        assert!(nine.is_less(later), "{nine:?} and {later:?}");
        let first = found.first_days.as_ref().expect("day 1 comes once");
        let worst = first.duties[0].expect("day 1 is worse");
        assert!(worst.from < first.days * plan.world.day_ms() && !nine.is_less(worst.holds));
        assert_eq!(autonomy(&plan, worst.from).duties[0], worst.holds);
        assert!(
            found.says().contains("That is once the days repeat"),
            "{}",
            found.says()
        );
    }

    #[test]
    fn a_duty_that_is_broken_anyway_holds_for_no_time_from_its_own_beginning() {
        let plan = plan(
            r#"{ "parts": { "gen": "generator", "hours": ["time-switch", { "from": "02:00", "to": "04:00" }], "lamp": "lamp" },
                "wires": ["gen.out hours.feed", "hours.out lamp.in"],
                "duties": [{ "part": "lamp", "when": "clock", "from": "09:00", "to": "12:00" }] }"#,
        );
        let found = worst_starts(&plan, &check(&plan), &mut |_, _, _| true);
        let nine = found.days.0 * plan.world.day_ms() + 9 * HOUR_MS;
        assert_eq!(
            (found.duties[0].from, found.duties[0].holds),
            (nine, off(0))
        );
    }

    #[test]
    fn a_gap_that_ends_as_sun_and_wind_go_is_none_of_theirs() {
        // The wind gives too little for the floodlight and enough to keep the changeover on it; without wind the
        // battery is asked.
        let plan = plan(&format!(
            r#"{{ "parts": {{ "wind": "wind-turbine-small", "cell": ["battery", {{ "start": 1000 }}],
                    "over": ["changeover", {{ "least": 4 }}], "flood": "floodlight" }},
                "wires": ["wind.out over.main", "cell.out over.backup", "over.out flood.in"],
                "world": {{ "wind": {:?} }}, "duties": [{{ "part": "flood", "when": "always" }}] }}"#,
            [0.5; 24]
        ));
        assert!(!check(&plan).is_fine());
        let Holds::For { time, on: false } = autonomy(&plan, 12 * HOUR_MS).duties[0] else {
            panic!("the battery runs down");
        };
        assert_eq!(time / MINUTE, 9 * 60 + 30);
    }

    /// What a duty's time without sun and wind is, read off a record of the run that is cut off at `from`.
    fn by_record(plan: &Plan, duty: usize, from: Ms, end: Ms) -> Option<Holds> {
        let mut engine = Engine::recording(plan);
        engine.advance(from);
        engine.still(from);
        engine.advance(end);
        let record = engine.into_record(plan, end);
        let duty = &plan.duties[duty];
        let load = plan.parts.iter().position(|p| p.id == duty.part)?;
        let applies = Clockwork::of_duty(duty.when, &plan.world, &plan.world.sky());
        let all = stretches(&applies, &record.loads[&load].runs, end);
        let counts = |s: &&super::super::stretch::Stretch| {
            s.to > from && s.to - s.from > duty.grace_ms() && (!s.on || duty.only)
        };
        let first = all.iter().find(counts)?;
        Some(Holds::For {
            time: first.from.saturating_sub(from),
            on: first.on,
        })
    }

    /// A small plan: a source, a battery, and a load behind a time switch or none, or with the battery as a backup.
    fn random(seed: u64) -> Plan {
        let mut state = seed;
        let mut below = |n: u64| {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (state >> 33) % n
        };
        let source = ["sun-panel", "wind-turbine-small", "generator"][below(3) as usize];
        let load = ["lamp", "heater"][below(2) as usize];
        let mut hour = || format!("{:02}:00", below(24));
        let (a, b, c, d) = (hour(), hour(), hour(), hour());
        let wires = match below(3) {
            0 => r#""source.out cell.in", "cell.out load.in""#,
            1 => r#""source.out cell.in", "cell.out hours.feed", "hours.out load.in""#,
            _ => r#""source.out over.main", "cell.out over.backup", "over.out load.in""#,
        };
        let when = match below(3) {
            0 => r#""when": "always""#.to_string(),
            1 => r#""when": "dark""#.to_string(),
            _ => format!(r#""when": "clock", "from": "{c}", "to": "{d}""#),
        };
        let wind: Vec<f64> = (0..24).map(|_| below(4) as f64 / 4.0).collect();
        plan(&format!(
            r#"{{ "parts": {{ "source": "{source}", "cell": ["battery", {{ "start": {} }}],
                    "hours": ["time-switch", {{ "from": "{a}", "to": "{b}" }}],
                    "over": ["changeover", {{ "least": {} }}], "load": "{load}" }},
                "wires": [{wires}], "world": {{ "wind": {wind:?} }},
                "duties": [{{ "part": "load", {when}, "grace_s": {} }}] }}"#,
            below(11) * 100,
            1 + below(4),
            [0, 60, 3600][below(3) as usize]
        ))
    }

    #[test]
    fn every_minute_of_small_random_plans_holds_as_a_record_says_and_none_is_worse_than_the_worst()
    {
        let (mut kept, mut broken, mut first_worse) = (0, 0, 0);
        for seed in 0..40 {
            let plan = random(seed);
            let (whole, day) = (check(&plan), plan.world.day_ms());
            let found = worst_starts(&plan, &whole, &mut |_, _, _| true);
            let (begin, end) = (found.days.0 * day, found.days.1 * day);
            if end > 4 * day {
                continue;
            }
            let first = found.first_days.as_ref();
            let early = first.and_then(|f| f.duties[0]).unwrap_or(found.duties[0]);
            first_worse += usize::from(first.is_some_and(|f| f.are_worse()));
            match whole.is_fine() {
                true => kept += 1,
                false => broken += 1,
            }
            let mut run = Watched::new(&plan);
            for t in (0..end).step_by(MINUTE as usize) {
                assert!(run.go(t));
                let holds = run.holds(&plan, t, &[Holds::ForEver]).0[0];
                if t % (HOUR_MS / 2) == 0 {
                    let seen_to = t + 3 * day;
                    match (by_record(&plan, 0, t, seen_to), holds) {
                        (Some(told), holds) => assert_eq!(holds, told, "plan {seed} at {t}"),
                        (None, Holds::For { time, .. }) => {
                            assert!(t + time + plan.duties[0].grace_ms() >= seen_to);
                        }
                        (None, _) => {}
                    }
                }
                let (worst, apart) = match t < begin {
                    true => (early, first.map_or(0, |f| f.apart)),
                    false => (found.duties[0], found.apart),
                };
                assert!(
                    !holds.longer(apart).is_less(worst.holds),
                    "plan {seed} at {t}: {holds:?} and not {worst:?}"
                );
            }
        }
        assert!(
            kept > 3 && broken > 3 && first_worse > 0,
            "{kept} {broken} {first_worse}"
        );
    }
}
