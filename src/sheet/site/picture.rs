//! A whole storey as one picture, for paper: the building, the runs, the parts with their names.

use super::parts::{draw as draw_part, hung};
use super::places::{CELL, site_rect};
use super::runs::{draw as draw_runs, runs};
use super::{Underlay, storey};
use crate::plan::Plan;
use crate::sheet::figure::{Figure, Shapes};
use crate::works::OnSite;

/// A storey as markup of an SVG of its own. It has the classes of the site, and so needs its style sheet.
pub fn picture(plan: &Plan, on_site: &OnSite, at: u8) -> Option<String> {
    let site = plan.site.as_deref()?;
    let mut shapes: Shapes = storey(site, at, Underlay::None);
    draw_runs(&mut shapes, &runs(plan, on_site, at), &|_| false);
    for part in hung(plan, at) {
        draw_part(&mut shapes, plan, &part, None, "");
    }
    let (x, y, w, h) = site_rect(site);
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
