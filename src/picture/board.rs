//! The board at a moment, as the editor draws it.

use super::frame::{Drawing, Frame, Ground};
use super::legend::signs;
use super::markup::Ink;
use super::settings::{LeftOut, Picture, PictureError, Size};
use crate::editor::scene::{Detail, Level, NumberForm, NumberPlace};
use crate::editor::{Change, Editor, Message};
use crate::plan::{Plan, WireId};
use crate::quantity::Ms;
use crate::sheet::words::moment;
use std::collections::BTreeMap;

/// The largest scale of a board: a plan of two parts is not to fill a wall.
pub(super) const MOST_SCALE: f64 = 1.5;

/// From this scale on names can be read at ease; at the other a card is its symbol alone.
const EASE: f64 = 0.6;
const SYMBOLS: f64 = 0.2;

/// An editor that has this plan open and has nothing left to do.
pub(super) fn editor(plan: &Plan, numbers: bool) -> Editor {
    let mut editor = Editor::default();
    editor.apply(Message::NumberCables(numbers));
    editor.apply(Message::Open {
        plan: Box::new(plan.clone()),
        keeps_moment: false,
    });
    settle(&mut editor);
    editor
}

/// Shows a moment; gives all that changed on the way.
pub(super) fn show(editor: &mut Editor, t: Ms) -> Vec<Change> {
    let mut changes = editor.apply(Message::Moment(t));
    if changes.contains(&Change::Work) {
        changes.extend(settle(editor));
    }
    changes
}

fn settle(editor: &mut Editor) -> Vec<Change> {
    let mut all = Vec::new();
    loop {
        let work = Message::Work {
            events: u64::MAX,
            things: usize::MAX,
        };
        let changes = editor.apply(work);
        let goes_on = changes.contains(&Change::Work);
        all.extend(changes);
        if !goes_on {
            return all;
        }
    }
}

/// How near a board of this scale is drawn, so that names can be read.
pub(super) fn detail(size: Size, scale: f64) -> Detail {
    match size {
        // Names that are cut to a few letters tell nothing: a card is its symbol.
        Size::Thumbnail if scale < EASE => Detail::at(SYMBOLS),
        // A wall is looked at from farther away than a page.
        Size::Poster => Detail::at(scale / 1.5),
        _ => Detail::at(scale),
    }
}

/// Notes what can't be read of a board at this detail.
pub(super) fn note(
    frame: &mut Frame,
    plan: &Plan,
    picture: &Picture,
    detail: Detail,
    places: &BTreeMap<WireId, NumberPlace>,
) {
    if picture.size != Size::Thumbnail && detail.level < Level::All {
        frame.left_out.push(LeftOut::Details);
    }
    let has_number = |place: &&NumberPlace| place.form != NumberForm::Carries;
    let without = plan.wires.len() - places.values().filter(has_number).count();
    if without > 0 && has_numbers(picture) && detail.level >= Level::Name {
        frame.left_out.push(LeftOut::Numbers(without));
    }
}

/// Whether wires have the numbers of their cables.
pub(super) fn has_numbers(picture: &Picture) -> bool {
    picture.numbers && picture.size != Size::Thumbnail
}

/// The drawing of the board.
pub(super) fn draw(
    plan: &Plan,
    picture: &Picture,
    frame: &mut Frame,
) -> Result<Drawing, PictureError> {
    let mut editor = editor(plan, has_numbers(picture));
    let day = plan.world.day_ms();
    let t = day.saturating_mul(picture.day).saturating_add(picture.at);
    show(&mut editor, t);
    let area = editor.picture_area().ok_or(PictureError::EmptyBoard)?;
    let scale = frame.scale(area, MOST_SCALE);
    let detail = detail(picture.size, scale);
    let places = editor.number_places(detail, &BTreeMap::new());
    note(frame, plan, picture, detail, &places);
    let mut ink = Ink::default();
    ink.figures(&editor.picture_figures(detail));
    let markup = ink.finish();
    let line = moment(editor.moment(), day);
    Ok(Drawing {
        signs: signs(&markup, &plan.book.book.unit),
        markup,
        area,
        scale,
        stretch: 1.0,
        far: detail.scale(),
        ground: Ground::Squared,
        describes: format!(
            "The board of the plan on {line}: {} and {}.",
            counted(plan.parts.len(), "part"),
            counted(plan.wires.len(), "wire")
        ),
        line: capital(&line),
        corner: None,
    })
}

/// A number of things: `1 part`, `2 parts`.
pub(super) fn counted(n: usize, what: &str) -> String {
    match n {
        1 => format!("1 {what}"),
        n => format!("{n} {what}s"),
    }
}

/// The words with a capital at their beginning.
pub(super) fn capital(said: &str) -> String {
    let mut signs = said.chars();
    let first = signs.next().map(|c| c.to_uppercase().to_string());
    first.unwrap_or_default() + signs.as_str()
}
