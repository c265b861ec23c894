//! The words for what to watch out for.

use super::{ExplainWords, of_several};
use crate::explain::explanation::Caution;
use crate::explain::passage::{LinkTarget, Passage};
use crate::explain::stories::loads_of;
use crate::plan::PartId;
use crate::proof::Cause;
use crate::quantity::Energy;

impl ExplainWords<'_> {
    /// One thing to watch out for.
    pub fn caution(&self, caution: &Caution) -> Passage {
        let mut said = Passage::default();
        let words = &mut said;
        match caution {
            Caution::NoRepeat { days, differs } => {
                words.say(format!(
                    "No day repeats within {days} days, so nothing here is known for ever"
                ));
                if !differs.is_empty() {
                    words.say("; from day to day differs ");
                    self.parts(words, differs);
                }
                words.say(".");
            }
            Caution::Problem(problem) => self.marked(words, &problem.says(&self.marked)),
            Caution::Broken { duty, gaps, cause } => self.broken_duty(words, *duty, *gaps, cause),
            Caution::CutsOut { battery, off } => {
                self.part(words, battery);
                words.say(" is down to its cut-out and gives nothing ");
                self.when(words, off);
                words.say(".");
            }
            Caution::NearCutOut { .. } => self.near_cut_out(words, caution),
            Caution::Short { load, draw, short } => {
                self.part(words, load);
                words.say(format!(
                    " draws {}, but less than that comes ",
                    self.power(*draw)
                ));
                self.when(words, short);
                words.say(".");
            }
            Caution::Reachable {
                switch,
                anyone,
                breaks,
            } => self.reachable(words, (switch, *anyone), breaks),
            Caution::SinglePoints { points, .. } => {
                words.say("Nothing stands in for ");
                self.parts(words, points.iter().map(|(part, _)| part));
                let each = of_several(points.len(), "losing it", "losing any one of them");
                words.say(format!(": {each} breaks a duty."));
            }
            Caution::NoReserve { duty } => {
                words.say("There is no reserve for a dull day: a single one is too much for ");
                self.load_of(words, *duty);
                words.say(".");
            }
            Caution::Spilled { sources, spilled } => self.spilled(words, sources, *spilled),
        }
        said
    }

    fn broken_duty(&self, words: &mut Passage, duty: usize, gaps: usize, cause: &Option<Cause>) {
        match cause {
            Some(cause) => self.marked(words, &cause.says(&self.marked)),
            None => {
                self.load_of(words, duty);
                words.say(" does not keep its duty.");
            }
        }
        if gaps > 1 {
            words.say(" ");
            words.link("Its duty", LinkTarget::Duty(duty));
            let days = match self.shown.days {
                1 => "day".into(),
                days => format!("{days} days"),
            };
            words.say(format!(" is broken {gaps} times in the {days} run."));
        }
    }

    fn near_cut_out(&self, words: &mut Passage, caution: &Caution) {
        let Caution::NearCutOut {
            battery,
            lowest: (lowest, at),
            cut_out,
            capacity,
        } = caution
        else {
            return;
        };
        self.part(words, battery);
        let level = self.level((*lowest, *capacity));
        words.say(format!(" has little left: {level} at "));
        self.moment(words, *at);
        let cut_out = self.level((*cut_out, *capacity));
        words.say(format!(", and its output goes off at {cut_out}."));
    }

    fn reachable(&self, words: &mut Passage, (switch, anyone): (&PartId, bool), breaks: &[usize]) {
        words.say(match anyone {
            true => "Anyone can throw ",
            false => "Friends can throw ",
        });
        self.part(words, switch);
        let loads = loads_of(self.plan, breaks, None);
        words.say(of_several(
            loads.len(),
            ", which breaks the duty of ",
            ", which breaks the duties of ",
        ));
        self.parts(words, loads.iter().copied());
        words.say(".");
    }

    fn spilled(
        &self,
        words: &mut Passage,
        sources: &[(PartId, Energy)],
        (spilled, available): (Energy, Energy),
    ) {
        let (spilled, available) = (self.energy(spilled), self.energy(available));
        words.say(format!(
            "Of the {available} that sources could give on this day, {spilled} is not taken"
        ));
        for (at, (source, energy)) in sources.iter().take(3).enumerate() {
            words.say(if at == 0 { ": " } else { ", " });
            words.say(match sources.len() {
                1 => "all of that from ".into(),
                _ => format!("{} from ", self.energy(*energy)),
            });
            self.part(words, source);
        }
        if sources.len() > 3 {
            words.say(format!(" and the rest from {} more", sources.len() - 3));
        }
        words.say(".");
    }

    /// The load of a duty.
    pub(super) fn load_of(&self, words: &mut Passage, duty: usize) {
        if let Some(duty) = self.plan.duties.get(duty) {
            self.part(words, &duty.part);
        }
    }
}
