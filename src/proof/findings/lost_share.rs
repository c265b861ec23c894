//! A share, or a good part of one, that a tap or a divider sets aside and nobody takes, while something behind another
//! output could use it; added up over the days that repeat.
//!
//! Tried are: a narrower tap; taps of as much as is taken in place of a divider. What is lost of less than a twentieth of
//! a share is not told.

use super::draft::type_that;
use super::{Draft, Finding, FindingKind, Remedy, Simulation, amount, wide_tap};
use crate::net::Weight;
use crate::net::words::{ids, list, names};
use crate::plan::{Edit, End, Spec};
use crate::quantity::Energy;
use serde_json::json;

/// Of what is set aside on a wire, one part in so many may be lost without a word.
const SHARE: Energy = 20;

pub fn find(seen: &Simulation, part: usize) -> Option<Finding> {
    let shares = shares(seen, part);
    let ledger = seen.ledger();
    let all: Energy = shares.iter().map(|at| ledger.wires[*at].lost).sum();
    let to = |at: usize| seen.place(&seen.plan.wires[at].to.part);
    let mut sinks: Vec<usize> = shares.iter().filter_map(|at| to(*at)).collect();
    sinks.sort_unstable();
    sinks.dedup();
    let (user, short) = user(seen, &shares)?;
    let lacks = match seen.specs[user] {
        Some(Spec::Battery { .. }) => format!(
            "{} could take {} of it",
            seen.name(user),
            seen.energy_a_day(short)
        ),
        _ => format!(
            "{} goes short of {}",
            seen.name(user),
            seen.energy_a_day(short)
        ),
    };
    let says = format!(
        "{} sets {} aside for {} that {} not take, while {lacks}.",
        seen.name(part),
        seen.energy_a_day(all),
        names(&seen.plan, &ids(&seen.plan, &sinks)),
        if sinks.len() == 1 {
            "it does"
        } else {
            "they do"
        }
    );
    let remedy = if seen.is_whole() {
        remedy(seen, part)
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
        per_day: true,
        remedy,
    })
}

/// The wires on which a part loses a good part of what it sets aside.
fn shares(seen: &Simulation, part: usize) -> Vec<usize> {
    let (id, ledger) = (seen.id(part), seen.ledger());
    (0..seen.plan.wires.len())
        .filter(|at| seen.plan.wires[*at].from.part == *id)
        .filter(|at| {
            let wire = ledger.wires[*at];
            wire.lost > 0 && wire.lost * SHARE > wire.offered
        })
        .collect()
}

/// Who could use most of what is lost on these wires, and how much. What several shares are wanted for at once counts
/// once: the most that goes with one of them.
fn user(seen: &Simulation, shares: &[usize]) -> Option<(usize, Energy)> {
    let found = seen.ledger().short.iter();
    found
        .filter(|((wire, _), _)| shares.contains(wire))
        .map(|((_, user), short)| (*user, *short))
        .max_by_key(|(user, short)| (*short, std::cmp::Reverse(*user)))
}

fn lost_by_all(seen: &Simulation) -> Energy {
    seen.a_day(seen.ledger().wires.iter().map(|c| c.lost).sum())
}

fn remedy(seen: &Simulation, part: usize) -> Option<Remedy> {
    let unit = &seen.plan.book.book.unit;
    if let Some(Spec::Tap(width)) = seen.specs[part] {
        let id = seen.id(part);
        let wire = seen.plan.wire_at(&End::new(id, "tap"))?;
        let at = seen.plan.wires.iter().position(|w| w.id == wire.id)?;
        let most = seen.whole_ledger().wires[at].most_take;
        // A tap of which nothing is taken at all may wait for something that this run does not show.
        return (0 < most && most < width)
            .then(|| wide_tap::narrower(seen, part, most))
            .flatten();
    }
    let was = lost_by_all(seen);
    for (what, edits) in in_place(seen, part) {
        let Some(after) = seen.tried(&edits) else {
            continue;
        };
        let now = lost_by_all(&after);
        if now < was && seen.no_load_loses(&after, &[]) {
            return Some(Remedy {
                says: format!(
                    "With {what}, {} a day is set aside in vain instead of {}, and {}.",
                    unit.say_energy(now),
                    unit.say_energy(was),
                    seen.brings(&after)
                ),
                name: format!("put taps in place of {}", seen.name(part)),
                edits,
            });
        }
    }
    None
}

/// Taps in a row in place of a divider: what is put there, in words that go on from "with", and the edits. First each tap
/// is as wide as all that stands behind it draws, then as wide as what its output takes at the most.
pub fn in_place(seen: &Simulation, divider: usize) -> Vec<(String, Vec<Edit>)> {
    let mut out: Vec<(String, Vec<Edit>)> = Vec::new();
    for wide in [true, false] {
        let mut what = String::new();
        let edits = seen.drafted(|draft| {
            what = taps(draft, seen, divider, wide)?;
            Some(())
        });
        if let Some(edits) = edits
            && out.iter().all(|(said, _)| *said != what)
        {
            out.push((what, edits));
        }
    }
    out
}

/// Taps in a row, the rest for the output that lost least and could use more.
fn taps(draft: &mut Draft, seen: &Simulation, part: usize, wide: bool) -> Option<String> {
    let (id, name) = (seen.id(part), seen.name(part));
    let kind = type_that(&seen.plan, |b| b.name() == "tap")?.name.clone();
    let (ledger, unit) = (seen.ledger(), &seen.plan.book.book.unit);
    let width = |at: usize| {
        let most = seen.whole_ledger().wires[at].most_take;
        // What lost nothing may take less than it would.
        match wide && ledger.wires[at].lost == 0 {
            true => most.max(seen.drawn_behind(at)),
            false => most,
        }
    };
    let mut outs: Vec<(usize, u64)> = (0..seen.plan.wires.len())
        .filter(|at| seen.plan.wires[*at].from.part == *id)
        .map(|at| (at, width(at)))
        .collect();
    outs.sort_by_key(|(at, most)| (std::cmp::Reverse(ledger.wires[*at].lost), *most, *at));
    let mut feed = seen.plan.wire_at(&End::new(id, "in"))?.from.clone();
    draft.remove(id)?;
    let beside = seen.plan.wires[outs.first()?.0].to.part.clone();
    let last = outs.pop()?;
    if outs.is_empty() {
        return None;
    }
    let to = |at: usize| seen.plan.wires[at].to.clone();
    let mut said = Vec::new();
    for (at, most) in outs {
        let tap = draft.add(&kind, &beside, &[("amount", json!(most))])?;
        draft.wire(feed, End::new(&tap, "in"))?;
        draft.wire(End::new(&tap, "tap"), to(at))?;
        feed = End::new(&tap, "rest");
        said.push(format!(
            "{} for {}",
            unit.say_power(most),
            seen.plan.called(&to(at).part)
        ));
    }
    let rest = seen.plan.called(&to(last.0).part);
    draft.wire(feed, to(last.0))?;
    Some(match said.as_slice() {
        [one] => format!("a tap of {one} in place of {name} and its rest to {rest}"),
        _ => format!(
            "taps of {} in place of {name} and the rest to {rest}",
            list(&said)
        ),
    })
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
                "split sets 112 u·h a day aside for hours that it does not take, while bench goes short of 72 u·h a day.",
                "With a tap of 2 u for hours in place of split and its rest to bench, 0 u·h a day is set aside in vain instead of 112 u·h, and loads use 192 u·h a day more."
            ]]
        );
        let after = taken(&plan(text), FindingKind::LostShare);
        let bench = after.place(&"bench".into()).unwrap();
        assert_eq!(
            after.time_of_day(after.runs(bench).iter().map(|(a, b)| b - a).sum()),
            after.day_ms
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
                "tap sets 80 u·h a day aside for hours that it does not take, while bench goes short of 40 u·h a day.",
                "Set to 2 u, tap gives all that is taken of it, and loads use 192 u·h a day more."
            ]]
        );
        let after = taken(&plan(text), FindingKind::LostShare);
        assert!(after.used(4) > 0);
    }

    #[test]
    fn what_a_lantern_leaves_of_its_share_keeps_the_heater_warm() {
        let text = r#"{ "parts": { "sun": "sun-panel-large", "split": "divider-2", "lantern": "lantern", "rack": "battery-rack",
                                   "heater": "heater" },
            "wires": ["sun.out split.in", "split.out1 lantern.in", "split.out2 rack.in", "rack.out heater.in"],
            "duties": [{ "part": "heater", "when": "always" }] }"#;
        assert_eq!(
            told(text, FindingKind::LostShare),
            [[
                "split sets 58 u·h a day aside for lantern that it does not take, while rack could take 58 u·h a day of it. Figures a day are the average of the 60 days run.",
                "With a tap of 1 u for lantern in place of split and its rest to rack, 0 u·h a day is set aside in vain instead of 58 u·h, and the duty of heater is kept for ever."
            ]]
        );
        let after = taken(&plan(text), FindingKind::LostShare);
        assert!(after.check.is_fine());
    }

    #[test]
    fn the_sum_of_three_shares_is_told_and_a_row_of_taps_offered() {
        let text = r#"{ "parts": { "gen": "generator", "split": "divider-4", "bench": "workbench", "a": "lantern", "b": "lantern",
                                   "c": "lantern" },
            "wires": ["gen.out split.in", "split.out1 bench.in", "split.out2 a.in", "split.out3 b.in", "split.out4 c.in"] }"#;
        assert_eq!(
            told(text, FindingKind::LostShare),
            [[
                "split sets 288 u·h a day aside for a, b and c that they do not take, while bench goes short of 72 u·h a day.",
                "With taps of 1 u for a, 1 u for b and 1 u for c in place of split and the rest to bench, 0 u·h a day is set aside in vain instead of 288 u·h, and loads use 192 u·h a day more."
            ]]
        );
    }

    #[test]
    fn a_share_that_is_taken_or_that_nobody_wants_is_none() {
        for text in [
            r#"{ "parts": { "gen": "hand-generator", "split": "divider-2", "a": "workbench", "b": "workbench" },
                 "wires": ["gen.out split.in", "split.out1 a.in", "split.out2 b.in"] }"#,
            r#"{ "parts": { "gen": "generator", "split": "divider-2", "a": "lamp", "b": "workbench" },
                 "wires": ["gen.out split.in", "split.out1 a.in", "split.out2 b.in"] }"#,
        ] {
            assert!(told(text, FindingKind::LostShare).is_empty());
        }
    }
}
