//! What happens in a run, in words: one event, and all that happen at one moment as a caption.

use crate::plan::Plan;
use crate::quantity::Ms;
use crate::run::{Record, What};

/// So many events of one moment are told; the others are counted.
const TOLD: usize = 4;

/// What happened, in words that follow a part's name: `starts`.
pub fn what_happens(what: What) -> &'static str {
    match what {
        What::Opens => "opens",
        What::Closes => "closes",
        What::Chatters => "chatters, held open",
        What::Full => "is full",
        What::OutputOff => "output goes off",
        What::OutputOn => "output comes on",
        What::Runs => "starts",
        What::Stops => "stops",
    }
}

/// What happened last, as a caption tells it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Caption {
    /// When, in milliseconds since midnight of day 1.
    pub t: Ms,
    /// All that happened then: `Dusk relay closes. Dusk lamp starts.`
    pub says: String,
}

/// What happened last up to a moment; none before the first event.
pub fn caption(plan: &Plan, record: &Record, moment: Ms) -> Option<Caption> {
    let until = record.events.partition_point(|event| event.t <= moment);
    let t = record.events[..until].last()?.t;
    let from = record.events.partition_point(|event| event.t < t);
    let together = &record.events[from..until];
    let says = together.iter().take(TOLD).filter_map(|event| {
        let part = record.ids.get(event.place())?;
        Some(format!(
            "{} {}.",
            plan.called(part),
            what_happens(event.what)
        ))
    });
    let mut says: Vec<String> = says.collect();
    match together.len().saturating_sub(TOLD) {
        0 => {}
        1 => says.push("One thing more happens.".into()),
        more => says.push(format!("{more} things more happen.")),
    }
    Some(Caption {
        t,
        says: says.join(" "),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{examples, read_plan};
    use crate::run::run;

    #[test]
    fn a_caption_tells_all_that_happened_at_the_last_moment_with_an_event() {
        for (name, text) in examples() {
            let plan = read_plan(text).expect("an example reads");
            let record = run(&plan, 1);
            let events = &record.events;
            assert!(!events.is_empty(), "{name}");
            let first = events[0].t;
            if first > 0 {
                assert_eq!(caption(&plan, &record, first - 1), None, "{name}");
            }
            for event in events {
                let told = caption(&plan, &record, event.t).expect("something happened");
                assert_eq!(told.t, event.t, "{name}");
                let together = events.iter().filter(|e| e.t == event.t).count();
                let sentences = told.says.matches('.').count();
                assert_eq!(sentences, together.min(TOLD + 1), "{name}: {}", told.says);
                let part = plan.called(&record.ids[event.place()]);
                let own = format!("{part} {}.", what_happens(event.what));
                assert!(together > TOLD || told.says.contains(&own), "{name}: {own}");
            }
        }
    }
}
