//! Readings as one types them: `p7=off@21:00`, `w3=5@d2 12:00:30`.

use super::base_reading::{BaseReading, READABLE, Readable, Shape, Shows};
use crate::clock::DialMoment;
use crate::plan::{PartId, Plan, WireId};
use crate::read::{Fault, FaultKind};

/// The latest day that a reading may be of.
pub(super) const DAYS: u64 = 100_000;
/// What stands where a time is expected, in words.
const TIME: &str =
    "HH:MM or HH:MM:SS from 00:00 to 24:00, on a later day with its number ahead: d2 21:00";

/// Reads `ID=VALUE@TIME`. Of a part and a wire with one id a number is the wire's and a word the part's.
///
/// # Errors
/// Every fault, with the text as its place, what was found and what was expected.
pub fn reading_of_text(plan: &Plan, text: &str) -> Result<BaseReading, Vec<Fault>> {
    let fault = |kind, found: String, expected: &str| Fault {
        kind,
        place: text.into(),
        found,
        expected: expected.into(),
    };
    let quoted = |found: &str| format!("\"{found}\"");
    let pieces = text
        .rsplit_once('@')
        .and_then(|(rest, at)| Some((rest.rsplit_once('=')?, at)));
    let Some(((id, value), at)) = pieces else {
        let expected = "ID=VALUE@TIME, such as p7=off@21:00";
        return Err(vec![fault(FaultKind::Format, quoted(text), expected)]);
    };
    let (id, value, at) = (id.trim(), value.trim(), at.trim());
    let mut faults = Vec::new();
    let of = readable(plan, id, value);
    if of.is_none() {
        faults.push(fault(FaultKind::Unknown, found_id(plan, id), READABLE));
    }
    let shows = of.as_ref().and_then(|(_, shape)| shown(*shape, value));
    if let (Some((_, shape)), None) = (&of, shows) {
        faults.push(fault(FaultKind::Range, quoted(value), shape.expects()));
    }
    let at = DialMoment::parse(at, DAYS)
        .map(|at| at.ms(plan.world.day_ms()))
        .ok_or_else(|| quoted(at));
    if let Err(found) = &at {
        faults.push(fault(FaultKind::Range, found.clone(), TIME));
    }
    match (of, shows, at) {
        (Some((of, _)), Some(shows), Ok(at)) => Ok(BaseReading { of, shows, at }),
        _ => Err(faults),
    }
}

/// What of the plan has this id.
fn readable(plan: &Plan, id: &str, value: &str) -> Option<(Readable, Shape)> {
    let part = Readable::Part(PartId::from(id));
    let wire = Readable::Wire(WireId::from(id));
    let is_number = value.starts_with(|c: char| c.is_ascii_digit());
    let both = if is_number {
        [wire, part]
    } else {
        [part, wire]
    };
    let mut found = both
        .into_iter()
        .filter_map(|of| Some((of.shape(plan)?, of)));
    found.next().map(|(shape, of)| (of, shape))
}

/// An id that nothing readable has, with what it is instead.
fn found_id(plan: &Plan, id: &str) -> String {
    let part = plan.part(&PartId::from(id));
    match part.and_then(|part| plan.kind_of(part)) {
        Some(kind) => format!("\"{id}\", a {}", kind.behaviour.name()),
        None => format!("\"{id}\""),
    }
}

/// What a thing of this kind shows by this word or number; none where it can't.
pub(super) fn shown(shape: Shape, value: &str) -> Option<Shows> {
    if shape == Shape::Wire {
        let digits = !value.is_empty() && value.bytes().all(|b| b.is_ascii_digit());
        return digits
            .then(|| value.parse().ok())
            .flatten()
            .map(Shows::Takes);
    }
    let mut words = shape.words().iter();
    words
        .find(|(word, _)| *word == value)
        .map(|(_, shows)| *shows)
}

#[cfg(test)]
mod tests {
    use super::super::base_reading::Trend;
    use super::*;
    use crate::net::testing::plan;

    fn small() -> Plan {
        plan(
            r#"{ "parts": { "gen": "generator", "cell": "battery", "door": "switch", "lamp": "lamp" },
                 "wires": ["gen.out cell.in", "cell.out door.feed", "door.out lamp.in"] }"#,
        )
    }

    #[test]
    fn a_reading_names_what_is_read_what_it_shows_and_when() {
        let plan = small();
        let day = plan.world.day_ms();
        let part = |id: &str| Readable::Part(PartId::from(id));
        for (text, of, shows, at) in [
            (
                "lamp=off@21:00",
                part("lamp"),
                Shows::Runs(false),
                75_600_000,
            ),
            ("lamp=runs@24:00", part("lamp"), Shows::Runs(true), day),
            (
                "door=open@00:00:01",
                part("door"),
                Shows::Conducts(false),
                1000,
            ),
            (
                "door = conducts @ 0:00",
                part("door"),
                Shows::Conducts(true),
                0,
            ),
            (
                "cell=still@d2 00:00",
                part("cell"),
                Shows::Moves(Trend::Still),
                day,
            ),
            (
                "w3=5@d1 12:00",
                Readable::Wire(WireId::from("w3")),
                Shows::Takes(5),
                day / 2,
            ),
        ] {
            let read = reading_of_text(&plan, text);
            assert_eq!(read, Ok(BaseReading { of, shows, at }), "{text}");
        }
    }

    #[test]
    fn a_time_is_a_place_on_the_dial_of_the_worlds_own_day() {
        let mut plan = small();
        plan.world.day_s = 2880.0;
        let at = |text: &str| reading_of_text(&plan, text).map(|r| r.at);
        assert_eq!(at("lamp=off@12:00"), Ok(1_440_000));
        assert_eq!(at("lamp=off@d3 12:00:01"), Ok(2 * 2_880_000 + 1_440_034));
    }

    #[test]
    fn a_part_and_a_wire_of_one_id_are_told_apart_by_what_they_show() {
        let mut plan = small();
        plan.wires
            .iter_mut()
            .for_each(|w| w.id = WireId::from("lamp"));
        let of = |text: &str| reading_of_text(&plan, text).map(|r| r.of);
        assert_eq!(
            of("lamp=off@12:00"),
            Ok(Readable::Part(PartId::from("lamp")))
        );
        assert_eq!(of("lamp=2@12:00"), Ok(Readable::Wire(WireId::from("lamp"))));
    }

    #[test]
    fn every_fault_names_the_place_what_was_found_and_what_was_expected() {
        let plan = small();
        let said = |text: &str| {
            let faults = reading_of_text(&plan, text).expect_err("a fault");
            let lines: Vec<String> = faults.iter().map(Fault::to_string).collect();
            lines.join("\n")
        };
        let time = format!("expected {TIME}");
        for (text, expected) in [
            ("lamp", r#"lamp: found "lamp", expected ID=VALUE@TIME, such as p7=off@21:00"#.to_string()),
            ("lamp@21:00", r#"lamp@21:00: found "lamp@21:00", expected ID=VALUE@TIME, such as p7=off@21:00"#.into()),
            ("hut=off@21:00", format!(r#"hut=off@21:00: found "hut", expected {READABLE}"#)),
            ("gen=runs@21:00", format!(r#"gen=runs@21:00: found "gen", a source, expected {READABLE}"#)),
            ("lamp=of@21:00", r#"lamp=of@21:00: found "of", expected runs or off, as a load shows"#.into()),
            ("door=off@21:00", r#"door=off@21:00: found "off", expected conducts or open, as a contact shows"#.into()),
            ("cell=full@21:00", r#"cell=full@21:00: found "full", expected rises, falls or still, as a battery shows"#.into()),
            ("w1=-5@21:00", r#"w1=-5@21:00: found "-5", expected the take of a wire in whole steps"#.into()),
            ("w1=@21:00", r#"w1=@21:00: found "", expected the take of a wire in whole steps"#.into()),
            ("lamp=off@24:01", format!(r#"lamp=off@24:01: found "24:01", {time}"#)),
            ("lamp=off@d0 12:00", format!(r#"lamp=off@d0 12:00: found "d0 12:00", {time}"#)),
            ("lamp=off@d2", format!(r#"lamp=off@d2: found "d2", {time}"#)),
        ] {
            assert_eq!(said(text), expected);
        }
        assert_eq!(
            said("lamp=of@noon").lines().count(),
            2,
            "both faults of one reading"
        );
        assert_eq!(said("hut=of@noon").lines().count(), 2);
    }
}
