//! Bounds: what a supply must have at the least, whatever hangs between it and the loads. Steps, milliseconds, step·ms.
//!
//! They hold for plans that repeat and for the pieces that are searched. A load whose duty applies for longer than its
//! grace runs at some moment of every stretch that long. Behind a battery, offers change only where a contact switches or
//! the output goes off and on. Contacts switch near the ends of the stretches in which a duty applies: no farther from
//! them than its grace, or the duty were broken. Once off, an output is on again only after the battery has taken in what
//! lies between its two marks, and then it stays on for at least as long as it takes to give that out again. So behind a
//! battery that can't take so much in within a grace, a load runs throughout a stretch but for its grace at either end;
//! behind one that can, for no less than the share that it is then on. Where a changeover stands between, its main side comes
//! and goes at most once an hour (wind) or once a day (sun), which leaves the share that an hour is of an hour and a grace; of the
//! sun's one stretch more than the two ends may be lost, so that each want is given two graces more. Through the hours in which no source gives
//! anything, what runs lives on what the battery holds.

use super::order::DraftOrder;
use super::sources::{SourceChoice, Spans, common};
use super::supplies::SupplyForm;
use crate::book::Behaviour;
use crate::quantity::{Ms, STEP_MS, seconds_to_ms};
use crate::run::Clockwork;

/// When wants must run, and what they draw.
#[derive(Clone, Debug)]
pub(super) struct Demand {
    day: Ms,
    /// Days of the weather.
    days: u128,
    wants: Vec<WantedPower>,
}

#[derive(Clone, Debug)]
struct WantedPower {
    draw: u64,
    grace: Ms,
    applies: Spans,
}

/// The counts from which on a form could do, each in the order of a form's counts, and from which of its counts on more of
/// it is to be tried. Whatever does has at least as many of everything as one of them, and as many of what comes before.
pub(super) type LeastCounts = Vec<(Vec<u64>, usize)>;

/// How many splits of the work between two sources are told apart.
const SPLITS: u64 = 256;

impl Demand {
    /// The demand of an order.
    pub fn of(order: &DraftOrder) -> Demand {
        let (day, sky) = (order.world.day_ms(), order.world.sky());
        let wants = order.wants.iter().map(|want| {
            let draw = match order.book.book.find(&want.kind).map(|t| &t.behaviour) {
                Some(Behaviour::Load { draw, .. }) => draw.saturating_mul(want.count),
                _ => 0,
            };
            let applies = want.duty.map_or(Spans::new(), |duty| {
                let applies = Clockwork::of_duty(duty.when, &order.world, &sky);
                spans(&applies, day)
            });
            let grace = want.duty.and_then(|duty| seconds_to_ms(duty.grace_s));
            WantedPower {
                draw,
                grace: grace.unwrap_or(0),
                applies,
            }
        });
        Demand {
            day,
            days: order.world.weather.len() as u128,
            wants: wants.collect(),
        }
    }

    /// What a want draws.
    pub fn draw(&self, want: usize) -> u64 {
        self.wants[want].draw
    }

    /// The grace of a want in milliseconds.
    pub fn grace(&self, want: usize) -> Ms {
        self.wants[want].grace
    }

    /// What these wants would use in a cycle of the weather if they ran all the time.
    pub fn always(&self, wants: &[usize]) -> u128 {
        let draw: u128 = wants.iter().map(|w| u128::from(self.draw(*w))).sum();
        draw * u128::from(self.day) * self.days
    }

    /// What a battery must offer at some moment: the draws of all that must run together.
    fn peak(&self, wants: &[usize]) -> u64 {
        let slack = wants.iter().map(|w| self.grace(*w)).max().unwrap_or(0);
        let mut cuts: Vec<Ms> = vec![0, self.day];
        for want in wants {
            cuts.extend(self.wants[*want].applies.iter().flat_map(|(a, b)| [*a, *b]));
        }
        cuts.sort_unstable();
        cuts.dedup();
        let together = cuts.windows(2).filter_map(|ends| {
            let (from, to) = (ends[0], ends[1]);
            (to - from > slack.saturating_mul(3)).then(|| {
                let runs = |want: &&usize| {
                    let applies = &self.wants[**want].applies;
                    applies.iter().any(|(a, b)| *a <= from && to <= *b)
                };
                wants.iter().filter(runs).map(|w| self.draw(*w)).sum()
            })
        });
        together.max().unwrap_or(0)
    }

    /// What these wants use at the least in a day's hours of `within`; `share` is the share of the time, in per mille, that
    /// a load of such a grace runs at the least, `ends` how many graces it may lose of a stretch beside that.
    fn least_energy(
        &self,
        wants: &[usize],
        within: &Spans,
        (ends, share): (u64, &dyn Fn(Ms) -> u128),
    ) -> u128 {
        let each = wants.iter().map(|want| {
            let want = &self.wants[*want];
            let runs: u128 = common(&want.applies, within)
                .iter()
                .map(|(from, to)| {
                    u128::from((to - from).saturating_sub(want.grace.saturating_mul(ends)))
                })
                .sum();
            u128::from(want.draw) * runs * share(want.grace) / 1000
        });
        each.sum()
    }

    /// The least counts with which a supply of this form could feed these wants; none where no counts do.
    pub fn least_counts(
        &self,
        form: &SupplyForm,
        wants: &[usize],
        choices: &[SourceChoice],
        kind: &dyn Fn(usize) -> Behaviour,
    ) -> LeastCounts {
        self.least_of(form, wants, choices, kind)
            .unwrap_or_default()
    }

    fn least_of(
        &self,
        form: &SupplyForm,
        wants: &[usize],
        choices: &[SourceChoice],
        kind: &dyn Fn(usize) -> Behaviour,
    ) -> Option<LeastCounts> {
        let mut least = vec![1; form.counts()];
        if form.from.is_some() {
            return Some(vec![(least, 0)]);
        }
        let nothing = self.nothing(form, choices);
        let Some(battery) = form.battery else {
            let is_lit = self.lit_throughout(&nothing, wants);
            return is_lit.then(|| vec![(least, 0)]);
        };
        let Behaviour::Battery {
            capacity,
            max_in,
            max_out,
            efficiency,
            cut_out,
            cut_in,
        } = kind(battery)
        else {
            return None;
        };
        // What lies between the marks, and what lies above the lower one, in step·ms.
        let whole = (capacity / STEP_MS) as u128;
        let between = whole * u128::from(cut_in - cut_out) / 1000;
        let usable = (whole * u128::from(1000 - cut_out) / 1000).max(1);
        let share = |grace: Ms| {
            let comes = u128::from(max_in) * u128::from(efficiency) * u128::from(grace) / 1000;
            let on = between / u128::from(max_out);
            match comes < between {
                true => 1000,
                false => 1000 * on / (on + u128::from(grace)).max(1),
            }
        };
        // A changeover's main side leaves its loads to the backup at most once an hour.
        let share_over = |grace: Ms| {
            let on = (between / u128::from(max_out)).min(u128::from(self.day / 24));
            1000 * on / (on + u128::from(grace)).max(1)
        };
        let all: Spans = vec![(0, self.day)];
        let longest = nothing
            .iter()
            .map(|span| self.least_energy(wants, &vec![*span], (2, &|_| 1000)))
            .max();
        let held = whole_counts(longest.unwrap_or(0), usable)?.max(1);
        let store = form.sources.len();
        let given = |at: &usize| (choices[*at].energy * u128::from(efficiency)).div_ceil(1000);
        if let Some((_, main)) = form.over {
            least[store] = held;
            let needs = self.least_energy(wants, &all, (4, &share_over)) * self.days;
            let [source] = &form.sources[..] else {
                return Some(vec![(least, 0)]);
            };
            let (fixed, other) = ((0, given(source)), (store + 1, choices[main].energy));
            return Some(splits(&least, needs, fixed, other));
        }
        least[store] = held.max(self.peak(wants).div_ceil(max_out));
        let needs = self.least_energy(wants, &all, (2, &share)) * self.days;
        match &form.sources[..] {
            [a, b] => Some(splits(&least, needs, (0, given(a)), (1, given(b)))),
            [a] => {
                least[0] = whole_counts(needs, given(a))?;
                Some(vec![(least, 0)])
            }
            _ => Some(vec![(least, 0)]),
        }
    }

    /// When none of a form's sources gives anything.
    fn nothing(&self, form: &SupplyForm, choices: &[SourceChoice]) -> Spans {
        let all: Spans = vec![(0, self.day)];
        let main = form.over.iter().map(|(_, main)| main);
        let each = form.sources.iter().chain(main);
        let each = each.map(|at| &choices[*at].nothing);
        each.fold(all, |both, own| common(&both, own))
    }

    /// Whether every duty can be done by day.
    pub fn is_by_day(&self, dark: &Spans) -> bool {
        let all: Vec<usize> = (0..self.wants.len()).collect();
        self.lit_throughout(dark, &all)
    }

    /// Whether no duty applies for longer than its grace while nothing is given.
    fn lit_throughout(&self, nothing: &Spans, wants: &[usize]) -> bool {
        wants.iter().all(|want| {
            let want = &self.wants[*want];
            let dark = common(&want.applies, nothing);
            dark.iter().all(|(from, to)| to - from <= want.grace)
        })
    }

    /// Counts beyond which more of anything is more than enough: four times what all wants would use if they ran all the
    /// time, held for some days more than asked.
    pub fn enough(
        &self,
        form: &SupplyForm,
        (wants, hold): (&[usize], Ms),
        choices: &[SourceChoice],
        kind: &dyn Fn(usize) -> Behaviour,
    ) -> Vec<u64> {
        let always = self.always(wants);
        let draw: u64 = wants.iter().map(|w| self.draw(*w)).sum();
        let held = u128::from(draw) * u128::from(hold.saturating_add(4 * self.day));
        let source = |at: usize| {
            let given = whole_counts(always * 5, choices[at].energy).unwrap_or(1);
            // One that gives its most at noon only must give enough then, too.
            given.max(draw.div_ceil(choices[at].most.max(1)) * 2) + 1
        };
        let mut counts: Vec<u64> = form.sources.iter().map(|at| source(*at)).collect();
        if let Some(Behaviour::Battery {
            capacity,
            max_in,
            max_out,
            cut_out,
            ..
        }) = form.battery.map(kind)
        {
            let whole = (capacity / STEP_MS) as u128;
            let usable = (whole * u128::from(1000 - cut_out) / 1000).max(1);
            let holds = whole_counts(held, usable).unwrap_or(1);
            counts.push(
                holds
                    .max(draw.div_ceil(max_out))
                    .max((8 * draw).div_ceil(max_in))
                    + 1,
            );
        }
        counts.extend(form.over.map(|(_, main)| source(main)));
        let most = crate::limits::COUNT;
        counts.iter().map(|count| (*count).min(most)).collect()
    }
}

/// The ways to split what is needed between two sources: their places among the counts and what one of each gives. More of
/// the first is tried from the last of them alone, beyond which one of the other is enough.
fn splits(
    least: &[u64],
    needs: u128,
    (first, gives): (usize, u128),
    (other, others): (usize, u128),
) -> LeastCounts {
    let mut found = LeastCounts::new();
    for count in 1..=SPLITS {
        let left = needs.saturating_sub(gives * u128::from(count));
        let Some(rest) = whole_counts(left, others) else {
            continue;
        };
        let is_last = rest == 1 || count == SPLITS;
        let mut counts = least.to_vec();
        counts[first] = count;
        counts[other] = if is_last { 1 } else { rest };
        found.push((counts, usize::from(!is_last)));
        if is_last {
            break;
        }
    }
    found
}

/// How many of `each` make up `needs`, 1 at the least; none where each is nothing.
fn whole_counts(needs: u128, each: u128) -> Option<u64> {
    let counts = needs.div_ceil(each.max(1)).max(1);
    (each > 0 || needs == 0).then_some(counts.min(u128::from(u64::MAX)) as u64)
}

/// When a clockwork is true within a day.
fn spans(applies: &Clockwork, day: Ms) -> Spans {
    let mut found = Spans::new();
    let mut at = 0;
    while at < day {
        let to = applies.next(at).unwrap_or(day).min(day);
        if applies.truth(at) {
            match found.last_mut().filter(|last| last.1 == at) {
                Some(last) => last.1 = to,
                None => found.push((at, to)),
            }
        }
        at = to;
    }
    found
}
