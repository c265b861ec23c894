//! `duskline link` and `duskline open`: a plan or a world to a link and back.

use super::{Answer, lines, text_of};
use crate::plan::{Plan, WORLD_FORMAT, link, read_plan, read_world};
use crate::read::{Faults, format_of, json};

/// The plan or the world in a file as a link to the page at `base`; of a plan's own book maybe only the types that it uses.
pub(super) fn of_file(file: &str, base: &str, used_types: bool) -> Result<Answer, String> {
    let text = text_of(file)?;
    let value = json(text.trim_start_matches('\u{feff}'));
    let is_world = value.is_ok_and(|value| format_of(&value) == Some(WORLD_FORMAT));
    let fragment = match is_world {
        true => read_world(&text).map(|world| link::world_to_fragment(&world)),
        false => read_plan(&text).map(|plan| match used_types {
            true => link::to_fragment(&plan.with_used_types()),
            false => link::to_fragment(&plan),
        }),
    };
    let fragment = fragment.map_err(|faults| lines(file, &faults))?;
    let base = base.split('#').next().unwrap_or("");
    Ok(Answer::new(format!("{base}#{fragment}\n"), &[]))
}

/// The file of the plan or the world that a link carries.
pub(super) fn open(text: &str) -> Result<Answer, String> {
    let text = if text == "-" {
        text_of(text)?
    } else {
        text.to_string()
    };
    let faulty = |faults: &Faults| lines("link", faults);
    if link::carried(&text) == Some(link::Carried::World) {
        return match link::world_from_link(&text) {
            Ok(world) => Ok(Answer::new(world.print(), &[])),
            Err(link::WorldLinkError(link::LinkError::NoPlan(faults))) if !faults.is_empty() => {
                Err(faulty(&faults))
            }
            Err(error) => Err(format!("{error}\n")),
        };
    }
    Ok(Answer::new(plan_in(&text)?.print(), &[]))
}

/// Whether a text looks like a link to a plan, whole or not.
pub(super) fn carried_plan(text: &str) -> bool {
    link::carried(text) == Some(link::Carried::Plan)
}

/// The plan in a link.
pub(super) fn plan_in(text: &str) -> Result<Plan, String> {
    match link::from_link(text) {
        Ok(found) if found.faults.is_empty() => Ok(found.plan),
        Ok(found) => Err(lines("link", &found.faults)),
        Err(link::LinkError::NoPlan(faults)) if !faults.is_empty() => Err(lines("link", &faults)),
        Err(error) => Err(format!("{error}\n")),
    }
}
