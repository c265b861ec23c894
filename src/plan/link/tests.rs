//! The link form: sizes, round trips, every error's text, and nothing that panics.

mod with_site;
mod with_walk;

use super::*;
use crate::plan::{Edit, End, Part, Wire, read_plan};
use proptest::prelude::*;
use serde_json::{Value, json};

const KITTIWAKE: &str = include_str!("../../../assets/examples/kittiwake-light.json");

fn kittiwake() -> Plan {
    read_plan(KITTIWAKE).unwrap()
}

fn opened(link: &str) -> Plan {
    let found = from_link(link).unwrap();
    assert_eq!(found.faults, vec![]);
    found.plan
}

/// Names as somebody gives them: a place and a thing.
const PLACES: [&str; 32] = [
    "Roof",
    "Gallery",
    "Galley",
    "Bunk room",
    "Stair",
    "North wall",
    "Kiln",
    "Cormorant ledge",
    "Pump house",
    "Causeway",
    "Tern cove",
    "Store",
    "Fog deck",
    "Lamp room",
    "Cistern",
    "Smokehouse",
    "Slipway",
    "Boathouse",
    "Seal rock",
    "Workshop",
    "Crow loft",
    "Kelp shed",
    "South door",
    "Weather mast",
    "Goat pen",
    "Larder",
    "Chart table",
    "Winch",
    "Tide gate",
    "Oil store",
    "Signal post",
    "Old chapel",
];

/// What is put up, with the settings that its builder gave it.
fn thing(n: u64) -> (&'static str, &'static str, Value) {
    match n % 24 {
        0 | 1 => (
            "sun-panel",
            "panel",
            json!({ "azimuth": 100 + n * 7 % 160 }),
        ),
        2 => ("wind-turbine", "turbine", json!({})),
        3 => (
            "battery-rack",
            "batteries",
            json!({ "start": n * 50 % 1000 }),
        ),
        4 | 5 => ("busbar-4", "busbar", json!({})),
        7..=9 => ("divider-4", "divider", json!({})),
        10 | 11 => ("lamp", "lamp", json!({})),
        12 => ("heater", "heater", json!({})),
        6 | 13 => ("tap", "tap", json!({ "amount": 1 + n % 5 })),
        14 => ("relay", "relay", json!({ "contact": "break" })),
        15 => ("changeover", "changeover", json!({})),
        16 => ("or", "seal-in", json!({})),
        17 => ("latch", "latch", json!({})),
        18 => ("button", "button", json!({ "presses": ["06:10"] })),
        19 => (
            "time-switch",
            "hours",
            json!({ "from": "10:00", "to": "14:30" }),
        ),
        20 => ("on-delay", "delay", json!({ "delay_s": 90 })),
        21 => ("freezer", "freezer", json!({})),
        22 => ("counter", "counter", json!({ "target": 3 })),
        _ => ("divider-3", "share", json!({})),
    }
}

/// A small generator of numbers, so that a plan is the same everywhere.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: u64) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % sides
    }
}

/// A plan as somebody would build it: parts set down in rows from left to right, mostly wired to what was just put up.
fn built(seed: u64, parts: usize, wires: usize) -> Plan {
    let mut dice = Dice(seed);
    let mut plan = Plan::empty();
    plan.apply(Edit::Title("Kittiwake Light, east side".into()))
        .unwrap();
    let (mut x, mut y) = (0.0, 0.0);
    for n in 0..parts {
        let (kind, word, set) = thing(dice.roll(24));
        let id = plan.new_part_id();
        let mut part = Part::new(id, kind, (x, y));
        let place = PLACES[dice.roll(32) as usize];
        part.name = format!("{place} {word}");
        if dice.roll(6) == 0 {
            part.name.push_str(&format!(" {}", 2 + dice.roll(3)));
        }
        part.set = set.as_object().unwrap().clone();
        plan.apply(Edit::AddPart(n, part)).unwrap();
        x += 240.0 + 8.0 * (dice.roll(3) * dice.roll(4)) as f64;
        if dice.roll(7) == 0 {
            (x, y) = (240.0 * dice.roll(3) as f64, y + 136.0);
        }
    }
    let free = |plan: &Plan, out: bool| -> Vec<End> {
        let ends = plan.parts.iter().flat_map(|p| {
            let ports = plan.kind_of(p).unwrap().ports().into_iter();
            ports
                .filter(|q| (q.side == crate::book::Side::Out) == out)
                .map(|q| End::new(&p.id, &q.name))
        });
        ends.filter(|e| plan.wire_at(e).is_none()).collect()
    };
    if free(&plan, true).len() < wires || free(&plan, false).len() < wires {
        return built(seed + 1000, parts, wires);
    }
    for n in 0..wires {
        // The next free output in the order of parts, and a free input a little after it; one in eight goes far.
        let from = free(&plan, true);
        let from = from[dice.roll(3).min(from.len() as u64 - 1) as usize].clone();
        let at = plan.parts.iter().position(|p| p.id == from.part).unwrap();
        let to = free(&plan, false);
        let after = to
            .iter()
            .position(|e| plan.parts.iter().position(|p| p.id == e.part).unwrap() > at);
        let reach = if dice.roll(8) == 0 {
            to.len() as u64
        } else {
            3
        };
        let to = to[(after.unwrap_or(0) + dice.roll(reach) as usize) % to.len()].clone();
        let id = plan.new_wire_id();
        plan.apply(Edit::AddWire(n, Wire::new(id, from, to)))
            .unwrap();
    }
    plan
}

#[test]
fn sixty_parts_and_ninety_wires_with_names_fit_in_eight_hundred_characters() {
    let mut sizes: Vec<usize> = (1..=9)
        .map(|seed| {
            let plan = built(seed, 60, 90);
            let link = to_fragment(&plan);
            assert_eq!(opened(&link), plan);
            link.len()
        })
        .collect();
    sizes.sort();
    println!(
        "60 parts, 90 wires: {sizes:?}; Kittiwake Light: {}",
        to_fragment(&kittiwake()).len()
    );
    assert!(sizes[8] <= 800, "{sizes:?}");
}

/// What somebody calls the parts of a world of his own.
const SORTS: [&str; 15] = [
    "Driftwood",
    "Kelp",
    "Brass",
    "Cliff",
    "Heavy",
    "Old",
    "Twin",
    "Storm",
    "Cellar",
    "Tidal",
    "Whale-oil",
    "Moss",
    "Iron",
    "Northern",
    "Salvaged",
];

/// What somebody says of a part in one line.
const SAID: [&str; 10] = [
    "Found only in the wreck on the north shore.",
    "Turns with the tide, twice a day.",
    "Needs a roof of slate above it.",
    "The forge must be lit before it can be made.",
    "Stands in salt water without rust.",
    "Two people carry it, one alone drops it.",
    "Burns blue in fog and white in clear air.",
    "Traded at the market for smoked herring.",
    "Hums so loud that nobody sleeps beside it.",
    "Breaks when a gull lands on it.",
];

/// The plan with a book of 30 types of somebody's own: every one with a label, numbers and a cost of his own, every third
/// with a line of his own words.
fn with_own_types(plan: &Plan) -> Plan {
    let outpost = crate::book::built_in("outpost").unwrap();
    let used = |t: &&crate::book::PartType| plan.parts.iter().any(|p| p.kind == t.name);
    let rest = outpost.types.iter().filter(|t| !used(t));
    let chosen: Vec<_> = outpost
        .types
        .iter()
        .filter(used)
        .chain(rest)
        .take(30)
        .collect();
    let materials = [
        "driftwood",
        "iron",
        "kelp fibre",
        "copper wire",
        "sealskin",
        "sea glass",
        "tar",
    ];
    let mut dice = Dice(7);
    let (mut types, mut value) = (Vec::new(), plan.to_value());
    for (n, t) in chosen.into_iter().enumerate() {
        let mut own = t.to_value(&outpost.unit);
        let label = format!("{} {}", SORTS[n % 15], t.label.to_lowercase());
        let name = crate::book::name_of_label(&label, "part");
        for part in value["parts"].as_array_mut().unwrap() {
            if part["type"] == t.name.as_str() {
                part["type"] = name.as_str().into();
            }
        }
        own["type"] = name.into();
        own["label"] = label.into();
        for key in ["peak", "draw", "capacity", "max_in", "max_out", "coil"] {
            if let Some(before) = own.get(key).and_then(Value::as_u64) {
                own[key] = (before * (2 + dice.roll(9)) + dice.roll(4)).into();
            }
        }
        own["cost"] = json!({});
        for _ in 0..1 + dice.roll(3) {
            own["cost"][materials[dice.roll(7) as usize]] = (1 + dice.roll(12)).into();
        }
        own["stage"] = (1 + n / 8).into();
        own["note"] = "".into();
        own["says"] = if n % 3 == 0 { SAID[n / 3] } else { "" }.into();
        types.push(own);
    }
    value["book"] =
        json!({ "name": "Skerry", "unit": "u", "step": 1, "lag_ms": 100, "types": types });
    read_plan(&value.to_string()).unwrap()
}

/// How long a plan's link was before books went as differences.
fn as_before(plan: &Plan) -> usize {
    fragment(PLAN, 1, &pack::pack(plan)).len()
}

#[test]
fn sixty_parts_and_thirty_types_of_ones_own_fit_in_two_thousand_characters() {
    for seed in 1..=5 {
        let plan = with_own_types(&built(seed, 60, 90));
        assert_eq!(plan.book.book.types.len(), 30);
        let link = to_fragment(&plan);
        assert!(link.starts_with("d2."));
        assert_eq!(opened(&link), plan);
        let plain = to_fragment(&built(seed, 60, 90)).len();
        println!(
            "{} characters, {} before, {plain} with a built-in book",
            link.len(),
            as_before(&plan)
        );
        assert!(link.len() <= 2000, "{}", link.len());
    }
}

#[test]
fn a_copy_of_a_built_in_book_with_a_few_numbers_changed_adds_little() {
    let plan = kittiwake();
    let edits = plan
        .change_type_field("lamp", &["draw"], Some(json!(3)))
        .unwrap();
    let mut own = plan.clone();
    own.apply_all(edits).unwrap();
    let (link, plain) = (to_fragment(&own), to_fragment(&plan));
    assert_eq!(opened(&link), own);
    println!(
        "{} characters, {} before, {} with the built-in book",
        link.len(),
        as_before(&own),
        plain.len()
    );
    assert!(
        link.len() < plain.len() + 150,
        "{} and {}",
        link.len(),
        plain.len()
    );
}

#[test]
fn a_book_with_odd_texts_goes_all_the_same() {
    let mut plan = with_own_types(&built(2, 12, 8));
    let mut value = plan.to_value();
    value["book"]["types"][0]["note"] = "Two\nlines".into();
    value["book"]["types"][1]["note"] = "A bell \u{7} and \u{2}".into();
    plan = read_plan(&value.to_string()).unwrap();
    let link = to_fragment(&plan);
    assert!(
        link.starts_with("d1."),
        "control characters go as they ever did"
    );
    assert_eq!(opened(&link), plan);
    value["book"]["types"][1]["note"] = "".into();
    value["book"]["types"][1]["group"] = "".into();
    value["book"]["later"] = json!({ "a": [1, null] });
    value["book"]["types"][2]["later"] = json!("x");
    value["book"]["caution"] = json!("Mind the tide.");
    plan = read_plan(&value.to_string()).unwrap();
    assert_eq!(opened(&to_fragment(&plan)), plan);
}

#[test]
fn a_fragment_is_opened_from_a_whole_url_or_bare_and_through_what_mail_does_to_it() {
    let plan = kittiwake();
    let fragment = to_fragment(&plan);
    assert_eq!(opened(&fragment), plan);
    assert_eq!(opened(&format!("#{fragment}")), plan);
    assert_eq!(
        opened(&format!("https://example.org/a#b/?q=1#{fragment}")),
        plan
    );
    let (one, two) = fragment.split_at(70);
    assert_eq!(opened(&format!("  {one}\r\n {two}>.\n")), plan);
}

#[test]
fn unknown_fields_inline_books_and_odd_places_survive() {
    let mut value = kittiwake().to_value();
    value["later"] = json!({ "a": [1, null, "é\u{1}"] });
    value["next"] = json!([99, 120]);
    value["notes"] = json!("Two lines\nand <b>no markup</b>.");
    value["parts"][0]["later"] = json!("x");
    value["parts"][1]["at"] = json!([3.25, -7]);
    value["parts"][2]
        .as_object_mut()
        .unwrap()
        .shift_remove("at");
    value["parts"][3]
        .as_object_mut()
        .unwrap()
        .shift_remove("name");
    value["wires"][4]["bends"] = json!([[8, 16], [0.5, 2]]);
    value["wires"][5]["later"] = json!(true);
    value["duties"][0]["later"] = json!(1.5);
    value["world"]["later"] = json!([]);
    let check = |value: &Value| {
        let plan = read_plan(&value.to_string()).unwrap();
        assert_eq!(opened(&to_fragment(&plan)), plan);
        assert!(pack::pack(&plan).numbers.is_some(), "in columns");
    };
    check(&value);
    value["book"] =
        serde_json::from_str(include_str!("../../../assets/books/outpost.json")).unwrap();
    value["book"]["name"] = json!("own");
    value["book"]["types"][0]["type"] = json!("lens");
    value["parts"][0]["type"] = json!("lens");
    check(&value);
}

#[test]
fn a_duty_with_several_conditions_comes_back_as_it_was_written() {
    let plain = to_fragment(&kittiwake());
    let mut value = kittiwake().to_value();
    value["duties"][0]["when"] = json!(["dark"]);
    let one = read_plan(&value.to_string()).unwrap();
    assert_eq!(one.to_value()["duties"][0]["when"], "dark");
    for when in [
        json!(["home", "dark"]),
        json!(["dark", "clock", "away"]),
        json!(["always", "light"]),
    ] {
        value["duties"][0]["when"] = when.clone();
        value["duties"][0]["from"] = json!("18:00");
        value["duties"][0]["to"] = json!("22:00");
        let plan = read_plan(&value.to_string()).unwrap();
        let link = to_fragment(&plan);
        assert_eq!(opened(&link), plan);
        assert_eq!(opened(&link).to_value()["duties"][0]["when"], when);
        assert!(pack::pack(&plan).numbers.is_some(), "in columns");
        assert_ne!(link, plain);
    }
}

/// A link made before a duty could have several conditions.
#[test]
fn an_earlier_link_opens_and_is_made_the_same_again() {
    let value = json!({
        "format": "duskline/plan", "version": 1, "book": "outpost",
        "parts": [
            { "id": "p1", "type": "generator" },
            { "id": "p2", "type": "lamp", "name": "Pier lamp", "at": [240, 0] },
        ],
        "wires": [{ "id": "w1", "from": "p1.out", "to": "p2.in" }],
        "duties": [
            { "part": "p2", "when": "dark", "only": true, "grace_s": 1800 },
            { "part": "p2", "when": "clock", "from": "18:00", "to": "22:00" },
            { "part": "p2", "when": "away" },
        ],
    });
    let plan = read_plan(&value.to_string()).unwrap();
    let link = "d1.dcqHGQynQc5t-AKv-XceRGNSArWd8kpzcrgCMoGFESMX1iyInsyJzDtGOLMnrNxAyp44NILzPDBbAQA";
    assert_eq!(opened(link), plan);
    assert_eq!(to_fragment(&plan), link);
}

/// A link made before books went as differences.
#[test]
fn an_earlier_link_with_a_whole_book_opens_and_goes_shorter_now() {
    let value = json!({
        "format": "duskline/plan", "version": 1, "title": "Skerry",
        "book": { "name": "skerry", "unit": "W", "step": 0.5, "types": [
            { "type": "mill", "label": "Tide mill", "group": "Sources", "symbol": "generator", "behaviour": "source",
              "peak": 40, "profile": "steady", "tier": 2 },
            { "type": "lamp", "behaviour": "load", "draw": 3, "short": "hold", "cost": { "brass": 1 }, "later": [1, null] },
        ] },
        "parts": [
            { "id": "p1", "type": "mill", "name": "Old mill", "at": [0, 0] },
            { "id": "p2", "type": "lamp", "at": [240, 8] },
        ],
        "wires": [{ "id": "w1", "from": "p1.out", "to": "p2.in" }],
        "duties": [{ "part": "p2", "when": "dark" }],
    });
    let plan = read_plan(&value.to_string()).unwrap();
    let link = concat!(
        "d1.1ssl5wyoB3BsqRPnfvAzEMsFlsNc_jkpQCZXNTyrBmenFhWBchq4nQR0cl4iKN8rFcPEoQ2ncHjDCVSWgFtZkKwLbW-BTAcl3kRgfAO5",
        "IaCqAyoGrHdLC0BWgVtVxUpIzSJ4Pa6EqwEGCjUrEwPkphjQGYkplWD3JKangsJbB-4MkOfRzMrJTwS13FKKEsshyQJYd5SAy5QccIsuvxiS",
        "TosSi0FlQi24mIWWnXmlOTmxwIyug62wwlIgAAA"
    );
    assert_eq!(opened(link), plan);
    assert_eq!(
        fragment(PLAN, 1, &pack::pack(&opened(link))),
        link,
        "as it stood in the file"
    );
    let now = to_fragment(&opened(link));
    assert_eq!(opened(&now), plan);
    assert!(now.len() < link.len() * 2 / 3, "{now}");
}

#[test]
fn a_plan_that_fits_no_columns_goes_as_its_file() {
    let mut plan = kittiwake();
    plan.apply(Edit::Rename("p1".into(), "two\nlines \u{1}\u{2}".into()))
        .unwrap();
    assert_eq!(pack::pack(&plan).numbers, None);
    assert_eq!(opened(&to_fragment(&plan)), plan);
    let mut value = kittiwake().to_value();
    value["parts"][32]["id"] = json!("the detector");
    value["wires"][36]["to"] = json!("the detector.feed");
    value["wires"][37]["from"] = json!("the detector.out");
    let plan = read_plan(&value.to_string()).unwrap();
    assert_eq!(opened(&to_fragment(&plan)), plan);
    assert_eq!(opened(&to_fragment(&Plan::empty())), Plan::empty());
}

/// A link that unpacks to this text, without columns.
fn of_text(text: &str) -> String {
    let mut bytes = sum(&[0], text).to_vec();
    bytes.push(0);
    bytes.extend(deflate::pack(text.as_bytes(), words::DICTIONARY));
    format!("d1.{}", BASE64.encode(bytes))
}

#[test]
fn every_error_says_what_happened_and_what_to_do() {
    let says = |link: &str| from_link(link).unwrap_err().to_string();
    let fragment = to_fragment(&kittiwake());
    let none = "This is no link to a plan: nothing in it starts with d1. to d4. after a #. Copy the whole link and try again.";
    for text in [
        "",
        "#",
        "https://example.org/",
        "https://example.org/#top",
        "d1",
        "dx.abc",
        "d0.abc",
        "d-1.a",
        "Ѡ#d.é",
    ] {
        assert_eq!(says(text), none, "{text}");
    }
    assert_eq!(
        says("#d5.abcd"),
        "This link is of version 5, made by a newer Duskline; this one reads versions up to 4. Update it, or ask for the plan as a file."
    );
    let cut = "This link is cut off: its end is missing, as happens where a message may only be so long. Ask for it again, or for the plan as a file.";
    assert_eq!(says(&fragment[..400]), cut);
    assert_eq!(says("d1."), cut);
    let damaged = "This link is damaged: some of its characters are not as they were written. Ask for it again, or for the plan as a file.";
    assert_eq!(says(&fragment.replacen(&fragment[20..21], "!", 1)), damaged);
    let other = if &fragment[3..4] == "A" { "B" } else { "A" };
    assert_eq!(says(&format!("d1.{other}{}", &fragment[4..])), damaged);
    assert_eq!(
        says(&format!("d1.{}", "A".repeat(2_000_000))),
        "This link has 2000003 characters, and at most 2000000 are read. Ask for the plan as a file."
    );
    assert_eq!(
        says(&of_text(&" ".repeat(LARGEST + 1))),
        "This link would unpack to more than 4 MiB, which no plan needs. Nothing of it was opened."
    );
    assert_eq!(
        says(&of_text("[1, 2")),
        "This link unpacks, but not to a plan."
    );
    assert_eq!(
        says(&of_text("{\"format\":\"duskline/plan\",\"version\":7}")),
        "This link unpacks, but not to a plan: version: found 7, expected 1; this plan was made by a newer Duskline: update this one."
    );
    assert_eq!(
        LinkError::OtherBook.to_string(),
        "This link was made with another edition of the parts book, whose ports differ from this one's. Ask for the plan as a file."
    );
}

#[test]
fn a_link_whose_types_have_other_ports_here_is_told_from_a_damaged_one() {
    let mut value = kittiwake().to_value();
    value["book"] =
        serde_json::from_str(include_str!("../../../assets/books/outpost.json")).unwrap();
    let mut packed = pack::pack(&read_plan(&value.to_string()).unwrap());
    packed.text = packed.text.replace("\"ways\":4", "\"ways\":3");
    assert_eq!(pack::unpack(&packed), Err(pack::Odd::Ports));
}

#[test]
fn a_sound_link_of_a_damaged_plan_offers_the_rest() {
    let mut value = kittiwake().to_value();
    value["parts"][0]["type"] = json!("perpetual motion");
    let found = from_link(&of_text(&value.to_string())).unwrap();
    assert_eq!(found.plan.parts.len(), 32);
    assert_eq!(
        found.faults[0].to_string(),
        "parts[0].type: found \"perpetual motion\", expected a part type of the book"
    );
}

#[test]
fn base64url_is_that_of_rfc_4648() {
    // RFC 4648 section 10, and the alphabet of section 5 for values 62 and 63; without padding by section 3.2.
    let vectors: [(&[u8], &str); 10] = [
        (b"", ""),
        (b"f", "Zg"),
        (b"fo", "Zm8"),
        (b"foo", "Zm9v"),
        (b"foob", "Zm9vYg"),
        (b"fooba", "Zm9vYmE"),
        (b"foobar", "Zm9vYmFy"),
        (&[0xff, 0xef], "_-8"),
        (&[0xfb, 0xff, 0xbf], "-_-_"),
        (&[0x14, 0xfb, 0x9c, 0x03, 0xd9, 0x7e], "FPucA9l-"),
    ];
    for (bytes, text) in vectors {
        assert_eq!(BASE64.encode(bytes), text);
        assert_eq!(BASE64.decode(text).unwrap(), bytes);
    }
    assert!(BASE64.decode("Zg==").is_err() && BASE64.decode("+/+/").is_err());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn every_plan_comes_back(seed: u32, parts in 1usize..40, share in 0usize..100) {
        let plan = built(u64::from(seed), parts, parts * share / 140);
        prop_assert_eq!(opened(&to_fragment(&plan)), plan);
    }

    #[test]
    fn no_damage_passes_and_none_panics(at in 0usize..980, bit in 0u8..7, cut in 0usize..980) {
        let mut bytes = to_fragment(&kittiwake()).into_bytes();
        let cut = cut % bytes.len();
        prop_assert!(from_link(std::str::from_utf8(&bytes[..cut]).unwrap()).is_err());
        let at = at % bytes.len();
        bytes[at] ^= 1 << bit;
        // White space or a stray bit at the very end changes nothing; whatever opens is the plan itself.
        if let Ok(text) = std::str::from_utf8(&bytes) && let Ok(found) = from_link(text) {
            prop_assert_eq!(found.plan, kittiwake());
        }
    }

    #[test]
    fn no_text_panics(text in "\\PC{0,80}", body in "[A-Za-z0-9_-]{0,200}") {
        let _ = from_link(&text);
        let _ = from_link(&format!("d1.{body}"));
        let _ = from_link(&format!("d2.{body}"));
    }

    #[test]
    fn no_packing_panics(numbers in proptest::collection::vec(any::<u8>(), 0..120), text in "[ -~\u{1}\u{2}\n]{0,200}") {
        let packed = pack::Packed { numbers: Some(numbers), text };
        let _ = pack::unpack(&packed);
        let _ = second::unpack(&packed);
    }
}
