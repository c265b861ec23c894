//! The site at a moment: its storeys beside and below each other, each with its name and the names of what hangs there.

mod names;
mod rows;

use super::board::{capital, counted};
use super::frame::{Drawing, Frame, Ground};
use super::legend::signs;
use super::markup::Ink;
use super::pen::text;
use super::settings::{LeftOut, Picture, PictureError, Size};
use crate::plan::Plan;
use crate::run::{Instant, PartState, at};
use crate::sheet::figure::{Content, Px};
use crate::sheet::site::parts::{self, HungPart};
use crate::sheet::site::places::{CELL, Point, Rect, site_rect, storey_rect};
use crate::sheet::site::rooms::{self, RoomName, room_names};
use crate::sheet::site::runs::{DrawnRun, runs};
use crate::sheet::site::{KeptClear, Underlay, draw_runs, said, storey};
use crate::sheet::words::moment;
use crate::site::{Edge, Site, Surface};
use crate::works::OnSite;
use rows::Rows;

/// The largest scale of a storey.
const MOST_SCALE: f64 = 1.6;
/// The room of a storey's name.
const NAME: f64 = 30.0;
/// What is free around what is in a storey.
const AROUND: f64 = CELL / 4.0;

/// A storey that is drawn.
struct Storey {
    /// Its number.
    at: u8,
    runs: Vec<DrawnRun>,
    hung: Vec<HungPart>,
    rooms: Vec<RoomName>,
    /// What of the site's drawing is to be seen.
    area: Rect,
}

impl Storey {
    fn of(plan: &Plan, site: &Site, on_site: &OnSite, at: u8) -> Storey {
        let (runs, hung) = (runs(plan, on_site, at), parts::hung(plan, at));
        let pieces = runs.iter().flat_map(|run| &run.pieces);
        let places = pieces.flat_map(|piece| piece.points.iter().copied());
        let places: Vec<Point> = places.chain(hung.iter().map(|part| part.at)).collect();
        Storey {
            at,
            area: seen(site, at, storey_rect(site, at, &places)),
            runs,
            hung,
            rooms: room_names(site, at),
        }
    }
}

/// The rectangle with what is free around it; not so far that the site's own edge is a line along it, where no wall stands.
fn seen(site: &Site, at: u8, (x, y, wide, high): Rect) -> Rect {
    let (_, _, site_wide, site_high) = site_rect(site);
    let is_walled = |side: Surface| {
        site.cells().any(|(s, x, y)| {
            let is_last = site.beside(x, y, side).is_none();
            s == at && is_last && site.edge(s, x, y, side) != Edge::Open
        })
    };
    let around = |is_edge: bool, side: Surface| match is_edge && !is_walled(side) {
        true => -2.0,
        false => AROUND,
    };
    let left = around(x <= 0.0, Surface::West);
    let top = around(y <= 0.0, Surface::North);
    let right = around(x + wide >= site_wide, Surface::East);
    let below = around(y + high >= site_high, Surface::South);
    (x - left, y - top, wide + left + right, high + top + below)
}

/// The storeys that a picture shows.
fn asked_for(plan: &Plan, asked: Option<u8>) -> Result<Vec<u8>, PictureError> {
    let site = plan.site.as_deref().ok_or(PictureError::NoSite)?;
    let has = site.storeys.len();
    match asked {
        Some(asked) if usize::from(asked) >= has => Err(PictureError::NoStorey { asked, has }),
        Some(asked) => Ok(vec![asked]),
        None => {
            let all = (0..has).filter_map(|at| u8::try_from(at).ok());
            let hangs = |at: &u8| {
                let mut faces = plan.parts.iter().filter_map(|part| part.hangs);
                faces.any(|face| face.storey == *at)
            };
            let used: Vec<u8> = all.filter(hangs).collect();
            match used.is_empty() {
                true => Err(PictureError::EmptySite),
                false => Ok(used),
            }
        }
    }
}

/// The drawing of the storeys.
pub(super) fn draw(
    plan: &Plan,
    picture: &Picture,
    asked: Option<u8>,
    frame: &mut Frame,
) -> Result<Drawing, PictureError> {
    let numbers = asked_for(plan, asked)?;
    let on_site = OnSite::of(plan).ok_or(PictureError::NoSite)?;
    let site = plan.site.as_deref().ok_or(PictureError::NoSite)?;
    let day = plan.world.day_ms();
    let t = day.saturating_mul(picture.day).saturating_add(picture.at);
    let instant = at(plan, t);
    // The highest first, as one looks at a house.
    let storeys = numbers
        .iter()
        .rev()
        .map(|at| Storey::of(plan, site, &on_site, *at));
    let storeys: Vec<Storey> = storeys.collect();
    let sizes = storeys
        .iter()
        .map(|storey| (storey.area.2, storey.area.3 + NAME));
    let rows = Rows::largest(&sizes.collect::<Vec<_>>(), |area| {
        frame.scale(area, MOST_SCALE)
    });
    let mut ink = Ink::default();
    let mut nameless = 0;
    for (storey, place) in storeys.iter().zip(&rows.places) {
        let name = said::storey(site, storey.at);
        text(
            &mut ink,
            "pic-heading",
            (place.0 + AROUND, place.1 + NAME - 10.0),
            &name,
        );
        let has_names = picture.size != Size::Thumbnail;
        let (markup, without) = drawn(plan, site, &instant, storey, has_names);
        nameless += without;
        let (x, y, wide, high) = storey.area;
        // A picture within the picture is cut at its edges.
        ink.raw(&format!(
            "<svg x=\"{}\" y=\"{}\" width=\"{wide}\" height=\"{high}\" viewBox=\"{x} {y} {wide} {high}\">{markup}</svg>",
            Px(place.0),
            Px(place.1 + NAME)
        ));
    }
    if nameless > 0 {
        frame.left_out.push(LeftOut::Names(nameless));
    }
    let markup = ink.finish();
    let line = moment(t, day);
    Ok(Drawing {
        signs: signs(&markup, &plan.book.book.unit),
        markup,
        area: rows.area,
        scale: frame.scale(rows.area, MOST_SCALE),
        stretch: 1.0,
        far: 1.0,
        ground: Ground::Plain,
        describes: format!(
            "The site of the plan on {line}, {} in plan view, with the parts that hang there and the runs of wires.",
            counted(storeys.len(), "storey")
        ),
        line: format!("The site. {}", capital(&line)),
        corner: None,
    })
}

/// A storey's markup, and how many names have no place in it.
fn drawn(
    plan: &Plan,
    site: &Site,
    instant: &Instant,
    this: &Storey,
    has_names: bool,
) -> (String, usize) {
    let mut shapes = storey(site, this.at, Underlay::None);
    rooms::draw(&mut shapes, &this.rooms);
    let clear = KeptClear::of(&this.hung, &this.rooms, 1.0);
    draw_runs(&mut shapes, &this.runs, clear, &|_| false);
    for part in &this.hung {
        let (conducts, state) = looks(plan, instant, part);
        parts::draw(&mut shapes, plan, part, conducts, state);
    }
    let mut markup = String::new();
    Content::Shapes(shapes).write(&mut markup);
    let markup = names::without(&markup);
    if !has_names {
        return (markup, 0);
    }
    let mut ink = Ink::default();
    ink.raw(&markup);
    let nameless = names::put(&mut ink, plan, this, &markup);
    (ink.finish(), nameless)
}

/// How a part's contact stands, and the class of what a load does.
fn looks(plan: &Plan, instant: &Instant, part: &HungPart) -> (Option<bool>, &'static str) {
    let place = plan.parts.iter().position(|p| p.id == part.id);
    match place.and_then(|place| instant.parts.get(place)) {
        Some(PartState::Contact { conducts, .. }) => (Some(*conducts), ""),
        Some(PartState::Load { runs: true, .. }) => (None, "runs"),
        Some(PartState::Load { offered: 1.., .. }) => (None, "short"),
        _ => (None, ""),
    }
}
