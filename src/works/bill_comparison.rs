//! Two bills side by side: how many of each part type, how much of each material, and by how much the second differs.

use super::Bill;
use std::collections::BTreeMap;

/// Two bills side by side.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct BillComparison {
    /// Part types: those of the first bill in its order, then those that the second alone has.
    pub parts: Vec<ComparedAmount>,
    /// Materials, by name.
    pub materials: Vec<ComparedAmount>,
    /// The stages needed.
    pub stage: ComparedAmount,
    /// The wires.
    pub wires: ComparedAmount,
}

/// One amount in both.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ComparedAmount {
    /// What people call what is counted.
    pub label: String,
    /// How much in the first.
    pub first: u64,
    /// How much in the second.
    pub second: u64,
}

impl ComparedAmount {
    fn new(label: &str, first: u64, second: u64) -> ComparedAmount {
        ComparedAmount {
            label: label.into(),
            first,
            second,
        }
    }

    /// By how much the second is more; less where negative.
    pub fn difference(&self) -> i128 {
        i128::from(self.second) - i128::from(self.first)
    }

    /// The difference with its sign: `+2`, `−1`, `0`.
    pub fn difference_said(&self) -> String {
        match self.difference() {
            0 => "0".into(),
            more if more > 0 => format!("+{more}"),
            less => format!("−{}", less.unsigned_abs()),
        }
    }
}

impl BillComparison {
    /// Two bills side by side. Types are the same where both name and label are, since two plans may have two books.
    pub fn of(first: &Bill, second: &Bill) -> BillComparison {
        let mut parts: Vec<ComparedAmount> = Vec::new();
        let mut row_of: BTreeMap<(&str, &str), usize> = BTreeMap::new();
        let lines = first.parts.iter().map(|line| (line, true));
        for (line, is_first) in lines.chain(second.parts.iter().map(|line| (line, false))) {
            let at = *(row_of.entry((&line.kind, &line.label))).or_insert_with(|| {
                parts.push(ComparedAmount::new(&line.label, 0, 0));
                parts.len() - 1
            });
            match is_first {
                true => parts[at].first = line.count,
                false => parts[at].second = line.count,
            }
        }
        let amount = |of: &Bill, name: &String| of.materials.get(name).copied().unwrap_or(0);
        let mut names: Vec<&String> = first.materials.keys().collect();
        names.extend(second.materials.keys());
        names.sort();
        names.dedup();
        let materials = names
            .into_iter()
            .map(|name| ComparedAmount::new(name, amount(first, name), amount(second, name)));
        BillComparison {
            parts,
            materials: materials.collect(),
            stage: ComparedAmount::new("Stage needed", first.stage, second.stage),
            wires: ComparedAmount::new("Wires", first.wires as u64, second.wires as u64),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::works::BillLine;

    fn bill(parts: &[(&str, &str, u64)], copper: u64) -> Bill {
        let line = |(kind, label, count): &(&str, &str, u64)| BillLine {
            kind: kind.to_string(),
            label: label.to_string(),
            count: *count,
        };
        Bill {
            parts: parts.iter().map(line).collect(),
            materials: BTreeMap::from([("copper".to_string(), copper)]),
            stage: copper,
            wires: 1,
        }
    }

    #[test]
    fn each_row_has_both_amounts_and_what_the_second_has_more() {
        let first = bill(&[("lamp", "Lamp", 3), ("tap", "Tap", 1)], 12);
        let mut second = bill(&[("fan", "Fan", 1), ("lamp", "Lamp", 1)], 12);
        second.materials.insert("canvas".into(), 2);
        let both = BillComparison::of(&first, &second);
        let said = |row: &ComparedAmount| {
            format!(
                "{} {} {} {}",
                row.label,
                row.first,
                row.second,
                row.difference_said()
            )
        };
        let parts: Vec<String> = both.parts.iter().map(said).collect();
        assert_eq!(parts, ["Lamp 3 1 −2", "Tap 1 0 −1", "Fan 0 1 +1"]);
        let materials: Vec<String> = both.materials.iter().map(said).collect();
        assert_eq!(materials, ["canvas 0 2 +2", "copper 12 12 0"]);
        assert_eq!(said(&both.wires), "Wires 1 1 0");
    }

    #[test]
    fn a_type_of_the_same_name_in_another_book_is_another_type() {
        let (first, second) = (
            bill(&[("lamp", "Lamp", 1)], 1),
            bill(&[("lamp", "Beacon", 1)], u64::MAX),
        );
        let both = BillComparison::of(&first, &second);
        let labels: Vec<&str> = both.parts.iter().map(|row| row.label.as_str()).collect();
        assert_eq!(labels, ["Lamp", "Beacon"]);
        assert_eq!(both.materials[0].difference(), i128::from(u64::MAX) - 1);
    }
}
