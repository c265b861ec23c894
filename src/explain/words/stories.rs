//! The words for one part: what it is joined to and does, its duties, and what happens without it.

use super::{ExplainWords, of_several};
use crate::explain::explanation::{Joined, PartDeed, PartStory, Stretches, WithoutPart};
use crate::explain::passage::{LinkTarget, Passage};
use crate::explain::stories::loads_of;
use crate::plan::{Clock, Function, PartId, Spec, When};
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
                self.source(words, story, (*most, gives), (*taken, *available));
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
                self.closed(words, story, conducts, *passed);
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
        match story.feeds.is_empty() {
            true => words.say(", but no wire leads on,"),
            false => {
                words.say(" to ");
                self.far_list(words, &story.feeds);
            }
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
            true => words.say(", but no wire leads to it. It "),
            false => {
                words.say(" from ");
                self.parts(words, story.fed_by.iter().map(|joined| &joined.other));
                words.say(" and ");
            }
        }
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
            None => words.say("; no wire takes the rest."),
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
        self.feeds_open(words, story);
        let side = |words: &mut Passage, port: &str| match self.at(&story.fed_by, port) {
            Some(joined) => self.part(words, &joined.other),
            None => words.say(format!("its {port}, which has no wire")),
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
            (from, to) => {
                if let Some(from) = from {
                    words.say(", fed by ");
                    self.part(words, &from.other);
                    words.say(",");
                }
                words.say(if breaks { " opens " } else { " closes " });
                self.condition(words, story, &function);
                words.say(".");
                words.say(match (from, to) {
                    (None, None) => " No wire leads to its feed, and none leads on from it.",
                    (None, _) => " No wire leads to its feed.",
                    _ => " No wire leads on from it.",
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
            let must = match known.when.is_only(When::Always) {
                true => "must always run".into(),
                false => format!("must run {}{only}", known.when.said()),
            };
            words.link(must, LinkTarget::Duty(*duty));
            words.say(match kept {
                true => ", and does so.",
                false => ", but does not keep to that.",
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
        if loads.is_empty() && slower.is_empty() {
            words.say(match (&story.did, compared, self.plan.duties.is_empty()) {
                (PartDeed::Load { .. }, true, _) => " Nothing else hangs on it.",
                (_, true, false) => {
                    " Nothing hangs on it: without it every kept duty stays kept and no load runs less."
                }
                (_, true, true) => " Nothing hangs on it: without it no load runs less.",
                (_, false, false) => " Without it every other duty stays as it is.",
                (_, false, true) => {
                    " What runs less without it is not known, since days do not repeat."
                }
            });
            return;
        }
        words.say(" Without it ");
        if !loads.is_empty() {
            self.broken(words, story, &loads);
            match first {
                Some((_, 0)) => words.say(" from the start"),
                Some((duty, t)) => {
                    let load = &self.plan.duties[*duty].part;
                    words.say(", first ");
                    if loads.len() > 1 {
                        words.say("that of ");
                        self.part(words, load);
                        words.say(" ");
                    }
                    words.say("at ");
                    words.link(Clock::at(*t, self.day_ms).to_string(), LinkTarget::Time(*t));
                    words.say(format!(" on day {}", t / self.day_ms + 1));
                }
                None => {}
            }
        }
        if !slower.is_empty() {
            words.say(if loads.is_empty() { "" } else { ", and " });
            let others = self.loads.iter().filter(|id| **id != story.part).count();
            match slower.len() > 2 && loads.len() + slower.len() == others {
                true => words.say("all other loads run less"),
                false => {
                    self.parts(words, slower.iter().copied());
                    words.say(of_several(slower.len(), " runs less", " run less"));
                }
            }
        }
        words.say(".");
    }

    /// Which duties are broken, other than the part's own.
    fn broken(&self, words: &mut Passage, story: &PartStory, loads: &[&PartId]) {
        let own = |duty: &usize| self.plan.duties[*duty].part == story.part;
        let others: Vec<usize> = self
            .kept
            .iter()
            .copied()
            .filter(|duty| !own(duty))
            .collect();
        let left = others.iter().copied();
        let left: Vec<usize> = left
            .filter(|duty| !story.without.breaks.contains(duty))
            .collect();
        let every = match (
            others.len() < self.kept.len(),
            self.kept.len() < self.plan.duties.len(),
        ) {
            (true, _) => "every other duty",
            (false, true) => "every duty that is kept",
            (false, false) => "every duty",
        };
        match left[..] {
            [] if loads.len() > 2 => words.say(format!("{every} breaks")),
            [one] if loads.len() > 2 => {
                words.say(format!("{every} breaks but that of "));
                self.part(words, &self.plan.duties[one].part);
            }
            _ => {
                words.say(of_several(loads.len(), "the duty of ", "the duties of "));
                self.parts(words, loads.iter().copied());
                words.say(of_several(loads.len(), " breaks", " break"));
            }
        }
    }
}
