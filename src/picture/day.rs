//! A whole day in lanes, as it is printed.

use super::board::capital;
use super::frame::{Drawing, Frame, Ground};
use super::legend::signs;
use super::markup::{Ink, attribute, leaves};
use super::settings::{LeftOut, Picture, PictureError, Size};
use crate::plan::Plan;
use crate::run::{Record, run};
use crate::sheet::chart::{WIDE, lanes};
use crate::sheet::day_picture::{ACROSS, DayPicture, Strip};

/// The largest scale of a day.
const MOST_SCALE: f64 = 1.3;
/// From this scale on words can be read: the small ones are 16 high.
const WORDS: f64 = 0.6;

/// The run of a plan up to the end of a day, counted from 0.
pub(super) fn record(plan: &Plan, day: u64) -> Record {
    run(plan, day.saturating_add(1))
}

/// The drawing of the day.
pub(super) fn draw(
    plan: &Plan,
    picture: &Picture,
    frame: &mut Frame,
) -> Result<Drawing, PictureError> {
    if lanes(plan).is_empty() {
        return Err(PictureError::NoLanes);
    }
    let day = DayPicture::of(plan, &record(plan, picture.day), picture.day);
    let strips: Vec<&Strip> = std::iter::once(&day.head).chain(&day.strips).collect();
    let tall: f64 = strips.iter().map(|strip| strip.high).sum();
    let mut area = (0.0, 0.0, ACROSS, tall);
    let has_words = picture.size != Size::Thumbnail || frame.scale(area, MOST_SCALE) >= WORDS;
    let markup = match has_words {
        true => below_each_other(&strips),
        false => {
            frame.left_out.push(LeftOut::WordsOfDay);
            let shown: Vec<&Strip> = strips.into_iter().filter(|s| !s.is_heading).collect();
            let tall = shown.iter().map(|strip| strip.high).sum();
            area = (ACROSS - WIDE - 10.0, 0.0, WIDE + 10.0, tall);
            without_words(&below_each_other(&shown))
        }
    };
    let scale = frame.scale(area, MOST_SCALE);
    let line = format!("day {}", picture.day + 1);
    Ok(Drawing {
        signs: signs(&markup, &plan.book.book.unit),
        markup,
        area,
        scale,
        stretch: match has_words {
            true => 1.0,
            false => frame.room().0 / (area.2 * scale),
        },
        far: 1.0,
        ground: Ground::Plain,
        describes: format!(
            "{} of the plan's run: the sky, and what each source, battery, load and contact does.",
            capital(&line)
        ),
        line: capital(&line),
        corner: None,
    })
}

fn below_each_other(strips: &[&Strip]) -> String {
    let mut ink = Ink::default();
    ink.group(&[("class", &"day-picture lane-plot")], |ink| {
        let mut y = 0.0;
        for strip in strips {
            let place = format!("translate(0 {y})");
            ink.group(&[("transform", &place)], |ink| {
                let shapes = crate::sheet::figure::Content::Shapes(strip.shapes.clone());
                let mut markup = String::new();
                shapes.write(&mut markup);
                ink.raw(&markup);
            });
            y += strip.high;
        }
    });
    ink.finish()
}

/// The markup without its texts, and without the lines that lead to them.
fn without_words(markup: &str) -> String {
    let mut kept = String::new();
    for leaf in leaves(markup) {
        let is_line = attribute(&leaf.markup, "class") == Some("edge");
        if !is_line && !leaf.markup.starts_with("<text") {
            kept += &leaf.within.concat();
            kept += &leaf.markup;
            kept += &"</g>".repeat(leaf.within.len());
        }
    }
    kept
}
