//! Contacts that command the load set otherwise, and a twilight or time switch instead of one or ahead of the load.
//! Thresholds of light in thousandths, of charge in per mille, delays in seconds, times in minutes of the dial.

use super::super::Side;
use super::super::window::Runs;
use super::{BEYOND, Change, LIGHTS, Lines, TURN};
use crate::book::FunctionName;
use crate::plan::{Clock, Edit, End, Function};
use crate::proof::findings::draft;
use crate::quantity::Ms;
use serde_json::{Value, json};

/// Puts a contact of this type, set so, where the change wants it.
type Put<'a> = dyn Fn(&str, &[(&str, Value)]) -> Option<Vec<Edit>> + 'a;

impl Lines<'_> {
    pub(super) fn contact(&mut self, part: usize, function: &Function) {
        let window = self.window;
        let moved = |present: Ms, k: u64| -> Option<u64> {
            // The wanted time less what the load starts too late, in whole seconds towards the wanted side.
            let now = present;
            let target = window.wanted;
            let start = self.present()?;
            let seconds = |ms: Ms, up: bool| if up { ms.div_ceil(1000) } else { ms / 1000 };
            match window.side {
                Side::AtTheLatest => {
                    let less = seconds(start.saturating_sub(target), true) + k;
                    (now / 1000).checked_sub(less)
                }
                Side::NotBefore => {
                    Some(seconds(now, true) + seconds(target.saturating_sub(start), true) + k)
                }
            }
        };
        match function {
            Function::Clock(from, to) => {
                self.clock(part, "from", *from);
                self.clock(part, "to", *to);
            }
            Function::Twilight(_) => {
                let changes = self.lights().into_iter().enumerate().map(|(n, below)| {
                    let how = format!("set to light below {below}");
                    self.set(part, &how, n as u64 + 1, &[("below", json!(below))])
                });
                let changes = changes.collect();
                self.line(1, changes);
            }
            Function::OnDelay(delay) | Function::OffDelay(delay) | Function::Pulse(delay) => {
                let to = (0..=BEYOND).filter_map(|k| moved(*delay, k));
                let changes = to.map(|s| {
                    let long = crate::proof::words::length(s * 1000);
                    let how = format!("set to a delay of {long}");
                    let size = (s * 1000).abs_diff(*delay) / 1000;
                    self.set(part, &how, size, &[("delay_s", json!(s))])
                });
                let changes = changes.collect();
                self.line(1, changes);
            }
            Function::Charge { low, high, .. } => self.charge(part, *low, *high),
            Function::Manual { schedule, .. } if !schedule.is_empty() => self.schedule(part),
            _ => {}
        }
    }

    /// When the load starts at present, after the window opens.
    fn present(&self) -> Option<Ms> {
        let check = &self.seen.check;
        let ran = self.seen.journey.record.loads.get(&self.load)?;
        let runs = Runs::of(check, &ran.runs, self.window.day);
        self.window.see(&runs).map(|seen| seen.after)
    }

    /// Places on the dial at the wanted time and a little beyond it.
    fn minutes(&self) -> Vec<Clock> {
        let window = self.window;
        let minute = |n: u64| window.day * n / 1440;
        let at = window.clock(window.wanted);
        let clocks = (0..=BEYOND).map(|n| match window.side {
            Side::AtTheLatest => (at + window.day - minute(n)) % window.day,
            Side::NotBefore => (at + minute(n)) % window.day,
        });
        // In short days some of these are the same minute.
        let mut all: Vec<Clock> = clocks.map(|t| Clock::at(t, window.day)).collect();
        all.dedup();
        all
    }

    fn clock(&mut self, part: usize, key: &str, present: Ms) {
        let word = match key {
            "from" => "from",
            _ => "up to",
        };
        let minute_of = |clock: Clock| u64::from(clock.minute());
        let present = minute_of(Clock::at(present, self.window.day));
        let changes = self.minutes().into_iter().map(|clock| {
            let apart = minute_of(clock).abs_diff(present);
            let set = [(key, json!(clock.to_string()))];
            self.set(
                part,
                &format!("set {word} {clock}"),
                apart.min(1440 - apart),
                &set,
            )
        });
        let changes = changes.collect();
        self.line(1, changes);
    }

    /// Thresholds of light that turn at the wanted time or a little beyond it, in thousandths.
    fn lights(&self) -> Vec<f64> {
        let window = self.window;
        let light = self
            .seen
            .plan
            .world
            .sky()
            .light(window.clock(window.wanted));
        let least = (light * 1000.0).floor().clamp(0.0, 1000.0) as u64;
        let thousandths = (0..LIGHTS).filter_map(|n| match window.side {
            Side::AtTheLatest => Some(least + 1 + n),
            Side::NotBefore => least.checked_sub(n),
        });
        let all = thousandths.filter(|n| (1..=1000).contains(n));
        all.map(|n| n as f64 / 1000.0).collect()
    }

    /// Both thresholds of a charge contact, one at a time and together.
    fn charge(&mut self, part: usize, low: u64, high: u64) {
        let moves: [(i64, i64); 6] = [(1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (-1, -1)];
        for (of_low, of_high) in moves {
            let to = |n: i64| {
                let moved = |from: u64, by: i64| {
                    let to = i64::try_from(from).ok()? + 10 * by * n;
                    u64::try_from(to).ok().filter(|to| *to <= 1000)
                };
                let (l, h) = (moved(low, of_low)?, moved(high, of_high)?);
                let whole = |n: u64| format!("{}.{}", n / 10, n % 10).replace(".0", "");
                let how = format!("set to {} % and {} %", whole(l), whole(h));
                let set = [("low", json!(l)), ("high", json!(h))];
                (l <= h).then(|| self.set(part, &how, n.unsigned_abs() * 10, &set))
            };
            let changes = (1..=100).map_while(to).collect();
            self.line(TURN, changes);
        }
    }

    /// The entry of a switch's schedule nearest to the present start, put to the wanted time.
    fn schedule(&mut self, part: usize) {
        let Some(start) = self.present().map(|after| self.window.clock(after)) else {
            return;
        };
        let day = self.window.day;
        let part_of_plan = &self.seen.plan.parts[part];
        let Some(list) = part_of_plan.set.get("schedule").and_then(Value::as_array) else {
            return;
        };
        let clock_of = |entry: &Value| Clock::parse(entry.get(0)?.as_str()?);
        let apart = |at: &usize| {
            let t = clock_of(&list[*at]).map_or(0, |clock| clock.ms(day));
            let forth = (t % day + day - start) % day;
            forth.min(day - forth)
        };
        let Some(nearest) = (0..list.len()).min_by_key(apart) else {
            return;
        };
        let changes = self.minutes().into_iter().enumerate().map(|(n, clock)| {
            let mut entries = list.clone();
            if let Some(time) = entries[nearest].get_mut(0) {
                *time = json!(clock.to_string());
            }
            entries.sort_by_key(clock_of);
            let how = format!("thrown at {clock} instead");
            self.set(part, &how, n as u64 + 1, &[("schedule", json!(entries))])
        });
        let changes = changes.collect();
        self.line(1, changes);
    }

    /// A twilight switch and a time switch in place of a contact that commands the load.
    pub(super) fn instead(&mut self, part: usize) {
        let seen = self.seen;
        let place = |new: &str, set: &[(&str, Value)]| {
            // The same type is set otherwise instead.
            if seen.plan.parts[part].kind == new {
                return None;
            }
            seen.drafted(|draft| {
                let id = seen.id(part);
                let new = draft.add(new, id, set)?;
                let before = draft.unwire(&End::new(id, "feed"))?;
                let after = draft.unwire(&End::new(id, "out"))?;
                draft.remove(id)?;
                draft.wire(before, End::new(&new, "feed"))?;
                draft.wire(End::new(&new, "out"), after)
            })
        };
        let name = format!("in place of {}", seen.name(part));
        self.sensors(&name, &place);
    }

    /// A twilight switch and a time switch ahead of the load.
    pub(super) fn put_in(&mut self) {
        let seen = self.seen;
        let (id, end) = (seen.id(self.load), End::new(seen.id(self.load), "in"));
        let place = |new: &str, set: &[(&str, Value)]| {
            seen.drafted(|draft| {
                let new = draft.add(new, id, set)?;
                draft.put_into(&end, &new, "feed", "out")
            })
        };
        let name = format!("ahead of {}", seen.name(self.load));
        self.sensors(&name, &place);
    }

    fn sensors(&mut self, place: &str, put: &Put) {
        let plan = &self.seen.plan;
        let change = |label: &str, how: String, edits: Option<Vec<Edit>>, size: usize| {
            let what = format!("{label} {place}, {how}");
            edits.map(|edits| Change {
                name: format!("put a {what}"),
                what: format!("A {what},"),
                edits,
                size: size as u64,
            })
        };
        let mut found = Vec::new();
        if let Some(kind) = draft::contact(plan, FunctionName::Twilight) {
            let label = kind.label.to_lowercase();
            let all = self.lights().into_iter().enumerate();
            let all = all.filter_map(|(n, below)| {
                let edits = put(
                    &kind.name,
                    &[("below", json!(below)), ("contact", json!("make"))],
                );
                change(&label, format!("set to light below {below}"), edits, n + 1)
            });
            found.push(all.collect());
        }
        if let (Some(kind), Some(to)) = (draft::contact(plan, FunctionName::Clock), self.stop()) {
            let label = kind.label.to_lowercase();
            let all = self.minutes().into_iter().enumerate();
            let all = all.filter_map(|(n, from)| {
                let set = [
                    ("from", json!(from.to_string())),
                    ("to", json!(to.to_string())),
                    ("contact", json!("make")),
                ];
                let edits = put(&kind.name, &set);
                change(&label, format!("set to {from} to {to}"), edits, n + 1)
            });
            found.push(all.collect());
        }
        for changes in found {
            self.line(1, changes);
        }
    }

    /// When the load stops at present after the start that is meant: the place on the dial, on the last day of the run.
    fn stop(&self) -> Option<Clock> {
        let start = self.window.clock(self.present()?);
        let day = self.window.day;
        let runs = &self.seen.journey.record.loads.get(&self.load)?.runs;
        let runs = runs.iter().filter(|run| run.0 % day == start);
        let stops = runs.map(|run| run.1).filter(|t| *t < self.seen.to);
        stops.last().map(|t| Clock::at(t % day, day))
    }
}
