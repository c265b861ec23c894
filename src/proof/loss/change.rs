//! What a loss changes about the duties that the plan breaks without it: gaps more, longer, shorter or gone. Times in
//! milliseconds.
//!
//! The plan is checked without what is lost, and gaps are compared with those of the whole plan. A gap that lies beyond
//! the last day of the whole plan's run is compared with the one that comes there again.

use super::wiring::LossKey;
use super::{Loss, LossJudge, without};
use crate::plan::Plan;
use crate::proof::check::{Check, Gap, check};
use crate::quantity::Ms;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// A difference a day that is worth telling: a contact more or less moves a gap by its lag.
const LEAST: Ms = 60_000;

/// What a loss changes about a duty that is broken without it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct BrokenChange {
    /// The duty, by its place in the plan.
    pub duty: usize,
    /// How long it is broken a day without the loss: an average of the days that repeat, or of all that were run.
    pub before: Ms,
    /// The same with the loss.
    pub after: Ms,
    /// The first gap with the loss where there is none without it.
    pub further: Option<Gap>,
    /// Whether a gap without the loss is none with it.
    pub mends_some: bool,
    /// Whether the duty is kept with the loss.
    pub mended: bool,
}

impl BrokenChange {
    /// Whether the duty is worse off: gaps more, or longer a day.
    pub fn is_worse(&self) -> bool {
        self.further.is_some() || self.after >= self.before.saturating_add(LEAST)
    }
}

/// What each of `losses` changes about the duties that `plan` breaks as it is, one after the other, in the plan's order of
/// duties; `whole` is its check. Nothing of a run that was stopped at its bound of events.
pub fn broken_changes<'a>(
    plan: &'a Plan,
    whole: &'a Check,
    losses: &'a [Loss],
) -> impl Iterator<Item = Vec<BrokenChange>> + 'a {
    let is_asked = !whole.is_stopped() && whole.duties.iter().any(|d| !d.kept);
    let mut finder = is_asked.then(|| Finder::new(plan, whole));
    (losses.iter()).map(move |loss| finder.as_mut().map_or_else(Vec::new, |f| f.changes(loss)))
}

/// Runs the plan without each loss, but only once for those that leave the same, and not for those on an island that has
/// no broken duty.
struct Finder<'a> {
    plan: &'a Plan,
    whole: &'a Check,
    judge: LossJudge<'a>,
    /// The islands that have a broken duty.
    islands: BTreeSet<usize>,
    known: BTreeMap<LossKey, Vec<BrokenChange>>,
}

impl<'a> Finder<'a> {
    fn new(plan: &'a Plan, whole: &'a Check) -> Finder<'a> {
        let judge = LossJudge::new(plan, whole);
        let broken = whole.duties.iter().zip(&plan.duties);
        let broken = broken.filter(|(verdict, _)| !verdict.kept);
        let island =
            |(_, duty): (_, &crate::plan::Duty)| judge.island(&Loss::Part(duty.part.clone()));
        let islands = broken.filter_map(island).collect();
        Finder {
            plan,
            whole,
            judge,
            islands,
            known: BTreeMap::new(),
        }
    }

    fn changes(&mut self, loss: &Loss) -> Vec<BrokenChange> {
        let Some(key) = self.judge.key(&[loss]) else {
            return Vec::new();
        };
        if !self.islands.contains(&key.island) {
            return Vec::new();
        }
        if let Some(known) = self.known.get(&key) {
            return known.clone();
        }
        let found = changed_by(self.plan, self.whole, loss);
        self.known.insert(key, found.clone());
        found
    }
}

fn changed_by(plan: &Plan, whole: &Check, loss: &Loss) -> Vec<BrokenChange> {
    let rest = without_feeding(plan, loss);
    let after = check(&rest);
    if after.is_stopped() {
        return Vec::new();
    }
    let day = plan.world.day_ms();
    let both = whole.duties.iter().zip(&after.duties).enumerate();
    let broken = both.filter(|(_, (was, _))| !was.kept);
    let changes = broken.map(|(duty, (was, is))| BrokenChange {
        duty,
        before: a_day(whole, &was.gaps, day),
        after: a_day(&after, &is.gaps, day),
        further: first_without(&is.gaps, &was.gaps, whole, day),
        mends_some: first_without(&was.gaps, &is.gaps, &after, day).is_some(),
        mended: is.kept,
    });
    let tells = |c: &BrokenChange| {
        c.mended || c.mends_some || c.further.is_some() || c.before.abs_diff(c.after) >= LEAST
    };
    changes.filter(tells).collect()
}

/// The plan as it would be, with every duty: a part that has one stays without its wires.
fn without_feeding(plan: &Plan, loss: &Loss) -> Plan {
    match loss {
        Loss::Part(id) if plan.duties.iter().any(|d| d.part == *id) => {
            let mut rest = plan.clone();
            rest.wires
                .retain(|w| w.from.part != *id && w.to.part != *id);
            rest
        }
        _ => without(plan, loss),
    }
}

/// How long gaps take a day, in the days that repeat or in all that were run.
fn a_day(check: &Check, gaps: &[Gap], day: Ms) -> Ms {
    let (from, to) = (check.repeats.unwrap_or(0) * day, check.days * day);
    let within = |g: &Gap| g.to.min(to).saturating_sub(g.from.max(from));
    let time: Ms = gaps.iter().map(within).sum();
    let days = (check.days - check.repeats.unwrap_or(0)).max(1);
    time / days
}

/// The first of `gaps` that meets none of `others`, which `check` found.
fn first_without(gaps: &[Gap], others: &[Gap], check: &Check, day: Ms) -> Option<Gap> {
    let end = check.days * day;
    let round = check.repeats.map(|n| end - n * day).filter(|r| *r > 0);
    let meets = |gap: &Gap| {
        // A gap beyond the end is set back to where it was before.
        let back = match round {
            Some(round) if gap.from >= end => (gap.from - end) / round * round + round,
            _ => 0,
        };
        let (from, to) = (gap.from - back, gap.to.saturating_sub(back));
        let met = |g: &Gap| g.on == gap.on && g.from < to && from < g.to;
        // Beyond the end of a run that does not repeat nothing is known.
        others.iter().any(met) || (round.is_none() && gap.from >= end)
    };
    gaps.iter().find(|gap| !meets(gap)).copied()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::net::testing::plan;
    use crate::quantity::HOUR_MS;

    /// A lamp that must always run, on two time switches: 00:00 to 08:00 and 08:00 to 20:00.
    fn lamp() -> (Plan, Check) {
        let plan = plan(
            r#"{ "parts": { "gen": "generator", "split": "divider-2", "a": ["time-switch", { "from": "00:00", "to": "08:00" }],
                    "b": ["time-switch", { "from": "08:00", "to": "20:00" }], "bar": "busbar-2", "lamp": "lamp",
                    "spare": "meter" },
                "wires": ["gen.out split.in", "split.out1 a.feed", "split.out2 b.feed", "a.out bar.in1", "b.out bar.in2",
                    "bar.out lamp.in"],
                "duties": [{ "part": "lamp", "when": "always" }] }"#,
        );
        let whole = check(&plan);
        (plan, whole)
    }

    #[test]
    fn a_loss_that_adds_a_gap_or_makes_it_longer_says_so() {
        let (plan, whole) = lamp();
        let of = |id: &str| changed_by(&plan, &whole, &Loss::Part(id.into()));
        let [early] = &of("a")[..] else {
            panic!("{:?}", of("a"));
        };
        assert_eq!((early.before, early.after), (4 * HOUR_MS, 12 * HOUR_MS));
        let further = early.further.expect("it is dark from midnight on");
        assert_eq!((further.from, early.is_worse()), (0, true));
        let [late] = &of("b")[..] else {
            panic!("{:?}", of("b"));
        };
        // From eight on, into the gap that there is: longer, and no other.
        assert_eq!((late.after, late.further), (16 * HOUR_MS, None));
        assert!(late.is_worse() && !late.mended);
        assert!(of("spare").is_empty());
        // Its own lamp lost it is dark all day.
        assert_eq!(of("lamp")[0].after, 24 * HOUR_MS);
    }

    #[test]
    fn a_loss_that_mends_gaps_and_makes_others_says_both() {
        let mut plan = plan(
            r#"{ "parts": { "gen": "generator", "hours": ["time-switch", { "from": "06:00", "to": "12:00" }], "dark": "relay",
                    "split": "divider-2", "lamp": "lamp" },
                "wires": ["gen.out split.in", "split.out1 hours.feed", "split.out2 dark.feed", "hours.out dark.coil",
                    "dark.out lamp.in"],
                "duties": [{ "part": "lamp", "when": "clock", "from": "20:00", "to": "22:00", "only": true }] }"#,
        );
        plan.parts[2]
            .set
            .insert("contact".into(), serde_json::json!("break"));
        // The lamp runs from noon to six in the morning; without the relay's coil it runs all day.
        let whole = check(&plan);
        let coil = Loss::Wire(plan.wires[3].id.clone());
        let changes = changed_by(&plan, &whole, &coil);
        assert!(changes[0].is_worse() && changes[0].after > changes[0].before);
        // Without the lamp's wire it never runs: the gaps in which it should not are gone, and another one is there.
        let wire = Loss::Wire(plan.wires[4].id.clone());
        let changes = changed_by(&plan, &whole, &wire);
        assert!(changes[0].mends_some && changes[0].further.is_some_and(|g| !g.on));
    }

    #[test]
    fn what_the_whole_plan_keeps_is_no_change() {
        let plan = plan(
            r#"{ "parts": { "gen": "generator", "lamp": "lamp" }, "wires": ["gen.out lamp.in"],
                "duties": [{ "part": "lamp", "when": "always" }] }"#,
        );
        let (whole, losses) = (check(&plan), [Loss::Part("gen".into())]);
        assert_eq!(
            broken_changes(&plan, &whole, &losses).next(),
            Some(Vec::new())
        );
    }

    #[test]
    fn losses_that_leave_the_same_and_islands_without_a_broken_duty_are_told_as_if_each_was_run() {
        let plan = plan(
            r#"{ "parts": { "gen": "generator", "split": "divider-2", "a": ["time-switch", { "from": "00:00", "to": "08:00" }],
                    "b": ["time-switch", { "from": "08:00", "to": "20:00" }], "bar": "busbar-2", "lamp": "lamp",
                    "gen2": "generator", "lamp2": "lamp" },
                "wires": ["gen.out split.in", "split.out1 a.feed", "split.out2 b.feed", "a.out bar.in1", "b.out bar.in2",
                    "bar.out lamp.in", "gen2.out lamp2.in"],
                "duties": [{ "part": "lamp", "when": "always" }, { "part": "lamp2", "when": "always" }] }"#,
        );
        let whole = check(&plan);
        let losses = crate::proof::all_losses(&plan);
        let found: Vec<_> = broken_changes(&plan, &whole, &losses).collect();
        let alone: Vec<_> = losses
            .iter()
            .map(|l| changed_by(&plan, &whole, l))
            .collect();
        assert_eq!(found, alone);
        assert!(found.iter().any(|c| !c.is_empty()) && found.iter().any(Vec::is_empty));
    }
}
