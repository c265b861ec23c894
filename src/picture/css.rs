//! The page's style sheets, read as far as pictures need them: rules with their selectors and declarations.
//!
//! A reader of our own, since what is wanted of a style sheet is little and it is our own: no rule within an `@` rule is
//! taken, no selector that asks for a state, a sibling or an attribute. What it does not understand it leaves out; a test of
//! [`super::style`] holds that nothing a picture needs is left out.

/// One rule for one selector.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Rule {
    /// The selector, without commas and without `:is()`.
    pub selector: String,
    /// Names and values, in their order.
    pub declarations: Vec<(String, String)>,
}

/// The rules of a style sheet that ask for classes and elements alone, in their order.
pub(super) fn rules(sheet: &str) -> Vec<Rule> {
    let sheet = without_comments(sheet);
    let mut rules = Vec::new();
    let mut rest = sheet.as_str();
    while let Some(at) = rest.find('{') {
        let head = rest[..at].trim();
        let body = &rest[at + 1..];
        let end = closing(body);
        if !head.starts_with('@') {
            let declarations = declarations(&body[..end]);
            for selector in selectors(head) {
                rules.push(Rule {
                    selector,
                    declarations: declarations.clone(),
                });
            }
        }
        rest = body.get(end + 1..).unwrap_or("");
    }
    rules
}

fn without_comments(sheet: &str) -> String {
    let mut kept = String::with_capacity(sheet.len());
    let mut rest = sheet;
    while let Some(at) = rest.find("/*") {
        kept.push_str(&rest[..at]);
        rest = rest[at..].split_once("*/").map_or("", |(_, after)| after);
    }
    kept + rest
}

/// Where the brace that is open closes.
fn closing(body: &str) -> usize {
    let mut open = 1;
    for (at, sign) in body.char_indices() {
        open += match sign {
            '{' => 1,
            '}' => -1,
            _ => 0,
        };
        if open == 0 {
            return at;
        }
    }
    body.len()
}

fn declarations(body: &str) -> Vec<(String, String)> {
    let pairs = body.split(';').filter_map(|one| one.split_once(':'));
    let pairs = pairs.map(|(name, value)| (name.trim(), one_line(value)));
    pairs
        .map(|(name, value)| (name.to_string(), value))
        .collect()
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The selectors of a list, each by itself.
fn selectors(head: &str) -> Vec<String> {
    let mut found = Vec::new();
    for selector in at_commas(head) {
        expand(&one_line(selector), &mut found);
    }
    found.retain(|selector| is_plain(selector));
    found
}

/// The pieces between commas that stand in no brackets.
pub(super) fn at_commas(text: &str) -> Vec<&str> {
    let (mut pieces, mut from, mut open) = (Vec::new(), 0, 0);
    for (at, sign) in text.char_indices() {
        match sign {
            '(' => open += 1,
            ')' => open -= 1,
            ',' if open == 0 => {
                pieces.push(&text[from..at]);
                from = at + 1;
            }
            _ => {}
        }
    }
    pieces.push(&text[from..]);
    pieces
}

/// A selector for each that `:is()` offers.
fn expand(selector: &str, found: &mut Vec<String>) {
    let Some((before, after)) = selector.split_once(":is(") else {
        found.push(selector.to_string());
        return;
    };
    let Some((offers, after)) = after.split_once(')') else {
        return;
    };
    for offer in offers.split(',') {
        expand(&format!("{before}{}{after}", offer.trim()), found);
    }
}

/// Whether it asks for nothing but classes, elements and what they stand in.
fn is_plain(selector: &str) -> bool {
    let signs = |c: char| c.is_ascii_alphanumeric() || ['-', '.', ' ', '>'].contains(&c);
    !selector.is_empty() && selector.chars().all(signs)
}

/// The classes that a selector asks for, and the elements.
pub(super) fn names(selector: &str) -> (Vec<&str>, Vec<&str>) {
    let (mut classes, mut elements) = (Vec::new(), Vec::new());
    for compound in selector.split([' ', '>']).filter(|one| !one.is_empty()) {
        let mut pieces = compound.split('.');
        elements.extend(pieces.next().filter(|element| !element.is_empty()));
        classes.extend(pieces);
    }
    (classes, elements)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rules_are_read_one_selector_at_a_time() {
        let sheet = "/* a { b: c } */ .card .state,\n.x:is(.a, .b) text { fill: var(--ink);\n stroke-width: calc(1px *\n 2) }\n\
                     @media print { .card { fill: none } } .card:hover { fill: red } .last { color: blue; }";
        let found = rules(sheet);
        let selectors: Vec<&str> = found.iter().map(|rule| rule.selector.as_str()).collect();
        assert_eq!(
            selectors,
            [".card .state", ".x.a text", ".x.b text", ".last"]
        );
        let width = ("stroke-width".to_string(), "calc(1px * 2)".to_string());
        assert_eq!(found[1].declarations[1], width);
        assert_eq!(names(".x.a > text"), (vec!["x", "a"], vec!["text"]));
    }

    #[test]
    fn a_sheet_that_ends_too_early_is_read_as_far_as_it_goes() {
        for sheet in [
            "",
            "{",
            ".a{",
            ".a{b",
            "/*",
            ".a { b: c",
            "@media { .a {",
            "}",
        ] {
            assert!(rules(sheet).len() <= 1, "{sheet}");
        }
    }
}
