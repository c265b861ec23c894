//! A share that a tap or a divider sets aside and nobody takes, while something behind another output could use it;
//! added up over the days that repeat.
//!
//! Tried are: a narrower tap; taking a wire off a divider of which nothing is ever taken; taps of as much as is taken in
//! place of a divider. Shares lost for less than a hundredth of the time are not told.

use super::draft::type_that;
use super::{Draft, Finding, FindingKind, Remedy, Seen, amount, wide_tap};
use crate::net::Weight;
use crate::net::words::names;
use crate::plan::{Edit, End, Spec};
use crate::quantity::Energy;
use serde_json::json;

pub fn find(seen: &Seen, part: usize) -> Option<Finding> {
    let id = seen.id(part);
    let ledger = seen.ledger();
    let shares: Vec<usize> = (0..seen.plan.wires.len())
        .filter(|at| seen.plan.wires[*at].from.part == *id)
        .filter(|at| ledger.wires[*at].lost_for * 100 > seen.to - seen.from)
        .collect();
    let worst = *shares
        .iter()
        .max_by_key(|at| (ledger.wires[**at].lost, std::cmp::Reverse(**at)))?;
    let all = lost(seen, part);
    let to = |at: usize| seen.place(&seen.plan.wires[at].to.part);
    let mut sinks: Vec<usize> = shares.iter().filter_map(|at| to(*at)).collect();
    sinks.sort_unstable();
    sinks.dedup();
    let user = ledger.wires[worst].user?;
    let longest = seen.time_a_day(ledger.wires[worst].lost_for);
    let (name, energy, user_name) = (seen.name(part), seen.energy_a_day(all), seen.name(user));
    let says = if let [sink] = sinks.as_slice() {
        let sink = seen.name(*sink);
        format!(
            "{name} keeps {energy} back for {sink}, which takes none of it for {longest} though {user_name} could use it."
        )
    } else {
        format!(
            "{name} keeps {energy} back for {}, which do not take it though {user_name} could use it; longest for {}, \
             {longest}.",
            names(&seen.plan, &sinks),
            seen.plan.called(&seen.plan.wires[worst].to.part)
        )
    };
    let remedy = if seen.is_whole() {
        remedy(seen, part, all)
    } else {
        None
    };
    Some(Finding {
        kind: FindingKind::LostShare,
        weight: Weight::Hint,
        amount: amount(seen.a_day(all)),
        parts: [part]
            .into_iter()
            .chain(sinks)
            .chain([user])
            .map(|at| seen.id(at).clone())
            .collect(),
        wires: shares
            .iter()
            .map(|at| seen.plan.wires[*at].id.clone())
            .collect(),
        says,
        remedy,
    })
}

/// All shares of a part that are lost in the days that repeat.
fn lost(seen: &Seen, part: usize) -> Energy {
    let id = seen.id(part);
    let wires = seen.plan.wires.iter().zip(&seen.ledger().wires);
    wires
        .filter(|(w, _)| w.from.part == *id)
        .map(|(_, c)| c.lost)
        .sum()
}

fn lost_by_all(seen: &Seen) -> Energy {
    seen.a_day(seen.ledger().wires.iter().map(|c| c.lost).sum())
}

fn remedy(seen: &Seen, part: usize, all: Energy) -> Option<Remedy> {
    let unit = &seen.plan.book.book.unit;
    if let Some(Spec::Tap(width)) = seen.specs[part] {
        let id = seen.id(part);
        let wire = seen.plan.wire_at(&End::new(id, "tap"))?;
        let at = seen.plan.wires.iter().position(|w| w.id == wire.id)?;
        let most = seen.ledger().wires[at].most_take;
        // A tap of which nothing is taken at all may wait for something that this run does not show.
        return (0 < most && most < width)
            .then(|| wide_tap::narrower(seen, part, most))
            .flatten();
    }
    let name = seen.name(part);
    let better = |edits: Option<Vec<Edit>>| {
        let edits = edits?;
        let after = seen.tried(&edits)?;
        let now = lost_by_all(&after);
        (now < lost_by_all(seen) && seen.no_load_loses(&after, &[])).then_some((edits, now))
    };
    let (edits, now) = better(seen.drafted(|draft| taps(draft, seen, part)))?;
    let was = lost_by_all(seen);
    let of = if seen.a_day(all) == was {
        ""
    } else {
        "in the whole plan "
    };
    Some(Remedy {
        says: format!(
            "With taps of as much as is taken in place of {name}, {of}{} a day is kept back for nothing instead of {}.",
            unit.say_energy(now),
            unit.say_energy(was)
        ),
        name: format!("put taps in place of {name}"),
        edits,
    })
}

/// Taps in a row, each of as much as its output takes at the most, and the rest for the output that lost least and could
/// use more; outputs of which nothing is ever taken stand last but one.
fn taps(draft: &mut Draft, seen: &Seen, part: usize) -> Option<()> {
    let id = seen.id(part);
    let kind = type_that(&seen.plan, |b| b.name() == "tap")?.name.clone();
    let ledger = seen.ledger();
    let mut outs: Vec<(usize, u64)> = (0..seen.plan.wires.len())
        .filter(|at| seen.plan.wires[*at].from.part == *id)
        .map(|at| (at, ledger.wires[at].most_take))
        .collect();
    // What takes most, having lost least, gets the rest.
    outs.sort_by_key(|(at, most)| (std::cmp::Reverse(ledger.wires[*at].lost_for), *most, *at));
    let mut feed = seen.plan.wire_at(&End::new(id, "in"))?.from.clone();
    draft.remove(id)?;
    let beside = seen.plan.wires[outs.first()?.0].to.part.clone();
    let last = outs.pop()?;
    for (at, most) in outs {
        let to = seen.plan.wires[at].to.clone();
        let tap = draft.add(&kind, &beside, &[("amount", json!(most))])?;
        draft.wire(feed, End::new(&tap, "in"))?;
        draft.wire(End::new(&tap, "tap"), to)?;
        feed = End::new(&tap, "rest");
    }
    draft.wire(feed, seen.plan.wires[last.0].to.clone())
}

#[cfg(test)]
mod tests {
    use super::super::testing::{taken, told};
    use super::*;
    use crate::net::testing::plan;

    #[test]
    fn taps_give_the_workbench_what_the_divider_keeps_back() {
        let text = r#"{ "parts": { "gen": "hand-generator", "split": "divider-2", "hours": "time-switch", "lamp": "lamp",
                                   "bench": "workbench" },
            "wires": ["gen.out split.in", "split.out1 hours.feed", "hours.out lamp.in", "split.out2 bench.in"] }"#;
        assert_eq!(
            told(text, FindingKind::LostShare),
            [[
                "split keeps 100 u·h a day back for hours, which takes none of it for 20 h a day though bench could use it.",
                "With taps of as much as is taken in place of split, 0 u·h a day is kept back for nothing instead of 100 u·h."
            ]]
        );
        let after = taken(&plan(text), FindingKind::LostShare);
        let bench = after.place(&"bench".into()).unwrap();
        assert_eq!(
            after.time_of_day(after.runs(bench).iter().map(|(a, b)| b - a).sum()),
            after.journey.day_ms
        );
    }

    #[test]
    fn a_tap_kept_back_for_a_few_hours_is_told() {
        let text = r#"{ "parts": { "gen": "hand-generator", "tap": ["tap", { "amount": 4 }], "hours": "time-switch", "lamp": "lamp",
                                   "bench": "workbench" },
            "wires": ["gen.out tap.in", "tap.tap hours.feed", "hours.out lamp.in", "tap.rest bench.in"] }"#;
        assert_eq!(
            told(text, FindingKind::LostShare),
            [[
                "tap keeps 80 u·h a day back for hours, which takes none of it for 20 h a day though bench could use it.",
                "Set to 2 u, tap gives all that is taken of it, and loads use 192 u·h a day more."
            ]]
        );
        let after = taken(&plan(text), FindingKind::LostShare);
        assert!(after.used(4) > 0);
    }

    #[test]
    fn a_share_that_is_taken_is_none() {
        let text = r#"{ "parts": { "gen": "hand-generator", "split": "divider-2", "lamp": "lamp", "bench": "workbench" },
            "wires": ["gen.out split.in", "split.out1 lamp.in", "split.out2 bench.in"] }"#;
        assert!(told(text, FindingKind::LostShare).is_empty());
    }
}
