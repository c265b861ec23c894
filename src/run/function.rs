//! The functions of contacts.
//!
//! Those without signals are a truth at every moment, found from the time alone ([`Clockwork`]); those with signals keep
//! a little memory and are worked out at each solve ([`Memory`]). On-delay, off-delay, pulse, latch and counter follow
//! IEC 61131-3 (TON, TOF, TP, SR and RS, CTU). Times in milliseconds.

use crate::plan::{Conditions, Function, When, World};
use crate::quantity::Ms;
use crate::sky::Sky;
use std::cell::RefCell;
use std::collections::BTreeMap;

/// A function that the time alone decides: the places in the day where it may change, and its truth at any moment.
#[derive(Clone, Debug)]
pub struct Clockwork {
    day: Ms,
    /// Milliseconds after midnight, in order, each once.
    moments: Vec<Ms>,
    truth: Truth,
    /// Whether it is true where `truth` is not.
    turned: bool,
    /// What is thrown by hand: when since midnight of day 1, and what the switch is then; in the order of time.
    by_hand: Vec<(Ms, bool)>,
}

#[derive(Clone, Debug)]
enum Truth {
    Manual {
        closed: bool,
        schedule: Vec<(Ms, bool)>,
    },
    Button {
        hold: Ms,
        presses: Vec<Ms>,
    },
    /// True in these stretches of a day, over midnight where the end is earlier.
    Spans(Vec<(Ms, Ms)>),
    /// As at midnight, changing at each of these.
    Toggles(bool, Vec<Ms>),
}

/// Whether something is true at midnight, and when in the day that changes.
type Changes = (bool, Vec<Ms>);

/// What an answer of [`light_changes`] hangs on: the sky, and the threshold to the bit.
type LightKey = (Vec<u64>, Option<u64>);

/// How many answers of [`light_changes`] are kept before all are forgotten.
const KEPT: usize = 256;

thread_local! {
    /// What [`light_changes`] found, by the sky and the threshold. A proof runs the same world hundreds of times.
    static LIGHT: RefCell<BTreeMap<LightKey, Changes>> = const { RefCell::new(BTreeMap::new()) };
}

/// When there is less light than `below`, or where none is said, when it is dark.
fn light_changes(sky: &Sky, below: Option<f64>) -> Changes {
    let key = (sky.key(), below.map(f64::to_bits));
    if let Some(found) = LIGHT.with_borrow(|kept| kept.get(&key).cloned()) {
        return found;
    }
    let found = match below {
        Some(below) => sky.twilight_changes(below),
        None => sky.dark_changes(),
    };
    LIGHT.with_borrow_mut(|kept| {
        if kept.len() >= KEPT {
            kept.clear();
        }
        kept.insert(key, found.clone());
    });
    found
}

impl Clockwork {
    /// The clockwork of `function`; `None` for a function that the time alone does not decide.
    pub fn of(function: &Function, world: &World, sky: &Sky) -> Option<Clockwork> {
        let day = sky.day_ms;
        let span = |list: Vec<(Ms, Ms)>| Truth::Spans(list);
        let truth = match function {
            Function::Manual { closed, schedule } => Truth::Manual {
                closed: *closed,
                schedule: schedule.clone(),
            },
            Function::Button { hold, presses } => Truth::Button {
                hold: *hold,
                presses: presses.clone(),
            },
            Function::Twilight(below) => {
                let (first, changes) = light_changes(sky, Some(*below));
                Truth::Toggles(first, changes)
            }
            Function::Clock(from, to) => span(vec![(*from, *to)]),
            Function::Home => span(
                world
                    .home
                    .iter()
                    .map(|s| (s.from.ms(day), s.to.ms(day)))
                    .collect(),
            ),
            Function::Detector(times) => span(times.clone()),
            _ => return None,
        };
        Some(Clockwork::new(day, truth))
    }

    /// When a duty with these conditions applies, as a clockwork.
    pub fn of_duty(when: impl Into<Conditions>, world: &World, sky: &Sky) -> Clockwork {
        let all = when.into().deciding();
        let mut each = all.iter().map(|when| Clockwork::of_when(*when, world, sky));
        match (each.next(), all.len()) {
            (Some(one), 1) => one,
            (first, _) => Clockwork::all(sky.day_ms, first.into_iter().chain(each).collect()),
        }
    }

    /// True while all of these are, each of which is the same every day.
    fn all(day: Ms, each: Vec<Clockwork>) -> Clockwork {
        let truth = |t: Ms| each.iter().all(|one| one.truth(t));
        let mut moments: Vec<Ms> = (each.iter()).flat_map(|one| one.moments.clone()).collect();
        moments.retain(|moment| *moment > 0);
        moments.sort_unstable();
        let mut now = truth(0);
        let mut changes = Vec::new();
        for moment in moments {
            if truth(moment) != now {
                now = !now;
                changes.push(moment);
            }
        }
        Clockwork::new(day, Truth::Toggles(truth(0), changes))
    }

    /// When one condition holds.
    fn of_when(when: When, world: &World, sky: &Sky) -> Clockwork {
        let day = sky.day_ms;
        let home = || Function::Home;
        let of = |function: Function| Clockwork::of(&function, world, sky);
        let toggles =
            |first: bool, changes: Vec<Ms>| Clockwork::new(day, Truth::Toggles(first, changes));
        match when {
            When::Always => toggles(true, Vec::new()),
            When::Dark | When::Light => {
                let (dark, changes) = light_changes(sky, None);
                toggles(dark == (when == When::Dark), changes)
            }
            When::Home => of(home()).unwrap_or_else(|| toggles(false, Vec::new())),
            When::Away => of(home()).map_or_else(|| toggles(true, Vec::new()), Clockwork::turned),
            When::Clock(span) => {
                let stretch = (span.from.ms(day), span.to.ms(day));
                Clockwork::new(day, Truth::Spans(vec![stretch]))
            }
        }
    }

    fn new(day: Ms, truth: Truth) -> Clockwork {
        let mut moments = truth.moments(day);
        moments.sort_unstable();
        moments.dedup();
        Clockwork {
            day,
            moments,
            truth,
            turned: false,
            by_hand: Vec::new(),
        }
    }

    fn turned(mut self) -> Clockwork {
        self.turned = !self.turned;
        self
    }

    /// With a switch thrown or a button pressed by hand at these moments, in the order of time: a switch stays so until
    /// its schedule or somebody else says otherwise.
    pub fn by_hand(mut self, throws: Vec<(Ms, bool)>) -> Clockwork {
        self.by_hand = throws;
        self
    }

    /// The next moment after `t` at which the truth may change.
    pub fn next(&self, t: Ms) -> Option<Ms> {
        let daily = self.next_of_day(t);
        let hold = match &self.truth {
            Truth::Button { hold, .. } => *hold,
            _ => 0,
        };
        let thrown = self.by_hand.iter().flat_map(|(at, _)| [*at, at + hold]);
        thrown.filter(|at| *at > t).chain(daily).min()
    }

    fn next_of_day(&self, t: Ms) -> Option<Ms> {
        let (start, into) = (t / self.day * self.day, t % self.day);
        let at = self.moments.partition_point(|m| *m <= into);
        match self.moments.get(at) {
            Some(moment) => Some(start + moment),
            None => Some(start + self.day + self.moments.first()?),
        }
    }

    /// Whether the function is true at `t`.
    pub fn truth(&self, t: Ms) -> bool {
        let (number, into) = (t / self.day, t % self.day);
        let truth = match &self.truth {
            Truth::Manual { closed, schedule } => {
                let midnight = number * self.day;
                let today = schedule.iter().rev().find(|(at, _)| *at <= into);
                let today = today.map(|(at, closed)| (midnight + at, *closed));
                let before = schedule.last().filter(|_| number > 0);
                let before = before.map(|(at, closed)| (midnight - self.day + at, *closed));
                let entry = today.or(before);
                let thrown = self.by_hand.iter().rev().find(|(at, _)| *at <= t).copied();
                // Whoever throws it at the moment of an entry is the last to do so.
                let thrown = thrown.filter(|(at, _)| entry.is_none_or(|(entry, _)| *at >= entry));
                thrown.or(entry).map_or(*closed, |(_, closed)| closed)
            }
            // Only the latest press of each entry counts: it is held the longest.
            Truth::Button { hold, presses } => {
                let daily = |press: &Ms| t >= *press && (t - press) % self.day < *hold;
                let once = |(at, _): &(Ms, bool)| t >= *at && t - at < *hold;
                presses.iter().any(daily) || self.by_hand.iter().any(once)
            }
            Truth::Spans(spans) => spans.iter().any(|(from, to)| {
                if from <= to {
                    *from <= into && into < *to
                } else {
                    *from <= into || into < *to
                }
            }),
            Truth::Toggles(first, changes) => {
                *first ^ (changes.partition_point(|m| *m <= into) % 2 == 1)
            }
        };
        truth != self.turned
    }
}

impl Truth {
    /// Every place in the day at which the truth may change.
    fn moments(&self, day: Ms) -> Vec<Ms> {
        match self {
            Truth::Manual { schedule, .. } => schedule.iter().map(|(at, _)| at % day).collect(),
            Truth::Button { hold, presses } => presses
                .iter()
                .flat_map(|p| [p % day, (p + hold) % day])
                .collect(),
            Truth::Spans(spans) => spans
                .iter()
                .flat_map(|(from, to)| [from % day, to % day])
                .collect(),
            // Midnight too: a dial need not end as it began.
            Truth::Toggles(_, changes) if changes.is_empty() => Vec::new(),
            Truth::Toggles(_, changes) => {
                std::iter::once(0).chain(changes.iter().copied()).collect()
            }
        }
    }
}

/// What a function with signals remembers from solve to solve.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Memory {
    /// Whether it is true.
    pub truth: bool,
    /// Its signals at the solve before.
    pub before: [bool; 2],
    /// When its timer started, if it runs.
    pub since: Option<Ms>,
    /// How far it has counted.
    pub count: u64,
}

impl Memory {
    /// Works the function out from the signals `now` at the solve of `t`. Returns when its timer runs out, if one that
    /// runs was started here.
    pub fn step(&mut self, function: &Function, now: [bool; 2], t: Ms) -> Option<Ms> {
        let rising = [now[0] && !self.before[0], now[1] && !self.before[1]];
        let falling = !now[0] && self.before[0];
        let mut ends = None;
        match *function {
            Function::Relay => self.truth = now[0],
            Function::And => self.truth = now[0] && now[1],
            Function::Or => self.truth = now[0] || now[1],
            Function::Xor => self.truth = now[0] != now[1],
            Function::OnDelay(delay) => {
                if !now[0] {
                    self.since = None;
                } else if rising[0] {
                    self.since = Some(t);
                    ends = Some(t.saturating_add(delay));
                }
                self.truth = self.since.is_some_and(|since| t - since >= delay);
            }
            Function::OffDelay(delay) => {
                if now[0] {
                    self.since = None;
                } else if falling {
                    self.since = Some(t);
                    ends = Some(t.saturating_add(delay));
                }
                self.since = self.since.filter(|since| t - since < delay);
                self.truth = now[0] || self.since.is_some();
            }
            Function::Pulse(delay) => {
                self.since = self.since.filter(|since| t - since < delay);
                if rising[0] && self.since.is_none() && delay > 0 {
                    self.since = Some(t);
                    ends = Some(t.saturating_add(delay));
                }
                self.truth = self.since.is_some();
            }
            Function::Latch { reset_wins: false } => self.truth = now[0] || (!now[1] && self.truth),
            Function::Latch { reset_wins: true } => self.truth = !now[1] && (now[0] || self.truth),
            Function::Impulse => self.truth ^= rising[0],
            Function::Counter(target) => {
                if now[1] {
                    self.count = 0;
                } else if rising[0] && self.count < target {
                    self.count += 1;
                }
                self.truth = self.count >= target;
            }
            _ => {}
        }
        self.before = now;
        ends
    }

    /// What is left at `t` of the timer that `function` runs, for comparing two midnights. An on-delay that has run out
    /// is as good as any other that has.
    pub fn left(&self, function: &Function, t: Ms) -> Option<Ms> {
        let delay = delay(function)?;
        self.since
            .map(|since| (since.saturating_add(delay)).saturating_sub(t))
    }

    /// Starts the timer that `function` runs so that at `t`, which is no earlier than its delay, so much is left; none
    /// stops it.
    pub fn set_left(&mut self, function: &Function, left: Option<Ms>, t: Ms) {
        let since = |left: Ms| Some(t.saturating_sub(delay(function)?.saturating_sub(left)));
        self.since = left.and_then(since);
    }
}

/// How long the timer of a function runs.
pub fn delay(function: &Function) -> Option<Ms> {
    match function {
        Function::OnDelay(d) | Function::OffDelay(d) | Function::Pulse(d) => Some(*d),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Plays edges (`+t` rising, `-t` falling) and returns the edges of Q, evaluating at each edge and each time-out.
    fn play(function: Function, edges: &[i64]) -> Vec<i64> {
        let mut memory = Memory::default();
        let (mut out, mut due) = (Vec::new(), Vec::new());
        for t in 0..60u64 {
            let at = edges.iter().rev().find(|e| e.unsigned_abs() <= t);
            // +0 and -0 can't be told apart, so an input that starts live is written as +0 first.
            let live = at.is_some_and(|e| *e > 0 || (*e == 0 && !edges.is_empty()));
            let was = memory.truth;
            if live != memory.before[0] || due.contains(&t) {
                due.extend(memory.step(&function, [live, false], t));
            }
            if memory.truth != was {
                out.push(if memory.truth { t as i64 } else { -(t as i64) });
            }
        }
        out
    }

    // IEC 61131-3 TON, TOF, TP timing with PT = 5: computed from the standard's algebra as public libraries restate it
    // (its timing diagrams; first input sampled at 0). Rows at the very end of a delay are this project's documented choice.
    #[test]
    fn timers_follow_iec_61131_3() {
        let ton = |e: &[i64]| play(Function::OnDelay(5), e);
        assert_eq!(ton(&[0, -10]), [5, -10]);
        assert_eq!(ton(&[0, -4]), [0i64; 0]);
        assert_eq!(ton(&[0, -5]), [0i64; 0]);
        assert_eq!(ton(&[0, -10, 14, -17, 20, -31]), [5, -10, 25, -31]);
        assert_eq!(ton(&[0, -3, 4, -7, 8, -20]), [13, -20]);
        let tof = |e: &[i64]| play(Function::OffDelay(5), e);
        assert_eq!(tof(&[0, -10]), [0, -15]);
        assert_eq!(tof(&[0, -10, 13, -20]), [0, -25]);
        assert_eq!(tof(&[0, -10, 15, -20]), [0, -25]);
        assert_eq!(tof(&[0, -4, 8, -12, 14, -30]), [0, -35]);
        assert_eq!(tof(&[0, -1]), [0, -6]);
        let tp = |e: &[i64]| play(Function::Pulse(5), e);
        assert_eq!(tp(&[0, -10]), [0, -5]);
        assert_eq!(tp(&[0, -2, 3, -4]), [0, -5]);
        assert_eq!(
            tp(&[0, -10, 12, -13, 15, -16, 20, -30]),
            [0, -5, 12, -17, 20, -25]
        );
        assert_eq!(tp(&[0, -1, 6, -7]), [0, -5, 6, -11]);
        assert_eq!(tp(&[0, -50]), [0, -5]);
        assert_eq!(play(Function::Pulse(0), &[0, -3]), [0i64; 0]);
    }

    // IEC 61131-3 SR and RS bistables, and CTU with PV = 3: sequences computed from the standard's algebra.
    #[test]
    fn latches_and_counters_follow_iec_61131_3() {
        let rows = |function: Function, a: &str, b: &str| -> String {
            let mut memory = Memory::default();
            let bits = a.chars().zip(b.chars()).enumerate();
            bits.map(|(t, (a, b))| {
                memory.step(&function, [a == '1', b == '1'], t as Ms);
                if memory.truth { '1' } else { '0' }
            })
            .collect()
        };
        let (set, reset) = ("01000100110", "00010101101");
        assert_eq!(
            rows(Function::Latch { reset_wins: false }, set, reset),
            "01100110110"
        );
        assert_eq!(
            rows(Function::Latch { reset_wins: true }, set, reset),
            "01100000010"
        );
        assert_eq!(
            rows(Function::Counter(3), "01101010101101", "00000000001000"),
            "00000011110000"
        );
        assert_eq!(
            rows(Function::Impulse, "0110010110", "0000000000"),
            "0111100111"
        );
    }

    #[test]
    fn conditions_hold_together_over_midnight_and_meet_no_further_than_their_ends() {
        use crate::plan::{Clock, Span};
        let hour: Ms = 3_600_000;
        let plan = crate::net::testing::plan(
            r#"{ "parts": {}, "wires": [], "world": { "home": [["20:00", "08:00"]] } }"#,
        );
        let applies = |all: &[When]| {
            let when = Conditions::new(all).unwrap();
            Clockwork::of_duty(when, &plan.world, &plan.world.sky())
        };
        let clock = |from: &str, to: &str| {
            let of = |text| Clock::parse(text).unwrap();
            When::Clock(Span {
                from: of(from),
                to: of(to),
            })
        };
        let night = applies(&[When::Home, clock("22:00", "02:00")]);
        let hours = |work: &Clockwork| (0..48).filter(|h| work.truth(h * hour)).collect::<Vec<_>>();
        assert_eq!(hours(&night), [0, 1, 22, 23, 24, 25, 46, 47]);
        assert!(!night.truth(2 * hour) && night.truth(2 * hour - 1));
        assert_eq!(
            hours(&applies(&[When::Home, clock("08:00", "20:00")])),
            [0; 0]
        );
        let never = applies(&[When::Home, When::Away]);
        assert_eq!((never.truth(0), never.next(0)), (false, None));
    }

    #[test]
    fn a_button_is_true_while_held_and_holds_join() {
        let work = Clockwork::new(
            100,
            Truth::Button {
                hold: 30,
                presses: vec![10, 30, 90],
            },
        );
        let truths = |range: std::ops::Range<Ms>| range.map(|t| work.truth(t)).collect::<Vec<_>>();
        assert!(
            truths(0..10).iter().all(|q| !q),
            "nothing was pressed before t = 0"
        );
        assert!(truths(10..60).iter().all(|q| *q));
        assert!(truths(60..90).iter().all(|q| !q));
        assert!(
            truths(90..160).iter().all(|q| *q),
            "a hold goes over midnight and joins the next day's"
        );
    }
}
