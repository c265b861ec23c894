//! A part in the site: where it hangs, and who can reach it there.

use super::runs::use_site;
use super::use_act;
use crate::editor::{Drawing, SiteAct};
use crate::page::store::use_store;
use crate::plan::{PartId, Plan};
use crate::sheet::site::said;
use leptos::prelude::*;

/// What is said of a part in the site.
#[derive(Clone, PartialEq)]
struct Said {
    hangs: Option<String>,
    goes: &'static str,
    reach: Option<String>,
    wrong: Option<String>,
}

/// A part in the site; nothing where the plan has no site.
#[component]
pub fn PartOnSite(
    /// The part.
    id: PartId,
) -> impl IntoView {
    let store = use_store();
    let site = use_site();
    let act = use_act();
    let id = StoredValue::new(id);
    let said = Memo::new(move |_| {
        store.revision();
        let on_site = site.on_site();
        store.with_plan(|plan| {
            let id = id.get_value();
            let part = plan.part(&id)?;
            let ground = plan.site.as_deref()?;
            let mut wrong = on_site.iter().flat_map(|on_site| on_site.problems());
            let wrong = wrong.find(|problem| problem.parts().contains(&id));
            Some(Said {
                hangs: part.hangs.map(|face| said::on(ground, face)),
                goes: plan.mount_of(part).said(),
                reach: reach(plan, &id),
                wrong: wrong.map(|problem| problem.said(plan)),
            })
        })
    });
    let take = move |_| {
        act(SiteAct::Turn(Drawing::Site));
        act(SiteAct::Take(Some(id.get_value()), false));
        if store.is_small() {
            store.pane().set(None);
        }
    };
    let off = move |_| act(SiteAct::Hang(id.get_value(), None));
    move || {
        said.get().map(|said| {
            let is_hung = said.hangs.is_some();
            let place = match said.hangs {
                Some(on) => format!("Hangs {on}."),
                None => format!("Without a place: it goes {}.", said.goes),
            };
            view! {
                <section aria-labelledby="part-on-site">
                    <h3 id="part-on-site">"On the site"</h3>
                    <p>{place}</p>
                    {said.wrong.map(|wrong| view! { <p class="site-wrong">{wrong}</p> })}
                    {said.reach.map(|reach| view! { <p>{reach}</p> })}
                    <div class="buttons">
                        <button type="button" on:click=take>{if is_hung { "Put it elsewhere" } else { "Put it up" }}</button>
                        {is_hung.then(|| view! { <button type="button" on:click=off>"Take it off its place"</button> })}
                    </div>
                </section>
            }
        })
    }
}

/// Who can reach a part, and why.
fn reach(plan: &Plan, id: &PartId) -> Option<String> {
    let part = plan.part(id)?;
    let by_site = plan.reach_on_site(part);
    match (part.reach, by_site) {
        (Some(named), Some(on_site)) if named != on_site => Some(format!(
            "Can be reached by {}, as it was set by hand; by where it hangs it would be {}.",
            said::who(named),
            said::who(on_site)
        )),
        (Some(named), _) => Some(format!(
            "Can be reached by {}, as it was set by hand.",
            said::who(named)
        )),
        (None, Some(on_site)) => {
            let face = part.hangs?;
            let site = plan.site.as_deref()?;
            let cell = site.cell(face.storey, face.x, face.y);
            let who = said::who(on_site);
            Some(match (site.who_touches(face), cell.room) {
                (None, _) => format!("Can be reached by {who}: nobody else comes up to it there."),
                (_, Some(at)) => {
                    let room = said::room(site, at);
                    format!("Can be reached by {who}, since it is in {room} and they come there.")
                }
                (_, None) => match cell.ground {
                    crate::site::Ground::Ground => {
                        format!("Can be reached by {who}, since it is on the ground outside.")
                    }
                    _ => format!("Can be reached by {who}, since its place belongs to no room."),
                },
            })
        }
        (None, None) => None,
    }
}
