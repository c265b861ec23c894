//! What is added or exchanged so that a load starts at another time: taps, panels, a twilight or a time switch.

use super::candidates::{Ahead, StartChange};
use super::meant::signed;
use super::set::{change, minutes, thresholds};
use super::turns::{Sun, is_panel, own_turns};
use super::{Bound, OfferKind};
use crate::book::{Behaviour, FunctionName, PartType, Profile, Side};
use crate::plan::{Clock, Edit, End, Function, PartId, Spec};
use crate::proof::findings::draft::{Draft, contact, type_that};
use crate::sky::Aim;
use serde_json::{Value, json};

/// The most contacts in whose place another is tried, the nearest first.
const CONTACTS: usize = 3;
/// The most coils that are tried with a panel of their own.
const COILS: usize = 2;

/// Other amounts of taps, a tap's outputs changed over, a tap more.
pub(super) fn taps(ahead: &Ahead, sun: &Sun) -> Vec<StartChange> {
    let (moments, enough) = sun.moments(ahead.meant);
    let (most, least) = sun.extremes(&moments);
    let seen = ahead.seen;
    let taps = ahead.parts.iter().filter_map(|at| match seen.specs[*at] {
        Some(Spec::Tap(amount)) => Some((*at, amount)),
        _ => None,
    });
    let say = |amount: u64| seen.plan.book.book.unit.say_power(amount);
    let mut out = Vec::new();
    for (tap, amount) in taps {
        let mut amounts = vec![1, sun.need, amount + 1, amount.saturating_sub(1)];
        // So much more, or less, goes by at the wanted time.
        match enough {
            false => amounts.push(amount + (most + 1).saturating_sub(sun.need)),
            true => amounts.push(amount.saturating_sub(sun.need.saturating_sub(least))),
        }
        amounts.retain(|n| *n > 0 && *n != amount);
        for n in &amounts {
            let how = format!("set to {}", say(*n));
            out.push(change(
                ahead,
                tap,
                OfferKind::Tap,
                &how,
                &[("amount", json!(n))],
            ));
        }
        if !enough {
            let n = (most + 1).saturating_sub(sun.need);
            out.extend(over(ahead, tap, n, &say(n)));
            out.extend(ahead_of(ahead, tap, n, &say(n)));
        }
    }
    out
}

/// A tap's two outputs changed over, and another amount.
fn over(ahead: &Ahead, tap: usize, amount: u64, said: &str) -> Option<StartChange> {
    let (seen, id) = (ahead.seen, ahead.seen.id(tap));
    let (tapped, rest) = (End::new(id, "tap"), End::new(id, "rest"));
    let edits = seen.drafted(|draft| {
        let first = draft.unwire(&tapped)?;
        let second = draft.unwire(&rest);
        draft.make(Edit::Set(
            id.clone(),
            "amount".into(),
            Some(json!(amount.max(1))),
        ))?;
        draft.wire(rest, first)?;
        second.map_or(Some(()), |second| draft.wire(tapped, second))
    })?;
    let name = seen.name(tap);
    Some(StartChange {
        kind: OfferKind::Tap,
        group: format!("over {id}"),
        what: format!("{name} set to {said}, its two outputs changed over"),
        name: format!("change over the outputs of {name}"),
        edits,
    })
}

/// A tap more ahead of a tap: it leads so much past it, to where its rest goes.
fn ahead_of(ahead: &Ahead, tap: usize, amount: u64, said: &str) -> Option<StartChange> {
    let (seen, id) = (ahead.seen, ahead.seen.id(tap));
    let busbar = type_that(&seen.plan, |b| matches!(b, Behaviour::Busbar { .. }));
    let busbar = busbar.map(|kind| kind.name.clone());
    let kind = type_that(&seen.plan, |b| b.name() == "tap")?.name.clone();
    let edits = seen.drafted(|draft| {
        let more = draft.add(&kind, id, &[("amount", json!(amount.max(1)))])?;
        draft.put_into(&End::new(id, "in"), &more, "in", "rest")?;
        let rest = End::new(id, "rest");
        let Some(goes) = draft.unwire(&rest) else {
            return Some(());
        };
        let bar = draft.add(&busbar?, &more, &[])?;
        draft.wire(End::new(&more, "tap"), End::new(&bar, "in1"))?;
        draft.wire(rest, End::new(&bar, "in2"))?;
        draft.wire(End::new(&bar, "out"), goes)
    })?;
    let what = format!("a tap of {said} ahead of {}", seen.name(tap));
    Some(StartChange {
        kind: OfferKind::Tap,
        group: format!("ahead of {id}"),
        name: format!("put {what}"),
        what,
        edits,
    })
}

/// More panels or fewer in each bank, and a panel of its own for a coil.
pub(super) fn panels(ahead: &Ahead) -> Vec<StartChange> {
    let seen = ahead.seen;
    let mut out = Vec::new();
    let banks = ahead.parts.iter().filter(|at| is_panel(seen, **at));
    for at in banks {
        let (count, name) = (seen.plan.parts[*at].count, seen.name(*at));
        for n in [count.saturating_sub(1), count + 1, count + 2] {
            if n > 0 {
                out.push(StartChange {
                    kind: OfferKind::Panel,
                    group: format!("count {at}"),
                    what: format!("{n} of {name}"),
                    name: format!("have {n} of {name}"),
                    edits: vec![Edit::Count(seen.id(*at).clone(), n)],
                });
            }
        }
    }
    let relays = ahead.parts.iter().filter_map(|at| match &seen.specs[*at] {
        Some(Spec::Contact {
            coil,
            breaks,
            function: Function::Relay,
        }) => Some((*at, *coil, *breaks)),
        _ => None,
    });
    for relay in relays.take(COILS) {
        out.extend(own_panels(ahead, relay));
    }
    out
}

/// The cheapest kind of sun panel for a relay's coil alone, turned so that the load starts as wanted. A tap that fed only
/// the coil goes.
fn own_panels(ahead: &Ahead, (relay, coil, breaks): (usize, u64, bool)) -> Vec<StartChange> {
    let seen = ahead.seen;
    let is_sun = |b: &Behaviour| matches!(b, Behaviour::Source { profile: Profile::Sun, peak } if *peak >= coil);
    let Some(kind) = type_that(&seen.plan, is_sun) else {
        return Vec::new();
    };
    let Behaviour::Source { peak, .. } = kind.behaviour else {
        return Vec::new();
    };
    let degrees = |key: &str| kind.set.get(key).and_then(Value::as_f64).unwrap_or(0.0);
    let aim = Aim {
        azimuth: degrees("azimuth"),
        tilt: degrees("tilt"),
    };
    let signals = signals(ahead, relay);
    let [port] = signals.as_slice() else {
        return Vec::new();
    };
    let with = |aim: Aim| {
        let (azimuth, tilt) = (aim.azimuth as u64, aim.tilt as u64);
        let edits = seen.drafted(|draft| {
            let fed = draft.unwire(port);
            let set = [("azimuth", json!(azimuth)), ("tilt", json!(tilt))];
            let panel = draft.add(&kind.name, seen.id(relay), &set)?;
            draft.wire(End::new(&panel, "out"), port.clone())?;
            drop_tap(draft, fed)
        })?;
        let (label, name) = (kind.label.to_lowercase(), seen.name(relay));
        Some(StartChange {
            kind: OfferKind::Panel,
            group: format!("own {relay}"),
            what: format!("a {label} for {name} alone, turned to {azimuth}° and tilted {tilt}°"),
            name: format!("put a {label} to {name}, {azimuth}°, tilted {tilt}°"),
            edits,
        })
    };
    let aims = own_turns(ahead, (aim, peak), coil, breaks);
    aims.into_iter().filter_map(with).collect()
}

/// The signal ports of a part that have a wire.
fn signals(ahead: &Ahead, part: usize) -> Vec<End> {
    let plan = &ahead.seen.plan;
    let id = ahead.seen.id(part);
    let ports = plan.kind_of(&plan.parts[part]).map(PartType::ports);
    let ports = ports.unwrap_or_default().into_iter();
    let ends = ports
        .filter(|p| p.side == Side::Signal)
        .map(|p| End::new(id, &p.name));
    ends.filter(|end| plan.wire_at(end).is_some()).collect()
}

/// Takes a tap out that feeds nothing any more, its rest led past it.
fn drop_tap(draft: &mut Draft, fed: Option<End>) -> Option<()> {
    let Some(end) = fed else {
        return Some(());
    };
    let is_tap = draft.plan.part(&end.part).and_then(|p| draft.plan.spec(p));
    let wired = |port: &str| draft.plan.wire_at(&End::new(&end.part, port)).is_some();
    match (is_tap, end.port.as_str(), wired("in") && wired("rest")) {
        (Some(Spec::Tap(_)), "tap", true) => draft.lead_past(&end.part, "in", "rest"),
        _ => Some(()),
    }
}

/// A twilight switch or a time switch in place of each contact that the load is fed through; to start no earlier, of the
/// load's own too.
pub(super) fn switches(ahead: &Ahead) -> Vec<StartChange> {
    let seen = ahead.seen;
    let contacts = ahead.parts.iter().filter(|at| {
        ahead.feed.contains(at) && matches!(seen.specs[**at], Some(Spec::Contact { .. }))
    });
    let contacts: Vec<usize> = contacts.copied().take(CONTACTS).collect();
    let mut out = Vec::new();
    for (function, called, set) in kinds(ahead) {
        let Some(kind) = contact(&seen.plan, function).map(|t| t.name.clone()) else {
            continue;
        };
        // One of the same kind is only set otherwise.
        let others = contacts.iter();
        for at in others.filter(|at| seen.plan.parts[**at].kind != kind) {
            let what = format!("{called} in place of {}", seen.name(*at));
            let edits = in_place(ahead, *at, &kind, &set);
            out.extend(edits.map(|edits| built(format!("{kind} {at}"), &what, edits)));
        }
        if ahead.meant.bound == Bound::NotBefore {
            let id = seen.id(ahead.load);
            let edits = seen.drafted(|draft| {
                let own = draft.add(&kind, id, &set)?;
                draft.put_into(&End::new(id, "in"), &own, "feed", "out")
            });
            let what = format!("{called} of its own ahead of {}", seen.name(ahead.load));
            out.extend(edits.map(|edits| built(format!("{kind} of its own"), &what, edits)));
        }
    }
    out
}

fn built(group: String, what: &str, edits: Vec<Edit>) -> StartChange {
    StartChange {
        kind: OfferKind::Switch,
        group,
        what: what.to_string(),
        name: format!("put {what}"),
        edits,
    }
}

type Kind = (FunctionName, String, Vec<(&'static str, Value)>);

/// Twilight and time switches that close at the wanted time: function, what it is called, settings.
fn kinds(ahead: &Ahead) -> Vec<Kind> {
    let meant = ahead.meant;
    let mut out = Vec::new();
    for below in thresholds(ahead) {
        for turns in ["make", "break"] {
            let breaks = if turns == "break" { " that breaks" } else { "" };
            out.push((
                FunctionName::Twilight,
                format!("a twilight switch{breaks}, set to light below {below},"),
                vec![("below", json!(below)), ("contact", json!(turns))],
            ));
        }
    }
    // As long as the load runs now, to the end of the minute.
    let stop = meant.of_day(meant.stop);
    let minute = (u128::from(stop) * 1440).div_ceil(u128::from(meant.day.max(1))) % 1440;
    let to = format!("{:02}:{:02}", minute / 60, minute % 60);
    if meant.stop - meant.start() < signed(meant.day) {
        let lag = ahead.seen.plan.book.book.lag_ms;
        let minutes: Vec<Clock> = minutes(meant, lag);
        out.extend(minutes.into_iter().map(|from| {
            (
                FunctionName::Clock,
                format!("a time switch, set to {from} to {to},"),
                vec![("from", json!(from.to_string())), ("to", json!(to))],
            )
        }));
    }
    out
}

/// A contact of this kind in place of one; what only fed its coil by a tap loses the tap.
fn in_place(ahead: &Ahead, at: usize, kind: &str, set: &[(&str, Value)]) -> Option<Vec<Edit>> {
    let id: &PartId = ahead.seen.id(at);
    let signals = signals(ahead, at);
    ahead.seen.drafted(|draft| {
        let new = draft.add(kind, id, set)?;
        let before = draft.unwire(&End::new(id, "feed"))?;
        let after = draft.unwire(&End::new(id, "out"))?;
        let fed: Vec<End> = signals.iter().filter_map(|end| draft.unwire(end)).collect();
        draft.remove(id)?;
        draft.wire(before, End::new(&new, "feed"))?;
        draft.wire(End::new(&new, "out"), after)?;
        fed.into_iter()
            .try_for_each(|end| drop_tap(draft, Some(end)))
    })
}
