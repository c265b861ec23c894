//! What somebody read off the base that was built from a plan, kept in local storage by the plan's key: small, and of no use
//! to anybody else, so it is no record of the shelf and goes into no file. It goes when the plan is removed for good.

use super::Keeper;
use super::browser;
use super::trouble::Trouble;

/// Under which name the browser keeps it.
fn name(key: &str) -> String {
    format!("read-off/{key}")
}

impl Keeper {
    /// The readings kept for the plan under `key`.
    pub fn read_off(self, key: &str) -> Option<String> {
        browser::read(&name(key))
    }

    /// Keeps them; an empty text is forgotten.
    ///
    /// # Errors
    /// Where the browser does not keep it.
    pub fn keep_read_off(self, key: &str, text: &str) -> Result<(), Trouble> {
        if text.is_empty() {
            browser::remove(&name(key));
            return Ok(());
        }
        browser::write(&name(key), text)
    }
}
