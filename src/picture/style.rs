//! The style sheet that a picture carries: literal colours and lengths, simple selectors, only rules for what is in it.
//!
//! Its rules are those of the page's own style sheets under `style/`, read here and worked out for one theme and one scale,
//! so that a picture never looks otherwise than the board it is of. A table of our own would be shorter, but it would have to
//! follow every change of the look by hand; a reader of rules follows by itself, and what it fails to follow a test names:
//! every shape in a picture must be painted by a rule, and no rule for one may be left out. What a picture has of its own
//! (title, legend, plaques on a transparent ground) is in `style/picture.css`.

use super::css::{self, Rule};
use super::settings::Theme;
use super::value::{Shade, resolved};
use crate::sheet::figure::Px;
use std::collections::{BTreeMap, BTreeSet};

/// The style sheets whose rules a picture takes, the later ones over the earlier.
const SHEETS: [&str; 5] = [
    include_str!("../../style/main.css"),
    include_str!("../../style/board.css"),
    include_str!("../../style/site.css"),
    include_str!("../../style/day.css"),
    include_str!("../../style/picture.css"),
];

/// Where colours and sizes are named.
const TOKENS: &str = include_str!("../../style/tokens.css");

/// The declarations that paint; all others are for a page.
const PAINTS: [&str; 20] = [
    "color",
    "display",
    "dominant-baseline",
    "fill",
    "fill-opacity",
    "font-family",
    "font-size",
    "font-variant-numeric",
    "font-weight",
    "opacity",
    "paint-order",
    "shape-rendering",
    "stroke",
    "stroke-dasharray",
    "stroke-linecap",
    "stroke-linejoin",
    "stroke-opacity",
    "stroke-width",
    "text-anchor",
    "text-rendering",
];

/// The elements of a picture that a rule may ask for.
const ELEMENTS: [&str; 7] = ["svg", "g", "text", "path", "rect", "circle", "line"];

/// What fonts a picture asks for: the page's own where it is there, else what the system has for such text.
const FONTS: &str = "\"Public Sans\", \"Helvetica Neue\", Helvetica, Arial, \"Liberation Sans\", \"Noto Sans\", sans-serif";

/// The class of a sign in the legend.
const SIGN: &str = "pic-sign";

/// For what a style sheet is made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Look {
    /// The theme.
    pub theme: Theme,
    /// How much larger words and lines of cards and wires are than at life size.
    pub far: f64,
    /// How large words of the picture's own are.
    pub unit: f64,
}

/// The style sheet for a picture in which these classes stand.
pub(super) fn sheet(look: Look, classes: &BTreeSet<&str>) -> String {
    let mut text = String::new();
    for rule in worked_out(look, classes) {
        let declarations = rule.declarations.iter();
        let declarations: Vec<String> = declarations.map(|(n, v)| format!("{n}:{v}")).collect();
        text += &format!("{}{{{}}}\n", rule.selector, declarations.join(";"));
    }
    text
}

/// The rules for these classes, with nothing left to be worked out.
fn worked_out(look: Look, classes: &BTreeSet<&str>) -> Vec<Rule> {
    let mut variables = variables(look);
    let shade = look.theme.shade();
    let mut found: Vec<Rule> = Vec::new();
    for rule in SHEETS.iter().flat_map(|sheet| css::rules(sheet)) {
        if !is_for(&rule.selector, classes) {
            continue;
        }
        for (selector, far) in [
            (rule.selector.clone(), look.far),
            // Signs in the legend are as at life size, however far the board is.
            (format!(".{SIGN} {}", rule.selector), 1.0),
        ] {
            let is_sign = selector != rule.selector;
            if is_sign && (look.far == 1.0 || !classes.contains(SIGN)) {
                continue;
            }
            variables.insert("--far".into(), Px(far).to_string());
            let declarations = rule.declarations.iter();
            let declarations: Vec<(String, String)> = declarations
                .filter(|(name, _)| PAINTS.contains(&name.as_str()))
                .filter(|(_, value)| !is_sign || value.contains("--far"))
                .filter_map(|(name, value)| {
                    let value = resolved(value, &variables, shade)?;
                    Some((name.clone(), known_to_all(name, &value)))
                })
                .collect();
            if !declarations.is_empty() {
                found.push(Rule {
                    selector,
                    declarations,
                });
            }
        }
    }
    found
}

/// The value as every reader of SVG knows it: a word as it is written there, weights of text in hundreds.
fn known_to_all(name: &str, value: &str) -> String {
    match (name, value.parse::<f64>()) {
        ("font-weight", Ok(weight)) => Px((weight / 100.0).round() * 100.0).to_string(),
        _ => value.replace("currentcolor", "currentColor"),
    }
}

/// Whether a rule asks for nothing but what is there.
fn is_for(selector: &str, classes: &BTreeSet<&str>) -> bool {
    let (wanted, elements) = css::names(selector);
    !wanted.is_empty()
        && wanted.iter().all(|class| classes.contains(class))
        && elements.iter().all(|element| ELEMENTS.contains(element))
}

/// All that rules may name: the page's tokens, and what a page sets by its scale.
fn variables(look: Look) -> BTreeMap<String, String> {
    let mut all = BTreeMap::new();
    // What the root has in any theme: a theme's own rules ask for an attribute, and a medium's stand in an `@` rule.
    for rule in css::rules(&TOKENS.replace(":root {", ".root {")) {
        all.extend(rule.declarations);
    }
    all.insert("--far".into(), Px(look.far).to_string());
    all.insert("--unit".into(), Px(look.unit).to_string());
    all.insert("--zoom".into(), "1".into());
    all.insert("--font".into(), FONTS.into());
    all
}

/// What a colour of the tokens is in a theme.
pub(super) fn colour(theme: Theme, name: &str) -> Option<String> {
    let look = Look {
        theme,
        far: 1.0,
        unit: 1.0,
    };
    resolved(&format!("var({name})"), &variables(look), theme.shade())
}

impl Theme {
    fn shade(self) -> Shade {
        match self {
            Theme::Light | Theme::ClearDarkInk => Shade::Light,
            Theme::Dark | Theme::ClearLightInk => Shade::Dark,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LIGHT: Look = Look {
        theme: Theme::Light,
        far: 2.0,
        unit: 1.0,
    };

    #[test]
    fn a_rule_has_the_colours_of_the_theme_and_the_lengths_of_the_scale() {
        let classes = ["card", "ground", "runs", "state"].into();
        let light = sheet(LIGHT, &classes);
        let ground = ".card .ground{fill:#fffdf7;stroke:#857c68;stroke-width:2px}";
        assert!(light.contains(ground), "{light}");
        assert!(light.contains(".card .state{fill:#4b5560;font-size:24px}"));
        assert!(!light.contains("hover") && !light.contains(".wire"));
        let with_legend = sheet(LIGHT, &["card", "ground", "pic-sign"].into());
        assert!(
            with_legend.contains(".pic-sign .card .ground{stroke-width:1px}"),
            "{with_legend}"
        );
        let dark = Look {
            theme: Theme::Dark,
            ..LIGHT
        };
        assert!(sheet(dark, &classes).contains(".card .ground{fill:#1f2b37;"));
        assert_eq!(colour(Theme::Dark, "--paper").as_deref(), Some("#17212b"));
        assert_eq!(colour(Theme::Light, "--none"), None);
    }

    #[test]
    fn every_value_that_a_rule_for_a_drawing_has_can_be_worked_out() {
        // Every class of the drawings, whichever picture has it.
        let all: Vec<Rule> = SHEETS.iter().flat_map(|sheet| css::rules(sheet)).collect();
        let named = all.iter().flat_map(|rule| css::names(&rule.selector).0);
        let drawn = [
            "card",
            "wire",
            "site-",
            "day-picture",
            "lane-plot",
            "band-",
            "symbol",
            "gauge",
            "port",
            "chevron",
            "pic-",
        ];
        let classes: BTreeSet<&str> = named.collect();
        let variables = variables(LIGHT);
        let mut seen = 0;
        for rule in all.iter().filter(|rule| is_for(&rule.selector, &classes)) {
            let (wanted, _) = css::names(&rule.selector);
            if !wanted
                .iter()
                .any(|c| drawn.iter().any(|d| c.starts_with(d)))
            {
                continue;
            }
            for (name, value) in &rule.declarations {
                let is_length_of_page = value.ends_with("rem") || value.contains("var(--small)");
                if PAINTS.contains(&name.as_str()) && !is_length_of_page {
                    let found = resolved(value, &variables, Shade::Dark);
                    let found =
                        found.unwrap_or_else(|| panic!("{} {name}: {value}", rule.selector));
                    assert!(
                        !found.contains("calc("),
                        "{} {name}: {found}",
                        rule.selector
                    );
                    seen += 1;
                }
            }
        }
        assert!(seen > 150, "{seen}");
    }
}
