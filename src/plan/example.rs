//! The examples that come with the program: plans of one station, as files.

/// The titles and the files' texts of the examples, the fullest first.
pub const fn examples() -> &'static [(&'static str, &'static str)] {
    &[
        (
            "Kittiwake Light",
            include_str!("../../assets/examples/kittiwake-light.json"),
        ),
        (
            "Dusk lamp",
            include_str!("../../assets/examples/dusk-lamp.json"),
        ),
        (
            "First light",
            include_str!("../../assets/examples/first-light.json"),
        ),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_example_is_read_without_a_fault_and_has_a_title() {
        for (title, text) in examples() {
            let plan = crate::plan::read_plan(text).unwrap();
            assert!(!plan.title.is_empty() && !plan.parts.is_empty(), "{title}");
            assert!(plan.parts.iter().all(|p| p.at.is_some()), "{title}");
        }
    }
}
