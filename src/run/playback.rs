//! Going to any instant of a run, forwards and back, a bounded amount of work at a time.
//!
//! Copies of the engine are kept along the way (`checkpoints.rs`); the nearest before the instant is run on. Whoever must
//! not be held up asks by [`Playback::at_within`], which stops after so much work and goes on from there at the next call.
//! The answer is what a run from t = 0 gives, to the bit. Times in milliseconds. It reads no clock.

use super::checkpoints::Checkpoints;
use super::{Engine, Instant, Prepared, Stop};
use crate::plan::Plan;
use crate::quantity::Ms;

/// A run that can be gone to anywhere.
#[derive(Clone, Debug)]
pub struct Playback {
    prepared: Prepared,
    checkpoints: Checkpoints,
    /// The engine that moved last. It stands for every instant from the one that it has reached up to its next event.
    head: Engine,
    stopped: Option<Ms>,
}

impl Playback {
    /// A run of `plan` at t = 0.
    pub fn new(plan: &Plan) -> Playback {
        Playback::of(&Prepared::new(plan))
    }

    /// A run of a plan that is prepared, at t = 0.
    pub fn of(prepared: &Prepared) -> Playback {
        let head = prepared.engine();
        Playback {
            prepared: prepared.clone(),
            checkpoints: Checkpoints::new(head.clone()),
            head,
            stopped: None,
        }
    }

    /// A run of which another run left these copies.
    pub(super) fn along(prepared: Prepared, checkpoints: Checkpoints) -> Playback {
        Playback {
            head: checkpoints
                .last()
                .map_or_else(|| prepared.engine(), Engine::unrecorded),
            prepared,
            checkpoints,
            stopped: None,
        }
    }

    /// The instant `t`, that millisecond's events applied, however long it takes. `plan` is the one it was made of.
    pub fn at(&mut self, plan: &Plan, t: Ms) -> Instant {
        self.go(t, u64::MAX);
        self.instant(plan, t)
    }

    /// As [`Playback::at`], but goes through at most `most_events` milliseconds in which something was foreseen. `None`
    /// where `t` is further; the next call goes on from there.
    pub fn at_within(&mut self, plan: &Plan, t: Ms, most_events: u64) -> Option<Instant> {
        self.go(t, most_events).then(|| self.instant(plan, t))
    }

    /// How far the engine has come that moved last: on the way to an instant, a measure of progress.
    pub fn reached(&self) -> Ms {
        self.head.reached()
    }

    /// Where the run was stopped at its bound of events, if it is known that it is. Instants from there on show what was
    /// so then, and say so among their problems.
    pub fn stopped_at(&self) -> Option<Ms> {
        self.stopped
    }

    /// What the run was prepared from.
    pub fn prepared(&self) -> &Prepared {
        &self.prepared
    }

    /// How many bytes it keeps, about. It has a bound, but for the sizes of two engines.
    pub fn bytes(&self) -> usize {
        self.checkpoints.bytes() + self.head.bytes()
    }

    fn instant(&self, plan: &Plan, t: Ms) -> Instant {
        let structure = self.prepared.structure_problems(plan);
        self.head.instant_with(plan, t, structure)
    }

    /// Brings the head to `t` or nearer, from wherever that takes the least; answers whether it is there.
    fn go(&mut self, t: Ms, most: u64) -> bool {
        if let Some(near) = self.checkpoints.before(t)
            && (self.head.reached() > t || self.head.reached() < near.reached())
        {
            self.head = near.clone();
        }
        let mut left = most;
        loop {
            let (before, piece) = (self.head.steps(), left.min(self.checkpoints.stride()));
            let stop = self.head.advance_steps(t.saturating_add(1), piece);
            self.checkpoints.pass(&self.head);
            match stop {
                Stop::Complete => return true,
                Stop::TooManyEvents => {
                    self.stopped = self.head.stopped_at();
                    return true;
                }
                Stop::Paused => left -= self.head.steps() - before,
            }
            if left == 0 {
                return false;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::net::testing::plan;
    use crate::plan::read_plan;
    use crate::run::{BOUND, Course, Extent, at, run};
    use proptest::prelude::*;

    fn kittiwake() -> Plan {
        read_plan(include_str!("../../assets/examples/kittiwake-light.json"))
            .expect("an example reads")
    }

    /// A flasher that changes every 150 ms and so comes to the bound of events.
    fn flasher() -> Plan {
        plan(
            r#"{ "parts": { "gen": "generator", "f": ["on-delay", { "contact": "break", "delay_s": 0.05 }],
                            "two": "divider-2", "lamp": "lamp" },
                 "wires": ["gen.out f.feed", "f.out two.in", "two.out1 lamp.in", "two.out2 f.trigger"] }"#,
        )
    }

    /// Many flashers side by side.
    fn many(stations: usize) -> Plan {
        let (mut parts, mut wires) = (Vec::new(), Vec::new());
        for n in 0..stations {
            parts.push(format!(r#""g{n}": "generator", "b{n}": "battery", "s{n}": ["on-delay", {{ "contact": "break", "delay_s": {} }}],
                "d{n}": "divider-2", "l{n}": "lamp""#, 40 + n));
            wires.push(format!(r#""g{n}.out b{n}.in", "b{n}.out s{n}.feed", "s{n}.out d{n}.in", "d{n}.out1 l{n}.in", "d{n}.out2 s{n}.trigger""#));
        }
        let (parts, wires) = (parts.join(","), wires.join(","));
        plan(&format!(
            r#"{{ "parts": {{ {parts} }}, "wires": [{wires}] }}"#
        ))
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(24))]
        #[test]
        fn whatever_the_way_an_instant_is_that_of_a_fresh_run(
            moments in proptest::collection::vec((0..20 * 86_400_000u64, 1..900u64), 1..12),
        ) {
            let plan = kittiwake();
            let mut playback = Playback::new(&plan);
            for (t, most) in moments {
                let mut shown = None;
                while shown.is_none() {
                    shown = playback.at_within(&plan, t, most);
                }
                prop_assert_eq!(shown, Some(at(&plan, t)));
            }
        }
    }

    #[test]
    fn a_call_does_no_more_than_it_may_and_the_next_goes_on() {
        let plan = flasher();
        let (mut playback, day) = (Playback::new(&plan), plan.world.day_ms());
        let mut calls = 0;
        let shown = loop {
            let before = playback.head.steps();
            let shown = playback.at_within(&plan, day / 4, 2_000);
            assert!(playback.head.steps() - before <= 2_000);
            calls += 1;
            match shown {
                Some(shown) => break shown,
                None => assert!(playback.reached() < day / 4),
            }
        };
        assert!(calls > 50, "{calls}");
        assert_eq!(shown, at(&plan, day / 4));
        assert_eq!(playback.stopped_at(), None);
        // Back and forth from there is near.
        for t in [day / 8, day / 5, 17, day / 4] {
            let mut calls = 0;
            let shown = loop {
                calls += 1;
                if let Some(shown) = playback.at_within(&plan, t, 2_000) {
                    break shown;
                }
            };
            assert!(calls < 10, "{calls} calls to {t}");
            assert_eq!(shown, at(&plan, t), "{t}");
        }
    }

    #[test]
    fn a_run_that_stops_at_its_bound_says_where() {
        let plan = flasher();
        let late = 3 * plan.world.day_ms();
        let mut playback = Playback::new(&plan);
        let shown = playback.at(&plan, late);
        assert_eq!(shown, at(&plan, late));
        let record = run(&plan, 3);
        assert!(!record.complete && playback.head.events() == BOUND);
        assert_eq!(playback.stopped_at(), Some(record.end));
        let before = record.end - 1;
        assert_eq!(playback.at(&plan, before), at(&plan, before));
        assert_eq!(playback.stopped_at(), Some(record.end), "it is still known");
    }

    #[test]
    fn what_is_kept_has_a_bound() {
        for (stations, days) in [(7, 60), (1_000, 2)] {
            let plan = many(stations);
            let day = plan.world.day_ms();
            let mut playback = Playback::new(&plan);
            playback.at(&plan, days * day);
            let megabytes = playback.bytes() >> 20;
            assert!(megabytes < 20, "{stations} stations: {megabytes} MB");
            // And it is spread over the whole run: nothing is far from a copy.
            for t in [day / 3, days * day / 2, days * day - 5] {
                let near = playback.checkpoints.before(t).expect("one is kept");
                let mut engine = near.clone();
                engine.advance(t + 1);
                let way = engine.steps() - near.steps();
                assert!(way <= 3 * playback.checkpoints.stride(), "{way} to {t}");
            }
        }
    }

    #[test]
    fn a_course_leaves_the_playback_of_its_run_behind() {
        let plan = kittiwake();
        let (prepared, day) = (Prepared::new(&plan), plan.world.day_ms());
        let mut course = Course::of(&prepared, &plan, Extent::Days(9));
        while !course.go(1_000) {}
        let (journey, mut playback) = course.finish_with_playback(&plan);
        assert_eq!(journey.record, run(&plan, 9));
        for t in [8 * day + 3, day / 2, 5 * day, 12 * day, 0] {
            assert_eq!(playback.at(&plan, t), at(&plan, t), "{t}");
        }
        // Nothing is run again that the course ran: the last copy is near the end.
        let near = playback.checkpoints.before(9 * day).expect("one is kept");
        assert!(near.reached() > 4 * day, "{}", near.reached());
    }

    #[test]
    fn after_a_new_name_problems_are_the_same_and_say_it() {
        let mut plan = plan(r#"{ "parts": { "l": "lamp" }, "wires": [] }"#);
        let mut playback = Playback::new(&plan);
        let before = playback.at(&plan, 5);
        assert!(!before.problems[0].says(&plan).contains("Pier light"));
        plan.parts[0].name = "Pier light".into();
        assert!(before.problems[0].says(&plan).contains("Pier light"));
        assert_eq!(playback.at(&plan, 5), before);
        assert_eq!(at(&plan, 5), before);
    }
}
