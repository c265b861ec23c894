//! What can be cut from a plan so that a valid plan is left: many parts at once, then one thing after the other.

use serde_json::Value;

/// The cuts, coarse before fine. Each is asked for its cut of a number, until there is none of that number.
const KINDS: [fn(&Value, usize) -> Option<Value>; 10] = [
    |plan, at| parts(plan, at, 2),
    |plan, at| parts(plan, at, 4),
    |plan, at| parts(plan, at, 8),
    |plan, at| parts(plan, at, usize::MAX),
    |plan, at| without(plan, "wires", at),
    |plan, at| without(plan, "duties", at),
    conditions,
    settings,
    world,
    types,
];

/// Goes through all cuts, again and again for as long as one of them was taken.
#[derive(Clone, Debug, Default)]
pub struct Cuts {
    kind: usize,
    number: usize,
    has_taken: bool,
}

impl Cuts {
    /// The last cut was taken: what has its number now is something else.
    pub fn took(&mut self) {
        self.has_taken = true;
    }

    /// The last cut was not taken.
    pub fn left(&mut self) {
        self.number += 1;
    }

    /// The plan with the next cut; `None` when no cut is left to try.
    pub fn next(&mut self, plan: &Value) -> Option<Value> {
        loop {
            let Some(kind) = KINDS.get(self.kind) else {
                if !std::mem::take(&mut self.has_taken) {
                    return None;
                }
                self.kind = 0;
                continue;
            };
            if let Some(smaller) = kind(plan, self.number) {
                return Some(smaller);
            }
            self.kind += 1;
            self.number = 0;
        }
    }
}

fn list<'a>(plan: &'a Value, key: &str) -> &'a [Value] {
    plan[key].as_array().map_or(&[], Vec::as_slice)
}

/// The plan without one entry of a list.
fn without(plan: &Value, key: &str, at: usize) -> Option<Value> {
    list(plan, key).get(at)?;
    let mut smaller = plan.clone();
    smaller[key].as_array_mut()?.remove(at);
    Some(smaller)
}

/// The plan without one of so many shares of its parts, and without what hangs on them.
fn parts(plan: &Value, at: usize, shares: usize) -> Option<Value> {
    let all = list(plan, "parts");
    let long = (all.len() / shares).max(1);
    // A share of one part is left to the last of the four.
    if long == 1 && shares != usize::MAX {
        return None;
    }
    let gone: Vec<&Value> = all
        .iter()
        .skip(at * long)
        .take(long)
        .map(|p| &p["id"])
        .collect();
    if gone.is_empty() {
        return None;
    }
    let is_gone = |id: &Value| gone.contains(&id);
    let ends_there = |end: &Value| {
        let part = end.as_str().and_then(|end| end.rsplit_once('.'));
        part.is_some_and(|(part, _)| is_gone(&part.into()))
    };
    let mut smaller = plan.clone();
    let mut retain = |key: &str, keep: &dyn Fn(&Value) -> bool| {
        if let Some(list) = smaller[key].as_array_mut() {
            list.retain(keep);
        }
    };
    retain("parts", &|part| !is_gone(&part["id"]));
    retain("wires", &|wire| {
        !ends_there(&wire["from"]) && !ends_there(&wire["to"])
    });
    retain("duties", &|duty| !is_gone(&duty["part"]));
    for part in smaller["parts"].as_array_mut()? {
        if part
            .get("set")
            .and_then(|set| set.get("watches"))
            .is_some_and(is_gone)
        {
            part["set"].as_object_mut()?.shift_remove("watches");
        }
    }
    Some(smaller)
}

/// The plan without one setting of a part, or with one unit of it instead of a bank.
fn settings(plan: &Value, at: usize) -> Option<Value> {
    let all = list(plan, "parts").iter().enumerate();
    let mut keys = all.flat_map(|(place, part)| {
        let set = part.get("set").and_then(Value::as_object).into_iter();
        let set = set
            .flat_map(|set| set.keys())
            .map(move |key| (place, Some(key.clone())));
        set.chain(part.get("count").map(|_| (place, None)))
    });
    let (place, key) = keys.nth(at)?;
    let mut smaller = plan.clone();
    let part = smaller["parts"][place].as_object_mut()?;
    match key {
        None => part.shift_remove("count"),
        Some(key) => {
            let set = part.get_mut("set")?.as_object_mut()?;
            set.shift_remove(&key);
            set.is_empty().then(|| part.shift_remove("set")).flatten()
        }
    };
    Some(smaller)
}

/// The plan without one condition of a duty that has several.
fn conditions(plan: &Value, at: usize) -> Option<Value> {
    let duties = list(plan, "duties").iter().enumerate();
    let mut places = duties.flat_map(|(place, duty)| {
        let several = list(duty, "when").len();
        (0..several)
            .filter(move |_| several > 1)
            .map(move |n| (place, n))
    });
    let (place, n) = places.nth(at)?;
    let mut smaller = plan.clone();
    smaller["duties"][place]["when"].as_array_mut()?.remove(n);
    Some(smaller)
}

/// The plan in a plainer world. The day stays as long as it is: the usual one is too long for the simple engine.
fn world(plan: &Value, at: usize) -> Option<Value> {
    let keys = plan["world"].as_object()?.keys();
    let key = keys.filter(|key| *key != "day_s").nth(at)?.clone();
    let mut smaller = plan.clone();
    smaller["world"].as_object_mut()?.shift_remove(&key);
    Some(smaller)
}

/// The plan without the types of its book that no part is of.
fn types(plan: &Value, at: usize) -> Option<Value> {
    let used = |kind: &Value| {
        list(plan, "parts")
            .iter()
            .any(|part| part["type"] == kind["type"])
    };
    let mut smaller = plan.clone();
    let all = smaller["book"].get_mut("types")?.as_array_mut()?;
    let before = all.len();
    all.retain(used);
    // A book has at least one type.
    (at == 0 && all.len() < before && !all.is_empty()).then_some(smaller)
}
