//! The board over a whole day as a moving picture: an SVG document whose pieces are shown and hidden by SMIL animation at the
//! times of the run's events.
//!
//! Nothing is drawn twice that stays: each look that a card or a wire has at some time of the day is taken apart into pieces,
//! and what all looks share stands still ([`merge`]). Levels are lines from point to point of the record. At any time the
//! picture shows what a picture of the board at that time shows, but that numbers on wires have places with room for the
//! widest of the day. It has bounds: at most [`MOST_TIMES`] times and [`MOST_CHANGES`] changes of a part or wire; what that
//! leaves out is told. Who asks for no motion, or can't see any, sees the day's beginning.

mod clock;
mod merge;
mod smil;
mod things;
mod times;

use super::board::{self, MOST_SCALE, capital, counted};
use super::frame::{Drawing, Frame, Ground};
use super::legend::signs;
use super::markup::Ink;
use super::settings::{LeftOut, Picture, PictureError, Size};
use crate::plan::Plan;
use crate::quantity::{Energy, Ms};
use crate::run::{BatteryRecord, Record};
use crate::sheet::chart::{Window, level_within};
use smil::Film;
use std::collections::BTreeMap;
use things::Things;

/// The most times of a day at which something changes: as many as a film of a minute has pictures.
const MOST_TIMES: Ms = 1800;
/// The most looks that all parts and wires together have over the day.
const MOST_CHANGES: usize = 5000;

/// The drawing of the board in motion.
pub(super) fn draw(
    plan: &Plan,
    picture: &Picture,
    seconds: u32,
    frame: &mut Frame,
) -> Result<Drawing, PictureError> {
    let mut editor = board::editor(plan, board::has_numbers(picture));
    let day = plan.world.day_ms().max(1);
    let from = day.saturating_mul(picture.day);
    let window = Window {
        from,
        to: from.saturating_add(day),
    };
    let film = Film { window, seconds };
    let record = super::day::record(plan, picture.day);
    let band =
        (picture.size != Size::Thumbnail).then(|| clock::sky(plan, &record, picture.day, film));
    frame.put_band(band);
    let area = editor.picture_area().ok_or(PictureError::EmptyBoard)?;
    let scale = frame.scale(area, MOST_SCALE);
    let detail = board::detail(picture.size, scale);
    let times = shown_times(plan, &record, window, frame);
    let mut things = Things::seen(&mut editor, &times, detail);
    let places = editor.number_places(detail, &things.widest());
    board::note(frame, plan, picture, detail, &places);
    things.put_numbers(&places, detail);
    bound(&mut things, frame);
    let mut ink = Ink::default();
    things.draw(&mut ink, film, &times, &levels(plan, &record, window));
    let markup = ink.finish();
    let line = format!("day {}", picture.day + 1);
    Ok(Drawing {
        signs: signs(&markup, &plan.book.book.unit),
        markup,
        area,
        scale,
        stretch: 1.0,
        far: detail.scale(),
        ground: Ground::Squared,
        describes: format!(
            "The board of the plan over {line} in {}, again and again: {} and {}.",
            counted(seconds as usize, "second"),
            counted(plan.parts.len(), "part"),
            counted(plan.wires.len(), "wire")
        ),
        line: capital(&line),
        corner: Some((clock::clock(film), clock::WIDTH)),
    })
}

/// The times that are shown: all at which something changes, where there are not too many.
fn shown_times(plan: &Plan, record: &Record, window: Window, frame: &mut Frame) -> Vec<Ms> {
    if !record.complete && record.end < window.to {
        frame.left_out.push(LeftOut::Stopped(record.end));
    }
    let times = times::changes(plan, record, window);
    if times.len() as Ms <= MOST_TIMES {
        return times;
    }
    let least = (window.to - window.from).div_ceil(MOST_TIMES);
    frame.left_out.push(LeftOut::Between(least));
    times::apart(&times, least)
}

/// Keeps to the bound of changes: amounts go first, then what changes most often stands still.
fn bound(things: &mut Things, frame: &mut Frame) {
    if things.changes() <= MOST_CHANGES {
        return;
    }
    things.leave_out_amounts();
    frame.left_out.push(LeftOut::Amounts);
    let still = things.keep_to(MOST_CHANGES);
    if still > 0 {
        frame.left_out.push(LeftOut::Still(still));
    }
}

/// A battery's level over the day with its capacity.
pub(super) struct Level {
    points: Vec<(Ms, Energy)>,
    capacity: Energy,
}

/// The levels of batteries, by their parts.
fn levels(plan: &Plan, record: &Record, window: Window) -> BTreeMap<String, Level> {
    let of = |(place, battery): (&usize, &BatteryRecord)| {
        let points = level_within(&battery.level, window);
        let level = Level {
            points,
            capacity: times::capacity(plan, *place)?,
        };
        Some((plan.parts.get(*place)?.id.to_string(), level))
    };
    record.batteries.iter().filter_map(of).collect()
}
