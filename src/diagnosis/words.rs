//! Every sentence of fault finding: what is wrong and what to do about it, what was read, what to read next. Wires have the
//! numbers of the cable schedule, as in the order of work and on the board.

use super::base_reading::{BaseReading, READABLE, Readable, Shape, Shows, Trend};
use super::next::NextReading;
use super::parse::DAYS;
use super::reading_field::ReadingField;
use super::search::Diagnosis;
use super::settings::present;
use super::single_fault::{SingleFault, is_break, stands_closed};
use crate::clock::DialTime;
use crate::limits::Field;
use crate::plan::{End, PartId, Plan, WireId};
use crate::quantity::{Ms, Short};

/// What something shows, for people: as it is typed, a take with the book's unit.
pub fn shown(plan: &Plan, shows: Shows) -> String {
    match shows {
        Shows::Takes(steps) => plan.book.book.unit.say_power(steps),
        _ => shows.word(),
    }
}

/// How a battery's level is read.
pub const LEVEL_SAYS: &str = "Watch a battery for a while and enter whether its level rises, falls or stays as it is (still). A percentage is not compared.";

/// What is read, for people: a part's name, `cable 1 from Roof panel (out) to Dusk tap (in)`.
pub fn read_what(plan: &Plan, of: &Readable) -> String {
    match of {
        Readable::Part(id) => plan.called(id),
        Readable::Wire(id) => format!("{} {}", cable(plan, id), way(plan, id)),
    }
}

/// A moment of the run: `day 2, 21:00`, with seconds where there are any.
pub fn when(plan: &Plan, t: Ms) -> String {
    let day_ms = plan.world.day_ms();
    let day = t / day_ms.max(1) + 1;
    format!("day {day}, {}", DialTime::at(t, day_ms))
}

/// What the plan as it is drawn shows where this was read.
pub fn drawn_says(plan: &Plan, reading: &BaseReading, drawn: Shows) -> String {
    let does = match drawn {
        Shows::Runs(true) => "it runs".to_string(),
        Shows::Runs(false) => "it is off".into(),
        Shows::Conducts(true) => "it conducts".into(),
        Shows::Conducts(false) => "it is open".into(),
        Shows::Moves(Trend::Rises) => "it rises".into(),
        Shows::Moves(Trend::Falls) => "it falls".into(),
        Shows::Moves(Trend::Still) => "it stays as it is".into(),
        Shows::Takes(_) => format!("{} are taken through it", shown(plan, drawn)),
    };
    match drawn == reading.shows {
        true => format!("The plan says so too: {does}."),
        false => format!("The plan says {does}."),
    }
}

/// What is still to be filled in of a reading, in a sentence.
pub(super) const fn next_field_says(field: ReadingField) -> &'static str {
    match field {
        ReadingField::Of => "Choose what you read. Until then this reading does not count.",
        ReadingField::Shows => "Enter what it shows. Until then this reading does not count.",
        ReadingField::Day | ReadingField::Time => {
            "Enter when you read it. Until then this reading does not count."
        }
    }
}

/// That the plan has no such thing.
pub(super) fn gone_says(of: &Readable) -> String {
    let id = of.id();
    format!("“{id}” is not {READABLE} any more. Choose something else, or remove this reading.")
}

/// What is wrong with what was typed into a field.
pub(super) fn wrong_says(field: ReadingField, text: &str, shape: Option<Shape>) -> String {
    let expects = match field {
        ReadingField::Of => READABLE.to_string(),
        ReadingField::Shows => shape.map_or(String::new(), |shape| shape.expects().into()),
        ReadingField::Day => format!("a whole number from 1 to {DAYS}, or nothing for day 1"),
        ReadingField::Time => "a time of the dial from 00:00 to 24:00, such as 21:00".into(),
    };
    format!("“{text}” is not counted: enter {expects}.")
}

/// What came of it, in a sentence or two.
pub fn outcome_says(diagnosis: &Diagnosis) -> String {
    let drawn = match diagnosis.sound {
        true => "The plan as it is drawn explains all readings, so nothing need be wrong.",
        false => "The plan as it is drawn does not explain all readings.",
    };
    let faults = match (diagnosis.faults.len(), diagnosis.sound) {
        (0, true) => "Every single fault would show in them.",
        (0, false) => {
            "No single fault explains them either. Read again what surprises you; if it is so, more than one thing is wrong."
        }
        (1, false) => "One single fault does:",
        (1, true) => "One single fault would not show in them:",
        (count, true) => return format!("{drawn} {count} single faults would not show in them:"),
        (count, false) => return format!("{drawn} {count} single faults do, the likeliest first:"),
    };
    format!("{drawn} {faults}")
}

/// What to read next and what it tells, or that no reading tells more.
pub fn next_says(plan: &Plan, diagnosis: &Diagnosis) -> Option<String> {
    let count = diagnosis.faults.len();
    match &diagnosis.next {
        Some(NextReading { of, at, left }) => {
            let what = match of {
                Readable::Part(id) => plan.called(id),
                Readable::Wire(id) => {
                    format!("{} (wire {id}) at the meter, {},", cable(plan, id), way(plan, id))
                }
            };
            let left = match left {
                1 => format!("at most one of these {count} faults is left"),
                left => format!("at most {left} of these {count} faults are left"),
            };
            Some(format!("Read next {what} on day 1 at {at}: whatever it shows, {left} then."))
        }
        None if count > 1 => Some(
            "No reading at a whole hour of day 1 tells any of these apart. Look at each in turn, from the first on.".into(),
        ),
        None => None,
    }
}

impl SingleFault {
    /// What is wrong and what to do about it.
    pub fn says(&self, plan: &Plan) -> String {
        match self {
            SingleFault::Missing { wire } => {
                let cable = cable_begins(plan, wire);
                format!("{cable} {} is missing. Put it back.", way(plan, wire))
            }
            SingleFault::Exchanged { wires: [a, b] } => exchanged(plan, a, b),
            SingleFault::Port { wire, port } => on_port(plan, wire, port),
            SingleFault::Reversed { part } => reversed(plan, part),
            SingleFault::Contact { part } => {
                let (found, right) = match is_break(plan, part) {
                    true => ("make", "break"),
                    false => ("break", "make"),
                };
                let name = plan.called(part);
                format!(
                    "{name} has a {found} contact where the plan has a {right} contact. Change it over."
                )
            }
            SingleFault::Setting { part, name, value } => setting(plan, part, name, *value),
            SingleFault::Dead { part } => {
                let name = plan.called(part);
                format!(
                    "{name} is dead: it does nothing, and nothing comes through it. Mend or replace it."
                )
            }
        }
    }
}

/// A port: `Dusk tap (rest)`.
fn port(plan: &Plan, end: &End) -> String {
    format!("{} ({})", plan.called(&end.part), end.port)
}

/// A wire's way: `from Dusk tap (rest) to Shelf battery (in)`.
fn way(plan: &Plan, wire: &WireId) -> String {
    match plan.wire(wire) {
        Some(wire) => format!(
            "from {} to {}",
            port(plan, &wire.from),
            port(plan, &wire.to)
        ),
        None => wire.to_string(),
    }
}

/// The number that a wire has in the cable schedule: `cable 3`; the wire's id where the plan has it no more.
fn cable(plan: &Plan, wire: &WireId) -> String {
    match plan.wire_place(wire) {
        Some(at) => format!("cable {}", at + 1),
        None => format!("wire {wire}"),
    }
}

/// The same as the beginning of a sentence.
fn cable_begins(plan: &Plan, wire: &WireId) -> String {
    match plan.wire_place(wire) {
        Some(at) => format!("Cable {}", at + 1),
        None => format!("Wire {wire}"),
    }
}

fn exchanged(plan: &Plan, a: &WireId, b: &WireId) -> String {
    let (first, second) = (cable(plan, a), cable(plan, b));
    let (Some(a), Some(b)) = (plan.wire(a), plan.wire(b)) else {
        return format!(
            "Two cables are exchanged: {first} and {second}. Change their input ends over."
        );
    };
    format!(
        "Two cables are exchanged: {first} from {} ends at {}, {second} from {} at {}. Change these two ends over.",
        port(plan, &a.from),
        port(plan, &b.to),
        port(plan, &b.from),
        port(plan, &a.to),
    )
}

fn on_port(plan: &Plan, wire: &WireId, found: &End) -> String {
    let name = plan.called(&found.part);
    let cable = cable_begins(plan, wire);
    let Some(drawn) = plan.wire(wire) else {
        return format!("{cable} is on {} of {name}. Move it.", found.port);
    };
    let is_out = plan
        .port(found)
        .is_some_and(|p| p.side == crate::book::Side::Out);
    let (does, right) = match is_out {
        true => ("starts", &drawn.from.port),
        false => ("ends", &drawn.to.port),
    };
    format!(
        "{cable} {} {does} on {} of {name} instead of {right}. Move that end to {right}.",
        way(plan, wire),
        found.port
    )
}

fn reversed(plan: &Plan, part: &PartId) -> String {
    let name = plan.called(part);
    match stands_closed(plan, part) {
        Some(true) => format!("{name} is set open where the plan has it closed. Throw it."),
        Some(false) => format!("{name} is set closed where the plan has it open. Throw it."),
        None => format!("{name} is always set the other way than the plan has it. Throw it."),
    }
}

fn setting(plan: &Plan, part: &PartId, name: &str, found: f64) -> String {
    let called = plan.called(part);
    let field = plan.part(part).and_then(|part| {
        let kind = plan.kind_of(part)?;
        let field = kind.fields().iter().find(|f| f.key == name)?;
        Some((field, present(plan, part, field)?))
    });
    let Some((field, right)) = field else {
        return format!("{called} has another {name} than the plan. Set it anew.");
    };
    let said = |value: f64| amount(plan, field, value);
    format!(
        "{called} is set wrong: \"{}\" is {} where the plan has {}. Set it to {}.",
        field.label,
        said(found),
        said(right),
        said(right)
    )
}

/// A setting's value with its unit.
fn amount(plan: &Plan, field: &Field, value: f64) -> String {
    match field.unit {
        "steps" => {
            let unit = &plan.book.book.unit;
            format!("{} {}", Short(value * unit.step), unit.sign)
        }
        "" => Short(value).to_string(),
        unit if unit.starts_with('°') => format!("{}°", Short(value)),
        unit => format!("{} {unit}", Short(value)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnosis::candidates::Candidates;
    use crate::net::testing::plan;

    #[test]
    fn each_fault_says_what_is_wrong_and_what_to_do() {
        let plan = plan(
            r#"{ "parts": { "Panel": ["sun-panel", { "azimuth": 180, "tilt": 0 }], "Tap": ["tap", { "amount": 2 }],
                    "Door": ["switch", { "closed": true, "contact": "break" }], "Gate": ["switch", { "schedule": [["06:00", true]] }],
                    "Timer": ["on-delay", { "delay_s": 0.5 }] },
                 "wires": ["Panel.out Tap.in", "Tap.tap Door.feed", "Door.out Timer.trigger"] }"#,
        );
        let said: Vec<String> = Candidates::of(&plan)
            .map(|candidate| candidate.told(&plan).says(&plan))
            .collect();
        for sentence in [
            "Cable 2 from Tap (tap) to Door (feed) is missing. Put it back.",
            "Two cables are exchanged: cable 1 from Panel (out) ends at Door (feed), cable 2 from Tap (tap) at Tap (in). Change \
             these two ends over.",
            "Cable 2 from Tap (tap) to Door (feed) starts on rest of Tap instead of tap. Move that end to tap.",
            "Cable 3 from Door (out) to Timer (trigger) ends on feed of Timer instead of trigger. Move that end to trigger.",
            "Door is set open where the plan has it closed. Throw it.",
            "Gate is always set the other way than the plan has it. Throw it.",
            "Door has a make contact where the plan has a break contact. Change it over.",
            "Timer has a break contact where the plan has a make contact. Change it over.",
            "Panel is set wrong: \"Faces\" is 270° where the plan has 180°. Set it to 180°.",
            "Tap is set wrong: \"Sets aside\" is 20 u where the plan has 2 u. Set it to 2 u.",
            "Tap is dead: it does nothing, and nothing comes through it. Mend or replace it.",
        ] {
            assert!(
                said.iter().any(|says| says == sentence),
                "{sentence}\n{said:#?}"
            );
        }
        let whole = |says: &String| says.ends_with('.') && says.matches(". ").count() == 1;
        assert!(said.iter().all(whole), "what is wrong, and what to do");
    }

    #[test]
    fn the_outcome_and_what_to_read_next_are_whole_sentences() {
        let plan = plan(
            r#"{ "parts": { "gen": "generator", "Meter": "meter", "Lamp": "lamp" },
                 "wires": ["gen.out Meter.in", "Meter.out Lamp.in"] }"#,
        );
        let dead = |part: &str| SingleFault::Dead { part: part.into() };
        let mut diagnosis = Diagnosis {
            faults: vec![dead("gen"), dead("Lamp")],
            next: Some(NextReading {
                of: Readable::Wire("w2".into()),
                at: crate::plan::Clock::at(0, 1),
                left: 1,
            }),
            sound: false,
            drawn: Vec::new(),
        };
        let next = next_says(&plan, &diagnosis);
        let expected = "Read next cable 2 (wire w2) at the meter, from Meter (out) to Lamp (in), on day 1 at 00:00: \
                        whatever it shows, at most one of these 2 faults is left then.";
        assert_eq!(next.as_deref(), Some(expected));
        diagnosis.next = None;
        assert!(next_says(&plan, &diagnosis).is_some_and(|says| says.starts_with("No reading")));
        let mut said = Vec::new();
        for sound in [false, true] {
            for count in [2, 1, 0] {
                diagnosis.faults.truncate(count);
                diagnosis.faults.resize(count, dead("gen"));
                diagnosis.sound = sound;
                said.push(outcome_says(&diagnosis));
            }
        }
        assert_eq!(
            said,
            [
                "The plan as it is drawn does not explain all readings. 2 single faults do, the likeliest first:",
                "The plan as it is drawn does not explain all readings. One single fault does:",
                "The plan as it is drawn does not explain all readings. No single fault explains them either. Read again what \
                 surprises you; if it is so, more than one thing is wrong.",
                "The plan as it is drawn explains all readings, so nothing need be wrong. 2 single faults would not show in them:",
                "The plan as it is drawn explains all readings, so nothing need be wrong. One single fault would not show in them:",
                "The plan as it is drawn explains all readings, so nothing need be wrong. Every single fault would show in them.",
            ]
        );
    }

    #[test]
    fn moments_and_what_is_read_are_said_for_people() {
        let plan = plan(
            r#"{ "parts": { "Lamp": "lamp", "gen": "generator" }, "wires": ["gen.out Lamp.in"] }"#,
        );
        let day = plan.world.day_ms();
        assert_eq!(when(&plan, day + day / 2), "day 2, 12:00");
        assert_eq!(when(&plan, 30_000), "day 1, 00:00:30");
        assert_eq!(read_what(&plan, &Readable::Part("Lamp".into())), "Lamp");
        let wire = Readable::Wire("w1".into());
        assert_eq!(
            read_what(&plan, &wire),
            "cable 1 from gen (out) to Lamp (in)"
        );
        assert_eq!(shown(&plan, Shows::Takes(5)), "5 u");
    }
}
