//! Why a duty is broken: for each gap, what holds the load off, or lets it run, as data. The words are in
//! [`super::phrases`].
//!
//! The run is gone through once more. Within a gap the way up the wires is walked at its first moment and after every
//! event, so a reason that comes or goes within the gap is seen; the reason that holds longest is told first. What is
//! told holds for as long as the reason does. What would be enough is found by [`super::reserve`].

use super::check::{Check, Judge};
use super::clause::{Clause, Kind, Range};
use super::past::Past;
use super::reserve::{self, Want};
use super::stretch::{Stretch, stretches};
use super::upstream::{Key, Memo, Reason, Scene};
use super::words::Dial;
use crate::plan::{Function, PartId, Plan, Spec, WireId};
use crate::quantity::Ms;
use crate::run::{Clockwork, Engine, Record, Stop, What};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// How many reasons of one gap are told.
const PIECES: usize = 3;

/// The cause of one gap.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Cause {
    /// The load.
    pub load: PartId,
    /// The gap, in milliseconds since midnight of day 1.
    pub from: Ms,
    /// Its end, or that of what was looked at where it goes on beyond.
    pub to: Ms,
    /// Where it really ends.
    pub ends: GapEnd,
    /// Whether the load runs though it should be off.
    pub on: bool,
    /// Whether the load ran up to the gap.
    pub ran_before: bool,
    /// The days that were run, which tell how moments are said.
    pub dial: Dial,
    /// How many days were looked through, where the run does not repeat; `None` where what does not happen never does.
    pub looked: Option<u64>,
    /// The reasons, the one that holds longest first.
    pub reasons: Vec<HeldReason>,
    /// What would be enough, where that is known.
    pub enough: Option<reserve::Enough>,
    /// The parts concerned, the load first.
    pub parts: Vec<PartId>,
    /// The wires concerned, the load's first.
    pub wires: Vec<WireId>,
}

/// A reason, and for how long of the gap it holds.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct HeldReason {
    /// For how long.
    pub held: Ms,
    /// The steps up the wires, nearest the load first; each because of those that follow.
    pub clauses: Vec<Clause<PartId, WireId>>,
}

impl Cause {
    /// Whether an amount for a day is told.
    pub fn is_per_day(&self) -> bool {
        self.enough.as_ref().is_some_and(|n| n.daily.is_some())
    }
}

/// A gap while it is looked into.
struct Case {
    duty: usize,
    load: usize,
    from: Ms,
    to: Ms,
    on: bool,
    /// The reasons found, how long each holds, and from when it first does.
    found: BTreeMap<Key, (Ms, Ms, Reason)>,
    /// The reason that holds now, and since when.
    now: Option<(Key, Ms)>,
}

impl Case {
    /// Counts the present reason up to `t`.
    fn count(&mut self, t: Ms) {
        if let Some((key, since)) = &mut self.now
            && let Some((held, _, _)) = self.found.get_mut(key)
        {
            *held += t.min(self.to).saturating_sub(*since);
            *since = t.min(self.to);
        }
    }

    fn look(&mut self, scene: Scene) {
        let reason = scene.reason(self.load, self.on);
        let key = reason.key();
        self.count(scene.t);
        match self.found.get_mut(&key) {
            Some((_, _, before)) => before.join(&reason),
            None => {
                self.found.insert(key.clone(), (0, scene.t, reason));
            }
        }
        self.now = Some((key, scene.t));
    }
}

/// The cause of each gap of `check`, which is the check of `plan`: by duty, then by gap. `watch` is told how many
/// milliseconds of the run are done, and of how many.
pub fn causes(plan: &Plan, check: &Check, watch: &mut dyn FnMut(Ms, Ms)) -> Vec<Vec<Cause>> {
    let dial = Dial {
        day_ms: plan.world.day_ms(),
        days: check.days,
    };
    let mut cases = cases(plan, check);
    let end = cases.iter().map(|c| c.to).max().unwrap_or(0);
    let mut all: Vec<Vec<Cause>> = check.duties.iter().map(|_| Vec::new()).collect();
    if cases.is_empty() {
        return all;
    }
    // What comes after the gaps is looked up: when an empty battery is back. Two rounds of days hold all that repeats.
    let beyond = check.days.max(1).saturating_mul(dial.day_ms);
    let mut record = recorded(plan, end.saturating_add(beyond.min(dial.day_ms * 8)));
    let ends: Vec<GapEnd> = cases
        .iter()
        .map(|c| real_end(plan, check, dial, &record, c))
        .collect();
    let last = ends.iter().filter_map(|end| end.moment()).max();
    if let Some(last) = last.filter(|last| *last > record.end && record.complete) {
        record = recorded(plan, last.saturating_add(dial.day_ms));
    }
    let round = check
        .repeats
        .map(|earlier| (earlier * dial.day_ms, check.days * dial.day_ms));
    look_into(plan, &record, round, &mut cases, &mut |done| {
        watch(done, end)
    });
    let needs = needs(plan, &record, &cases, &ends, check.for_ever);
    for ((case, end), need) in cases.iter().zip(ends).zip(needs) {
        all[case.duty].push(tell(plan, check, dial, &record, (case, end), need));
    }
    all
}

fn recorded(plan: &Plan, end: Ms) -> Record {
    let mut engine = Engine::recording(plan);
    engine.advance(end);
    engine.into_record(plan, end)
}

fn cases(plan: &Plan, check: &Check) -> Vec<Case> {
    let mut cases = Vec::new();
    for (duty, verdict) in check.duties.iter().enumerate() {
        let Some(load) = plan.parts.iter().position(|p| p.id == verdict.part) else {
            continue;
        };
        cases.extend(verdict.gaps.iter().map(|gap| Case {
            duty,
            load,
            from: gap.from,
            to: gap.to,
            on: gap.on,
            found: BTreeMap::new(),
            now: None,
        }));
    }
    cases
}

/// Goes through the run and walks up from the load of each gap, at its start and after each event in it.
fn look_into(
    plan: &Plan,
    record: &Record,
    round: Option<(Ms, Ms)>,
    cases: &mut [Case],
    watch: &mut dyn FnMut(Ms),
) {
    let mut order: Vec<usize> = (0..cases.len()).collect();
    order.sort_by_key(|at| cases[*at].from);
    let mut coming = order.into_iter().peekable();
    let mut open: Vec<usize> = Vec::new();
    let mut engine = Engine::new(plan);
    let memo = Memo::default();
    let mut past = Past::new(&engine);
    loop {
        let start = coming.peek().map(|at| cases[*at].from);
        let last = open.iter().map(|at| cases[*at].to).max();
        let Some(stop) = start.into_iter().chain(last).min() else {
            return;
        };
        let events = engine.events();
        let paused = !(open.is_empty() && past.is_empty()) && {
            engine.advance_some(stop, 1);
            engine.events() > events
        };
        let t = if paused { engine.now() } else { stop };
        if !paused && engine.advance(stop.saturating_add(1)) == Stop::TooManyEvents {
            coming.by_ref().for_each(|at| open.push(at));
        }
        past.look(&engine, t);
        while let Some(at) = coming.next_if(|at| cases[*at].from <= t) {
            open.push(at);
            watch(t);
        }
        open.retain(|at| {
            let case = &mut cases[*at];
            if t < case.to {
                case.look(Scene {
                    plan,
                    engine: &engine,
                    record,
                    memo: &memo,
                    past: &past,
                    round,
                    t,
                });
            } else {
                case.count(t);
            }
            t < case.to
        });
    }
}

/// Where a gap really ends: one that the end of the check cuts off goes on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum GapEnd {
    /// At a moment, in milliseconds since midnight of day 1.
    At(Ms),
    /// It goes on for ever.
    Never,
    /// Not within what was looked at.
    Unknown,
}

impl GapEnd {
    /// The moment, where it is known.
    pub fn moment(self) -> Option<Ms> {
        match self {
            GapEnd::At(t) => Some(t),
            GapEnd::Never | GapEnd::Unknown => None,
        }
    }
}

fn real_end(plan: &Plan, check: &Check, dial: Dial, record: &Record, case: &Case) -> GapEnd {
    let last = check.days * dial.day_ms;
    if case.to < last {
        return GapEnd::At(case.to);
    }
    let applies = Clockwork::of_duty(plan.duties[case.duty].when, &plan.world, &plan.world.sky());
    let runs = record.loads.get(&case.load).map_or(&[][..], |l| &l.runs);
    let gap = Stretch {
        from: case.from,
        to: case.to,
        on: case.on,
    };
    if check.for_ever {
        let judge = Judge {
            day: dial.day_ms,
            end: last,
            earlier: check.repeats,
        };
        let lasts = judge.lasts(&gap, &stretches(&applies, runs, last));
        return lasts.map_or(GapEnd::Never, |length| GapEnd::At(case.from + length));
    }
    let all = stretches(&applies, runs, record.end);
    let whole = all
        .iter()
        .find(|s| s.from == case.from && s.on == case.on && s.to < record.end);
    whole.map_or(GapEnd::Unknown, |whole| GapEnd::At(whole.to))
}

/// The reason that held longest, the earlier of equals.
fn main_reason(case: &Case) -> Option<&(Ms, Ms, Reason)> {
    let reasons = case.found.values();
    reasons.max_by_key(|(held, from, _)| (*held, std::cmp::Reverse(*from)))
}

/// For each gap that an empty battery makes, what would have been enough.
fn needs(
    plan: &Plan,
    record: &Record,
    cases: &[Case],
    ends: &[GapEnd],
    for_ever: bool,
) -> Vec<Option<reserve::Enough>> {
    let mut wants: Vec<(Ms, usize, Want)> = Vec::new();
    for (at, (case, end)) in cases.iter().zip(ends).enumerate() {
        if *end == GapEnd::Unknown {
            continue;
        }
        let Some((_, since, reason)) = main_reason(case).filter(|_| !case.on) else {
            continue;
        };
        if let Some(battery) = reason.empty {
            let gone = |c: &Clause| c.kind == Kind::Off(battery) && c.until.is_never();
            let is_gone = reason.clauses.iter().any(gone);
            let want = Want {
                battery,
                load: case.load,
                from: case.from,
                to: end.moment(),
                is_gone: for_ever && is_gone,
                grace: plan.duties[case.duty].grace_ms(),
            };
            wants.push((reserve::output_off_since(record, battery, *since), at, want));
        }
    }
    wants.sort_by_key(|(off, at, _)| (*off, *at));
    let mut engine = Engine::new(plan);
    let mut all: Vec<Option<reserve::Enough>> = cases.iter().map(|_| None).collect();
    for (off, at, want) in wants {
        // A battery that starts empty has no moment at which it went off.
        if off > 0 && engine.advance(off) == Stop::Complete {
            all[at] = reserve::enough_for(&engine, plan, record, want, off);
        }
    }
    all
}

fn tell(
    plan: &Plan,
    check: &Check,
    dial: Dial,
    record: &Record,
    (case, ends): (&Case, GapEnd),
    need: Option<reserve::Enough>,
) -> Cause {
    let whole = case.to - case.from;
    let mut reasons: Vec<&(Ms, Ms, Reason)> = case.found.values().collect();
    reasons.sort_by_key(|(held, from, _)| (std::cmp::Reverse(*held), *from));
    // What holds for less than a twentieth of the gap does not make it.
    let told: Vec<_> = reasons
        .iter()
        .take(PIECES)
        .enumerate()
        .filter(|(at, (held, _, _))| *at == 0 || held.saturating_mul(20) >= whole)
        .map(|(_, r)| *r)
        .collect();
    let (mut parts, mut wires) = (Vec::new(), Vec::new());
    for (_, _, reason) in &told {
        parts.extend(reason.parts.iter().copied());
        wires.extend(reason.wires.iter().copied());
    }
    let runs = record.loads.get(&case.load).map_or(&[][..], |l| &l.runs);
    let reasons = told.iter().map(|(held, _, reason)| HeldReason {
        held: *held,
        clauses: (reason.clauses.iter())
            .map(|clause| settled(plan, record, case.to, *clause).told(plan))
            .collect(),
    });
    Cause {
        load: plan.parts[case.load].id.clone(),
        from: case.from,
        to: case.to,
        ends,
        on: case.on,
        ran_before: runs.iter().any(|(_, to)| *to == case.from),
        dial,
        looked: (!check.for_ever).then(|| record.end / dial.day_ms.max(1)),
        reasons: reasons.collect(),
        enough: need,
        parts: once(&parts).map(|p| plan.parts[p].id.clone()).collect(),
        wires: once(&wires).map(|w| plan.wires[w].id.clone()).collect(),
    }
}

/// The clause with only such moments as hold: up to `to`, the end of the gap, what was seen is known to hold.
fn settled(plan: &Plan, record: &Record, to: Ms, clause: Clause) -> Clause {
    let (mut until, mut enough) = (clause.until, clause.enough);
    match clause.kind {
        Kind::Source(part) => {
            enough = enough.only_if(|t| gives_within(record, part, clause.amount, to, t));
        }
        Kind::Contact(state) => {
            if let Some(Spec::Contact { function, .. }) = plan.spec(&plan.parts[state.part])
                && matches!(
                    function,
                    Function::OnDelay(_) | Function::OffDelay(_) | Function::Pulse(_)
                )
            {
                let lag = plan.book.book.lag_ms.max(1);
                until = until.only_if(|t| turns_at(record, state.part, t, lag));
            }
        }
        _ => {}
    }
    Clause {
        until,
        enough,
        ..clause
    }
}

/// Whether the source stays within the range from `to`, the end of the gap, up to `t`.
fn gives_within(record: &Record, part: usize, range: Range, to: Ms, t: Ms) -> bool {
    let Some(source) = record.sources.get(&part) else {
        return false;
    };
    let from = source.could.partition_point(|(at, _)| *at <= to);
    let later = source.could[from.saturating_sub(1)..].iter();
    let mut later = later.take_while(|(at, _)| *at < t);
    t <= record.end && (t <= to || later.all(|(_, s)| (range.least..=range.most).contains(s)))
}

/// Whether the contact does change when its timer ends: its trigger may drop or return before.
fn turns_at(record: &Record, part: usize, end: Ms, lag: Ms) -> bool {
    let events = &record.events;
    let from = events.partition_point(|e| e.t < end);
    let soon = events[from..].iter().take_while(|e| e.t <= end + lag);
    let turns = |e: &crate::run::Event| matches!(e.what, What::Closes | What::Opens);
    soon.into_iter().any(|e| e.place() == part && turns(e))
}

/// Each once, in the order in which they come.
fn once(places: &[usize]) -> impl Iterator<Item = usize> {
    let first = |at: usize| !places[..at].contains(&places[at]);
    (0..places.len())
        .filter(move |at| first(*at))
        .map(|at| places[at])
}
