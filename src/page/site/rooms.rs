//! The rooms: what each is called and who can come there. Which cells belong to one is drawn on the site.

use super::amend::{amend, rooms_of};
use super::runs::use_site;
use super::use_act;
use crate::editor::{SiteAct, SiteTool};
use crate::limits::{SITE_NAME, SITE_ROOMS};
use crate::page::store::use_store;
use crate::sheet::site::said;
use crate::site::{Reach, Room};
use leptos::prelude::*;

/// The rooms.
#[component]
pub fn Rooms() -> impl IntoView {
    let store = use_store();
    let site = use_site();
    let act = use_act();
    let rooms = Memo::new(move |_| site.drawn().with(rooms_of));
    let add = move |_| {
        let count = rooms.with_untracked(Vec::len);
        if count >= SITE_ROOMS {
            return store.notice(format!("A site has at most {SITE_ROOMS} rooms."));
        }
        amend(store, "add a room", |site| {
            site.rooms.push(Room {
                name: String::new(),
                who: Reach::Builders,
            });
        });
        act(SiteAct::Tool(SiteTool::Room(count as u8)));
        store.notice("Drag over the cells that belong to the room.".into());
    };
    let row = move |(at, room): (usize, Room)| {
        let number = at + 1;
        let rename = move |event| {
            let name: String = event_target_value(&event)
                .trim()
                .chars()
                .take(SITE_NAME)
                .collect();
            amend(store, "name a room", |site| {
                if let Some(room) = site.rooms.get_mut(at) {
                    room.name = name;
                }
            });
        };
        let choose = move |event| {
            let word = event_target_value(&event);
            if let Some(who) = Reach::ALL.into_iter().find(|who| who.word() == word) {
                amend(store, "set who comes to a room", |site| {
                    if let Some(room) = site.rooms.get_mut(at) {
                        room.who = who;
                    }
                });
            }
        };
        let remove = move |_| {
            let site = store.with_plan(|plan| plan.site.as_deref()?.without_room(at as u8));
            if let Some(less) = site {
                amend(store, "remove a room", |site| *site = less);
                store.notice(
                    "The room is gone; its cells belong to none. Undo takes that back.".into(),
                );
            }
        };
        let options = Reach::ALL.map(|who| {
            view! { <option value=who.word() prop:selected=who == room.who>{said::who(who)}</option> }
        });
        view! {
            <li>
                <input type="text" maxlength=SITE_NAME.to_string() aria-label=format!("Name of room {number}") placeholder=format!("Room {number}")
                    prop:value=room.name on:change=rename/>
                <select aria-label=format!("Who comes to room {number}") on:change=choose>{options.into_iter().collect_view()}</select>
                <span class="buttons">
                    <button type="button" aria-label=format!("Draw room {number}") on:click=move |_| act(SiteAct::Tool(SiteTool::Room(at as u8)))>"Draw"</button>
                    <button type="button" aria-label=format!("Remove room {number}") on:click=remove>"Remove"</button>
                </span>
            </li>
        }
    };
    view! {
        <section aria-labelledby="site-rooms">
            <h3 id="site-rooms">"Rooms, and who comes there"</h3>
            <ul class="rows site-rooms">
                {move || rooms.get().into_iter().map(row).collect_view()}
            </ul>
            <p class="aside">"Outside on the ground anyone comes; where no room is, only the builders."</p>
            <button type="button" on:click=add>"Add a room"</button>
        </section>
    }
}
