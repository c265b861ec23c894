//! The ports of a part: what each is wired to, what is offered and taken there, and the way to wire and unwire it without
//! dragging.

use crate::book::{Port, Side};
use crate::editor::Message;
use crate::editor::Selection;
use crate::gather::Gather;
use crate::page::store::{Store, use_store};
use crate::plan::{Edit, End, PartId, WireId};
use crate::sheet::words;
use leptos::prelude::*;

/// One port as it stands.
#[derive(Clone, PartialEq)]
struct Row {
    name: String,
    side: Side,
    /// The wire and the other end, if it is wired.
    wired: Option<(WireId, String)>,
    /// The free ports that it could be wired to, with their names.
    free: Vec<(End, String)>,
}

/// The ports of the part `id`.
#[component]
pub(super) fn Ports(
    /// The part.
    id: PartId,
) -> impl IntoView {
    let store = use_store();
    let rows = {
        let id = id.clone();
        Memo::new(move |_| {
            store.revision();
            rows(store, &id)
        })
    };
    view! {
        <section aria-labelledby="details-ports">
            <h3 id="details-ports">"Ports"</h3>
            <ul class="ports">
                {move || rows.get().into_iter().map(|row| view! { <PortRow id=id.clone() row/> }).collect::<Vec<_>>()}
            </ul>
        </section>
    }
}

fn rows(store: Store, id: &PartId) -> Vec<Row> {
    store.with_followed(|plan| {
        let Some(kind) = plan.part(id).and_then(|p| plan.kind_of(p)) else {
            return Vec::new();
        };
        let wired: std::collections::BTreeSet<&End> =
            plan.wires.iter().flat_map(|w| [&w.from, &w.to]).gather();
        let all: Vec<(End, Port)> = plan
            .parts
            .iter()
            .filter_map(|p| Some((p, plan.kind_of(p)?)))
            .flat_map(|(p, t)| {
                t.ports()
                    .into_iter()
                    .map(|port| (End::new(&p.id, &port.name), port))
            })
            .filter(|(end, _)| !wired.contains(end))
            .collect();
        let row = |port: Port| {
            let end = End::new(id, &port.name);
            let wire = plan.wire_at(&end).map(|w| {
                let other = if w.from == end { &w.to } else { &w.from };
                (
                    w.id.clone(),
                    format!("{}, {}", plan.called(&other.part), other.port),
                )
            });
            let fits = |other: &Port| (port.side == Side::Out) != (other.side == Side::Out);
            let free = match wire {
                Some(_) => Vec::new(),
                None => all
                    .iter()
                    .filter(|(other, p)| fits(p) && other.part != *id)
                    .map(|(other, _)| {
                        (
                            other.clone(),
                            format!("{}, {}", plan.called(&other.part), other.port),
                        )
                    })
                    .collect(),
            };
            Row {
                name: port.name.to_string(),
                side: port.side,
                wired: wire,
                free,
            }
        };
        kind.ports().into_iter().map(row).collect()
    })
}

/// One port.
#[component]
fn PortRow(id: PartId, row: Row) -> impl IntoView {
    let store = use_store();
    let side = match row.side {
        Side::In => "input",
        Side::Out => "output",
        Side::Signal => "signal",
    };
    let end = End::new(&id, &row.name);
    let below = match row.wired {
        Some((wire, other)) => view! { <Wired wire other side=row.side/> }.into_any(),
        None if row.free.is_empty() => {
            view! { <p class="aside">"Not wired; no free port fits."</p> }.into_any()
        }
        None => {
            let label = format!("Wire {} to", row.name);
            let options: Vec<_> = row
                .free
                .iter()
                .enumerate()
                .map(|(n, (_, said))| view! { <option value=n.to_string()>{said.clone()}</option> })
                .collect();
            let free = row.free;
            let choose = move |ev| {
                let chosen = event_target_value(&ev)
                    .parse::<usize>()
                    .ok()
                    .and_then(|n| free.get(n));
                if let Some((other, _)) = chosen {
                    join(store, &end, other);
                }
            };
            view! {
                <select aria-label=label on:change=choose>
                    <option value="" selected=true>"wire to…"</option>
                    {options}
                </select>
            }
            .into_any()
        }
    };
    view! {
        <li>
            <p class="line"><span class="port-label">{row.name}</span><span class="aside">{side}</span></p>
            {below}
        </li>
    }
}

/// A port with a wire.
#[component]
fn Wired(wire: WireId, other: String, side: Side) -> impl IntoView {
    let store = use_store();
    let unit = store.unit();
    let flow = store.flow(&wire);
    let said = move || flow.as_ref().map(|f| words::flow(&f.get(), &unit));
    let (chosen, removed) = (wire.clone(), wire);
    let to = if side == Side::Out { "to" } else { "from" };
    let removes = format!("Remove the wire {to} {other}");
    view! {
        <p class="line">
            <button type="button" class="quiet"
                on:click=move |_| store.select(Selection::wire(&chosen))>
                {format!("{to} {other}")}
            </button>
            <button type="button" class="quiet" aria-label=removes
                on:click=move |_| { store.commit("remove a wire", vec![Edit::RemoveWire(removed.clone())]); }>
                "remove"
            </button>
        </p>
        <p class="aside">{said}</p>
    }
}

/// Wires two ports, whichever way round they fit.
fn join(store: Store, a: &End, b: &End) {
    store.dispatch(Message::Join(a.clone(), b.clone()));
}
