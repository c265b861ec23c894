//! What somebody enters towards a plan and is of no use to anybody else, kept in local storage by the plan's key: small, so it
//! is no record of the shelf and goes into no file. It goes when the plan is removed for good.

use super::Keeper;
use super::browser;
use super::trouble::Trouble;

/// Which text of a plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PlanText {
    /// What is there of what is to be gathered.
    Stock,
    /// Which steps of the order of work are done.
    Ticks,
    /// What was read off the base as it was built.
    Readings,
    /// Where its walk was left.
    Walk,
}

impl PlanText {
    /// All of them.
    pub const ALL: [PlanText; 4] = [
        PlanText::Stock,
        PlanText::Ticks,
        PlanText::Readings,
        PlanText::Walk,
    ];

    /// Under which name the browser keeps it for the plan under `key`.
    fn name(self, key: &str) -> String {
        let kind = match self {
            PlanText::Stock => "stock",
            PlanText::Ticks => "ticks",
            PlanText::Readings => "read-off",
            PlanText::Walk => "walk",
        };
        format!("{kind}/{key}")
    }
}

impl Keeper {
    /// The text kept for the plan under `key`.
    pub fn plan_text(self, which: PlanText, key: &str) -> Option<String> {
        browser::read(&which.name(key))
    }

    /// Keeps it; an empty text is forgotten.
    ///
    /// # Errors
    /// Where the browser does not keep it.
    pub fn keep_plan_text(self, which: PlanText, key: &str, text: &str) -> Result<(), Trouble> {
        if text.is_empty() {
            browser::remove(&which.name(key));
            return Ok(());
        }
        browser::write(&which.name(key), text)
    }
}
