//! What `duskline grade --json` prints of one plan, as types: the order of the fields is the order of the keys.
//!
//! Times are milliseconds since midnight of day 1; an end is none where a gap never ends or none was seen, and a word says
//! which. Duties are told by their places among the exercise's, trials by theirs, 0 for the plain days.

use super::losses::lost;
use super::proof_output::LossOutput;
use crate::plan::{PartId, WireId};
use crate::proof::GapEnd;
use crate::quantity::Ms;
use crate::teach::{
    Breach, Grade, GradeSentence, LossesTried, Overruled, SaidGrade, SaidTrial, Since, TrialOutcome,
};
use serde::Serialize;

/// A grade.
#[derive(Serialize)]
pub(super) struct GradeOutput<'a> {
    kept: bool,
    stars: u8,
    most_stars: u8,
    /// What each star is for, or what stands against it.
    each_star: Vec<StarOutput<'a>>,
    cheap: Option<bool>,
    sturdy: bool,
    materials: u64,
    parts: u64,
    since: Option<SinceOutput<'a>>,
    says: &'a str,
    breaches: Vec<KindOutput<'a>>,
    overruled: Vec<KindOutput<'a>>,
    trials: Vec<TrialOutput<'a>>,
    /// The single losses of the plain days; none where they were not asked for.
    losses: Option<LossesOutput<'a>>,
}

#[derive(Serialize)]
struct SinceOutput<'a> {
    trial: usize,
    t: Ms,
    duty: usize,
    loss: Option<LossOutput<'a>>,
}

/// What is against the rules, or does not count.
#[derive(Serialize)]
struct KindOutput<'a> {
    kind: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    most: Option<u64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    built: Option<u64>,
    /// How many of a given part there were to be, and are.
    #[serde(skip_serializing_if = "Option::is_none")]
    given: Option<u64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    found: Option<u64>,
    parts: &'a [PartId],
    says: &'a str,
}

#[derive(Serialize)]
struct TrialOutput<'a> {
    says: &'a str,
    kept: bool,
    for_ever: bool,
    days: u64,
    broken: Vec<BrokenOutput<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    losses: Option<LossesOutput<'a>>,
    sentences: Vec<SentenceOutput<'a>>,
}

#[derive(Serialize)]
struct BrokenOutput<'a> {
    duty: usize,
    part: &'a PartId,
    from: Ms,
    to: Option<Ms>,
    ends: &'static str,
    load: &'static str,
    gaps: usize,
}

#[derive(Serialize)]
struct LossesOutput<'a> {
    tried: usize,
    breaking: Vec<BreakingOutput<'a>>,
}

#[derive(Serialize)]
struct BreakingOutput<'a> {
    loss: LossOutput<'a>,
    breaks: Vec<LostDutyOutput<'a>>,
}

#[derive(Serialize)]
struct LostDutyOutput<'a> {
    duty: usize,
    part: &'a PartId,
    from: Ms,
    to: Option<Ms>,
    ends: &'static str,
}

#[derive(Serialize)]
struct SentenceOutput<'a> {
    t: Option<Ms>,
    parts: &'a [PartId],
    wires: &'a [WireId],
    #[serde(skip_serializing_if = "Option::is_none")]
    loss: Option<LossOutput<'a>>,
    says: &'a str,
}

#[derive(Serialize)]
struct StarOutput<'a> {
    won: bool,
    says: &'a str,
}

impl<'a> GradeOutput<'a> {
    /// A grade with its words.
    pub(super) fn of(grade: &'a Grade, said: &'a SaidGrade) -> GradeOutput<'a> {
        let breaches = grade.breaches.iter().zip(&said.breaches);
        let overruled = grade.overruled.iter().zip(&said.overruled);
        let trials = grade.trials.iter().zip(&said.trials);
        let stars = said.stars.iter().map(|star| StarOutput {
            won: star.won,
            says: &star.sentence.says,
        });
        GradeOutput {
            kept: grade.kept,
            stars: grade.stars(),
            most_stars: grade.most_stars(),
            each_star: stars.collect(),
            cheap: grade.cheap,
            sturdy: grade.is_sturdy(),
            materials: grade.materials,
            parts: grade.parts,
            since: grade.since.as_ref().map(since),
            says: &said.verdict,
            breaches: breaches
                .map(|(breach, said)| of_breach(breach, said))
                .collect(),
            overruled: overruled
                .map(|(what, said)| of_overruled(what, said))
                .collect(),
            trials: trials
                .map(|(outcome, said)| of_trial(outcome, said))
                .collect(),
            losses: grade.losses.as_ref().map(of_losses),
        }
    }
}

fn since(since: &Since) -> SinceOutput<'_> {
    SinceOutput {
        trial: since.trial,
        t: since.t,
        duty: since.duty,
        loss: since.loss.as_ref().map(lost),
    }
}

fn of_breach<'a>(breach: &Breach, said: &'a GradeSentence) -> KindOutput<'a> {
    let kind = match breach {
        Breach::OtherPlan => "other-plan",
        Breach::Missing(_) => "missing",
        Breach::OtherType { .. } => "other-type",
        Breach::OtherCount { .. } => "other-count",
        Breach::OtherSetting { .. } => "other-setting",
        Breach::OtherReach { .. } => "other-reach",
        Breach::NotInBook { .. } => "not-in-book",
        Breach::TooMany { .. } => "too-many",
    };
    let mut output = of_kind(kind, said);
    match breach {
        Breach::OtherCount { given, found, .. } => {
            (output.given, output.found) = (Some(*given), Some(*found));
        }
        Breach::TooMany { most, built, .. } => {
            (output.most, output.built) = (Some(*most), Some(*built));
        }
        _ => {}
    }
    output
}

fn of_kind<'a>(kind: &'static str, said: &'a GradeSentence) -> KindOutput<'a> {
    KindOutput {
        kind,
        most: None,
        built: None,
        given: None,
        found: None,
        parts: &said.parts,
        says: &said.says,
    }
}

fn of_overruled<'a>(what: &Overruled, said: &'a GradeSentence) -> KindOutput<'a> {
    let kind = match what {
        Overruled::Book => "book",
        Overruled::World => "world",
        Overruled::Duties => "duties",
        Overruled::Start(_) => "start",
    };
    of_kind(kind, said)
}

fn of_trial<'a>(outcome: &'a TrialOutcome, said: &'a SaidTrial) -> TrialOutput<'a> {
    let broken = outcome.broken.iter().map(|broken| BrokenOutput {
        duty: broken.duty,
        part: &broken.load,
        from: broken.from,
        to: broken.ends.moment(),
        ends: word(broken.ends),
        load: if broken.on { "on" } else { "off" },
        gaps: broken.gaps,
    });
    let sentences = said.sentences.iter().map(|sentence| SentenceOutput {
        t: sentence.at,
        parts: &sentence.parts,
        wires: &sentence.wires,
        loss: sentence.loss.as_ref().map(lost),
        says: &sentence.says,
    });
    TrialOutput {
        says: &said.says,
        kept: outcome.kept,
        for_ever: outcome.for_ever,
        days: outcome.days,
        broken: broken.collect(),
        losses: outcome.losses.as_ref().map(of_losses),
        sentences: sentences.collect(),
    }
}

fn of_losses(losses: &LossesTried) -> LossesOutput<'_> {
    let breaking = losses.breaking.iter().map(|found| BreakingOutput {
        loss: lost(&found.loss),
        breaks: (found.breaks.iter())
            .map(|broken| LostDutyOutput {
                duty: broken.duty,
                part: &broken.load,
                from: broken.from,
                to: broken.ends.moment(),
                ends: word(broken.ends),
            })
            .collect(),
    });
    LossesOutput {
        tried: losses.tried,
        breaking: breaking.collect(),
    }
}

fn word(end: GapEnd) -> &'static str {
    match end {
        GapEnd::At(_) => "at",
        GapEnd::Never => "never",
        GapEnd::Unknown => "unknown",
    }
}
