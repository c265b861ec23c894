//! The story of the day: what of all that happened is told, merged where several things happen for one reason, in the
//! order of time. Milliseconds since midnight of day 1.
//!
//! Told are dawn and dusk, when sources begin and end, a battery's lowest and highest point, and every turn of a load, a
//! battery's output or a changeover with what led to it. A contact's turn is told where something comes of it.

use super::day_run::{DaySeen, MOST_TURNS, PartFigures};
use super::explanation::{DayNews, DayStep, MOST_STRETCHES, Stretches};
use super::turn::{PartTurn, TurnReason};
use crate::net::Net;
use crate::plan::{PartId, Plan, Spec};
use crate::quantity::Ms;
use std::collections::BTreeMap;

/// The steps of the day.
pub fn steps(plan: &Plan, net: &Net, seen: &DaySeen) -> Vec<DayStep> {
    let mut day = Day {
        plan,
        net,
        seen,
        steps: Vec::new(),
    };
    day.begin();
    day.light();
    day.turns();
    day.sources();
    day.batteries();
    day.often();
    // What is told first of one moment stays first.
    day.steps.sort_by_key(|step| step.t);
    day.steps
}

struct Day<'a> {
    plan: &'a Plan,
    net: &'a Net,
    seen: &'a DaySeen,
    steps: Vec<DayStep>,
}

impl Day<'_> {
    fn id(&self, part: usize) -> PartId {
        self.plan.parts[part].id.clone()
    }

    fn tell(&mut self, t: Ms, news: DayNews) {
        self.steps.push(DayStep { t, news });
    }

    /// The parts of a kind, with what each came to.
    fn parts(&self, of: fn(&Spec) -> bool) -> Vec<(usize, PartFigures)> {
        let nodes = self.net.nodes.iter().zip(&self.seen.parts).enumerate();
        let kind = nodes.filter(|(_, (node, _))| node.spec.as_ref().is_some_and(of));
        kind.map(|(at, (_, figures))| (at, figures.clone()))
            .collect()
    }

    fn begin(&mut self) {
        let loads = self.parts(|spec| matches!(spec, Spec::Load { .. }));
        let running = loads.iter().map(|(at, _)| *at);
        let running = running.filter(|at| self.seen.runs.get(*at) == Some(&true));
        let running = running.map(|at| self.id(at)).collect();
        let level = |(at, node): (usize, &crate::net::Node)| match node.spec {
            Some(Spec::Battery { capacity, .. }) => {
                Some((self.id(at), *self.seen.levels.get(at)?, capacity))
            }
            _ => None,
        };
        let levels = self
            .net
            .nodes
            .iter()
            .enumerate()
            .filter_map(level)
            .collect();
        self.tell(self.seen.from, DayNews::Begins { running, levels });
    }

    /// Sunrise and sunset.
    fn light(&mut self) {
        let (mut dark, turns) = self.plan.world.sky().dark_changes();
        for turn in turns {
            dark = !dark;
            let t = self.seen.from + turn;
            if t < self.seen.to {
                self.tell(
                    t,
                    if dark {
                        DayNews::Sunset
                    } else {
                        DayNews::Sunrise
                    },
                );
            }
        }
    }

    fn turns(&mut self) {
        let mut reasons: BTreeMap<(Ms, TurnReason), Vec<PartTurn>> = BTreeMap::new();
        for (cause, turn) in &self.seen.turns {
            if self.seen.parts[turn.part].turned.0 <= MOST_TURNS {
                reasons.entry(*cause).or_default().push(*turn);
            }
        }
        for ((at, reason), mut turns) in reasons {
            if !turns.iter().any(|turn| turn.kind.matters()) {
                continue;
            }
            turns.sort_unstable();
            let news = DayNews::Turns {
                reason: reason.told(self.plan),
                at,
                turns: turns.iter().map(|turn| turn.told(self.plan)).collect(),
            };
            self.tell(turns[0].t, news);
        }
    }

    /// Whether a step tells already that a source begins or ends then.
    fn is_told(&self, source: &PartId, t: Ms) -> bool {
        self.steps.iter().any(|step| match &step.news {
            DayNews::Turns {
                reason:
                    TurnReason::Source {
                        part,
                        before,
                        gives,
                    },
                at,
                ..
            } => part == source && (*before == 0 || *gives == 0) && *at == t,
            _ => false,
        })
    }

    fn sources(&mut self) {
        let (from, to) = (self.seen.from, self.seen.to);
        let mut found: BTreeMap<(Ms, bool), Vec<PartId>> = BTreeMap::new();
        for (at, figures) in self.parts(|spec| matches!(spec, Spec::Source { .. })) {
            let Stretches { first, count, .. } = &figures.on.told;
            if *count > MOST_STRETCHES as u64 {
                continue;
            }
            for (begin, end) in first {
                for (t, begins) in [(*begin, true), (*end, false)] {
                    let id = self.id(at);
                    if from < t && t < to && !self.is_told(&id, t) {
                        found.entry((t, begins)).or_default().push(id);
                    }
                }
            }
        }
        for ((t, begins), sources) in found {
            let news = if begins {
                DayNews::Gives(sources)
            } else {
                DayNews::Ends(sources)
            };
            self.tell(t, news);
        }
    }

    fn batteries(&mut self) {
        let (from, to) = (self.seen.from, self.seen.to);
        let within = |t: Ms| from < t && t < to;
        for (at, figures) in self.parts(|spec| matches!(spec, Spec::Battery { .. })) {
            let Some(Spec::Battery { capacity, .. }) = self.net.nodes[at].spec else {
                continue;
            };
            let ((lowest, low), (highest, high)) = (figures.lowest, figures.highest);
            if lowest == highest {
                continue;
            }
            if within(low) {
                let (battery, level) = (self.id(at), (lowest, capacity));
                self.tell(low, DayNews::Rises { battery, level });
            }
            let full = &figures.on.told;
            if full.count <= MOST_STRETCHES as u64 {
                for (t, _) in full.first.iter().filter(|(t, _)| within(*t)) {
                    self.tell(*t, DayNews::Full(self.id(at)));
                }
            }
            if within(high) {
                let (battery, level) = (self.id(at), (highest, capacity));
                self.tell(high, DayNews::Falls { battery, level });
            }
        }
    }

    fn often(&mut self) {
        for part in 0..self.seen.parts.len() {
            let (times, last) = self.seen.parts[part].turned;
            let is_contact = matches!(self.net.nodes[part].spec, Some(Spec::Contact { .. }));
            if times <= MOST_TURNS || is_contact {
                continue;
            }
            let own = self.seen.turns.iter().find(|(_, turn)| turn.part == part);
            if let Some((_, turn)) = own {
                let news = DayNews::Often {
                    part: self.id(part),
                    times,
                    last,
                };
                self.tell(turn.t, news);
            }
        }
    }
}
