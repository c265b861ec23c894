//! The words for what one part is joined to and did on the day.

use super::ExplainWords;
use crate::explain::explanation::{Joined, PartDeed, PartStory, Stretches};
use crate::explain::passage::Passage;
use crate::plan::{Function, Spec};
use crate::proof::length;
use crate::quantity::{Energy, Ms};

impl ExplainWords<'_> {
    /// What a part is joined to and did.
    pub(super) fn did(&self, words: &mut Passage, story: &PartStory) {
        match &story.did {
            PartDeed::Source {
                most,
                gives,
                available,
                taken,
            } => {
                self.source(words, story, (*most, gives), (*taken, *available));
            }
            PartDeed::Battery { .. } => self.battery(words, story),
            PartDeed::Load { draw, runs, short } => self.load(words, story, *draw, (runs, short)),
            PartDeed::Tap { .. } => self.tap(words, story),
            PartDeed::Divider { ways, passed } => {
                self.part(words, &story.part);
                words.say(match ways {
                    1 => " has one way in use, so it passes on ",
                    _ => " shares ",
                });
                self.what_comes(words, story);
                words.say(match ways {
                    0 | 1 => String::new(),
                    _ => format!(" equally among {ways} ways"),
                });
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
                self.closed(words, story, conducts, *passed);
            }
            PartDeed::Unknown => {
                self.part(words, &story.part);
                return words.say(" is of a type that the book does not have, so it does nothing.");
            }
        }
        self.loose_ends(words, story);
    }

    /// Where no wire leads to a part, or on from it.
    fn loose_ends(&self, words: &mut Passage, story: &PartStory) {
        let is_fed = !story.fed_by.is_empty() || matches!(story.did, PartDeed::Source { .. });
        let feeds = !story.feeds.is_empty() || matches!(story.did, PartDeed::Load { .. });
        words.say(match (is_fed, feeds) {
            (true, true) => "",
            (false, true) => " No wire leads to it.",
            (true, false) => " No wire leads on from it.",
            (false, false) => " No wire leads to it or on from it.",
        });
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
            words.say(match port.as_str() {
                "a" | "b" => format!("signal {port} of "),
                _ => format!("the {port} of "),
            });
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

    /// `what comes from A and B`.
    fn what_comes(&self, words: &mut Passage, story: &PartStory) {
        words.say("what comes");
        self.from(words, story);
    }

    /// ` from A and B`, where anything feeds a part.
    fn from(&self, words: &mut Passage, story: &PartStory) {
        if !story.fed_by.is_empty() {
            words.say(" from ");
            self.parts(words, story.fed_by.iter().map(|joined| &joined.other));
        }
    }

    /// The end of a sentence: what it feeds, if anything.
    fn feeds(&self, words: &mut Passage, story: &PartStory, verb: &str) {
        if !story.feeds.is_empty() {
            words.say(verb);
            self.far_list(words, &story.feeds);
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

    /// ` It is closed until 06:20`, or ` It is not closed on this day`.
    fn is(&self, words: &mut Passage, (yes, no): (&str, &str), when: &Stretches) {
        match when.count {
            0 => words.say(format!(" It {no} on this day")),
            _ => {
                words.say(format!(" It {yes} "));
                self.when(words, when);
            }
        }
    }

    /// What goes through, where that is not too little to be told.
    fn passes(&self, passed: Energy) -> Option<String> {
        let said = self.energy(passed);
        (said != self.energy(0)).then_some(said)
    }

    fn passed(&self, words: &mut Passage, passed: Energy) {
        if let Some(passed) = self.passes(passed) {
            words.say(format!(" {passed} goes through it on this day."));
        }
    }

    /// When a contact is closed, and what then goes through it.
    fn closed(&self, words: &mut Passage, story: &PartStory, conducts: &Stretches, passed: Energy) {
        let passed = self.passes(passed);
        let spec = self
            .plan
            .part(&story.part)
            .and_then(|part| self.plan.spec(part));
        if let Some(Spec::Contact {
            function: Function::Clock(..),
            ..
        }) = spec
        {
            // When it is closed was said with its hours.
            if let Some(passed) = passed {
                words.say(format!(" {passed} goes through it on this day."));
            }
            return;
        }
        match self.short_breaks(conducts) {
            Some(open) => {
                words.say(" It is open ");
                self.when(words, &open);
                words.say(" and closed otherwise");
            }
            None => self.is(words, ("is closed", "is not closed"), conducts),
        }
        if let Some(passed) = passed {
            words.say(format!(", and {passed} goes through it"));
        }
        words.say(".");
    }

    /// Where something is so but for moments too short for the dial: these.
    fn short_breaks(&self, so: &Stretches) -> Option<Stretches> {
        if so.first.len() as u64 != so.count {
            return None;
        }
        let mut open = Stretches::default();
        let mut at = self.shown.from;
        for (from, to) in &so.first {
            if at < *from {
                open.first.push((at, *from));
            }
            at = *to;
        }
        if at < self.shown.to {
            open.first.push((at, self.shown.to));
        }
        open.count = open.first.len() as u64;
        open.time = open.first.iter().map(|(from, to)| to - from).sum();
        let is_short = |(from, to): &(Ms, Ms)| self.clock(*from) == self.clock(*to);
        (open.count > 0 && open.first.iter().all(is_short)).then_some(open)
    }

    fn most(&self, words: &mut Passage, (steps, at): (u64, Ms), verb: &str) {
        if steps > 0 {
            words.say(format!(
                " {verb} {} at the most, first at ",
                self.power(steps)
            ));
            self.time(words, at);
            words.say(".");
        }
    }

    fn source(
        &self,
        words: &mut Passage,
        story: &PartStory,
        ((most, at), gives): ((u64, Ms), &Stretches),
        (taken, available): (Energy, Energy),
    ) {
        self.part(words, &story.part);
        words.say(" can give power");
        if !story.feeds.is_empty() {
            words.say(" to ");
            self.far_list(words, &story.feeds);
        }
        if gives.count == 0 {
            return words.say(", but gives nothing on this day.");
        }
        words.say(" ");
        self.when(words, gives);
        words.say(format!(", {} at the most, first at ", self.power(most)));
        self.time(words, at);
        let (taken_said, all) = (self.energy(taken), self.energy(available));
        words.say(match taken {
            0 => format!(". None of the {all} is taken."),
            _ if self.passes(taken).is_none() => format!(". Hardly any of the {all} is taken."),
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
        match (story.fed_by.is_empty(), story.feeds.is_empty()) {
            (true, true) => words.say(" stands alone."),
            (true, false) => self.feeds(words, story, " feeds "),
            (false, _) => {
                words.say(" is charged");
                self.from(words, story);
                self.feeds(words, story, " and feeds ");
            }
        }
        words.say(match (taken, given) {
            (0, 0) => " It takes and gives nothing on this day.".into(),
            _ => format!(
                " It takes in {} on this day and gives {}.",
                self.energy(*taken),
                self.energy(*given)
            ),
        });
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
        self.from(words, story);
        words.say(" and ");
        match runs.count {
            0 => words.say("does not run on this day"),
            _ => {
                words.say("runs ");
                self.when(words, runs);
            }
        }
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
                words.say(format!(
                    " and sets up to {} aside for ",
                    self.power(*amount)
                ));
                self.far(words, aside);
                words.say(" ahead of all else");
            }
        }
        match self.at(&story.feeds, "rest") {
            None => words.say("."),
            Some(rest) => {
                words.say("; the rest goes to ");
                self.far(words, rest);
                words.say(".");
            }
        }
        if self.at(&story.feeds, "tap").is_some() {
            self.is(
                words,
                ("sets something aside", "has nothing to set aside"),
                sets,
            );
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
        match story.feeds.is_empty() {
            true => words.say(" takes what comes"),
            false => {
                words.say(" feeds ");
                self.far_list(words, &story.feeds);
            }
        }
        let side = |words: &mut Passage, port: &str| match self.at(&story.fed_by, port) {
            Some(joined) => self.part(words, &joined.other),
            None => words.say(format!("its unwired {port}")),
        };
        words.say(" from ");
        side(words, "main");
        words.say(format!(
            " while that offers {} or more, else from ",
            self.power(*least)
        ));
        side(words, "backup");
        words.say(".");
        self.is(
            words,
            ("is on its backup", "is not on its backup"),
            on_backup,
        );
        words.say(".");
        self.passed(words, *passed);
    }

    fn contact(&self, words: &mut Passage, story: &PartStory) {
        let spec = self
            .plan
            .part(&story.part)
            .and_then(|part| self.plan.spec(part));
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
                if let Some(from) = from {
                    words.say(", fed by ");
                    self.part(words, &from.other);
                    words.say(",");
                }
                words.say(if breaks { " opens " } else { " closes " });
                self.condition(words, story, &function);
                words.say(".");
            }
        }
    }
}
