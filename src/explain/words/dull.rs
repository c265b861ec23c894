//! The words for a dull day.

use super::{ExplainWords, of_several};
use crate::explain::explanation::DullNews;
use crate::explain::passage::{LinkTarget, Passage};
use crate::plan::{Clock, PartId};
use crate::proof::length;
use crate::quantity::Ms;

/// How many moments of one list are said.
const MOST_MOMENTS: usize = 4;

impl ExplainWords<'_> {
    /// What happens where the sun gives nothing.
    pub fn dull(&self, news: &DullNews) -> Passage {
        let mut said = Passage::default();
        let words = &mut said;
        match news {
            DullNews::NoSun => {
                words.say("Nothing here lives on the sun, so a dull day changes nothing");
            }
            DullNews::RunsOn { loads } => {
                self.without_sun(words);
                self.each(words, loads, ("runs", "run"));
                words.say(of_several(
                    loads.len(),
                    ", when it would be off with the sun",
                    ", when they would be off with the sun",
                ));
            }
            DullNews::GoesDark {
                loads,
                empty,
                first,
            } => {
                self.goes_dark(words, loads, *first);
                if !empty.is_empty() {
                    words.say(", with ");
                    self.parts(words, empty);
                    words.say(" down to ");
                    words.say(of_several(empty.len(), "its cut-out", "their cut-outs"));
                }
            }
            DullNews::Holds { days } => {
                self.without_sun(words);
                words.say(match days {
                    1 => "no load fails within a day".into(),
                    _ => format!("no load fails within {days} days"),
                });
            }
            DullNews::Survives {
                days,
                exact,
                duties,
            } => self.survives(words, (*days, *exact), *duties),
            DullNews::Breaks { .. } => self.breaks_first(words, news),
        }
        words.say(".");
        said
    }

    fn goes_dark(&self, words: &mut Passage, loads: &[(PartId, Ms)], first: bool) {
        let Some((_, at)) = loads.first().filter(|_| first) else {
            words.say("Then ");
            return self.each(words, loads, ("fails", "fail"));
        };
        self.without_sun(words);
        words.say(of_several(
            loads.len(),
            "the first load to fail is ",
            "the first loads to fail are ",
        ));
        self.parts(words, loads.iter().map(|(id, _)| id));
        words.say(", at ");
        self.dull_moment(words, *at);
        let held = length(at.saturating_sub(self.shown.from));
        words.say(format!(" and so after {held}"));
    }

    fn survives(
        &self,
        words: &mut Passage,
        (days, exact): (u64, bool),
        (kept, all): (usize, usize),
    ) {
        let no_duty = match kept == all {
            true => "no duty",
            false => "no duty that is kept otherwise",
        };
        words.say(match (days, exact) {
            (0, _) => "A single day without sun breaks a duty".into(),
            (1, true) => format!("One day without sun breaks {no_duty}; two in a row do"),
            (days, true) => {
                format!("{days} days without sun in a row break {no_duty}; one more does")
            }
            (days, false) => {
                format!(
                    "{days} days without sun in a row break {no_duty}; of more nothing is known"
                )
            }
        });
    }

    fn breaks_first(&self, words: &mut Passage, news: &DullNews) {
        let DullNews::Breaks {
            day,
            days,
            duty,
            from,
            on,
        } = news
        else {
            return;
        };
        words.say(match days {
            1 => format!("If there is none on day {day}, "),
            _ => format!("If there is none for {days} days from day {day} on, "),
        });
        if let Some(duty) = self.plan.duties.get(*duty) {
            self.part(words, &duty.part);
        }
        words.say(match on {
            true => " runs though it should be off, first at ",
            false => " is off though it should run, first at ",
        });
        self.moment(words, *from);
    }

    /// What loads do, and when: `A and B run at 06:20, C at 07:10`. Of many moments only the first are said.
    fn each(&self, words: &mut Passage, loads: &[(PartId, Ms)], (one, several): (&str, &str)) {
        let same = |a: &(PartId, Ms), b: &(PartId, Ms)| {
            Clock::at(a.1, self.day_ms) == Clock::at(b.1, self.day_ms)
                && a.1 / self.day_ms == b.1 / self.day_ms
        };
        let mut said = 0;
        for (number, chunk) in loads.chunk_by(same).enumerate().take(MOST_MOMENTS) {
            said += chunk.len();
            words.say(if number == 0 { "" } else { ", " });
            self.parts(words, chunk.iter().map(|(id, _)| id));
            let verb = if chunk.len() == 1 { one } else { several };
            words.say(match number {
                0 => format!(" {verb} at "),
                _ => " at ".into(),
            });
            self.dull_moment(words, chunk[0].1);
        }
        if said < loads.len() {
            words.say(format!(" and {} more later", loads.len() - said));
        }
    }

    /// The beginning of a sentence about what the runs beside each other show.
    fn without_sun(&self, words: &mut Passage) {
        let day = self.shown.day;
        words.say(format!("With no sun from day {day} on, "));
    }

    /// A moment of the run without the sun.
    fn dull_moment(&self, words: &mut Passage, t: Ms) {
        let day = t / self.day_ms + 1;
        let clock = Clock::at(t, self.day_ms).to_string();
        words.link(clock, LinkTarget::Time(t));
        if day > self.shown.day {
            words.say(format!(" on day {day}"));
        }
    }
}
