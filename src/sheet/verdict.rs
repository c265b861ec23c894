//! Verdicts on duties in words, for both faces. It judges nothing: what is kept was proven before.

use crate::plan::{Clock, Duty, Plan};
use crate::proof::{Check, Dial, Gap, Verdict, length};
use crate::quantity::Ms;

/// How a plan or a duty stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// There is no duty.
    None,
    /// Every duty is kept.
    Kept,
    /// A duty is broken.
    Broken,
}

impl Standing {
    /// As it stands with this many duties kept of so many.
    pub const fn of(kept: usize, all: usize) -> Standing {
        match all {
            0 => Standing::None,
            _ if kept == all => Standing::Kept,
            _ => Standing::Broken,
        }
    }

    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Standing::None => "none",
            Standing::Kept => "kept",
            Standing::Broken => "broken",
        }
    }

    /// The path of its mark, to be stroked in a square of 12: a tick, a cross, a dash.
    pub const fn mark(self) -> &'static str {
        match self {
            Standing::None => "M2 6H10",
            Standing::Kept => "M1.5 6.5L4.5 9.5L10.5 2.5",
            Standing::Broken => "M2 2L10 10M10 2L2 10",
        }
    }
}

/// How the plan stands.
pub fn standing(check: &Check) -> Standing {
    Standing::of(kept(check), check.duties.len())
}

fn kept(check: &Check) -> usize {
    check.duties.iter().filter(|d| d.kept).count()
}

/// How long the verdict holds: `for ever`, `for 60 days`.
pub fn holds(check: &Check) -> String {
    match (check.for_ever, check.days) {
        (true, _) => "for ever".into(),
        (false, 1) => "for 1 day".into(),
        (false, days) => format!("for {days} days"),
    }
}

/// The whole verdict in one line: `4 of 5 duties kept, for ever`.
pub fn summary(check: &Check) -> String {
    let (kept, all, holds) = (kept(check), check.duties.len(), holds(check));
    match (kept, all) {
        (_, 0) => "No duties yet".into(),
        (1, 1) => format!("The one duty is kept, {holds}"),
        (0, 1) => format!("The one duty is not kept, {holds}"),
        (kept, all) if kept == all => format!("All {all} duties kept, {holds}"),
        (kept, all) => format!("{kept} of {all} duties kept, {holds}"),
    }
}

/// The verdict on one duty: `kept for ever`, `broken, 2 gaps`, `broken, on too long 3 times`.
pub fn of_duty(check: &Check, verdict: &Verdict) -> String {
    if verdict.kept {
        return format!("kept {}", holds(check));
    }
    let on = verdict.gaps.iter().filter(|gap| gap.on).count();
    let off = match verdict.gaps.len() - on {
        0 => None,
        1 => Some("1 gap".to_string()),
        gaps => Some(format!("{gaps} gaps")),
    };
    let on = match on {
        0 => None,
        1 => Some("on too long once".to_string()),
        times => Some(format!("on too long {times} times")),
    };
    let how = [Some("broken".into()), off, on].into_iter().flatten();
    how.collect::<Vec<_>>().join(", ")
}

/// When a load must run, in words: `while it is dark`.
pub fn when(duty: &Duty) -> String {
    let when = duty.when.said();
    let only = if duty.only { ", and only then" } else { "" };
    format!("{when}{only}")
}

/// A duty in words: `Dusk lamp, while it is dark, and only then`.
pub fn duty(plan: &Plan, duty: &Duty) -> String {
    format!("{}, {}", plan.called(&duty.part), when(duty))
}

/// Gaps of one duty that come again: at the same minutes of the dial, as long in days, and of one kind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Gaps {
    /// Their places in the list of gaps, in order; at least one.
    pub places: Vec<usize>,
    /// When: `05:24 on day 2 to 06:00`, and of several `05:24 to 06:00`.
    pub times: String,
    /// The first one's length, what the load wrongly is, and on how many days: `36 min off, on 13 days from day 2`.
    pub long: String,
}

/// The gaps of one duty with those that come again put together, in the order of their first.
pub fn gaps(dial: Dial, all: &[Gap]) -> Vec<Gaps> {
    let minute = |t: Ms| Clock::at(t, dial.day_ms);
    let key = |g: &Gap| {
        (
            minute(g.from),
            minute(g.to),
            g.to / dial.day_ms - g.from / dial.day_ms,
            g.on,
        )
    };
    let mut found: Vec<Vec<usize>> = Vec::new();
    for (at, gap) in all.iter().enumerate() {
        match found
            .iter_mut()
            .find(|places| key(&all[places[0]]) == key(gap))
        {
            Some(places) => places.push(at),
            None => found.push(vec![at]),
        }
    }
    let tell = |places: Vec<usize>| {
        let gap = &all[places[0]];
        let is = if gap.on { "on" } else { "off" };
        let long = format!("{} {is}", length(gap.to - gap.from));
        let (day, count) = (gap.from / dial.day_ms + 1, places.len());
        let (times, long) = if count == 1 {
            (dial.stretch(gap.from, gap.to), long)
        } else {
            let dial = Dial { days: 1, ..dial };
            (
                dial.stretch(gap.from, gap.to),
                format!("{long}, on {count} days from day {day}"),
            )
        };
        let times = times.trim_start_matches("from ").to_string();
        Gaps {
            places,
            times,
            long,
        }
    };
    found.into_iter().map(tell).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::read_plan;
    use crate::proof::check;

    fn checked(duties: &str) -> (Plan, Check) {
        let text = format!(
            r#"{{ "format": "duskline/plan", "version": 1, "book": "outpost", "duties": [{duties}],
                  "parts": [{{ "id": "p1", "type": "generator" }}, {{ "id": "p2", "type": "lamp", "name": "Stair lamp" }},
                            {{ "id": "p3", "type": "time-switch", "set": {{ "from": "19:00", "to": "06:00" }} }}],
                  "wires": [{{ "id": "w1", "from": "p1.out", "to": "p3.feed" }},
                            {{ "id": "w2", "from": "p3.out", "to": "p2.in" }}] }}"#
        );
        let plan = read_plan(&text).expect("a sound plan");
        let check = check(&plan);
        (plan, check)
    }

    #[test]
    fn the_verdict_is_one_line() {
        let night = r#"{ "part": "p2", "when": "clock", "from": "20:00", "to": "05:00" }"#;
        let always = r#"{ "part": "p2", "when": "always" }"#;
        let said = |duties: &str| summary(&checked(duties).1);
        assert_eq!(said(""), "No duties yet");
        assert_eq!(said(night), "The one duty is kept, for ever");
        assert_eq!(said(always), "The one duty is not kept, for ever");
        assert_eq!(
            said(&format!("{night}, {night}")),
            "All 2 duties kept, for ever"
        );
        assert_eq!(
            said(&format!("{night}, {always}")),
            "1 of 2 duties kept, for ever"
        );
    }

    #[test]
    fn a_duty_its_verdict_and_its_gaps_are_said() {
        let (plan, check) = checked(r#"{ "part": "p2", "when": "dark", "only": true }"#);
        assert_eq!(
            duty(&plan, &plan.duties[0]),
            "Stair lamp, while it is dark, and only then"
        );
        let verdict = &check.duties[0];
        assert_eq!(of_duty(&check, verdict), "broken, 1 gap");
        assert_eq!(standing(&check), Standing::Broken);
        let dial = Dial {
            day_ms: plan.world.day_ms(),
            days: check.days,
        };
        // Dark from 18:00 on at the equator, to the second; the lamp comes an hour later.
        let told = &gaps(dial, &verdict.gaps)[0];
        assert!(
            told.times.starts_with('1') && told.times.ends_with("to 19:00"),
            "{}",
            told.times
        );
        assert!(told.long.ends_with(" off"), "{}", told.long);
    }

    #[test]
    fn a_load_that_is_on_too_long_has_no_gap() {
        let always_on =
            r#"{ "part": "p2", "when": "clock", "from": "20:00", "to": "05:00", "only": true }"#;
        let check = checked(always_on).1;
        assert_eq!(
            of_duty(&check, &check.duties[0]),
            "broken, on too long 2 times"
        );
        let gap = |on| Gap { from: 0, to: 1, on };
        let said = |gaps: Vec<Gap>| {
            let verdict = Verdict {
                gaps,
                ..check.duties[0].clone()
            };
            of_duty(&check, &verdict)
        };
        assert_eq!(said(vec![gap(true)]), "broken, on too long once");
        assert_eq!(said(vec![gap(false)]), "broken, 1 gap");
        let both = vec![gap(false), gap(false), gap(true)];
        assert_eq!(said(both), "broken, 2 gaps, on too long once");
    }

    #[test]
    fn gaps_that_come_again_are_told_once() {
        let dial = Dial {
            day_ms: 86_400_000,
            days: 3,
        };
        let minute = 60_000;
        let gap = |from: Ms, to: Ms, on: bool| Gap {
            from: from * minute,
            to: to * minute,
            on,
        };
        // The second day's comes a few seconds later; the third's is another's, as the load is on in it.
        let mut all = [
            gap(60, 90, false),
            gap(1500, 1530, false),
            gap(2940, 2970, true),
        ];
        all[1].from += 9000;
        let told = gaps(dial, &all);
        let said: Vec<_> = told
            .iter()
            .map(|g| (g.times.as_str(), g.long.as_str()))
            .collect();
        assert_eq!(
            said,
            [
                ("01:00 to 01:30", "30 min off, on 2 days from day 1"),
                ("01:00 on day 3 to 01:30", "30 min on")
            ]
        );
        assert_eq!(told[0].places, [0, 1]);
    }
}
