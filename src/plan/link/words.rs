//! What both ends of a link know: names of part types by number, and text that plans tend to hold.
//!
//! Both belong to version 1 of the link form. The list of types may grow at its end, up to 63 names; nothing here may
//! change otherwise, or links that are about would no longer open. A type that is not listed is written by its name.

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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_both_ends_know_stays_as_it_was_when_links_were_first_made() {
        let first = TYPES[..53].join(" ");
        let sums = [first.as_bytes(), DICTIONARY].map(super::super::deflate::crc32);
        assert_eq!(sums, [1_272_828_900, 2_189_821_297]);
        assert!(TYPES.len() <= 63);
    }

    #[test]
    fn every_type_of_the_built_in_book_has_a_number() {
        for t in &crate::book::built_in("outpost").unwrap().types {
            assert!(TYPES.contains(&t.name.as_str()), "{} has none", t.name);
        }
    }
}
