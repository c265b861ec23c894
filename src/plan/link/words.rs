//! What both ends of a link know: names of part types by number, and text that plans and books tend to hold.
//!
//! Types and dictionary belong to version 1 of the link form; version 2 has more text before it. The list of types may
//! grow at its end, up to 63 names; nothing here may change otherwise, or links that are about would no longer open. A type
//! that is not listed is written by its name.

use std::sync::LazyLock;

/// Names of part types, by number.
pub(super) const TYPES: &[&str] = &[
    "sun-panel-small",
    "sun-panel",
    "sun-panel-large",
    "wind-turbine-small",
    "wind-turbine",
    "hand-generator",
    "generator",
    "battery-cell",
    "battery",
    "battery-rack",
    "battery-vault",
    "lamp",
    "lantern",
    "floodlight",
    "beacon",
    "heater",
    "fan",
    "pump",
    "desalinator",
    "freezer",
    "radio",
    "siren",
    "gate-drive",
    "door-lock",
    "workbench",
    "grow-light",
    "other-load",
    "tap",
    "divider-2",
    "divider-3",
    "divider-4",
    "busbar-2",
    "busbar-3",
    "busbar-4",
    "changeover",
    "meter",
    "switch",
    "button",
    "relay",
    "and",
    "or",
    "xor",
    "latch",
    "impulse",
    "counter",
    "on-delay",
    "off-delay",
    "pulse",
    "time-switch",
    "twilight",
    "home",
    "detector",
    "charge",
];

/// Text that walks and exercises tend to hold, the likeliest last. It belongs to version 4 of the link form.
pub(super) const TEACHING: &str = concat!(
    "\"trials\":[{\"says\":\"three dull days in a row\",\"world\":{\"weather\":[1,0,0,0]}},{\"says\":\"any single loss\",\"lose\":\"any\"}",
    ",\"throw\":[\"p\"],\"materials\":,\"who\":\"\",\"free\":[\"p\"],\"may\":{\"sun-panel\":1,\"battery\":1,\"relay\":null,\"tap\":",
    "{\"asks\":\"What happens if\",\"answers\":[\"It runs\",\"It stays dark\",\"Nothing\"],\"right\":1,\"because\":\"",
    "{\"change\":{\"part\":\"p1\",\"set\":{\"amount\":{\"duties\":[0,1]},{\"remove\":{\"wires\":[\"w1\"],\"parts\":[\"p1\"",
    " through which everything goes, because otherwise there would be nothing left. This is where it ends, so that the same ",
    "again until midnight, at noon and in the evening, before dawn, after sunset, from sunrise on. At night there is no sun, ",
    "Now it is your turn: build what is missing. Look at the wire: of what is offered, only what is needed is taken, and the rest ",
    "goes on to the next. Without it the lamp would be dark; with it there is enough for the whole night. How long does it last? ",
    "Every day the battery fills while the sun shines and gives back what it has stored when it is dark. The panel gives nothing ",
    "The relay closes as soon as its signal has power, and opens when it has none. The switch is open, the contact conducts. ",
    "The tap sets aside steps for the first and leaves the rest to the others. Each load takes what it draws and the heater runs ",
    "and now it lights by itself while it is dark, and only then. They are wired to the battery, which feeds them at ",
    "We begin with a sun panel on the roof. Here is ",
);

/// Text that plans tend to hold, the likeliest last: nearer text costs fewer bits.
pub(super) const DICTIONARY: &[u8] = concat!(
    "\"format\":\"duskline/plan\",\"version\":1,\"type\":\"duskline/book\",\"unit\":\"u\",\"step\":1,\"lag_ms\":100,",
    "\"behaviour\":\"source\",\"profile\":\"wind\",\"capacity\":,\"max_in\":,\"max_out\":,\"efficiency\":,\"symbol\":\"",
    "workshop cellar kitchen bedroom bathroom library laboratory chapel orchard harbour jetty quay slipway cliff shore beach",
    " tunnel bridge hatch ladder antenna greenhouse smokehouse boathouse barn stable well spring cistern reservoir ",
    "winch crane hoist furnace kiln forge oven stove fridge kettle computer screen camera telescope compressor ",
    "generator lantern floodlight freezer radio workbench grow light fan pump desalination desalinator ",
    "counter pulse on-delay off-delay latch impulse time switch detector seal-in start stop reset ",
    "emergency alarm warning signal spare second third first inner outer left right middle centre front back ",
    "upper lower main backup reserve night day dawn evening morning tide storm fog sea rain water food fish ",
    "station store shed tower rock hill path ledge mast cable landing light lighthouse keeper island causeway ",
    "boat bell horn siren beacon beam gate drive door lock yard hall loft attic porch stair galley bunk cabin ",
    "gallery turbine west east north south wall roof panel panels shelf bank battery heater lamp lamps ",
    "\"rise\":\"06:\",\"set\":\"18:\",\"rise_azimuth\":,\"highest\":,\"latitude\":,\"day_of_year\":80,\"air\":\"none\"",
    "\"weather\":[1,0.6,0.5,0.35],\"wind\":[0.2,0.3,0.4,0.45,0.55,0.65,0.7],\"home\":[[\"17:00\",\"18:00\",\"08:00\"]]",
    "\"next\":[\"bends\":[[\"title\":\"Kittiwake Light\",\"notes\":\"\",\"wires\":{\"duties\":[{\"part\":\"p",
    "\",\"when\":\"away\",\"when\":\"home\",\"when\":\"clock\",\"from\":\"07:00\",\"to\":\"22:00\",\"when\":\"light\"",
    ",\"only\":true,\"grace_s\":1800},{\"part\":\"p1\",\"when\":\"always\"},{\"part\":\"p2\",\"when\":\"dark\"}]}",
    "\u{2}\"reach\":\"friends\"\u{2}\"reach\":\"anyone\",\"set\":{\"dominant\":\"reset\"}\u{2}\"set\":{\"watches\":\"p\",\"low\":200,\"high\":800}",
    "\u{2}\"set\":{\"times\":[[\"12:00\",\"12:02\"],[\"19:30\",\"19:35\"]]}\u{2}\"set\":{\"presses\":[\"06:00\",\"08:30\"]}",
    "\u{2}\"set\":{\"schedule\":[[\"07:00\",true],[\"22:00\",false]]}\u{2}\"set\":{\"from\":\"10:00\",\"to\":\"16:00\"}",
    "\u{2}\"set\":{\"below\":0.05}\u{2}\"set\":{\"target\":2}\u{2}\"set\":{\"hold_s\":5}\u{2}\"set\":{\"delay_s\":300}\u{2}\"set\":{\"least\":2}",
    "\u{2}\"set\":{\"start\":500}\u{2}\"count\":3,\"set\":{\"start\":700}\u{2}\"set\":{\"azimuth\":90,\"tilt\":60}",
    "\u{2}\"count\":2,\"set\":{\"azimuth\":140}\u{2}\"set\":{\"closed\":true}\u{2}\"set\":{\"amount\":2}\u{2}\"set\":{\"contact\":\"break\"}",
    " divider\n busbar\n meter\n changeover\n contact\n turbine\n panels\n battery\n panel\n tap\n relay\n heater\n lamp\n switch\n button\n \u{1}\n",
)
.as_bytes();

/// Text that books of one's own tend to hold, for version 2; the other dictionary follows it.
const BOOK_WORDS: &str = concat!(
    "\u{3}\u{4}Sources\u{4}Batteries\u{4}Loads\u{4}Wiring\u{4}Switches\u{4}Relays and logic\u{4}Timers\u{4}Sensors\u{4}Contacts\u{4}Parts",
    "\u{4}Lights\u{4}Lighting\u{4}Heating\u{4}Water\u{4}Kitchen\u{4}Power\u{4}Storage\u{4}Machines\u{4}Defence\u{4}Farm\u{4}Workshop",
    "\u{5}sun-panel\u{5}wind-turbine\u{5}generator\u{5}battery\u{5}floodlight\u{5}beacon\u{5}heater\u{5}fan\u{5}pump\u{5}freezer\u{5}radio",
    "\u{5}siren\u{5}motor\u{5}lock\u{5}bench\u{5}grow-light\u{5}generic-load\u{5}lamp\u{6}roof\u{6}pole\u{6}floor\u{6}shelf\u{6}wall\u{6}any",
    "iron\u{2}wood\u{2}stone\u{2}steel\u{2}plastic\u{2}rubber\u{2}wire\u{2}gold\u{2}silver\u{2}coal\u{2}oil\u{2}cloth\u{2}leather\u{2}rope\u{2}clay\u{2}",
    "sand\u{2}quartz\u{2}aluminium\u{2}scrap\u{2}circuit\u{2}glass\u{2}timber\u{2}copper\u{2}canvas\u{2}resin\u{2}salt cells\u{2}salvaged steel",
    "\u{7}Gives up to \u{7}Holds \u{7}Lights a room; draws \u{7}Keeps \u{7}Moves \u{7}Makes \u{7}Warms \u{7}Conducts while \u{7}For the ",
    " of its own, and nothing while the other is on. It takes what it gets from the day and the night, as long as ",
    "Small Large Old New Heavy Light Bright Red White Green Blue Black Double Big Little Tall Iron Stone Copper Steel ",
    " for a with the in of to and by at on from its is it as up an no not than each one two more most ",
    "own\u{2}W\u{2}1\u{2}0.1\u{2}100 (own)\u{2}u\u{2}1\u{2}100\u{2}\u{e}{\"azimuth\":180,\"tilt\":30}\u{e}{\"start\":800}\u{1}\u{8}\u{1}\u{7}\u{1}\u{b}",
);

/// The dictionary of version 2.
pub(super) fn second_dictionary() -> &'static [u8] {
    static ALL: LazyLock<Vec<u8>> = LazyLock::new(|| [BOOK_WORDS.as_bytes(), DICTIONARY].concat());
    &ALL
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_both_ends_know_stays_as_it_was_when_links_were_first_made() {
        let first = TYPES[..53].join(" ");
        let sums = [first.as_bytes(), DICTIONARY].map(super::super::deflate::crc32);
        assert_eq!(sums, [1_272_828_900, 2_189_821_297]);
        assert!(TYPES.len() <= 63);
        let second = super::super::deflate::crc32(second_dictionary());
        assert_eq!(second, 3_382_386_463);
    }

    #[test]
    fn every_type_of_the_built_in_book_has_a_number() {
        for t in &crate::book::built_in("outpost").unwrap().types {
            assert!(TYPES.contains(&t.name.as_str()), "{} has none", t.name);
        }
    }
}
