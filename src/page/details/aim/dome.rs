//! The sky dome from above: the horizon with its compass, the sun's way of the day, and the panel's normal, which is dragged
//! or moved by arrow keys.

use super::Aiming;
use crate::sheet::dome::{self, RADIUS};
use crate::sky::Aim;
use leptos::prelude::*;
use leptos::svg;
use wasm_bindgen::JsCast;

/// Half of the drawing's width and height, in units: room for the compass about the horizon.
const HALF: f64 = 122.0;
/// Where the points of the compass stand.
const COMPASS: [(&str, f64); 4] = [("N", 0.0), ("E", 90.0), ("S", 180.0), ("W", 270.0)];
/// Degrees of elevation of the rings within the horizon.
const RINGS: [f64; 2] = [30.0, 60.0];
/// So far Shift goes at once, and a page of tilt.
const FAR: f64 = 10.0;

/// The dome.
#[component]
pub(super) fn Dome(aiming: Aiming) -> impl IntoView {
    let field = NodeRef::<svg::Svg>::new();
    let knob = NodeRef::<svg::G>::new();
    let held = StoredValue::new(false);
    let sky = Memo::new(move |_| aiming.panel.get().map(|p| p.sky));
    let rings = RINGS.map(|high| {
        let r = (90.0 - high) / 90.0 * RADIUS;
        view! {
            <circle class="ring" r=r/>
            <text class="ring-name" x=2 y=-r + 8.0>{format!("{high}°")}</text>
        }
    });
    let points = COMPASS.map(|(name, azimuth)| {
        let (x, y) = dome::place(azimuth, 90.0 * 1.12);
        view! { <text class="compass" x=x y=y dy="0.35em">{name}</text> }
    });
    let way = move || sky.with(|sky| sky.as_ref().map(dome::way).unwrap_or_default());
    let hours = move || {
        let hours = sky.with(|sky| sky.as_ref().map(dome::hours).unwrap_or_default());
        hours
            .into_iter()
            .map(|hour| {
                let (x, y) = hour.at;
                let label = hour.label.map(
                    |(text, (x, y))| view! { <text class="hour-name" x=x y=y dy="0.35em">{text}</text> },
                );
                view! { <circle class="hour" cx=x cy=y r=1.8/>{label} }
            })
            .collect_view()
    };
    let sun = move || {
        let t = aiming.store.moment().get();
        let (x, y) = sky.with(|sky| dome::sun(sky.as_ref()?, t))?;
        Some(view! { <circle class="now-sun" cx=x cy=y r=6/> })
    };
    let at = move || dome::handle(aiming.aim());

    let under = move |ev: &web_sys::PointerEvent| -> Option<Aim> {
        let rect = field.get_untracked()?.get_bounding_client_rect();
        if rect.width() <= 0.0 || rect.height() <= 0.0 {
            return None;
        }
        let share =
            |client: i32, from: f64, long: f64| (f64::from(client) - from) / long * 2.0 - 1.0;
        let x = share(ev.client_x(), rect.left(), rect.width()) * HALF;
        let y = share(ev.client_y(), rect.top(), rect.height()) * HALF;
        Some(dome::aim_at(x, y))
    };
    let turn = move |ev: &web_sys::PointerEvent| {
        let aim = under(ev);
        if aim.is_some() && aim != aiming.draft.get_untracked() {
            aiming.draft.set(aim);
        }
    };
    let down = move |ev: web_sys::PointerEvent| {
        if ev.button() != 0 {
            return;
        }
        held.set_value(true);
        let target = ev
            .current_target()
            .and_then(|t| t.dyn_into::<web_sys::Element>().ok());
        if let Some(el) = target {
            let _ = el.set_pointer_capture(ev.pointer_id());
        }
        if let Some(knob) = knob.get_untracked() {
            let _ = knob.focus();
        }
        // Else the press would take the focus away again.
        ev.prevent_default();
        turn(&ev);
    };
    let moves = move |ev: web_sys::PointerEvent| {
        if held.get_value() {
            turn(&ev);
        }
    };
    let up = move || {
        if held.get_value() {
            held.set_value(false);
            aiming.let_go();
        }
    };
    let give_up = move || {
        held.set_value(false);
        aiming.draft.set(None);
    };
    let key = move |ev: web_sys::KeyboardEvent| {
        let step = if ev.shift_key() { FAR } else { 1.0 };
        let (clockwise, tilt) = match ev.key().as_str() {
            "ArrowRight" => (step, 0.0),
            "ArrowLeft" => (-step, 0.0),
            "ArrowUp" => (0.0, step),
            "ArrowDown" => (0.0, -step),
            "PageUp" => (0.0, FAR),
            "PageDown" => (0.0, -FAR),
            "Escape" if aiming.draft.get_untracked().is_some() => {
                ev.stop_propagation();
                return give_up();
            }
            _ => return,
        };
        ev.prevent_default();
        ev.stop_propagation();
        let now = untrack(|| aiming.aim());
        aiming.draft.set(Some(dome::turned(now, clockwise, tilt)));
    };
    let key_up = move || {
        if !held.get_value() {
            aiming.let_go();
        }
    };
    view! {
        <svg class="dome" viewBox=format!("{} {} {} {}", -HALF, -HALF, 2.0 * HALF, 2.0 * HALF) node_ref=field
            role="group" aria-label="The sky from above, with the sun’s way of the day"
            on:pointerdown=down on:pointermove=moves on:pointerup=move |_| up() on:lostpointercapture=move |_| up()
            on:pointercancel=move |_| give_up()>
            <circle class="horizon" r=RADIUS/>
            {rings}
            <path class="cross" d=format!("M0 {}V{RADIUS}M{} 0H{RADIUS}", -RADIUS, -RADIUS)/>
            {points}
            <path class="way" d=way/>
            {hours}
            {sun}
            <line class="arm" x1=0 y1=0 x2=move || at().0 y2=move || at().1/>
            <g class="normal" node_ref=knob transform=move || format!("translate({} {})", at().0, at().1)
                role="slider" tabindex="0" aria-label="Aim"
                aria-valuemin="0" aria-valuemax="359"
                aria-valuenow=move || dome::whole_turn(aiming.aim().azimuth).to_string()
                aria-valuetext=move || dome::says(aiming.aim())
                on:keydown=key on:keyup=move |_| key_up() on:blur=move |_| key_up()>
                <circle class="normal-hit" r=16/>
                <circle class="normal-ring" r=12/>
                <rect class="knob" x=-6 y=-6 width=12 height=12 transform="rotate(45)"/>
            </g>
        </svg>
        <p class="aim-now">
            <strong>{move || dome::says(aiming.aim())}</strong>
        </p>
        <p class="aside">"Drag the square, or move it by arrow keys: left and right turn, up and down tilt. In the middle the panel lies flat."</p>
    }
}
