//! The site itself, where nothing is chosen: its size and numbers, storeys, rooms, what counts in the runs of wires, all
//! wires, and other sites to begin with.

use super::amend::{amend, change};
use super::offer::Ready;
use super::rooms::Rooms;
use super::runs::use_site;
use super::wire::metres;
use crate::editor::Selection;
use crate::limits::{
    SITE_CELL_CM, SITE_NAME, SITE_PRIORITY, SITE_SIDE, SITE_STOREY_CM, SITE_STOREYS,
};
use crate::page::details::Entry;
use crate::page::store::use_store;
use crate::plan::Edit;
use crate::quantity::Short;
use crate::sheet::site::said;
use crate::site::{Site, Surface};
use leptos::prelude::*;

/// The site.
#[component]
pub fn GroundDetails() -> impl IntoView {
    let site = use_site();
    let has_site = Memo::new(move |_| site.drawn().with(Option::is_some));
    view! {
        <Show when=move || has_site.get() fallback=|| view! {
            <section><h2 id="details-title">"Site"</h2><p class="aside">"This plan has no site yet."</p></section>
        }>
            <section aria-labelledby="details-title">
                <h2 id="details-title">"Site"</h2>
                <Sizes/>
            </section>
            <Rooms/>
            <Counts/>
            <Wires/>
            <section>
                <details>
                    <summary>"Another site"</summary>
                    <p class="aside">"It takes this one's place; undo takes that back. Parts keep their places, and what does not fit there is told."</p>
                    <Ready/>
                    <NoSite/>
                </details>
            </section>
        </Show>
    }
}

/// Centimetres as metres are written: `2.5`.
fn in_metres(cm: u32) -> String {
    Short(f64::from(cm) / 100.0).to_string()
}

/// Reads metres as centimetres between two limits.
fn centimetres(text: &str, (least, most): (u64, u64)) -> Result<u32, String> {
    let limits = || {
        format!(
            "From {} to {} m.",
            in_metres(least as u32),
            in_metres(most as u32)
        )
    };
    let text = text.trim().trim_end_matches('m').trim().replace(',', ".");
    let metres: f64 = text.parse().map_err(|_| limits())?;
    let cm = (metres * 100.0).round();
    match cm >= least as f64 && cm <= most as f64 {
        true => Ok(cm as u32),
        false => Err(limits()),
    }
}

/// The numbers of the site: how long a cell, how high a storey, how many of both.
#[component]
fn Sizes() -> impl IntoView {
    let store = use_store();
    let site = use_site();
    let of = move |read: fn(&Site) -> String| {
        Signal::derive(move || {
            site.drawn()
                .with(|drawn| drawn.as_deref().map(read).unwrap_or_default())
        })
    };
    let put = move |says: &'static str, limits, set: fn(&mut Site, u32)| {
        move |text: String| {
            let cm = centimetres(&text, limits)?;
            amend(store, says, |site| set(site, cm));
            Ok(())
        }
    };
    let size = of(|site| format!("{} by {} cells", site.width, site.depth));
    let grow = move |side: Surface, by: i8| {
        let says = if by > 0 {
            "enlarge the site"
        } else {
            "make the site smaller"
        };
        let no = if by > 0 {
            format!("A site has at most {SITE_SIDE} cells along a side.")
        } else {
            "A site has at least one cell.".into()
        };
        change(store, says, |site| site.grown(side, by), &no);
    };
    let sides = Surface::WALLS.map(|side| {
        let word = side.word();
        view! {
            <li>
                <span>{format!("In the {word}")}</span>
                <button type="button" aria-label=format!("A row of cells fewer in the {word}") on:click=move |_| grow(side, -1)>"−"</button>
                <button type="button" aria-label=format!("A row of cells more in the {word}") on:click=move |_| grow(side, 1)>"+"</button>
            </li>
        }
    });
    view! {
        <Entry id="site-cell".to_string() label="Edge of a cell" unit="m" numeric=true
            value=of(|site| in_metres(site.cell_cm)) read=put("set the edge of a cell", SITE_CELL_CM, |site, cm| site.cell_cm = cm)/>
        <Entry id="site-high".to_string() label="Height of a storey" unit="m" numeric=true
            value=of(|site| in_metres(site.storey_cm)) read=put("set the height of a storey", SITE_STOREY_CM, |site, cm| site.storey_cm = cm)/>
        <p>{move || size.get()}</p>
        <ul class="rows site-sides">{sides.into_iter().collect_view()}</ul>
        <StoreyNames/>
    }
}

/// The storeys: names, one more, one fewer.
#[component]
fn StoreyNames() -> impl IntoView {
    let store = use_store();
    let site = use_site();
    let names = Memo::new(move |_| {
        let drawn = site.drawn().get();
        drawn.map_or_else(Vec::new, |drawn| {
            let all = drawn.storeys.iter().map(|storey| storey.name.clone());
            all.enumerate().collect::<Vec<(usize, String)>>()
        })
    });
    let add = move |_| {
        let at = names.with_untracked(Vec::len) as u8;
        let is_added = change(
            store,
            "add a storey",
            |site| site.with_storey(at),
            &format!("A site has at most {SITE_STOREYS} storeys."),
        );
        if is_added {
            super::act(store, crate::editor::SiteAct::Storey(at));
        }
    };
    let row = move |(at, name): (usize, String)| {
        let number = at + 1;
        let rename = move |event| {
            let name: String = event_target_value(&event)
                .trim()
                .chars()
                .take(SITE_NAME)
                .collect();
            amend(store, "name a storey", |site| {
                if let Some(storey) = site.storeys.get_mut(at) {
                    storey.name = name;
                }
            });
        };
        let remove = move |_| {
            let says = store.with_plan(|plan| {
                plan.site
                    .as_deref()
                    .map(|site| said::storey(site, at as u8))
            });
            let says = format!("remove the storey {}", says.unwrap_or_default());
            let is_gone = change(
                store,
                &says,
                |site| site.without_storey(at as u8),
                "A site has at least one storey.",
            );
            if is_gone {
                store.notice(format!("Done: {says}. Undo takes it back."));
            }
        };
        view! {
            <li>
                <input type="text" maxlength=SITE_NAME.to_string() aria-label=format!("Name of storey {number}") placeholder=format!("Storey {number}") prop:value=name on:change=rename/>
                <button type="button" aria-label=format!("Remove storey {number}") on:click=remove>"Remove"</button>
            </li>
        }
    };
    let rows = move || {
        let mut rows: Vec<_> = names.get().into_iter().map(row).collect();
        rows.reverse();
        rows
    };
    view! {
        <h3>"Storeys, the highest first"</h3>
        <ul class="rows site-named">{rows}</ul>
        <button type="button" on:click=add>"Add a storey on top"</button>
    }
}

/// What counts in the runs of wires beside their length.
#[component]
fn Counts() -> impl IntoView {
    let store = use_store();
    let site = use_site();
    let of = move |read: fn(&Site) -> u32| {
        Signal::derive(move || {
            site.drawn()
                .with(|drawn| drawn.as_deref().map_or(0, read).to_string())
        })
    };
    let put = move |set: fn(&mut Site, u32)| {
        move |text: String| {
            let wrong = || format!("A whole number from 0 to {SITE_PRIORITY}.");
            let count: u64 = text.trim().parse().map_err(|_| wrong())?;
            if count > SITE_PRIORITY {
                return Err(wrong());
            }
            amend(store, "set what counts in runs", |site| {
                set(site, count as u32)
            });
            Ok(())
        }
    };
    view! {
        <section aria-labelledby="site-counts">
            <h3 id="site-counts">"What counts in the runs of wires"</h3>
            <Entry id="site-hide".to_string() label="An exposed run counts more" unit="%" numeric=true
                value=of(|site| site.priorities.hide) read=put(|site, n| site.priorities.hide = n)/>
            <Entry id="site-corner".to_string() label="A corner counts like" unit="cm" numeric=true
                value=of(|site| site.priorities.corner_cm) read=put(|site, n| site.priorities.corner_cm = n)/>
            <Entry id="site-edges".to_string() label="A run away from walls counts more" unit="%" numeric=true
                value=of(|site| site.priorities.edges) read=put(|site, n| site.priorities.edges = n)/>
            <p class="aside">"With all at 0 every wire takes its shortest run."</p>
        </section>
    }
}

/// Every wire with its number, to be chosen.
#[component]
fn Wires() -> impl IntoView {
    let store = use_store();
    let site = use_site();
    let all = Memo::new(move |_| {
        store.revision();
        let on_site = site.on_site();
        store.with_plan(|plan| {
            let one = |wire: &crate::plan::Wire| {
                let run = on_site.as_ref()?.run_of(&wire.id)?;
                let (from, to) = (plan.called(&wire.from.part), plan.called(&wire.to.part));
                let long = run.route.as_ref().map(|route| metres(route.length_mm));
                Some((wire.id.clone(), run.number, format!("{from} to {to}"), long))
            };
            plan.wires.iter().filter_map(one).collect::<Vec<_>>()
        })
    });
    let status = site.status();
    let under_way = move || {
        let (done, of) = status.progress();
        let is_slow = status.is_running() && of > 0;
        if is_slow {
            let says = format!("Looking for runs: {done} of {of} wires.");
            return Some(view! { <p class="aside">{says}</p> }.into_any());
        }
        let says = status.says()?;
        let again = move |_| site.again();
        Some(view! { <p role="status">{says}" "<button type="button" class="quiet" on:click=again>"Try again"</button></p> }.into_any())
    };
    let total = move || {
        store.revision();
        let long = site.on_site().map(|on_site| on_site.length());
        let has_wires = store.with_plan(|plan| !plan.wires.is_empty());
        match (has_wires, long) {
            (false, _) => "No wires yet.".to_string(),
            (true, None) => String::new(),
            (_, Some(long)) if long.without == 1 => {
                format!("{} so far; one wire has no run yet.", metres(long.mm))
            }
            (_, Some(long)) if long.without > 0 => format!(
                "{} so far; {} wires have no run yet.",
                metres(long.mm),
                long.without
            ),
            (_, Some(long)) => format!("{} in all.", metres(long.mm)),
        }
    };
    let row = move |(id, number, said, long): (
        crate::plan::WireId,
        usize,
        String,
        Option<String>,
    )| {
        view! {
            <li><button type="button" class="quiet" on:click=move |_| store.select(Selection::wire(&id))>
                <span class="number">{number}</span><span>{said}</span><span class="long">{long.unwrap_or("–".into())}</span>
            </button></li>
        }
    };
    view! {
        <section aria-labelledby="site-wires">
            <h3 id="site-wires">"Runs of wires"</h3>
            <p>{total}</p>
            {under_way}
            <ul class="site-wires">
                <For each=move || all.get() key=|one| one.clone() children=row/>
            </ul>
        </section>
    }
}

/// Takes the site away.
#[component]
fn NoSite() -> impl IntoView {
    let store = use_store();
    let take = move |_| {
        store.commit("take the site away", vec![Edit::Site(None)]);
        store.notice("The plan has no site any more. Undo takes that back.".into());
    };
    view! { <button type="button" on:click=take>"Take the site away"</button> }
}
