//! What the run comes to, for the chosen part and for the plan: energies, extremes with their times, hours and starts.
//! The numbers are the core's; here they get words.

use crate::page::day::use_run;
use crate::page::store::use_store;
use crate::plan::{Clock, PartId};
use crate::quantity::{Ms, Short, Unit};
use crate::run::{BatteryFigures, Journey, PartState, SourceFigures, TurnFigures};
use crate::sheet::words::{hours, moment};
use leptos::prelude::*;

/// A row: what, and how much.
type Row = (&'static str, String);

/// So many stretches are listed; the rest is answer by their number.
const STRETCHES: usize = 4;

/// Says numbers of one plan.
struct Teller {
    unit: Unit,
    day: Ms,
}

impl Teller {
    fn moment(&self, t: Ms) -> String {
        moment(t, self.day)
    }

    fn hours(&self, ms: Ms) -> String {
        hours(ms, self.day)
    }

    /// When something was so, in a run up to `end`.
    fn stretches(&self, all: &[(Ms, Ms)], end: Ms) -> String {
        if *all == [(0, end)] {
            return "all the time".into();
        }
        let mut said: Vec<String> = all
            .iter()
            .take(STRETCHES)
            .map(|(from, to)| format!("{} to {}", self.moment(*from), self.end(*from, *to)))
            .collect();
        if all.len() > STRETCHES {
            said.push(format!("and {} times more", all.len() - STRETCHES));
        }
        said.join("; ")
    }

    /// The end of a stretch, with its day where that is another one.
    fn end(&self, from: Ms, to: Ms) -> String {
        let day = self.day.max(1);
        match (from / day == to / day, to % day) {
            (true, _) => Clock::at(to, day).to_string(),
            (false, 0) if from / day + 1 == to / day => "24:00".into(),
            _ => self.moment(to),
        }
    }

    fn source(&self, f: &SourceFigures, end: Ms) -> Vec<Row> {
        let energy = |e| self.unit.say_energy(e);
        let mut rows = vec![
            ("Could give", energy(f.available)),
            ("Taken", energy(f.taken)),
            ("Spilled", energy(f.spilled)),
        ];
        if !f.spills.is_empty() {
            rows.push(("Spilled when", self.stretches(&f.spills, end)));
        }
        rows
    }

    fn battery(&self, f: &BatteryFigures, capacity: i128) -> Vec<Row> {
        let energy = |e| self.unit.say_energy(e);
        let at = |(level, t)| format!("{} on {}", energy(level), self.moment(t));
        vec![
            ("Taken in", energy(f.taken)),
            ("Given out", energy(f.given)),
            ("Lost", energy(f.lost)),
            ("Lowest", at(f.lowest)),
            ("Highest", at(f.highest)),
            ("Could hold more", energy(capacity - f.highest.0)),
        ]
    }

    fn load(&self, f: &TurnFigures) -> Vec<Row> {
        vec![
            ("On", self.hours(f.on)),
            ("Short, offered too little", self.hours(f.short)),
            ("Starts", f.starts.to_string()),
            ("Used", self.unit.say_energy(f.energy)),
        ]
    }

    fn contact(&self, f: &TurnFigures) -> Vec<Row> {
        vec![
            ("Closed", self.hours(f.on)),
            ("Times it closes", f.starts.to_string()),
        ]
    }
}

fn of_part(journey: &Journey, teller: &Teller, id: &PartId, state: &PartState) -> Vec<Row> {
    let record = &journey.record;
    let Some(place) = record.ids.iter().position(|i| i == id) else {
        return Vec::new();
    };
    if let Some(source) = record.sources.get(&place) {
        teller.source(&source.figures(record.end), record.end)
    } else if let (Some(battery), PartState::Battery { capacity, .. }) =
        (record.batteries.get(&place), state)
    {
        teller.battery(&battery.figures(), *capacity)
    } else if let Some(load) = record.loads.get(&place) {
        teller.load(&load.figures())
    } else if let Some(contact) = record.contacts.get(&place) {
        teller.contact(&contact.figures())
    } else {
        Vec::new()
    }
}

fn of_plan(journey: &Journey, teller: &Teller) -> Vec<Row> {
    let (totals, energy) = (journey.record.totals(), |e| teller.unit.say_energy(e));
    let changed = if totals.stored < 0 {
        "Batteries gave up"
    } else {
        "Batteries gained"
    };
    let spills = journey.record.spills();
    let mut rows = vec![
        ("Sources could give", energy(totals.available)),
        ("Taken of them", energy(totals.taken)),
        ("Spilled", energy(totals.spilled())),
    ];
    if !spills.is_empty() {
        rows.push((
            "Spilled when",
            teller.stretches(&spills, journey.record.end),
        ));
    }
    rows.extend([
        ("Used by loads", energy(totals.used)),
        ("Lost in batteries", energy(totals.lost)),
        (changed, energy(totals.stored.abs())),
    ]);
    rows
}

/// How long the run is, in words.
fn span(journey: &Journey) -> String {
    let days = journey.record.end as f64 / journey.day_ms.max(1) as f64;
    let days = Short((days * 100.0).round() / 100.0).to_string();
    format!("Over {days} {}", if days == "1" { "day" } else { "days" })
}

/// What the run comes to for one part, or for the plan where `id` is none.
#[component]
pub(super) fn Figures(
    /// The part.
    #[prop(optional_no_strip)]
    id: Option<PartId>,
) -> impl IntoView {
    let (store, run) = (use_store(), use_run());
    let state = id.as_ref().and_then(|id| store.part_state(id));
    let battery = match &state {
        Some(state) => matches!(state.get_untracked(), PartState::Battery { .. }),
        None => id.is_none(),
    };
    let of = id.clone();
    let figures = Memo::new(move |_| {
        let answer = run.answer()?;
        let teller = Teller {
            unit: store.unit(),
            day: answer.journey.day_ms,
        };
        let rows = match (&id, &state) {
            (Some(id), Some(state)) => {
                of_part(&answer.journey, &teller, id, &state.get_untracked())
            }
            (Some(_), None) => Vec::new(),
            (None, _) => of_plan(&answer.journey, &teller),
        };
        Some((span(&answer.journey), rows))
    });
    let rows = move || {
        let (span, rows) = figures.get()?;
        (!rows.is_empty()).then(|| {
            let rows: Vec<_> = rows
                .into_iter()
                .map(|(name, value)| view! { <dt>{name}</dt><dd>{value}</dd> })
                .collect();
            view! {
                <section class="figures" class:old=move || run.is_out_of_date() aria-labelledby="details-figures">
                    <h3 id="details-figures">{span}</h3>
                    <dl class="numbers">{rows}</dl>
                </section>
            }
        })
    };
    view! {
        {rows}
        {battery.then(|| view! { <section class="figures"><super::reserve::ReserveLine id=of/></section> })}
    }
}

/// Until when a battery lasts at what is drawn now; nothing where it loses nothing.
#[component]
pub(super) fn Lasts(
    /// A part, the chosen one.
    id: PartId,
) -> impl IntoView {
    let store = use_store();
    let state = store.part_state(&id);
    move || {
        let t = store.moment().get();
        let until = state.as_ref()?.get().lasts_until(t)?;
        let day = store.with_shown(|plan| plan.world.day_ms());
        let said = format!("At the present draw it lasts until {}.", moment(until, day));
        Some(view! { <p class="lasts">{said}</p> })
    }
}
