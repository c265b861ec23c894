//! The words for a step of the day: what happened first, and what came of it.

use super::{ExplainWords, of_several};
use crate::explain::explanation::{DayNews, DayStep};
use crate::explain::passage::Passage;
use crate::explain::turn::{PartTurn, TurnKind, TurnReason};
use crate::plan::{Function, PartId, Spec};
use crate::quantity::{Ms, Short};

impl ExplainWords<'_> {
    /// What happens at one moment, with the time.
    pub fn step(&self, step: &DayStep) -> Passage {
        let mut said = Passage::default();
        let words = &mut said;
        self.time(words, step.t);
        words.say(": ");
        match &step.news {
            DayNews::Begins { running, levels } => {
                words.say("The day begins with ");
                match running.is_empty() {
                    true => words.say("no load running"),
                    false => {
                        self.parts(words, running);
                        words.say(" running");
                    }
                }
                for (at, (battery, level, capacity)) in levels.iter().enumerate() {
                    words.say(if at == 0 { " and with " } else { ", " });
                    words.say(self.level((*level, *capacity)));
                    words.say(" in ");
                    self.part(words, battery);
                }
            }
            DayNews::Sunrise => words.say("The sun rises"),
            DayNews::Sunset => words.say("The sun sets"),
            DayNews::Gives(sources) => {
                words.say("Power begins to come from ");
                self.parts(words, sources);
            }
            DayNews::Ends(sources) => {
                words.say("Nothing comes any more from ");
                self.parts(words, sources);
            }
            DayNews::Rises { battery, level } => {
                self.part(words, battery);
                let level = self.level(*level);
                words.say(format!(" is at its lowest, {level}, and begins to rise"));
            }
            DayNews::Full(battery) => {
                self.part(words, battery);
                words.say(" is full");
            }
            DayNews::Falls { battery, level } => {
                self.part(words, battery);
                let level = self.level(*level);
                words.say(format!(" begins to fall from its highest, {level}"));
            }
            DayNews::Turns { reason, turns, .. } => self.turns(words, step.t, reason, turns),
            DayNews::Often { part, times, last } => {
                self.part(words, part);
                words.say(format!(" turns on or off {times} times, the last at "));
                self.time(words, *last);
            }
        }
        words.say(".");
        said
    }

    fn turns(
        &self,
        words: &mut Passage,
        t: Ms,
        reason: &TurnReason<PartId>,
        turns: &[PartTurn<PartId>],
    ) {
        let says_own = self.reason(words, reason);
        let is_own = |turn: &&PartTurn<PartId>| says_own && turn.part == *reason.part();
        let rest: Vec<&PartTurn<PartId>> = turns.iter().filter(|turn| !is_own(turn)).collect();
        // Those that do the same at the same minute are told together.
        let same = |a: &&PartTurn<PartId>, b: &&PartTurn<PartId>| {
            self.verb(a) == self.verb(b) && self.clock(a.t) == self.clock(b.t)
        };
        let (mut clock, mut first) = (self.clock(t), true);
        let chunks: Vec<&[&PartTurn<PartId>]> = rest.chunk_by(same).collect();
        for (at, chunk) in chunks.iter().enumerate() {
            words.say(match (first, at + 1 == chunks.len()) {
                (true, _) => ", so ",
                (false, true) => " and ",
                (false, false) => ", ",
            });
            first = false;
            self.parts(words, chunk.iter().map(|turn| &turn.part));
            let (one, several) = self.verb(chunk[0]);
            words.say(format!(" {}", of_several(chunk.len(), one, several)));
            if self.clock(chunk[0].t) != clock {
                clock = self.clock(chunk[0].t);
                words.say(" at ");
                self.time(words, chunk[0].t);
            }
        }
    }

    /// What a part does that turns, of one and of several.
    fn verb(&self, turn: &PartTurn<PartId>) -> (&'static str, &'static str) {
        match turn.kind {
            TurnKind::OutputOff => ("gives nothing any more", "give nothing any more"),
            TurnKind::OutputOn => ("gives again", "give again"),
            TurnKind::ToBackup => ("goes over to its backup", "go over to their backups"),
            TurnKind::ToMain => ("goes back to its main", "go back to their mains"),
            TurnKind::Opens => ("opens", "open"),
            TurnKind::Closes => ("closes", "close"),
            TurnKind::Starts if self.is_light(&turn.part) => ("lights up", "light up"),
            TurnKind::Stops if self.is_light(&turn.part) => ("goes dark", "go dark"),
            TurnKind::Starts => ("starts", "start"),
            TurnKind::Stops => ("stops", "stop"),
        }
    }

    /// What happened first. Answers whether that says already how its part turns.
    fn reason(&self, words: &mut Passage, reason: &TurnReason<PartId>) -> bool {
        let named = |words: &mut Passage, text: &str| {
            self.part(words, reason.part());
            words.say(text);
        };
        match reason {
            TurnReason::Source { before, gives, .. } => {
                let power = self.power(*gives);
                words.say(match (before, gives) {
                    (_, 0) => "Nothing comes any more from ".into(),
                    (0, _) => format!("Power begins to come, {power}, from "),
                    (before, gives) if gives < before => format!("Only {power} now comes from "),
                    _ => format!("Now {power} comes from "),
                });
                named(words, "");
                true
            }
            TurnReason::Empty(_) => {
                named(words, " is down to its cut-out and gives nothing any more");
                true
            }
            TurnReason::Back(_) => {
                named(words, " holds enough again to give power");
                true
            }
            TurnReason::Charge { contact, low } => {
                self.mark(words, contact, *low);
                false
            }
            TurnReason::ByTime { contact, truth } => self.by_time(words, contact, *truth),
            TurnReason::Timer(_) => {
                words.say("The time of ");
                named(words, " is over");
                false
            }
            TurnReason::Held(_) => {
                named(words, " chatters and is held open until midnight");
                true
            }
            TurnReason::Follows(_) => {
                named(words, " follows what was before");
                false
            }
        }
    }

    /// A battery has come to the mark of a contact.
    fn mark(&self, words: &mut Passage, contact: &PartId, low: bool) {
        let spec = self
            .plan
            .part(contact)
            .and_then(|part| self.plan.spec(part));
        let Some(Spec::Contact {
            function:
                Function::Charge {
                    watches,
                    low: least,
                    high,
                },
            ..
        }) = spec
        else {
            return;
        };
        self.part(words, &PartId::from(watches));
        let (is, mark) = if low {
            ("down to", least)
        } else {
            ("back at", high)
        };
        words.say(format!(" is {is} {} %", Short(mark as f64 / 10.0)));
    }

    /// What the time, or somebody's hand, does to a contact.
    fn by_time(&self, words: &mut Passage, contact: &PartId, truth: bool) -> bool {
        let spec = self
            .plan
            .part(contact)
            .and_then(|part| self.plan.spec(part));
        let Some(Spec::Contact { function, .. }) = spec else {
            return false;
        };
        let named = |words: &mut Passage, yes: &str, no: &str| {
            self.part(words, contact);
            words.say(if truth { yes } else { no });
        };
        match function {
            Function::Manual { .. } => {
                named(words, " is thrown", " is thrown");
                false
            }
            Function::Button { .. } => {
                named(words, " is pressed", " is let go");
                true
            }
            Function::Clock(..) => {
                words.say("The hours of ");
                named(words, " begin", " end");
                true
            }
            Function::Home => {
                words.say(match truth {
                    true => "Somebody comes home",
                    false => "Everybody has left home",
                });
                false
            }
            Function::Detector(_) => {
                named(words, " sees somebody", " sees nobody any more");
                true
            }
            Function::Twilight(_) => {
                words.say(match truth {
                    true => "It gets dark enough",
                    false => "It gets light enough",
                });
                false
            }
            _ => false,
        }
    }
}
