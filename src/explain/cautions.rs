//! What to watch out for, gravest first: duties that are broken and why, problems, batteries that run down, loads that are
//! short, switches within reach, single points of failure, no reserve, power that is spilled.
//!
//! Which of these are worth a word is common practice, no source. Powers in steps, times in milliseconds, energies in
//! [`Energy`].

use super::explanation::{Caution, PartDeed, PartStory, ShownDay};
use crate::net::{Net, Weight};
use crate::plan::{PartId, Plan, Reach, Spec};
use crate::proof::{BadWeather, Check, LossReport, causes};
use crate::quantity::{Energy, Ms};
use crate::run::Record;

/// A battery is near its cut-out where less than one part in so many of its capacity is left.
const NEAR: Energy = 10;

/// What is spilled is told from one part in so many of what all sources could give.
const SPILLED: Energy = 20;

/// What cautions are made of.
pub struct Ground<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// The plan, compiled.
    pub net: &'a Net,
    /// Its check.
    pub check: &'a Check,
    /// The record of the check's run.
    pub record: &'a Record,
    /// The day that is told.
    pub shown: &'a ShownDay,
    /// The parts' stories.
    pub stories: &'a [PartStory],
    /// Switches that people besides the builders reach, thrown: what each breaks.
    pub thrown: &'a [LossReport],
    /// How many dull days are survived, where that was asked.
    pub bad: Option<&'a BadWeather>,
}

impl Ground<'_> {
    /// All cautions, gravest first.
    pub fn cautions(&self) -> Vec<Caution> {
        let mut found = Vec::new();
        if !self.check.for_ever && !self.check.is_stopped() {
            found.push(Caution::NoRepeat {
                days: self.check.days,
                differs: self.check.differs.clone(),
            });
        }
        let problems = || self.check.problems.iter();
        let told = |p: &crate::net::Problem| Caution::Problem(p.clone());
        found.extend(problems().filter(|p| p.weight == Weight::Error).map(told));
        found.extend(self.broken());
        found.extend(self.of_parts());
        found.extend(
            self.thrown
                .iter()
                .filter_map(|report| self.reachable(report)),
        );
        found.extend(self.single_points());
        let breaks = self.bad.filter(|bad| bad.days == 0).and_then(|b| b.breaks);
        found.extend(breaks.map(|breaks| Caution::NoReserve { duty: breaks.duty }));
        found.extend(self.spilled());
        found.extend(problems().filter(|p| p.weight != Weight::Error).map(told));
        found
    }

    fn broken(&self) -> Vec<Caution> {
        // Of each broken duty only one gap is looked into: the first in the days that go on repeating, else the first.
        let mut one = self.check.clone();
        for verdict in &mut one.duties {
            let later = verdict.gaps.iter().find(|gap| gap.to > self.shown.from);
            verdict.gaps = later
                .or(verdict.gaps.first())
                .into_iter()
                .copied()
                .collect();
        }
        let causes = causes(self.plan, &one, &mut |_, _| {});
        let duties = self.check.duties.iter().zip(causes).enumerate();
        duties
            .filter(|(_, (verdict, _))| !verdict.kept)
            .map(|(duty, (verdict, causes))| Caution::Broken {
                duty,
                gaps: verdict.gaps.len(),
                cause: causes.into_iter().next(),
            })
            .collect()
    }

    /// Of batteries and loads.
    fn of_parts(&self) -> Vec<Caution> {
        let (mut off, mut short, mut near) = (Vec::new(), Vec::new(), Vec::new());
        for (at, story) in self.stories.iter().enumerate() {
            let part = || story.part.clone();
            match &story.did {
                PartDeed::Battery { off: cut, .. } if cut.count > 0 => {
                    off.push(Caution::CutsOut {
                        battery: part(),
                        off: cut.clone(),
                    });
                }
                PartDeed::Battery { .. } => near.extend(self.near(at)),
                PartDeed::Load { draw, short: s, .. } if s.count > 0 => {
                    short.push(Caution::Short {
                        load: part(),
                        draw: *draw,
                        short: s.clone(),
                    })
                }
                _ => {}
            }
        }
        off.into_iter().chain(short).chain(near).collect()
    }

    /// The days that go on repeating, else the day that is told.
    fn days(&self) -> (Ms, Ms) {
        let day = self.plan.world.day_ms();
        match self.check.repeats {
            Some(earlier) => (earlier * day, self.check.days * day),
            None => (self.shown.from, self.shown.to),
        }
    }

    /// A battery whose lowest level is little above its cut-out. That is where its line turns, for in days that repeat it
    /// comes back to where it was.
    fn near(&self, at: usize) -> Option<Caution> {
        let Some(Spec::Battery {
            capacity, cut_out, ..
        }) = self.net.nodes[at].spec
        else {
            return None;
        };
        let (from, to) = self.days();
        let level = &self.record.batteries.get(&at)?.level;
        let within = level.iter().filter(|(t, _)| from <= *t && *t <= to);
        let (t, lowest) = within.min_by_key(|(t, level)| (*level, *t))?;
        let is_near = *lowest > cut_out && (*lowest - cut_out) * NEAR < capacity;
        is_near.then(|| Caution::NearCutOut {
            battery: self.plan.parts[at].id.clone(),
            lowest: (*lowest, *t),
            cut_out,
            capacity,
        })
    }

    /// That a stranger reaches a switch is said only where somebody has said who reaches what.
    fn reachable(&self, report: &LossReport) -> Option<Caution> {
        let crate::proof::Loss::Switch(switch) = &report.loss else {
            return None;
        };
        let anyone = match self.plan.reach_of(self.plan.part(switch)?)? {
            Reach::Anyone => true,
            Reach::Friends => false,
            Reach::Builders => return None,
        };
        (!report.breaks.is_empty()).then(|| Caution::Reachable {
            switch: switch.clone(),
            anyone,
            breaks: report.breaks.clone(),
        })
    }

    fn single_points(&self) -> Option<Caution> {
        let stories = self.stories.iter();
        let points = stories.filter(|story| !matches!(story.did, PartDeed::Load { .. }));
        let points = points.map(|story| (story.part.clone(), story.without.breaks.len()));
        let mut points: Vec<(PartId, usize)> = points.filter(|(_, breaks)| *breaks > 0).collect();
        points.sort_by_key(|(_, breaks)| std::cmp::Reverse(*breaks));
        (!points.is_empty()).then(|| Caution::SinglePoints {
            points,
            kept: self.check.duties.iter().filter(|d| d.kept).count(),
        })
    }

    fn spilled(&self) -> Option<Caution> {
        let (mut sources, mut spilled, mut available) = (Vec::new(), 0, 0);
        for story in self.stories {
            if let PartDeed::Source {
                available: could,
                taken,
                ..
            } = story.did
            {
                available += could;
                spilled += could - taken;
                if could > taken {
                    sources.push((story.part.clone(), could - taken));
                }
            }
        }
        sources.sort_by_key(|(_, spilled)| std::cmp::Reverse(*spilled));
        (spilled > 0 && spilled * SPILLED >= available).then_some(Caution::Spilled {
            sources,
            spilled: (spilled, available),
        })
    }
}
