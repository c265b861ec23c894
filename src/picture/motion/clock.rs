//! The clock of a moving picture: the time in hours and five minutes, and the sky of the day with a plumb line that goes
//! along it.

use super::smil::Film;
use crate::picture::markup::Ink;
use crate::plan::Plan;
use crate::run::Record;
use crate::sheet::chart::WIDE;
use crate::sheet::day_picture::{ACROSS, DayPicture};
use crate::sheet::figure::{Content, Px};

/// The room of the clock.
pub(super) const WIDTH: f64 = 110.0;
/// The height of a line of it.
const LINE: f64 = 38.0;
/// Where hours end and minutes begin.
const MIDDLE: f64 = 55.0;
/// Minutes are told in steps of so many.
const MINUTES: usize = 5;

/// The time of the day: two drums that turn, and the time at the beginning for who wants no motion.
pub(super) fn clock(film: Film) -> String {
    let mut ink = Ink::default();
    let text = |ink: &mut Ink, anchor: &str, x: f64, y: f64, said: &str| {
        ink.shapes(|shapes| {
            shapes.line(
                &[
                    ("class", &"pic-clock"),
                    ("text-anchor", &anchor),
                    ("x", &Px(x)),
                    ("y", &Px(y)),
                ],
                said,
            );
        });
    };
    let drum = |ink: &mut Ink, x: f64, wide: f64, count: usize, times: u32, by: usize| {
        let (anchor, at) = if x == 0.0 {
            ("end", wide - 1.0)
        } else {
            ("start", 1.0)
        };
        ink.raw(&format!(
            "<svg x=\"{}\" y=\"0\" width=\"{}\" height=\"{LINE}\"><g>{}",
            Px(x),
            Px(wide),
            film.drum(LINE, count, times)
        ));
        for n in 0..count {
            let y = LINE * n as f64 + 30.0;
            text(ink, anchor, at, y, &format!("{:02}", n * by));
        }
        ink.raw("</g></svg>");
    };
    ink.group(&[("class", &"moves")], |ink| {
        drum(ink, 0.0, MIDDLE - 5.0, 24, 1, 1);
        drum(
            ink,
            MIDDLE + 5.0,
            WIDTH - MIDDLE - 5.0,
            60 / MINUTES,
            24,
            MINUTES,
        );
        text(ink, "middle", MIDDLE, 29.0, ":");
    });
    ink.group(&[("class", &"still")], |ink| {
        text(ink, "middle", MIDDLE, 30.0, "00:00");
    });
    ink.finish()
}

/// The hours and the sky of the day, as wide as [`ACROSS`], with its height.
pub(super) fn sky(plan: &Plan, record: &Record, day: u64, film: Film) -> (String, f64) {
    let head = DayPicture::of(plan, record, day).head;
    let mut ink = Ink::default();
    ink.group(&[("class", &"day-picture lane-plot")], |ink| {
        let mut markup = String::new();
        Content::Shapes(head.shapes).write(&mut markup);
        ink.raw(&markup);
        ink.group(&[("class", &"moves")], |ink| {
            ink.raw(&film.glide(0.0, WIDE));
            let from = ACROSS - WIDE - 10.0;
            let d = format!("M{} 0v{}", Px(from), Px(head.high));
            ink.shapes(|shapes| shapes.shape("path", &[("class", &"pic-plumb"), ("d", &d)]));
        });
    });
    (ink.finish(), head.high)
}
