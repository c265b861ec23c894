//! The sun's way over a storey, as one sees it from above: the horizon is a circle around the site, the zenith its middle;
//! rise, noon and set with their times, and where each sun panel looks.
//!
//! Places come from the sky exactly; the way between them is drawn in straight pieces.

use super::parts::HungPart;
use super::places::{BOX, Point, built_rect};
use crate::book::Profile;
use crate::plan::{Clock, Plan, Spec};
use crate::quantity::Ms;
use crate::sheet::dome::{RADIUS, place, sun, way};
use crate::sheet::figure::{Px, Shapes};
use crate::sheet::path_data::placed;
use crate::site::{Ground, Site};
use crate::sky::{Aim, Sky};

/// How long the arrow of a panel is that looks at the horizon.
const ARROW: f64 = 26.0;

/// Whether a storey has a roof under the sky, by which the sun's way stands.
pub fn has_roof(site: &Site, storey: u8) -> bool {
    let roof = |(s, x, y): (u8, u8, u8)| {
        s == storey && site.cell(s, x, y).ground == Ground::Roof && site.is_under_the_sky(s, x, y)
    };
    site.cells().any(roof)
}

/// Adds the sun's way of the plan's day.
pub fn draw_way(shapes: &mut Shapes, plan: &Plan, site: &Site) {
    let (x, y, w, h) = built_rect(site);
    let middle = (x + w / 2.0, y + h / 2.0);
    // What is built lies within the horizon.
    let radius = w.hypot(h) / 2.0;
    let scale = radius / RADIUS;
    let sky = plan.world.sky();
    let at = |(x, y): Point| (middle.0 + x * scale, middle.1 + y * scale);
    let circle = format!(
        "M{} {}A{r} {r} 0 1 1 {} {}A{r} {r} 0 1 1 {} {}Z",
        Px(middle.0 + radius),
        Px(middle.1),
        Px(middle.0 - radius),
        Px(middle.1),
        Px(middle.0 + radius),
        Px(middle.1),
        r = Px(radius)
    );
    shapes.shape("path", &[("class", &"site-horizon"), ("d", &circle)]);
    let d = placed(&way(&sky), scale, middle);
    shapes.shape("path", &[("class", &"site-sun-way"), ("d", &d)]);
    for (name, t) in moments(&sky) {
        let Some(place) = sun(&sky, t) else { continue };
        let (x, y) = at(place);
        shapes.shape(
            "circle",
            &[
                ("class", &"site-sun"),
                ("cx", &Px(x)),
                ("cy", &Px(y)),
                ("r", &6),
            ],
        );
        let text = format!("{name} {}", Clock::at(t, plan.world.day_ms()));
        let below = if y < middle.1 { -11.0 } else { 20.0 };
        shapes.line(
            &[
                ("class", &"site-sun-time"),
                ("x", &Px(x)),
                ("y", &Px(y + below)),
            ],
            &text,
        );
    }
}

/// Rise, the sun's highest place, and set; none where it does not turn light or dark.
fn moments(sky: &Sky) -> Vec<(&'static str, Ms)> {
    let (dark_at_first, turns) = sky.dark_changes();
    // Every other turn is to the dark.
    let is_to_dark = |n: usize| n.is_multiple_of(2) != dark_at_first;
    let turns_to = |dark: bool| {
        let mut at = turns.iter().enumerate();
        at.find(|(n, _)| is_to_dark(*n) == dark).map(|(_, t)| *t)
    };
    let (rise, set) = (turns_to(false), turns_to(true));
    let noon = sky.day_ms / 2;
    let set = set.map(|t| t.saturating_sub(1));
    let all = [("rise", rise), ("noon", Some(noon)), ("set", set)];
    all.into_iter()
        .filter_map(|(name, t)| Some((name, t?)))
        .collect()
}

/// Adds where a sun panel looks, as an arrow; one that lies flat looks up, which is a ring.
pub fn draw_aim(shapes: &mut Shapes, plan: &Plan, part: &HungPart) {
    let spec = plan.part(&part.id).and_then(|part| plan.spec(part));
    let Some(Spec::Source {
        profile: Profile::Sun,
        aim,
        ..
    }) = spec
    else {
        return;
    };
    let d = arrow(part.at, aim);
    shapes.shape("path", &[("class", &"site-aim"), ("d", &d)]);
}

fn arrow((x, y): Point, aim: Aim) -> String {
    let (dx, dy) = place(aim.azimuth, 90.0);
    let (dx, dy) = (dx / RADIUS, dy / RADIUS);
    let from = BOX / 2.0 + 2.0;
    let long = ARROW * aim.tilt / 90.0;
    if long < 4.0 {
        let r = Px(from + 3.0);
        return format!(
            "M{} {}a{r} {r} 0 1 1 {} 0a{r} {r} 0 1 1 {} 0Z",
            Px(x + r.0),
            Px(y),
            Px(-2.0 * r.0),
            Px(2.0 * r.0)
        );
    }
    let tip = (x + dx * (from + long), y + dy * (from + long));
    let wing = |side: f64| {
        let (bx, by) = (-dx * 6.0 - side * dy * 4.0, -dy * 6.0 + side * dx * 4.0);
        (tip.0 + bx, tip.1 + by)
    };
    let (a, b) = (wing(1.0), wing(-1.0));
    let round = |n: f64| Px((n * 100.0).round() / 100.0);
    format!(
        "M{} {}L{} {}M{} {}L{} {}L{} {}",
        round(x + dx * from),
        round(y + dy * from),
        round(tip.0),
        round(tip.1),
        round(a.0),
        round(a.1),
        round(tip.0),
        round(tip.1),
        round(b.0),
        round(b.1)
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{examples, read_plan};

    #[test]
    fn the_sun_rises_in_the_light_half_and_noon_lies_between() {
        for (name, text) in examples() {
            let plan = read_plan(text).expect("an example reads");
            let sky = plan.world.sky();
            let named = moments(&sky);
            let names: Vec<_> = named.iter().map(|(name, _)| *name).collect();
            assert_eq!(names, ["rise", "noon", "set"], "{name}");
            for (moment, t) in &named {
                assert!(!sky.is_dark(*t), "{name}: dark at {moment}");
            }
            assert!(
                sky.is_dark(named[0].1 - 1) && sky.is_dark(named[2].1 + 1),
                "{name}"
            );
        }
    }

    #[test]
    fn a_panel_that_looks_south_has_an_arrow_downwards() {
        let aim = |tilt| Aim {
            azimuth: 180.0,
            tilt,
        };
        let d = arrow((100.0, 100.0), aim(90.0));
        assert!(d.starts_with("M100 112L100 138"), "{d}");
        assert!(arrow((100.0, 100.0), aim(0.0)).contains('a'), "flat");
    }
}
