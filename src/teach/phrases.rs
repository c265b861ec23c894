//! Single sentences of a grade that speak of nothing on the board: the verdict, materials, for how long something holds.
//!
//! Lengths of time in milliseconds, amounts of materials as in the book's costs.

use super::grade::{Grade, LossesTried, TrialOutcome};
use crate::proof::{Cause, GapEnd, length};
use crate::quantity::Ms;

/// What was built takes in materials, against the most that a star allows.
pub(super) fn materials(grade: &Grade, most: u64) -> String {
    let takes = format!("What was built takes {} in materials", grade.materials);
    let more = grade.materials.saturating_sub(most);
    match (more, grade.kept) {
        (0, true) => format!("{takes}, of {most} that are allowed for."),
        (0, false) => {
            format!("{takes}, of {most} that are allowed for. This counts once all else is kept.")
        }
        (more, _) => {
            format!("{takes}, which is {more} more than the {most} that this star allows for.")
        }
    }
}

/// All of a grade in a sentence.
pub(super) fn verdict(grade: &Grade) -> String {
    let of = grade.trials.len().saturating_sub(1);
    if grade.kept {
        return match of {
            0 => "Solved: every duty is kept.".into(),
            1 => "Solved: every duty is kept, on plain days and in the trial.".into(),
            of => format!("Solved: every duty is kept, on plain days and in all {of} trials."),
        };
    }
    let rules = match grade.breaches.len() {
        0 => None,
        1 => Some("one thing is against the rules".into()),
        n => Some(format!("{n} things are against the rules")),
    };
    let is_plain_kept = grade.trials.first().is_none_or(|plain| plain.kept);
    let failed = grade
        .trials
        .iter()
        .skip(1)
        .filter(|trial| !trial.kept)
        .count();
    let trials = match of {
        1 => "in the trial".into(),
        of => format!("in {failed} of {of} trials"),
    };
    let fails = match (is_plain_kept, failed) {
        (true, 0) => None,
        (false, 0) => Some("something fails on plain days".into()),
        (true, _) => Some(format!("something fails {trials}")),
        (false, _) => Some(format!("something fails on plain days and {trials}")),
    };
    let said: Vec<String> = rules.into_iter().chain(fails).collect();
    format!("Not solved yet: {}.", said.join(", and "))
}

/// That a trial is kept, and for how long.
pub(super) fn kept(outcome: &TrialOutcome) -> String {
    let kept = match (outcome.for_ever, outcome.days) {
        (true, _) => "Every duty is kept, for ever.".into(),
        (false, days) => format!(
            "Every duty is kept for the {days} days that were run. No midnight repeated an earlier one, so it is not known \
             whether that goes on."
        ),
    };
    match &outcome.losses {
        Some(losses) => format!("{kept} {}", stood(losses)),
        None => kept,
    }
}

pub(super) fn stood(losses: &LossesTried) -> String {
    match losses.tried {
        0 => "There is nothing to lose that a duty could do without.".into(),
        1 => "The one single loss that was tried breaks no duty.".into(),
        tried => format!("None of {tried} single losses breaks a duty."),
    }
}

/// How long a gap lasts, where its cause does not say so; a sentence with a space before it.
pub(super) fn lasts(from: Ms, ends: GapEnd, cause: Option<&Cause>) -> String {
    let is_told = cause.is_some_and(|cause| cause.on || !cause.ran_before);
    match ends {
        GapEnd::Never => " It goes on like that for ever.".into(),
        GapEnd::Unknown => " It had not ended when the run did.".into(),
        GapEnd::At(_) if is_told => String::new(),
        GapEnd::At(to) => format!(" It lasts {}.", length(to.saturating_sub(from))),
    }
}
