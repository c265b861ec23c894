//! What a part does, in people's words, and the plain type of the book `bare` for it.

use super::columns::folded;
use crate::book::{Behaviour, FunctionName, PartType, Profile, built_in};

/// What a part does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Kind {
    /// The behaviour's name in a file.
    pub behaviour: &'static str,
    /// The function of a contact, or the profile of a source, where the word tells it.
    pub more: Option<&'static str>,
    /// The drawing that goes with the word.
    pub symbol: Option<&'static str>,
}

/// Words, and what they mean: behaviour, function or profile, drawing.
type Words = (
    &'static [&'static str],
    &'static str,
    &'static str,
    &'static str,
);

const WORDS: &[Words] = &[
    (&["source", "supply"], "source", "", ""),
    (
        &["steady source", "steady", "generator", "charger", "mains"],
        "source",
        "steady",
        "generator",
    ),
    (
        &[
            "sun",
            "sun source",
            "solar",
            "sun panel",
            "solar panel",
            "panel",
            "pv",
        ],
        "source",
        "sun",
        "sun-panel",
    ),
    (
        &["wind", "wind source", "turbine", "wind turbine"],
        "source",
        "wind",
        "wind-turbine",
    ),
    (
        &["battery", "batteries", "accumulator", "store", "storage"],
        "battery",
        "",
        "",
    ),
    (
        &["load", "loads", "consumer", "appliance", "device", "user"],
        "load",
        "",
        "",
    ),
    (
        &["lamp", "light", "lights", "led", "lantern", "lighting"],
        "load",
        "",
        "lamp",
    ),
    (&["floodlight"], "load", "", "floodlight"),
    (&["beacon"], "load", "", "beacon"),
    (&["heater", "heating", "oven"], "load", "", "heater"),
    (&["fan", "ventilator"], "load", "", "fan"),
    (&["pump"], "load", "", "pump"),
    (
        &["fridge", "freezer", "refrigerator", "cooler"],
        "load",
        "",
        "freezer",
    ),
    (&["radio"], "load", "", "radio"),
    (&["siren", "horn"], "load", "", "siren"),
    (&["motor", "drive", "machine"], "load", "", "motor"),
    (&["lock"], "load", "", "lock"),
    (&["tap"], "tap", "", ""),
    (&["divider", "splitter"], "divider", "", ""),
    (&["busbar", "bus bar", "combiner"], "busbar", "", ""),
    (
        &["changeover", "change over", "transfer switch"],
        "changeover",
        "",
        "",
    ),
    (&["meter"], "meter", "", ""),
    (&["contact"], "contact", "", ""),
    (
        &["manual", "switch", "toggle"],
        "contact",
        "manual",
        "switch",
    ),
    (&["button", "push button"], "contact", "button", "button"),
    (&["relay"], "contact", "relay", "relay"),
    (&["and"], "contact", "and", "and"),
    (&["or"], "contact", "or", "or"),
    (&["xor"], "contact", "xor", "xor"),
    (&["on delay", "delay on"], "contact", "on-delay", "on-delay"),
    (
        &["off delay", "delay off"],
        "contact",
        "off-delay",
        "off-delay",
    ),
    (&["pulse"], "contact", "pulse", "pulse"),
    (&["latch", "latching relay"], "contact", "latch", "latch"),
    (
        &["impulse", "impulse relay"],
        "contact",
        "impulse",
        "impulse",
    ),
    (&["counter"], "contact", "counter", "counter"),
    (
        &["twilight", "twilight switch", "dusk switch", "light sensor"],
        "contact",
        "twilight",
        "twilight",
    ),
    (&["clock", "time switch"], "contact", "clock", "clock"),
    (&["home", "home contact"], "contact", "home", "home"),
    (
        &[
            "detector",
            "motion detector",
            "motion sensor",
            "float switch",
        ],
        "contact",
        "detector",
        "detector",
    ),
    (&["charge", "charge contact"], "contact", "charge", "charge"),
];

/// What a word says that a part does.
pub(super) fn kind(text: &str) -> Option<Kind> {
    let word = folded(text);
    let found = WORDS
        .iter()
        .find(|(words, ..)| words.contains(&word.as_str()))?;
    let (_, behaviour, more, symbol) = *found;
    let some = |text: &'static str| (!text.is_empty()).then_some(text);
    Some(Kind {
        behaviour,
        more: some(more),
        symbol: some(symbol),
    })
}

/// The function that a word says a contact follows.
pub(super) fn function(text: &str) -> Option<&'static str> {
    let found = kind(text).filter(|k| k.behaviour == "contact");
    found.and_then(|k| k.more)
}

/// The profile that a word says a source has.
pub(super) fn profile(text: &str) -> Option<&'static str> {
    let found = kind(text).filter(|k| k.behaviour == "source");
    found.and_then(|k| k.more)
}

/// The plain type for a behaviour, with its function or profile.
pub(super) fn bare(behaviour: &str, more: Option<&str>) -> Option<PartType> {
    let bare = built_in("bare")?;
    let is = |t: &&PartType| {
        t.behaviour.name() == behaviour && more.is_none_or(|m| more_of(&t.behaviour) == Some(m))
    };
    bare.types.iter().find(is).cloned()
}

/// The function of a contact, or the profile of a source, by its word in a file.
pub(super) fn more_of(behaviour: &Behaviour) -> Option<&'static str> {
    match behaviour {
        Behaviour::Source { profile, .. } => Some(profile.word()),
        Behaviour::Contact { function, .. } => Some(function.name()),
        _ => None,
    }
}

/// The words for every function, for an error.
pub(super) fn functions() -> String {
    FunctionName::ALL.map(|f| f.name()).join(", ")
}

/// The words for every profile, for an error.
pub(super) fn profiles() -> String {
    [Profile::Steady, Profile::Sun, Profile::Wind]
        .map(|p| p.word())
        .join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::book::read::BEHAVIOURS;

    #[test]
    fn every_behaviour_function_and_profile_is_a_word_for_itself() {
        for name in BEHAVIOURS {
            assert_eq!(kind(name).unwrap().behaviour, *name);
        }
        for name in FunctionName::ALL.map(|f| f.name()) {
            assert_eq!(function(name), Some(name));
            assert_eq!(
                more_of(&bare("contact", Some(name)).unwrap().behaviour),
                Some(name)
            );
        }
        for name in ["steady", "sun", "wind"] {
            assert_eq!(profile(name), Some(name));
            assert_eq!(
                more_of(&bare("source", Some(name)).unwrap().behaviour),
                Some(name)
            );
        }
        assert_eq!(kind("perpetual motion"), None);
        assert_eq!(kind(" Solar Panel ").unwrap().symbol, Some("sun-panel"));
    }

    #[test]
    fn no_word_means_two_things() {
        let mut all: Vec<&str> = WORDS
            .iter()
            .flat_map(|(words, ..)| *words)
            .copied()
            .collect();
        all.sort();
        let before = all.len();
        all.dedup();
        assert_eq!(all.len(), before);
    }
}
