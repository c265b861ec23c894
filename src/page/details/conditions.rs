//! When a duty applies: a choice for its first condition, one for each further condition that must hold as well, and one
//! that waits for another; the hours, where they are a condition. `always` stands alone.

use super::field::{Choice, Entry};
use crate::limits::{Field, Kind};
use crate::plan::{Conditions, Span, When};
use crate::sheet::entry;
use leptos::prelude::*;

/// Words of conditions, and what is said of them.
const WORDS: [(&str, &str); 6] = [
    ("always", "always"),
    ("dark", "while it is dark"),
    ("light", "while it is light"),
    ("home", "while somebody is home"),
    ("away", "while nobody is home"),
    ("clock", "at these hours"),
];
/// The choice of no further condition.
const NONE: (&str, &str) = ("", "nothing more");

const CLOCK: Field = Field {
    key: "clock",
    label: "Time",
    unit: "",
    kind: Kind::Clock,
    optional: false,
};

/// The conditions of a load's duty.
#[component]
pub(crate) fn DutyConditions(
    /// What the ids of its entries begin with.
    #[prop(into)]
    id: String,
    /// The conditions; none where the duty is gone.
    #[prop(into)]
    when: Signal<Option<Conditions>>,
    /// Takes others.
    put: impl Fn(Conditions) + Copy + Send + Sync + 'static,
) -> impl IntoView {
    let all = Memo::new(move |_| when.get().map(Vec::<When>::from).unwrap_or_default());
    let rows = Memo::new(move |_| {
        all.with(|all| match all.as_slice() {
            [] | [When::Always] => 1,
            all => (all.len() + 1).min(WORDS.len() - 1).max(all.len()),
        })
    });
    let choose = move |row: usize, word: String| {
        let changed = all.with_untracked(|all| changed(all, row, &word));
        if let Some(changed) = changed {
            put(changed);
        }
    };
    let row_id = id.clone();
    let row = move |row: usize| {
        let options = Signal::derive(move || all.with(|all| options(all, row)));
        let value = Signal::derive(move || word(all, row));
        let (id, label) = match row {
            0 => (format!("{row_id}-when"), "Must run"),
            _ => (format!("{row_id}-and-{row}"), "And"),
        };
        view! { <Choice id label options value choose=move |word| choose(row, word)/> }
    };
    let span = move || when.get().and_then(Conditions::span);
    let has_hours = Memo::new(move |_| span().is_some());
    let end = move |from: bool| {
        move |text: String| {
            let clock = entry::clock(&text)
                .ok_or_else(|| entry::read(&CLOCK, &text).err().unwrap_or_default())?;
            let turned = all.with_untracked(|all| with_end(all, from, clock));
            if let Some(turned) = turned {
                put(turned);
            }
            Ok(())
        }
    };
    let from = Signal::derive(move || span().map_or_else(String::new, |s| s.from.to_string()));
    let to = Signal::derive(move || span().map_or_else(String::new, |s| s.to.to_string()));
    let hours = move || {
        has_hours.get().then(|| {
            view! {
                <Entry id=format!("{id}-from") label="From" value=from read=end(true)/>
                <Entry id=format!("{id}-to") label="To" value=to read=end(false)/>
            }
        })
    };
    let never = move || {
        let when = when.get()?;
        let both = |one, other| when.has(one) && when.has(other);
        (both("dark", "light") || both("home", "away")).then(
            || view! { <p class="aside">"These never hold together: it never has to run."</p> },
        )
    };
    view! {
        <For each=move || 0..rows.get() key=|at| *at let:at>{row(at)}</For>
        {hours}
        {never}
    }
}

/// The word of the condition in this row; empty where there is none.
fn word(all: Memo<Vec<When>>, row: usize) -> String {
    let word = all.with(|all| all.get(row).map(|when| when.word()));
    word.unwrap_or_default().to_string()
}

/// What may be chosen in a row: what no other row has, and `always` only in the first.
fn options(all: &[When], row: usize) -> Vec<(String, String)> {
    let free = |word: &str| {
        let mut others = all.iter().enumerate().filter(|(at, _)| *at != row);
        let own = all.get(row).is_some_and(|when| when.word() == word);
        others.all(|(_, when)| when.word() != word) && (own || row == 0 || word != "always")
    };
    let words = WORDS.iter().filter(|(word, _)| free(word));
    let none = (row > 0).then_some(&NONE);
    let entry = |(word, said): &(&str, &str)| (word.to_string(), said.to_string());
    none.into_iter().chain(words).map(entry).collect()
}

/// The conditions with another one, or none, in a row.
fn changed(all: &[When], row: usize, word: &str) -> Option<Conditions> {
    let mut all = all.to_vec();
    if word.is_empty() {
        if row < all.len() {
            all.remove(row);
        }
        return Conditions::new(&all);
    }
    let when = when_of(word)?;
    if row == 0 && when == When::Always {
        return Some(when.into());
    }
    match all.get_mut(row) {
        Some(place) => *place = when,
        None => all.push(when),
    }
    Conditions::new(&all)
}

/// The conditions with their hours beginning or ending at `clock`.
fn with_end(all: &[When], from: bool, clock: crate::plan::Clock) -> Option<Conditions> {
    let mut all = all.to_vec();
    for when in &mut all {
        if let When::Clock(span) = when {
            *(if from { &mut span.from } else { &mut span.to }) = clock;
        }
    }
    Conditions::new(&all)
}

fn when_of(word: &str) -> Option<When> {
    if word != "clock" {
        return When::without_hours(word);
    }
    Some(When::Clock(Span {
        from: entry::clock("18:00")?,
        to: entry::clock("23:00")?,
    }))
}
