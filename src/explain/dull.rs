//! A dull day: from the first midnight of the day that is told, the sun gives nothing; steady sources and the wind go on.
//! What then runs on, what goes dark first, and when. Milliseconds since midnight of day 1.
//!
//! Two runs are laid side by side, one with the sun and one without it, until a load goes dark, at most for so many days
//! as [`bad_weather`](crate::proof::bad_weather) tries. What differs for less than [`LEAST`] is only a contact's lag.

use super::explanation::{DullNews, ShownDay};
use crate::net::Net;
use crate::plan::{PartId, Plan, Spec};
use crate::proof::{BadWeather, MOST_BAD, has_sun};
use crate::quantity::Ms;
use crate::run::{Engine, Record, What};
use std::collections::{BTreeMap, BTreeSet};

/// A difference that is worth telling: a thousandth of a day.
pub const LEAST: u64 = 1000;

/// After so many events no further day is looked at.
const BUSY: u64 = 200_000;

/// Runs laid side by side, day after day.
pub struct DullRun {
    with: Engine,
    without: Engine,
    from: Ms,
    day: Ms,
    days: u64,
    news: Option<Vec<DullNews>>,
}

impl DullRun {
    /// Both runs at the day's first midnight.
    pub fn new(plan: &Plan, net: &Net, shown: &ShownDay) -> DullRun {
        let mut with = Engine::recording(plan);
        with.advance(shown.from);
        let mut without = with.clone();
        without.overcast(shown.from, Ms::MAX);
        DullRun {
            with,
            without,
            from: shown.from,
            day: plan.world.day_ms(),
            days: 0,
            news: (!has_sun(net)).then(|| vec![DullNews::NoSun]),
        }
    }

    /// Goes on for a day; answers whether no more need be seen.
    pub fn go(&mut self, plan: &Plan, net: &Net) -> bool {
        if self.news.is_some() {
            return true;
        }
        self.days += 1;
        let end = self.from.saturating_add(self.days.saturating_mul(self.day));
        self.with.advance(end);
        self.without.advance(end);
        let stopped = [&self.with, &self.without].map(|e| e.stopped_at().is_some());
        let [with, without] =
            [&self.with, &self.without].map(|engine| engine.clone().into_record(plan, end));
        let until = with.end.min(without.end);
        let differs = Differs {
            plan,
            net,
            with: &with,
            without: &without,
            from: self.from,
            until,
            least: (self.day / LEAST).max(1),
        };
        let dark = differs.first(true);
        let events = self.with.events().max(self.without.events());
        let more = self.days < MOST_BAD && events < BUSY;
        if dark.is_empty() && more && stopped == [false, false] {
            return false;
        }
        let days = until.saturating_sub(self.from) / self.day.max(1);
        self.news = Some(differs.news(dark, days));
        true
    }

    /// What was found.
    pub fn finish(self) -> Vec<DullNews> {
        self.news.unwrap_or_default()
    }
}

/// What is told of how many dull days are survived.
pub fn survival(plan: &Plan, bad: &BadWeather) -> Vec<DullNews> {
    if bad.kept.is_empty() || !bad.has_sun || (bad.stopped && bad.days == 0) {
        return Vec::new();
    }
    let mut news = vec![DullNews::Survives {
        days: bad.days,
        exact: bad.breaks.is_some(),
        duties: (bad.kept.len(), plan.duties.len()),
    }];
    news.extend(bad.breaks.map(|breaks| DullNews::Breaks {
        day: breaks.day + 1,
        days: bad.days + 1,
        duty: breaks.duty,
        from: breaks.from,
        on: breaks.on,
    }));
    news
}

/// Parts, each with when.
type Times = Vec<(PartId, Ms)>;

struct Differs<'a> {
    plan: &'a Plan,
    net: &'a Net,
    with: &'a Record,
    without: &'a Record,
    from: Ms,
    until: Ms,
    least: Ms,
}

impl Differs<'_> {
    /// The loads that differ, by when first: those that are off without the sun and run with it, or the other way round.
    fn first(&self, dark: bool) -> BTreeMap<Ms, Vec<usize>> {
        let mut found: BTreeMap<Ms, Vec<usize>> = BTreeMap::new();
        for (load, with) in &self.with.loads {
            let Some(without) = self.without.loads.get(load) else {
                continue;
            };
            let (runs, rest) = match dark {
                true => (&with.runs, &without.runs),
                false => (&without.runs, &with.runs),
            };
            let first = only_in(runs, rest, (self.from, self.until))
                .into_iter()
                .find(|(from, to)| to - from >= self.least);
            if let Some((from, _)) = first {
                found.entry(from).or_default().push(*load);
            }
        }
        found
    }

    fn news(&self, dark: BTreeMap<Ms, Vec<usize>>, days: u64) -> Vec<DullNews> {
        let id = |part: usize| self.plan.parts[part].id.clone();
        let lit = self.first(false).into_iter();
        let lit = lit.flat_map(|(at, loads)| loads.into_iter().map(move |load| (id(load), at)));
        let lit: Times = lit.collect();
        let mut news = Vec::new();
        if !lit.is_empty() {
            news.push(DullNews::RunsOn { loads: lit });
        }
        let Some(first) = dark.keys().next().copied() else {
            news.push(DullNews::Holds { days });
            return news;
        };
        // Those with the same batteries empty ahead of them are told together, those that are first apart from the rest.
        let mut kinds: BTreeMap<(bool, Vec<usize>), Times> = BTreeMap::new();
        for (at, loads) in dark {
            for load in loads {
                let kind = (at > first, self.empty(load, at));
                kinds.entry(kind).or_default().push((id(load), at));
            }
        }
        news.extend(kinds.into_iter().map(|((later, empty), loads)| {
            let empty = empty.into_iter().map(id).collect();
            DullNews::GoesDark {
                loads,
                empty,
                first: !later,
            }
        }));
        news
    }

    /// The batteries next ahead of a load whose output is off at `t` of the run without the sun.
    fn empty(&self, load: usize, t: Ms) -> Vec<usize> {
        let (mut seen, mut look) = (BTreeSet::from([load]), vec![load]);
        let mut found = BTreeSet::new();
        while let Some(part) = look.pop() {
            for wire in self.net.nodes[part].ins.iter().flatten() {
                let up = self.net.part_of[self.net.wires[*wire].from];
                if self.net.wires[*wire].closed || !seen.insert(up) {
                    continue;
                }
                match self.net.nodes[up].spec {
                    Some(Spec::Battery { cut_out, start, .. }) => {
                        let was = start > cut_out;
                        if !self.is_on(up, t, was) {
                            found.insert(up);
                        }
                    }
                    _ => look.push(up),
                }
            }
        }
        found.into_iter().collect()
    }

    /// Whether a battery's output is on at `t`; at t = 0 it was so or not.
    fn is_on(&self, battery: usize, t: Ms, was: bool) -> bool {
        let events = self.without.events.iter().rev();
        let mut own = events.filter(|e| e.t <= t && e.place() == battery);
        let turned = own.find_map(|e| match e.what {
            What::OutputOn => Some(true),
            What::OutputOff => Some(false),
            _ => None,
        });
        turned.unwrap_or(was)
    }
}

/// Where stretches of `a` are not covered by those of `b`, between two times. Both are in the order of time.
fn only_in(a: &[(Ms, Ms)], b: &[(Ms, Ms)], (from, until): (Ms, Ms)) -> Vec<(Ms, Ms)> {
    let mut found = Vec::new();
    let mut rest = b.iter().peekable();
    for (begin, end) in a {
        let (mut at, end) = ((*begin).max(from), (*end).min(until));
        while at < end {
            while rest.next_if(|(_, to)| *to <= at).is_some() {}
            match rest.peek() {
                Some((other, to)) if *other <= at => at = *to,
                Some((other, _)) => {
                    found.push((at, (*other).min(end)));
                    at = *other;
                }
                None => {
                    found.push((at, end));
                    at = end;
                }
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::only_in;

    #[test]
    fn what_is_only_in_one_of_two_lists_is_found() {
        let (a, b) = ([(0, 10), (20, 40), (50, 60)], [(5, 25), (30, 35), (50, 60)]);
        assert_eq!(only_in(&a, &b, (0, 100)), [(0, 5), (25, 30), (35, 40)]);
        assert_eq!(only_in(&b, &a, (0, 100)), [(10, 20)]);
        assert_eq!(only_in(&a, &b, (3, 28)), [(3, 5), (25, 28)]);
        assert_eq!(only_in(&a, &[], (0, 55)), [(0, 10), (20, 40), (50, 55)]);
    }
}
