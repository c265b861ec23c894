//! Whoever has a question worked out: takes the answer in pieces, and says when to pause and when to stop.

use super::task::Answer;
use std::pin::Pin;

/// A pause of the work.
pub type Pause = Pin<Box<dyn Future<Output = ()>>>;

/// Whoever has a question worked out.
pub trait Host {
    /// Takes a piece of the answer.
    fn say(&self, piece: Answer);

    /// What to wait for before the next step; nothing while the work may go on at once.
    fn pause(&self) -> Option<Pause>;

    /// Whether the answer is no longer wanted.
    fn is_stopped(&self) -> bool;
}

impl dyn Host + '_ {
    /// Pauses where the host wants it; whether to go on.
    pub(super) async fn goes_on(&self) -> bool {
        if let Some(pause) = self.pause() {
            pause.await;
        }
        !self.is_stopped()
    }
}
