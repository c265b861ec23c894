//! A measured world put into a plan: its world's numbers, and the peak and the battery into part types that somebody
//! chooses, since those are no numbers of a world.
//!
//! What the readings do not settle stays as the plan has it. A plan's sunrise and sunset are whole minutes, a peak whole
//! steps, an efficiency whole per mille: the nearest is taken.

use crate::book::{Behaviour, PartType, Profile};
use crate::fit::{DialTime, Fit, Value};
use crate::limits;
use crate::plan::{BookError, Clock, Edit, Plan, SkyRef, World};
use crate::quantity::number;
use crate::sheet::numbers_changed::{Said, differing};

/// Into which part types measured numbers are written; none where into none.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct InTypes {
    /// The sun panel that gets the peak.
    pub panel: Option<String>,
    /// The battery that gets capacity and efficiency.
    pub battery: Option<String>,
}

/// A plan with a measured world in it.
#[derive(Clone, Debug)]
pub struct MeasuredNumbers {
    /// The plan as it would be.
    pub plan: Plan,
    /// The edits that lead there.
    pub edits: Vec<Edit>,
    /// What they change, in words.
    pub changes: Vec<Said>,
}

impl MeasuredNumbers {
    /// The plan `before` with what was measured.
    ///
    /// # Errors
    /// Why the book can't have these numbers.
    pub fn of(before: &Plan, fit: &Fit, into: &InTypes) -> Result<MeasuredNumbers, BookError> {
        let mut plan = before.clone();
        plan.world = world(fit, &before.world);
        let settled = |value| !fit.undetermined.contains(&value);
        if let (Some(kind), true) = (&into.panel, settled(Value::Peak)) {
            let peak = libm::round(fit.peak).clamp(0.0, limits::PEAK as f64) as u64;
            set(&mut plan, kind, "peak", peak.into())?;
        }
        if let Some(kind) = &into.battery {
            let step = plan.book.book.unit.step;
            if let Some(capacity) = fit.capacity.filter(|_| settled(Value::Capacity)) {
                // Without the tail that binary numbers give a product.
                let unit_hours = libm::round(capacity * step * 1e6) / 1e6;
                set(&mut plan, kind, "capacity", number(unit_hours))?;
            }
            if let Some(efficiency) = fit.efficiency.filter(|_| settled(Value::Efficiency)) {
                let whole = libm::round(efficiency).clamp(1.0, 1000.0) as u64;
                set(&mut plan, kind, "efficiency", whole.into())?;
            }
        }
        Ok(MeasuredNumbers {
            edits: before.edits_to(&plan),
            changes: differing(&before.numbers(), &plan.numbers()),
            plan,
        })
    }
}

/// Gives a type another number.
fn set(plan: &mut Plan, kind: &str, field: &str, to: serde_json::Value) -> Result<(), BookError> {
    let edits = plan.change_type_field(kind, &[field], Some(to))?;
    // What was not refused applies.
    let _ = plan.apply_all(edits);
    Ok(())
}

/// The world with what was measured in it.
fn world(fit: &Fit, before: &World) -> World {
    let settled = |value| !fit.undetermined.contains(&value);
    let mut world = before.clone();
    if settled(Value::DayS) {
        world.day_s = fit.day_s.clamp(0.001, limits::SECONDS);
    }
    if settled(Value::Air) {
        world.air = fit.air;
    }
    let arc = [Value::Rise, Value::Set, Value::RiseAzimuth, Value::Highest];
    if arc.into_iter().any(settled) {
        world.sky = arc_of(fit, before.sky, settled);
    }
    world
}

/// The measured arc; what is not settled is that of the plan's own arc, where it has one.
fn arc_of(fit: &Fit, before: SkyRef, settled: impl Fn(Value) -> bool) -> SkyRef {
    let (mut rise, mut set) = (minute(fit.rise), minute(fit.set));
    let (mut rise_azimuth, mut highest) = (fit.rise_azimuth, fit.highest);
    if let SkyRef::Arc {
        rise: own_rise,
        set: own_set,
        rise_azimuth: own_azimuth,
        highest: own_highest,
    } = before
    {
        let kept = |value, own: u16, measured| if settled(value) { measured } else { own };
        let ends = (
            kept(Value::Rise, own_rise.minute(), rise),
            kept(Value::Set, own_set.minute(), set),
        );
        // Where the plan's own end does not go with the measured one, both are as measured.
        if ends.0 < ends.1 {
            (rise, set) = ends;
        }
        if !settled(Value::RiseAzimuth) {
            rise_azimuth = own_azimuth;
        }
        if !settled(Value::Highest) {
            highest = own_highest;
        }
    }
    if rise >= set {
        // The shortest daylight, on the side where there is room.
        (rise, set) = if rise < DAY {
            (rise, rise + 1)
        } else {
            (DAY - 1, DAY)
        };
    }
    SkyRef::Arc {
        rise: clock(rise),
        set: clock(set),
        rise_azimuth,
        highest,
    }
}

/// The last minute of the dial.
const DAY: u16 = 1440;

/// The nearest minute.
fn minute(time: DialTime) -> u16 {
    let minute = (time.second + 30) / 60;
    u16::try_from(minute).map_or(DAY, |m| m.min(DAY))
}

fn clock(minute: u16) -> Clock {
    let text = format!("{:02}:{:02}", minute / 60, minute % 60);
    Clock::parse(&text).unwrap_or(Clock::at(0, 1))
}

/// The plan's types that may get a peak, by name and label, those in use first.
pub fn panel_types(plan: &Plan) -> Vec<(String, String)> {
    types(plan, |kind| {
        matches!(
            kind.behaviour,
            Behaviour::Source {
                profile: Profile::Sun,
                ..
            }
        )
    })
}

/// The plan's types that may get a capacity and an efficiency.
pub fn battery_types(plan: &Plan) -> Vec<(String, String)> {
    types(plan, |kind| {
        matches!(kind.behaviour, Behaviour::Battery { .. })
    })
}

fn types(plan: &Plan, is: impl Fn(&PartType) -> bool) -> Vec<(String, String)> {
    let found = plan.book.book.types.iter().filter(|kind| is(kind));
    let mut found: Vec<&PartType> = found.collect();
    found.sort_by_key(|kind| plan.parts_of_type(&kind.name).is_empty());
    let named = |kind: &PartType| (kind.name.clone(), kind.label.clone());
    found.into_iter().map(named).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fit::{fit, read_readings};
    use crate::plan::read_plan;

    fn plan() -> Plan {
        read_plan(include_str!(
            "../../../assets/examples/kittiwake-light.json"
        ))
        .unwrap()
    }

    fn measured() -> Fit {
        let text = include_str!("../../../assets/readings/kittiwake-light.json");
        fit(&read_readings(text).unwrap())
    }

    fn of(readings: &str) -> Fit {
        let text =
            format!(r#"{{"format": "duskline/readings", "version": 1, "readings": [{readings}]}}"#);
        fit(&read_readings(&text).unwrap())
    }

    fn at(text: &str) -> DialTime {
        DialTime::parse(text).unwrap()
    }

    fn ends(sky: SkyRef) -> (String, String) {
        match sky {
            SkyRef::Arc { rise, set, .. } => (rise.to_string(), set.to_string()),
            SkyRef::Place { .. } => panic!("an arc"),
        }
    }

    #[test]
    fn a_measured_world_goes_into_the_plan_and_back() {
        let before = plan();
        let into = InTypes {
            panel: Some("sun-panel".into()),
            battery: battery_types(&before).first().map(|(name, _)| name.clone()),
        };
        let done = MeasuredNumbers::of(&before, &measured(), &into).unwrap();
        let mut after = before.clone();
        let inverse = after.apply_all(done.edits.clone()).unwrap();
        assert_eq!(after.to_value(), done.plan.to_value());
        assert_eq!(read_plan(&after.print()).unwrap(), after);
        let sky = SkyRef::Arc {
            rise: Clock::parse("05:40").unwrap(),
            set: Clock::parse("18:20").unwrap(),
            rise_azimuth: 82.05,
            highest: 57.7,
        };
        assert_eq!((after.world.sky, after.world.day_s), (sky, 2880.0));
        let panel = after.book.book.find("sun-panel").unwrap();
        assert!(matches!(
            panel.behaviour,
            Behaviour::Source { peak: 13, .. }
        ));
        let battery = after
            .book
            .book
            .find(into.battery.as_deref().unwrap())
            .unwrap();
        let Behaviour::Battery {
            capacity,
            efficiency,
            ..
        } = battery.behaviour
        else {
            panic!("a battery");
        };
        assert_eq!(
            (after.book.book.unit.say_energy(capacity), efficiency),
            ("47.9 u·h".into(), 901)
        );
        let told: Vec<&str> = done.changes.iter().map(|c| c.what.as_str()).collect();
        assert!(
            told.contains(&"Sunrise") && told.contains(&"Sun panel: peak"),
            "{told:?}"
        );
        after.apply_all(inverse).unwrap();
        assert_eq!(after.to_value(), before.to_value());
    }

    #[test]
    fn no_type_is_changed_unasked_and_nothing_twice() {
        let before = plan();
        let done = MeasuredNumbers::of(&before, &measured(), &InTypes::default()).unwrap();
        assert_eq!(done.plan.book, before.book);
        let again = MeasuredNumbers::of(&done.plan, &measured(), &InTypes::default()).unwrap();
        assert!(again.edits.is_empty() && again.changes.is_empty());
        let gone = InTypes {
            panel: Some("no-such".into()),
            battery: None,
        };
        assert!(MeasuredNumbers::of(&before, &measured(), &gone).is_err());
    }

    #[test]
    fn what_is_not_settled_stays_as_the_plan_has_it() {
        let day_only = of(r#"{"clock_s": 2880, "dial": "24:00"}"#);
        let before = plan();
        let world = |fit: &Fit, sky| {
            let world = World {
                sky,
                ..before.world.clone()
            };
            super::world(fit, &world)
        };
        let place = before.world.sky;
        assert_eq!(world(&day_only, place).sky, place);
        assert_eq!(world(&day_only, place).day_s, 2880.0);
        let rise_only = of(r#"{"rises": "05:40"}"#);
        assert_eq!(world(&rise_only, place).air, before.world.air);
        assert_eq!(world(&rise_only, place).day_s, before.world.day_s);
        let own = |rise, set| SkyRef::Arc {
            rise: Clock::parse(rise).unwrap(),
            set: Clock::parse(set).unwrap(),
            rise_azimuth: 70.0,
            highest: 33.0,
        };
        let SkyRef::Arc {
            rise,
            set,
            rise_azimuth,
            highest,
        } = world(&rise_only, own("04:00", "21:00")).sky
        else {
            panic!("an arc");
        };
        assert_eq!(
            (rise.to_string(), set.to_string()),
            ("05:40".into(), "21:00".into())
        );
        assert_eq!((rise_azimuth, highest), (70.0, 33.0));
        // The plan's sunset before the measured sunrise is no day.
        assert_eq!(
            ends(world(&rise_only, own("01:00", "05:00")).sky),
            ("05:40".into(), "18:00".into())
        );
    }

    #[test]
    fn times_are_rounded_to_minutes_and_the_sun_still_rises_before_it_sets() {
        let of = |rise, set| {
            let fit = Fit {
                rise: at(rise),
                set: at(set),
                ..measured()
            };
            ends(arc_of(&fit, World::default().sky, |_| true))
        };
        assert_eq!(of("05:40:29", "18:19:30"), ("05:40".into(), "18:20".into()));
        assert_eq!(of("12:00:10", "12:00:20"), ("12:00".into(), "12:01".into()));
        assert_eq!(of("23:59:40", "24:00"), ("23:59".into(), "24:00".into()));
    }

    #[test]
    fn types_in_use_are_offered_first() {
        let plan = plan();
        let used = |name: &String| !plan.parts_of_type(name).is_empty();
        for types in [panel_types(&plan), battery_types(&plan)] {
            assert!(!types.is_empty());
            assert!(
                types
                    .windows(2)
                    .all(|pair| used(&pair[0].0) || !used(&pair[1].0))
            );
        }
    }
}
