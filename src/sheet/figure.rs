//! What is drawn, as plain data that becomes SVG: elements that keep their identity, and shapes within them that are
//! written anew as a whole.
//!
//! Whoever shows a [`Figure`] compares it with the one before and touches only what differs. Texts and values are escaped
//! as they are written, so that no name in a plan is ever taken as markup. It knows no colours and no style: classes say
//! what something is.

use std::borrow::Cow;
use std::fmt::{self, Display, Write};

/// The value of an attribute.
pub type Value = Cow<'static, str>;

/// Pixels. Whole numbers are written without the search for the shortest fraction, which takes most of the time in which a
/// board is written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Px(pub f64);

impl Display for Px {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let whole = self.0 as i32;
        if f64::from(whole) == self.0 {
            write!(f, "{whole}")
        } else {
            write!(f, "{}", self.0)
        }
    }
}

/// An SVG element.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// Its name.
    pub tag: &'static str,
    /// Its attributes; a name comes once.
    pub attributes: Vec<(&'static str, Value)>,
    /// What is in it.
    pub content: Content,
}

/// What is in an element.
#[derive(Clone, Debug, PartialEq)]
pub enum Content {
    /// Elements that keep their identity from one drawing to the next, by their place.
    Figures(Vec<Figure>),
    /// Shapes that are replaced whole where one of them differs.
    Shapes(Shapes),
}

/// Markup of shapes and texts.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shapes(String);

impl Figure {
    /// An element without attributes and content.
    pub fn new(tag: &'static str) -> Figure {
        Figure {
            tag,
            attributes: Vec::new(),
            content: Content::Figures(Vec::new()),
        }
    }

    /// With this attribute as well.
    pub fn set(mut self, name: &'static str, value: impl Into<Value>) -> Figure {
        self.attributes.push((name, value.into()));
        self
    }

    /// With a number as an attribute.
    pub fn number(self, name: &'static str, value: f64) -> Figure {
        self.set(name, Px(value).to_string())
    }

    /// With these elements in it.
    pub fn holding(mut self, figures: Vec<Figure>) -> Figure {
        self.content = Content::Figures(figures);
        self
    }

    /// With these shapes in it.
    pub fn drawing(mut self, shapes: Shapes) -> Figure {
        self.content = Content::Shapes(shapes);
        self
    }

    /// Writes it as markup.
    pub fn write(&self, to: &mut String) {
        let attributes = self.attributes.iter();
        let attributes = attributes.map(|(name, value)| (*name, value as &dyn Display));
        open(to, self.tag, attributes);
        to.push('>');
        self.content.write(to);
        close(to, self.tag);
    }
}

impl Content {
    /// Writes it as markup.
    pub fn write(&self, to: &mut String) {
        match self {
            Content::Figures(figures) => figures.iter().for_each(|figure| figure.write(to)),
            Content::Shapes(shapes) => to.push_str(&shapes.0),
        }
    }
}

impl Shapes {
    /// Nothing but a text.
    pub fn text(text: &str) -> Shapes {
        let mut shapes = Shapes::default();
        escape(&mut shapes.0, &text);
        shapes
    }

    /// Adds a shape.
    pub fn shape(&mut self, tag: &'static str, attributes: &[(&'static str, &dyn Display)]) {
        open(&mut self.0, tag, attributes.iter().copied());
        self.0.push_str("/>");
    }

    /// Adds a line of text.
    pub fn line(&mut self, attributes: &[(&'static str, &dyn Display)], text: &str) {
        open(&mut self.0, "text", attributes.iter().copied());
        self.0.push('>');
        escape(&mut self.0, &text);
        close(&mut self.0, "text");
    }

    /// Adds a group of what `draw` adds.
    pub fn group(
        &mut self,
        attributes: &[(&'static str, &dyn Display)],
        draw: impl FnOnce(&mut Shapes),
    ) {
        open(&mut self.0, "g", attributes.iter().copied());
        self.0.push('>');
        draw(self);
        close(&mut self.0, "g");
    }
}

fn open<'a>(
    to: &mut String,
    tag: &str,
    attributes: impl Iterator<Item = (&'static str, &'a dyn Display)>,
) {
    to.push('<');
    to.push_str(tag);
    for (name, value) in attributes {
        to.push(' ');
        to.push_str(name);
        to.push_str("=\"");
        escape(to, value);
        to.push('"');
    }
}

fn close(to: &mut String, tag: &str) {
    to.push_str("</");
    to.push_str(tag);
    to.push('>');
}

/// Writes a text so that no sign of it is taken as markup, within an element as within quotes.
fn escape(to: &mut String, text: &dyn Display) {
    struct Escaped<'a>(&'a mut String);
    impl Write for Escaped<'_> {
        fn write_str(&mut self, text: &str) -> fmt::Result {
            for sign in text.chars() {
                match sign {
                    '&' => self.0.push_str("&amp;"),
                    '<' => self.0.push_str("&lt;"),
                    '>' => self.0.push_str("&gt;"),
                    '"' => self.0.push_str("&quot;"),
                    sign => self.0.push(sign),
                }
            }
            Ok(())
        }
    }
    // Writing to a string does not fail.
    let _ = write!(Escaped(to), "{text}");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_is_written_with_all_that_is_in_it() {
        let mut shapes = Shapes::default();
        shapes.shape("rect", &[("class", &"ground"), ("x", &-5), ("width", &1.5)]);
        shapes.group(&[("class", &"symbol")], |symbol| {
            symbol.line(&[("y", &4)], "Gate")
        });
        let figure = Figure::new("g")
            .set("class", "card")
            .number("rx", 3.0)
            .holding(vec![
                Figure::new("g").drawing(shapes),
                Figure::new("path").set("d", "M0 0"),
            ]);
        let mut written = String::new();
        figure.write(&mut written);
        assert_eq!(
            written,
            "<g class=\"card\" rx=\"3\"><g><rect class=\"ground\" x=\"-5\" width=\"1.5\"/>\
             <g class=\"symbol\"><text y=\"4\">Gate</text></g></g><path d=\"M0 0\"></path></g>"
        );
    }

    #[test]
    fn pixels_are_written_as_numbers() {
        for (pixels, written) in [
            (0.0, "0"),
            (-5.0, "-5"),
            (12.5, "12.5"),
            (3e9, "3000000000"),
        ] {
            assert_eq!(Px(pixels).to_string(), written);
        }
    }

    #[test]
    fn a_name_is_never_taken_as_markup() {
        let name = r#""><script>alert('&')</script>"#;
        let mut written = String::new();
        let text = Shapes::text(name);
        let figure = Figure::new("text").set("aria-label", name).drawing(text);
        figure.write(&mut written);
        let escaped = "&quot;&gt;&lt;script&gt;alert('&amp;')&lt;/script&gt;";
        assert_eq!(
            written,
            format!("<text aria-label=\"{escaped}\">{escaped}</text>")
        );
    }
}
