//! SVG path data at another place and in another size, so that a drawing needs no transform of its own: a browser keeps
//! books on each.
//!
//! Pixels. The flags of an arc stand apart by spaces. What isn't path data comes back as far as it could be read.

use super::figure::Px;
use std::fmt::Write;

/// The path `d` moved by `(x, y)`.
pub fn shifted(d: &str, by: (f64, f64)) -> String {
    placed(d, 1.0, by)
}

/// The path `d`, `scale` times as large around its origin, then moved by `(x, y)`.
pub fn placed(d: &str, scale: f64, (x, y): (f64, f64)) -> String {
    let mut moved = String::with_capacity(d.len() + 16);
    let mut rest = d;
    while let Some(command) = rest.chars().next() {
        rest = &rest[command.len_utf8()..];
        if !command.is_ascii_alphabetic() {
            continue;
        }
        let end = rest.find(|c: char| c.is_ascii_alphabetic() && c != 'e');
        let (numbers, after) = rest.split_at(end.unwrap_or(rest.len()));
        // A path begins with a place even where that is written as a step.
        let is_first = moved.is_empty();
        moved.push(command);
        for (i, number) in split(numbers).enumerate() {
            // An arc's turn and its flags are no lengths.
            let is_length = !(command.eq_ignore_ascii_case(&'a') && (2..5).contains(&(i % 7)));
            let number = if is_length { number * scale } else { number };
            let by = match command {
                'M' | 'L' | 'Q' | 'T' | 'C' | 'S' => [x, y][i % 2],
                'm' if is_first && i < 2 => [x, y][i],
                'H' => x,
                'V' => y,
                'A' => [0.0, 0.0, 0.0, 0.0, 0.0, x, y][i % 7],
                _ => 0.0,
            };
            // Finer than anybody sees, and without the long tails of sums.
            let place = Px(((number + by) * 1000.0).round() / 1000.0);
            let _ = write!(moved, "{}{place}", if i > 0 { " " } else { "" });
        }
        rest = after;
    }
    moved
}

/// The numbers of a command: apart by spaces, commas, or a sign or a second point.
fn split(text: &str) -> impl Iterator<Item = f64> {
    let mut rest = text;
    std::iter::from_fn(move || {
        rest = rest.trim_start_matches([' ', ',', '\n', '\t']);
        if rest.is_empty() {
            return None;
        }
        let mut has_point = false;
        let end = rest.char_indices().skip(1).find(|(at, c)| {
            let second = *c == '.' && (has_point || rest.starts_with('.'));
            has_point |= *c == '.';
            let is_sign = *c == '-' && !rest[..*at].ends_with('e');
            [' ', ',', '\n', '\t'].contains(c) || is_sign || second
        });
        let (number, after) = rest.split_at(end.map_or(rest.len(), |(at, _)| at));
        rest = after;
        number.parse().ok()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_move_and_steps_stay() {
        assert_eq!(
            shifted("M5 35L12 19H37Z", (10.0, 100.0)),
            "M15 135L22 119H47Z"
        );
        assert_eq!(shifted("M0 -8l7 12h-14z", (3.0, 4.0)), "M3 -4l7 12h-14z");
        assert_eq!(shifted("m1 2 3 4", (10.0, 10.0)), "m11 12 3 4");
        assert_eq!(shifted("M1 2m3 4", (10.0, 10.0)), "M11 12m3 4");
        assert_eq!(shifted("M0 -5H-5V5H0Z", (1.0, 2.0)), "M1 -3H-4V7H1Z");
    }

    #[test]
    fn an_arc_keeps_its_radii_and_flags() {
        assert_eq!(
            shifted("M12 9A3 3 0 1 1 6 9", (1.0, 1.0)),
            "M13 10A3 3 0 1 1 7 10"
        );
    }

    #[test]
    fn lengths_grow_and_flags_stay() {
        let d = "M5 35l2-4A3 3 30 1 0 6 9h7";
        assert_eq!(
            placed(d, 2.0, (1.0, 0.0)),
            "M11 70l4 -8A6 6 30 1 0 13 18h14"
        );
        assert_eq!(
            placed("a1 2 45 0 1 3 4", 0.5, (0.0, 0.0)),
            "a0.5 1 45 0 1 1.5 2"
        );
    }

    #[test]
    fn numbers_may_stand_close() {
        assert_eq!(
            shifted("M8.7 25.7L-.5.5-1e1,2", (0.0, 0.0)),
            "M8.7 25.7L-0.5 0.5 -10 2"
        );
    }

    #[test]
    fn what_is_no_path_does_not_stop_it() {
        assert_eq!(shifted("", (1.0, 1.0)), "");
        assert_eq!(shifted("é12", (1.0, 1.0)), "");
        assert_eq!(shifted("M1 é", (1.0, 1.0)), "M2");
    }

    #[test]
    fn every_symbol_comes_back_from_where_it_was_moved() {
        for kind in &crate::book::built_in("outpost").unwrap().types {
            for stroke in crate::sheet::symbol::paths(&kind.symbol, Some(true)) {
                let there = shifted(&stroke.d, (40.0, -16.0));
                assert_ne!(there, stroke.d, "{}", kind.symbol);
                let back = shifted(&there, (-40.0, 16.0));
                assert_eq!(back, shifted(&stroke.d, (0.0, 0.0)), "{}", kind.symbol);
            }
        }
    }
}
