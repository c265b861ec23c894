//! A table's headings and cells: which column is what, and what is left out.

use super::Remark;
use super::columns::{Heading, Holds, folded, heading, of_key};
use super::kinds::kind;
use super::number::{Sign, is_nothing, sign_in};
use super::rows::{Row, TOP};
use crate::read::{Fault, FaultKind, Faults};

/// A table with its headings understood.
pub(super) struct Sheet<'r> {
    head: &'r Row,
    columns: Vec<Option<Heading>>,
    /// The rows below the headings.
    pub body: &'r [Row],
    /// Which sign stands before decimals, where the cells tell.
    pub sign: Option<Sign>,
}

/// The place of a cell, for a fault.
fn place(row: usize, heading: &str) -> String {
    format!("row {row}, column \"{heading}\"")
}

/// A text as it was found.
pub(super) fn found(text: &str) -> String {
    super::pairs::Wrong::new(text, "").found
}

impl<'r> Sheet<'r> {
    /// Understands the headings; what it makes of them is remarked.
    pub(super) fn of(
        rows: &'r [Row],
        delimiter: u8,
        remarks: &mut Vec<Remark>,
        faults: &mut Faults,
    ) -> Option<Sheet<'r>> {
        let understood = |row: &Row| row.cells.iter().filter(|c| heading(c).is_some()).count();
        let top = rows.iter().take(TOP).map(understood);
        let best = top.clone().max().unwrap_or(0);
        let at = top.clone().position(|n| n == best).unwrap_or(0);
        let Some(head) = rows.get(at).filter(|_| best > 0) else {
            let row = rows.first();
            let cells = row.map_or(String::new(), |row| row.cells.join(", "));
            faults.push(Fault {
                kind: FaultKind::Format,
                place: format!("row {}", row.map_or(1, |row| row.number)),
                found: found(&cells),
                expected: "headings, such as label, behaviour, draw (W)".into(),
            });
            return None;
        };
        if at > 0 {
            remarks.push(Remark::Above(at));
        }
        let columns = head.cells.iter().map(|cell| heading(cell)).collect();
        let mut sheet = Sheet {
            head,
            columns,
            body: &rows[at + 1..],
            sign: None,
        };
        sheet.tell_apart();
        sheet.check(remarks, faults);
        // Commas part the cells where a point stands before decimals.
        let plain = (delimiter == b',').then_some(Sign::Point);
        sheet.sign = sheet.find_sign().or(plain);
        Some(sheet)
    }

    /// `name` beside `label` is the type's own name; `type` whose words all say what a part does is the behaviour.
    fn tell_apart(&mut self) {
        let has = |sheet: &Sheet, key: &str| sheet.at(key).is_some();
        let labels: Vec<usize> = (0..self.columns.len())
            .filter(|at| self.is(*at, "label"))
            .collect();
        if let [first, second] = labels[..]
            && !has(self, "type")
        {
            let name = [first, second]
                .into_iter()
                .find(|at| folded(&self.head.cells[*at]) == "name");
            if let Some(at) = name {
                self.name_as(at, "type");
            }
        }
        if let Some(at) = self.at("type")
            && has(self, "label")
            && !has(self, "behaviour")
        {
            let cells = self.body.iter().filter_map(|row| row.cells.get(at));
            let mut words = cells.filter(|cell| !cell.is_empty()).peekable();
            if words.peek().is_some() && words.all(|word| kind(word).is_some()) {
                self.name_as(at, "behaviour");
            }
        }
    }

    fn name_as(&mut self, at: usize, key: &str) {
        if let (Some(heading), Some(column)) = (&mut self.columns[at], of_key(key)) {
            heading.column = column;
        }
    }

    fn is(&self, at: usize, key: &str) -> bool {
        let heading = self.columns.get(at).and_then(Option::as_ref);
        heading.is_some_and(|h| h.column.key == key)
    }

    /// Where the column `key` stands.
    fn at(&self, key: &str) -> Option<usize> {
        (0..self.columns.len()).find(|at| self.is(*at, key))
    }

    /// Remarks what is left out; a column that stands twice and cells without a heading are faults.
    fn check(&self, remarks: &mut Vec<Remark>, faults: &mut Faults) {
        for (at, column) in self.columns.iter().enumerate() {
            let text = &self.head.cells[at];
            let has = |row: &Row| row.cells.get(at).is_some_and(|c| !c.is_empty());
            match column {
                None if !text.is_empty() || self.body.iter().any(has) => {
                    remarks.push(Remark::LeftOut(text.clone()));
                }
                Some(heading) if self.at(heading.column.key) != Some(at) => faults.push(Fault {
                    kind: FaultKind::Doubled,
                    place: place(self.head.number, text),
                    found: format!("a second column for {}", heading.column.heading),
                    expected: "one".into(),
                }),
                _ => {}
            }
        }
        for row in self.body {
            let wide = self.columns.len();
            let beyond = row.cells.iter().enumerate().skip(wide);
            if let Some((at, cell)) = beyond.clone().find(|(_, cell)| !cell.is_empty()) {
                faults.push(Fault {
                    kind: FaultKind::Unknown,
                    place: format!("row {}, column {}", row.number, at + 1),
                    found: found(cell),
                    expected: format!(
                        "at most {wide} cells, as there are headings; a cell with a comma or a semicolon in it stands in quotes"
                    ),
                });
            }
        }
        if self.body.is_empty() {
            faults.push(Fault {
                kind: FaultKind::Missing,
                place: format!("row {}", self.head.number + 1),
                found: "nothing".into(),
                expected: "a row for each part type".into(),
            });
        }
    }

    /// The sign that the cells of numbers tell.
    fn find_sign(&self) -> Option<Sign> {
        let is_number = |at: &usize| {
            let heading = self.columns[*at].as_ref();
            heading
                .is_some_and(|h| !matches!(h.column.holds, Holds::Text | Holds::Word | Holds::List))
        };
        let columns: Vec<usize> = (0..self.columns.len()).filter(is_number).collect();
        let cells = self.body.iter().flat_map(|row| {
            let cells = columns.iter().filter_map(|at| row.cells.get(*at));
            cells.map(String::as_str)
        });
        sign_in(cells)
    }

    /// The cell of a row in the column `key`; empty where there is none.
    pub(super) fn cell<'s>(&self, row: &'s Row, key: &str) -> &'s str {
        let cell = self.at(key).and_then(|at| row.cells.get(at));
        cell.map_or("", String::as_str)
    }

    /// As [`Sheet::cell`], empty also where the cell says that there is nothing.
    pub(super) fn word<'s>(&self, row: &'s Row, key: &str) -> &'s str {
        let cell = self.cell(row, key);
        if is_nothing(cell) { "" } else { cell }
    }

    /// The unit that the heading of the column `key` names.
    pub(super) fn unit(&self, key: &str) -> Option<&str> {
        let at = self.at(key)?;
        self.columns[at].as_ref()?.unit.as_deref()
    }

    /// The place of a cell, for a fault.
    pub(super) fn place(&self, row: usize, key: &str) -> String {
        let own = of_key(key).map_or(key, |c| c.heading);
        let heading = self.at(key).map_or(own, |at| &self.head.cells[at]);
        place(row, heading)
    }

    /// The place of the heading of the column `key`.
    pub(super) fn heading_place(&self, key: &str) -> String {
        self.place(self.head.number, key)
    }
}
