//! What somebody has towards a plan and what of it he has done, kept in local storage by the plan's key: small, and of no use
//! to anybody else, so it is no record of the shelf and goes into no file. It goes when the plan is removed for good.

use super::Keeper;
use super::browser;
use super::trouble::Trouble;

/// Under which name the browser keeps what is there for a plan.
fn stock_name(key: &str) -> String {
    format!("stock/{key}")
}

/// Under which name it keeps which steps are done.
fn ticks_name(key: &str) -> String {
    format!("ticks/{key}")
}

/// Keeps a text; an empty one is forgotten.
fn keep(name: &str, text: &str) -> Result<(), Trouble> {
    if text.is_empty() {
        browser::remove(name);
        return Ok(());
    }
    browser::write(name, text)
}

impl Keeper {
    /// What is kept as there for the plan under `key`.
    pub fn stock(self, key: &str) -> Option<String> {
        browser::read(&stock_name(key))
    }

    /// Keeps it; an empty text is forgotten.
    ///
    /// # Errors
    /// Where the browser does not keep it.
    pub fn keep_stock(self, key: &str, text: &str) -> Result<(), Trouble> {
        keep(&stock_name(key), text)
    }

    /// What is kept as done of the plan under `key`.
    pub fn ticks(self, key: &str) -> Option<String> {
        browser::read(&ticks_name(key))
    }

    /// Keeps it; an empty text is forgotten.
    ///
    /// # Errors
    /// Where the browser does not keep it.
    pub fn keep_ticks(self, key: &str, text: &str) -> Result<(), Trouble> {
        keep(&ticks_name(key), text)
    }
}
