//! The words for when a contact's function is true, and what its signals come from.

use super::ExplainWords;
use crate::explain::explanation::PartStory;
use crate::explain::passage::Passage;
use crate::plan::{Clock, Function, PartId};
use crate::proof::length;
use crate::quantity::Short;

impl ExplainWords<'_> {
    /// When the function of a story's contact is true, to go on from "lets A feed B": `while its coil, fed by X, is live`.
    pub(super) fn condition(&self, words: &mut Passage, story: &PartStory, function: &Function) {
        let hours = |t: u64| Clock::at(t, self.day_ms).to_string();
        match function {
            Function::Manual { .. } => words.say("while it is set closed"),
            Function::Button { hold, .. } => {
                words.say(format!("for {} from each press on", length(*hold)));
            }
            Function::Twilight(below) => {
                words.say(format!("while the light is below {}", Short(*below)));
            }
            Function::Clock(from, to) => {
                let end = if *to == self.day_ms {
                    "24:00".into()
                } else {
                    hours(*to)
                };
                words.say(format!("from {} to {end}", hours(*from)));
            }
            Function::Home => words.say("while somebody is home"),
            Function::Detector(_) => words.say("while it sees somebody"),
            Function::Charge { watches, low, high } => self.charge(words, watches, (*low, *high)),
            _ => self.by_signals(words, story, function),
        }
    }

    fn charge(&self, words: &mut Passage, watches: &str, (low, high): (u64, u64)) {
        let percent = |per_mille: u64| Short(per_mille as f64 / 10.0);
        let battery = PartId::from(watches);
        match self.plan.part(&battery) {
            None => words.say("by a battery's charge, but watches none"),
            Some(_) => {
                words.say("from when ");
                self.part(words, &battery);
                words.say(format!(
                    " is down to {} % until it is back at {} %",
                    percent(low),
                    percent(high)
                ));
            }
        }
    }

    /// `its coil, fed by X,`.
    fn signal_of(&self, words: &mut Passage, story: &PartStory, port: &str) {
        words.say(match port {
            "a" | "b" => format!("signal {port}"),
            _ => format!("its {port}"),
        });
        match story.signals.iter().find(|joined| joined.port == port) {
            Some(joined) => {
                words.say(", fed by ");
                self.part(words, &joined.other);
                words.say(",");
            }
            None => words.say(", which has no wire,"),
        }
    }

    fn by_signals(&self, words: &mut Passage, story: &PartStory, function: &Function) {
        let signal = |words: &mut Passage, port: &str| self.signal_of(words, story, port);
        let both = |words: &mut Passage, before: &str, between: &str, after: &str| {
            words.say(before);
            signal(words, "a");
            words.say(between);
            signal(words, "b");
            words.say(after);
        };
        match function {
            Function::Relay => {
                words.say("while ");
                signal(words, "coil");
                words.say(" is live");
            }
            Function::And => both(words, "while ", " and ", " are both live"),
            Function::Or => both(words, "while ", " or ", " is live"),
            Function::Xor => both(words, "while ", " or ", " is live, but not both"),
            Function::OnDelay(delay) => {
                words.say("once ");
                signal(words, "trigger");
                words.say(format!(
                    " has been live for {}, until that ends",
                    length(*delay)
                ));
            }
            Function::OffDelay(delay) => {
                words.say("while ");
                signal(words, "trigger");
                words.say(format!(" is live and for {} after", length(*delay)));
            }
            Function::Pulse(delay) => {
                words.say(format!("for {} each time ", length(*delay)));
                signal(words, "trigger");
                words.say(" comes up");
            }
            _ => self.by_memory(words, story, function),
        }
    }

    /// Of what remembers its signals.
    fn by_memory(&self, words: &mut Passage, story: &PartStory, function: &Function) {
        let signal = |words: &mut Passage, port: &str| self.signal_of(words, story, port);
        match function {
            Function::Latch { .. } => {
                words.say("from when ");
                signal(words, "set");
                words.say(" is live until ");
                signal(words, "reset");
                words.say(" is live");
            }
            Function::Impulse => {
                words.say("from one time that ");
                signal(words, "trigger");
                words.say(" comes up to the next");
            }
            Function::Counter(target) => {
                words.say("once ");
                signal(words, "count");
                words.say(match target {
                    1 => " has come up once".into(),
                    _ => format!(" has come up {target} times"),
                });
                words.say(" since ");
                signal(words, "reset");
                words.say(" was last live");
            }
            _ => {}
        }
    }
}
