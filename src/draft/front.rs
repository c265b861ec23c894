//! The front: of all plans found those of which none is at least as bad as another in everything that is dear, in the hours
//! that it holds without sun and wind, and in its single points of failure.

use super::judge::Drafted;
use super::order::Least;
use std::cmp::Ordering;

/// How many plans are told at the most.
pub const MOST_PLANS: usize = 6;

/// How much of something dear a plan has; spilled energy by the day is compared without rounding.
fn compare(a: &Drafted, b: &Drafted, least: Least) -> Ordering {
    match least {
        Least::Materials => a.materials_sum.cmp(&b.materials_sum),
        Least::Parts => a.parts.cmp(&b.parts),
        Least::Kinds => a.kinds.cmp(&b.kinds),
        Least::Spilled => {
            let (one, two) = (a.spilled, b.spilled);
            (one.0 * i128::from(two.1)).cmp(&(two.0 * i128::from(one.1)))
        }
    }
}

/// How long a plan holds: none is for ever.
fn compare_hours(a: &Drafted, b: &Drafted) -> Ordering {
    let hours = |plan: &Drafted| plan.holds.unwrap_or(u64::MAX);
    hours(a).cmp(&hours(b))
}

/// Whether `a` is at least as bad as `b` in everything.
pub(super) fn is_no_better(a: &Drafted, b: &Drafted, least: &[Least]) -> bool {
    let dear = least.iter().all(|l| compare(a, b, *l) != Ordering::Less);
    dear && compare_hours(a, b) != Ordering::Greater && a.single_points >= b.single_points
}

/// Takes a plan in, unless one that is there is as good in everything; those that it outdoes go. Whether it is in.
pub(super) fn take_in(front: &mut Vec<Drafted>, plan: Drafted, least: &[Least]) -> bool {
    if front.iter().any(|known| is_no_better(&plan, known, least)) {
        return false;
    }
    front.retain(|known| !is_no_better(known, &plan, least));
    front.push(plan);
    true
}

/// The plans that are told, the least first: the best in each respect, then those that cost least.
pub(super) fn told(mut front: Vec<Drafted>, least: &[Least]) -> Vec<Drafted> {
    let by_cost = |a: &Drafted, b: &Drafted| {
        let mut each = least.iter().map(|l| compare(a, b, *l));
        let dear = each.find(|o| *o != Ordering::Equal);
        dear.unwrap_or_else(|| compare_hours(b, a))
            .then(a.single_points.cmp(&b.single_points))
    };
    front.sort_by(by_cost);
    if front.len() <= MOST_PLANS {
        return front;
    }
    let best = |order: &dyn Fn(&Drafted, &Drafted) -> Ordering| {
        let places = 0..front.len();
        places.min_by(|a, b| order(&front[*a], &front[*b]))
    };
    let mut chosen: Vec<usize> = Vec::new();
    for one in least {
        chosen.extend(best(&|a, b| compare(a, b, *one)));
    }
    chosen.extend(best(&|a, b| compare_hours(b, a)));
    chosen.extend(best(&|a, b| a.single_points.cmp(&b.single_points)));
    chosen.extend(0..front.len());
    let mut kept: Vec<usize> = Vec::new();
    for at in chosen {
        if !kept.contains(&at) && kept.len() < MOST_PLANS {
            kept.push(at);
        }
    }
    let mut at = 0;
    front.retain(|_| {
        at += 1;
        kept.contains(&(at - 1))
    });
    front
}
