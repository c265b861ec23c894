//! Why the browser kept or gave nothing, in words for people.

use std::fmt;
use wasm_bindgen::JsValue;

/// Why nothing was written or read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Trouble {
    /// The browser keeps nothing for this page.
    NoStorage,
    /// There is no room left.
    Full,
    /// The browser refused; the name of its error, if it has one.
    Refused(String),
    /// Another page has written the record meanwhile.
    Changed,
}

impl fmt::Display for Trouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Trouble::NoStorage => write!(f, "This browser does not let the page keep anything"),
            Trouble::Full => write!(f, "The browser's room for this page is full"),
            Trouble::Refused(name) if name.is_empty() => {
                write!(f, "The browser refused to keep the plan")
            }
            Trouble::Refused(name) => write!(f, "The browser refused to keep the plan ({name})"),
            Trouble::Changed => write!(f, "Another tab has changed the plan meanwhile"),
        }
    }
}

impl From<idb::Error> for Trouble {
    fn from(error: idb::Error) -> Trouble {
        use idb::Error as E;
        match error {
            E::DomException(error) => Trouble::of(&error),
            E::GetFailed(v)
            | E::GetAllFailed(v)
            | E::GetAllKeysFailed(v)
            | E::UpdateFailed(v)
            | E::DeleteFailed(v)
            | E::IndexedDbNotFound(v)
            | E::IndexedDbOpenFailed(v)
            | E::TransactionOpenFailed(v) => Trouble::of(&v),
            _ => Trouble::Refused(String::new()),
        }
    }
}

impl Trouble {
    /// What an error of the browser stands for.
    pub(super) fn of(error: &JsValue) -> Trouble {
        let name = js_sys::Reflect::get(error, &JsValue::from_str("name"));
        match name.ok().and_then(|n| n.as_string()).unwrap_or_default() {
            name if name.to_lowercase().contains("quota") => Trouble::Full,
            name => Trouble::Refused(name),
        }
    }
}
