//! Closed loops and batteries that feed themselves, by following wires, nothing cleverer.
//!
//! Only wires that end at a port other than a signal port are edges. Knows neither power nor time.

use super::model::{Kind, Model};

/// For each wire, whether it lies on a closed loop: whether its far end leads back to its near end.
///
/// AMBIGUOUS (signals): "a wire whose two ends lie in one strongly connected component" is read of feed wires only. Read
/// of signal wires too, a relay whose `out` feeds its own `coil` would be a closed loop instead of a buzzer.
pub fn closed(model: &Model) -> Vec<bool> {
    (0..model.wires.len())
        .map(|wire| !model.is_signal(wire) && leads_back(model, wire))
        .collect()
}

/// Whether following the feed from a wire's far end reaches the node at its near end; a battery's `in` leads nowhere.
fn leads_back(model: &Model, wire: usize) -> bool {
    let target = model.wires[wire].from.part;
    let is_battery = |part: usize| matches!(model.parts[part].kind, Kind::Battery(_));
    if is_battery(target) {
        // The near end is the battery's `out`, and no feed wire ends there.
        return false;
    }
    let mut seen = vec![false; model.parts.len()];
    let mut open = vec![model.wires[wire].to.part];
    while let Some(part) = open.pop() {
        if part == target {
            return true;
        }
        if seen[part] || is_battery(part) {
            continue;
        }
        seen[part] = true;
        open.extend(onward(model, part));
    }
    false
}

/// For each part, whether it is a battery whose `out` leads back to its `in`, through other batteries as well.
pub fn feeds_itself(model: &Model) -> Vec<bool> {
    (0..model.parts.len())
        .map(|battery| {
            let mut seen = vec![false; model.parts.len()];
            let mut open: Vec<usize> = onward(model, battery);
            while let Some(part) = open.pop() {
                if !seen[part] {
                    seen[part] = true;
                    open.extend(onward(model, part));
                }
            }
            matches!(model.parts[battery].kind, Kind::Battery(_)) && seen[battery]
        })
        .collect()
}

/// The parts that a part's feed wires lead to.
fn onward(model: &Model, part: usize) -> Vec<usize> {
    let outputs = model.parts[part].outputs.iter().flatten();
    outputs
        .filter(|wire| !model.is_signal(**wire))
        .map(|wire| model.wires[*wire].to.part)
        .collect()
}
