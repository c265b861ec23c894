//! The run of a wire in the site: its number, length, corners, what of it is exposed, its way in words, bends by hand, and
//! the run that shows least.

use super::runs::use_site;
use super::use_act;
use crate::editor::{Drawing, SiteAct};
use crate::page::jobs::{Job, Large, Rule, Subject, follow, priority, use_jobs};
use crate::page::store::use_store;
use crate::plan::WireId;
use crate::quantity::Short;
use crate::sheet::site::said;
use crate::site::Route;
use crate::worker::{Answer, Task};
use crate::works::HiddenRun;
use leptos::prelude::*;

/// Metres of millimetres: `7.5 m`.
pub fn metres(mm: u64) -> String {
    format!("{} m", Short(mm as f64 / 1000.0))
}

/// What is said of a run.
#[derive(Clone, PartialEq)]
struct Said {
    number: usize,
    route: Option<Route>,
    way: String,
    reach: &'static str,
    most: Option<u64>,
    /// Where its bends by hand are.
    bends: Vec<String>,
    is_placed: bool,
}

/// The run of a wire; nothing where the plan has no site.
#[component]
pub fn RunOfWire(
    /// The wire.
    id: WireId,
) -> impl IntoView {
    let store = use_store();
    let site = use_site();
    let id = StoredValue::new(id);
    let told = Memo::new(move |_| {
        let on_site = site.on_site()?;
        store.revision();
        id.with_value(|id| {
            let run = on_site.run_of(id)?;
            store.with_plan(|plan| {
                let (wire, ground) = (plan.wire(id)?, plan.site.as_deref()?);
                let hangs = |part| plan.part(part).is_some_and(|part| part.hangs.is_some());
                Some(Said {
                    number: run.number,
                    route: run.route.clone(),
                    way: on_site.said(id),
                    reach: said::who(run.reach),
                    most: run.most_mm,
                    bends: wire
                        .via
                        .iter()
                        .map(|face| said::on(ground, *face))
                        .collect(),
                    is_placed: hangs(&wire.from.part) && hangs(&wire.to.part),
                })
            })
        })
    });
    let body = move || {
        told.get().map(|told| {
            let rest = match &told.route {
                Some(route) => view! { <Numbers told=told.clone() route=route.clone()/> }.into_any(),
                None if told.is_placed => view! { <p class="site-wrong">"There is no way for it from one of its parts to the other."</p> }.into_any(),
                None => view! { <p>"It has a run once both its parts have their places."</p> }.into_any(),
            };
            view! {
                <section aria-labelledby="wire-on-site">
                    <h3 id="wire-on-site">{format!("On the site: wire {}", told.number)}</h3>
                    {rest}
                </section>
                <Bends id=id.get_value() bends=told.bends.clone()/>
            }
        })
    };
    view! {
        {body}
        <Hide id=id.get_value()/>
    }
}

/// A run's numbers and its way.
#[component]
fn Numbers(told: Said, route: Route) -> impl IntoView {
    let too_long = told.most.filter(|most| route.length_mm > *most);
    let way = told.way.clone();
    view! {
        <dl class="numbers">
            <dt>"Length"</dt><dd>{metres(route.length_mm)}</dd>
            <dt>"Corners"</dt><dd>{route.corners}</dd>
            <dt>"Exposed"</dt><dd>{metres(route.exposed_mm)}</dd>
            <dt>"Can be touched by"</dt><dd>{told.reach}</dd>
        </dl>
        {too_long.map(|most| view! { <p class="site-wrong">{format!("Its parts take wires of at most {}.", metres(most))}</p> })}
        <p class="site-way">{format!("From its beginning {way}.")}</p>
    }
}

/// The bends by hand.
#[component]
fn Bends(id: WireId, bends: Vec<String>) -> impl IntoView {
    let act = use_act();
    let store = use_store();
    let (all, led) = (id.clone(), id.clone());
    let lead = move || {
        let id = led.clone();
        view! { <button type="button" on:click=move |_| act(SiteAct::TakeBend(id.clone()))>"Lead it over a place"</button> }
    };
    if bends.is_empty() {
        return view! {
            <section>
                <p class="aside">"It finds its own way. Drag its run on the site to lead it elsewhere."</p>
                {lead()}
            </section>
        }
        .into_any();
    }
    let rows = bends.into_iter().enumerate().map(|(at, on)| {
        let id = id.clone();
        let off = move |_| {
            let via = store.with_plan(|plan| plan.wire(&id).map(|wire| wire.via.clone()));
            let mut via = via.unwrap_or_default();
            if at < via.len() {
                via.remove(at);
                act(SiteAct::Lead(id.clone(), via));
            }
        };
        let label = format!("Take bend {} off", at + 1);
        view! { <li><span>{on}</span><button type="button" aria-label=label on:click=off>"Take off"</button></li> }
    });
    view! {
        <section aria-labelledby="wire-led">
            <h3 id="wire-led">"Led by hand"</h3>
            <ol class="rows site-bends">{rows.collect_view()}</ol>
            {lead()}
            <button type="button" on:click=move |_| act(SiteAct::Lead(all.clone(), Vec::new()))>"Let it find its own way"</button>
        </section>
    }
    .into_any()
}

/// The run that shows least, with what it costs, where the wire's own shows more.
#[component]
fn Hide(id: WireId) -> impl IntoView {
    let site = use_site();
    let id = StoredValue::new(id);
    let shown = Memo::new(move |_| {
        let on_site = site.on_site()?;
        let route = id.with_value(|id| on_site.run_of(id)?.route.clone())?;
        (route.exposed_mm > 0).then_some(route)
    });
    let job: Job<HiddenRun> = Job::new(use_jobs(), Subject::Built, |found, piece, _| {
        if let Answer::Hidden(Some(hidden)) = piece {
            *found = Some(*hidden);
        }
        true
    });
    let rule = Rule {
        is_open: Signal::derive(|| true),
        small: usize::MAX,
        large: Large::Always,
        later: priority::IN_SIGHT,
    };
    let is_shown = Memo::new(move |_| shown.with(Option::is_some));
    follow(job, rule, move || match is_shown.get() {
        true => vec![Task::Hide(id.get_value())],
        false => Vec::new(),
    });
    let body = move |now: Route| {
        let status = job.status();
        match job.answer() {
            Some(answer) if !job.is_out_of_date() => {
                view! { <HideOffer id=id.get_value() now hidden=answer.value.clone()/> }.into_any()
            }
            _ => view! {
                <p role="status">{status.says().unwrap_or("The run that shows least is being looked for.".into())}</p>
            }
            .into_any(),
        }
    };
    move || {
        shown.get().map(|now| {
            view! {
                <section aria-labelledby="wire-hidden">
                    <h3 id="wire-hidden">"Out of sight"</h3>
                    {move || body(now.clone())}
                    <ShowOnSite/>
                </section>
            }
        })
    }
}

/// What a run that shows less costs, and the button that takes it.
#[component]
fn HideOffer(id: WireId, now: Route, hidden: HiddenRun) -> impl IntoView {
    let store = use_store();
    let act = use_act();
    let HiddenRun { route, via } = hidden;
    if route.exposed_mm >= now.exposed_mm {
        return view! { <p>"No run shows less of it."</p> }.into_any();
    }
    let take = move |_| match &via {
        Some(via) => act(SiteAct::Lead(id.clone(), via.clone())),
        None => store.notice(
            "Not done: the run that shows least takes more bends by hand than a wire may have."
                .into(),
        ),
    };
    let cost = match route.length_mm.checked_sub(now.length_mm) {
        Some(0) => "It is as long as now.".to_string(),
        Some(more) => format!("It is {} longer.", metres(more)),
        None => format!("It is {} shorter.", metres(now.length_mm - route.length_mm)),
    };
    let says = match route.exposed_mm {
        0 => format!(
            "A run of {} shows nothing of it. {cost}",
            metres(route.length_mm)
        ),
        left => format!(
            "A run of {} shows {} of it instead of {}. {cost}",
            metres(route.length_mm),
            metres(left),
            metres(now.exposed_mm)
        ),
    };
    view! {
        <p>{says}</p>
        <button type="button" on:click=take>"Hide it"</button>
    }
    .into_any()
}

/// Leads from the board to the site.
#[component]
fn ShowOnSite() -> impl IntoView {
    let store = use_store();
    let act = use_act();
    let turn = move |_| act(SiteAct::Turn(Drawing::Site));
    let is_site = move || store.drawing().get() != Drawing::Board;
    view! {
        <p hidden=is_site><button type="button" class="quiet" on:click=turn>"Show it on the site"</button></p>
    }
}
