//! Tables in plain text: columns as wide as their widest cell, numbers to the right.

use std::fmt;

/// A table with a heading.
pub struct TextTable {
    rows: Vec<Vec<String>>,
}

impl TextTable {
    /// A table with these headings and no rows.
    pub fn new(head: &[&str]) -> TextTable {
        TextTable {
            rows: vec![head.iter().map(|cell| cell.to_string()).collect()],
        }
    }

    /// Adds a row. Control characters, which a plan's names may hold, are shown as a space.
    pub fn row<T: Into<String>, const N: usize>(&mut self, cells: [T; N]) {
        let plain = |cell: T| cell.into().replace(char::is_control, " ");
        self.rows.push(cells.into_iter().map(plain).collect());
    }

    /// Whether there is no row under the heading.
    pub fn is_empty(&self) -> bool {
        self.rows.len() < 2
    }
}

impl fmt::Display for TextTable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let columns = self.rows[0].len();
        let cells = |column: usize| self.rows.iter().filter_map(move |row| row.get(column));
        let width: Vec<usize> = (0..columns)
            .map(|c| cells(c).map(|t| t.chars().count()).max().unwrap_or(0))
            .collect();
        let numeric: Vec<bool> = (0..columns)
            .map(|c| {
                cells(c)
                    .skip(1)
                    .all(|t| t.starts_with(|c: char| c.is_ascii_digit()) || t.is_empty())
            })
            .collect();
        for row in &self.rows {
            let mut line = String::new();
            for (column, cell) in row.iter().enumerate() {
                let gap = " ".repeat(width[column] - cell.chars().count());
                if numeric[column] {
                    line += &gap;
                    line += cell;
                } else {
                    line += cell;
                    line += &gap;
                }
                line += "  ";
            }
            writeln!(f, "{}", line.trim_end())?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_stand_under_their_heads() {
        let mut table = TextTable::new(&["wire", "take"]);
        table.row(["w1", "5"]);
        table.row(["w100", "12"]);
        assert_eq!(table.to_string(), "wire  take\nw1       5\nw100    12\n");
    }
}
