//! The words for a dull day.

use super::{ExplainWords, of_several};
use crate::explain::explanation::DullNews;
use crate::explain::passage::{LinkTarget, Passage};
use crate::proof::length;
use crate::quantity::Ms;

impl ExplainWords<'_> {
    /// What happens where the sun gives nothing.
    pub fn dull(&self, news: &DullNews) -> Passage {
        let mut said = Passage::default();
        let words = &mut said;
        match news {
            DullNews::NoSun => {
                words.say("Nothing here lives on the sun, so a dull day changes nothing");
            }
            DullNews::RunsOn { loads, at } => {
                self.without_sun(words);
                self.parts(words, loads);
                words.say(of_several(
                    loads.len(),
                    " runs, which would be off with the sun, from ",
                    " run, which would be off with the sun, from ",
                ));
                self.dull_moment(words, *at);
                words.say(" on");
            }
            DullNews::GoesDark {
                loads,
                at,
                empty,
                first,
            } => {
                self.without_sun(words);
                self.parts(words, loads);
                words.say(match (first, loads.len()) {
                    (true, 1) => " is the first to stop, at ",
                    (true, _) => " are the first to stop, at ",
                    (false, 1) => " stops at ",
                    (false, _) => " stop at ",
                });
                self.dull_moment(words, *at);
                if *first {
                    let held = length(at.saturating_sub(self.shown.from));
                    words.say(format!(", {held} after that midnight"));
                }
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
                    1 => "no load stops for a day that would run with the sun".into(),
                    _ => format!("no load stops for {days} days that would run with the sun"),
                });
            }
            DullNews::Survives {
                days,
                exact,
                duties: (kept, all),
            } => {
                let duties = match (kept == all, kept) {
                    (true, _) => "every duty".into(),
                    (false, 1) => "the one duty that is kept otherwise".into(),
                    (false, kept) => format!("the {kept} duties that are kept otherwise"),
                };
                words.say(match (days, exact) {
                    (0, _) => format!("Not one day without sun leaves {duties} kept"),
                    (1, true) => format!("One day without sun leaves {duties} kept, two do not"),
                    (days, true) => format!(
                        "{days} days without sun in a row leave {duties} kept, one more does not"
                    ),
                    (days, false) => {
                        format!("{days} days without sun in a row, or more, leave {duties} kept")
                    }
                });
            }
            DullNews::Breaks {
                day,
                days,
                duty,
                from,
                on,
            } => {
                words.say(match days {
                    1 => format!("If day {day} has none, "),
                    _ => format!("If {days} days from day {day} on have none, "),
                });
                if let Some(duty) = self.plan.duties.get(*duty) {
                    self.part(words, &duty.part);
                }
                words.say(match on {
                    true => " runs though it should be off from ",
                    false => " is off though it should run from ",
                });
                self.moment(words, *from);
                words.say(" on");
            }
        }
        words.say(".");
        said
    }

    /// The beginning of a sentence about what the runs beside each other show.
    fn without_sun(&self, words: &mut Passage) {
        let day = self.shown.day;
        words.say(format!("With no sun from the beginning of day {day} on, "));
    }

    /// A moment of the run without the sun.
    fn dull_moment(&self, words: &mut Passage, t: Ms) {
        let day = t / self.day_ms + 1;
        let clock = crate::plan::Clock::at(t, self.day_ms).to_string();
        words.link(clock, LinkTarget::Time(t));
        if day > self.shown.day {
            words.say(format!(" on day {day}"));
        }
    }
}
