//! What parts and wires are and do, in words and numbers with units.
//!
//! Sentences for a reader who is new to the trade. It computes nothing: numbers come from the book and from an instant.

pub use crate::clock::to_the_second;

use crate::book::{Behaviour, PartType, Profile, Short};
use crate::clock::dial_ms;
use crate::net::Weight;
use crate::plan::Clock;
use crate::quantity::{self, DAY_MS, Ms, Unit};
use crate::run::{Flow, PartState};

/// The numbers of a part type, each with its name: power, storage, ports' limits, cost, wire, mount.
pub fn numbers(kind: &PartType, unit: &Unit) -> Vec<(&'static str, String)> {
    let mut all = behaviour(&kind.behaviour, unit);
    if !kind.cost.is_empty() {
        let said = kind.cost.iter().map(|(what, n)| format!("{n} {what}"));
        all.push(("Cost", said.collect::<Vec<_>>().join(", ")));
    }
    if let Some(metres) = kind.max_run {
        all.push(("Longest wire", format!("{} m", quantity::Short(metres))));
    }
    if !kind.mount.is_empty() {
        all.push(("Put up on", kind.mount.clone()));
    }
    all
}

fn behaviour(behaviour: &Behaviour, unit: &Unit) -> Vec<(&'static str, String)> {
    let power = |steps: u64| unit.say_power(steps);
    match behaviour {
        Behaviour::Source { peak, profile } => {
            let by = match profile {
                Profile::Steady => "always",
                Profile::Sun => "by the sun",
                Profile::Wind => "by the wind",
            };
            vec![("Peak", power(*peak)), ("Gives", by.into())]
        }
        Behaviour::Battery {
            capacity,
            max_in,
            max_out,
            efficiency,
            cut_out,
            cut_in,
        } => vec![
            ("Capacity", unit.say_energy(*capacity)),
            ("Takes at most", power(*max_in)),
            ("Gives at most", power(*max_out)),
            ("Stores of what it takes", percent(*efficiency)),
            ("Output off at", percent(*cut_out)),
            ("Output on again at", percent(*cut_in)),
        ],
        Behaviour::Load { draw, short } => {
            let when_short = match short {
                Short::Pass => "passes all on",
                Short::Hold => "passes nothing on",
                Short::Waste => "takes it to no use",
            };
            vec![("Draws", power(*draw)), ("When short", when_short.into())]
        }
        Behaviour::Divider { ways } | Behaviour::Busbar { ways } => {
            vec![("Ways", ways.to_string())]
        }
        Behaviour::Contact { function, coil } if !function.signals().is_empty() => {
            vec![("A live signal takes", power(*coil))]
        }
        Behaviour::Contact { .. } | Behaviour::Tap | Behaviour::Changeover | Behaviour::Meter => {
            Vec::new()
        }
    }
}

/// Per mille as per cent: `12.5 %`.
pub fn percent(per_mille: u64) -> String {
    format!("{} %", quantity::Short(per_mille as f64 / 10.0))
}

/// What a part does at an instant, as one or two sentences; empty for a part without a state.
pub fn state(state: &PartState, unit: &Unit) -> String {
    let power = |steps: u64| unit.say_power(steps);
    match *state {
        PartState::Source { available: 0, .. } => "Gives nothing now.".into(),
        PartState::Source { available, taken } if taken == available => {
            format!("Gives all of the {} it could give now.", power(available))
        }
        PartState::Source { available, taken } => format!(
            "Gives {} of the {} it could give now; {} is spilled.",
            power(taken),
            power(available),
            power(available - taken.min(available))
        ),
        PartState::Load {
            runs: true, draw, ..
        } => format!("Runs on {}.", power(draw)),
        PartState::Load {
            draw, offered: 0, ..
        } => format!("Off: it draws {} and is offered nothing.", power(draw)),
        PartState::Load { draw, offered, .. } => format!(
            "Short by {}: it draws {} and is offered {}.",
            power(draw.saturating_sub(offered)),
            power(draw),
            power(offered)
        ),
        PartState::Battery {
            level,
            capacity,
            cut_in,
            output,
            full,
            taking,
            giving,
            ..
        } => {
            let share = (level.max(0) * 1000 / capacity.max(1)) as u64;
            let mut said = format!(
                "Holds {} of {} ({}). Takes {}, gives {}.",
                unit.say_energy(level),
                unit.say_energy(capacity),
                percent(share),
                power(taking),
                power(giving)
            );
            if full {
                said.push_str(" It is full.");
            }
            if !output {
                said.push_str(&format!(
                    " Its output is off until it holds {}.",
                    unit.say_energy(cut_in)
                ));
            }
            said
        }
        PartState::Contact { held: true, .. } => {
            "Held open: it would open and close without end.".into()
        }
        PartState::Contact { conducts: true, .. } => "Closed: power passes.".into(),
        PartState::Contact { .. } => "Open: nothing passes.".into(),
        PartState::Plain => String::new(),
    }
}

/// A moment of a run: `day 2, 03:12`.
pub fn moment(t: Ms, day_ms: Ms) -> String {
    let day_ms = day_ms.max(1);
    format!("day {}, {}", t / day_ms + 1, Clock::at(t, day_ms))
}

/// A length of time in hours of the dial, of which a day has 24 whatever its length: `4.25 h`. Where a day has another
/// length that is said.
pub fn hours(ms: Ms, day_ms: Ms) -> String {
    let hours = ms as f64 * 24.0 / day_ms.max(1) as f64;
    let whose = if day_ms == DAY_MS { "" } else { " on the dial" };
    format!(
        "{} h{whose}",
        quantity::Short((hours * 100.0).round() / 100.0)
    )
}

/// A place on the dial as fine as `t` is: `08:31`, `08:31:24` or `08:31:24.100`.
pub fn precise(t: Ms, day_ms: Ms) -> String {
    let (seconds, ms) = (to_the_second(t, day_ms), dial_ms(t, day_ms) % 1000);
    match ms {
        0 => seconds,
        ms if seconds.len() > 5 => format!("{seconds}.{ms:03}"),
        ms => format!("{seconds}:00.{ms:03}"),
    }
}

/// What a wire carries at an instant, as a sentence.
pub fn flow(flow: &Flow, unit: &Unit) -> String {
    match *flow {
        Flow { on_loop: true, .. } => "On a closed loop: it carries nothing.".into(),
        Flow { offer: 0, .. } => "Dead: nothing is offered.".into(),
        Flow { offer, take: 0, .. } => {
            format!("{} is offered, nothing is taken.", unit.say_power(offer))
        }
        Flow { offer, take, .. } => format!(
            "{} is taken of {} offered.",
            unit.say_power(take),
            unit.say_power(offer)
        ),
    }
}

/// The path of a weight's mark, in a square of 12: a square, a triangle, a circle.
pub const fn weight_mark(weight: Weight) -> &'static str {
    match weight {
        Weight::Error => "M1 1H11V11H1Z",
        Weight::Warning => "M6 1L11 11H1Z",
        Weight::Hint => "M11 6A5 5 0 1 1 1 6A5 5 0 1 1 11 6Z",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::book;

    fn unit() -> Unit {
        Unit {
            sign: "u".into(),
            step: 1.0,
        }
    }

    #[test]
    fn a_place_on_the_dial_is_said_as_fine_as_it_is() {
        let day = 86_400_000;
        let at = ((8 * 60 + 31) * 60 + 24) * 1000;
        assert_eq!(precise(at - 24_000, day), "08:31");
        assert_eq!(precise(at, day), "08:31:24");
        assert_eq!(precise(3 * day + at + 100, day), "08:31:24.100");
        assert_eq!(precise(at - 24_000 + 7, day), "08:31:00.007");
        assert_eq!(to_the_second(at + 999, day), "08:31:24");
        assert_eq!(hours(day / 8 + 60_000, day), "3.02 h");
        assert_eq!(hours(450_000, 3_600_000), "3 h on the dial");
        assert_eq!(
            precise(1_800_001, 3_600_000),
            "12:00:00.024",
            "a short day has a dial too"
        );
    }

    #[test]
    fn a_load_says_by_how_much_it_is_short() {
        let load = |runs, offered| PartState::Load {
            runs,
            draw: 3,
            offered,
        };
        assert_eq!(state(&load(true, 5), &unit()), "Runs on 3 u.");
        assert_eq!(
            state(&load(false, 1), &unit()),
            "Short by 2 u: it draws 3 u and is offered 1 u."
        );
        assert_eq!(
            state(&load(false, 0), &unit()),
            "Off: it draws 3 u and is offered nothing."
        );
    }

    #[test]
    fn a_battery_says_what_it_holds_and_when_its_output_comes_back() {
        let hour = quantity::STEP_MS * 3_600_000;
        let battery = PartState::Battery {
            level: hour * 5,
            capacity: hour * 40,
            cut_out: hour * 4,
            cut_in: hour * 10,
            output: false,
            full: false,
            taking: 3,
            giving: 0,
            slope: 3000,
        };
        assert_eq!(
            state(&battery, &unit()),
            "Holds 5 u·h of 40 u·h (12.5 %). Takes 3 u, gives 0 u. Its output is off until it holds 10 u·h."
        );
    }

    #[test]
    fn a_wire_says_what_is_taken_of_what_is_offered() {
        let wire = |offer, take, on_loop| Flow {
            offer,
            take,
            on_loop,
        };
        assert_eq!(
            flow(&wire(5, 3, false), &unit()),
            "3 u is taken of 5 u offered."
        );
        assert_eq!(
            flow(&wire(5, 0, false), &unit()),
            "5 u is offered, nothing is taken."
        );
        assert_eq!(
            flow(&wire(0, 0, false), &unit()),
            "Dead: nothing is offered."
        );
        assert_eq!(
            flow(&wire(0, 0, true), &unit()),
            "On a closed loop: it carries nothing."
        );
    }

    #[test]
    fn every_part_type_of_the_built_in_book_has_its_cost_among_its_numbers() {
        for t in &book::built_in("outpost").unwrap().types {
            let all = numbers(t, &unit());
            assert!(all.iter().any(|(name, _)| *name == "Cost"), "{}", t.name);
            assert!(all.iter().all(|(_, said)| !said.is_empty()), "{}", t.name);
        }
    }
}
