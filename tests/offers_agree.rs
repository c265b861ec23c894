//! Offers and takes at t = 0 against an independent calculation with networkx: `tests/fixtures/offers_networkx.py` made
//! the plans and the numbers, and says with which versions. In whole steps; time is not looked at.

use duskline::plan::read_plan;
use duskline::run;
use serde_json::Value;

#[test]
fn every_wire_of_every_random_plan_offers_and_takes_what_networkx_found() {
    let fixture: Value =
        serde_json::from_str(include_str!("fixtures/offers_networkx.json")).expect("the fixture");
    let cases = fixture["cases"].as_array().expect("cases");
    assert_eq!(cases.len(), 300);
    for case in cases {
        let title = &case["plan"]["title"];
        let plan = read_plan(&case["plan"].to_string())
            .unwrap_or_else(|faults| panic!("{title}: {faults:?}"));
        let expected = case["wires"].as_object().expect("wires");
        let instant = run::at(&plan, 0);
        assert_eq!(plan.wires.len(), expected.len(), "{title}");
        for (wire, flow) in plan.wires.iter().zip(&instant.wires) {
            let found = serde_json::json!([flow.offer, flow.take]);
            assert_eq!(
                found,
                expected[wire.id.as_str()],
                "{title}, wire {}",
                wire.id
            );
        }
    }
}
