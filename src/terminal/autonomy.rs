//! `duskline autonomy`: how long duties hold without sun and wind, and how many days of bad weather are survived.

use super::proof_output::{
    AutonomyOutput, BadBreakOutput, BadWeatherOutput, FirstDaysOutput, FromOutput, HoldsOutput,
    WorstOutput, WorstStartOutput,
};
use super::{Answer, print, table::Table};
use crate::plan::{Clock, Duty, Plan};
use crate::proof::{
    self, Autonomy, BadWeather, Breaks, Check, FirstDays, Holds, MOST_BAD, WorstStart, WorstStarts,
};
use crate::quantity::Ms;
use crate::sheet::losses::moment;
use crate::sheet::verdict;

/// What is found, as JSON or for reading. `from` is the instant asked about, if one was: then nothing else is looked for,
/// since the worst start may take long.
pub(super) fn answer(plan: &Plan, from: Option<(Clock, u64)>, json: bool) -> Answer {
    let day_ms = plan.world.day_ms();
    let check = proof::check(plan);
    let instant = |(clock, day): (Clock, u64)| clock.ms(day_ms) + (day - 1) * day_ms;
    let here = from.map(|from| proof::autonomy(plan, instant(from)));
    let sought = here.is_none().then(|| {
        let worst = proof::worst_starts(plan, &check, &mut |_, _, _| true);
        let weather = proof::bad_weather(plan, &check, &mut |_, _, _| true);
        (worst, weather)
    });
    let text = if json {
        print(&as_json(plan, here.as_ref(), sought.as_ref()))
    } else {
        as_text(plan, &check, here.as_ref(), sought.as_ref())
    };
    Answer {
        text,
        failed: !check.is_fine(),
    }
}

fn holding(plan: &Plan, duty: usize, holds: Holds) -> HoldsOutput<'_> {
    let (time, at_least) = match holds {
        Holds::For { time, .. } => (Some(time), None),
        Holds::Stopped(time) => (None, Some(time)),
        Holds::Days(days) => (None, Some(days.saturating_mul(plan.world.day_ms()))),
        Holds::ForEver => (None, None),
    };
    HoldsOutput {
        part: &plan.duties[duty].part,
        holds: time,
        for_ever: holds == Holds::ForEver,
        at_least,
        stopped: matches!(holds, Holds::Stopped(_)),
        then: holds.then(),
    }
}

fn worst_json<'a>(plan: &'a Plan, worst: &WorstStarts) -> WorstOutput<'a> {
    let starts = worst.duties.iter().enumerate();
    let start = |(at, start): (usize, &WorstStart)| WorstStartOutput {
        holds: holding(plan, at, start.holds),
        t: start.from,
    };
    WorstOutput {
        days: (worst.days.0 + 1, worst.days.1),
        for_ever: worst.for_ever,
        tried: worst.tried,
        apart: worst.apart,
        more: worst.more,
        stopped: worst.stopped,
        duties: starts.map(start).collect(),
        first_days: worst.first_days.as_ref().map(|first| {
            let duties = first.duties.iter().enumerate();
            FirstDaysOutput {
                days: first.days,
                tried: first.tried,
                apart: first.apart,
                more: first.more,
                duties: duties
                    .map(|(at, worst)| worst.as_ref().map(|worst| start((at, worst))))
                    .collect(),
            }
        }),
    }
}

fn weather_json(weather: &BadWeather) -> BadWeatherOutput<'_> {
    let breaks = |breaks: Breaks| BadBreakOutput {
        day: breaks.day + 1,
        duty: breaks.duty,
        from: breaks.from,
        then: if breaks.on { "on" } else { "off" },
    };
    BadWeatherOutput {
        days: weather.days,
        most: MOST_BAD,
        sun: weather.has_sun,
        for_ever: weather.for_ever,
        kept: &weather.kept,
        breaks: weather.breaks.map(breaks),
        stopped: weather.stopped,
        open: weather.open,
    }
}

fn as_json<'a>(
    plan: &'a Plan,
    here: Option<&Autonomy>,
    sought: Option<&'a (WorstStarts, BadWeather)>,
) -> AutonomyOutput<'a> {
    let from = |here: &Autonomy| {
        let duties = here.duties.iter().enumerate();
        FromOutput {
            t: here.from,
            duties: duties.map(|(at, h)| holding(plan, at, *h)).collect(),
        }
    };
    AutonomyOutput {
        from: here.map(from),
        worst: sought.map(|(worst, _)| worst_json(plan, worst)),
        bad_weather: sought.map(|(_, weather)| weather_json(weather)),
    }
}

fn until(plan: &Plan, from: Ms, holds: Holds) -> String {
    match holds {
        Holds::For { time, .. } => moment(plan, from.saturating_add(time)),
        _ => String::new(),
    }
}

fn as_text(
    plan: &Plan,
    check: &Check,
    here: Option<&Autonomy>,
    sought: Option<&(WorstStarts, BadWeather)>,
) -> String {
    if plan.duties.is_empty() {
        return "The plan has no duties.\n".into();
    }
    let mut text = String::new();
    if let Some(here) = here {
        let mut table = Table::new(&["duty", "holds", "until", "then"]);
        for (duty, holds) in plan.duties.iter().zip(&here.duties) {
            table.row([
                verdict::duty(plan, duty),
                holds.says(),
                until(plan, here.from, *holds),
                holds.then().unwrap_or_default().into(),
            ]);
        }
        text.push_str(&format!(
            "No sun and wind from {} on\n{table}",
            moment(plan, here.from)
        ));
    }
    let Some((worst, weather)) = sought else {
        return text;
    };
    if worst.tried > 0 {
        text.push_str(&worst_text(plan, worst));
    }
    text.push_str(&format!("{}\n", worst.says()));
    if let Some(first) = worst.first_days.as_ref().filter(|first| first.are_worse()) {
        text.push_str(&first_days_text(plan, first));
    }
    let broken = check
        .duties
        .iter()
        .zip(&plan.duties)
        .filter(|(v, _)| !v.kept);
    let broken: Vec<String> = broken.map(|(_, duty)| verdict::duty(plan, duty)).collect();
    if !broken.is_empty() {
        text.push_str(&format!(
            "Broken with sun and wind too: {}.\n",
            broken.join("; ")
        ));
    }
    text.push_str(&format!(
        "\n{}\n",
        proof::bad_weather_says(plan, check, weather, &mut |_, _, _| true)
    ));
    text
}

/// Where starts are told that come again every round of days, the head says so.
fn worst_text(plan: &Plan, worst: &WorstStarts) -> String {
    let tried = if worst.more { " tried" } else { "" };
    let once = match (worst.days.0, worst.for_ever) {
        (0, _) => String::new(),
        (_, true) => ", once the days repeat".into(),
        (_, false) => format!(", on day {}", worst.days.1),
    };
    let rows = plan.duties.iter().zip(worst.duties.iter().copied());
    let table = starts_table(plan, rows);
    format!("No sun and wind from the worst moment{tried} on{once}\n{table}")
}

fn first_days_text(plan: &Plan, first: &FirstDays) -> String {
    let duties = plan.duties.iter().zip(&first.duties);
    let table = starts_table(
        plan,
        duties.filter_map(|(duty, worst)| Some((duty, (*worst)?))),
    );
    format!(
        "\nNo sun and wind from a worse moment on, in {}\n{table}",
        first.called()
    )
}

fn starts_table<'a>(plan: &Plan, rows: impl Iterator<Item = (&'a Duty, WorstStart)>) -> Table {
    let mut table = Table::new(&["duty", "holds", "from", "until", "then"]);
    for (duty, w) in rows {
        table.row([
            verdict::duty(plan, duty),
            w.holds.says(),
            moment(plan, w.from),
            until(plan, w.from, w.holds),
            w.holds.then().unwrap_or_default().into(),
        ]);
    }
    table
}
