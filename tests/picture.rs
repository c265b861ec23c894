//! Pictures as SVG, looked at with programs of others: read as XML by roxmltree, drawn by resvg with the page's font, their
//! codes read by rqrr; and moving pictures held against the run at single instants.

#![cfg(not(target_arch = "wasm32"))]

#[path = "picture/document.rs"]
mod document;
#[path = "picture/film.rs"]
mod film;
#[path = "picture/rendered.rs"]
mod rendered;
pub mod simple_engine;

use document::{ids, leaves, painted, rules, sheet};
use duskline::explain::{SaidExplanation, explain};
use duskline::picture::{
    Drawn, LeftOut, Picture, PictureError, Size, Theme, What, colour, draw, link,
};
use duskline::plan::{Edit, Plan, examples, link::from_link, read_plan};
use rendered::{codes, crop, pixel, rgb, whole};
use resvg::usvg::roxmltree::{Document, Node};
use simple_engine::generate;
use std::collections::BTreeSet;

/// How many random plans are drawn.
const PLANS: u64 = 40;
const MOTION: What = What::Motion { seconds: 60 };
const BASE: &str = "https://example.org/duskline/";

fn example(title: &str) -> Plan {
    let (_, text) = examples().iter().find(|(t, _)| *t == title).expect(title);
    read_plan(text).expect("an example reads")
}

fn picture(what: What, theme: Theme, size: Size) -> Picture {
    Picture {
        theme,
        size,
        at: 1,
        ..Picture::new(what)
    }
}

/// Every kind of picture of a plan, in every theme and size; of films and explanations two, since they take long.
fn all(plan: &Plan) -> Vec<(String, Drawn)> {
    let mut found = Vec::new();
    for what in [
        What::Board,
        What::Day,
        What::Explanation,
        What::Site(None),
        MOTION,
    ] {
        for theme in Theme::ALL {
            for size in Size::ALL {
                let few = [
                    (Theme::Light, Size::Page),
                    (Theme::ClearLightInk, Size::Thumbnail),
                ];
                let takes_long = matches!(what, MOTION | What::Explanation);
                if takes_long && !few.contains(&(theme, size)) {
                    continue;
                }
                let mut picture = picture(what, theme, size);
                picture.base = Some(BASE.into());
                if let Ok(drawn) = draw(plan, &picture) {
                    found.push((format!("{what:?} {theme:?} {size:?}"), drawn));
                }
            }
        }
    }
    found
}

fn with_class<'a>(document: &'a Document, class: &str) -> Option<Node<'a, 'a>> {
    let is = |node: &Node| {
        node.attribute("class")
            .is_some_and(|all| all.split(' ').any(|c| c == class))
    };
    document.descendants().find(is)
}

#[test]
fn every_part_and_wire_is_in_the_picture_of_the_board_and_in_the_film() {
    let look = |plan: &Plan, name: &str| {
        let parts: BTreeSet<String> = plan.parts.iter().map(|p| p.id.to_string()).collect();
        let wires: BTreeSet<String> = plan.wires.iter().map(|w| w.id.to_string()).collect();
        for what in [What::Board, MOTION] {
            for size in Size::ALL {
                // A film takes long, and its size decides nothing of what is in it.
                if what == MOTION && size != Size::Page {
                    continue;
                }
                let drawn = draw(plan, &picture(what, Theme::Light, size));
                if plan.parts.is_empty() {
                    assert_eq!(drawn, Err(PictureError::EmptyBoard), "{name}");
                    continue;
                }
                let drawn = drawn.expect(name);
                let document = Document::parse(&drawn.svg).expect(name);
                assert_eq!(ids(&document, "data-part"), parts, "{name}, {what:?}");
                assert_eq!(ids(&document, "data-wire"), wires, "{name}, {what:?}");
                let found = resvg::usvg::Tree::from_str(&drawn.svg, &rendered::options());
                let tree = found.unwrap_or_else(|error| panic!("{name}: {error}"));
                let size = (tree.size().width() as u32, tree.size().height() as u32);
                assert_eq!(size, (drawn.wide, drawn.high), "{name}");
            }
        }
    };
    for (name, text) in examples() {
        look(&read_plan(text).expect("an example reads"), name);
    }
    generate::plans().each(PLANS, |case| {
        let plan = read_plan(&case.document.to_string()).expect("a random plan reads");
        look(&plan, &format!("plan {}", case.seed));
    });
}

#[test]
fn every_shape_is_painted_by_a_rule_and_every_class_is_known() {
    // What only says what something is, and has no look in any theme.
    const PLAIN: [&str; 16] = [
        "picture",
        "light",
        "dark",
        "dark-ink",
        "light-ink",
        "plain",
        "store",
        "wire-group",
        "port-group",
        "first",
        "later",
        "site-run",
        "runs",
        "name",
        "pic-sign",
        "moves",
    ];
    for (title, _) in examples() {
        for (name, drawn) in all(&example(title)) {
            let document = Document::parse(&drawn.svg).expect("XML");
            let rules = rules(sheet(&document));
            let named: BTreeSet<&str> = rules.iter().flat_map(|rule| rule.classes()).collect();
            for node in document.descendants() {
                for class in node.attribute("class").unwrap_or("").split_whitespace() {
                    let is_known =
                        named.contains(class) || PLAIN.contains(&class) || class.starts_with("of-");
                    assert!(is_known, "{title}, {name}: no rule for {class}");
                }
            }
            for leaf in leaves(document.root_element()) {
                assert!(
                    painted(leaf, &rules),
                    "{title}, {name}: nothing paints {leaf:?}"
                );
            }
        }
    }
}

#[test]
fn a_picture_is_one_document_that_asks_for_nothing() {
    const ELEMENTS: [&str; 11] = [
        "svg",
        "title",
        "desc",
        "style",
        "g",
        "path",
        "rect",
        "circle",
        "text",
        "animate",
        "animateTransform",
    ];
    let mut plan = example("Kittiwake Light");
    let evil = "</text><script>alert(1)</script>\"'&<!--]]>\u{1}\u{ffff}\u{202e}";
    plan.title = evil.into();
    plan.notes = format!("{evil} {}", "long ".repeat(2000));
    for part in &mut plan.parts {
        part.name = evil.into();
    }
    for (name, drawn) in all(&plan) {
        let document =
            Document::parse(&drawn.svg).unwrap_or_else(|error| panic!("{name}: {error}"));
        let root = document.root_element();
        assert_eq!(root.attribute("role"), Some("img"));
        for node in root.descendants().filter(Node::is_element) {
            let tag = node.tag_name().name();
            assert!(ELEMENTS.contains(&tag), "{name}: {tag}");
            for attribute in node.attributes() {
                let key = attribute.name();
                let is_plain =
                    !key.starts_with("on") && !["href", "id", "style", "src"].contains(&key);
                assert!(is_plain, "{name}: {key}");
                assert!(!attribute.value().contains("url("), "{name}: {key}");
            }
        }
        let title = root.descendants().find(|node| node.has_tag_name("title"));
        let title = title.and_then(|node| node.text()).expect("a title");
        assert!(title.starts_with("</text><script>"), "{name}: {title}");
        let css = sheet(&document);
        for word in [
            "var(",
            "calc(",
            "url",
            "@import",
            "@font-face",
            "rem",
            "light-dark",
        ] {
            assert!(!css.contains(word), "{name}: {word}");
        }
        assert!(css.contains("sans-serif"), "{name}");
    }
}

#[test]
fn the_same_plan_gives_the_same_bytes() {
    let plan = example("Kittiwake Light");
    assert!(all(&plan) == all(&plan.clone()));
}

#[test]
fn a_picture_has_the_colours_of_its_theme() {
    let plan = example("Dusk lamp");
    for theme in Theme::ALL {
        let drawn = draw(&plan, &picture(What::Board, theme, Size::Page)).expect("a picture");
        let document = Document::parse(&drawn.svg).expect("XML");
        let image = whole(&drawn.svg, 1.0);
        let named = |name: &str| rgb(&colour(theme, name).expect(name));
        match theme.is_clear() {
            true => assert_eq!(pixel(&image, (4.0, 4.0))[3], 0, "{theme:?}"),
            false => assert_eq!(pixel(&image, (4.0, 4.0)), named("--paper"), "{theme:?}"),
        }
        // Under the upper edge of a card, and in the level of the battery.
        let ground = with_class(&document, "ground").expect("a card");
        let place = document::place(ground, (20.0, 4.0));
        assert_eq!(pixel(&image, place), named("--sheet"), "{theme:?}");
        let level = with_class(&document, "level").expect("a battery");
        let place = document::place(level, (20.0, 3.0));
        assert_eq!(pixel(&image, place), named("--store"), "{theme:?}");
        // Letters are drawn, with ink in them.
        let title = with_class(&document, "pic-title").expect("a title");
        let (x, y) = document::place(title, (0.0, 0.0));
        let ink = named("--ink");
        let mut places =
            (0..120).flat_map(|dx| (0..30).map(move |dy| (x + f64::from(dx), y - f64::from(dy))));
        assert!(places.any(|place| pixel(&image, place) == ink), "{theme:?}");
    }
}

#[test]
fn every_picture_is_drawn_by_another_program_and_is_not_blank() {
    for (name, drawn) in all(&example("Kittiwake Light")) {
        // A poster is a larger page.
        if name.ends_with("Poster") {
            continue;
        }
        let image = whole(&drawn.svg, 500.0 / f64::from(drawn.wide));
        let seen: BTreeSet<[u8; 4]> = image
            .pixels()
            .iter()
            .map(|p| [p.red(), p.green(), p.blue(), p.alpha()])
            .collect();
        // Nothing but text has shades of ink alone.
        let least = if name.starts_with("Explanation") {
            40
        } else {
            200
        };
        assert!(seen.len() > least, "{name}: {} colours", seen.len());
    }
}

#[test]
fn the_code_is_read_at_every_size_and_opens_the_plan() {
    let mut read = 0;
    for (title, text) in examples() {
        let plan = read_plan(text).expect("an example reads");
        let expected = link(&plan, BASE);
        for size in Size::ALL {
            for theme in [Theme::Light, Theme::ClearLightInk] {
                let mut picture = picture(What::Board, theme, size);
                picture.base = Some(format!("{BASE}#old"));
                let drawn = draw(&plan, &picture).expect("a picture");
                let document = Document::parse(&drawn.svg).expect("XML");
                if drawn.left_out.contains(&LeftOut::LinkTooSmall) {
                    assert!(size == Size::Thumbnail && with_class(&document, "pic-code").is_none());
                    continue;
                }
                let found = codes(&crop(
                    &drawn.svg,
                    with_class(&document, "pic-code-ground").expect("a code"),
                ));
                assert_eq!(found, [expected.as_str()], "{title}, {size:?}");
                assert_eq!(from_link(&found[0]).expect("a link").plan, plan, "{title}");
                read += 1;
            }
        }
    }
    // A small plan has room for its code in a thumbnail too.
    assert!(read >= 2 * (2 * 3 + 2), "{read}");
}

#[test]
fn what_has_no_room_is_told() {
    let told = |plan: &Plan, picture: &Picture| draw(plan, picture).expect("a picture").left_out;
    let mut plan = example("Dusk lamp");
    let page = picture(What::Board, Theme::Light, Size::Page);
    assert_eq!(told(&plan, &page), [LeftOut::NoBase]);
    let with_base = Picture {
        base: Some(BASE.into()),
        ..page.clone()
    };
    assert_eq!(told(&plan, &with_base), []);
    // Notes of which nothing can be left out by packing.
    let mut random = generate::Random::new(7);
    plan.notes = (0..4000)
        .map(|_| char::from(b'a' + (random.bits() % 26) as u8))
        .collect();
    let bytes = link(&plan, BASE).len();
    let found = told(&plan, &with_base);
    assert_eq!(
        found,
        [LeftOut::LinkTooLong { bytes }, LeftOut::EndOfCaption]
    );
    assert!(found[0].says().contains(&bytes.to_string()));
    plan.title = "Long ".repeat(100);
    assert!(told(&plan, &page).contains(&LeftOut::EndOfTitle));
    let mut bare = plan.clone();
    bare.apply_all(vec![Edit::Site(None)])
        .expect("no site is a site");
    let site = |storey| {
        draw(
            &bare,
            &picture(What::Site(storey), Theme::Light, Size::Page),
        )
    };
    assert_eq!(site(None), Err(PictureError::NoSite));
    let station = example("Kittiwake Light");
    let asked = draw(
        &station,
        &picture(What::Site(Some(9)), Theme::Light, Size::Page),
    );
    assert_eq!(asked, Err(PictureError::NoStorey { asked: 9, has: 5 }));
    let nothing = draw(&Plan::empty(), &page);
    assert_eq!(nothing, Err(PictureError::EmptyBoard));
}

#[test]
fn title_caption_legend_and_numbers_are_as_asked() {
    let plan = example("Dusk lamp");
    let texts = |picture: &Picture| {
        let drawn = draw(&plan, picture).expect("a picture");
        let document = Document::parse(&drawn.svg).expect("XML");
        let texts = document
            .descendants()
            .filter(|node| node.has_tag_name("text"));
        let texts: Vec<String> = texts
            .filter_map(|node| node.text().map(str::to_string))
            .collect();
        texts
    };
    let page = picture(What::Board, Theme::Light, Size::Page);
    let found = texts(&page);
    let has = |found: &[String], text: &str| found.iter().any(|own| own == text);
    assert!(
        has(&found, "Dusk lamp")
            && has(&found, "nothing is offered")
            && has(&found, "Day 1, 00:00")
    );
    assert!(
        found.iter().any(|text| text.starts_with("#4: ")),
        "{found:?}"
    );
    assert!(
        found
            .iter()
            .any(|text| text.starts_with("Duskline plans power for invented worlds."))
    );
    // Nothing is explained that does not occur.
    assert!(!has(&found, "a closed loop, which carries nothing"));
    let bare = Picture {
        title: Some("Another".into()),
        caption: Some(String::new()),
        legend: false,
        numbers: false,
        ..page
    };
    let found = texts(&bare);
    assert!(has(&found, "Another") && !has(&found, "nothing is offered"));
    assert!(!found.iter().any(|text| text.contains('#')), "{found:?}");
    assert!(
        !found
            .iter()
            .any(|text| plan.notes.starts_with(text.as_str()))
    );
}

#[test]
fn at_any_time_a_film_shows_what_the_run_then_does() {
    for (title, text) in examples() {
        let plan = read_plan(text).expect("an example reads");
        assert!(film::agrees(&plan, title, 0, 12), "{title}");
    }
    let station = example("Kittiwake Light");
    assert!(film::agrees(&station, "the second day", 1, 12));
    let mut held = 0;
    generate::plans().each(PLANS / 2, |case| {
        let plan = read_plan(&case.document.to_string()).expect("a random plan reads");
        let name = format!("plan {}", case.seed);
        held += u64::from(!plan.parts.is_empty() && film::agrees(&plan, &name, 0, 6));
    });
    // In the days of a few seconds that random plans have some change too often for a film.
    assert!(held * 2 >= PLANS / 2, "{held}");
}

#[test]
fn a_film_has_bounds_and_says_what_they_leave_out() {
    // Flashers that turn every 50 ms of a day of a minute, side by side.
    let (mut parts, mut wires) = (Vec::new(), Vec::new());
    for n in 0..12 {
        let of = |part: &str| format!("{part}{n}");
        let part = |id: String, kind: &str| serde_json::json!({ "id": id, "type": kind });
        parts.extend([
            part(of("g"), "generator"),
            part(of("d"), "divider-2"),
            part(of("l"), "lamp"),
        ]);
        parts.push(serde_json::json!({ "id": of("f"), "type": "on-delay", "set": { "contact": "break", "delay_s": 0.05 } }));
        for (from, to) in [
            ("g.out", "f.feed"),
            ("f.out", "d.in"),
            ("d.out1", "l.in"),
            ("d.out2", "f.trigger"),
        ] {
            let end = |end: &str| end.replacen('.', &format!("{n}."), 1);
            let id = format!("w{}", wires.len());
            wires.push(serde_json::json!({ "id": id, "from": end(from), "to": end(to) }));
        }
    }
    let plan = serde_json::json!({
        "format": "duskline/plan", "version": 1, "title": "Flashers", "book": "outpost", "world": { "day_s": 60 },
        "parts": parts, "wires": wires,
    });
    let plan = read_plan(&plan.to_string()).expect("a plan");
    let drawn = draw(&plan, &picture(MOTION, Theme::Light, Size::Page)).expect("a film");
    assert!(drawn.svg.len() < 3_000_000, "{} bytes", drawn.svg.len());
    let told = |of: fn(&LeftOut) -> bool| drawn.left_out.iter().any(of);
    assert!(
        told(|l| matches!(l, LeftOut::Between(_))) || told(|l| matches!(l, LeftOut::Amounts)),
        "{:?}",
        drawn.left_out
    );
    assert!(
        drawn
            .svg
            .contains(&drawn.left_out.last().expect("told").says()),
        "told to who can't see it"
    );
}

/// What `tests/browser/pictures.test.mjs` holds Chromium's pictures against: each as SVG, and as resvg draws it.
#[test]
fn pictures_for_a_browser_are_laid_down() {
    let folder = std::env::var("DUSKLINE_PICTURES")
        .unwrap_or(concat!(env!("CARGO_TARGET_TMPDIR"), "/pictures").into());
    std::fs::create_dir_all(&folder).expect("a folder");
    let plan = example("Kittiwake Light");
    let noon = plan.world.day_ms() / 2;
    for (name, what, theme, size) in [
        ("board", What::Board, Theme::Light, Size::Page),
        ("board-dark", What::Board, Theme::Dark, Size::Page),
        ("board-small", What::Board, Theme::Light, Size::Thumbnail),
        ("day", What::Day, Theme::Light, Size::Page),
        ("explained", What::Explanation, Theme::Light, Size::Page),
        ("site", What::Site(None), Theme::Light, Size::Page),
        ("film", MOTION, Theme::Light, Size::Page),
    ] {
        let mut asked = picture(what, theme, size);
        asked.at = noon;
        let drawn = draw(&plan, &asked).expect("a picture");
        std::fs::write(format!("{folder}/{name}.svg"), &drawn.svg).expect("a file");
        let image = whole(&drawn.svg, 1.0);
        image
            .save_png(format!("{folder}/{name}.png"))
            .expect("a file");
    }
}

/// A picture of the explanation says every passage of it, and none of them twice; a small one says how many it has not.
#[test]
fn the_explanation_is_drawn_whole_and_small_it_says_what_is_missing() {
    let plan = example("Kittiwake Light");
    let asked = picture(What::Explanation, Theme::Light, Size::Page);
    let drawn = draw(&plan, &asked).expect("a picture");
    let document = Document::parse(&drawn.svg).expect("a document");
    let lines = with_all(&document, "pic-said");
    let words = |text: &str| {
        text.split_whitespace()
            .map(str::to_string)
            .collect::<Vec<_>>()
    };
    let shown: Vec<String> = lines.iter().flat_map(|line| words(line)).collect();
    let said = SaidExplanation::of(&plan, &explain(&plan));
    let day = said.day.iter().map(|(_, passage)| passage);
    let all = said
        .watch
        .iter()
        .chain(&said.groups)
        .chain(day)
        .chain(&said.dull)
        .chain(&said.parts);
    let all: Vec<String> = all
        .flat_map(|passage| words(&passage.says.text()))
        .collect();
    assert_eq!(shown, all);
    assert!(
        !drawn
            .left_out
            .iter()
            .any(|left| matches!(left, LeftOut::Passages(_)))
    );
    let small = picture(What::Explanation, Theme::Dark, Size::Thumbnail);
    let drawn = draw(&plan, &small).expect("a picture");
    assert!(
        drawn
            .left_out
            .iter()
            .any(|left| matches!(left, LeftOut::Passages(_)))
    );
}

/// The texts of everything with this class, in the document's order.
fn with_all(document: &Document, class: &str) -> Vec<String> {
    let nodes = document
        .descendants()
        .filter(|node| node.attribute("class") == Some(class));
    nodes
        .map(|node| {
            node.descendants()
                .filter(Node::is_text)
                .filter_map(|n| n.text())
                .collect()
        })
        .collect()
}
