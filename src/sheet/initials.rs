//! Initials in a frame, for part types that have no drawing: letters and digits as strokes, in a symbol's box of 40 by 40.
//!
//! The letters are our own, on a grid 4 wide and 6 high. Only A to Z and digits are drawn; what has none of them is an empty
//! frame.

use std::fmt::Write;

/// How many letters stand in a frame at most.
const MOST: usize = 3;
/// The frame.
const FRAME: &str = "M4 4H36V36H4Z";
/// Where letters stand: left and right edge, top, and height.
const LEFT: f64 = 8.0;
const RIGHT: f64 = 32.0;
const TOP: f64 = 13.0;
const HIGH: f64 = 14.0;
/// The room between two letters, and the widest that one is.
const GAP: f64 = 4.0;
const WIDEST: f64 = 9.0;

/// Each letter's lines: points as column and row, a space between two lines.
const LETTERS: &[(char, &str)] = &[
    ('A', "0602204246 0444"),
    ('B', "06003041423303 3344453606"),
    ('C', "4130100105163645"),
    ('D', "06002042442606"),
    ('E', "40000646 0333"),
    ('F', "400006 0333"),
    ('G', "41301001051636454323"),
    ('H', "0006 4046 0343"),
    ('I', "2026 1030 1636"),
    ('J', "4045361605"),
    ('K', "0006 400346"),
    ('L', "000646"),
    ('M', "0600234046"),
    ('N', "06004640"),
    ('O', "103041453616050110"),
    ('P', "06003041423303"),
    ('Q', "103041453616050110 2446"),
    ('R', "06003041423303 2346"),
    ('S', "413010010213334445361605"),
    ('T', "0040 2026"),
    ('U', "000516364540"),
    ('V', "002640"),
    ('W', "0016233640"),
    ('X', "0046 4006"),
    ('Y', "002340 2326"),
    ('Z', "00400646"),
    ('0', "103041453616050110 1531"),
    ('1', "112026 1636"),
    ('2', "01103041420646"),
    ('3', "01103041423313 334445361605"),
    ('4', "36300444"),
    ('5', "400003334445361605"),
    ('6', "3010010516364544331304"),
    ('7', "004016"),
    ('8', "13020110304142331304051636454433"),
    ('9', "1636454130100102133342"),
];

/// The initials of a name: the first letter of each of its first words, of a single word its first two.
pub fn of(name: &str) -> String {
    let is_ours = |c: &char| c.is_ascii_alphanumeric();
    let words = name.split(|c: char| !c.is_alphanumeric());
    let words: Vec<Vec<char>> = words
        .map(|word| word.chars().filter(is_ours).collect())
        .filter(|word: &Vec<char>| !word.is_empty())
        .collect();
    let letters: String = match words.as_slice() {
        [word] => word.iter().take(2).collect(),
        words => words.iter().take(MOST).map(|word| word[0]).collect(),
    };
    letters.to_ascii_uppercase()
}

/// The frame with these letters, as path data of lines.
pub fn path(letters: &str) -> String {
    let lines = |c: char| {
        LETTERS
            .iter()
            .find(|(l, _)| *l == c)
            .map(|(_, lines)| *lines)
    };
    let drawn: Vec<&str> = letters.chars().filter_map(lines).take(MOST).collect();
    let mut path = FRAME.to_string();
    let gaps = GAP * drawn.len().saturating_sub(1) as f64;
    let wide = ((RIGHT - LEFT - gaps) / drawn.len().max(1) as f64).min(WIDEST);
    let all = wide * drawn.len() as f64 + gaps;
    let mut left = (LEFT + RIGHT - all) / 2.0;
    for letter in drawn {
        for line in letter.split(' ') {
            for (at, point) in line.as_bytes().chunks_exact(2).enumerate() {
                let [column, row] = [point[0], point[1]].map(|digit| f64::from(digit - b'0'));
                let x = round(left + wide * column / 4.0);
                let y = round(TOP + HIGH * row / 6.0);
                let _ = write!(path, "{}{x} {y}", if at == 0 { 'M' } else { 'L' });
            }
        }
        left += wide + GAP;
    }
    path
}

fn round(x: f64) -> f64 {
    (x * 10.0).round() / 10.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_s_initials_are_those_of_its_words() {
        for (name, initials) in [
            ("deck-lamp", "DL"),
            ("Winch", "WI"),
            ("Tide mill of the north pier", "TMO"),
            ("12 V pump", "1VP"),
            ("é", ""),
            ("", ""),
        ] {
            assert_eq!(of(name), initials);
        }
    }

    #[test]
    fn every_letter_and_digit_is_drawn_within_its_grid_and_no_two_are_alike() {
        let mut seen = std::collections::BTreeSet::new();
        for c in ('A'..='Z').chain('0'..='9') {
            let (_, lines) = LETTERS.iter().find(|(l, _)| *l == c).expect("a letter");
            for line in lines.split(' ') {
                assert!(line.len() >= 4 && line.len() % 2 == 0, "{c}");
                for point in line.as_bytes().chunks(2) {
                    assert!((b'0'..=b'4').contains(&point[0]), "{c}");
                    assert!((b'0'..=b'6').contains(&point[1]), "{c}");
                }
            }
            assert!(seen.insert(path(&c.to_string())), "{c}");
        }
    }

    #[test]
    fn letters_stand_in_the_middle_of_their_frame() {
        assert_eq!(path(""), FRAME);
        assert_eq!(path("L"), format!("{FRAME}M15.5 13L15.5 27L24.5 27"));
        assert_eq!(
            path("LL"),
            format!("{FRAME}M9 13L9 27L18 27M22 13L22 27L31 27")
        );
        assert_eq!(path("LLLL"), path("LLL"));
    }
}
