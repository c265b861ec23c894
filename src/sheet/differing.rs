//! What a builder may have read instead of what a check should show, as a reading for fault finding. Powers in steps, times
//! in milliseconds since midnight of day 1.
//!
//! A load that should run is off, and the other way round; one that should be short was seen to run. A contact is the other
//! of the two. A battery is looked at for a while; what a meter shows is entered as a number of the book's unit.

use super::entry;
use crate::diagnosis::{BaseReading, Readable, Shows, Trend};
use crate::limits::POWER;
use crate::quantity::{Ms, Unit};
use crate::works::{Reads, Shows as Should};

/// What is said where a check is of a part of the plan alone.
pub const OF_A_PART: &str = "Only a part of the plan stands at this step, but fault finding reckons with all of it. Go over the settings and cables of this branch first. If the reading still differs, build the rest and read again before you trust what Faults names.";

/// What is asked where a battery's level differs.
pub const OF_A_LEVEL: &str = "Fault finding does not compare the percentage: it compares whether the level rises, falls or stays. Watch the battery for a while. What does its level do?";

/// What a percentage says that alone differs.
pub const OF_A_PERCENTAGE: &str = "If that is as you expect and only the percentage differs, the battery held something else at midnight, or took or gave more since: look at its charge at the start, and read what is wired to it.";

/// In which way a reading can differ from what it should be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Differing {
    /// It can only be this.
    Is(BaseReading),
    /// It is one of these.
    OneOf(Vec<BaseReading>),
    /// It is a number.
    Number,
}

impl Differing {
    /// How a reading at `at` can differ.
    pub fn from(should: &Reads, at: Ms) -> Differing {
        let of = readable(should);
        let reading = |shows| BaseReading {
            of: of.clone(),
            shows,
            at,
        };
        match should {
            Reads::Part { shows, .. } => Differing::Is(reading(match shows {
                Should::Runs => Shows::Runs(false),
                Should::Off | Should::Short(_) => Shows::Runs(true),
                Should::Conducts => Shows::Conducts(false),
                Should::Open => Shows::Conducts(true),
            })),
            Reads::Level { .. } => {
                let trends = [Trend::Rises, Trend::Falls, Trend::Still];
                Differing::OneOf(trends.map(|trend| reading(Shows::Moves(trend))).into())
            }
            Reads::Wire { .. } => Differing::Number,
        }
    }
}

/// What is read.
pub fn readable(should: &Reads) -> Readable {
    match should {
        Reads::Part { part, .. } | Reads::Level { part, .. } => Readable::Part(part.clone()),
        Reads::Wire { wire, .. } => Readable::Wire(wire.clone()),
    }
}

/// The reading of a meter that somebody entered as a number of the unit.
///
/// # Errors
/// Where it is no whole number of steps, or just what it should be: a sentence that says what to enter.
pub fn entered(should: &Reads, at: Ms, text: &str, unit: &Unit) -> Result<BaseReading, String> {
    let Some(steps) = steps(text, unit) else {
        let (least, one) = (unit.say_power(0), unit.say_power(1));
        return Err(format!(
            "“{}” can't be what the meter shows: enter a number from {least}, in steps of {one}.",
            text.trim()
        ));
    };
    if matches!(should, Reads::Wire { take, .. } if *take == steps) {
        let said = unit.say_power(steps);
        return Err(format!(
            "{said} is what the meter should show: nothing differs."
        ));
    }
    Ok(BaseReading {
        of: readable(should),
        shows: Shows::Takes(steps),
        at,
    })
}

/// A power that is entered as a number of the unit, in steps.
fn steps(text: &str, unit: &Unit) -> Option<u64> {
    // The unit's sign may stand behind the number.
    let text = text.trim();
    let text = text.strip_suffix(&unit.sign).unwrap_or(text);
    let steps = entry::number(text)? / unit.step;
    let whole = steps.round();
    let fits = (0.0..=POWER as f64).contains(&whole) && (steps - whole).abs() < 1e-6;
    fits.then_some(whole as u64)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{Clock, Plan, examples, read_plan};
    use crate::works::{Work, WorkOrder};

    fn meter() -> Reads {
        Reads::Wire {
            wire: "w1".into(),
            meter: "p2".into(),
            take: 5,
            offer: 20,
        }
    }

    fn unit(step: f64) -> Unit {
        Unit {
            sign: "u".into(),
            step,
        }
    }

    /// Everything that is to be read in an order of work.
    fn all_of(plan: &Plan) -> Vec<Reads> {
        let at = Clock::parse("12:00").expect("a time");
        let steps = WorkOrder::of(plan, at, &|_, _| 0).steps;
        let reads = steps.into_iter().filter_map(|step| match step.work {
            Work::Check(reads) => Some(reads),
            _ => None,
        });
        reads.flatten().collect()
    }

    #[test]
    fn whatever_differs_in_an_example_is_a_reading_that_fault_finding_takes() {
        let mut kinds = [0; 3];
        // No example has a meter.
        let metered = r#"{"format": "duskline/plan", "version": 1, "book": "outpost",
            "parts": [{"id": "p1", "type": "generator"}, {"id": "p2", "type": "meter"}, {"id": "p3", "type": "lamp"}],
            "wires": [{"id": "w1", "from": "p1.out", "to": "p2.in"}, {"id": "w2", "from": "p2.out", "to": "p3.in"}]}"#;
        let examples = examples().iter().map(|(_, text)| *text);
        for text in examples.chain([metered]) {
            let plan = read_plan(text).expect("a plan reads");
            for should in all_of(&plan) {
                let readings = match Differing::from(&should, 7) {
                    Differing::Is(reading) => {
                        kinds[0] += 1;
                        vec![reading]
                    }
                    Differing::OneOf(readings) => {
                        kinds[1] += 1;
                        readings
                    }
                    Differing::Number => {
                        kinds[2] += 1;
                        let unit = &plan.book.book.unit;
                        vec![entered(&should, 7, "987", unit).expect("a number")]
                    }
                };
                for reading in readings {
                    assert_eq!((reading.check(&plan, "it"), reading.at), (Ok(()), 7));
                }
            }
        }
        assert!(kinds.iter().all(|count| *count > 0), "{kinds:?}");
    }

    #[test]
    fn a_load_that_should_be_short_was_seen_to_run() {
        let should = |shows| Reads::Part {
            part: "p1".into(),
            shows,
        };
        for (shows, other) in [
            (Should::Runs, Shows::Runs(false)),
            (Should::Off, Shows::Runs(true)),
            (Should::Short(3), Shows::Runs(true)),
            (Should::Conducts, Shows::Conducts(false)),
            (Should::Open, Shows::Conducts(true)),
        ] {
            let differing = Differing::from(&should(shows), 0);
            let Differing::Is(reading) = differing else {
                panic!("{differing:?}");
            };
            assert_eq!(reading.shows, other);
        }
    }

    #[test]
    fn a_number_is_taken_in_the_unit_and_a_wrong_one_told() {
        let takes = |text: &str, step| {
            let reading = entered(&meter(), 0, text, &unit(step))?;
            Ok(reading.shows)
        };
        assert_eq!(takes("3", 1.0), Ok(Shows::Takes(3)));
        assert_eq!(takes(" 0 u", 1.0), Ok(Shows::Takes(0)));
        assert_eq!(takes("0,3", 0.1), Ok(Shows::Takes(3)));
        assert_eq!(
            takes("5", 1.0),
            Err("5 u is what the meter should show: nothing differs.".to_string())
        );
        for text in ["", "some", "-1", "0.25", "1000000001"] {
            let said = takes(text, 1.0).expect_err(text);
            assert!(
                said.ends_with("enter a number from 0 u, in steps of 1 u."),
                "{said}"
            );
        }
    }
}
