//! A whole storey as one picture, for paper: the building, its rooms, the runs, the parts with their names.

use super::parts::{draw as draw_part, hung};
use super::places::{CELL, Point, storey_rect};
use super::rooms::{self, room_names};
use super::runs::runs;
use super::{KeptClear, Underlay, counts, draw_runs, storey};
use crate::plan::Plan;
use crate::sheet::figure::{Figure, Shapes};
use crate::works::OnSite;

/// A storey as markup of an SVG of its own: what is built there, with all that hangs and runs there. It has the classes of the site, and so needs its style sheet.
pub fn picture(plan: &Plan, on_site: &OnSite, at: u8) -> Option<String> {
    let site = plan.site.as_deref()?;
    let mut shapes: Shapes = storey(site, at, Underlay::None);
    let (parts, names) = (hung(plan, at), room_names(site, at));
    rooms::draw(&mut shapes, &names);
    let clear = KeptClear::of(&parts, &names, 1.0);
    let runs = runs(plan, on_site, at);
    let pieces = runs.iter().flat_map(|run| &run.pieces);
    let places = pieces.flat_map(|piece| piece.points.iter().copied());
    let places: Vec<Point> = places.chain(parts.iter().map(|part| part.at)).collect();
    draw_runs(&mut shapes, &runs, clear, &|_| false);
    for part in &parts {
        draw_part(&mut shapes, plan, part, None, "");
    }
    let rect = storey_rect(site, at, &places);
    counts::draw(&mut shapes, rect);
    let (x, y, w, h) = rect;
    let margin = CELL / 4.0;
    let view = format!(
        "{} {} {} {}",
        x - margin,
        y - margin,
        w + 2.0 * margin,
        h + 2.0 * margin
    );
    let mut text = String::new();
    Figure::new("svg")
        .set("class", "site-picture near")
        .set("viewBox", view)
        .drawing(shapes)
        .write(&mut text);
    Some(text)
}
