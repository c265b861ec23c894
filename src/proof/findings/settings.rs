//! Changes of one part's settings that may keep a broken duty; they cost nothing. Which settings are worth trying follows
//! from what the part does and from when the duty applies. Clock times in minutes of the dial, powers in steps.

use super::Simulation;
use super::candidate::Candidate;
use super::hours::{clock, hours, span};
use super::needless::DARK;
use crate::book::Profile;
use crate::plan::{Conditions, Edit, End, Function, Spec};
use serde_json::{Value, json};

/// The most parts of which settings are tried, the nearest first.
const PARTS: usize = 12;
/// Ways in which the nearest panel is tried to be turned: azimuth and tilt.
const AIMS: [(u64, u64); 8] = [
    (180, 35),
    (90, 35),
    (270, 35),
    (180, 65),
    (90, 65),
    (270, 65),
    (0, 35),
    (180, 0),
];
/// Thresholds of a charge contact that are tried, in per mille.
const LEVELS: [(u64, u64); 4] = [(50, 100), (100, 200), (500, 600), (900, 1000)];

/// What is set, and how the sentence names it.
struct Setter<'a> {
    seen: &'a Simulation,
    part: usize,
    out: Vec<Candidate>,
    /// What turns a contact round: it comes after all else.
    turned: Vec<Candidate>,
}

impl<'a> Setter<'a> {
    fn new(seen: &'a Simulation, part: usize) -> Setter<'a> {
        Setter {
            seen,
            part,
            out: Vec::new(),
            turned: Vec::new(),
        }
    }
}

impl Setter<'_> {
    /// Adds a change of these settings; `how` goes on from the part's name.
    fn add(&mut self, how: &str, set: &[(&str, Value)]) {
        let name = self.seen.name(self.part);
        let id = self.seen.id(self.part);
        let edit = |(key, value): &(&str, Value)| {
            Edit::Set(id.clone(), (*key).to_string(), Some(value.clone()))
        };
        self.out.push(Candidate::new(
            format!("{name} {how}"),
            format!("have {name} {how}"),
            set.iter().map(edit).collect(),
        ));
    }
}

/// The changes of settings of what leads to a load, for one of its duties. `from_first` says that the duty is broken
/// only before the days that repeat.
pub fn changes(seen: &Simulation, load: usize, duty: usize, from_first: bool) -> Vec<Candidate> {
    let Some(of) = seen.plan.duties.get(duty) else {
        return Vec::new();
    };
    let ahead = leading(seen, load, duty);
    let (mut out, mut turned) = (Vec::new(), Vec::new());
    for part in ahead.iter().copied().take(PARTS) {
        let mut setter = Setter::new(seen, part);
        match &seen.specs[part] {
            Some(Spec::Contact {
                breaks, function, ..
            }) => contact(&mut setter, *breaks, function, of.when, &ahead),
            Some(Spec::Tap(width)) => tap(&mut setter, load, *width),
            Some(Spec::Changeover(least)) => changeover(&mut setter, load, *least),
            Some(Spec::Battery { .. }) if from_first => {
                setter.add("full at the start", &[("start", json!(1000))]);
            }
            _ => {}
        }
        out.append(&mut setter.out);
        turned.append(&mut setter.turned);
    }
    out.append(&mut turned);
    let is_panel = |at: &&usize| {
        matches!(
            seen.specs[**at],
            Some(Spec::Source {
                profile: Profile::Sun,
                ..
            })
        )
    };
    if let Some(panel) = ahead.iter().find(is_panel) {
        let mut setter = Setter::new(seen, *panel);
        for (azimuth, tilt) in AIMS {
            let set = [("azimuth", json!(azimuth)), ("tilt", json!(tilt))];
            setter.add(&format!("turned to {azimuth}° and tilted {tilt}°"), &set);
        }
        out.append(&mut setter.out);
    }
    out
}

/// The parts that lead to a load, by feed or by signal: those that the causes name first, then the nearest.
pub fn leading(seen: &Simulation, load: usize, duty: usize) -> Vec<usize> {
    let causes = seen.causes(duty).iter();
    let named = causes
        .flat_map(|c| &c.parts)
        .filter_map(|id| seen.place(id));
    let mut order: Vec<usize> = Vec::new();
    for at in named.chain(seen.ahead(load)) {
        if at != load && !order.contains(&at) {
            order.push(at);
        }
    }
    order
}

fn contact(
    setter: &mut Setter,
    breaks: bool,
    function: &Function,
    when: Conditions,
    ahead: &[usize],
) {
    let (kind, other) = match breaks {
        true => ("break", "make"),
        false => ("make", "break"),
    };
    let flip = ("contact", json!(other));
    let stretches = hours(setter.seen, when);
    let longest = stretches.iter().map(|(from, to)| match from < to {
        true => to - from,
        false => to + 1440 - from,
    });
    let day_ms = setter.seen.plan.world.day_ms();
    let longest = longest.max().unwrap_or(0);
    let seconds = u128::from(longest) * u128::from(day_ms) / 1_440_000;
    let seconds = u64::try_from(seconds).unwrap_or(0);
    let long = super::super::words::length(seconds * 1000);
    match function {
        Function::Manual { closed, schedule } => {
            manual(setter, breaks, *closed, schedule.is_empty(), &stretches);
        }
        Function::Clock(..) => time_switch(setter, breaks, &stretches),
        Function::Twilight(_) => {
            let wants_break = when.has("light");
            if wants_break != when.has("dark") {
                let below = ("below", json!(DARK));
                if wants_break == breaks {
                    setter.add(&format!("set to light below {DARK}"), &[below]);
                } else {
                    let how = format!("as a {other} contact, set to light below {DARK}");
                    setter.add(&how, &[flip.clone(), below]);
                }
            }
        }
        Function::Button { .. } if seconds > 0 => {
            setter.add(
                &format!("held for {long} a press"),
                &[("hold_s", json!(seconds))],
            );
        }
        Function::OnDelay(delay) if *delay > 0 => {
            setter.add("set to a delay of 0 s", &[("delay_s", json!(0))]);
        }
        Function::OffDelay(_) | Function::Pulse(_) if seconds > 0 => {
            setter.add(
                &format!("set to a delay of {long}"),
                &[("delay_s", json!(seconds))],
            );
        }
        Function::Latch { reset_wins } => {
            let wins = if *reset_wins { "set" } else { "reset" };
            setter.add(
                &format!("with {wins} dominant"),
                &[("dominant", json!(wins))],
            );
        }
        Function::Counter(target) => {
            for n in (1..*target).rev().take(3) {
                setter.add(&format!("set to a target of {n}"), &[("target", json!(n))]);
            }
        }
        Function::Charge { watches, .. } => {
            let seen = setter.seen;
            let batteries = (ahead.iter().copied())
                .filter(|at| matches!(seen.specs[*at], Some(Spec::Battery { .. })));
            for battery in batteries
                .take(2)
                .filter(|at| seen.id(*at).as_str() != watches)
            {
                let watch = ("watches", json!(seen.id(battery).as_str()));
                let name = seen.name(battery);
                setter.add(&format!("watching {name}"), std::slice::from_ref(&watch));
                let how = format!("watching {name} as a {other} contact");
                setter.add(&how, &[watch, flip.clone()]);
            }
        }
        _ => {}
    }
    let before = setter.out.len();
    setter.add(
        &format!("as a {other} contact instead of a {kind} contact"),
        &[flip],
    );
    setter.turned = setter.out.split_off(before);
    if let Function::Charge { low, high, .. } = function {
        for (l, h) in LEVELS.into_iter().filter(|pair| *pair != (*low, *high)) {
            let how = format!("set to {} % and {} %", l / 10, h / 10);
            setter.add(&how, &[("low", json!(l)), ("high", json!(h))]);
        }
    }
}

/// A switch thrown the other way for good, and thrown daily at the duty's hours.
fn manual(setter: &mut Setter, breaks: bool, closed: bool, plain: bool, stretches: &[(u64, u64)]) {
    let word = |closed: bool| if closed { "closed" } else { "open" };
    let does = |closed: bool| match (breaks, closed) {
        (false, _) => "",
        (true, true) => ", at which its break contact does not conduct,",
        (true, false) => ", at which its break contact conducts,",
    };
    let on = !breaks;
    if plain {
        let how = format!("set {}{}", word(!closed), does(!closed));
        let how = if breaks { how } else { word(!closed).into() };
        setter.add(&how, &[("closed", json!(!closed))]);
    } else {
        let how = format!("{} all day{}", word(on), does(on));
        setter.add(&how, &[("closed", json!(on)), ("schedule", json!([]))]);
    }
    if stretches.is_empty() || stretches == [(0, 1440)] {
        return;
    }
    let mut entries: Vec<(u64, bool)> = stretches
        .iter()
        .flat_map(|(from, to)| [(*from, on), (*to % 1440, !on)])
        .collect();
    entries.sort_unstable();
    let night = stretches.iter().any(|(from, to)| *from == 0 || to < from);
    let list: Vec<Value> = entries
        .iter()
        .map(|(at, closed)| json!([clock(*at), closed]))
        .collect();
    let said: Vec<String> = stretches.iter().map(|s| span(*s)).collect();
    let how = format!("{} from {}{}", word(on), said.join(" and "), does(on));
    let start = if night { on } else { !on };
    setter.add(&how, &[("closed", json!(start)), ("schedule", json!(list))]);
}

/// A time switch set to the duty's hours, where those are one stretch.
fn time_switch(setter: &mut Setter, breaks: bool, stretches: &[(u64, u64)]) {
    let [(from, to)] = *stretches else { return };
    let set = |from: u64, to: u64| [("from", json!(clock(from))), ("to", json!(clock(to)))];
    match (breaks, (from, to)) {
        // Equal times are no stretch at all.
        (true, (0, 1440)) => setter.add("set to no hours, 00:00 to 00:00,", &set(0, 0)),
        (true, (from, to)) => {
            let how = format!(
                "set to {}, outside of which it conducts,",
                span((to % 1440, from))
            );
            setter.add(&how, &set(to % 1440, from));
        }
        (false, (from, to)) => setter.add(&format!("set to {}", span((from, to))), &set(from, to)),
    }
}

/// A tap as wide as what is taken of it at the most, as what stands behind it draws, as the load draws.
fn tap(setter: &mut Setter, load: usize, width: u64) {
    let seen = setter.seen;
    let wires = &seen.plan.wires;
    let end = End::new(seen.id(setter.part), "tap");
    let Some(wire) = wires.iter().position(|w| w.from == end) else {
        return;
    };
    let taken = seen.whole_ledger().wires[wire].most_take;
    let mut widths = vec![taken, seen.drawn_behind(wire)];
    if let Some(Spec::Load { draw, .. }) = seen.specs[load] {
        widths.push(draw);
    }
    let mut tried = vec![0, width];
    for amount in widths {
        if !tried.contains(&amount) {
            tried.push(amount);
            let said = seen.plan.book.book.unit.say_power(amount);
            setter.add(&format!("set to {said}"), &[("amount", json!(amount))]);
        }
    }
}

/// A changeover that stays on its main side from what the load, or all behind it, draws, or from anything.
fn changeover(setter: &mut Setter, load: usize, least: u64) {
    let seen = setter.seen;
    let end = End::new(seen.id(setter.part), "out");
    let behind = seen.plan.wires.iter().position(|w| w.from == end);
    let mut widths: Vec<u64> = behind.map(|w| seen.drawn_behind(w)).into_iter().collect();
    if let Some(Spec::Load { draw, .. }) = seen.specs[load] {
        widths.push(draw);
    }
    widths.push(1);
    let mut tried = vec![0, least];
    for amount in widths {
        if !tried.contains(&amount) {
            tried.push(amount);
            let said = seen.plan.book.book.unit.say_power(amount);
            let how = format!("set to stay on its main from {said}");
            setter.add(&how, &[("least", json!(amount))]);
        }
    }
}
