//! What the plan does, in plain words, as a sheet to be read: two columns of passages under headings.

use super::frame::{Drawing, Frame, Ground};
use super::markup::Ink;
use super::pen::text;
use super::settings::{LeftOut, Picture, PictureError, Size};
use super::words::lines;
use crate::explain::{SaidExplanation, SaidPassage, explain};
use crate::plan::Plan;

/// The sheet's width in pixels of its own, of which a page's picture has one each.
const ACROSS: f64 = 1504.0;
/// What is free between the columns.
const BETWEEN: f64 = 40.0;
/// The size of the text, and how far its lines are apart.
const TEXT: f64 = 16.0;
const LINE: f64 = 22.0;
/// What is free above a heading, and between passages.
const ABOVE: f64 = 18.0;
const APART: f64 = 6.0;
/// The most height of a column on a page: programs show no picture that is much longer.
const LONGEST: f64 = 12_000.0;
/// Where a small picture has room for so much only, at the size of its words.
const SMALL: (f64, f64) = (640.0, 300.0);

/// The passages under one heading.
struct Section {
    heading: &'static str,
    passages: Vec<String>,
}

/// One column under way.
struct Column {
    left: f64,
    width: f64,
    longest: f64,
    down: f64,
    /// How many passages had no room.
    missing: usize,
}

/// The drawing of the explanation.
pub(super) fn draw(
    plan: &Plan,
    picture: &Picture,
    frame: &mut Frame,
) -> Result<Drawing, PictureError> {
    if plan.parts.is_empty() {
        return Err(PictureError::EmptyBoard);
    }
    let said = SaidExplanation::of(plan, &explain(plan));
    let heading = said.heading.text();
    let (columns, across, longest) = match picture.size {
        Size::Thumbnail => (one_column(said), SMALL.0, SMALL.1),
        _ => (two_columns(said), ACROSS, LONGEST),
    };
    let mut ink = Ink::default();
    let count = columns.len() as f64;
    let width = (across - BETWEEN * (count - 1.0)) / count;
    let (mut high, mut missing) = (0.0_f64, 0);
    for (at, sections) in columns.into_iter().enumerate() {
        let mut column = Column {
            left: at as f64 * (width + BETWEEN),
            width,
            longest,
            down: 0.0,
            missing: 0,
        };
        for section in sections {
            column.put(&mut ink, &section);
        }
        high = high.max(column.down);
        missing += column.missing;
    }
    if missing > 0 {
        frame.left_out.push(LeftOut::Passages(missing));
    }
    let area = (0.0, 0.0, across, high.max(LINE));
    let scale = match picture.size {
        Size::Thumbnail => frame.scale(area, 1.0),
        // As wide as there is room, and as high as it takes.
        _ => frame.room().0 / across,
    };
    Ok(Drawing {
        markup: ink.finish(),
        area,
        scale,
        stretch: 1.0,
        far: 1.0,
        ground: Ground::Plain,
        describes: "What the plan does, in plain words.".into(),
        line: heading,
        signs: Vec::new(),
        corner: None,
    })
}

fn section(heading: &'static str, said: &[SaidPassage]) -> Section {
    let passages = said.iter().map(|passage| unbroken(&passage.says.text()));
    Section {
        heading,
        passages: passages.collect(),
    }
}

/// The text with its amounts kept in one piece: no line ends between a number and its unit.
fn unbroken(text: &str) -> String {
    let mut kept = String::new();
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        let after_digit = kept.ends_with(|last: char| last.is_ascii_digit());
        let before_unit = chars.peek().is_some_and(|c| c.is_alphabetic() || *c == '%');
        kept.push(match c {
            ' ' if after_digit && before_unit => '\u{a0}',
            c => c,
        });
    }
    kept
}

/// As on the page: what to watch out for, groups and days beside the parts.
fn two_columns(said: SaidExplanation) -> Vec<Vec<Section>> {
    let day: Vec<SaidPassage> = said.day.into_iter().map(|(_, passage)| passage).collect();
    let first = vec![
        section("Watch out", &said.watch),
        section("Groups", &said.groups),
        section("The day", &day),
        section("On a dull day", &said.dull),
    ];
    vec![first, vec![section("Parts", &said.parts)]]
}

/// All of it below each other, of which a small picture has the beginning.
fn one_column(said: SaidExplanation) -> Vec<Vec<Section>> {
    vec![two_columns(said).into_iter().flatten().collect()]
}

impl Column {
    fn put(&mut self, ink: &mut Ink, section: &Section) {
        if section.passages.is_empty() {
            return;
        }
        if self.down > 0.0 {
            self.down += ABOVE;
        }
        if self.down + 2.0 * LINE > self.longest {
            self.missing += section.passages.len();
            return;
        }
        self.down += LINE;
        let at = (self.left, self.down - 6.0);
        text(ink, "pic-heading", at, section.heading);
        for passage in &section.passages {
            let (lines, _) = lines(passage, self.width / TEXT, usize::MAX);
            let high = lines.len() as f64 * LINE + APART;
            if self.missing > 0 || self.down + high > self.longest {
                self.missing += 1;
                continue;
            }
            for line in lines {
                self.down += LINE;
                text(ink, "pic-said", (self.left, self.down - 6.0), &line);
            }
            self.down += APART;
        }
    }
}
