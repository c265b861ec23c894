//! The head of our documents: which form it is and of which version.

use super::{Fault, FaultKind, Place};
use serde_json::{Map, Value};

/// What a document must say of itself.
#[derive(Clone, Copy, Debug)]
pub struct Head {
    /// The name of its form.
    pub format: &'static str,
    /// The version that this program reads and writes.
    pub version: u64,
    /// What it is, for people: `plan`.
    pub what: &'static str,
}

impl Head {
    /// Checks that `map` is a document of this form and version.
    pub fn check(self, map: &Map<String, Value>, root: &Place) -> Result<(), Fault> {
        let expected = format!("\"{}\"", self.format);
        let at = root.key("format");
        match map.get("format") {
            None => return Err(at.fault(FaultKind::Format, "nothing", expected)),
            Some(v) if v.as_str() != Some(self.format) => {
                return Err(at.wrong(FaultKind::Format, v, expected));
            }
            _ => {}
        }
        let (at, version) = (root.key("version"), self.version);
        let Some(written) = map.get("version") else {
            return Err(at.fault(FaultKind::Missing, "nothing", version.to_string()));
        };
        // A whole number may be written with a point, here as everywhere.
        let newest = version as f64;
        match written.as_f64() {
            Some(n) if n == newest => Ok(()),
            Some(n) if n > newest && n.fract() == 0.0 => {
                let newer = format!(
                    "{version}; this {} was made by a newer Duskline: update this one",
                    self.what
                );
                Err(at.wrong(FaultKind::Newer, written, newer))
            }
            Some(_) => Err(at.wrong(FaultKind::Range, written, version.to_string())),
            None => Err(at.wrong(FaultKind::Type, written, version.to_string())),
        }
    }

    /// The first fields of such a document.
    pub fn written(self) -> Map<String, Value> {
        let mut map = Map::new();
        map.insert("format".into(), self.format.into());
        map.insert("version".into(), self.version.into());
        map
    }
}

/// The form that a document says it has, if it says so.
pub fn format_of(document: &Value) -> Option<&str> {
    document.get("format")?.as_str()
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn a_document_of_another_form_or_version_is_told_what_was_expected() {
        let head = Head {
            format: "duskline/world",
            version: 1,
            what: "world",
        };
        let said = |value: Value| {
            let map = value.as_object().unwrap();
            let told = head.check(map, &Place::root("world"));
            told.map_err(|fault| fault.to_string()).err()
        };
        assert_eq!(
            said(json!({"format": "duskline/world", "version": 1.0})),
            None
        );
        let rows = [
            (
                json!({}),
                "format: found nothing, expected \"duskline/world\"",
            ),
            (
                json!({"format": "duskline/plan", "version": 1}),
                "format: found \"duskline/plan\", expected \"duskline/world\"",
            ),
            (
                json!({"format": "duskline/world"}),
                "version: found nothing, expected 1",
            ),
            (
                json!({"format": "duskline/world", "version": 2}),
                "version: found 2, expected 1; this world was made by a newer Duskline: update this one",
            ),
            (
                json!({"format": "duskline/world", "version": 0}),
                "version: found 0, expected 1",
            ),
            (
                json!({"format": "duskline/world", "version": "1"}),
                "version: found \"1\", expected 1",
            ),
        ];
        for (value, expected) in rows {
            assert_eq!(said(value).as_deref(), Some(expected));
        }
    }
}
