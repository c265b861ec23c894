//! A whole day as a picture, for paper and for files: hours, sky, weather, wind and who is home, then a lane for every part
//! that has one, with names, numbers and times, since nobody can point at paper.
//!
//! It is a list of strips, each an SVG of its own of one width, so that whoever breaks it over pages can repeat the first
//! one and part no lane; [`DayPicture::whole`] puts them below each other. Units of the picture, of which a sheet of paper
//! upright is about [`ACROSS`] wide; across a lane, a day is [`WIDE`] of them. Classes say what something is, as in the day
//! chart. It computes no power.

mod pen;

use pen::{in_lane, in_two, label, number, path, rect, text};

use super::chart::{Group, Lane, Light, Shade, WIDE, Window, area, bars, elevation, lanes, line};
use super::chart::{level_within, shades, steps, ticks, value_at};
use super::figure::{Figure, Px, Shapes};
use super::path_data::shifted;
use super::world;
use crate::plan::{Clock, PartId, Plan, Spec};
use crate::proof::length;
use crate::quantity::{Energy, Ms, Short};
use crate::run::Record;
use std::collections::BTreeMap;

/// Where lanes begin; names stand on their left.
const LEFT: f64 = 250.0;
/// The width of the whole.
pub const ACROSS: f64 = LEFT + WIDE + 10.0;
/// The size of names, of what is said below them, and of times; the distance of two lines.
const NAME: f64 = 19.0;
const SMALL: f64 = 16.0;
const LINE: f64 = 20.0;
/// So many signs of a name fit beside a lane.
const SIGNS: usize = 25;
/// The room that a time takes.
const TIME: f64 = 50.0;
/// At so many moments of a lane a time is written at the most.
const TIMES: usize = 12;
/// The height of a lane of steps or of a level, of one of bars, and of the sky.
const TALL: f64 = 40.0;
const LOW: f64 = 18.0;
const SKY: f64 = 36.0;
/// What is free above and below a lane.
const FREE: f64 = 4.0;

/// One strip of the picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Strip {
    /// What is drawn, from the strip's top left corner.
    pub shapes: Shapes,
    /// Its height.
    pub high: f64,
    /// Whether it is a heading, which is never the last on a page.
    pub is_heading: bool,
}

/// The picture of a day.
#[derive(Clone, Debug, PartialEq)]
pub struct DayPicture {
    /// Hours and sky, which every page has at its head.
    pub head: Strip,
    /// What follows: weather, then group by group a heading and the lanes.
    pub strips: Vec<Strip>,
}

impl DayPicture {
    /// What `record`, a run of `plan`, has of a day, counted from 0. A part that the record does not know has an empty lane.
    pub fn of(plan: &Plan, record: &Record, day: u64) -> DayPicture {
        let long = plan.world.day_ms().max(1);
        let from = long.saturating_mul(day).min(Ms::MAX / 4);
        let window = Window {
            from,
            to: from.saturating_add(long),
        };
        let draw = Draw {
            plan,
            record,
            window,
            shades: shades(&plan.world.sky(), window),
            number: day,
            day: long,
        };
        let mut strips = draw.world();
        let all = lanes(plan);
        for group in Group::ALL {
            let mut own = all.iter().filter(|lane| lane.group == group).peekable();
            if own.peek().is_some() {
                strips.push(heading(group));
                strips.extend(own.map(|lane| draw.lane(lane)));
            }
        }
        DayPicture {
            head: draw.head(),
            strips,
        }
    }

    /// All strips below each other.
    pub fn whole(&self) -> Figure {
        let strips: Vec<&Strip> = [&self.head].into_iter().chain(&self.strips).collect();
        let high = strips.iter().map(|strip| strip.high).sum();
        svg(high).holding(below_each_other(&strips))
    }
}

/// Strips below each other, each moved to its place.
pub fn below_each_other(strips: &[&Strip]) -> Vec<Figure> {
    let mut y = 0.0;
    let place = |strip: &&Strip| {
        let place = Figure::new("g").set("transform", format!("translate(0 {})", Px(y)));
        y += strip.high;
        place.drawing(strip.shapes.clone())
    };
    strips.iter().map(place).collect()
}

impl Strip {
    /// The strip as an SVG of its own.
    pub fn figure(&self) -> Figure {
        svg(self.high).drawing(self.shapes.clone())
    }
}

fn svg(high: f64) -> Figure {
    Figure::new("svg")
        .set("viewBox", format!("0 0 {} {}", Px(ACROSS), Px(high)))
        .set("class", "day-picture lane-plot")
}

/// What strips are drawn from.
struct Draw<'a> {
    plan: &'a Plan,
    record: &'a Record,
    window: Window,
    shades: Vec<Shade>,
    /// The day's number from 0, and its length.
    number: u64,
    day: Ms,
}

impl Draw<'_> {
    /// The hours, and below them the sky with the sun's height.
    fn head(&self) -> Strip {
        let mut shapes = Shapes::default();
        for tick in ticks(self.window, self.day, 12) {
            let x = LEFT + tick.x;
            text(&mut shapes, "tick", (x + 3.0, SMALL), &tick.label);
            path(
                &mut shapes,
                "hour",
                &format!("M{} 2V{}", number(x), LINE + SKY),
            );
        }
        label(&mut shapes, LINE, SKY, &["Sky".into()], "");
        // Without a transform: Chromium forgets those of a table's head when it repeats it on paper.
        for (from, to, light) in &self.shades {
            let (left, right, below) = (LEFT + from, LEFT + to, LINE + SKY);
            let bar = format!(
                "M{} {LINE}H{}V{below}H{}z",
                number(left),
                number(right),
                number(left)
            );
            path(&mut shapes, band(*light), &bar);
        }
        let sun = elevation(&self.plan.world.sky(), self.window, SKY, 400);
        path(&mut shapes, "sun", &shifted(&sun, (LEFT, LINE)));
        Strip {
            shapes,
            high: LINE + SKY + FREE,
            is_heading: false,
        }
    }

    /// Weather, wind and who is home, where the world has them.
    fn world(&self) -> Vec<Strip> {
        let world = &self.plan.world;
        let mut strips = Vec::new();
        let day = usize::try_from(self.number).unwrap_or(0);
        if let Some(count) = (world.weather.len() > 1).then_some(world.weather.len()) {
            let factor = Short(world.weather[day % count]).to_string();
            let said = format!("Weather of this day: factor {factor}.");
            let mut shapes = Shapes::default();
            text(&mut shapes, "name", (0.0, NAME), &said);
            strips.push(Strip {
                shapes,
                high: LINE + FREE,
                is_heading: false,
            });
        }
        let wind = world::wind(world, LOW);
        if !wind.is_empty() {
            strips.push(self.strip(LOW, &["Wind".into()], "", |lane| path(lane, "wind", &wind)));
        }
        let from = self.window.from;
        let home = world::home(world).into_iter();
        let home: Vec<(Ms, Ms)> = home.map(|(a, b)| (from + a, from + b)).collect();
        if !home.is_empty() {
            let mut times: Vec<Ms> = home.iter().flat_map(|(from, to)| [*from, *to]).collect();
            times.dedup();
            let name = ["Somebody is home".into()];
            strips.push(self.timed(&name, "", &times, |lane| {
                path(lane, "conducts", &bars(&home, self.window, 6.0, LOW - 10.0));
            }));
        }
        strips
    }

    /// A part's lane.
    fn lane(&self, lane: &Lane) -> Strip {
        let name = in_two(&lane.name);
        match lane.group {
            Group::Sources => self.source(lane, &name),
            Group::Batteries => self.battery(lane, &name),
            Group::Duties | Group::Loads => self.load(lane, &name),
            Group::Contacts => self.contact(lane, &name),
        }
    }

    fn source(&self, lane: &Lane, name: &[String]) -> Strip {
        let Some(source) = self.entry(&lane.id, |r| &r.sources) else {
            return self.strip(TALL, name, "", |_| ());
        };
        let inside = |all: &[(Ms, u64)]| {
            let later = all.iter().filter(|(t, _)| self.holds(*t));
            let most = later.map(|(_, value)| *value).max().unwrap_or(0);
            most.max(value_at(all, self.window.from))
        };
        let unit = &self.plan.book.book.unit;
        let could = inside(&source.could);
        let said = format!(
            "up to {}, {} taken",
            unit.say_power(could),
            unit.say_power(inside(&source.gives))
        );
        let most = could.max(1) + could.max(1).div_ceil(12);
        self.strip(TALL, name, &said, |lane| {
            path(lane, "spill", &area(&source.could, self.window, most, TALL));
            path(lane, "taken", &area(&source.gives, self.window, most, TALL));
            path(
                lane,
                "could",
                &steps(&source.could, self.window, most, TALL),
            );
        })
    }

    fn battery(&self, lane: &Lane, name: &[String]) -> Strip {
        let spec = self.plan.part(&lane.id).and_then(|p| self.plan.spec(p));
        let Some(Spec::Battery {
            capacity,
            cut_out,
            cut_in,
            ..
        }) = spec
        else {
            return self.strip(TALL, name, "", |_| ());
        };
        let level = self.entry(&lane.id, |r| &r.batteries);
        let level = level.map(|b| b.level.as_slice()).unwrap_or_default();
        let said = self.lowest(level).map_or(String::new(), |(t, lowest)| {
            let lowest = self.plan.book.book.unit.say_energy(lowest);
            format!("lowest {lowest} at {}", Clock::at(t, self.day))
        });
        let y = |of: Energy| number(TALL - of as f64 / capacity.max(1) as f64 * TALL);
        self.strip(TALL, name, &said, |lane| {
            path(lane, "cut-out", &format!("M0 {0}H{WIDE}", y(cut_out)));
            path(lane, "cut-in", &format!("M0 {0}H{WIDE}", y(cut_in)));
            if !level.is_empty() {
                let within = level_within(level, self.window);
                path(lane, "level", &line(&within, self.window, capacity, TALL));
            }
        })
    }

    fn load(&self, lane: &Lane, name: &[String]) -> Strip {
        let load = self.entry(&lane.id, |r| &r.loads);
        let (runs, short) = load.map_or((&[][..], &[][..]), |l| (&l.runs, &l.short));
        let (times, said) = (self.times(&lane.id), self.sum(runs, "runs"));
        self.timed(name, &said, &times, |lane| {
            path(lane, "runs", &bars(runs, self.window, 2.0, LOW - 4.0));
            path(lane, "short", &bars(short, self.window, LOW - 8.0, 6.0));
        })
    }

    fn contact(&self, lane: &Lane, name: &[String]) -> Strip {
        let contact = self.entry(&lane.id, |r| &r.contacts);
        let conducts = contact.map_or(&[][..], |c| &c.conducts);
        let (times, said) = (self.times(&lane.id), self.sum(conducts, "closed"));
        self.timed(name, &said, &times, |lane| {
            path(
                lane,
                "conducts",
                &bars(conducts, self.window, 6.0, LOW - 10.0),
            );
        })
    }

    /// What the record has of a part, whichever place that had when the run was made.
    fn entry<T>(&self, id: &PartId, of: impl Fn(&Record) -> &BTreeMap<usize, T>) -> Option<&T> {
        let place = self.record.ids.iter().position(|own| own == id)?;
        of(self.record).get(&place)
    }

    fn holds(&self, t: Ms) -> bool {
        self.window.from <= t && t < self.window.to
    }

    /// When a level is lowest in the window, and how low.
    fn lowest(&self, level: &[(Ms, Energy)]) -> Option<(Ms, Energy)> {
        let within = level_within(level, self.window);
        within.into_iter().min_by_key(|(t, level)| (*level, *t))
    }

    /// How long all of these stretches take in the window: `runs 13 h 20 min`.
    fn sum(&self, stretches: &[(Ms, Ms)], does: &str) -> String {
        let within = stretches.iter().map(|(from, to)| {
            let (from, to) = ((*from).max(self.window.from), (*to).min(self.window.to));
            to.saturating_sub(from)
        });
        match within.sum::<Ms>() {
            0 => String::new(),
            all if all == self.window.to - self.window.from => format!("{does} all day"),
            all => format!("{does} {}", length(all)),
        }
    }

    /// The moments of a part's events in the window, none where there are too many to be read.
    fn times(&self, id: &PartId) -> Vec<Ms> {
        let Some(place) = self.record.ids.iter().position(|own| own == id) else {
            return Vec::new();
        };
        let events = self.record.events.iter();
        let own = events.filter(|e| e.place() == place && self.holds(e.t));
        let mut times: Vec<Ms> = own.map(|e| e.t).filter(|t| *t > self.window.from).collect();
        times.dedup();
        times
    }

    /// A lane of bars with the times of its events below.
    fn timed(
        &self,
        name: &[String],
        said: &str,
        times: &[Ms],
        draw: impl FnOnce(&mut Shapes),
    ) -> Strip {
        let mut strip = self.strip(LOW + SMALL, name, said, |lane| {
            let foot = LOW - 2.0;
            path(lane, "rest", &format!("M0 {foot}H{WIDE}"));
            draw(lane);
        });
        if times.len() > TIMES {
            return strip;
        }
        let mut free = f64::MIN;
        for t in times.iter().filter(|t| self.holds(**t)) {
            let x = self.window.x(*t);
            // One that would lie on the one before is left out.
            if x < free {
                continue;
            }
            free = x + TIME;
            let at = (LEFT + x.min(WIDE - TIME), FREE + LOW + SMALL - 3.0);
            let said = Clock::at(*t, self.day).to_string();
            text(&mut strip.shapes, "time", at, &said);
        }
        strip
    }

    /// A lane of this height with its name, on the night's ground.
    fn strip(
        &self,
        high: f64,
        name: &[String],
        said: &str,
        draw: impl FnOnce(&mut Shapes),
    ) -> Strip {
        let words = LINE * (name.len() + usize::from(!said.is_empty())) as f64;
        let high = (high + 2.0 * FREE).max(words + FREE);
        let mut shapes = Shapes::default();
        in_lane(&mut shapes, 0.0, |lane| {
            for (from, to, _) in self.shades.iter().filter(|s| s.2 != Light::Day) {
                rect(lane, "dark", *from, to - from, high);
            }
        });
        label(&mut shapes, 0.0, high, name, said);
        in_lane(&mut shapes, FREE, draw);
        let edge = format!("M0 {high}H{ACROSS}");
        path(&mut shapes, "edge", &edge);
        Strip {
            shapes,
            high,
            is_heading: false,
        }
    }
}

/// A group's heading with what its marks mean.
fn heading(group: Group) -> Strip {
    let mut shapes = Shapes::default();
    let base = FREE + NAME;
    text(&mut shapes, "heading", (0.0, base), group.name());
    let mut x = LEFT;
    for (class, means) in group.marks() {
        let mark = match *class {
            "could" | "level" | "cut-out" | "cut-in" => "M0 7H22",
            _ => "M0 1H22V13H0Z",
        };
        let place = format!("translate({} {})", Px(x), Px(base - 13.0));
        shapes.group(&[("transform", &place)], |g| path(g, class, mark));
        text(&mut shapes, "said", (x + 28.0, base), means);
        x += 28.0 + 9.0 * means.chars().count() as f64 + 24.0;
    }
    Strip {
        shapes,
        high: base + 2.0 * FREE,
        is_heading: true,
    }
}

fn band(light: Light) -> &'static str {
    match light {
        Light::Day => "band-day",
        Light::Dusk => "band-dusk",
        Light::Night => "band-night",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{examples, read_plan};
    use crate::run::run;

    fn markup(figure: Figure) -> String {
        let mut text = String::new();
        figure.write(&mut text);
        text
    }

    fn example(title: &str) -> Plan {
        let (_, text) = examples().iter().find(|(t, _)| *t == title).expect(title);
        read_plan(text).expect("an example reads")
    }

    #[test]
    fn the_head_has_no_transform_which_paper_forgets_where_it_is_repeated() {
        for (name, text) in examples() {
            let plan = read_plan(text).expect("an example reads");
            let record = run(&plan, 1);
            let picture = DayPicture::of(&plan, &record, 0);
            let mut markup = String::new();
            picture.head.figure().write(&mut markup);
            assert!(!markup.contains("transform"), "{name}");
        }
    }

    #[test]
    fn every_lane_of_the_plan_is_in_the_picture_whoever_draws_it() {
        for (name, text) in examples() {
            let plan = read_plan(text).expect("an example reads");
            let picture = DayPicture::of(&plan, &run(&plan, 1), 0);
            let whole = markup(picture.whole());
            let strips: String = picture.strips.iter().map(|s| markup(s.figure())).collect();
            for lane in lanes(&plan) {
                for line in in_two(&lane.name) {
                    let said = format!(">{line}</text>");
                    assert!(
                        whole.contains(&said) && strips.contains(&said),
                        "{name}: {line}"
                    );
                }
            }
            for group in Group::ALL {
                let is_there = lanes(&plan).iter().any(|l| l.group == group);
                let said = format!(">{}</text>", group.name());
                assert_eq!(whole.contains(&said), is_there, "{name}: {}", group.name());
            }
            assert!(
                markup(picture.head.figure()).contains(">06:00</text>"),
                "{name}"
            );
            // Strips stand below each other without a gap.
            let high: f64 = picture.strips.iter().map(|s| s.high).sum::<f64>() + picture.head.high;
            assert!(whole.contains(&format!("viewBox=\"0 0 {} {}\"", Px(ACROSS), Px(high))));
            let last = picture.strips.last().expect("it has lanes");
            assert!(!last.is_heading, "no heading without a lane");
        }
    }

    #[test]
    fn what_happens_on_a_day_stands_in_it_with_its_times() {
        let text = r#"{ "format": "duskline/plan", "version": 1, "book": "outpost",
            "world": { "weather": [1, 0.4], "home": [["18:00", "22:00"]] },
            "parts": [{ "id": "p1", "type": "generator" }, { "id": "p2", "type": "lamp", "name": "Stair & landing" },
                      { "id": "p3", "type": "time-switch", "set": { "from": "19:00", "to": "21:30" } }],
            "wires": [{ "id": "w1", "from": "p1.out", "to": "p3.feed" }, { "id": "w2", "from": "p3.out", "to": "p2.in" }] }"#;
        let plan = read_plan(text).expect("a sound plan");
        let record = run(&plan, 2);
        let second = markup(DayPicture::of(&plan, &record, 1).whole());
        for said in [
            "Weather of this day: factor 0.4.",
            "Somebody is home",
            "Stair &amp; landing",
            "runs 2 h 30 min",
            "19:00",
            "21:30",
            "22:00",
        ] {
            assert!(
                second.contains(&format!(">{said}</text>")),
                "{said}: {second}"
            );
        }
        // The bar of the lamp: from 19:00 for two and a half hours of 24.
        assert!(
            second.contains("class=\"runs\" d=\"M791.7 2h104.2v14h-104.2z\""),
            "{second}"
        );
        let first = markup(DayPicture::of(&plan, &record, 0).whole());
        assert!(first.contains("Weather of this day: factor 1."));
        // A day that was not run has nothing in it, and is no fault.
        let later = markup(DayPicture::of(&plan, &record, u64::MAX).whole());
        let runs = |markup: &str| markup.matches("class=\"runs\"").count();
        assert_eq!(
            (runs(&first), runs(&later)),
            (2, 1),
            "a mark says what it means"
        );
    }

    #[test]
    fn the_lowest_level_is_said_as_it_is_also_between_two_points() {
        let plan = example("Dusk lamp");
        let record = run(&plan, 1);
        let battery = record.batteries.values().next().expect("a battery");
        let lowest = battery.level.iter().map(|(_, level)| *level).min();
        let lowest = plan
            .book
            .book
            .unit
            .say_energy(lowest.expect("it has points"));
        let whole = markup(DayPicture::of(&plan, &record, 0).whole());
        assert!(
            whole.contains(&format!(">lowest {lowest} at ")),
            "{lowest}: {whole}"
        );
    }

    #[test]
    fn a_long_name_takes_two_lines_and_is_cut_behind_them() {
        assert_eq!(in_two("Stair lamp"), ["Stair lamp"]);
        let long = "The lamp of the stairs that lead down to the quay behind the house";
        let lines = in_two(long);
        assert_eq!(lines.len(), 2);
        assert!(
            lines.iter().all(|l| l.chars().count() <= SIGNS),
            "{lines:?}"
        );
        assert!(lines[1].ends_with('…'));
        let one = "é".repeat(60);
        assert_eq!(in_two(&one).len(), 1);
    }
}
