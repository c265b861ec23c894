//! The walk up the wires from a load at one instant: what keeps it off, or what lets it run, down to what a builder can
//! act on.
//!
//! What holds a wire back is found by the net; here it is followed through contacts and their signals, and said. The
//! same walk without words gives a key, by which one sees whether the reason is still the same. Powers in steps.

use super::words::Dial;
use crate::book::Profile;
use crate::net::words::{first, name, power};
use crate::net::{Why, why};
use crate::plan::{Function, Plan, Spec};
use crate::quantity::Ms;
use crate::run::{ContactLook, Engine, Record, What};

/// How many clauses a reason has at the most.
const DEEPEST: usize = 5;

/// A step of the walk, so that two walks can be compared: what kind it is, and the part or wire.
pub type Key = Vec<(u8, usize)>;

/// Why a load is off, or on.
#[derive(Clone, Debug, Default)]
pub struct Reason {
    /// What tells one reason from another.
    pub key: Key,
    /// What is said, nearest the load first; each because of the next.
    pub clauses: Vec<String>,
    /// Parts concerned, by their places in the plan.
    pub parts: Vec<usize>,
    /// Wires concerned.
    pub wires: Vec<usize>,
    /// The battery that ran flat, if one is at the root.
    pub empty: Option<usize>,
}

/// What the walk looks at.
#[derive(Clone, Copy)]
pub struct Scene<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// The run of it, at `t`.
    pub engine: &'a Engine,
    /// The same run from end to end, for what comes after `t`.
    pub record: &'a Record,
    /// The instant.
    pub t: Ms,
    /// The moment on whose day moments are said without naming the day.
    pub anchor: Ms,
    /// How moments are said.
    pub dial: Dial,
}

impl<'a> Scene<'a> {
    /// What keeps the load off, or lets it run where `on`; without words only the key is worked out.
    pub fn reason(self, load: usize, on: bool, words: bool) -> Reason {
        let mut walk = Walk {
            scene: self,
            whys: why(
                self.engine.net(),
                self.engine.live(),
                self.engine.controls(),
            ),
            words,
            reason: Reason::default(),
        };
        walk.reason.parts.push(load);
        let node = &self.engine.net().nodes[load];
        match (first(&node.ins), on) {
            (None, _) => walk.clause(Tag::Unwired, load, |_| "no wire leads to it".into()),
            (Some(wire), true) => walk.live(wire),
            (Some(wire), false) => walk.dead(wire, needs(&node.spec), "it draws"),
        }
        walk.reason
    }
}

/// What a load draws or a contact's signal port takes.
fn needs(spec: &Option<Spec>) -> u64 {
    match spec {
        Some(Spec::Load { draw, .. }) => *draw,
        Some(Spec::Contact { coil, .. }) => *coil,
        _ => 1,
    }
}

#[derive(Clone, Copy)]
#[repr(u8)]
enum Tag {
    Unwired,
    Loop,
    Held,
    Contact,
    Off,
    Source,
    Most,
    Ahead,
    Behind,
    Aside,
    Rest,
    Share,
    Sum,
    Backup,
    Fed,
}

struct Walk<'a> {
    scene: Scene<'a>,
    whys: Vec<Why>,
    words: bool,
    reason: Reason,
}

impl<'a> Walk<'a> {
    /// Notes a step and, where words are wanted, says it.
    fn clause(&mut self, tag: Tag, at: usize, say: impl FnOnce(&Self) -> String) {
        self.reason.key.push((tag as u8, at));
        if self.words {
            let said = say(self);
            self.reason.clauses.push(said);
        }
    }

    /// Whether the walk has been here before or has gone far enough.
    fn is_over(&self, tag: Tag, at: usize) -> bool {
        self.reason.key.len() >= DEEPEST || self.reason.key.contains(&(tag as u8, at))
    }

    fn name(&self, part: usize) -> String {
        name(self.scene.plan, part)
    }

    fn power(&self, steps: u64) -> String {
        power(self.scene.plan, steps)
    }

    fn until(&self, t: Option<Ms>) -> String {
        let until = |t| format!(" until {}", self.scene.dial.until(self.scene.anchor, t));
        t.map(until).unwrap_or_default()
    }

    /// Why no more than it does comes through `wire`, where so much is needed.
    fn dead(&mut self, wire: usize, need: u64, draws: &'static str) {
        let engine = self.scene.engine;
        let (net, live) = (engine.net(), engine.live());
        let offer = live.offer[wire];
        self.reason.wires.push(wire);
        let why = self.whys[wire];
        self.reason.parts.extend(why.part());
        let wants = move |walk: &Self| match offer {
            0 => "nothing".to_string(),
            _ => format!("{} of the {} {draws}", walk.power(offer), walk.power(need)),
        };
        let node = |part: usize| &net.nodes[part];
        match why {
            Why::Nothing if net.wires[wire].closed => {
                self.clause(Tag::Loop, wire, |_| "its wire is on a closed loop".into());
            }
            Why::Nothing => self.unwired(wire),
            Why::Open(part) => self.contact(part),
            Why::Off(part) => self.empty(part, offer, need),
            Why::Source(part) => self.source(part, offer, need, draws),
            Why::Most(part) => self.clause(Tag::Most, part, |w| {
                let most = w.power(live.offered(first(&node(part).outs)));
                format!(
                    "{} gives {most} at the most, {}",
                    w.name(part),
                    w.short(offer, need, draws)
                )
            }),
            Why::Ahead(part) => self.clause(Tag::Ahead, part, |w| {
                let own = w.power(needs(&node(part).spec));
                let comes = w.comes(first(&node(part).ins));
                format!(
                    "{} ahead of it takes {own} of {comes}, which leaves {}",
                    w.name(part),
                    wants(w)
                )
            }),
            Why::Held(part) => {
                if self.is_over(Tag::Behind, part) {
                    return;
                }
                self.clause(Tag::Behind, part, |w| {
                    format!(
                        "{} ahead of it can't run and passes nothing on",
                        w.name(part)
                    )
                });
                if let Some(wire) = first(&node(part).ins) {
                    self.dead(wire, needs(&node(part).spec), "it draws");
                }
            }
            Why::Aside(part) => self.clause(Tag::Aside, part, |w| {
                format!("{} sets aside only {}", w.name(part), wants(w))
            }),
            Why::Rest(part) => self.clause(Tag::Rest, part, |w| {
                let aside = w.power(live.offered(first(&node(part).outs)));
                let comes = w.comes(first(&node(part).ins));
                format!(
                    "{} sets {aside} of {comes} aside ahead of it, which leaves {}",
                    w.name(part),
                    wants(w)
                )
            }),
            Why::Share(part) => self.clause(Tag::Share, part, |w| {
                let ways = node(part).outs.iter().flatten().count();
                let comes = w.comes(first(&node(part).ins));
                let n = w.name(part);
                format!(
                    "{n} gives each of its {ways} ways an equal share of {comes}, here {}",
                    wants(w)
                )
            }),
            Why::Sum(part) => self.sum(part, offer, need, draws),
            Why::Backup(part) => self.clause(Tag::Backup, part, |w| {
                let main = w.power(live.offered(first(&node(part).ins)));
                let least = match node(part).spec {
                    Some(Spec::Changeover(least)) => w.power(least),
                    _ => String::new(),
                };
                let n = w.name(part);
                format!("{n} is on its backup, which gives nothing, since its main has {main} and not {least}")
            }),
        }
    }

    /// What comes through a wire, and of whom: `the 9 u that Roof panel gives`.
    fn comes(&self, slot: Option<usize>) -> String {
        let Some(wire) = slot else {
            return "nothing".into();
        };
        let amount = self.power(self.scene.engine.live().offer[wire]);
        match self.whys[wire] {
            Why::Source(part) | Why::Most(part) => {
                format!("the {amount} that {} gives", self.name(part))
            }
            _ => format!("the {amount} that come"),
        }
    }

    /// By how much it is short: `1 u short of the 3 u it draws`.
    fn short(&self, offer: u64, need: u64, draws: &str) -> String {
        let lacks = self.power(need.saturating_sub(offer));
        format!("{lacks} short of the {} {draws}", self.power(need))
    }

    fn unwired(&mut self, wire: usize) {
        let net = self.scene.engine.net();
        let mut part = net.part_of[net.wires[wire].from];
        // Up through what only passes on, to the port that has no wire.
        for _ in 0..net.nodes.len() {
            match first(&net.nodes[part].ins).filter(|w| !net.wires[*w].closed) {
                Some(up) => part = net.part_of[net.wires[up].from],
                None => break,
            }
        }
        self.reason.parts.push(part);
        let looped = first(&net.nodes[part].ins).is_some();
        self.clause(Tag::Unwired, part, |w| match looped {
            true => format!("{} is fed by a closed loop", w.name(part)),
            false => format!("no wire leads to {}", w.name(part)),
        });
    }

    fn empty(&mut self, part: usize, offer: u64, need: u64) {
        self.reason.empty.get_or_insert(part);
        let (t, record) = (self.scene.t, self.scene.record);
        let on = |e: &&crate::run::Event| e.t > t && e.place() == part && e.what == What::OutputOn;
        let back = record.events.iter().find(on).map(|e| e.t);
        self.clause(Tag::Off, part, |w| {
            let until = match back {
                Some(back) => w.until(Some(back)),
                None => " and stays so".into(),
            };
            let only = match offer {
                0 => String::new(),
                _ => format!("only {} of {} come, since ", w.power(offer), w.power(need)),
            };
            format!("{only}{} is empty{until}", w.name(part))
        });
    }

    fn source(&mut self, part: usize, offer: u64, need: u64, draws: &str) {
        let engine = self.scene.engine;
        let gives = engine.controls().available[part];
        let (t, wanted) = (
            self.scene.t,
            gives.saturating_add(need.saturating_sub(offer)),
        );
        self.clause(Tag::Source, part, |w| {
            let n = w.name(part);
            let steady = matches!(
                engine.net().nodes[part].spec,
                Some(Spec::Source {
                    profile: Profile::Steady,
                    ..
                })
            );
            let more = engine.gives(part, t, wanted);
            match (gives, more) {
                (0, None) if !steady => format!("{n} never gives enough"),
                (0, _) => format!("{n} gives nothing{}", w.until(engine.gives(part, t, 1))),
                (_, None) => {
                    let short = w.short(offer, need, draws);
                    format!("{n} gives {} at the most, {short}", w.power(gives))
                }
                (_, more) => {
                    let (only, short) = (w.power(gives), w.short(offer, need, draws));
                    format!("{n} gives only {only}{}, {short}", w.until(more))
                }
            }
        });
    }

    /// A busbar with too little: of the inputs that bring nothing, the first is followed.
    fn sum(&mut self, part: usize, offer: u64, need: u64, draws: &'static str) {
        let engine = self.scene.engine;
        let mut ins = engine.net().nodes[part].ins.iter().flatten().copied();
        let follow = ins.find(|w| engine.live().offer[*w] == 0 && self.whys[*w] != Why::Nothing);
        self.clause(Tag::Sum, part, |w| {
            let (n, all) = (w.name(part), w.power(offer));
            format!(
                "{n} has only {all} of all that comes in, {}",
                w.short(offer, need, draws)
            )
        });
        if let Some(wire) = follow
            && !self.is_over(Tag::Sum, wire)
        {
            self.dead(wire, need - offer, draws);
        }
    }

    /// What lets something come through `wire`: the nearest contact that conducts, or else what gives.
    fn live(&mut self, mut wire: usize) {
        let engine = self.scene.engine;
        let (net, live) = (engine.net(), engine.live());
        for _ in 0..=net.nodes.len() {
            self.reason.wires.push(wire);
            let part = net.part_of[net.wires[wire].from];
            let node = &net.nodes[part];
            let up = match node.spec {
                Some(Spec::Contact { .. }) => {
                    self.reason.parts.push(part);
                    return self.contact(part);
                }
                Some(Spec::Source { .. } | Spec::Battery { .. }) | None => None,
                Some(Spec::Changeover(least)) if live.offered(first(&node.ins)) < least => {
                    node.ins.get(1).copied().flatten()
                }
                Some(Spec::Busbar(_)) => {
                    let mut ins = node.ins.iter().flatten().copied();
                    ins.find(|w| live.offer[*w] > 0)
                }
                _ => first(&node.ins),
            };
            let Some(up) = up else {
                self.reason.parts.push(part);
                let gives = live.offer[wire];
                let is_first = self.reason.key.is_empty();
                return self.clause(Tag::Fed, part, |w| match is_first {
                    true => format!("no contact stands between it and {}", w.name(part)),
                    false => format!("{} gives {}", w.name(part), w.power(gives)),
                });
            };
            wire = up;
        }
    }

    /// Why a contact does what it does.
    fn contact(&mut self, part: usize) {
        if self.is_over(Tag::Contact, part) {
            return;
        }
        let engine = self.scene.engine;
        let node = &engine.net().nodes[part];
        let (Some(Spec::Contact { function, coil, .. }), Some(look)) =
            (&node.spec, engine.contact(part, self.scene.t))
        else {
            return;
        };
        if look.held {
            return self.clause(Tag::Held, part, |w| {
                format!("{} chatters and is held open until midnight", w.name(part))
            });
        }
        let conducts = engine.controls().conducts[part];
        let is = if conducts { "closed" } else { "open" };
        let watches = match function {
            Function::Charge { watches, .. } => self
                .scene
                .plan
                .parts
                .iter()
                .position(|p| p.id.as_str() == watches),
            _ => None,
        };
        self.reason.parts.extend(watches);
        let coil = *coil;
        let signal = |at: usize| node.signals.get(at).copied().flatten();
        let is_live = |at: usize| engine.live().offered(signal(at)) >= coil;
        let [a, b] = [is_live(0), is_live(1)];
        self.clause(Tag::Contact, part, |w| {
            if look.is_due {
                return format!("{} is {is} until it follows its signal", w.name(part));
            }
            let turns = engine.turns(part, w.scene.t);
            w.alone(function, &look, is, part, turns)
                .unwrap_or_else(|| w.by_signal(function, &look, is, part, [a, b]))
        });
        // Which signal to follow up, and whether because it is live.
        let q = look.truth;
        let next = match function {
            Function::Relay => Some((0, a)),
            Function::And => Some(if !a { (0, false) } else { (1, b) }),
            Function::Or => Some(if a || !b { (0, a) } else { (1, true) }),
            Function::Xor => Some(if b && !a { (1, true) } else { (0, a) }),
            Function::OnDelay(_) if q || !a => Some((0, a)),
            Function::OffDelay(_) if a || !q => Some((0, a)),
            Function::Pulse(_) if !q && !a => Some((0, false)),
            Function::Latch { .. } if !q && b => Some((1, true)),
            Function::Latch { .. } if q && a => Some((0, true)),
            Function::Latch { .. } if !q => Some((0, false)),
            _ => None,
        };
        let Some((at, is_live)) = next else { return };
        match (signal(at), is_live) {
            (Some(wire), true) => self.live(wire),
            (Some(wire), false) => self.dead(wire, coil, "it takes"),
            (None, _) => self.clause(Tag::Unwired, part, |w| {
                format!("no wire leads to the signal of {}", w.name(part))
            }),
        }
    }

    /// A contact without signals, in words.
    fn alone(
        &self,
        function: &Function,
        look: &ContactLook,
        is: &str,
        part: usize,
        turns: Option<Ms>,
    ) -> Option<String> {
        let (n, q, until) = (self.name(part), look.truth, self.until(turns));
        let hours = |t: Ms| crate::plan::Clock::at(t, self.scene.dial.day_ms);
        let with = |so: &str| Some(format!("{n} is {is} {so}{until}"));
        match function {
            Function::Manual { .. } if look.breaks => {
                let set = if q { "closed" } else { "open" };
                Some(format!(
                    "{n} is {is}{until}, being a break contact that is set {set}"
                ))
            }
            Function::Manual { .. } => Some(format!("{n} is set {is}{until}")),
            Function::Button { .. } => with(if q {
                "as it was pressed,"
            } else {
                "as nobody presses it,"
            }),
            Function::Twilight(below) => {
                let (than, mark) = (
                    if q { "below" } else { "above" },
                    crate::quantity::Short(*below),
                );
                with(&format!("while the light is {than} {mark},"))
            }
            Function::Clock(from, to) => {
                let (place, from, to) = (
                    if q { "within" } else { "outside" },
                    hours(*from),
                    hours(*to),
                );
                with(&format!("{place} its hours, {from} to {to},"))
            }
            Function::Home => with(if q {
                "while somebody is home,"
            } else {
                "while nobody is home,"
            }),
            Function::Detector(_) => with(if q {
                "while it sees somebody,"
            } else {
                "while it sees nobody,"
            }),
            Function::Charge { watches, low, high } => {
                let percent = |per_mille: u64| crate::quantity::Short(per_mille as f64 / 10.0);
                let Some(battery) = self
                    .scene
                    .plan
                    .parts
                    .iter()
                    .position(|p| p.id.as_str() == watches)
                else {
                    return Some(format!("{n} is {is} as it watches no battery"));
                };
                let b = self.name(battery);
                Some(match q {
                    true => format!("{n} is {is} until {b} is back at {} %", percent(*high)),
                    false => format!("{n} is {is} until {b} is down to {} %", percent(*low)),
                })
            }
            _ => None,
        }
        .map(|said| said.trim_end_matches(',').to_string())
    }

    /// A contact with signals, in words: what of them makes it so.
    fn by_signal(
        &self,
        function: &Function,
        look: &ContactLook,
        is: &str,
        part: usize,
        [a, b]: [bool; 2],
    ) -> String {
        let (n, q) = (self.name(part), look.truth);
        let ends = self.until(look.ends);
        let state = |live: bool| if live { "live" } else { "dead" };
        let because = match function {
            Function::Relay => format!("its coil is {}", state(a)),
            Function::And if !a && !b => "both its signals are dead".into(),
            Function::And if !a => "its first signal is dead".into(),
            Function::And if !b => "its second signal is dead".into(),
            Function::And => "both its signals are live".into(),
            Function::Or if a && b => "both its signals are live".into(),
            Function::Or if a => "its first signal is live".into(),
            Function::Or if b => "its second signal is live".into(),
            Function::Or => "both its signals are dead".into(),
            Function::Xor if a == b => format!("both its signals are {}", state(a)),
            Function::Xor => "one of its signals alone is live".into(),
            Function::OnDelay(_) if !q && a => format!("it waits{ends}"),
            Function::OffDelay(_) if q && !a => format!("it stays on{ends}"),
            Function::Pulse(_) if q => format!("its pulse lasts{ends}"),
            Function::Pulse(_) if a => "its pulse is over".into(),
            Function::OnDelay(_) | Function::OffDelay(_) | Function::Pulse(_) => {
                format!("its trigger is {}", state(a))
            }
            Function::Latch { .. } if !q && b => "its reset is live".into(),
            Function::Latch { .. } if q && a => "its set is live".into(),
            Function::Latch { .. } if q => "it was set and not reset since".into(),
            Function::Latch { .. } => "it has not been set since it was reset".into(),
            Function::Impulse if q => "its last impulse switched it on".into(),
            Function::Impulse => "no impulse has switched it on".into(),
            Function::Counter(target) if q => format!("it has counted to {target}"),
            Function::Counter(target) => format!("it has counted {} of {target}", look.count),
            _ => return format!("{n} is {is}"),
        };
        format!("{n} is {is} as {because}")
    }
}
