//! `duskline explain`: its JSON, one part alone, and faults.

use super::*;

#[test]
fn one_part_is_told_with_all_that_speaks_of_it() {
    let file = "assets/examples/dusk-lamp.json";
    let by_name = program::run(&["explain", file, "--part", "Dusk tap", "--json"], "");
    let by_id = program::run(&["explain", file, "--part", "p2", "--json"], "");
    assert_eq!(
        (out(&by_name), by_name.status.code()),
        (out(&by_id), Some(0))
    );
    let told: Value = serde_json::from_str(out(&by_id)).expect("JSON");
    assert_eq!(told["parts"].as_array().map(Vec::len), Some(1));
    assert_eq!(told["parts"][0]["part"], "p2");
    let whole = program::run(&["explain", file, "--json"], "");
    let whole: Value = serde_json::from_str(out(&whole)).expect("JSON");
    for list in ["groups", "day", "dull", "watch"] {
        let has = |item: &&Value| {
            item["parts"]
                .as_array()
                .is_some_and(|p| p.contains(&json!("p2")))
        };
        let of_it: Vec<&Value> = whole[list]
            .as_array()
            .expect("a list")
            .iter()
            .filter(has)
            .collect();
        assert_eq!(
            told[list]
                .as_array()
                .expect("a list")
                .iter()
                .collect::<Vec<_>>(),
            of_it,
            "{list}"
        );
    }
    let readable = program::run(&["explain", file, "--part", "p2"], "");
    assert!(
        out(&readable).contains("sets up to 1 u aside for the coil of Dusk relay"),
        "{}",
        out(&readable)
    );
}

#[test]
fn json_has_what_is_promised_and_faults_end_with_2() {
    for (_, text) in examples() {
        let output = program::run(&["explain", "-", "--json"], text);
        let told: Value = serde_json::from_str(out(&output)).expect("JSON");
        let plan = read_plan(text).expect("an example");
        let exists = |id: &Value| plan.part(&id.as_str().expect("an id").into()).is_some();
        let list = |value: &Value| value.as_array().expect("a list").clone();
        for item in ["groups", "day", "watch"]
            .iter()
            .flat_map(|name| list(&told[*name]))
        {
            assert!(
                item["says"]
                    .as_str()
                    .is_some_and(|says| says.ends_with('.')),
                "{item}"
            );
            assert!(list(&item["parts"]).iter().all(exists), "{item}");
        }
        assert!(list(&told["day"]).iter().all(|step| step["t"].is_u64()));
        for (part, known) in list(&told["parts"]).iter().zip(&plan.parts) {
            assert_eq!(part["part"], known.id.as_str());
            assert!(list(&part["without"]["breaks"]).iter().all(Value::is_u64));
            assert!(list(&part["without"]["stops"]).iter().all(exists));
        }
        assert_eq!(list(&told["parts"]).len(), plan.parts.len());
    }
    let wrong = program::run(
        &["explain", "assets/examples/dusk-lamp.json", "--part", "p99"],
        "",
    );
    assert_eq!(wrong.status.code(), Some(2));
    assert_eq!(
        err(&wrong),
        "--part p99: found no such part, expected a part's id or name\n"
    );
    let unread = program::run(&["explain", "-"], "{}");
    assert_eq!(unread.status.code(), Some(2));
}
