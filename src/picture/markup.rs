//! Putting markup together, and taking our own apart again: elements, their classes, and what stands in what.
//!
//! Only markup that [`crate::sheet::figure`] wrote is taken apart: every `<`, `>` and `"` in it that is text is escaped, so that
//! tags are found by these signs alone.

use crate::sheet::figure::{Content, Figure, Shapes};
use std::collections::BTreeSet;
use std::fmt::Display;

/// Markup in the making.
#[derive(Clone, Debug, Default)]
pub(super) struct Ink(String);

impl Ink {
    /// Markup that is finished.
    pub fn raw(&mut self, markup: &str) {
        self.0.push_str(markup);
    }

    /// Figures.
    pub fn figures(&mut self, figures: &[Figure]) {
        figures.iter().for_each(|figure| figure.write(&mut self.0));
    }

    /// Shapes.
    pub fn shapes(&mut self, draw: impl FnOnce(&mut Shapes)) {
        let mut shapes = Shapes::default();
        draw(&mut shapes);
        Content::Shapes(shapes).write(&mut self.0);
    }

    /// A group with these attributes around what `draw` adds.
    pub fn group(
        &mut self,
        attributes: &[(&'static str, &dyn Display)],
        draw: impl FnOnce(&mut Ink),
    ) {
        let mut shapes = Shapes::default();
        shapes.group(attributes, |_| ());
        let mut open = String::new();
        Content::Shapes(shapes).write(&mut open);
        self.0.push_str(open.trim_end_matches("</g>"));
        draw(self);
        self.0.push_str("</g>");
    }

    /// The markup.
    pub fn finish(self) -> String {
        self.0
    }
}

/// A text as markup.
pub(super) fn escaped(text: &str) -> String {
    let mut markup = String::new();
    Content::Shapes(Shapes::text(text)).write(&mut markup);
    markup
}

/// Without the signs that no XML document may have.
pub(super) fn allowed(document: &str) -> String {
    let is_allowed = |c: char| match c {
        '\t' | '\n' | '\r' => true,
        '\u{fffe}' | '\u{ffff}' => false,
        c => c >= ' ',
    };
    let sign = |c: char| if is_allowed(c) { c } else { '\u{fffd}' };
    document.chars().map(sign).collect()
}

/// The tags of markup: what stands between `<` and `>`, with the text after it.
fn tags(markup: &str) -> impl Iterator<Item = (&str, &str)> {
    let pieces = markup.split('<').skip(1);
    pieces.filter_map(|piece| piece.split_once('>'))
}

/// The value of an attribute in a tag.
pub(super) fn attribute<'a>(tag: &'a str, name: &str) -> Option<&'a str> {
    let mut rest = tag;
    loop {
        let (head, after) = rest.split_once("=\"")?;
        let (value, more) = after.split_once('"')?;
        if head.rsplit(' ').next() == Some(name) {
            return Some(value);
        }
        rest = more;
    }
}

/// The classes that stand in markup.
pub(super) fn classes(markup: &str) -> BTreeSet<&str> {
    let named = tags(markup).filter_map(|(tag, _)| attribute(tag, "class"));
    named.flat_map(str::split_whitespace).collect()
}

/// Whether an element has all these classes, and none that stands after a `!`.
pub(super) fn has(markup: &str, wanted: &str) -> bool {
    tags(markup).any(|(tag, _)| {
        let classes = attribute(tag, "class").unwrap_or("");
        let is_there = |class: &str| classes.split(' ').any(|own| own == class);
        wanted
            .split(' ')
            .all(|class| match class.strip_prefix('!') {
                Some(class) => !is_there(class),
                None => is_there(class),
            })
    })
}

/// An element that holds no other, with the groups in which it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Leaf {
    /// The opening tags of the groups, the outermost first.
    pub within: Vec<String>,
    /// The element.
    pub markup: String,
}

/// The leaves of markup in which only groups hold elements, in their order.
pub(super) fn leaves(markup: &str) -> Vec<Leaf> {
    let (mut within, mut found): (Vec<String>, Vec<Leaf>) = (Vec::new(), Vec::new());
    let mut tags = tags(markup);
    while let Some((tag, text)) = tags.next() {
        if tag == "/g" {
            within.pop();
        } else if tag == "g" || tag.starts_with("g ") {
            within.push(format!("<{tag}>"));
        } else {
            let markup = match tag.ends_with('/') {
                true => format!("<{tag}>"),
                // Up to its end tag there is nothing but text.
                false => format!("<{tag}>{text}<{}>", tags.next().map_or("", |(end, _)| end)),
            };
            found.push(Leaf {
                within: within.clone(),
                markup,
            });
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    const MARKUP: &str = "<g class=\"card runs\" data-part=\"a &gt; b\"><g><rect class=\"ground\" x=\"1\"/></g>\
                          <text class=\"name\">Pier &lt;light</text><path d=\"M0 0\"></path></g>";

    #[test]
    fn markup_is_taken_apart() {
        let all: Vec<&str> = ["card", "ground", "name", "runs"].into();
        assert_eq!(classes(MARKUP).into_iter().collect::<Vec<_>>(), all);
        assert!(has(MARKUP, "runs card") && !has(MARKUP, "runs ground"));
        assert!(has(MARKUP, "runs !off") && !has(MARKUP, "card !runs"));
        let found = leaves(MARKUP);
        let texts: Vec<&str> = found.iter().map(|leaf| leaf.markup.as_str()).collect();
        let expected = [
            "<rect class=\"ground\" x=\"1\"/>",
            "<text class=\"name\">Pier &lt;light</text>",
            "<path d=\"M0 0\"></path>",
        ];
        assert_eq!(texts, expected);
        assert_eq!(found[0].within.len(), 2);
        assert_eq!(
            found[1].within,
            ["<g class=\"card runs\" data-part=\"a &gt; b\">"]
        );
    }

    #[test]
    fn signs_that_no_document_may_have_are_replaced() {
        assert_eq!(
            allowed("a\u{0}b\u{b}\tc\u{ffff}é"),
            "a\u{fffd}b\u{fffd}\tc\u{fffd}é"
        );
    }
}
