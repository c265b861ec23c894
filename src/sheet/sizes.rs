//! Sizes and reserves in words, for both faces. It works nothing out.

use crate::limits;
use crate::plan::{Clock, Plan};
use crate::proof::DAYS;
use crate::proof::sizes::{
    Carries, Measure, MoreCapacity, Progress, Setting, SizedPart, SizedPlan, Sizes, Worth,
};
use crate::quantity::Short;

/// A worth: "6 sources and batteries", with its cost where that counts.
pub fn worth(measure: &Measure, worth: Worth) -> String {
    let parts = match worth.parts {
        1 => "1 source or battery".to_string(),
        parts => format!("{parts} sources and batteries"),
    };
    match measure {
        Measure::Parts => parts,
        Measure::Cost(_) => format!("cost {}, {parts}", worth.cost),
    }
}

/// How far a search is, and the least so far: `120 of at most 20000 runs; found so far: 6 sources and batteries`.
pub fn progress(measure: &Measure, progress: &Progress) -> String {
    let (runs, most) = progress.runs;
    let found = match progress.worth {
        Some(found) => format!("found so far: {}", worth(measure, found)),
        None => "nothing found so far".into(),
    };
    format!("{runs} of at most {most} runs; {found}")
}

/// The answer in a sentence.
pub fn headline(measure: &Measure, found: &Sizes) -> String {
    match (&found.least, found.exact) {
        (Some(least), exact) => {
            let what = if exact { "Least" } else { "Least found so far" };
            let days = if least.for_ever {
                String::new()
            } else {
                format!(
                    " The duties are kept for {} days; no day repeats.",
                    least.days
                )
            };
            format!(
                "{what}: {}. The plan has {}.{days}",
                worth(measure, least.worth),
                worth(measure, found.present.worth)
            )
        }
        (None, true) if found.most >= limits::COUNT => {
            "No combination keeps the duties: more of the same does not mend what breaks them. The page of duties says \
             what does."
                .into()
        }
        (None, true) => format!(
            "No combination of up to {} of each keeps the duties; more was not tried. The page of duties says what \
             breaks them.",
            found.most
        ),
        (None, false) if found.runs == 0 => {
            "Nothing was tried, for want of runs. The plan as it is does not do what is asked: the page of duties says \
             why."
                .into()
        }
        (None, false) => {
            "Nothing found that keeps the duties. The page of duties says what breaks them.".into()
        }
    }
}

/// A setting: an aim, an amount.
pub fn setting(plan: &Plan, setting: Setting) -> String {
    match setting {
        Setting::Aim(azimuth, tilt) => format!("{}°, tilt {}°", Short(azimuth), Short(tilt)),
        Setting::Amount(amount) => plan.book.book.unit.say_power(amount),
    }
}

/// What becomes of the least with one fewer of a row's part.
pub fn fewer(plan: &Plan, row: &SizedPart) -> String {
    match (&row.fewer, row.least) {
        (Some(side), _) => fails(plan, side),
        (None, Some(1)) => "one is the fewest".into(),
        (None, Some(_)) => "not tried".into(),
        (None, None) => String::new(),
    }
}

/// How a combination fails, or that it does not.
pub fn fails(plan: &Plan, side: &SizedPlan) -> String {
    let day = plan.world.day_ms().max(1);
    let first = side.breaks.iter().min_by_key(|(at, gap)| (gap.from, *at));
    match first {
        Some((duty, gap)) => {
            let load = plan.duties.get(*duty).map(|d| plan.called(&d.part));
            let on = if gap.on { "runs" } else { "is off" };
            let more = match side.breaks.len() {
                1 => String::new(),
                n => format!(", and {} more", n - 1),
            };
            format!(
                "{} {on} from day {} {}{more}",
                load.unwrap_or_default(),
                gap.from / day + 1,
                Clock::at(gap.from, day)
            )
        }
        None if side.for_ever => "keeps all duties".into(),
        None => format!("kept for {} days; no day repeats", side.days),
    }
}

/// How much more a part carries.
pub fn carries(plan: &Plan, carries: Carries) -> String {
    let unit = &plan.book.book.unit;
    match carries {
        Carries::Exactly(steps) => unit.say_power(steps),
        Carries::AtLeast(steps) => format!("{} at least", unit.say_power(steps)),
        Carries::ForAWhile { for_ever, kept } => format!(
            "{} for ever, {} for {DAYS} days",
            unit.say_power(for_ever),
            unit.say_power(kept)
        ),
        Carries::Broken => "-".into(),
    }
}

/// What more of a battery would do.
pub fn holds(plan: &Plan, holds: MoreCapacity) -> String {
    let unit = &plan.book.book.unit;
    match holds {
        MoreCapacity::NeverFlat { spare } => {
            format!(
                "would not help: {} are left at the lowest",
                unit.say_energy(spare)
            )
        }
        MoreCapacity::NeverFull => "would not help: it never gets full".into(),
        MoreCapacity::Units(units) => format!("helps, up to {units} more"),
        MoreCapacity::NotWith(units) => format!("helps, even beyond {units} more"),
        MoreCapacity::Unsettled => "can't be told, since no day repeats".into(),
    }
}
