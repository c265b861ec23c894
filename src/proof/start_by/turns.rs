//! Other aims of the sun panels that lead to a load, in whole degrees, the smallest turn first.
//!
//! Which aims are tried is read off the panels' steps: where the load starts as they fall below so many steps, or rise to
//! so many, an aim is tried that has them there at the wanted time, in any weather of the days that repeat. A turn is the
//! sum of the degrees of azimuth and of tilt.

use super::candidates::{Ahead, StartChange};
use super::meant::{MeantStart, signed};
use super::{Bound, OfferKind};
use crate::book::Profile;
use crate::plan::{Edit, Spec};
use crate::proof::findings::Simulation;
use crate::quantity::Ms;
use crate::sky::{Aim, Sky};
use serde_json::json;

/// The widest turn that is looked at, in degrees.
const WIDEST: i64 = 180;
/// About as many aims of one choice of banks are tried.
const AIMS: usize = 10;
/// At so many moments of the day one looks what an aim gives.
const SAMPLES: u64 = 48;
/// A start follows the sun where it comes within so many lags of a change of steps.
const LAGS: u64 = 20;

/// A bank of panels.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bank {
    pub part: usize,
    pub aim: Aim,
    pub peak: u64,
    pub count: u64,
}

/// The panels behind a load whose steps start it.
#[derive(Clone, Debug)]
pub(super) struct Sun {
    pub sky: Sky,
    pub banks: Vec<Bank>,
    /// The factors of weather of the days that repeat, each once.
    pub weathers: Vec<f64>,
    /// The steps of all at which it turns.
    pub need: u64,
    /// Whether the load starts as they fall below those.
    pub falls: bool,
    /// How long after that the load starts.
    pub delay: Ms,
}

/// Whether a part is a sun panel.
pub(super) fn is_panel(seen: &Simulation, at: usize) -> bool {
    bank(seen, at).is_some()
}

fn bank(seen: &Simulation, part: usize) -> Option<Bank> {
    match &seen.specs[part] {
        Some(Spec::Source {
            peak,
            count,
            profile: Profile::Sun,
            aim,
        }) => Some(Bank {
            part,
            aim: *aim,
            peak: *peak,
            count: *count,
        }),
        _ => None,
    }
}

/// The factors of weather of the days that repeat, each once.
fn weathers(seen: &Simulation) -> Vec<f64> {
    let (weather, day) = (&seen.plan.world.weather, seen.day_ms.max(1));
    let mut all: Vec<f64> = Vec::new();
    for number in seen.from / day..seen.to.div_ceil(day) {
        let of = weather_on(weather, number);
        if !all.contains(&of) {
            all.push(of);
        }
    }
    all
}

fn weather_on(weather: &[f64], day: u64) -> f64 {
    let place = day % (weather.len() as u64).max(1);
    weather.get(place as usize).copied().unwrap_or(1.0)
}

impl Sun {
    /// The sun behind the start that is meant, where a change of these panels' steps comes just before it.
    pub fn behind(seen: &Simulation, panels: &[usize], meant: &MeantStart) -> Option<Sun> {
        let banks: Vec<Bank> = panels.iter().filter_map(|at| bank(seen, *at)).collect();
        let sky = seen.plan.world.sky();
        let (day, start) = (signed(meant.day).max(1), meant.start());
        let number = (signed(meant.on_day) + start.div_euclid(day)).max(0);
        let weather = weather_on(&seen.plan.world.weather, number.unsigned_abs());
        let t = meant.of_day(start);
        let changes = banks.iter().flat_map(|bank| {
            let (_, changes) = sky.step_changes(bank.aim, bank.peak, weather);
            changes.into_iter().map(|(at, _)| at)
        });
        let last = changes.filter(|at| *at <= t).max()?;
        let delay = t - last;
        if last == 0 || delay > LAGS * seen.plan.book.book.lag_ms {
            return None;
        }
        let total = |t: Ms| -> u64 {
            let all = banks.iter().map(|b| steps(&sky, b, b.aim, t, weather));
            all.fold(0, u64::saturating_add)
        };
        let (before, after) = (total(last - 1), total(last));
        Some(Sun {
            weathers: weathers(seen),
            need: before.max(after),
            falls: after < before,
            delay,
            sky,
            banks,
        })
    }

    /// The moments at which one looks whether the panels give what they should, and whether they should give what is
    /// needed: from the wanted time to the start as it is.
    pub fn moments(&self, meant: &MeantStart) -> (Vec<Ms>, bool) {
        let delay = signed(self.delay);
        let (wanted, start) = (meant.wanted - delay, meant.start() - delay);
        let (from, to, on) = match meant.bound {
            Bound::AtLatest => (wanted, start, true),
            Bound::NotBefore => (wanted - 1, start, false),
        };
        let at = |n: i64| meant.of_day(from + (to - from) * n / 4);
        // The load is on where steps lack and it starts as they fall, or where there are enough and it starts as they rise.
        ((0..=4).map(at).collect(), on != self.falls)
    }

    /// The most and the least that all panels give at these moments, as they are.
    pub fn extremes(&self, moments: &[Ms]) -> (u64, u64) {
        let mut all: Vec<u64> = Vec::new();
        for t in moments {
            for weather in &self.weathers {
                let each = self.banks.iter();
                let each = each.map(|b| steps(&self.sky, b, b.aim, *t, *weather));
                all.push(each.fold(0, u64::saturating_add));
            }
        }
        let most = all.iter().max().copied().unwrap_or(0);
        (most, all.iter().min().copied().unwrap_or(0))
    }
}

fn steps(sky: &Sky, bank: &Bank, aim: Aim, t: Ms, weather: f64) -> u64 {
    sky.steps(t, aim, bank.peak, weather)
        .saturating_mul(bank.count)
}

/// A panel turned by so many degrees of azimuth and of tilt; none where the tilt would leave the quarter.
fn turned(aim: Aim, (round, up): (i64, i64)) -> Option<Aim> {
    let whole = |degrees: f64| degrees.round() as i64;
    let tilt = whole(aim.tilt) + up;
    (0..=90).contains(&tilt).then(|| Aim {
        azimuth: (whole(aim.azimuth) + round).rem_euclid(360) as f64,
        tilt: tilt as f64,
    })
}

/// All turns of so many degrees in sum.
fn turns_of(degrees: i64) -> impl Iterator<Item = (i64, i64)> {
    let tilts = -degrees.min(90)..=degrees.min(90);
    tilts.flat_map(move |up| {
        let round = degrees - up.abs();
        let other = (round != 0).then_some((-round, up));
        [Some((round, up)), other].into_iter().flatten()
    })
}

/// Of the turns that fit the smallest, and each wider one that gives more over the day than all smaller ones: a panel that
/// looks elsewhere may lack the energy that a duty needs.
fn smallest(
    fits: impl Fn((i64, i64)) -> bool,
    gives: impl Fn((i64, i64)) -> u64,
) -> Vec<(i64, i64)> {
    let mut found: Vec<(i64, i64)> = Vec::new();
    let (mut most, mut widest) = (None, WIDEST);
    for degrees in 1..=WIDEST {
        if degrees > widest {
            break;
        }
        let fitting = turns_of(degrees).filter(|turn| fits(*turn));
        let best = fitting.max_by_key(|turn| (gives(*turn), *turn));
        let Some(best) = best.filter(|turn| Some(gives(*turn)) > most) else {
            continue;
        };
        if most.is_none() {
            widest = degrees * 2 + 20;
        }
        most = Some(gives(best));
        found.push(best);
    }
    // Evenly thinned, the widest of each part.
    let every = found.len().div_ceil(AIMS).max(1);
    let last = found.len();
    let thinned = found.into_iter().enumerate();
    let keeps = |at: usize| at == 0 || at + 1 == last || (at + 1).is_multiple_of(every);
    thinned
        .filter(|(at, _)| keeps(*at))
        .map(|(_, turn)| turn)
        .collect()
}

/// The turns that fit in the order of their size, so many.
fn first_turns(fits: impl Fn((i64, i64)) -> bool, many: usize) -> Vec<(i64, i64)> {
    let all = (0..=WIDEST).flat_map(turns_of);
    all.filter(|turn| fits(*turn)).take(many).collect()
}

/// Each bank turned alone, and all of them by as much.
pub(super) fn changes(ahead: &Ahead, sun: &Sun) -> Vec<StartChange> {
    let mut choices: Vec<Vec<usize>> = (0..sun.banks.len()).map(|at| vec![at]).collect();
    if sun.banks.len() > 1 {
        choices.push((0..sun.banks.len()).collect());
    }
    let (moments, enough) = sun.moments(ahead.meant);
    let mut out: Vec<(i64, StartChange)> = Vec::new();
    for choice in choices {
        let fits = |turn: (i64, i64)| {
            let aims: Option<Vec<Aim>> = (sun.banks.iter().enumerate())
                .map(|(at, bank)| match choice.contains(&at) {
                    true => turned(bank.aim, turn),
                    false => Some(bank.aim),
                })
                .collect();
            aims.is_some_and(|aims| {
                moments.iter().all(|t| {
                    sun.weathers.iter().all(|weather| {
                        let each = sun.banks.iter().zip(&aims);
                        let each = each.map(|(b, aim)| steps(&sun.sky, b, *aim, *t, *weather));
                        (each.fold(0, u64::saturating_add) >= sun.need) == enough
                    })
                })
            })
        };
        // What the turned banks give, by samples of a clear day.
        let gives = |turn: (i64, i64)| {
            let each = choice.iter().filter_map(|at| {
                let bank = &sun.banks[*at];
                Some((bank, turned(bank.aim, turn)?))
            });
            let one = |(bank, aim): (&Bank, Aim)| -> u64 {
                let at = |n: u64| ahead.meant.day / SAMPLES * n;
                (0..SAMPLES)
                    .map(|n| steps(&sun.sky, bank, aim, at(n), 1.0))
                    .fold(0, u64::saturating_add)
            };
            each.map(one).fold(0, u64::saturating_add)
        };
        for turn in smallest(fits, gives) {
            let degrees = (turn.0.abs() + turn.1.abs()) * signed(choice.len() as u64);
            let banks: Vec<&Bank> = choice.iter().map(|at| &sun.banks[*at]).collect();
            out.extend(aimed(ahead, &banks, turn).map(|change| (degrees, change)));
        }
    }
    out.sort_by_key(|(degrees, _)| *degrees);
    out.into_iter().map(|(_, change)| change).collect()
}

fn aimed(ahead: &Ahead, banks: &[&Bank], turn: (i64, i64)) -> Option<StartChange> {
    let mut said = Vec::new();
    let mut edits = Vec::new();
    for bank in banks {
        let aim = turned(bank.aim, turn)?;
        let (azimuth, tilt) = (aim.azimuth as u64, aim.tilt as u64);
        let id = ahead.seen.id(bank.part);
        let edit = |key: &str, value: u64| Edit::Set(id.clone(), key.into(), Some(json!(value)));
        edits.push(edit("azimuth", azimuth));
        edits.push(edit("tilt", tilt));
        let name = ahead.seen.name(bank.part);
        said.push(format!("{name} turned to {azimuth}° and tilted {tilt}°"));
    }
    let said = crate::net::words::list(&said);
    let group: Vec<&str> = banks
        .iter()
        .map(|b| ahead.seen.id(b.part).as_str())
        .collect();
    Some(StartChange {
        kind: OfferKind::Aim,
        group: format!("aim {}", group.join(" ")),
        name: format!("have {said}"),
        what: said,
        edits,
    })
}

/// The smallest turns of a panel of its own that feeds a coil of so many steps, so that the load starts near
/// the wanted time; `falls` says that it starts as the coil goes dead.
pub(super) fn own_turns(
    ahead: &Ahead,
    (aim, peak): (Aim, u64),
    coil: u64,
    falls: bool,
) -> Vec<Aim> {
    let (seen, meant) = (ahead.seen, ahead.meant);
    let own = Sun {
        sky: seen.plan.world.sky(),
        banks: Vec::new(),
        weathers: weathers(seen),
        need: coil,
        falls,
        delay: seen.plan.book.book.lag_ms,
    };
    let (moments, enough) = own.moments(meant);
    let near = |part: Ms| {
        let near = match meant.bound {
            Bound::AtLatest => meant.wanted - signed(meant.day / part),
            Bound::NotBefore => meant.wanted + signed(meant.day / part),
        };
        meant.of_day(near - signed(own.delay))
    };
    let within = |near: Ms| {
        let fits = |turn: (i64, i64)| {
            let Some(aim) = turned(aim, turn) else {
                return false;
            };
            let gives =
                |t: Ms, weather: f64| (own.sky.steps(t, aim, peak, weather) >= coil) == enough;
            let all = |t: &Ms| own.weathers.iter().all(|weather| gives(*t, *weather));
            moments.iter().all(all) && own.weathers.iter().any(|weather| !gives(near, *weather))
        };
        first_turns(fits, 2)
    };
    // Within five minutes of a day of 24 hours, else within a quarter of an hour.
    let found = [288, 96].into_iter().flat_map(|part| within(near(part)));
    found.filter_map(|turn| turned(aim, turn)).collect()
}
