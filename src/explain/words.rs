//! The words of an explanation: every piece of data as whole sentences, with links to what they speak of.
//!
//! Powers and energies in the book's unit, energies to a tenth; moments on the plan's dial, the begun minute.

mod cautions;
mod condition;
mod day;
mod deeds;
mod dull;
mod groups;
mod stories;

use super::explanation::{Explanation, MOST_STRETCHES, PartDeed, PartStory, ShownDay, Stretches};
use super::passage::{LinkTarget, Passage};
use crate::net::words::power;
use crate::plan::{Clock, PartId, Plan};
use crate::proof::length;
use crate::quantity::{Energy, Ms, Short, Steps};
use std::collections::BTreeSet;

/// How many names of one list are said.
const MOST_NAMES: usize = 6;

/// Below ten minutes a day is short.
const SHORT_DAY: Ms = 600_000;

/// Stand around a part's place where its name belongs, in words that are made elsewhere.
const MARKS: (char, char) = ('\u{E000}', '\u{E001}');

/// Says the explanation of a plan.
pub struct ExplainWords<'a> {
    plan: &'a Plan,
    shown: ShownDay,
    day_ms: Ms,
    /// The duties that the plan keeps, and its loads.
    kept: BTreeSet<usize>,
    loads: Vec<PartId>,
    /// The plan with each part called by its place between marks: where other rooms make the words, that shows where they
    /// speak of a part.
    marked: Plan,
}

impl<'a> ExplainWords<'a> {
    /// The words for an explanation of `plan`.
    pub fn new(plan: &'a Plan, explanation: &Explanation) -> ExplainWords<'a> {
        let mut marked = plan.clone();
        for (at, part) in marked.parts.iter_mut().enumerate() {
            part.name = format!("{}{at}{}", MARKS.0, MARKS.1);
        }
        let duties = explanation.parts.iter().flat_map(|story| &story.duties);
        let is_load = |story: &&PartStory| matches!(story.did, PartDeed::Load { .. });
        let loads = explanation.parts.iter().filter(is_load);
        ExplainWords {
            plan,
            shown: explanation.shown,
            day_ms: plan.world.day_ms().max(1),
            kept: duties
                .filter(|(_, kept)| *kept)
                .map(|(at, _)| *at)
                .collect(),
            loads: loads.map(|story| story.part.clone()).collect(),
            marked,
        }
    }

    /// Which day is told.
    pub fn heading(&self) -> Passage {
        let mut said = Passage::default();
        let ShownDay {
            day,
            repeats,
            days,
            stopped,
            ..
        } = self.shown;
        match repeats {
            Some((first, last)) if first == last => {
                said.say(format!(
                    "This is day {day} of the run, which goes on repeating."
                ));
            }
            Some((first, last)) => {
                let to = if first + 1 == last { "and" } else { "to" };
                said.say(format!(
                    "This is day {day} of the run. Days {first} {to} {last} go on repeating."
                ));
            }
            None if stopped => {
                said.say("This is day 1, as far as it was run: too much happens in it.");
            }
            None => said.say(format!("This is day 1. No day repeats within {days} days.")),
        }
        let weather = &self.plan.world.weather;
        let at = usize::try_from(day.saturating_sub(1)).unwrap_or(0) % weather.len().max(1);
        if weather.len() > 1
            && let Some(factor) = weather.get(at)
        {
            said.say(format!(" The weather of day {day} is {}.", Short(*factor)));
        }
        said
    }

    /// A part's name.
    fn part(&self, said: &mut Passage, id: &PartId) {
        said.link(self.plan.called(id), LinkTarget::Part(id.clone()));
    }

    /// Names as one reads them out: `A, B and C`. Of many only the first are said.
    fn parts<'b>(&self, said: &mut Passage, ids: impl IntoIterator<Item = &'b PartId>) {
        let ids: Vec<&PartId> = ids.into_iter().collect();
        let named = match ids.len() {
            all if all <= MOST_NAMES => all,
            _ => MOST_NAMES - 1,
        };
        for (at, id) in ids[..named].iter().enumerate() {
            said.say(match at {
                0 => "",
                _ if at + 1 == ids.len() => " and ",
                _ => ", ",
            });
            self.part(said, id);
        }
        if named < ids.len() {
            said.say(format!(" and {} more", ids.len() - named));
        }
    }

    /// `12 u`.
    fn power(&self, steps: u64) -> String {
        power(self.plan, Steps(steps))
    }

    /// `14.2 u·h`; in a world of short days, where a tenth is more than there is, a little energy in more places.
    fn energy(&self, energy: Energy) -> String {
        let unit = &self.plan.book.book.unit;
        let hours = unit.hours(energy);
        match hours.abs() < 0.1 && self.day_ms < SHORT_DAY {
            true => format!("{} {}·h", Short(hours), unit.sign),
            false => unit.say_energy(energy),
        }
    }

    /// `61.1 u·h (34 %)`.
    fn level(&self, (level, capacity): (Energy, Energy)) -> String {
        let percent = (level * 100 + capacity / 2) / capacity.max(1);
        format!("{} ({percent} %)", self.energy(level))
    }

    /// A moment of the day on the dial.
    fn clock(&self, t: Ms) -> String {
        match t == self.shown.to && t.is_multiple_of(self.day_ms) {
            true => "24:00".into(),
            false => Clock::at(t, self.day_ms).to_string(),
        }
    }

    fn time(&self, said: &mut Passage, t: Ms) {
        said.link(self.clock(t), LinkTarget::Time(t));
    }

    /// A moment of the run: `06:20`, or of another day than the one that is told `06:20 on day 3`.
    fn moment(&self, said: &mut Passage, t: Ms) {
        self.time(said, t);
        if !(self.shown.from..=self.shown.to).contains(&t) {
            said.say(format!(" on day {}", t / self.day_ms + 1));
        }
    }

    /// When something is so: `all day`, `until 06:20 and from 17:40 on`, `at no time`.
    fn when(&self, said: &mut Passage, stretches: &Stretches) {
        let ShownDay { from, to, .. } = self.shown;
        if stretches.count == 0 {
            return said.say("at no time");
        }
        if stretches.first == [(from, to)] {
            return said.say("all day");
        }
        if stretches.count > MOST_STRETCHES as u64 {
            said.say(format!(
                "{} times, {} in all",
                stretches.count,
                length(stretches.time)
            ));
            return;
        }
        for (at, stretch) in stretches.first.iter().enumerate() {
            said.say(match at {
                0 => "",
                _ if at + 1 == stretches.first.len() => " and ",
                _ => ", ",
            });
            self.stretch(said, *stretch);
        }
    }

    fn stretch(&self, said: &mut Passage, (from, to): (Ms, Ms)) {
        if from == self.shown.from {
            said.say("until ");
            return self.time(said, to);
        }
        if self.clock(from) == self.clock(to) {
            said.say("at ");
            self.time(said, from);
            return said.say(format!(" for {}", length(to - from)));
        }
        said.say("from ");
        self.time(said, from);
        if to == self.shown.to {
            return said.say(" on");
        }
        said.say(" to ");
        self.time(said, to);
    }

    /// Whether a load is a light, which is said to go dark.
    fn is_light(&self, id: &PartId) -> bool {
        let kind = self.plan.part(id).and_then(|part| self.plan.kind_of(part));
        kind.is_some_and(|kind| kind.gives_light())
    }

    /// Words that another room made of the marked plan, with their names linked.
    fn marked(&self, said: &mut Passage, text: &str) {
        let mut rest = text;
        while let Some((before, after)) = rest.split_once(MARKS.0) {
            let named = after.split_once(MARKS.1);
            let part =
                named.and_then(|(place, _)| self.plan.parts.get(place.parse::<usize>().ok()?));
            match (part, named) {
                (Some(part), Some((_, behind))) => {
                    said.say(before);
                    self.part(said, &part.id);
                    rest = behind;
                }
                _ => {
                    said.say(before);
                    said.say(MARKS.0.to_string());
                    rest = after;
                }
            }
        }
        said.say(rest);
    }
}

/// `runs` of one, `run` of several.
fn of_several(count: usize, one: &'static str, several: &'static str) -> &'static str {
    if count == 1 { one } else { several }
}
