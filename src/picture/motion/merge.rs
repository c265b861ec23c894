//! From what a thing looks like one time after the other to one drawing in which each piece is shown and hidden.
//!
//! At any time those pieces that are shown are, in their order, exactly what the thing then looks like. A piece that stays
//! is drawn once.

use crate::picture::markup::Leaf;

/// A piece, and in which of the looks it is seen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Piece {
    /// What is drawn.
    pub leaf: Leaf,
    /// For each look whether it has the piece.
    pub shown: Vec<bool>,
}

/// One drawing for all looks.
pub(super) fn merged(looks: &[Vec<Leaf>]) -> Vec<Piece> {
    let mut pieces: Vec<Piece> = Vec::new();
    for (number, look) in looks.iter().enumerate() {
        // What is drawn of this look stands behind each other; a piece that comes too early for that is drawn once more.
        let mut from = 0;
        for leaf in look {
            let found = pieces[from..].iter().position(|piece| piece.leaf == *leaf);
            let at = match found {
                Some(after) => from + after,
                None => {
                    pieces.insert(
                        from,
                        Piece {
                            leaf: leaf.clone(),
                            shown: vec![false; looks.len()],
                        },
                    );
                    from
                }
            };
            pieces[at].shown[number] = true;
            from = at + 1;
        }
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    fn look(text: &str) -> Vec<Leaf> {
        let leaf = |c: char| Leaf {
            within: Vec::new(),
            markup: c.to_string(),
        };
        text.chars().map(leaf).collect()
    }

    #[test]
    fn at_any_time_what_is_shown_is_what_the_thing_looks_like() {
        for texts in [
            &["abc", "abc"][..],
            &["abc", "axc", "abc"],
            &["ab", "ba", "ab", "aab"],
            &["", "xy", "yx", "x", "zxyz"],
        ] {
            let looks: Vec<Vec<Leaf>> = texts.iter().map(|text| look(text)).collect();
            let pieces = merged(&looks);
            for (number, text) in texts.iter().enumerate() {
                let shown = pieces.iter().filter(|piece| piece.shown[number]);
                let shown: String = shown.map(|piece| piece.leaf.markup.as_str()).collect();
                assert_eq!(shown, *text, "{texts:?}");
            }
        }
        // What stays is drawn once.
        assert_eq!(merged(&[look("abc"), look("axc"), look("abc")]).len(), 4);
    }
}
