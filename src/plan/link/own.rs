//! A book of one's own as what it differs in from the built-in ones.
//!
//! Each type stands on a *base*: the type of a built-in book, of the same behaviour and function or profile, that it
//! differs least from. Numbers go into columns for the [coder](super::coder): the base, whether texts that are not written are the base's or
//! empty, each number that is not the base's, and materials by their place in a list. Texts go into a line for each type,
//! each led by a control character that says which it is. A sum over the bases' data notices a program whose built-in
//! books have other numbers. So in a built-in book a new type stands at the end, and no number ever changes.

mod read;

pub(super) use read::read;

use super::coder::{Column, Writer};
use super::deflate::crc32;
use crate::book::{Book, built_in, name_of_label};
use crate::quantity::Decimal;
use serde_json::{Map, Value};

/// The built-in books, by number; more may follow.
const BASES: [&str; 3] = ["outpost", "harbour", "bare"];

/// Numbers of types, each with a column of its own.
const NUMBERS: [&str; 12] = [
    "peak",
    "draw",
    "capacity",
    "max_in",
    "max_out",
    "efficiency",
    "cut_out",
    "cut_in",
    "ways",
    "coil",
    "stage",
    "max_run",
];

/// Texts of types, and the character that leads each in a line.
const TEXTS: [(&str, char); 10] = [
    ("type", '\u{3}'),
    ("group", '\u{4}'),
    ("symbol", '\u{5}'),
    ("mount", '\u{6}'),
    ("says", '\u{7}'),
    ("note", '\u{8}'),
    ("source", '\u{b}'),
    ("short", '\u{c}'),
    ("set", '\u{e}'),
    ("extra", '\u{f}'),
];

/// Texts that are left out where they are empty, if the type says so.
const OFTEN_EMPTY: [&str; 4] = ["mount", "says", "note", "source"];

/// As a text: the one that goes without saying is meant where another would go without saying.
const OTHER: &str = "\u{1}";
/// Parts what a line lists.
const NEXT: char = '\u{2}';
/// Stands for a line's end within a text.
const LINE: char = '\u{10}';

/// A built-in book's types as JSON, and the sum over their data.
struct Base {
    types: Vec<Value>,
    sums: Vec<u32>,
}

fn bases() -> Option<Vec<Base>> {
    let base = |name: &&str| {
        let book = built_in(name)?;
        let types: Vec<Value> = book.types.iter().map(|t| t.to_value(&book.unit)).collect();
        let sums = types.iter().map(data_sum).collect();
        Some(Base { types, sums })
    };
    BASES.iter().map(base).collect()
}

/// A sum over a type without the words that explain it: those may be put better in time.
fn data_sum(of: &Value) -> u32 {
    let mut of = of.as_object().cloned().unwrap_or_default();
    of.retain(|key, _| !["says", "note", "source"].contains(&key.as_str()));
    crc32(Value::Object(of).to_string().as_bytes())
}

/// What decides which types may stand on which.
fn class(of: &Value) -> [&Value; 3] {
    ["behaviour", "function", "profile"].map(|key| &of[key])
}

/// One type as what it differs in from its base.
struct Entry {
    base: (usize, usize),
    /// Whether texts that go without saying, and the cost, are empty, not the base's.
    bare: bool,
    numbers: Vec<Option<State>>,
    /// The cost where it does not go without saying: materials by number, and amounts.
    cost: Option<Vec<(usize, u64)>>,
    line: String,
}

/// A number of a type: `None` stands for one that neither it nor its base has.
#[derive(Clone, Copy, PartialEq)]
enum State {
    Same,
    Other(Decimal),
    Missing,
}

/// A book, ready to be written.
pub(super) struct Differences {
    /// Its text, each line ended.
    pub text: String,
    entries: Vec<Entry>,
    sum: u16,
}

/// What a text is where it is not written.
fn unsaid<'b>(key: &str, base: &'b Value, bare: bool) -> Option<&'b Value> {
    match key {
        "type" | "extra" => None,
        _ if bare && OFTEN_EMPTY.contains(&key) => None,
        _ => base.get(key),
    }
}

/// The fields of a type that have no place of their own.
fn extra(of: &Map<String, Value>) -> Map<String, Value> {
    let known = ["label", "behaviour", "function", "profile", "cost"];
    let placed = |key: &str| {
        known.contains(&key) || NUMBERS.contains(&key) || TEXTS.iter().any(|(t, _)| *t == key)
    };
    let rest = of.iter().filter(|(key, _)| !placed(key));
    rest.map(|(k, v)| (k.clone(), v.clone())).collect()
}

/// A text as it stands in a line; `None` where it holds a control character.
fn in_line(text: &str) -> Option<String> {
    let text = text.replace('\n', &LINE.to_string());
    let odd = |c: char| c < ' ' && c != LINE;
    (!text.contains(odd)).then_some(text)
}

/// The text of a field, as JSON where it is none.
fn text_of(value: &Value) -> Option<String> {
    match value {
        Value::String(text) => in_line(text),
        Value::Object(_) => Some(value.to_string()),
        _ => None,
    }
}

/// The book as differences; `None` where something of it does not fit.
pub(super) fn differences(book: &Book) -> Option<Differences> {
    let bases = bases()?;
    let mut materials: Vec<String> = Vec::new();
    let mut entries = Vec::with_capacity(book.types.len());
    for of in &book.types {
        let value = of.to_value(&book.unit);
        let entry = entry(&value, &bases, &mut materials)?;
        entries.push(entry);
    }
    let mut text = head_line(book)?;
    text.push('\n');
    let named: Option<Vec<String>> = materials.iter().map(|m| in_line(m)).collect();
    text.push_str(&named?.join(&NEXT.to_string()));
    text.push('\n');
    for entry in &entries {
        text.push_str(&entry.line);
        text.push('\n');
    }
    let sum = entries.iter().fold(0u32, |sum, e| {
        sum.wrapping_mul(31) ^ bases[e.base.0].sums[e.base.1]
    });
    Some(Differences {
        text,
        entries,
        sum: (sum ^ sum >> 16) as u16,
    })
}

/// What is said of the book as a whole: name, unit, step, lag, label, what it says, its caution and its other fields.
fn head_line(book: &Book) -> Option<String> {
    let extra = match book.extra.is_empty() {
        true => String::new(),
        false => Value::Object(book.extra.clone()).to_string(),
    };
    let step = Decimal::of(book.unit.step)?.to_string();
    let known = |text: &str, of: fn(&Book) -> &str| -> Option<String> {
        let mut known = BASES.iter().enumerate();
        let same = |name: &str| built_in(name).is_some_and(|b| of(&b) == text);
        match known.find(|(_, name)| !text.is_empty() && same(name)) {
            Some((at, _)) => Some(format!("{OTHER}{at}")),
            None => in_line(text),
        }
    };
    let fields = [
        in_line(&book.name)?,
        in_line(&book.unit.sign)?,
        step,
        book.lag_ms.to_string(),
        in_line(&book.label)?,
        known(&book.says, |b| &b.says)?,
        known(&book.caution, |b| &b.caution)?,
        extra,
    ];
    let line = fields.join(&NEXT.to_string());
    Some(line.trim_end_matches(NEXT).to_string())
}

/// The type on the base that makes it shortest.
fn entry(own: &Value, bases: &[Base], materials: &mut Vec<String>) -> Option<Entry> {
    let mut best: Option<(usize, Entry)> = None;
    let known = materials.clone();
    let mut named = known.clone();
    for (book, base) in bases.iter().enumerate() {
        for (at, of) in base
            .types
            .iter()
            .enumerate()
            .filter(|(_, of)| class(of) == class(own))
        {
            for bare in [false, true] {
                let mut list = known.clone();
                let entry = entry_on(own, of, (book, at), bare, &mut list)?;
                let cost = entry.cost.as_ref().map_or(0, |c| 1 + 2 * c.len());
                let other =
                    |s: &&Option<State>| matches!(s, Some(State::Other(_) | State::Missing));
                let numbers = entry.numbers.iter().filter(other).count();
                let worth = entry.line.len() + cost + 2 * numbers;
                if best.as_ref().is_none_or(|(least, _)| worth < *least) {
                    best = Some((worth, entry));
                    named = list;
                }
            }
        }
    }
    *materials = named;
    best.map(|(_, entry)| entry)
}

fn entry_on(
    own: &Value,
    base: &Value,
    place: (usize, usize),
    bare: bool,
    materials: &mut Vec<String>,
) -> Option<Entry> {
    let numbers = NUMBERS.map(|key| state(own.get(key), unsaid_number(key, base, bare)));
    let numbers: Option<Vec<Option<State>>> = numbers.into_iter().collect();
    let unsaid_cost = base.get("cost").filter(|_| !bare);
    let cost = match own.get("cost") {
        cost if cost == unsaid_cost => None,
        None => Some(Vec::new()),
        Some(cost) => Some(listed(cost.as_object()?, materials)?),
    };
    Some(Entry {
        base: place,
        bare,
        numbers: numbers?,
        cost,
        line: type_line(own, base, bare)?,
    })
}

fn unsaid_number(key: &str, base: &Value, bare: bool) -> Option<Value> {
    match key {
        "max_run" if bare => None,
        "stage" if bare => Some(1.into()),
        _ => base.get(key).cloned(),
    }
}

/// What is to be written of a number: the outer `None` where it does not fit, the inner where there is nothing to write.
fn state(own: Option<&Value>, unsaid: Option<Value>) -> Option<Option<State>> {
    Some(match (own, unsaid) {
        (None, None) => None,
        (Some(own), Some(unsaid)) if *own == unsaid => Some(State::Same),
        (Some(own), _) => {
            let decimal = Decimal::of(own.as_f64()?).filter(|d| d.mantissa >= 0)?;
            u64::try_from(decimal.mantissa).ok()?;
            Some(State::Other(decimal))
        }
        (None, Some(_)) => Some(State::Missing),
    })
}

/// A cost as materials by number.
fn listed(cost: &Map<String, Value>, materials: &mut Vec<String>) -> Option<Vec<(usize, u64)>> {
    let mut one = |(material, amount): (&String, &Value)| {
        let at = materials.iter().position(|m| m == material);
        let at = at.unwrap_or_else(|| {
            materials.push(material.clone());
            materials.len() - 1
        });
        // A separator in a name would make two of it.
        Some((at, amount.as_u64()?)).filter(|_| !material.contains(NEXT))
    };
    cost.iter().map(&mut one).collect()
}

/// The texts of a type that do not go without saying.
fn type_line(own: &Value, base: &Value, bare: bool) -> Option<String> {
    let label = own["label"].as_str()?;
    let mut line = match label {
        "" => OTHER.to_string(),
        label if Some(label) == base["label"].as_str() => String::new(),
        label => in_line(label)?,
    };
    let extra = Value::Object(extra(own.as_object()?));
    for (key, lead) in TEXTS {
        let found = match key {
            "extra" => Some(&extra).filter(|e| e.as_object().is_some_and(|e| !e.is_empty())),
            _ => own.get(key),
        };
        let unsaid = unsaid(key, base, bare);
        if found == unsaid || key == "type" && found?.as_str()? == name_of_label(label, "part") {
            continue;
        }
        line.push(lead);
        match found {
            Some(value) if base.get(key) == Some(value) && !matches!(key, "type" | "extra") => {
                line.push_str(OTHER);
            }
            Some(value) => line.push_str(&text_of(value)?),
            None => {}
        }
    }
    Some(line)
}

/// The columns of a book's numbers.
struct Columns {
    count: Column,
    book: Column,
    at: Column,
    bare: Column,
    states: Vec<Column>,
    scales: Vec<Column>,
    mantissas: Vec<Column>,
    costs: [Column; 4],
}

impl Columns {
    fn new() -> Columns {
        let each = || NUMBERS.iter().map(|_| Column::new()).collect();
        Columns {
            count: Column::new(),
            book: Column::new(),
            at: Column::new(),
            bare: Column::new(),
            states: each(),
            scales: each(),
            mantissas: each(),
            costs: [0; 4].map(|_| Column::new()),
        }
    }
}

impl Differences {
    /// Writes the numbers.
    pub(super) fn put(&self, out: &mut Writer) {
        let mut columns = Columns::new();
        out.put(&mut columns.count, self.entries.len() as u64);
        let mut last = [-1i64; BASES.len()];
        for entry in &self.entries {
            let (book, at) = (entry.base.0, entry.base.1 as i64);
            out.put(&mut columns.book, book as u64);
            out.put_signed(&mut columns.at, at - last[book] - 1);
            last[book] = at;
            out.put(&mut columns.bare, u64::from(entry.bare));
            for (n, state) in entry.numbers.iter().enumerate() {
                // A number that the base has not may be there all the same: only that of `max_run` is asked then.
                let state = match (state, NUMBERS[n]) {
                    (None, "max_run") => State::Same,
                    (None, _) => continue,
                    (Some(state), _) => *state,
                };
                let code = match state {
                    State::Same => 0,
                    State::Other(_) => 1,
                    State::Missing => 2,
                };
                out.put(&mut columns.states[n], code);
                if let State::Other(decimal) = state {
                    out.put(&mut columns.scales[n], u64::from(decimal.scale));
                    out.put(&mut columns.mantissas[n], decimal.mantissa as u64);
                }
            }
            let [is_own, count, material, amount] = &mut columns.costs;
            out.put(is_own, u64::from(entry.cost.is_some()));
            if let Some(cost) = &entry.cost {
                out.put(count, cost.len() as u64);
                for (at, n) in cost {
                    out.put(material, *at as u64);
                    out.put(amount, *n);
                }
            }
        }
        let mut flags = Column::new();
        for n in 0..16 {
            out.put(&mut flags, u64::from(self.sum >> n & 1));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A type may come at a book's end. Then a sum is added here; none that stands here ever changes.
    #[test]
    fn what_links_stand_on_stays_as_it_was_when_they_were_first_made() {
        let first = [53, 60, 27];
        let bases = bases().unwrap();
        let sums = bases.iter().zip(first).map(|(base, count)| {
            let sums = base.sums[..count].iter();
            sums.fold(0u32, |all, one| all.wrapping_mul(31) ^ one)
        });
        let sums: Vec<u32> = sums.collect();
        assert_eq!(sums, [993_552_961, 1_870_022_639, 4_280_050_384]);
    }
}
