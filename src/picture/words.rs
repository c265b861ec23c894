//! Lines of text in a picture, broken where they are too long.
//!
//! A picture is looked at with other fonts than ours, so that nothing is measured: a sign counts as wide as it is in a wide
//! sans serif, and what is broken so has room to spare in most. Widths are in sizes of the text.

/// About how wide a sign of a running text is in a wide sans serif; most are at 0.5.
const SIGN: f64 = 0.56;
/// How wide signs of scripts are that fill a square.
const SQUARE: f64 = 1.0;

/// About how wide a text is, in sizes of the text; never less than it is drawn in the fonts that a picture asks for.
pub(super) fn wide(text: &str) -> f64 {
    text.chars().map(sign).sum()
}

fn sign(c: char) -> f64 {
    match c {
        '\u{1100}'..='\u{115f}' | '\u{2e80}'.. => SQUARE,
        'M' | 'W' | 'm' | 'w' | '—' | '…' | '@' | '%' => 0.9,
        'A'..='Z' => 0.7,
        _ => SIGN,
    }
}

/// The text in at most `most` lines of this width, and whether its end was cut off.
pub(super) fn lines(text: &str, width: f64, most: usize) -> (Vec<String>, bool) {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in text.split(|c: char| c.is_whitespace() && c != '\u{a0}') {
        if word.is_empty() {
            continue;
        }
        let room = width
            - if line.is_empty() {
                0.0
            } else {
                wide(&line) + SIGN
            };
        if wide(word) > room && !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        for c in word.chars() {
            // A word longer than a line is broken anywhere.
            if wide(&line) + sign(c) > width && !line.is_empty() {
                lines.push(std::mem::take(&mut line));
            }
            line.push(c);
        }
        if lines.len() > most {
            break;
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    let is_cut = lines.len() > most;
    lines.truncate(most);
    if let Some(last) = lines.last_mut().filter(|_| is_cut) {
        while wide(last) + sign('…') > width && last.pop().is_some() {}
        *last = format!("{}…", last.trim_end());
    }
    (lines, is_cut)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_is_broken_between_words_and_cut_at_its_end() {
        let (found, cut) = lines("one two\n three", 5.0, 9);
        assert_eq!(
            (found, cut),
            (vec!["one two".to_string(), "three".into()], false)
        );
        let (found, cut) = lines("one two three four", 5.0, 2);
        assert_eq!(
            (found, cut),
            (vec!["one two".to_string(), "three…".into()], true)
        );
        let long = "x".repeat(100_000);
        let (found, cut) = lines(&long, 10.0, 3);
        assert!(cut && found.len() == 3 && found.iter().all(|line| wide(line) <= 10.0));
        assert_eq!(lines("", 10.0, 3), (Vec::new(), false));
        assert_eq!(lines("灯台", 1.5, 3).0, ["灯", "台"]);
        assert_eq!(lines("a", 0.1, 0), (Vec::new(), true));
    }
}
