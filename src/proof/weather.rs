//! Days of bad weather in a row that a plan survives: with no sun at all, steady sources and the wind going on.
//!
//! The days stand in the place of those that the plan has, from a midnight on, and every midnight of the run up to the
//! one that repeats is tried: later ones are like one of them, so the answer holds for every place. After the last of
//! the days the run goes on until a midnight is as one of the plain run was, or as an earlier one since then; then all
//! that follows is known. Where that does not come about in [`DAYS`] days the answer says so. The plan survives so many
//! days if, wherever they stand, every duty that it keeps otherwise is kept through and after them.

use super::check::{Check, DAYS};
use super::days::{AtMidnight, DayRange, Next, Observer, RunEnd, run_days};
use super::watch::{Watch, run_watched};
use super::words::Dial;
use crate::book::Profile;
use crate::net::Net;
use crate::plan::{Plan, Spec};
use crate::quantity::Ms;
use crate::run::{Engine, Midnight, Midnights};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// The most days in a row that are tried.
pub const MOST_BAD: u64 = 30;

/// How many days of bad weather in a row a plan survives.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct BadWeather {
    /// So many days, wherever they stand; [`MOST_BAD`] means that no more were tried.
    pub days: u64,
    /// Where one day more breaks a duty first.
    pub breaks: Option<Breaks>,
    /// Whether with one day more the run was stopped at its bound of events, so that more might be survived or not.
    pub stopped: bool,
    /// The duties, by their places in the plan, that it keeps otherwise and that are meant here; with none there is
    /// nothing to survive.
    pub kept: Vec<usize>,
    /// Whether it depends on the sun at all.
    pub has_sun: bool,
    /// Whether all places were tried: the plain run repeats. Else only those of its first days were.
    pub for_ever: bool,
    /// Whether somewhere what comes after so many days was only seen for [`DAYS`] days: no midnight repeated another.
    pub open: bool,
}

/// How bad weather breaks a duty.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Breaks {
    /// The first bad day, counted from 0.
    pub day: u64,
    /// The duty, by its place in the plan.
    pub duty: usize,
    /// When the stretch begins that is too long.
    pub from: Ms,
    /// Whether the load runs then although it should not.
    pub on: bool,
}

/// The answer in words. Where what breaks first is a load that runs though it should not, it is also said what the plan
/// survives if loads may do that: what goes dark is another matter. `watch` is that of [`bad_weather`].
pub fn bad_weather_says(
    plan: &Plan,
    check: &Check,
    bad: &BadWeather,
    watch: &mut dyn FnMut(u64, u64, &BadWeather) -> bool,
) -> String {
    let said = bad.says(plan, check);
    if !bad.breaks.is_some_and(|breaks| breaks.on) {
        return said;
    }
    let mut lenient = plan.clone();
    lenient.duties.iter_mut().for_each(|duty| duty.only = false);
    let check = super::check(&lenient);
    let other = bad_weather(&lenient, &check, watch).says(&lenient, &check);
    let mut letters = other.chars();
    let first = letters.next().map(char::to_lowercase);
    let other: String = first.into_iter().flatten().chain(letters).collect();
    format!("{said} If it only matters that loads run when they must: {other}")
}

impl BadWeather {
    /// The answer in words. `check` is the check of `plan`.
    pub fn says(&self, plan: &Plan, check: &Check) -> String {
        let all = self.kept.len() == check.duties.len();
        let duties = match (all, self.kept.len()) {
            (_, 0) => {
                return "No duty is kept as it is, so none can be kept in bad weather.".into();
            }
            (true, _) => "every duty kept".into(),
            (false, 1) => "the one duty kept that is kept otherwise".into(),
            (false, kept) => format!("the {kept} duties kept that are kept otherwise"),
        };
        if !self.has_sun {
            return format!(
                "Nothing here lives on the sun: any number of days without it, with {duties}."
            );
        }
        let days = |n: u64| {
            if n == 1 {
                "1 day".into()
            } else {
                format!("{n} days")
            }
        };
        if self.stopped && self.days == 0 {
            return "How many days without sun are survived is not known: the run was stopped at its bound of events."
                .into();
        }
        let at_least = if self.breaks.is_none() {
            "at least "
        } else {
            ""
        };
        let survives = match self.days {
            0 => "A single day without sun is too much".into(),
            n => format!(
                "Gets through {at_least}{} without sun in a row, with {duties}",
                days(n)
            ),
        };
        let breaks = self.breaks.and_then(|b| {
            let load = plan.called(&plan.duties.get(b.duty)?.part);
            let dial = Dial {
                day_ms: plan.world.day_ms(),
                days: DAYS,
            };
            let is = if b.on {
                "runs though it should be off"
            } else {
                "does not run as it should"
            };
            let day = b.day + 1;
            let dark = match self.days {
                0 => format!(": if day {day} has none"),
                n => format!(
                    ". One more is too many: with {} from day {day} on",
                    days(n + 1)
                ),
            };
            Some(format!("{dark}, {load} {is} {}", dial.from(b.from)))
        });
        let stopped = match self.stopped {
            true => format!(
                "; with {} the run was stopped at its bound of events",
                self.days + 1
            ),
            false => String::new(),
        };
        let place = match (self.for_ever, check.is_stopped()) {
            (true, _) => "",
            (false, false) => " Only its first days were tried, since no day repeats.",
            (false, true) => " Only its first days were tried, since the run is stopped.",
        };
        let after = match self.open {
            true => {
                format!(" Of what comes after them only {DAYS} days were seen, and none repeats.")
            }
            false => String::new(),
        };
        format!(
            "{survives}{}{stopped}.{place}{after}",
            breaks.unwrap_or_default()
        )
    }
}

#[derive(Clone)]
struct Branch {
    engine: Engine,
    watches: Vec<Watch>,
}

impl Branch {
    /// Runs on to `end`, which is left out; what ended the run before it, if anything did.
    fn go(&mut self, end: Ms) -> Option<Ends> {
        run_keeping(&mut self.engine, &mut self.watches, end).0
    }

    fn is_open(&self) -> bool {
        self.watches.iter().any(|w| w.since().is_some())
    }
}

/// Runs on to `end`, which is left out, unless a watched duty is broken or the run is stopped.
fn run_keeping(engine: &mut Engine, watches: &mut [Watch], end: Ms) -> (Option<Ends>, RunEnd) {
    let mut first = None;
    let ended = run_watched(engine, watches, end, &mut |at, stretch| {
        first.get_or_insert((at, stretch));
        false
    });
    let ends = match (first, ended) {
        (Some(broken), _) => Some(Ends::Broken(broken)),
        (None, RunEnd::Stopped(_)) => Some(Ends::Stopped),
        (None, RunEnd::Complete | RunEnd::Enough) => None,
    };
    (ends, ended)
}

/// A watched duty, by its place among the watched, and its stretch: since when, and whether the load wrongly runs.
type Broken = (usize, (Ms, bool));

/// How it goes on after bad weather.
enum After {
    /// As the plain run does, or as it went before: nothing more will break.
    Repeats,
    /// For so many days as were looked at nothing breaks, and none repeats.
    Open,
    /// Not to the end.
    Ends(Ends),
}

/// What ends a run that is to keep its duties.
enum Ends {
    /// A stretch that is too long.
    Broken(Broken),
    /// The bound of events.
    Stopped,
}

struct Search {
    day: Ms,
    weather: u64,
    /// The midnights of the plain run, with the weather that lies ahead.
    plain: BTreeMap<(u64, Midnight), u64>,
    /// No midnight of this world yet.
    none: Midnights,
    /// The fewest days of bad weather after which it was not seen how all goes on.
    open: Option<u64>,
}

/// How many days of bad weather in a row the plan survives; `check` is the check of `plan`. `watch` is told how many
/// places are done, of how many, and the answer so far, which is never too low; it answers whether to go on.
pub fn bad_weather(
    plan: &Plan,
    check: &Check,
    watch: &mut dyn FnMut(u64, u64, &BadWeather) -> bool,
) -> BadWeather {
    let day = plan.world.day_ms();
    let kept: Vec<usize> = (0..check.duties.len())
        .filter(|at| check.duties[*at].kept)
        .collect();
    let engine = Engine::skimming(plan);
    let mut found = BadWeather {
        days: MOST_BAD,
        breaks: None,
        stopped: false,
        has_sun: has_sun(engine.net()),
        for_ever: check.for_ever,
        open: false,
        kept,
    };
    if found.kept.is_empty() || !found.has_sun {
        return found;
    }
    let watches: Vec<Watch> = found
        .kept
        .iter()
        .map(|at| Watch::new(plan, &plan.duties[*at], &engine))
        .collect();
    let mut search = Search {
        day,
        weather: (plan.world.weather.len() as u64).max(1),
        plain: BTreeMap::new(),
        none: Midnights::new(plan),
        open: None,
    };
    // One day more than the first round of what repeats, so that a stretch over its last midnight is met too.
    let places = if check.for_ever {
        check.days + 1
    } else {
        search.weather.min(DAYS)
    };
    let mut plain = Engine::skimming(plan);
    for number in 0..=check.days {
        plain.advance((number * day).saturating_add(1));
        search.plain.insert(
            (number % search.weather, plain.midnight(number * day)),
            number,
        );
    }
    let mut run = Branch { engine, watches };
    for place in 0..places {
        // A duty that is kept is never broken on the plain way, but one that does not repeat may be stopped on it.
        if run.go(place * day).is_some() {
            break;
        }
        if let Some((days, ends)) = search.at(&run, place, found.days) {
            found.days = days;
            found.stopped = matches!(ends, Ends::Stopped);
            found.breaks = match ends {
                Ends::Broken((duty, (from, on))) => Some(Breaks {
                    day: place,
                    duty: found.kept[duty],
                    from,
                    on,
                }),
                Ends::Stopped => None,
            };
        }
        found.open = search.open.is_some_and(|days| days <= found.days);
        if !watch(place + 1, places, &found) || found.days == 0 {
            break;
        }
    }
    found
}

impl Search {
    /// How many days from the midnight `place` on, fewer than `most`, are survived before one more breaks a duty or the
    /// bound of events; `None` where `most` are survived.
    fn at(&mut self, run: &Branch, place: u64, most: u64) -> Option<(u64, Ends)> {
        let mut dark = run.clone();
        dark.engine.overcast(place * self.day, Ms::MAX);
        let mut seen = Midnights::of_equal_days();
        for days in 1..=most {
            let end = (place + days) * self.day;
            if let Some(ends) = dark.go(end) {
                return Some((days - 1, ends));
            }
            let mut after = dark.clone();
            after.engine.overcast(end, end);
            match self.afterwards(&mut after, place + days) {
                After::Ends(ends) => return Some((days - 1, ends)),
                After::Open => self.open = Some(self.open.map_or(days, |open| open.min(days))),
                After::Repeats => {}
            }
            let mut ahead = dark.engine.clone();
            ahead.advance(end.saturating_add(1));
            let round = seen.note_round(ahead.midnight(end));
            // Every number of days more is like one that was tried.
            if round.is_some_and(|round| round == 1 && self.weather == 1) && !dark.is_open() {
                return None;
            }
        }
        None
    }

    /// How the run goes on from the midnight `number` on.
    fn afterwards(&self, run: &mut Branch, number: u64) -> After {
        let days = DayRange {
            first: number,
            last: number + DAYS - 1,
            day: self.day,
        };
        let Branch { engine, watches } = run;
        let mut after = Afterwards {
            search: self,
            watches,
            ends: None,
        };
        let ended = run_days(engine, &mut self.none.clone(), days, &mut after).end;
        match (after.ends, ended) {
            (Some(ends), _) => After::Ends(ends),
            (None, RunEnd::Complete) => After::Open,
            (None, _) => After::Repeats,
        }
    }
}

/// What comes after bad weather, until it is known to go on for ever.
struct Afterwards<'a> {
    search: &'a Search,
    watches: &'a mut [Watch],
    ends: Option<Ends>,
}

impl Observer for Afterwards<'_> {
    fn advance(&mut self, engine: &mut Engine, end: Ms) -> RunEnd {
        let ended;
        (self.ends, ended) = run_keeping(engine, self.watches, end);
        ended
    }

    fn midnight(&mut self, engine: &mut Engine, at: AtMidnight) -> Next {
        let key = (at.number % self.search.weather, engine.midnight(at.t));
        let known = at.round.is_some() || self.search.plain.contains_key(&key);
        match known && self.watches.iter().all(|w| w.since().is_none()) {
            true => Next::Over,
            false => Next::Day,
        }
    }
}

/// Whether any source lives on the sun.
pub fn has_sun(net: &Net) -> bool {
    let mut specs = net.nodes.iter().filter_map(|n| n.spec.as_ref());
    let sun = |spec: &Spec| {
        matches!(
            spec,
            Spec::Source {
                profile: Profile::Sun,
                ..
            }
        )
    };
    specs.any(sun)
}
