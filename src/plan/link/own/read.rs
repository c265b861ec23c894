//! The way back: columns and lines as the book that they stand for, as it stands in a file.

use super::super::coder::{Column, Reader};
use super::super::pack::Odd;
use super::{
    BASES, Base, Columns, LINE, NEXT, NUMBERS, OTHER, TEXTS, bases, unsaid, unsaid_number,
};
use crate::book::{Book, built_in, name_of_label};
use crate::quantity::{Decimal, number};
use serde_json::{Map, Value};
use std::str::Split;

/// The most types and the most materials of a type that are read.
const MOST: u64 = 10_000;

/// The book as it stands in a file.
pub(in super::super) fn read(
    reader: &mut Reader,
    lines: &mut Split<'_, char>,
) -> Result<Value, Odd> {
    let bases = bases().ok_or(Odd::Wrong)?;
    let mut columns = Columns::new();
    let count = reader.number(&mut columns.count);
    if count > MOST {
        return Err(Odd::Wrong);
    }
    let mut book = read_head(lines.next().ok_or(Odd::Wrong)?).ok_or(Odd::Wrong)?;
    let materials = lines.next().ok_or(Odd::Wrong)?;
    let materials: Vec<String> = materials.split(NEXT).map(out_of_line).collect();
    let (mut types, mut sum) = (Vec::new(), 0u32);
    let mut last = [-1i64; BASES.len()];
    for _ in 0..count {
        let (base, place) = read_base(reader, &mut columns, &mut last, &bases)?;
        sum = sum.wrapping_mul(31) ^ bases[place.0].sums[place.1];
        let line = lines.next().ok_or(Odd::Wrong)?;
        let of = read_type(reader, &mut columns, base, line, &materials);
        types.push(of.ok_or(Odd::Wrong)?);
    }
    let mut flags = Column::new();
    let told = (0..16).fold(0u16, |sum, at| {
        sum | ((reader.number(&mut flags) & 1) as u16) << at
    });
    if told != (sum ^ sum >> 16) as u16 {
        return Err(Odd::Ports);
    }
    book.insert("types".into(), Value::Array(types));
    Ok(Value::Object(book))
}

fn out_of_line(text: &str) -> String {
    text.replace(LINE, "\n")
}

fn read_head(line: &str) -> Option<Map<String, Value>> {
    let mut fields = line.split(NEXT);
    let mut next = || fields.next().unwrap_or("");
    let mut book = Map::new();
    book.insert("name".into(), out_of_line(next()).into());
    book.insert("unit".into(), out_of_line(next()).into());
    book.insert("step".into(), number(Decimal::parse(next())?.value()));
    book.insert("lag_ms".into(), next().parse::<u64>().ok()?.into());
    book.insert("label".into(), out_of_line(next()).into());
    let known = |text: &str, of: fn(&Book) -> &str| -> Option<String> {
        match text.strip_prefix(OTHER) {
            Some(at) => {
                let name = BASES.get(at.parse::<usize>().ok()?)?;
                built_in(name).map(|book| of(&book).to_string())
            }
            None => Some(out_of_line(text)),
        }
    };
    book.insert("says".into(), known(next(), |b| &b.says)?.into());
    book.insert("caution".into(), known(next(), |b| &b.caution)?.into());
    let extra = next();
    if !extra.is_empty() {
        let extra: Map<String, Value> = serde_json::from_str(extra).ok()?;
        book.extend(extra);
    }
    Some(book)
}

/// The base of the next type.
fn read_base<'b>(
    reader: &mut Reader,
    columns: &mut Columns,
    last: &mut [i64; BASES.len()],
    bases: &'b [Base],
) -> Result<(&'b Value, (usize, usize)), Odd> {
    let book = reader.number(&mut columns.book) as usize;
    let step = reader.signed(&mut columns.at);
    let before = last.get_mut(book).ok_or(Odd::Ports)?;
    *before = before.wrapping_add(step).wrapping_add(1);
    // A type that is not here is one of a later program's.
    let at = usize::try_from(*before).map_err(|_| Odd::Wrong)?;
    let base = bases[book].types.get(at).ok_or(Odd::Ports)?;
    Ok((base, (book, at)))
}

fn read_type(
    reader: &mut Reader,
    columns: &mut Columns,
    base: &Value,
    line: &str,
    materials: &[String],
) -> Option<Value> {
    let bare = reader.number(&mut columns.bare) == 1;
    let mut map = Map::new();
    for key in ["behaviour", "function", "profile"] {
        map.extend(base.get(key).map(|v| (key.to_string(), v.clone())));
    }
    for (n, key) in NUMBERS.iter().enumerate() {
        let unsaid = unsaid_number(key, base, bare);
        if unsaid.is_none() && *key != "max_run" {
            continue;
        }
        let value = match reader.number(&mut columns.states[n]) {
            0 => unsaid,
            1 => {
                let scale = u32::try_from(reader.number(&mut columns.scales[n])).ok()?;
                let mantissa = i128::from(reader.number(&mut columns.mantissas[n]));
                let decimal = Decimal { mantissa, scale };
                Some(number((scale <= 30).then(|| decimal.value())?))
            }
            _ => None,
        };
        map.extend(value.map(|value| (key.to_string(), value)));
    }
    let [is_own, count, material, amount] = &mut columns.costs;
    if reader.number(is_own) == 1 {
        let mut cost = Map::new();
        for _ in 0..Some(reader.number(count)).filter(|n| *n <= MOST)? {
            let name = materials.get(reader.number(material) as usize)?;
            cost.insert(name.clone(), reader.number(amount).into());
        }
        if !cost.is_empty() {
            map.insert("cost".into(), Value::Object(cost));
        }
    } else if let Some(cost) = base.get("cost").filter(|_| !bare) {
        map.insert("cost".into(), cost.clone());
    }
    read_texts(line, base, bare, &mut map)?;
    Some(Value::Object(map))
}

fn read_texts(line: &str, base: &Value, bare: bool, map: &mut Map<String, Value>) -> Option<()> {
    let leads: Vec<char> = TEXTS.iter().map(|(_, lead)| *lead).collect();
    let end = line.find(&leads[..]).unwrap_or(line.len());
    let (label, mut more) = line.split_at(end);
    let label = match label {
        "" => base["label"].as_str()?.to_string(),
        OTHER => String::new(),
        label => out_of_line(label),
    };
    let mut said: Vec<(&str, &str)> = Vec::new();
    while let Some(lead) = more.chars().next() {
        let (key, _) = TEXTS.iter().find(|(_, c)| *c == lead)?;
        let rest = &more[lead.len_utf8()..];
        let end = rest.find(&leads[..]).unwrap_or(rest.len());
        said.push((key, &rest[..end]));
        more = &rest[end..];
    }
    map.insert("type".into(), name_of_label(&label, "part").into());
    map.insert("label".into(), label.into());
    for (key, _) in TEXTS {
        let found = said.iter().find(|(k, _)| *k == key).map(|(_, text)| *text);
        let value = match (key, found) {
            (_, None) => unsaid(key, base, bare).cloned(),
            (_, Some(text)) if text == OTHER => base.get(key).cloned(),
            (_, Some("")) => None,
            ("set", Some(text)) => Some(serde_json::from_str(text).ok()?),
            ("extra", Some(text)) => {
                let extra: Map<String, Value> = serde_json::from_str(text).ok()?;
                map.extend(extra);
                None
            }
            (_, Some(text)) => Some(out_of_line(text).into()),
        };
        if let Some(value) = value {
            map.insert(key.into(), value);
        }
    }
    Some(())
}
