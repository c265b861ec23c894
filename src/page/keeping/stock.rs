//! What somebody says is there for a plan, kept in local storage by the plan's key: small, and of no use to anybody else,
//! so it is no record of the shelf and goes into no file. It goes when the plan is removed for good.

use super::Keeper;
use super::browser;
use super::trouble::Trouble;

/// Under which name the browser keeps it.
fn name(key: &str) -> String {
    format!("stock/{key}")
}

impl Keeper {
    /// What is kept for the plan under `key`.
    pub fn stock(self, key: &str) -> Option<String> {
        browser::read(&name(key))
    }

    /// Keeps it; an empty text is forgotten.
    ///
    /// # Errors
    /// Where the browser does not keep it.
    pub fn keep_stock(self, key: &str, text: &str) -> Result<(), Trouble> {
        if text.is_empty() {
            browser::remove(&name(key));
            return Ok(());
        }
        browser::write(&name(key), text)
    }
}
