//! Explanations held against the runs that they tell of: on random plans and the examples each amount, time and cause
//! against the record and for some against the simple engine, each "without it" against really removing the part, and the
//! words against the data that they say.

#![cfg(not(target_arch = "wasm32"))]

pub mod program;
pub mod simple_engine;

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

/// How long each load runs in the days that go on repeating, and how long these are in all; none where none does.
fn hours(plan: &Plan) -> Option<(BTreeMap<PartId, Ms>, Ms)> {
    let check = check(plan);
    let day = plan.world.day_ms();
    let (from, to) = (check.repeats? * day, check.days * day);
    let record = run(plan, check.days);
    let on = record.loads.iter().map(|(part, load)| {
        let within = load.runs.iter().map(|(a, b)| b - (*a).max(from).min(*b));
        (plan.parts[*part].id.clone(), within.sum())
    });
    Some((on.collect(), to - from))
}

/// The loads that run less a day in the second plan.
fn fewer(
    (before, of_before): &(BTreeMap<PartId, Ms>, Ms),
    (after, of_after): &(BTreeMap<PartId, Ms>, Ms),
    plan: &Plan,
) -> Vec<PartId> {
    let less = |id: &&PartId| {
        let (Some(was), Some(is)) = (before.get(*id), after.get(*id)) else {
            return false;
        };
        u128::from(*is) * u128::from(*of_before) < u128::from(*was) * u128::from(*of_after)
    };
    plan.parts
        .iter()
        .map(|part| &part.id)
        .filter(less)
        .cloned()
        .collect()
}

#[test]
fn without_each_part_the_plan_does_what_is_told() {
    let (mut broken, mut slower, mut unknown) = (0, 0, 0);
    let mut holds = |name: &str, plan: &Plan| {
        let (told, whole, before) = (explain(plan), check(plan), hours(plan));
        for story in &told.parts {
            let rest = proof::without(plan, &Loss::Part(story.part.clone()));
            let verdicts = check(&rest);
            let mut left = verdicts.duties.iter();
            let mut breaks = Vec::new();
            for (at, duty) in plan.duties.iter().enumerate() {
                let is_broken = duty.part == story.part || left.next().is_none_or(|d| !d.kept);
                if is_broken && whole.duties[at].kept {
                    breaks.push(at);
                }
            }
            let name = format!("{name} without {}", story.part);
            assert_eq!(story.without.breaks, breaks, "{name}");
            let after = hours(&rest);
            let both = before.as_ref().zip(after.as_ref());
            let stops = both.map(|(before, after)| fewer(before, after, plan));
            assert_eq!(story.without.compared, stops.is_some(), "{name}");
            assert_eq!(
                story.without.stops,
                stops.clone().unwrap_or_default(),
                "{name}"
            );
            if let Some((duty, first)) = story.without.first {
                let gaps = rest.duties.iter().zip(&verdicts.duties);
                let gaps = gaps
                    .filter(|(d, _)| **d == plan.duties[duty])
                    .flat_map(|(_, v)| &v.gaps);
                assert_eq!(gaps.map(|gap| gap.from).min(), Some(first), "{name}");
            }
            broken += breaks.len();
            slower += stops.as_ref().map_or(0, Vec::len);
            unknown += usize::from(stops.is_none());
        }
    };
    duties::plans().each(PLANS, |case| {
        holds(&format!("plan {}", case.seed), &plan_of(&case.document))
    });
    all_examples()
        .iter()
        .for_each(|(name, plan)| holds(name, plan));
    assert!(
        broken > 50 && slower > 100 && unknown > 20,
        "{broken} {slower} {unknown}"
    );
}

#[test]
fn loads_that_stop_without_a_part_are_those_of_the_simple_engine() {
    let mut found = 0;
    duties::plans().each(90, |case| {
        let plan = plan_of(&case.document);
        let day = plan.world.day_ms();
        let told = explain(&plan);
        let stops = told
            .parts
            .iter()
            .any(|story| !story.without.stops.is_empty());
        if !stops && case.seed % 8 != 0 {
            return;
        }
        let simply = |document: &Value, plan: &Plan| {
            let check = check(plan);
            let earlier = check.repeats.filter(|_| check.days * day <= 24_000)?;
            let (from, to) = ((earlier * day) as i64, (check.days * day) as i64);
            let outcome = Simple::new(document, &document["book"]).run(to, &[]);
            let on = outcome.runs.iter().map(|(id, runs)| {
                let within = runs.iter().map(|(a, b)| (b - (*a).max(from).min(*b)) as Ms);
                (PartId::from(id.as_str()), within.sum())
            });
            Some((on.collect::<BTreeMap<PartId, Ms>>(), (to - from) as Ms))
        };
        let Some(before) = simply(&case.document, &plan) else {
            return;
        };
        for story in &told.parts {
            let id = story.part.as_str();
            let mut document = case.document.clone();
            let keep = |document: &mut Value, list: &str, keeps: &dyn Fn(&Value) -> bool| {
                document[list].as_array_mut().expect("a list").retain(keeps);
            };
            let at = |end: &Value| {
                end.as_str()
                    .and_then(|e| e.split_once('.'))
                    .map(|e| e.0 == id)
            };
            keep(&mut document, "parts", &|part| part["id"] != id);
            keep(&mut document, "duties", &|duty| duty["part"] != id);
            keep(&mut document, "wires", &|w| {
                at(&w["from"]) != Some(true) && at(&w["to"]) != Some(true)
            });
            if let Some(after) = simply(&document, &plan_of(&document)) {
                assert_eq!(
                    story.without.stops,
                    fewer(&before, &after, &plan),
                    "{} {id}",
                    case.seed
                );
                found += story.without.stops.len();
            }
        }
    });
    assert!(found > 10, "{found}");
}

/// The loads that are off without the sun and on with it, and the other way round: each with when first for a thousandth
/// of a day, looked for millisecond by millisecond.
fn differing(
    with: &[(Ms, Ms)],
    without: &[(Ms, Ms)],
    (from, to): (Ms, Ms),
    least: Ms,
) -> Option<Ms> {
    let on = |runs: &[(Ms, Ms)], t: Ms| runs.iter().any(|(a, b)| (*a..*b).contains(&t));
    let mut since = None;
    let mut cuts: Vec<Ms> = with
        .iter()
        .chain(without)
        .flat_map(|(a, b)| [*a, *b])
        .collect();
    cuts.extend([from, to]);
    cuts.sort_unstable();
    cuts.dedup();
    cuts.retain(|t| (from..=to).contains(t));
    for t in cuts {
        let differs = t < to && on(with, t) && !on(without, t);
        match (differs, since) {
            (true, None) => since = Some(t),
            (false, Some(begin)) if t - begin >= least => return Some(begin),
            (false, _) => since = None,
            _ => {}
        }
    }
    None
}

#[test]
fn a_dull_day_is_what_weather_0_makes_of_it() {
    let (mut dark, mut lit, mut held) = (0, 0, 0);
    let mut holds = |name: &str, document: &Value| {
        let plan = plan_of(document);
        let told = explain(&plan);
        if told.dull.contains(&DullNews::NoSun) || told.shown.stopped {
            return;
        }
        let first = told.shown.day - 1;
        let day = plan.world.day_ms();
        let weather = |number: u64| plan.world.weather[number as usize % plan.world.weather.len()];
        let days = told.dull.iter().find_map(|news| match news {
            DullNews::GoesDark { loads, .. } => Some((loads[0].1 - told.shown.from) / day + 1),
            DullNews::Holds { days } => Some(*days),
            _ => None,
        });
        let days = days.expect("how long it goes on");
        let mut dull = plan.clone();
        dull.world.weather = (0..first).map(weather).collect();
        dull.world.weather.resize((first + days + 1) as usize, 0.0);
        let until = told.shown.from + days * day;
        let (with, without) = (run(&plan, first + days), run(&dull, first + days));
        if !with.complete || !without.complete {
            return;
        }
        let span = (told.shown.from, until);
        let least = (day / 1000).max(1);
        let (mut off, mut on) = (BTreeMap::new(), BTreeMap::new());
        for (part, load) in &with.loads {
            let (id, dull) = (&plan.parts[*part].id, &without.loads[part].runs);
            off.extend(differing(&load.runs, dull, span, least).map(|t| (id.clone(), t)));
            on.extend(differing(dull, &load.runs, span, least).map(|t| (id.clone(), t)));
        }
        let (mut told_off, mut told_on) = (BTreeMap::new(), BTreeMap::new());
        let earliest = off.values().min().copied();
        for news in &told.dull {
            match news {
                DullNews::GoesDark {
                    loads,
                    first,
                    empty,
                } => {
                    for (id, at) in loads {
                        assert_eq!(*first, Some(*at) == earliest, "{name}");
                        told_off.insert(id.clone(), *at);
                        let state = duskline::run::at(&dull, *at);
                        for battery in empty {
                            let place = plan.part_place(battery).expect("a part");
                            let is_off = |s: &duskline::run::PartState| {
                                matches!(s, duskline::run::PartState::Battery { output: false, .. })
                            };
                            assert!(is_off(&state.parts[place]), "{name}: {battery}");
                        }
                    }
                }
                DullNews::RunsOn { loads } => told_on.extend(loads.iter().cloned()),
                DullNews::Holds { .. } => held += 1,
                _ => {}
            }
        }
        assert_eq!(told_off, off, "{name}");
        assert_eq!(told_on, on, "{name}");
        dark += off.len();
        lit += on.len();
    };
    duties::plans().each(60, |case| {
        holds(&format!("plan {}", case.seed), &case.document)
    });
    for (name, text) in examples() {
        holds(name, &serde_json::from_str(text).expect("JSON"));
    }
    assert!(dark > 20 && lit > 5 && held > 5, "{dark} {lit} {held}");
}

#[test]
fn what_to_watch_out_for_is_so() {
    let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
    let mut holds = |name: &str, plan: &Plan| {
        let (told, check) = (explain(plan), check(plan));
        let record = run(plan, check.days.max(1));
        let day = plan.world.day_ms();
        let (from, to) = match check.repeats {
            Some(earlier) => (earlier * day, check.days * day),
            None => (told.shown.from, told.shown.to),
        };
        let mut broken = BTreeSet::new();
        for caution in &told.watch {
            let kind = match caution {
                Caution::NoRepeat { days, differs } => {
                    assert!(!check.for_ever, "{name}");
                    assert_eq!((days, differs), (&check.days, &check.differs), "{name}");
                    "no repeat"
                }
                Caution::Problem(problem) => {
                    assert!(check.problems.contains(problem), "{name}");
                    "problem"
                }
                Caution::Broken { duty, gaps, cause } => {
                    let verdict = &check.duties[*duty];
                    assert_eq!((verdict.kept, verdict.gaps.len()), (false, *gaps), "{name}");
                    let cause = cause.as_ref().expect("a cause");
                    let gap = verdict.gaps.iter().find(|gap| gap.to > told.shown.from);
                    let gap = gap.or(verdict.gaps.first()).expect("a gap");
                    assert_eq!(
                        (cause.from, cause.to, cause.on),
                        (gap.from, gap.to, gap.on),
                        "{name}"
                    );
                    broken.insert(*duty);
                    "broken"
                }
                Caution::CutsOut { off, .. } => {
                    assert!(off.count > 0, "{name}");
                    "cuts out"
                }
                Caution::NearCutOut {
                    battery,
                    lowest,
                    cut_out,
                    capacity,
                } => {
                    let place = plan.part_place(battery).expect("a part");
                    let points = levels(&record, place, from, to.min(record.end));
                    let least = points.iter().map(|(_, level)| *level).min();
                    assert_eq!(Some(lowest.0), least, "{name}");
                    assert!(
                        lowest.0 > *cut_out && (lowest.0 - cut_out) * 10 < *capacity,
                        "{name}"
                    );
                    "near cut-out"
                }
                Caution::Short { load, short, .. } => {
                    let place = plan.part_place(load).expect("a part");
                    let all = &record.loads[&place].short;
                    assert_eq!(
                        *short,
                        within(all, told.shown.from, told.shown.to),
                        "{name}"
                    );
                    "short"
                }
                Caution::Reachable { switch, breaks, .. } => {
                    let loss = Loss::Switch(switch.clone());
                    let report = proof::losses(plan, &check, std::slice::from_ref(&loss)).next();
                    assert_eq!(report.map(|r| r.breaks).as_ref(), Some(breaks), "{name}");
                    "reachable"
                }
                Caution::SinglePoints { points, kept } => {
                    let breaks = |id: &PartId| {
                        let story = told.parts.iter().find(|story| story.part == *id);
                        story.map(|story| story.without.breaks.len())
                    };
                    assert!(
                        points
                            .iter()
                            .all(|(id, n)| *n > 0 && breaks(id) == Some(*n)),
                        "{name}"
                    );
                    assert_eq!(
                        *kept,
                        check.duties.iter().filter(|d| d.kept).count(),
                        "{name}"
                    );
                    "single points"
                }
                Caution::NoReserve { duty } => {
                    let bad = proof::bad_weather(plan, &check, &mut |_, _, _| true);
                    assert_eq!(
                        (bad.days, bad.breaks.map(|b| b.duty)),
                        (0, Some(*duty)),
                        "{name}"
                    );
                    "no reserve"
                }
                Caution::Spilled { sources, spilled } => {
                    let sum: Energy = sources.iter().map(|(_, energy)| *energy).sum();
                    assert_eq!(sum, spilled.0, "{name}");
                    assert!(spilled.0 * 20 >= spilled.1, "{name}");
                    "spilled"
                }
            };
            *seen.entry(kind).or_default() += 1;
        }
        let all = check.duties.iter().enumerate().filter(|(_, d)| !d.kept);
        assert_eq!(broken, all.map(|(at, _)| at).collect(), "{name}");
        let problems = told
            .watch
            .iter()
            .filter(|c| matches!(c, Caution::Problem(_)));
        assert_eq!(problems.count(), check.problems.len(), "{name}");
    };
    duties::plans().each(PLANS, |case| {
        holds(&format!("plan {}", case.seed), &plan_of(&case.document))
    });
    all_examples()
        .iter()
        .for_each(|(name, plan)| holds(name, plan));
    assert_eq!(seen.len(), 10, "every kind is met: {seen:?}");
}

/// Everything that an explanation says, with the parts that its data names; `None` where words may name only some.
fn all_said(plan: &Plan, told: &Explanation) -> Vec<(Passage, Vec<PartId>)> {
    let words = ExplainWords::new(plan, told);
    let mut all = vec![(words.heading(), Vec::new())];
    all.extend(
        told.groups
            .iter()
            .map(|group| (words.group(group), group.parts.clone())),
    );
    for story in &told.parts {
        let mut parts = vec![story.part.clone()];
        let joined = story.fed_by.iter().chain(&story.signals);
        parts.extend(joined.map(|joined| joined.other.clone()));
        all.push((words.story(story), parts));
    }
    all.extend(told.day.iter().map(|step| (words.step(step), step.parts())));
    all.extend(
        told.dull
            .iter()
            .map(|news| (words.dull(news), news.parts(plan))),
    );
    for caution in &told.watch {
        // Words that other rooms make name what they need.
        let parts = match caution {
            Caution::Problem(_) => Vec::new(),
            Caution::Broken { duty, .. } => vec![plan.duties[*duty].part.clone()],
            _ => caution.parts(plan),
        };
        all.push((words.caution(caution), parts));
    }
    all
}

/// Holds words against their form and their links against the plan.
fn words_hold(name: &str, plan: &Plan, told: &Explanation) {
    for (passage, parts) in all_said(plan, told) {
        let text = passage.text();
        assert!(text.ends_with('.'), "{name}: {text}");
        let marks = |c: char| ('\u{E000}'..='\u{E001}').contains(&c);
        assert!(
            !text.contains("  ")
                && !text.contains(",,")
                && !text.contains(" .")
                && !text.contains(" ,"),
            "{name}: {text}"
        );
        assert!(!text.contains(marks), "{name}: {text}");
        let mut named = BTreeSet::new();
        for piece in &passage.pieces {
            match &piece.link {
                Some(LinkTarget::Part(id)) => {
                    assert!(plan.part(id).is_some(), "{name}: {id}");
                    assert_eq!(piece.text, plan.called(id), "{name}");
                    named.insert(id.clone());
                }
                Some(LinkTarget::Wire(id)) => assert!(plan.wire(id).is_some(), "{name}: {id}"),
                Some(LinkTarget::Duty(at)) => assert!(*at < plan.duties.len(), "{name}"),
                Some(LinkTarget::Time(t)) => {
                    let clock = Clock::at(*t, plan.world.day_ms()).to_string();
                    let is_end = *t == told.shown.to && piece.text == "24:00";
                    assert!(is_end || piece.text == clock, "{name}: {text}");
                }
                None => {}
            }
        }
        let missing = parts.iter().filter(|id| !named.contains(id)).count();
        assert!(
            missing == 0 || text.contains(" more"),
            "{name}: {text} lacks {parts:?}"
        );
    }
}

/// An energy as it is said: to a tenth, a little one in more places.
fn energy_said(plan: &Plan, energy: Energy) -> String {
    let unit = &plan.book.book.unit;
    match unit.hours(energy) {
        hours if hours.abs() < 0.1 && plan.world.day_ms() < 600_000 => {
            let places = format!("{hours:.6}");
            let short = places.trim_end_matches('0').trim_end_matches('.');
            format!("{short} {}·h", unit.sign)
        }
        _ => unit.say_energy(energy),
    }
}

/// Amounts and times of a part's data that its words must have.
fn amounts_said(plan: &Plan, told: &Explanation) {
    let words = ExplainWords::new(plan, told);
    let unit = &plan.book.book.unit;
    let clock = |t: Ms| match t == told.shown.to {
        true => "24:00".to_string(),
        false => Clock::at(t, plan.world.day_ms()).to_string(),
    };
    for story in &told.parts {
        let text = words.story(story).text();
        let mut expected: Vec<String> = Vec::new();
        let mut stretches = |so: &Stretches| {
            if so.count as usize == so.first.len() && so.first != [(told.shown.from, told.shown.to)]
            {
                for (a, b) in &so.first {
                    expected.extend((*a > told.shown.from).then(|| clock(*a)));
                    expected.extend((*b < told.shown.to).then(|| clock(*b)));
                }
            }
        };
        match &story.did {
            PartDeed::Source {
                most,
                gives,
                available,
                ..
            } if gives.count > 0 => {
                stretches(gives);
                expected.extend([unit.say_power(most.0), energy_said(plan, *available)]);
            }
            PartDeed::Battery {
                lowest,
                given,
                taken,
                off,
                ..
            } => {
                stretches(off);
                expected.push(energy_said(plan, lowest.0));
                let moved = [*given, *taken].map(|energy| energy_said(plan, energy));
                expected.extend(moved.into_iter().filter(|_| *given + *taken > 0));
            }
            PartDeed::Load { draw, runs, short } => {
                stretches(runs);
                stretches(short);
                expected.push(unit.say_power(*draw));
            }
            PartDeed::Changeover {
                least, on_backup, ..
            } => {
                stretches(on_backup);
                expected.push(unit.say_power(*least));
            }
            PartDeed::Tap { amount, sets, .. } if story.feeds.iter().any(|j| j.port == "tap") => {
                stretches(sets);
                expected.push(unit.say_power(*amount));
            }
            _ => {}
        }
        for amount in expected {
            assert!(
                text.contains(&amount),
                "{}: {text} lacks {amount}",
                story.part
            );
        }
        for step in &told.day {
            let text = words.step(step).text();
            assert!(text.starts_with(&format!("{}: ", clock(step.t))), "{text}");
        }
        let loads = story
            .without
            .breaks
            .iter()
            .map(|duty| &plan.duties[*duty].part);
        let loads = loads
            .filter(|id| **id != story.part)
            .chain(&story.without.stops);
        for name in loads.map(|id| plan.called(id)) {
            let in_few = ["every", "all other loads", " more "]
                .iter()
                .any(|few| text.contains(few));
            assert!(text.contains(&name) || in_few, "{text} lacks {name}");
        }
    }
}

#[test]
fn words_say_what_their_data_says_and_link_what_there_is() {
    duties::plans().each(PLANS, |case| {
        let plan = plan_of(&case.document);
        let told = explain(&plan);
        words_hold(&format!("plan {}", case.seed), &plan, &told);
        amounts_said(&plan, &told);
    });
    for (name, plan) in all_examples() {
        let told = explain(&plan);
        words_hold(name, &plan, &told);
        amounts_said(&plan, &told);
    }
}

#[test]
fn an_explanation_is_the_same_in_steps_and_goes_over_as_text() {
    duties::plans().each(20, |case| {
        let plan = plan_of(&case.document);
        let told = explain(&plan);
        let mut search = ExplanationSearch::new(&plan);
        let mut before = 0;
        while !search.go(1) {
            let (done, of) = search.progress();
            assert!(before <= done && done <= of);
            before = done;
        }
        assert_eq!(search.progress().0, search.progress().1);
        assert_eq!(search.finish(), told);
        let study = Arc::new(Study::new(plan.clone()));
        study.check();
        let mut search = ExplanationSearch::of(&study);
        while !search.go(3) {}
        assert_eq!(search.finish(), told);
        let text = serde_json::to_string(&told).expect("data");
        assert_eq!(
            serde_json::from_str::<Explanation>(&text).expect("its text"),
            told
        );
    });
}

#[test]
fn names_are_only_names() {
    let text = examples()[0].1;
    let mut document: Value = serde_json::from_str(text).expect("JSON");
    let hostile = [
        "\u{E000}1\u{E001}",
        "<b>",
        "a\nb",
        "\u{E001}\u{E000}",
        "Without it",
        ": ",
        "\u{202E}x",
        "\u{E000}99999999999999999999\u{E001}",
    ];
    for (at, part) in document["parts"]
        .as_array_mut()
        .expect("parts")
        .iter_mut()
        .enumerate()
    {
        part["name"] = hostile[at % hostile.len()].into();
    }
    document["duties"] = json!([]);
    let loads = document["parts"].as_array().expect("parts").clone();
    let plan = plan_of(&document);
    let is_load = |part: &Value| {
        let known = plan
            .part(&part["id"].as_str().expect("an id").into())
            .expect("a part");
        matches!(plan.spec(known), Some(Spec::Load { .. }))
    };
    let load = loads.iter().find(|part| is_load(part)).expect("a load");
    document["duties"] = json!([{ "part": load["id"], "when": "dark", "only": true }]);
    document["wires"].as_array_mut().expect("wires").truncate(3);
    let plan = plan_of(&document);
    let told = explain(&plan);
    assert!(
        told.watch
            .iter()
            .any(|caution| matches!(caution, Caution::Broken { .. }))
    );
    for (passage, _) in all_said(&plan, &told) {
        for piece in &passage.pieces {
            if let Some(LinkTarget::Part(id)) = &piece.link {
                assert_eq!(piece.text, plan.called(id));
            }
        }
    }
    let output = program::run(&["explain", "-"], &document.to_string());
    assert_eq!(output.status.code(), Some(1));
    let lines = out(&output).lines();
    assert!(
        lines
            .clone()
            .all(|line| !line.contains(|c: char| c.is_control()))
    );
    let whole = |line: &str| line.is_empty() || line.starts_with("- ") || !line.contains("a\nb");
    assert!(lines.into_iter().all(whole));
}

/// The groups of a plan of the book `outpost`, given as ids with types and settings, and wires.
fn groups(parts: &[(&str, &str, Value)], wires: &[&str]) -> (Plan, Vec<PartGroup>) {
    let part =
        |(id, kind, set): &(&str, &str, Value)| json!({ "id": id, "type": kind, "set": set });
    let wire = |(at, wire): (usize, &&str)| {
        let (from, to) = wire.split_once(' ').expect("two ends");
        json!({ "id": format!("w{at}"), "from": from, "to": to })
    };
    let document = json!({
        "format": "duskline/plan", "version": 1, "title": "", "book": "outpost", "world": {},
        "parts": parts.iter().map(part).collect::<Vec<_>>(),
        "wires": wires.iter().enumerate().map(wire).collect::<Vec<_>>(), "duties": [],
    });
    let plan = plan_of(&document);
    let groups = explain(&plan).groups;
    (plan, groups)
}

fn kinds(groups: &[PartGroup]) -> Vec<&'static str> {
    let kind = |group: &PartGroup| match group.kind {
        GroupKind::Bank { .. } => "bank",
        GroupKind::DuskRelay { .. } => "dusk relay",
        GroupKind::Switchover { .. } => "switchover",
        GroupKind::Shares { .. } => "shares",
        GroupKind::Line { .. } => "line",
        GroupKind::SealIn { .. } => "seal-in",
        GroupKind::Command { .. } => "command",
        GroupKind::Float { .. } => "float",
    };
    groups.iter().map(kind).collect()
}

#[test]
fn the_station_s_groups_are_found_from_its_wires() {
    let plan = read_plan(include_str!("../assets/examples/kittiwake-light.json")).expect("a plan");
    let mut renamed = plan.clone();
    renamed
        .parts
        .iter_mut()
        .for_each(|part| part.name = String::new());
    let found = explain(&plan).groups;
    assert_eq!(found, explain(&renamed).groups, "names tell nothing");
    assert_eq!(
        kinds(&found),
        [
            "bank",
            "dusk relay",
            "switchover",
            "shares",
            "shares",
            "shares",
            "line",
            "line",
            "seal-in",
            "command",
            "command"
        ]
    );
    let seal = &found[8];
    assert_eq!(
        seal.kind,
        GroupKind::SealIn {
            contact: "p19".into(),
            over: vec!["p20".into()],
            starts: vec!["p22".into()],
            stops: vec!["p18".into()],
        }
    );
}

#[test]
fn a_group_is_told_only_where_it_is_one() {
    let none = || json!({});
    let parts = |first: &'static str, contact: Value| {
        vec![
            ("a", first, none()),
            ("tap", "tap", none()),
            ("cell", "battery", none()),
            ("relay", "relay", contact),
            ("lamp", "lamp", none()),
        ]
    };
    let wires = [
        "a.out tap.in",
        "tap.tap relay.coil",
        "tap.rest cell.in",
        "cell.out relay.feed",
        "relay.out lamp.in",
    ];
    let breaks = || json!({ "contact": "break" });
    let (_, dusk) = groups(&parts("sun-panel", breaks()), &wires);
    assert_eq!(kinds(&dusk), ["dusk relay"]);
    // A generator gives day and night: then the tap is only what works the relay.
    let (_, steady) = groups(&parts("generator", breaks()), &wires);
    assert_eq!(kinds(&steady), ["command"]);
    // A relay that cuts its own coil off holds nothing.
    let buzzer = [
        ("gen", "generator", none()),
        ("relay", "relay", breaks()),
        ("tap", "tap", none()),
    ];
    let wires = [
        "gen.out relay.feed",
        "relay.out tap.in",
        "tap.tap relay.coil",
    ];
    assert_eq!(kinds(&groups(&buzzer, &wires).1), ["command"]);
    // A relay that only feeds itself is never started.
    let alone = [
        ("gen", "generator", none()),
        ("relay", "relay", none()),
        ("tap", "tap", none()),
    ];
    assert_eq!(kinds(&groups(&alone, &wires).1), ["command"]);
    // Over a busbar a button starts it.
    let started = [
        ("gen", "generator", none()),
        ("two", "divider-2", none()),
        ("push", "button", none()),
        ("bar", "busbar-2", none()),
        ("relay", "relay", none()),
        ("tap", "tap", none()),
        ("lamp", "lamp", none()),
    ];
    let wires = [
        "gen.out two.in",
        "two.out1 push.feed",
        "two.out2 relay.feed",
        "push.out bar.in1",
        "relay.out tap.in",
        "tap.tap bar.in2",
        "bar.out relay.coil",
        "tap.rest lamp.in",
    ];
    let (_, sealed) = groups(&started, &wires);
    assert_eq!(kinds(&sealed), ["shares", "seal-in"]);
    let GroupKind::SealIn {
        over,
        starts,
        stops,
        ..
    } = &sealed[1].kind
    else {
        panic!("a seal-in");
    };
    assert_eq!(
        (over, starts, stops),
        (
            &vec!["tap".into(), "bar".into()],
            &vec!["push".into()],
            &vec![]
        )
    );
    // One source is no bank, and nor is a battery beside a panel.
    let mixed = [
        ("sun", "sun-panel", none()),
        ("cell", "battery", none()),
        ("bar", "busbar-2", none()),
        ("lamp", "lamp", none()),
    ];
    let wires = ["sun.out bar.in1", "cell.out bar.in2", "bar.out lamp.in"];
    assert!(groups(&mixed, &wires).1.is_empty());
    // A charge contact that watches no battery floats on none.
    let float = |watches: &str| {
        let set = json!({ "watches": watches });
        let parts = [
            ("gen", "generator", none()),
            ("float", "charge", set),
            ("cell", "battery", none()),
        ];
        kinds(&groups(&parts, &["gen.out float.feed", "float.out cell.in"]).1)
    };
    assert_eq!(float("cell"), ["float"]);
    assert!(float("gen").is_empty() && float("nobody").is_empty());
}

#[test]
fn one_part_is_told_with_all_that_speaks_of_it() {
    let file = "assets/examples/dusk-lamp.json";
    let by_name = program::run(&["explain", file, "--part", "Dusk tap", "--json"], "");
    let by_id = program::run(&["explain", file, "--part", "p2", "--json"], "");
    assert_eq!(
        (out(&by_name), by_name.status.code()),
        (out(&by_id), Some(0))
    );
    let told: Value = serde_json::from_str(out(&by_id)).expect("JSON");
    assert_eq!(told["parts"].as_array().map(Vec::len), Some(1));
    assert_eq!(told["parts"][0]["part"], "p2");
    let whole = program::run(&["explain", file, "--json"], "");
    let whole: Value = serde_json::from_str(out(&whole)).expect("JSON");
    for list in ["groups", "day", "dull", "watch"] {
        let has = |item: &&Value| {
            item["parts"]
                .as_array()
                .is_some_and(|p| p.contains(&json!("p2")))
        };
        let of_it: Vec<&Value> = whole[list]
            .as_array()
            .expect("a list")
            .iter()
            .filter(has)
            .collect();
        assert_eq!(
            told[list]
                .as_array()
                .expect("a list")
                .iter()
                .collect::<Vec<_>>(),
            of_it,
            "{list}"
        );
    }
    let readable = program::run(&["explain", file, "--part", "p2"], "");
    assert!(
        out(&readable).contains("sets up to 1 u aside for the coil of Dusk relay"),
        "{}",
        out(&readable)
    );
}

#[test]
fn json_has_what_is_promised_and_faults_end_with_2() {
    for (_, text) in examples() {
        let output = program::run(&["explain", "-", "--json"], text);
        let told: Value = serde_json::from_str(out(&output)).expect("JSON");
        let plan = read_plan(text).expect("an example");
        let exists = |id: &Value| plan.part(&id.as_str().expect("an id").into()).is_some();
        let list = |value: &Value| value.as_array().expect("a list").clone();
        for item in ["groups", "day", "watch"]
            .iter()
            .flat_map(|name| list(&told[*name]))
        {
            assert!(
                item["says"]
                    .as_str()
                    .is_some_and(|says| says.ends_with('.')),
                "{item}"
            );
            assert!(list(&item["parts"]).iter().all(exists), "{item}");
        }
        assert!(list(&told["day"]).iter().all(|step| step["t"].is_u64()));
        for (part, known) in list(&told["parts"]).iter().zip(&plan.parts) {
            assert_eq!(part["part"], known.id.as_str());
            assert!(list(&part["without"]["breaks"]).iter().all(Value::is_u64));
            assert!(list(&part["without"]["stops"]).iter().all(exists));
        }
        assert_eq!(list(&told["parts"]).len(), plan.parts.len());
    }
    let wrong = program::run(
        &["explain", "assets/examples/dusk-lamp.json", "--part", "p99"],
        "",
    );
    assert_eq!(wrong.status.code(), Some(2));
    assert_eq!(
        err(&wrong),
        "--part p99: found no such part, expected a part's id or name\n"
    );
    let unread = program::run(&["explain", "-"], "{}");
    assert_eq!(unread.status.code(), Some(2));
}

#[test]
fn plans_with_little_in_them_are_explained_too() {
    for parts in [
        json!([]),
        json!([{ "id": "p1", "type": "lamp" }]),
        json!([{ "id": "p1", "type": "battery" }]),
    ] {
        let document = json!({
            "format": "duskline/plan", "version": 1, "book": "outpost", "world": {}, "parts": parts, "wires": [],
            "duties": [],
        });
        let plan = plan_of(&document);
        let told = explain(&plan);
        words_hold("little", &plan, &told);
        assert_eq!(told.parts.len(), plan.parts.len());
    }
}
