//! Explanations held against the runs that they tell of: on random plans and the examples each amount, time and cause
//! against the record and for some against the simple engine, each "without it" against really removing the part, and the
//! words against the data that they say.

#![cfg(not(target_arch = "wasm32"))]

#[path = "explain/cautions.rs"]
mod cautions;
#[path = "explain/dull.rs"]
mod dull;
#[path = "explain/groups.rs"]
mod groups;
pub mod program;
pub mod simple_engine;
#[path = "explain/terminal.rs"]
mod terminal;
#[path = "explain/without.rs"]
mod without;
#[path = "explain/words.rs"]
mod words;

use duskline::explain::{
    Caution, DayNews, DullNews, ExplainWords, Explanation, ExplanationSearch, GroupKind,
    LinkTarget, MOST_STRETCHES, PartDeed, PartGroup, Passage, Stretches, TurnKind, TurnReason,
    explain,
};
use duskline::plan::{Clock, PartId, Plan, Spec, WireId, examples, read_plan};
use duskline::proof::{self, Loss, Study, check};
use duskline::quantity::{Energy, Ms};
use duskline::run::{Ledger, Record, What, ledger, run};
use program::{err, out};
use serde_json::{Value, json};
use simple_engine::{Simple, duties};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// How many random plans are explained.
const PLANS: u64 = 60;

fn plan_of(document: &Value) -> Plan {
    read_plan(&document.to_string()).unwrap_or_else(|faults| panic!("{faults:?}"))
}

fn all_examples() -> Vec<(&'static str, Plan)> {
    let read = |(name, text): &(&'static str, &str)| (*name, read_plan(text).expect("an example"));
    examples().iter().map(read).collect()
}

/// Stretches within a day, as an explanation tells them.
fn within(all: &[(Ms, Ms)], from: Ms, to: Ms) -> Stretches {
    let clipped = all.iter().map(|(a, b)| ((*a).max(from), (*b).min(to)));
    let kept: Vec<(Ms, Ms)> = clipped.filter(|(a, b)| a < b).collect();
    Stretches {
        count: kept.len() as u64,
        time: kept.iter().map(|(a, b)| b - a).sum(),
        first: kept.into_iter().take(MOST_STRETCHES).collect(),
    }
}

/// The sum of a course of steps within a stretch, the most of it with its first moment, and when it was above 0.
fn course(points: &[(Ms, u64)], from: Ms, to: Ms) -> (Energy, (u64, Ms), Vec<(Ms, Ms)>) {
    let (mut sum, mut most, mut above) = (0, (0, 0), Vec::<(Ms, Ms)>::new());
    for (at, (begin, steps)) in points.iter().enumerate() {
        let end = points.get(at + 1).map_or(to, |next| next.0).min(to);
        let begin = (*begin).max(from);
        if begin >= end {
            continue;
        }
        sum += Energy::from(end - begin) * Energy::from(*steps) * 1000;
        if *steps > most.0 {
            most = (*steps, begin);
        }
        if *steps > 0 {
            match above.last_mut().filter(|last| last.1 == begin) {
                Some(last) => last.1 = end,
                None => above.push((begin, end)),
            }
        }
    }
    (sum, most, above)
}

/// A battery's points within a day, with those at its ends.
fn levels(record: &Record, part: usize, from: Ms, to: Ms) -> Vec<(Ms, Energy)> {
    let points = &record.batteries[&part].level;
    let at = |t: Ms| {
        let next = points.iter().position(|(at, _)| *at >= t).expect("a point");
        let (b, high) = points[next];
        if b == t {
            return high;
        }
        let (a, low) = points[next - 1];
        low + (high - low) * Energy::from(t - a) / Energy::from(b - a)
    };
    let mut found = vec![(from, at(from))];
    found.extend(points.iter().filter(|(t, _)| from < *t && *t < to));
    found.push((to, at(to)));
    found
}

/// Holds everything that is told of each part against the record of the same run.
fn parts_hold(name: &str, plan: &Plan, told: &Explanation) {
    let (from, to) = (told.shown.from, told.shown.to);
    let record = run(plan, to.div_ceil(plan.world.day_ms()));
    let Ledger { wires, .. } = ledger(plan, from, to);
    let taken = |id: &WireId| wires[plan.wire_place(id).expect("a wire")].taken;
    let ids: Vec<&PartId> = plan.parts.iter().map(|part| &part.id).collect();
    assert_eq!(
        ids,
        told.parts
            .iter()
            .map(|story| &story.part)
            .collect::<Vec<_>>()
    );
    for (part, story) in told.parts.iter().enumerate() {
        let name = format!("{name}: {}", story.part);
        let out: Energy = story.feeds.iter().map(|joined| taken(&joined.wire)).sum();
        let most_out = |of: fn(&duskline::run::Carried) -> u64| {
            let wire = story.feeds.first();
            wire.map_or(0, |j| of(&wires[plan.wire_place(&j.wire).expect("a wire")]))
        };
        for joined in story
            .fed_by
            .iter()
            .chain(&story.signals)
            .chain(&story.feeds)
        {
            let wire = plan.wire(&joined.wire).expect("a wire");
            let ends = [&wire.from, &wire.to].map(|end| (end.part.clone(), end.port.clone()));
            assert!(
                ends.contains(&(story.part.clone(), joined.port.clone())),
                "{name}"
            );
            assert!(
                ends.contains(&(joined.other.clone(), joined.other_port.clone())),
                "{name}"
            );
        }
        match &story.did {
            PartDeed::Source {
                most,
                gives,
                available,
                taken,
            } => {
                let source = &record.sources[&part];
                let (could, peak, above) = course(&source.could, from, to);
                assert_eq!(*available, could, "{name}");
                assert_eq!(*taken, course(&source.gives, from, to).0, "{name}");
                assert_eq!(*gives, within(&above, from, to), "{name}");
                assert!(*most == peak || peak.0 == 0 && most.0 == 0, "{name}");
            }
            PartDeed::Battery {
                lowest,
                highest,
                full,
                off,
                given,
                capacity,
                ..
            } => {
                let points = levels(&record, part, from, to);
                let last = |level: Energy| {
                    let of = points.iter().filter(|(_, l)| *l == level);
                    (level, of.map(|(t, _)| *t).next_back().expect("a point"))
                };
                let all = || points.iter().map(|(_, level)| *level);
                assert_eq!(*lowest, last(all().min().expect("points")), "{name}");
                assert_eq!(*highest, last(all().max().expect("points")), "{name}");
                let mut at_full: Vec<(Ms, Ms)> = Vec::new();
                for pair in points.windows(2) {
                    if pair[0].1 == *capacity && pair[1].1 == *capacity && pair[0].0 < pair[1].0 {
                        match at_full.last_mut().filter(|last| last.1 == pair[0].0) {
                            Some(last) => last.1 = pair[1].0,
                            None => at_full.push((pair[0].0, pair[1].0)),
                        }
                    }
                }
                assert_eq!(*full, within(&at_full, from, to), "{name}");
                assert_eq!(*given, out, "{name}");
                let mut dead = Vec::new();
                let Some(Spec::Battery { start, cut_out, .. }) = plan.spec(&plan.parts[part])
                else {
                    panic!("{name} is a battery");
                };
                let mut since = (start <= cut_out).then_some(0);
                for event in record.events.iter().filter(|e| e.place() == part) {
                    match (event.what, since) {
                        (What::OutputOff, None) => since = Some(event.t),
                        (What::OutputOn, Some(begin)) => {
                            dead.push((begin, event.t));
                            since = None;
                        }
                        _ => {}
                    }
                }
                dead.extend(since.map(|begin| (begin, to)));
                assert_eq!(*off, within(&dead, from, to), "{name}");
            }
            PartDeed::Load { draw, runs, short } => {
                let load = &record.loads[&part];
                assert_eq!(*runs, within(&load.runs, from, to), "{name}");
                assert_eq!(*short, within(&load.short, from, to), "{name}");
                let Some(Spec::Load { draw: known, .. }) = plan.spec(&plan.parts[part]) else {
                    panic!("{name} is a load");
                };
                assert_eq!(*draw, known);
            }
            PartDeed::Contact { conducts, passed } => {
                let contact = &record.contacts[&part];
                assert_eq!(*conducts, within(&contact.conducts, from, to), "{name}");
                assert_eq!(*passed, out, "{name}");
            }
            PartDeed::Tap { aside, rest, .. } => assert_eq!(aside + rest, out, "{name}"),
            PartDeed::Divider { passed, .. } | PartDeed::Changeover { passed, .. } => {
                assert_eq!(*passed, out, "{name}");
            }
            PartDeed::Busbar { most, passed } => {
                assert_eq!(*passed, out, "{name}");
                assert_eq!(most.0, most_out(|wire| wire.most_offer), "{name}");
            }
            PartDeed::Meter { most, passed } => {
                assert_eq!(*passed, out, "{name}");
                assert_eq!(most.0, most_out(|wire| wire.most_take), "{name}");
            }
            PartDeed::Unknown => {}
        }
    }
}

/// The parts from which a part can be reached along wires, itself too; a watched battery counts as joined.
fn upstream(plan: &Plan, part: &PartId) -> BTreeSet<PartId> {
    let (mut seen, mut look) = (BTreeSet::from([part.clone()]), vec![part.clone()]);
    while let Some(here) = look.pop() {
        let wires = plan.wires.iter().filter(|wire| wire.to.part == here);
        let mut ahead: Vec<PartId> = wires.map(|wire| wire.from.part.clone()).collect();
        let known = plan.part(&here).expect("a part");
        let watches = known.set.get("watches").and_then(Value::as_str);
        ahead.extend(watches.map(PartId::from));
        look.extend(ahead.into_iter().filter(|id| seen.insert(id.clone())));
    }
    seen
}

/// What is seen of the causes, so that a test can say that every kind was met.
type Kinds = BTreeSet<&'static str>;

/// Holds each step of the day against the events of the run, and each cause against what the run shows of it.
fn day_holds(name: &str, plan: &Plan, told: &Explanation, kinds: &mut Kinds) {
    let (from, to) = (told.shown.from, told.shown.to);
    let record = run(plan, to.div_ceil(plan.world.day_ms()));
    let lag = plan.book.book.lag_ms.max(1);
    let times: Vec<Ms> = told.day.iter().map(|step| step.t).collect();
    assert!(
        times.is_sorted() && times.iter().all(|t| (from..to).contains(t)),
        "{name}"
    );
    let place = |id: &PartId| plan.part_place(id).expect("a part");
    let happened = |t: Ms, part: &PartId, what: What| {
        let mut events = record.events.iter();
        events.any(|e| e.t == t && e.place() == place(part) && e.what == what)
    };
    let mut turned: BTreeSet<(Ms, usize, What)> = BTreeSet::new();
    let mut often = BTreeSet::new();
    for step in &told.day {
        let DayNews::Turns { reason, at, turns } = &step.news else {
            if let DayNews::Often { part, times, last } = &step.news {
                let own = record.events.iter().filter(|e| e.place() == place(part));
                let own = own.filter(|e| (from..to).contains(&e.t));
                let own: Vec<Ms> = own
                    .filter(|e| !matches!(e.what, What::Full | What::Chatters))
                    .map(|e| e.t)
                    .collect();
                let is_changeover = own.is_empty();
                assert!(
                    is_changeover || own.len() as u64 == *times,
                    "{name}: {part}"
                );
                assert!(is_changeover || own.last() == Some(last), "{name}: {part}");
                often.insert(place(part));
            }
            continue;
        };
        assert!(turns.iter().any(|turn| turn.kind.matters()), "{name}");
        assert_eq!(turns[0].t, step.t, "{name}");
        for turn in turns {
            let what = match turn.kind {
                TurnKind::OutputOff => What::OutputOff,
                TurnKind::OutputOn => What::OutputOn,
                TurnKind::Opens => What::Opens,
                TurnKind::Closes => What::Closes,
                TurnKind::Starts => What::Runs,
                TurnKind::Stops => What::Stops,
                // No event tells it: what main offers is looked at.
                TurnKind::ToBackup | TurnKind::ToMain => {
                    let Some(Spec::Changeover(least)) = plan.spec(&plan.parts[place(&turn.part)])
                    else {
                        panic!("{name}: {} is a changeover", turn.part);
                    };
                    let main = plan
                        .wires
                        .iter()
                        .position(|wire| wire.to.part == turn.part && wire.to.port == "main");
                    let on = |t: Ms| {
                        let offers = duskline::run::at(plan, t).wires;
                        main.map_or(0, |wire| offers[wire].offer) >= least
                    };
                    let now = on(turn.t);
                    assert_eq!(now, turn.kind == TurnKind::ToMain, "{name}");
                    assert!(turn.t == 0 || on(turn.t - 1) != now, "{name}");
                    continue;
                }
            };
            assert!(happened(turn.t, &turn.part, what), "{name}: {turn:?}");
            assert!(
                turned.insert((turn.t, place(&turn.part), what)),
                "{name}: told once"
            );
            assert!(
                upstream(plan, &turn.part).contains(reason.part()),
                "{name}: {reason:?}"
            );
            let after = turn.t.checked_sub(*at).expect("the cause comes first");
            assert_eq!(after % lag, 0, "{name}: {reason:?} at {at}: {turn:?}");
            let is_sensed = !matches!(reason, TurnReason::Timer(_) | TurnReason::Charge { .. });
            assert!(is_sensed || after >= lag, "{name}: {reason:?}");
        }
        kinds.insert(cause_holds(name, plan, &record, reason, *at, lag));
    }
    // Every start and stop of a load is told, once, but of those that turn all day.
    for event in record.events.iter().filter(|e| (from..to).contains(&e.t)) {
        let is_told = turned.contains(&(event.t, event.place(), event.what));
        let matters = matches!(
            event.what,
            What::Runs | What::Stops | What::OutputOff | What::OutputOn
        );
        assert!(
            !matters || is_told || often.contains(&event.place()),
            "{name}: {event:?}"
        );
    }
}

/// Holds one cause against the record: what it names did happen at that moment.
fn cause_holds(
    name: &str,
    plan: &Plan,
    record: &Record,
    reason: &TurnReason<PartId>,
    at: Ms,
    lag: Ms,
) -> &'static str {
    let part = plan.part_place(reason.part()).expect("a part");
    let did = |t: Ms, what: What| {
        let mut events = record.events.iter();
        events.any(|e| e.t == t && e.place() == part && e.what == what)
    };
    let turns = |t: Ms| did(t, What::Opens) || did(t, What::Closes);
    match reason {
        TurnReason::Source { before, gives, .. } => {
            let could = &record.sources[&part].could;
            let now = could.iter().position(|(t, _)| *t == at).expect("a change");
            assert_eq!(
                (could[now - 1].1, could[now].1),
                (*before, *gives),
                "{name}"
            );
            "source"
        }
        TurnReason::Empty(_) => {
            assert!(did(at, What::OutputOff), "{name}");
            "empty"
        }
        TurnReason::Back(_) => {
            assert!(did(at, What::OutputOn), "{name}");
            "back"
        }
        TurnReason::Charge { low, .. } => {
            let Some(Spec::Contact {
                function:
                    duskline::plan::Function::Charge {
                        watches,
                        low: least,
                        high,
                    },
                ..
            }) = plan.spec(&plan.parts[part])
            else {
                panic!("{name}: a charge contact");
            };
            let battery = plan.part_place(&PartId::from(watches)).expect("a battery");
            let Some(Spec::Battery { capacity, .. }) = plan.spec(&plan.parts[battery]) else {
                panic!("{name}: a battery");
            };
            let end = record.end;
            let level = levels(record, battery, at.min(end), end)[0].1;
            let mark = capacity / 1000 * Energy::from(if *low { least } else { high });
            assert!(
                if *low { level <= mark } else { level >= mark },
                "{name}: {level} {mark}"
            );
            assert!(turns(at + lag), "{name}");
            "charge"
        }
        TurnReason::ByTime { truth, .. } => {
            let breaks = matches!(
                plan.spec(&plan.parts[part]),
                Some(Spec::Contact { breaks: true, .. })
            );
            let what = if *truth == breaks {
                What::Opens
            } else {
                What::Closes
            };
            assert!(did(at, what), "{name}");
            "by time"
        }
        TurnReason::Timer(_) => {
            assert!(turns(at + lag), "{name}");
            "timer"
        }
        TurnReason::Held(_) => {
            assert!(did(at, What::Chatters), "{name}");
            "held"
        }
        TurnReason::Follows(_) => {
            // Only what was pending at the day's first midnight, or held until it, has no cause within the day.
            let day = plan.world.day_ms();
            assert!(turns(at) && at % day <= lag, "{name}: {reason:?} at {at}");
            "follows"
        }
    }
}

/// A plan in which timers and a battery's charge turn loads.
fn timed() -> Plan {
    plan_of(&json!({
        "format": "duskline/plan", "version": 1, "title": "", "book": "outpost", "world": {}, "duties": [],
        "parts": [
            { "id": "gen", "type": "hand-generator" }, { "id": "two", "type": "divider-3" },
            { "id": "push", "type": "button", "set": { "presses": ["09:00"], "hold_s": 600 } },
            { "id": "late", "type": "on-delay", "set": { "delay_s": 300 } }, { "id": "fan", "type": "fan" },
            { "id": "cell", "type": "battery", "set": { "start": 300 } }, { "id": "bench", "type": "workbench" },
            { "id": "float", "type": "charge", "set": { "watches": "cell", "low": 100, "high": 400 } },
            { "id": "lamp", "type": "fan" }, { "id": "three", "type": "divider-2" }
        ],
        "wires": [
            { "id": "w1", "from": "gen.out", "to": "two.in" }, { "id": "w2", "from": "two.out1", "to": "push.feed" },
            { "id": "w3", "from": "push.out", "to": "late.trigger" }, { "id": "w4", "from": "two.out2", "to": "three.in" },
            { "id": "w5", "from": "late.out", "to": "fan.in" }, { "id": "w6", "from": "two.out3", "to": "cell.in" },
            { "id": "w7", "from": "cell.out", "to": "bench.in" }, { "id": "w8", "from": "float.out", "to": "lamp.in" },
            { "id": "w9", "from": "three.out1", "to": "late.feed" }, { "id": "w10", "from": "three.out2", "to": "float.feed" }
        ]
    }))
}

#[test]
fn amounts_times_and_causes_are_those_of_the_run() {
    let mut kinds = Kinds::new();
    duties::plans().each(PLANS, |case| {
        let plan = plan_of(&case.document);
        let told = explain(&plan);
        let name = format!("plan {}", case.seed);
        parts_hold(&name, &plan, &told);
        day_holds(&name, &plan, &told, &mut kinds);
    });
    for (name, plan) in all_examples().into_iter().chain([("timed", timed())]) {
        let told = explain(&plan);
        parts_hold(name, &plan, &told);
        day_holds(name, &plan, &told, &mut kinds);
    }
    let all = [
        "back", "by time", "charge", "empty", "follows", "held", "source", "timer",
    ];
    for kind in all
        .into_iter()
        .filter(|kind| !["follows", "held"].contains(kind))
    {
        assert!(kinds.contains(kind), "{kind} among {kinds:?}");
    }
}

#[test]
fn the_simple_engine_shows_the_day_as_it_is_told() {
    let mut looked = 0;
    duties::plans().each(60, |case| {
        let plan = plan_of(&case.document);
        let told = explain(&plan);
        let (from, to) = (told.shown.from as i64, told.shown.to as i64);
        if to > 30_000 || told.shown.stopped {
            return;
        }
        let simple = Simple::new(&case.document, &case.document["book"]);
        let at: Vec<i64> = (0..40).map(|n| from + (to - from) * n / 40).collect();
        let (before, whole) = (simple.run(from, &[]), simple.run(to, &at));
        let name = format!("plan {}", case.seed);
        let clipped = |all: &[(i64, i64)]| {
            let all: Vec<(Ms, Ms)> = all.iter().map(|(a, b)| (*a as Ms, *b as Ms)).collect();
            within(&all, told.shown.from, told.shown.to)
        };
        for story in &told.parts {
            let id = story.part.as_str();
            match &story.did {
                PartDeed::Load { runs, .. } => {
                    assert_eq!(*runs, clipped(&whole.runs[id]), "{name}")
                }
                PartDeed::Contact { conducts, .. } => {
                    assert_eq!(*conducts, clipped(&whole.conducts[id]), "{name}");
                }
                PartDeed::Source {
                    available, taken, ..
                } => {
                    let (a, b) = (before.sources[id], whole.sources[id]);
                    assert_eq!(*available, (b.0 - a.0) * 1000, "{name}");
                    assert_eq!(*taken, (b.1 - a.1) * 1000, "{name}");
                }
                PartDeed::Battery {
                    taken,
                    given,
                    lowest,
                    highest,
                    ..
                } => {
                    let (a, b) = (before.batteries[id], whole.batteries[id]);
                    assert_eq!(
                        (*taken, *given),
                        ((b.0 - a.0) * 1000, (b.1 - a.1) * 1000),
                        "{name}"
                    );
                    for moment in &whole.moments {
                        let level = moment.batteries[id].level;
                        assert!((lowest.0..=highest.0).contains(&level), "{name}");
                    }
                }
                PartDeed::Tap { sets: so, .. } | PartDeed::Changeover { on_backup: so, .. }
                    if so.count as usize == so.first.len() =>
                {
                    let is_tap = matches!(story.did, PartDeed::Tap { .. });
                    let port = if is_tap { "tap" } else { "main" };
                    let joined = story.feeds.iter().chain(&story.fed_by);
                    let wire = joined.into_iter().find(|joined| joined.port == port);
                    let Some(Spec::Changeover(least) | Spec::Tap(least)) =
                        plan.spec(plan.part(&story.part).expect("a part"))
                    else {
                        panic!("{name}: a tap or a changeover");
                    };
                    for moment in &whole.moments {
                        let offer = wire.map_or(0, |w| moment.wires[w.wire.as_str()].0) as u64;
                        let expected = if is_tap { offer > 0 } else { offer < least };
                        let t = moment.t as Ms;
                        let is_so = so.first.iter().any(|(a, b)| (*a..*b).contains(&t));
                        assert_eq!(is_so, expected, "{name}: {id} at {t}");
                        looked += 1;
                    }
                }
                _ => {}
            }
        }
    });
    assert!(looked > 500, "{looked}");
}
