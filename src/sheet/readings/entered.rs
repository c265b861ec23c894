//! Single entries as people write them: times, ways, levels and lengths of time, and what each is in a readings file.

use super::columns::{Column, ReadingKind};
use crate::fit::DialTime;
use crate::limits;
use crate::quantity::number;
use crate::sheet::entry;
use serde_json::Value;

/// What an entry comes to in a file; none where it is not what is expected.
pub(super) fn value(kind: ReadingKind, column: &Column, text: &str) -> Option<Value> {
    match (column.key, kind) {
        ("at" | "rises" | "sets", _) => time(text).map(|t| t.to_string().into()),
        ("dial", _) => {
            let dial = time(text).filter(|t| t.second > 0);
            dial.map(|t| t.to_string().into())
        }
        ("azimuth", ReadingKind::Rises) => within(way(text, 0.0)?, 0.0, 180.0),
        ("azimuth", ReadingKind::Sets) => within(way(text, 360.0)?, 180.0, 360.0),
        ("azimuth", _) => within(way(text, 0.0)?, -360.0, 720.0),
        ("tilt", _) => {
            let tilt = match text.to_lowercase().as_str() {
                "flat" => 0.0,
                "upright" => 90.0,
                _ => degrees(text)?,
            };
            within(tilt, 0.0, 180.0)
        }
        ("gives", _) => whole(text, 0, limits::PEAK),
        ("draw", _) => whole(text, 1, limits::POWER),
        ("clock_s", _) => within(seconds(text)?, 0.001, limits::SECONDS),
        ("hours", _) => within(hours(text)?, 0.0001, 100_000.0),
        ("from" | "to", _) => within(level(text)?, 0.0, 1000.0),
        _ => None,
    }
}

fn within(value: f64, least: f64, most: f64) -> Option<Value> {
    (least..=most).contains(&value).then(|| number(value))
}

fn whole(text: &str, least: u64, most: u64) -> Option<Value> {
    let found: u64 = text.parse().ok()?;
    (least..=most).contains(&found).then(|| found.into())
}

/// A time of the dial as people write it: `7`, `7:30`, `0730`, `07:30:15`.
fn time(text: &str) -> Option<DialTime> {
    let plain = text.replace('.', ":");
    DialTime::parse(&plain).or_else(|| DialTime::parse(&entry::clock(text)?.to_string()))
}

fn degrees(text: &str) -> Option<f64> {
    entry::number(text.trim_end_matches('°'))
}

/// A way as degrees or as one of the eight winds; `north` is what north counts as.
fn way(text: &str, north: f64) -> Option<f64> {
    const WINDS: [(&str, &str, f64); 7] = [
        ("ne", "north-east", 45.0),
        ("e", "east", 90.0),
        ("se", "south-east", 135.0),
        ("s", "south", 180.0),
        ("sw", "south-west", 225.0),
        ("w", "west", 270.0),
        ("nw", "north-west", 315.0),
    ];
    let word = text.to_lowercase().replace(' ', "-");
    if word == "n" || word == "north" {
        return Some(north);
    }
    let wind = WINDS
        .iter()
        .find(|(short, long, _)| word == *short || word == *long);
    wind.map(|(.., degrees)| *degrees).or_else(|| degrees(text))
}

/// A number with its unit behind it, where it has that one.
fn with_unit(text: &str, units: &[&str]) -> Option<f64> {
    let unit = units.iter().find(|unit| text.ends_with(**unit))?;
    entry::number(text.strip_suffix(unit)?)
}

/// Seconds of a watch: `120`, `120 s`, `48 min`, `1.5 h`, `2:05`, `1:02:05`.
pub(super) fn seconds(text: &str) -> Option<f64> {
    if text.contains(':') {
        return sixties(text);
    }
    let of = |units: &[&str], size: f64| with_unit(text, units).map(|n| exact(n * size));
    of(&["min", "m"], 60.0)
        .or_else(|| of(&["h", "hours", "hour"], 3600.0))
        .or_else(|| of(&["s"], 1.0))
        .or_else(|| entry::number(text))
}

/// Hours: `2`, `2 h`, `2:30`, `40 min`.
fn hours(text: &str) -> Option<f64> {
    if text.contains(':') {
        let minutes = sixties(text).filter(|_| text.matches(':').count() == 1);
        return minutes.map(|minutes| minutes / 60.0);
    }
    with_unit(text, &["h", "hours", "hour"])
        .or_else(|| with_unit(text, &["min", "m"]).map(|minutes| minutes / 60.0))
        .or_else(|| entry::number(text))
}

/// What colons part by sixties, in the unit behind the last.
fn sixties(text: &str) -> Option<f64> {
    let fields: Vec<&str> = text.split(':').map(str::trim).collect();
    if fields.len() > 3 {
        return None;
    }
    let mut all = 0.0;
    for (place, field) in fields.iter().enumerate() {
        let is_digits =
            !field.is_empty() && field.len() <= 6 && field.bytes().all(|b| b.is_ascii_digit());
        let part: f64 = field.parse().ok().filter(|_| is_digits)?;
        if place > 0 && part >= 60.0 {
            return None;
        }
        all = all * 60.0 + part;
    }
    Some(all)
}

/// A level in per mille: `33.3`, `33.3 %`, `1/3`.
fn level(text: &str) -> Option<f64> {
    if let Some((part, of)) = text.split_once('/') {
        let (part, of) = (entry::number(part)?, entry::number(of)?);
        return (of > 0.0).then(|| libm::round(1000.0 * part / of));
    }
    entry::number(text.trim_end_matches('%')).map(|per_cent| exact(per_cent * 10.0))
}

/// A product without the tail that binary numbers give it.
fn exact(n: f64) -> f64 {
    libm::round(n * 1e6) / 1e6
}
