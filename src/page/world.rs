//! The world's settings: length of the day, sun, air, weather, wind, and when somebody is home.

use super::details::{Choice, Entry, Spans};
use super::store::{Store, use_store};
use super::windows::{WindowKind, use_windows};
use super::world_day::WorldDay;
use crate::limits::{self, Field, Kind};
use crate::plan::Edit;
use crate::plan::{self, Clock, SkyRef, Span};
use crate::quantity::Short;
use crate::sheet::entry;
use crate::sky::Air;
use leptos::prelude::*;
use serde_json::{Value, json};

/// Hours of the dial for which there is wind.
const HOURS: usize = 24;
/// The largest factor of weather or wind.
const FACTOR: f64 = 1000.0;

/// The world's settings.
#[component]
pub fn World(
    /// Whether they are unfolded; kept by whoever stays while something else is chosen.
    unfolded: RwSignal<bool>,
) -> impl IntoView {
    let (store, windows) = (use_store(), use_windows());
    let world = Memo::new(move |_| {
        store.revision();
        store.with_plan(|plan| plan.world.clone())
    });
    let is_arc = Memo::new(move |_| world.with(|w| matches!(w.sky, SkyRef::Arc { .. })));
    let sun = Signal::derive(move || if is_arc.get() { "arc" } else { "place" }.to_string());
    let air = Signal::derive(move || {
        world
            .with(|w| match w.air {
                Air::Clear => "clear",
                Air::None => "none",
            })
            .to_string()
    });
    let home = Memo::new(move |_| {
        let span = |s: &Span| json!([s.from.to_string(), s.to.to_string()]);
        world.with(|w| Value::Array(w.home.iter().map(span).collect()))
    });
    let put_home = move |list: Value| {
        let spans: Option<Vec<Span>> = list
            .as_array()
            .and_then(|l| l.iter().map(Span::read).collect());
        if let Some(spans) = spans {
            change(store, "set who is home when", |w| w.home = spans);
        }
    };
    let suns = vec![
        (
            "place".to_string(),
            "as over a place on a globe".to_string(),
        ),
        ("arc".to_string(), "the world's own arc".to_string()),
    ];
    let airs = vec![
        ("clear".to_string(), "clear air dims a low sun".to_string()),
        ("none".to_string(), "no air".to_string()),
    ];
    view! {
        <section aria-labelledby="details-world">
            <details prop:open=move || unfolded.get() on:toggle=move |ev| {
                let details: web_sys::Element = event_target(&ev);
                unfolded.set(details.has_attribute("open"));
            }>
                <summary id="details-world">"World"<super::worlds::FollowsMark/></summary>
                <super::worlds::FollowsLine/>
                <WorldDay world/>
                <p><button type="button" on:click=move |_| windows.open(WindowKind::Measure)>"Measure this world…"</button></p>
                <Number store world key="day_s" label="Length of the day" unit="s" limits=(0.001, limits::SECONDS)
                    get=|w| Some(w.day_s) set=|w, v| w.day_s = v/>
                <Choice id="world-sun".to_string() label="Sun" options=Signal::stored(suns) value=sun
                    choose=move |word| change(store, "set the sun", |w| w.sky = sky_of(&word, w.sky))/>
                {move || if is_arc.get() {
                    view! { <Arc store world/> }.into_any()
                } else {
                    view! { <Place store world/> }.into_any()
                }}
                <Choice id="world-air".to_string() label="Air" options=Signal::stored(airs) value=air
                    choose=move |word| change(store, "set the air", |w| w.air = if word == "none" { Air::None } else { Air::Clear })/>
                <Factors store world key="weather" label="Weather by day"
                    hint="A factor for each day, such as 1 0.6 0.2; after the last it starts again."
                    get=|w| w.weather.clone() set=set_weather/>
                <Factors store world key="wind" label="Wind by hour"
                    hint="24 factors, one an hour from midnight; or one for all hours; or nothing for no wind."
                    get=|w| shortened(&w.wind) set=set_wind/>
                <Spans id="world-home".to_string() label="Somebody is home" value=home put=put_home/>
            </details>
        </section>
    }
}

fn change(store: Store, says: &str, f: impl FnOnce(&mut plan::World)) {
    let before = store.with_plan(|plan| plan.world.clone());
    let mut after = before.clone();
    f(&mut after);
    if after == before {
        return;
    }
    store.commit(says, vec![Edit::World(Box::new(after))]);
}

/// The sun of another kind, with numbers to start from.
fn sky_of(word: &str, before: SkyRef) -> SkyRef {
    match (word, before, Clock::parse("06:00"), Clock::parse("18:00")) {
        ("arc", SkyRef::Place { .. }, Some(rise), Some(set)) => SkyRef::Arc {
            rise,
            set,
            rise_azimuth: 90.0,
            highest: 60.0,
        },
        ("place", SkyRef::Arc { .. }, ..) => plan::World::default().sky,
        _ => before,
    }
}

/// One number of the world.
#[component]
fn Number(
    store: Store,
    world: Memo<plan::World>,
    key: &'static str,
    label: &'static str,
    unit: &'static str,
    limits: (f64, f64),
    get: fn(&plan::World) -> Option<f64>,
    set: fn(&mut plan::World, f64),
) -> impl IntoView {
    let field = Field {
        key,
        label,
        unit,
        kind: Kind::Decimal(limits.0, limits.1),
        optional: false,
    };
    let value = Signal::derive(move || {
        world.with(|w| get(w).map_or_else(String::new, |v| Short(v).to_string()))
    });
    let read = move |text: String| {
        let number = entry::read(&field, &text)?.as_f64().unwrap_or_default();
        change(store, &format!("set {}", label.to_lowercase()), |w| {
            set(w, number)
        });
        Ok(())
    };
    view! { <Entry id=format!("world-{key}") label unit value read numeric=true/> }
}

/// The sun as over a place.
#[component]
fn Place(store: Store, world: Memo<plan::World>) -> impl IntoView {
    view! {
        <Number store world key="latitude" label="Latitude" unit="° north" limits=(-90.0, 90.0)
            get=|w| match w.sky { SkyRef::Place { latitude, .. } => Some(latitude), SkyRef::Arc { .. } => None }
            set=|w, v| if let SkyRef::Place { latitude, .. } = &mut w.sky { *latitude = v }/>
        <Number store world key="day_of_year" label="Day of the year" unit="" limits=(0.0, 400.0)
            get=|w| match w.sky { SkyRef::Place { day_of_year, .. } => Some(day_of_year), SkyRef::Arc { .. } => None }
            set=|w, v| if let SkyRef::Place { day_of_year, .. } = &mut w.sky { *day_of_year = v }/>
    }
}

/// The world's own arc.
#[component]
fn Arc(store: Store, world: Memo<plan::World>) -> impl IntoView {
    let end = move |first: bool| {
        Signal::derive(move || {
            world.with(|w| match w.sky {
                SkyRef::Arc { rise, set, .. } => if first { rise } else { set }.to_string(),
                SkyRef::Place { .. } => String::new(),
            })
        })
    };
    let read = move |first: bool| {
        move |text: String| {
            let wrong = || {
                format!(
                    "Found “{}”, expected a time from 00:00 to 24:00.",
                    text.trim()
                )
            };
            let clock = entry::clock(&text).ok_or_else(wrong)?;
            let SkyRef::Arc {
                rise,
                set,
                rise_azimuth,
                highest,
            } = world.with_untracked(|w| w.sky)
            else {
                return Ok(());
            };
            let (rise, set) = if first { (clock, set) } else { (rise, clock) };
            if rise >= set {
                return Err(format!(
                    "Found {clock}, expected a sunset later than the sunrise ({rise} and {set})."
                ));
            }
            change(store, "set the sun", |w| {
                w.sky = SkyRef::Arc {
                    rise,
                    set,
                    rise_azimuth,
                    highest,
                }
            });
            Ok(())
        }
    };
    view! {
        <Entry id="world-rise".to_string() label="Sunrise" value=end(true) read=read(true)/>
        <Entry id="world-set".to_string() label="Sunset" value=end(false) read=read(false)/>
        <Number store world key="rise_azimuth" label="Rises at" unit="° from north" limits=(0.0, 179.999)
            get=|w| match w.sky { SkyRef::Arc { rise_azimuth, .. } => Some(rise_azimuth), SkyRef::Place { .. } => None }
            set=|w, v| if let SkyRef::Arc { rise_azimuth, .. } = &mut w.sky { *rise_azimuth = v }/>
        <Number store world key="highest" label="Stands at noon" unit="° high" limits=(0.0, 90.0)
            get=|w| match w.sky { SkyRef::Arc { highest, .. } => Some(highest), SkyRef::Place { .. } => None }
            set=|w, v| if let SkyRef::Arc { highest, .. } = &mut w.sky { *highest = v }/>
    }
}

/// A list of factors as one text.
#[component]
fn Factors(
    store: Store,
    world: Memo<plan::World>,
    key: &'static str,
    label: &'static str,
    hint: &'static str,
    get: fn(&plan::World) -> Vec<f64>,
    set: fn(&mut plan::World, Vec<f64>) -> Result<(), String>,
) -> impl IntoView {
    let value = Signal::derive(move || {
        let said = |v: &f64| Short(*v).to_string();
        world.with(|w| get(w).iter().map(said).collect::<Vec<_>>().join(" "))
    });
    let read = move |text: String| {
        let factors = factors(&text)?;
        let mut probe = world.get_untracked();
        set(&mut probe, factors)?;
        change(store, &format!("set {}", label.to_lowercase()), |w| {
            *w = probe
        });
        Ok(())
    };
    view! {
        <Entry id=format!("world-{key}") label value read/>
        <p class="aside">{hint}</p>
    }
}

/// Numbers with spaces or semicolons between them; a comma before a space parts them, too.
fn factors(text: &str) -> Result<Vec<f64>, String> {
    let words = text
        .split(|c: char| c.is_whitespace() || c == ';')
        .map(|word| word.trim_end_matches(','))
        .filter(|w| !w.is_empty());
    words
        .map(|word| {
            entry::number(word)
                .filter(|n| (0.0..=FACTOR).contains(n))
                .ok_or_else(|| format!("Found “{word}”, expected numbers from 0 to {FACTOR} with spaces between them."))
        })
        .collect()
}

fn set_weather(world: &mut plan::World, factors: Vec<f64>) -> Result<(), String> {
    world.weather = if factors.is_empty() {
        vec![1.0]
    } else {
        factors
    };
    Ok(())
}

fn set_wind(world: &mut plan::World, factors: Vec<f64>) -> Result<(), String> {
    world.wind = match factors.len() {
        0 | HOURS => factors,
        1 => vec![factors[0]; HOURS],
        n => {
            return Err(format!(
                "Found {n} numbers, expected 24, one an hour; or one for all; or none."
            ));
        }
    };
    Ok(())
}

/// Wind that is the same at every hour, as one number.
fn shortened(wind: &[f64]) -> Vec<f64> {
    match wind.first() {
        Some(first) if wind.iter().all(|w| w == first) => vec![*first],
        _ => wind.to_vec(),
    }
}
