//! A whole day in lanes, as it is printed.

use super::board::capital;
use super::frame::{Drawing, Frame, Ground};
use super::legend::signs;
use super::markup::{Ink, attribute, leaves};
use super::pen::Area;
use super::settings::{LeftOut, Picture, PictureError, Size};
use crate::plan::Plan;
use crate::run::{Record, run};
use crate::sheet::chart::{WIDE, lanes};
use crate::sheet::day_picture::{ACROSS, DayPicture, Strip, below_each_other};

/// The largest scale of a day.
const MOST_SCALE: f64 = 1.3;
/// From this scale on words can be read: the small ones are 16 high.
const WORDS: f64 = 0.6;

/// At this scale they are read with ease, on a page.
const READ: f64 = 0.8;
/// The most height of all lanes, on a page.
const LONGEST: f64 = 12_000.0;

/// The run of a plan up to the end of a day, counted from 0.
pub(super) fn record(plan: &Plan, day: u64) -> Record {
    run(plan, day.saturating_add(1))
}

/// Lanes as they are laid out.
struct Laid {
    markup: String,
    area: Area,
    scale: f64,
    stretch: f64,
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
    let whole = (0.0, 0.0, ACROSS, tall(&strips));
    let laid = match picture.size {
        Size::Thumbnail if frame.scale(whole, MOST_SCALE) < WORDS => small(strips, frame),
        _ => at_length(strips, frame),
    };
    let line = format!("day {}", picture.day + 1);
    Ok(Drawing {
        signs: signs(&laid.markup, &plan.book.book.unit),
        markup: laid.markup,
        area: laid.area,
        scale: laid.scale,
        stretch: laid.stretch,
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

fn tall(strips: &[&Strip]) -> f64 {
    strips.iter().map(|strip| strip.high).sum()
}

/// All lanes with their words below each other, for as long as it takes, up to a length that programs can show.
fn at_length(mut strips: Vec<&Strip>, frame: &mut Frame) -> Laid {
    let wide = frame.scale((0.0, 0.0, ACROSS, 1.0), MOST_SCALE);
    let all = (0.0, 0.0, ACROSS, tall(&strips));
    let scale = frame
        .scale(all, MOST_SCALE)
        .max(wide.min(READ * frame.unit()));
    let lanes = |strips: &[&Strip]| strips.iter().filter(|strip| !strip.is_heading).count();
    let has = lanes(&strips);
    while strips.len() > 1 && tall(&strips) > LONGEST * frame.unit() / scale {
        strips.pop();
    }
    while strips.last().is_some_and(|strip| strip.is_heading) {
        strips.pop();
    }
    let missing = has - lanes(&strips);
    if missing > 0 {
        frame.left_out.push(LeftOut::Lanes(missing));
    }
    Laid {
        markup: markup(&strips),
        area: (0.0, 0.0, ACROSS, tall(&strips)),
        scale,
        stretch: 1.0,
    }
}

/// All lanes without words, as wide as there is room.
fn small(mut strips: Vec<&Strip>, frame: &mut Frame) -> Laid {
    frame.left_out.push(LeftOut::WordsOfDay);
    strips.retain(|strip| !strip.is_heading);
    let area = (ACROSS - WIDE - 10.0, 0.0, WIDE + 10.0, tall(&strips));
    let scale = frame.scale(area, MOST_SCALE);
    Laid {
        markup: without_words(&markup(&strips)),
        area,
        scale,
        stretch: frame.room().0 / (area.2 * scale),
    }
}

/// The markup of strips below each other, with the class that the style sheet knows them by.
fn markup(strips: &[&Strip]) -> String {
    let mut ink = Ink::default();
    ink.group(&[("class", &"day-picture lane-plot")], |ink| {
        ink.figures(&below_each_other(strips));
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
