//! Small circuits that random wiring seldom finds.

use super::Draft;

impl Draft {
    /// Adds one of the motifs, fed from a random supply.
    pub(super) fn motif(&mut self) {
        self.before_motif = self.parts.len();
        match self.random.between(0, 9) {
            0 | 1 => self.buzzer(),
            2 => self.cross_coupled(),
            3 => self.flasher(),
            4 => self.seal_in(),
            5 => self.ring(),
            6 => self.own_feed(),
            7 => self.dusk_lamp(),
            8 => self.float(),
            _ => self.counted(),
        }
    }

    fn feed(&mut self, part: usize, port: &str) {
        let supply = self.supply(self.before_motif);
        self.wire(supply, (part, port.into()));
    }

    fn join(&mut self, from: usize, output: &str, to: usize, input: &str) {
        self.wire((from, output.into()), (to, input.into()));
    }

    /// A break relay whose own output feeds its coil.
    fn buzzer(&mut self) {
        let relay = self.add("relay");
        self.set(relay, "contact", "break".into());
        self.feed(relay, "feed");
        if self.random.chance(50) {
            self.join(relay, "out", relay, "coil");
        } else {
            let tap = self.add("tap");
            self.join(relay, "out", tap, "in");
            self.join(tap, "tap", relay, "coil");
        }
    }

    /// Two break relays, each holding the other's coil.
    fn cross_coupled(&mut self) {
        let (a, b) = (self.add("relay"), self.add("relay"));
        for relay in [a, b] {
            self.set(relay, "contact", "break".into());
            self.feed(relay, "feed");
        }
        self.join(a, "out", b, "coil");
        self.join(b, "out", a, "coil");
    }

    /// An on-delay and a pulse or off-delay that restart each other.
    fn flasher(&mut self) {
        let first = self.add("on-delay");
        let second = self.random.pick(&["off-delay", "pulse", "on-delay"]);
        let second = self.add(second);
        self.set(second, "contact", "break".into());
        self.feed(first, "feed");
        self.feed(second, "feed");
        self.join(first, "out", second, "trigger");
        self.join(second, "out", first, "trigger");
    }

    /// A button starts a relay that holds itself over a busbar.
    fn seal_in(&mut self) {
        let (button, relay, bar, tap) = (
            self.add("button"),
            self.add("relay"),
            self.add("busbar-2"),
            self.add("tap"),
        );
        self.feed(button, "feed");
        self.feed(relay, "feed");
        self.join(button, "out", bar, "in1");
        self.join(relay, "out", tap, "in");
        self.join(tap, "tap", bar, "in2");
        self.join(bar, "out", relay, "coil");
    }

    /// Two batteries that feed each other, a load between.
    fn ring(&mut self) {
        let (a, b, lamp) = (self.add("cell"), self.add("tank"), self.add("lamp"));
        self.join(a, "out", lamp, "in");
        self.join(lamp, "loop", b, "in");
        self.join(b, "out", a, "in");
    }

    /// A battery that feeds itself through a busbar beside a source.
    fn own_feed(&mut self) {
        let (battery, bar, divider) = (
            self.add("cell"),
            self.add("busbar-3"),
            self.add("divider-2"),
        );
        self.feed(bar, "in1");
        self.join(battery, "out", divider, "in");
        self.join(divider, "out1", bar, "in2");
        self.join(bar, "out", battery, "in");
    }

    /// A tap of the panel keeps a break relay open by day; the battery feeds the lamp through it.
    fn dusk_lamp(&mut self) {
        let (panel, tap, battery) = (self.add("sun"), self.add("tap"), self.add("cell"));
        let (heater, relay, lamp) = (self.add("heater"), self.add("relay"), self.add("lamp"));
        self.set(relay, "contact", "break".into());
        self.join(panel, "out", tap, "in");
        self.join(tap, "tap", relay, "coil");
        self.join(tap, "rest", battery, "in");
        self.join(battery, "out", heater, "in");
        self.join(heater, "loop", relay, "feed");
        self.join(relay, "out", lamp, "in");
    }

    /// A charge contact in the feed of a battery with something that empties it.
    fn float(&mut self) {
        let (contact, battery, lamp) = (self.add("charge"), self.add("tank"), self.add("lamp"));
        self.feed(contact, "feed");
        self.join(contact, "out", battery, "in");
        self.join(battery, "out", lamp, "in");
    }

    /// Presses counted, toggled and latched.
    fn counted(&mut self) {
        let (button, divider) = (self.add("button"), self.add("divider-3"));
        let (counter, impulse, latch) =
            (self.add("counter"), self.add("impulse"), self.add("latch"));
        self.feed(button, "feed");
        self.join(button, "out", divider, "in");
        self.join(divider, "out1", counter, "count");
        self.join(divider, "out2", impulse, "trigger");
        self.join(divider, "out3", latch, "set");
        self.feed(counter, "feed");
        self.feed(impulse, "feed");
        self.join(impulse, "out", latch, "reset");
    }
}
