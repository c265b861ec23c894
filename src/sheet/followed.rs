//! A world that plans follow, and how a plan stands to it, in words. What differs was found before, as data.

use super::numbers_changed::{Said, differing};
use crate::plan::{Follows, NamedWorld, Numbers, SkyRef};
use crate::quantity::Short;
use crate::sky::Air;

/// How many plans are told by name.
const SHOWN: usize = 4;

/// How a plan stands to the world that it follows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Following {
    /// It follows none.
    None,
    /// It follows one of this name that is not there.
    Missing(String),
    /// It follows one of this name, and has its numbers.
    Same(String),
    /// It follows one of this name, and these numbers differ, from the plan's to the world's.
    Differs(String, Vec<Said>),
}

impl Following {
    /// How a plan that follows this and has these numbers stands to `world`, the one that it follows, where that is there.
    pub fn of(
        follows: Option<&Follows>,
        numbers: &Numbers,
        world: Option<&NamedWorld>,
    ) -> Following {
        let Some(follows) = follows else {
            return Following::None;
        };
        match world {
            None => Following::Missing(follows.called().into()),
            Some(world) => match differing(numbers, &world.numbers) {
                none if none.is_empty() => Following::Same(world.name.clone()),
                some => Following::Differs(world.name.clone(), some),
            },
        }
    }

    /// The same in a few words where numbers differ; none where there is nothing to see to.
    pub fn mark(&self) -> Option<String> {
        match self {
            Following::Differs(name, said) if said.len() == 1 => {
                Some(format!("1 number differs from {name}"))
            }
            Following::Differs(name, said) => {
                Some(format!("{} numbers differ from {name}", said.len()))
            }
            _ => None,
        }
    }

    /// That in a sentence or two.
    pub fn says(&self) -> String {
        match self {
            Following::None => "This plan follows no world: its numbers are its own.".into(),
            Following::Missing(name) => format!(
                "This plan follows {name}, which is not kept in this browser. It has a copy of its numbers."
            ),
            Following::Same(name) => format!("This plan follows {name}, and has its numbers."),
            Following::Differs(name, said) => format!(
                "This plan follows {name}, and {} from it.",
                match said.len() {
                    1 => "one number differs".into(),
                    count => format!("{count} numbers differ"),
                }
            ),
        }
    }
}

/// What a world is like, in a few sentences: its day, its sky, what the air, weather and wind do, its book.
pub fn about(world: &NamedWorld) -> String {
    let numbers = &world.numbers.world;
    let mut said = vec![format!("A day takes {}.", length(numbers.day_s))];
    said.push(match numbers.sky {
        SkyRef::Arc { .. } => super::world::says(numbers),
        SkyRef::Place {
            latitude,
            day_of_year,
        } => format!(
            "The sun as over latitude {}° on day {} of the year.",
            Short(latitude),
            Short(day_of_year)
        ),
    });
    if numbers.air == Air::Clear {
        said.push("Clear air dims a low sun.".into());
    }
    match numbers.weather.len() {
        0 | 1 => {}
        days => said.push(format!("The weather comes again after {days} days.")),
    }
    if numbers.wind.iter().any(|wind| *wind > 0.0) {
        said.push("There is wind.".into());
    }
    let book = &world.numbers.book.book;
    let name = match book.label.is_empty() {
        true => &book.name,
        false => &book.label,
    };
    let types = book.types.len();
    said.push(format!("Its book is {name}, with {types} part types."));
    said.join(" ")
}

/// Which plans follow a world, in a sentence.
pub fn followers(names: &[String]) -> String {
    match names.len() {
        0 => "No plan follows it.".into(),
        1 => format!("1 plan follows it: {}.", listed(names)),
        count => format!("{count} plans follow it: {}.", listed(names)),
    }
}

/// What is said before part types of these labels are deleted from a book, where plans of these names have parts of them and
/// stand on the same numbers.
pub fn deletion(labels: &[String], plans: &[String]) -> String {
    let (have, they) = match plans.len() {
        1 => ("has", "It keeps"),
        _ => ("have", "They keep"),
    };
    format!(
        "{} {have} parts of the type {}, in a book that is shared with this plan's. {they} what {} now, and can't take a book over that lacks it.",
        listed(plans),
        listed(labels),
        if plans.len() == 1 {
            "it has"
        } else {
            "they have"
        }
    )
}

/// Names one after the other, of many the first few.
fn listed(names: &[String]) -> String {
    let shown = names.iter().take(SHOWN).cloned().collect::<Vec<_>>();
    match names.len().saturating_sub(SHOWN) {
        0 => shown.join(", "),
        more => format!("{} and {more} more", shown.join(", ")),
    }
}

/// A length of time as people say it: `48 min`, `24 h`, `1 h 30 min`, `90.5 s`.
fn length(seconds: f64) -> String {
    let whole = seconds.fract() == 0.0 && seconds < 1e9;
    match seconds as u64 {
        s if whole && s % 60 == 0 && s > 0 => match (s / 3600, s / 60 % 60) {
            (0, minutes) => format!("{minutes} min"),
            (hours, 0) => format!("{hours} h"),
            (hours, minutes) => format!("{hours} h {minutes} min"),
        },
        _ => format!("{} s", Short(seconds)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{Plan, read_plan, read_world};
    use serde_json::json;

    fn sands() -> NamedWorld {
        let world = json!({ "format": "duskline/world", "version": 1, "id": "k1", "name": "Kittiwake sands",
            "book": "outpost", "world": { "day_s": 5_400, "weather": [1, 0.6], "wind": vec![0.5; 24] } });
        read_world(&world.to_string()).unwrap()
    }

    fn lamp() -> Plan {
        read_plan(include_str!("../../assets/examples/dusk-lamp.json")).unwrap()
    }

    fn of(plan: &Plan, world: Option<&NamedWorld>) -> Following {
        Following::of(plan.follows.as_ref(), &plan.numbers(), world)
    }

    #[test]
    fn a_plan_says_how_it_stands_to_its_world() {
        let (mut plan, world) = (lamp(), sands());
        assert_eq!(of(&plan, Some(&world)), Following::None);
        let edits = plan.edits_to_follow(&world).unwrap();
        plan.apply_all(edits).unwrap();
        let same = of(&plan, Some(&world));
        assert_eq!(
            same.says(),
            "This plan follows Kittiwake sands, and has its numbers."
        );
        let missing = of(&plan, None).says();
        assert!(missing.contains("which is not kept in this browser"));
        plan.world.day_s = 3_600.0;
        let differs = of(&plan, Some(&world));
        assert_eq!(
            differs.says(),
            "This plan follows Kittiwake sands, and one number differs from it."
        );
        assert_eq!(
            differs.mark().as_deref(),
            Some("1 number differs from Kittiwake sands")
        );
        assert_eq!(same.mark(), None);
        let Following::Differs(_, said) = differs else {
            panic!("nothing differs");
        };
        assert_eq!(
            (
                said[0].what.as_str(),
                said[0].from.as_str(),
                said[0].to.as_str()
            ),
            ("Length of the day, in seconds", "3600", "5400")
        );
    }

    #[test]
    fn a_world_is_told_by_its_day_sky_and_book() {
        let said = about(&sands());
        assert!(
            said.starts_with("A day takes 1 h 30 min. The sun as over latitude"),
            "{said}"
        );
        assert!(said.contains("The weather comes again after 2 days. There is wind. Its book is "));
        for (seconds, said) in [
            (2_880.0, "48 min"),
            (86_400.0, "24 h"),
            (90.5, "90.5 s"),
            (61.0, "61 s"),
        ] {
            assert_eq!(length(seconds), said);
        }
    }

    #[test]
    fn those_that_follow_are_told_by_name_and_number() {
        let names = |count: usize| {
            (1..=count)
                .map(|n| format!("Ledge {n}"))
                .collect::<Vec<_>>()
        };
        assert_eq!(followers(&[]), "No plan follows it.");
        assert_eq!(followers(&names(1)), "1 plan follows it: Ledge 1.");
        assert_eq!(
            followers(&names(6)),
            "6 plans follow it: Ledge 1, Ledge 2, Ledge 3, Ledge 4 and 2 more."
        );
    }

    #[test]
    fn a_deletion_names_the_plans_that_have_parts_of_the_type() {
        let label = ["Deck lamp".to_string()];
        assert_eq!(
            deletion(&label, &["Ledge".into()]),
            "Ledge has parts of the type Deck lamp, in a book that is shared with this plan's. It keeps what it has now, and can't take a book over that lacks it."
        );
        assert!(
            deletion(&label, &["Ledge".into(), "Reef".into()])
                .starts_with("Ledge, Reef have parts")
        );
    }
}
