//! A contact that opens and closes without end. The run finds it.

use crate::plan::{PartId, Plan};
use serde::{Deserialize, Serialize};

/// A contact that was held open until midnight.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Chatter {
    /// The contact.
    pub part: PartId,
}

impl Chatter {
    pub(in crate::net) fn says(&self, plan: &Plan) -> String {
        format!(
            "{} opens and closes without end and was held open until midnight: it switches what feeds its own signal. \
             Feed the signal from ahead of the contact, or put a delay between.",
            plan.called(&self.part)
        )
    }
}
