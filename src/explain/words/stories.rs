//! The words for one part: what it did, its duties, and what happens without it.

use super::{ExplainWords, of_several};
use crate::explain::explanation::{PartDeed, PartStory, WithoutPart};
use crate::explain::passage::{LinkTarget, Passage};
use crate::explain::stories::loads_of;
use crate::plan::{Clock, PartId, When};

impl ExplainWords<'_> {
    /// Everything about one part.
    pub fn story(&self, story: &PartStory) -> Passage {
        let mut said = Passage::default();
        self.did(&mut said, story);
        self.duties(&mut said, story);
        self.without(&mut said, story);
        said
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
                true => "; this duty is kept.",
                false => "; this duty is broken.",
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
                (_, true, false) => " Without it no duty breaks and no load runs less.",
                (_, true, true) => " Without it no load runs less.",
                (_, false, false) => " Without it no other duty breaks.",
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
                    words.say(", first ");
                    if let Some(duty) = self.plan.duties.get(*duty).filter(|_| loads.len() > 1) {
                        words.say("that of ");
                        self.part(words, &duty.part);
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
        let own = |duty: &usize| {
            let duty = self.plan.duties.get(*duty);
            duty.is_some_and(|duty| duty.part == story.part)
        };
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
                self.load_of(words, one);
            }
            _ => {
                words.say(of_several(loads.len(), "the duty of ", "the duties of "));
                self.parts(words, loads.iter().copied());
                words.say(of_several(loads.len(), " breaks", " break"));
            }
        }
    }
}
