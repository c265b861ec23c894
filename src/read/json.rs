//! Parsing JSON text, with a fault that says what stands where the text stops being JSON.

use super::{Fault, FaultKind};
use serde_json::Value;

/// Parses JSON text.
pub fn json(text: &str) -> Result<Value, Fault> {
    serde_json::from_str(text).map_err(|e| {
        let said = e.to_string();
        let said = said.split(" at line ").next().unwrap_or("");
        let found = if e.is_eof() {
            "the end of the text".into()
        } else {
            stands(text, e.line(), e.column())
        };
        Fault {
            kind: FaultKind::NotJson,
            place: format!("line {}, column {}", e.line(), e.column()),
            found,
            expected: expected(said),
        }
    })
}

/// The character at a line and a column, a column being a byte and both counted from 1; a few come one too late or stand
/// before the first.
fn stands(text: &str, line: usize, column: usize) -> String {
    let line = text.split('\n').nth(line.saturating_sub(1)).unwrap_or("");
    let column = column.saturating_sub(1);
    let at = line.char_indices().take_while(|(i, _)| *i <= column).last();
    match at {
        Some((_, c)) if !c.is_control() => format!("`{c}`"),
        Some((_, c)) => format!("the control character {}", c.escape_unicode()),
        None => "the end of the line".into(),
    }
}

/// What the parser would have had, in words; it says either what it expected or what is wrong.
fn expected(said: &str) -> String {
    match said {
        "EOF while parsing an object" => "the rest of an object".into(),
        "EOF while parsing a list" => "the rest of a list".into(),
        "EOF while parsing a string" => "the rest of a text in quotes".into(),
        "EOF while parsing a value" | "expected value" => "a value".into(),
        "expected ident" => "true, false or null".into(),
        "key must be a string" => "a field's name in double quotes".into(),
        "trailing comma" => "one more entry after the comma, or no comma".into(),
        "trailing characters" => "the end of the text".into(),
        "invalid number" => "a number".into(),
        "number out of range" => "a number that is not so large".into(),
        "recursion limit exceeded" => "fewer lists and objects in one another".into(),
        "invalid escape" => r#"one of " \ / b f n r t u after a \"#.into(),
        "unexpected end of hex escape" | "lone leading surrogate in hex escape" => {
            "a second \\u escape that makes one character with the first".into()
        }
        _ if said.starts_with("control character") => {
            "a text on one line, its control characters written with \\".into()
        }
        _ => match said.strip_prefix("expected ") {
            Some(rest) => rest.into(),
            None => format!("JSON ({said})"),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_that_is_no_json_says_where_what_stands_there_and_what_was_expected() {
        let rows = [
            (
                "",
                "line 1, column 0: found the end of the text, expected a value",
            ),
            (
                "{\n \"a\": }",
                "line 2, column 7: found `}`, expected a value",
            ),
            ("{\"a\" 1}", "line 1, column 6: found `1`, expected `:`"),
            ("[1 2]", "line 1, column 4: found `2`, expected `,` or `]`"),
            (
                "[1,]",
                "line 1, column 4: found `]`, expected one more entry after the comma, or no comma",
            ),
            (
                "{a: 1}",
                "line 1, column 2: found `a`, expected a field's name in double quotes",
            ),
            (
                "[1] 2",
                "line 1, column 5: found `2`, expected the end of the text",
            ),
            (
                "[\"ä",
                "line 1, column 4: found the end of the text, expected the rest of a text in quotes",
            ),
            (
                "[truth]",
                "line 1, column 5: found `t`, expected true, false or null",
            ),
        ];
        for (text, said) in rows {
            assert_eq!(json(text).unwrap_err().to_string(), said, "{text}");
        }
    }
}
