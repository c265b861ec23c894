//! Reading which findings are meant so. An answer about a part that is written but could not be read is lost with it, and
//! is no fault.

use super::Written;
use crate::plan::{FindingKind, Meant, PartId, Plan};
use crate::read::{self, FaultKind, Faults, Place};
use serde_json::{Map, Value};

/// Reads the answers into `plan`.
pub(super) fn read_meant(
    map: &Map<String, Value>,
    written: &Written,
    root: &Place,
    plan: &mut Plan,
    faults: &mut Faults,
) {
    let at = root.key("meant");
    for (index, entry) in read::list(map, "meant", root, faults).iter().enumerate() {
        let here = at.index(index);
        let Some(map) = read::object(entry, &here, faults) else {
            continue;
        };
        let finding = read_finding(map, &here, faults);
        let part = read_part(map, written, &here, plan, faults);
        let (Some(finding), Some(part)) = (finding, part) else {
            continue;
        };
        if plan
            .meant
            .iter()
            .any(|m| m.finding == finding && m.part == part)
        {
            let found = format!("{} of \"{part}\" a second time", finding.code());
            faults.push(here.fault(FaultKind::Doubled, found, "each finding of a part once"));
            continue;
        }
        plan.meant.push(Meant {
            finding,
            part,
            extra: read::extra(map, &["finding", "part"]),
        });
    }
}

fn read_finding(
    map: &Map<String, Value>,
    place: &Place,
    faults: &mut Faults,
) -> Option<FindingKind> {
    let all = FindingKind::ALL.into_iter().filter(|k| k.may_be_meant());
    let codes: Vec<&str> = all.map(FindingKind::code).collect();
    let expected = format!("one of {}", codes.join(", "));
    let code = read::named(map, "finding", place, &expected, faults)?;
    let kind = FindingKind::of_code(code).filter(|kind| kind.may_be_meant());
    if kind.is_none() {
        let found = format!("\"{code}\"");
        faults.push(
            place
                .key("finding")
                .fault(FaultKind::Unknown, found, expected),
        );
    }
    kind
}

fn read_part(
    map: &Map<String, Value>,
    written: &Written,
    place: &Place,
    plan: &Plan,
    faults: &mut Faults,
) -> Option<PartId> {
    let expected = "the id of a part of the plan";
    let id = PartId::from(read::named(map, "part", place, expected, faults)?);
    if plan.part(&id).is_some() {
        return Some(id);
    }
    if !written.has(id.as_str()) {
        faults.push(
            place
                .key("part")
                .fault(FaultKind::Unknown, format!("\"{id}\""), expected),
        );
    }
    None
}
