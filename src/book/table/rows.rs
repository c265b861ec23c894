//! The text of a table as rows of cells: which sign parts the cells, and the rows as a spreadsheet numbers them.
//!
//! RFC 4180, and what spreadsheets make of it: semicolons or tabs for commas, any line ends, a byte order mark, a line
//! `sep=;` at the top, blank lines. The crate `csv` reads; it closes an open quote by itself, so that is looked for here.

use super::columns::heading;
use crate::read::{Fault, FaultKind};
use csv::{ReaderBuilder, StringRecord};

/// One row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Row {
    /// Its number from 1, blank rows counted, as a spreadsheet shows it.
    pub number: usize,
    /// Its cells, without blanks around, their lines ended by a line feed.
    pub cells: Vec<String>,
}

/// What may part cells, the likeliest first.
const DELIMITERS: [u8; 4] = [b',', b';', b'\t', b'|'];

/// How many rows from the top may hold the headings.
pub(super) const TOP: usize = 10;

/// What parts the cells, and the rows that hold anything.
pub(super) fn rows(text: &str) -> Result<(u8, Vec<Row>), Fault> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let (told, skipped, text) = match told(text) {
        Some((delimiter, rest)) => (Some(delimiter), 1, rest),
        None => (None, 0, text),
    };
    let delimiter = told.unwrap_or_else(|| guess(text));
    let mut rows = parted(text, delimiter);
    rows.iter_mut().for_each(|row| row.number += skipped);
    if is_open(text, delimiter) {
        let row = rows.last().map_or(1, |row| row.number);
        let cell = rows.last().map_or(1, |row| row.cells.len());
        return Err(Fault {
            kind: FaultKind::NotJson,
            place: format!("row {row}, column {cell}"),
            found: "a quote that is never closed".into(),
            expected: "a second quote at the cell's end".into(),
        });
    }
    rows.retain(|row| row.cells.iter().any(|cell| !cell.is_empty()));
    Ok((delimiter, rows))
}

/// The delimiter that a first line `sep=;` tells, and what follows that line.
fn told(text: &str) -> Option<(u8, &str)> {
    let rest = text.strip_prefix("sep=").or(text.strip_prefix("SEP="))?;
    let delimiter = *rest.as_bytes().first().filter(|b| b.is_ascii())?;
    let rest = &rest[1..];
    let after = rest
        .strip_prefix("\r\n")
        .or(rest.strip_prefix(['\r', '\n']))?;
    Some((delimiter, after))
}

/// Under the right delimiter most headings are understood; where none tells, most rows have as many cells as the first.
fn guess(text: &str) -> u8 {
    let mut best = (DELIMITERS[0], (0, 0, 0));
    for delimiter in DELIMITERS {
        let rows = parted(text, delimiter);
        let understood = |row: &Row| row.cells.iter().filter(|c| heading(c).is_some()).count();
        let headings = rows.iter().take(TOP).map(understood).max().unwrap_or(0);
        let wide = rows.iter().map(|r| r.cells.len()).max().unwrap_or(0);
        let alike = rows.iter().filter(|r| r.cells.len() == wide).count();
        let worth = (headings, if wide > 1 { alike } else { 0 }, wide);
        if worth > best.1 {
            best = (delimiter, worth);
        }
    }
    best.0
}

/// The rows of a text, those of blank cells too.
fn parted(text: &str, delimiter: u8) -> Vec<Row> {
    let mut reader = ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter)
        .from_reader(text.as_bytes());
    let (mut rows, mut record) = (Vec::new(), StringRecord::new());
    let (mut number, mut from) = (0, 0);
    while reader.read_record(&mut record).unwrap_or(false) {
        let to = (reader.position().byte() as usize).min(text.len());
        number += 1 + blank_lines(text, from, to);
        from = to;
        let lines = |cell: &str| cell.trim().replace("\r\n", "\n").replace('\r', "\n");
        let cells = record.iter().map(lines);
        rows.push(Row {
            number,
            cells: cells.collect(),
        });
    }
    rows
}

/// How many line ends stand before the row that was read from these bytes; the reader leaves a line feed after a carriage
/// return to the next row.
fn blank_lines(text: &str, from: usize, to: usize) -> usize {
    let bytes = &text.as_bytes()[from..to];
    let after_return = from > 0 && text.as_bytes()[from - 1] == b'\r';
    let start = usize::from(after_return && bytes.first() == Some(&b'\n'));
    let (mut lines, mut at) = (0, start);
    while let Some(end @ (b'\r' | b'\n')) = bytes.get(at) {
        at += if *end == b'\r' && bytes.get(at + 1) == Some(&b'\n') {
            2
        } else {
            1
        };
        lines += 1;
    }
    lines
}

/// Whether the text ends within quotes.
fn is_open(text: &str, delimiter: u8) -> bool {
    let (mut quoted, mut starts) = (false, true);
    for byte in text.bytes() {
        if byte == b'"' && (quoted || starts) {
            // A doubled quote closes and opens again, which comes to the same.
            quoted = !quoted;
            starts = !quoted;
        } else if !quoted {
            starts = byte == delimiter || byte == b'\r' || byte == b'\n';
        }
    }
    quoted
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cells(text: &str) -> Vec<Vec<String>> {
        rows(text).unwrap().1.into_iter().map(|r| r.cells).collect()
    }

    #[test]
    fn the_delimiter_is_guessed_also_where_it_stands_in_quotes() {
        let wanted = [["label", "draw (W)"], ["Lamp; large, red", "6"]];
        for text in [
            "label,draw (W)\r\n\"Lamp; large, red\",6\r\n",
            "label;draw (W)\n\"Lamp; large, red\";6",
            "label\tdraw (W)\rLamp; large, red\t6\r",
            "sep=;\r\nlabel;draw (W)\r\n\"Lamp; large, red\";6\r\n",
            "\u{feff}\"label\"|\"draw (W)\"\n\"Lamp; large, red\"|6\n",
        ] {
            assert_eq!(cells(text), wanted, "{text:?}");
        }
    }

    #[test]
    fn rows_are_numbered_as_a_spreadsheet_shows_them() {
        let numbers =
            |text: &str| -> Vec<usize> { rows(text).unwrap().1.iter().map(|r| r.number).collect() };
        for end in ["\n", "\r\n", "\r"] {
            let text = |lines: &[&str]| lines.join(end);
            assert_eq!(numbers(&text(&["a,b", "1,2", "3,4"])), [1, 2, 3], "{end:?}");
            assert_eq!(
                numbers(&text(&["", "a,b", "", "", "1,2", ",", "3,4", ""])),
                [2, 5, 7]
            );
            assert_eq!(
                numbers(&text(&["a,b", "\"1", "2\",3", "", "4,5"])),
                [1, 2, 4]
            );
        }
        assert_eq!(numbers("sep=,\r\na,b\r\n1,2"), [2, 3]);
    }

    #[test]
    fn an_open_quote_is_told_with_its_place() {
        let fault = rows("label,says\nLamp,\"bright\nPump,\"\"\n").unwrap_err();
        assert_eq!(
            fault.to_string(),
            "row 2, column 2: found a quote that is never closed, expected a second quote at the cell's end"
        );
        assert!(rows("a,b\n\"x \"\"y\"\" z\",\"\"\n5\" tall,1").is_ok());
    }

    /// What Python's csv module makes of the same texts, but for the line end within a cell: computed with Python 3.11,
    /// `list(csv.reader(...))`.
    #[test]
    fn corner_cases_are_read_as_python_reads_them() {
        assert_eq!(cells("a,b\r\n1,2"), [["a", "b"], ["1", "2"]]);
        assert_eq!(cells("\"a \"\"x\"\" b\",c"), [["a \"x\" b", "c"]]);
        assert_eq!(cells("\"a\r\nb\",c"), [["a\nb", "c"]]);
        assert_eq!(cells("a,"), [["a", ""]]);
        assert_eq!(cells("a\"b,c"), [["a\"b", "c"]]);
        assert_eq!(cells("\"a\"b,c"), [["ab", "c"]]);
    }
}
