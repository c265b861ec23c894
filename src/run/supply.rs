//! What a source could give through the days: constant but for whole steps at known milliseconds.

use crate::book::Profile;
use crate::plan::{Plan, Spec};
use crate::quantity::Ms;
use crate::sky::{Aim, Sky, wind_steps};
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::sync::Arc;

/// One day of one source of its kind: (milliseconds after midnight, steps), the first at 0, each other than the last.
type Day = Arc<Vec<(Ms, u64)>>;

/// One source's days, starting again after the last.
#[derive(Clone, Debug)]
pub struct Supply {
    day: Ms,
    count: u64,
    days: Arc<[Day]>,
    /// When it gives nothing, whatever its days say: `[from, to)`, empty unless something took it away.
    shade: (Ms, Ms),
}

/// What a sun source's day depends on, to the bit.
type Key = (Vec<u64>, [u64; 4]);

/// How many days are kept at the most before all are forgotten.
const KEPT: usize = 4096;

thread_local! {
    /// Days worked out before. The date does not advance and an edit seldom turns a panel, so the same days are asked
    /// for at every solve; finding every step of one takes longer than the rest of a small plan's run.
    static DAYS: RefCell<BTreeMap<Key, Day>> = const { RefCell::new(BTreeMap::new()) };
}

/// Works the days of sources out.
pub struct Days<'a> {
    plan: &'a Plan,
    sky: Sky,
}

impl<'a> Days<'a> {
    /// The days of the plan's world.
    pub fn new(plan: &'a Plan) -> Days<'a> {
        Days {
            plan,
            sky: plan.world.sky(),
        }
    }

    /// The days of a source; `None` for any other part.
    pub fn supply(&self, spec: &Spec) -> Option<Supply> {
        let Spec::Source {
            peak,
            count,
            profile,
            aim,
        } = *spec
        else {
            return None;
        };
        let days = match profile {
            Profile::Steady => vec![Arc::new(vec![(0, peak)])],
            Profile::Wind => vec![Arc::new(self.wind(peak))],
            Profile::Sun => {
                let weather = &self.plan.world.weather;
                weather.iter().map(|w| self.sun(aim, peak, *w)).collect()
            }
        };
        Some(Supply {
            day: self.sky.day_ms,
            count,
            days: days.into(),
            shade: (0, 0),
        })
    }

    fn sun(&self, aim: Aim, peak: u64, weather: f64) -> Day {
        let of = [
            aim.azimuth.to_bits(),
            aim.tilt.to_bits(),
            peak,
            weather.to_bits(),
        ];
        let key = (self.sky.key(), of);
        if let Some(day) = DAYS.with_borrow(|days| days.get(&key).cloned()) {
            return day;
        }
        let (first, changes) = self.sky.step_changes(aim, peak, weather);
        let day: Day = Arc::new(std::iter::once((0, first)).chain(changes).collect());
        DAYS.with_borrow_mut(|days| {
            if days.len() >= KEPT {
                days.clear();
            }
            days.insert(key, day.clone());
        });
        day
    }

    fn wind(&self, peak: u64) -> Vec<(Ms, u64)> {
        let mut day: Vec<(Ms, u64)> = Vec::new();
        for hour in 0..24u64 {
            let wind = self
                .plan
                .world
                .wind
                .get(hour as usize)
                .copied()
                .unwrap_or(0.0);
            let at = (u128::from(hour) * u128::from(self.sky.day_ms)).div_ceil(24) as Ms;
            let steps = wind_steps(peak, wind);
            // On a dial of a few milliseconds several hours begin in one; the last of them holds.
            while day.last().is_some_and(|(t, _)| *t == at) {
                day.pop();
            }
            if day.last().is_none_or(|(_, s)| *s != steps) && at < self.sky.day_ms {
                day.push((at, steps));
            }
        }
        day
    }
}

impl Supply {
    /// The days of a source of `plan`; `None` for any other part.
    pub fn of(plan: &Plan, spec: &Spec) -> Option<Supply> {
        Days::new(plan).supply(spec)
    }

    /// The most that the whole bank could give at any time.
    pub fn most(&self) -> u64 {
        let steps = self.days.iter().flat_map(|day| day.iter());
        steps
            .map(|(_, steps)| steps * self.count)
            .max()
            .unwrap_or(0)
    }

    fn of_day(&self, number: u64) -> &[(Ms, u64)] {
        let at = number % self.days.len() as u64;
        &self.days[at as usize]
    }

    /// From `from` up to `to` it gives nothing.
    pub fn shade(&mut self, from: Ms, to: Ms) {
        self.shade = (from, to);
    }

    fn is_shaded(&self, t: Ms) -> bool {
        self.shade.0 <= t && t < self.shade.1
    }

    /// What the whole bank could give at `t`.
    pub fn at(&self, t: Ms) -> u64 {
        if self.is_shaded(t) {
            return 0;
        }
        let day = self.of_day(t / self.day);
        let after = day.partition_point(|(at, _)| *at <= t % self.day);
        after.checked_sub(1).map_or(0, |at| day[at].1 * self.count)
    }

    /// The next moment after `t` at which that may change.
    pub fn next(&self, t: Ms) -> Option<Ms> {
        if self.is_shaded(t) {
            return (self.shade.1 < Ms::MAX).then_some(self.shade.1);
        }
        let (number, into) = (t / self.day, t % self.day);
        let day = self.of_day(number);
        if let Some((at, _)) = day.get(day.partition_point(|(at, _)| *at <= into)) {
            return Some(number * self.day + at);
        }
        let constant = self.days.len() == 1 && day.len() == 1;
        (!constant).then(|| (number + 1) * self.day)
    }

    /// When the whole bank could next give `steps` or more, after `t`; `None` where it never could.
    pub fn reaches(&self, t: Ms, steps: u64) -> Option<Ms> {
        let round = self.day.saturating_mul(self.days.len() as u64 + 1);
        let end = t.saturating_add(round);
        let mut at = t;
        while let Some(next) = self.next(at).filter(|next| *next <= end) {
            if self.at(next) >= steps {
                return Some(next);
            }
            at = next;
        }
        None
    }
}
