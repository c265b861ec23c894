//! The page in the browser.
/// Mounts the page on the document's body.
pub fn mount() {}
