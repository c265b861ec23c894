//! The words for one part: what it is joined to and does, its duties, and what happens without it.

use super::{ExplainWords, of_several};
use crate::explain::explanation::{Joined, PartDeed, PartStory, Stretches, WithoutPart};
use crate::explain::passage::{LinkTarget, Passage};
use crate::explain::stories::loads_of;
use crate::plan::{PartId, Spec};
use crate::proof::length;
use crate::quantity::{Energy, Ms};

impl ExplainWords<'_> {
    /// Everything about one part.
    pub fn story(&self, story: &PartStory) -> Passage {
        let mut said = Passage::default();
        self.did(&mut said, story);
        self.duties(&mut said, story);
        self.without(&mut said, story);
        said
    }

    fn did(&self, words: &mut Passage, story: &PartStory) {
        match &story.did {
            PartDeed::Source {
                most,
                gives,
                available,
                taken,
            } => {
                self.part(words, &story.part);
                self.feeds(words, story, " feeds ");
                self.source(words, *most, gives, (*taken, *available));
            }
            PartDeed::Battery { .. } => self.battery(words, story),
            PartDeed::Load { draw, runs, short } => self.load(words, story, *draw, (runs, short)),
            PartDeed::Tap { .. } => self.tap(words, story),
            PartDeed::Divider { ways, passed } => {
                self.part(words, &story.part);
                words.say(" shares ");
                self.what_comes(words, story);
                let ways = match ways {
                    0 => " among no wires".into(),
                    1 => " with nobody, having one wire".into(),
                    _ => format!(" equally among {ways} ways"),
                };
                words.say(ways);
                self.listed(words, &story.feeds);
                self.passed(words, *passed);
            }
            PartDeed::Busbar { most, passed } => {
                self.part(words, &story.part);
                words.say(" adds up ");
                self.what_comes(words, story);
                self.feeds(words, story, " for ");
                self.most(words, *most, "It offers");
                self.passed(words, *passed);
            }
            PartDeed::Changeover { .. } => self.changeover(words, story),
            PartDeed::Meter { most, passed } => {
                self.part(words, &story.part);
                words.say(" measures ");
                self.what_comes(words, story);
                self.feeds(words, story, " for ");
                self.most(words, *most, "It reads");
                self.passed(words, *passed);
            }
            PartDeed::Contact { conducts, passed } => {
                self.contact(words, story);
                words.say(" It is closed ");
                self.when(words, conducts);
                words.say(".");
                self.passed(words, *passed);
            }
            PartDeed::Unknown => {
                self.part(words, &story.part);
                words.say(" is of a type that the book does not have, so it does nothing.");
            }
        }
    }

    /// The part that hangs at a port.
    fn at<'b>(&self, joined: &'b [Joined], port: &str) -> Option<&'b Joined> {
        joined.iter().find(|joined| joined.port == port)
    }

    /// A part and, where it is not plain, the port at which a wire ends there.
    fn far(&self, words: &mut Passage, joined: &Joined) {
        let port = &joined.other_port;
        let signals = [
            "coil", "a", "b", "trigger", "set", "reset", "count", "backup", "main",
        ];
        if signals.contains(&port.as_str()) {
            let port = match port.as_str() {
                "a" | "b" => format!("signal {port}"),
                _ => port.clone(),
            };
            words.say(format!("the {port} of "));
        }
        self.part(words, &joined.other);
    }

    fn far_list<'b>(&self, words: &mut Passage, all: impl IntoIterator<Item = &'b Joined>) {
        let all: Vec<&Joined> = all.into_iter().collect();
        for (at, joined) in all.iter().enumerate() {
            words.say(match at {
                0 => "",
                _ if at + 1 == all.len() => " and ",
                _ => ", ",
            });
            self.far(words, joined);
        }
    }

    /// `what A and B give`.
    fn what_comes(&self, words: &mut Passage, story: &PartStory) {
        if story.fed_by.is_empty() {
            return words.say("what comes, but no wire leads to it,");
        }
        words.say("what comes from ");
        self.parts(words, story.fed_by.iter().map(|joined| &joined.other));
    }

    /// The end of a sentence: what it feeds.
    fn feeds(&self, words: &mut Passage, story: &PartStory, verb: &str) {
        match story.feeds.is_empty() {
            true => words.say(", but no wire leads on from it"),
            false => {
                words.say(verb);
                self.far_list(words, &story.feeds);
            }
        }
        words.say(".");
    }

    fn listed(&self, words: &mut Passage, feeds: &[Joined]) {
        if !feeds.is_empty() {
            words.say(": ");
            self.far_list(words, feeds);
        }
        words.say(".");
    }

    fn passed(&self, words: &mut Passage, passed: Energy) {
        if passed > 0 {
            words.say(format!(" {} goes through it on this day.", self.energy(passed)));
        }
    }

    fn most(&self, words: &mut Passage, (steps, at): (u64, Ms), verb: &str) {
        if steps > 0 {
            words.say(format!(" {verb} {} at the most, first at ", self.power(steps)));
            self.time(words, at);
            words.say(".");
        }
    }

    fn source(
        &self,
        words: &mut Passage,
        (most, at): (u64, Ms),
        gives: &Stretches,
        (taken, available): (Energy, Energy),
    ) {
        if gives.count == 0 {
            return words.say(" It gives nothing on this day.");
        }
        words.say(" It can give power ");
        self.when(words, gives);
        words.say(format!(", {} at the most, first at ", self.power(most)));
        self.time(words, at);
        let (taken_said, all) = (self.energy(taken), self.energy(available));
        words.say(match taken {
            0 => format!(". None of the {all} is taken."),
            _ if taken == available => format!(". All {all} is taken."),
            _ => format!(". {taken_said} of {all} is taken."),
        });
    }

    fn battery(&self, words: &mut Passage, story: &PartStory) {
        let PartDeed::Battery {
            capacity,
            lowest,
            highest,
            full,
            off,
            taken,
            given,
        } = &story.did
        else {
            return;
        };
        self.part(words, &story.part);
        match story.fed_by.is_empty() {
            true => words.say(" is charged by nothing"),
            false => {
                words.say(" is charged from ");
                self.parts(words, story.fed_by.iter().map(|joined| &joined.other));
            }
        }
        self.feeds(words, story, " and feeds ");
        words.say(format!(
            " It takes in {} on this day and gives {}.",
            self.energy(*taken),
            self.energy(*given)
        ));
        if lowest.0 == highest.0 {
            let level = self.level((lowest.0, *capacity));
            words.say(format!(" It holds {level} all day."));
        } else {
            let level = |level: Energy| self.level((level, *capacity));
            words.say(format!(" It is lowest with {} at ", level(lowest.0)));
            self.time(words, lowest.1);
            match full.count {
                0 => {
                    words.say(format!(" and highest with {} at ", level(highest.0)));
                    self.time(words, highest.1);
                }
                _ => {
                    words.say(" and full ");
                    self.when(words, full);
                }
            }
            words.say(".");
        }
        if off.count > 0 {
            words.say(" Its output is off ");
            self.when(words, off);
            words.say(".");
        }
    }

    fn load(
        &self,
        words: &mut Passage,
        story: &PartStory,
        draw: u64,
        (runs, short): (&Stretches, &Stretches),
    ) {
        self.part(words, &story.part);
        words.say(format!(" draws {}", self.power(draw)));
        match story.fed_by.is_empty() {
            true => words.say(", but no wire leads to it. It runs "),
            false => {
                words.say(" from ");
                self.parts(words, story.fed_by.iter().map(|joined| &joined.other));
                words.say(" and runs ");
            }
        }
        self.when(words, runs);
        let whole = runs.first == [(self.shown.from, self.shown.to)];
        if runs.count > 1 && runs.first.len() as u64 == runs.count && !whole {
            words.say(format!(", {} in all", length(runs.time)));
        }
        words.say(".");
        if !story.feeds.is_empty() {
            words.say(" What it leaves goes on to ");
            self.far_list(words, &story.feeds);
            words.say(".");
        }
        if short.count > 0 {
            words.say(" Something comes, but less than it draws, ");
            self.when(words, short);
            words.say(".");
        }
    }

    fn tap(&self, words: &mut Passage, story: &PartStory) {
        let PartDeed::Tap { amount, sets, .. } = &story.did else {
            return;
        };
        self.part(words, &story.part);
        words.say(" takes ");
        self.what_comes(words, story);
        match self.at(&story.feeds, "tap") {
            None => words.say(" and sets nothing aside, since no wire is at its port tap"),
            Some(aside) => {
                words.say(format!(" and sets up to {} aside for ", self.power(*amount)));
                self.far(words, aside);
                words.say(" ahead of all else");
            }
        }
        match self.at(&story.feeds, "rest") {
            None => words.say("; no wire takes the rest."),
            Some(rest) => {
                words.say("; the rest goes to ");
                self.far(words, rest);
                words.say(".");
            }
        }
        if self.at(&story.feeds, "tap").is_some() {
            words.say(" It sets something aside ");
            self.when(words, sets);
            words.say(".");
        }
    }

    fn changeover(&self, words: &mut Passage, story: &PartStory) {
        let PartDeed::Changeover {
            least,
            on_backup,
            passed,
        } = &story.did
        else {
            return;
        };
        self.part(words, &story.part);
        self.feeds_open(words, story);
        let side = |words: &mut Passage, port: &str| match self.at(&story.fed_by, port) {
            Some(joined) => self.part(words, &joined.other),
            None => words.say(format!("its {port}, which has no wire")),
        };
        words.say(" from ");
        side(words, "main");
        words.say(format!(" while that offers {} or more, else from ", self.power(*least)));
        side(words, "backup");
        words.say(". It is on its backup ");
        self.when(words, on_backup);
        words.say(".");
        self.passed(words, *passed);
    }

    /// ` feeds A`, or what it would do without a wire.
    fn feeds_open(&self, words: &mut Passage, story: &PartStory) {
        match story.feeds.is_empty() {
            true => words.say(" has no wire that leads on; it would take"),
            false => {
                words.say(" feeds ");
                self.far_list(words, &story.feeds);
            }
        }
    }

    fn contact(&self, words: &mut Passage, story: &PartStory) {
        let spec = self.plan.part(&story.part).and_then(|part| self.plan.spec(part));
        let Some(Spec::Contact {
            breaks, function, ..
        }) = spec
        else {
            return;
        };
        self.part(words, &story.part);
        match (story.fed_by.first(), story.feeds.first()) {
            (Some(from), Some(to)) => {
                words.say(if breaks { " keeps " } else { " lets " });
                self.part(words, &from.other);
                words.say(if breaks { " from feeding " } else { " feed " });
                self.far(words, to);
                words.say(" ");
                self.condition(words, story, &function);
                words.say(".");
            }
            (from, _) => {
                words.say(if breaks { " opens " } else { " closes " });
                self.condition(words, story, &function);
                words.say(match from {
                    None => ", but nothing feeds it.",
                    Some(_) => ", but no wire leads on from it.",
                });
            }
        }
    }

    fn duties(&self, words: &mut Passage, story: &PartStory) {
        for (duty, kept) in &story.duties {
            let Some(known) = self.plan.duties.get(*duty) else {
                continue;
            };
            words.say(" It ");
            let only = if known.only { " and not otherwise" } else { "" };
            let must = format!("must run {}{only}", known.when.said());
            words.link(must, LinkTarget::Duty(*duty));
            words.say(match kept {
                true => ", and does.",
                false => ", but does not.",
            });
        }
    }

    fn without(&self, words: &mut Passage, story: &PartStory) {
        let WithoutPart {
            breaks,
            first,
            stops,
            compared,
        } = &story.without;
        let loads = loads_of(self.plan, breaks, Some(&story.part));
        let slower: Vec<&PartId> = stops.iter().filter(|id| !loads.contains(id)).collect();
        let has_duties = !self.plan.duties.is_empty();
        if loads.is_empty() && slower.is_empty() {
            words.say(match (has_duties, compared) {
                (true, true) => " Without it every other duty stays as it is, and nothing runs less.",
                (true, false) => " Without it every other duty stays as it is.",
                (false, true) => " Without it nothing runs less.",
                (false, false) => "",
            });
            return;
        }
        words.say(" Without it ");
        if !loads.is_empty() {
            self.parts(words, loads.iter().copied());
            words.say(of_several(
                loads.len(),
                " breaks its duty",
                " break their duties",
            ));
            if let Some((_, t)) = first {
                words.say(", first on ");
                words.say(format!("day {} at ", t / self.day_ms + 1));
                words.link(
                    crate::plan::Clock::at(*t, self.day_ms).to_string(),
                    LinkTarget::Time(*t),
                );
            }
        }
        if !slower.is_empty() {
            words.say(if loads.is_empty() { "" } else { ", and " });
            self.parts(words, slower.iter().copied());
            words.say(of_several(slower.len(), " runs less", " run less"));
        }
        words.say(".");
    }
}
