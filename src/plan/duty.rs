//! Duties: when a load must run. Grace in seconds in the file, in milliseconds here.

use super::{PartId, Span};
use crate::quantity::{self, Ms};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

/// One condition of those under which a duty applies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum When {
    /// At every moment.
    Always,
    /// While the sun is at or below the horizon.
    Dark,
    /// While the sun is above the horizon.
    Light,
    /// While the world's home hours hold.
    Home,
    /// While they do not.
    Away,
    /// In a stretch of the dial.
    Clock(Span),
}

impl When {
    /// In words that go on from "must run": `while it is dark`.
    pub fn said(self) -> String {
        match self {
            When::Always => "always".into(),
            When::Dark => "while it is dark".into(),
            When::Light => "while it is light".into(),
            When::Home => "while somebody is home".into(),
            When::Away => "while nobody is home".into(),
            When::Clock(span) => format!("from {} to {}", span.from, span.to),
        }
    }

    /// The condition that this word of a file names, where it needs no hours.
    pub fn without_hours(word: &str) -> Option<When> {
        let all = [
            When::Always,
            When::Dark,
            When::Light,
            When::Home,
            When::Away,
        ];
        all.into_iter().find(|when| when.word() == word)
    }

    /// The word in a file.
    pub const fn word(self) -> &'static str {
        match self {
            When::Always => "always",
            When::Dark => "dark",
            When::Light => "light",
            When::Home => "home",
            When::Away => "away",
            When::Clock(_) => "clock",
        }
    }

    /// Its place in the fixed order.
    const fn place(self) -> u8 {
        match self {
            When::Always => 0,
            When::Clock(_) => 1,
            When::Dark => 2,
            When::Light => 3,
            When::Home => 4,
            When::Away => 5,
        }
    }
}

/// How many kinds of condition there are.
const KINDS: usize = 6;

/// The conditions of a duty, which applies while all of them hold: at least one, each kind at most once.
///
/// They keep the order in which they were written, so that a file comes out as it went in, and are equal only in the
/// same order. What is said of them, and the plan's fingerprint, go by a fixed order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "Vec<When>", into = "Vec<When>")]
pub struct Conditions {
    first: When,
    more: [Option<When>; KINDS - 1],
}

impl From<When> for Conditions {
    fn from(first: When) -> Conditions {
        Conditions {
            first,
            more: [None; KINDS - 1],
        }
    }
}

impl From<Conditions> for Vec<When> {
    fn from(all: Conditions) -> Vec<When> {
        all.as_written().collect()
    }
}

impl TryFrom<Vec<When>> for Conditions {
    type Error = &'static str;

    fn try_from(all: Vec<When>) -> Result<Conditions, Self::Error> {
        Conditions::new(&all).ok_or("no conditions, or one of them twice")
    }
}

impl Conditions {
    /// These conditions; none where there are none or two are of one kind.
    pub fn new(all: &[When]) -> Option<Conditions> {
        let (first, rest) = all.split_first()?;
        let start = Some(Conditions::from(*first));
        rest.iter()
            .fold(start, |all, when| all.and_then(|all| all.with(*when)))
    }

    /// With one more; none where one of its kind is there already.
    pub fn with(mut self, when: When) -> Option<Conditions> {
        if self.has(when.word()) {
            return None;
        }
        *self.more.iter_mut().find(|place| place.is_none())? = Some(when);
        Some(self)
    }

    /// The conditions in the order in which they were written.
    pub fn as_written(self) -> impl Iterator<Item = When> {
        std::iter::once(self.first).chain(self.more.into_iter().flatten())
    }

    /// Whether there is a condition with this word.
    pub fn has(self, word: &str) -> bool {
        self.as_written().any(|when| when.word() == word)
    }

    /// The conditions that matter, in a fixed order: hours of the clock first, and `always` only where it stands alone.
    pub fn deciding(self) -> Vec<When> {
        let mut all: Vec<When> = self.as_written().collect();
        all.retain(|when| *when != When::Always);
        all.sort_by_key(|when| when.place());
        if all.is_empty() {
            all.push(When::Always);
        }
        all
    }

    /// Whether it is this condition alone that matters.
    pub fn is_only(self, when: When) -> bool {
        self.deciding() == [when]
    }

    /// The stretch of the dial, where that is one of the conditions.
    pub fn span(self) -> Option<Span> {
        self.as_written().find_map(|when| match when {
            When::Clock(span) => Some(span),
            _ => None,
        })
    }

    /// In words that go on from "must run": `from 18:00 to 22:00 while it is dark and somebody is home`.
    pub fn said(self) -> String {
        let all = self.deciding();
        let mut said = all[0].said();
        for pair in all.windows(2) {
            let next = pair[1].said();
            match (pair[0], next.strip_prefix("while ")) {
                // One "while" does for all.
                (When::Dark | When::Light | When::Home | When::Away, Some(rest)) => {
                    said.push_str(" and ");
                    said.push_str(rest);
                }
                _ => {
                    said.push(' ');
                    said.push_str(&next);
                }
            }
        }
        said
    }

    /// In few words: `dark`, `from 18:00 to 22:00, dark and home`.
    pub fn in_short(self) -> String {
        let (hours, words): (Vec<When>, Vec<When>) =
            (self.deciding().into_iter()).partition(|when| matches!(when, When::Clock(_)));
        let words: Vec<&str> = words.iter().map(|when| when.word()).collect();
        let words = words.join(" and ");
        match (hours.first(), words.is_empty()) {
            (None, _) => words,
            (Some(hours), true) => hours.said(),
            (Some(hours), false) => format!("{}, {words}", hours.said()),
        }
    }
}

/// A duty of one load.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Duty {
    /// The load.
    pub part: PartId,
    /// When it must run: while all of these hold.
    pub when: Conditions,
    /// Whether it must not run otherwise.
    pub only: bool,
    /// The longest stretch, in seconds as written, by which it may be broken.
    pub grace_s: f64,
    /// Fields that this program does not know, kept.
    #[serde(with = "super::crossing")]
    pub extra: Map<String, Value>,
}

impl Duty {
    /// The grace in milliseconds.
    pub fn grace_ms(&self) -> Ms {
        quantity::seconds_to_ms(self.grace_s).unwrap_or(0)
    }
}

/// The grace of a duty that names none, in seconds.
pub const GRACE_S: f64 = 60.0;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::Clock;

    fn evening() -> When {
        let clock = |text| Clock::parse(text).unwrap();
        When::Clock(Span {
            from: clock("18:00"),
            to: clock("22:00"),
        })
    }

    fn said(all: &[When]) -> String {
        Conditions::new(all).unwrap().said()
    }

    #[test]
    fn several_conditions_are_said_in_one_sentence_whatever_their_order() {
        let both = "while it is dark and somebody is home";
        assert_eq!(said(&[When::Dark, When::Home]), both);
        assert_eq!(said(&[When::Home, When::Dark]), both);
        assert_eq!(said(&[When::Dark]), "while it is dark");
        assert_eq!(said(&[When::Always, When::Away]), "while nobody is home");
        assert_eq!(said(&[When::Always]), "always");
        let hours = said(&[When::Home, evening()]);
        assert_eq!(hours, "from 18:00 to 22:00 while somebody is home");
        assert_eq!(
            said(&[When::Home, evening(), When::Dark]),
            "from 18:00 to 22:00 while it is dark and somebody is home"
        );
    }

    #[test]
    fn in_short_they_are_words() {
        let short = |all: &[When]| Conditions::new(all).unwrap().in_short();
        assert_eq!(short(&[When::Home, When::Dark]), "dark and home");
        assert_eq!(short(&[evening()]), "from 18:00 to 22:00");
        assert_eq!(short(&[When::Away, evening()]), "from 18:00 to 22:00, away");
    }

    #[test]
    fn there_is_at_least_one_and_each_kind_once() {
        assert_eq!(Conditions::new(&[]), None);
        assert_eq!(Conditions::new(&[When::Dark, When::Home, When::Dark]), None);
        let all = [
            When::Away,
            evening(),
            When::Home,
            When::Light,
            When::Dark,
            When::Always,
        ];
        let every = Conditions::new(&all).unwrap();
        assert_eq!(every.as_written().collect::<Vec<_>>(), all);
        assert_eq!(every.with(evening()), None);
    }
}
