//! A picture as a document: its leaves, its style sheet, and where a shape is once all transforms are applied.

use resvg::usvg::roxmltree::{Document, Node};
use std::collections::BTreeSet;

/// A rule of a style sheet.
pub struct Rule {
    /// The compounds of its selector, from the outermost: element and classes of each.
    compounds: Vec<(String, Vec<String>)>,
    paints: bool,
}

impl Rule {
    /// The classes that it asks for.
    pub fn classes(&self) -> impl Iterator<Item = &str> {
        self.compounds
            .iter()
            .flat_map(|(_, classes)| classes)
            .map(String::as_str)
    }

    fn is_for(&self, node: Node) -> bool {
        let fits = |node: Node, (element, classes): &(String, Vec<String>)| {
            let own: Vec<&str> = node
                .attribute("class")
                .unwrap_or("")
                .split_whitespace()
                .collect();
            (element.is_empty() || node.tag_name().name() == element)
                && classes.iter().all(|class| own.contains(&class.as_str()))
        };
        let mut wanted = self.compounds.iter().rev();
        let Some(last) = wanted.next() else {
            return false;
        };
        let mut around = node.ancestors().skip(1);
        fits(node, last) && wanted.all(|compound| around.any(|outer| fits(outer, compound)))
    }
}

/// The text of a picture's style sheet.
pub fn sheet<'a>(document: &'a Document) -> &'a str {
    let style = document
        .descendants()
        .find(|node| node.has_tag_name("style"));
    style.and_then(|node| node.text()).expect("a style sheet")
}

/// Its rules, but for those of a medium.
pub fn rules(sheet: &str) -> Vec<Rule> {
    let plain = sheet.split("@media").next().unwrap_or("");
    let rules = plain.split('}').filter_map(|rule| rule.split_once('{'));
    rules
        .map(|(selector, body)| Rule {
            compounds: selector
                .split([' ', '>', '\n'])
                .filter(|compound| !compound.is_empty())
                .map(|compound| {
                    let mut names = compound.split('.').map(str::to_string);
                    (names.next().unwrap_or_default(), names.collect())
                })
                .collect(),
            paints: body.contains("fill") || body.contains("stroke:"),
        })
        .collect()
}

/// Whether a rule paints a shape.
pub fn painted(node: Node, rules: &[Rule]) -> bool {
    rules.iter().any(|rule| rule.paints && rule.is_for(node))
}

/// The shapes and texts below a node, in their order.
pub fn leaves<'a>(node: Node<'a, 'a>) -> Vec<Node<'a, 'a>> {
    const SHAPES: [&str; 4] = ["path", "rect", "circle", "text"];
    let all = node.descendants();
    all.filter(|node| SHAPES.contains(&node.tag_name().name()))
        .collect()
}

/// All values of an attribute.
pub fn ids(document: &Document, name: &str) -> BTreeSet<String> {
    let all = document.descendants();
    all.filter_map(|node| node.attribute(name).map(str::to_string))
        .collect()
}

pub fn number(node: Node, name: &str) -> f64 {
    node.attribute(name)
        .and_then(|value| value.parse().ok())
        .unwrap_or(0.0)
}

/// Where a place near a shape's own is in the picture.
pub fn place(node: Node, (dx, dy): (f64, f64)) -> (f64, f64) {
    let (mut x, mut y) = (number(node, "x") + dx, number(node, "y") + dy);
    for outer in node.ancestors().skip(1) {
        let Some(transform) = outer.attribute("transform") else {
            continue;
        };
        let of = |name: &str| -> Vec<f64> {
            let inner = transform
                .split_once(&format!("{name}("))
                .map_or("", |(_, after)| after);
            let inner = inner.split(')').next().unwrap_or("");
            inner
                .split_whitespace()
                .filter_map(|n| n.parse().ok())
                .collect()
        };
        if let [sx, sy] = of("scale")[..] {
            (x, y) = (x * sx, y * sy);
        }
        if let [tx, ty] = of("translate")[..] {
            (x, y) = (x + tx, y + ty);
        }
    }
    (x, y)
}
