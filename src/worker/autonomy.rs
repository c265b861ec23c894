//! How long duties hold without sun and wind at the worst, and what bad weather is survived.

use super::host::Host;
use super::task::Answer;
use crate::proof::{self, Study};
use std::sync::Arc;

/// How many starts are tried before what was found is told.
const STARTS: u64 = 200;

/// The worst starts, then the weather; each is half of the way.
pub(super) async fn autonomy(study: &Arc<Study>, host: &dyn Host) {
    let (plan, check) = (study.plan(), study.check());
    if !host.goes_on().await {
        return;
    }
    let mut said = 0;
    let starts = proof::worst_starts(plan, check, &mut |done, of, found| {
        if found.tried >= said + STARTS {
            said = found.tried;
            host.say(Answer::Progress(done, of.saturating_mul(2)));
            host.say(Answer::Worst(Box::new(found.clone())));
        }
        true
    });
    host.say(Answer::Worst(Box::new(starts.clone())));
    if !host.goes_on().await {
        return;
    }
    let weather = proof::bad_weather(plan, check, &mut |done, of, _| {
        host.say(Answer::Progress(of + done, of * 2));
        true
    });
    let weather = proof::bad_weather_says(plan, check, &weather, &mut |_, _, _| true);
    host.say(Answer::Autonomy(Box::new((starts, weather))));
}
