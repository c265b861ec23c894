//! Branchings: how one supply is led to the loads, through which contacts and in which order.
//!
//! Loads without a contact come first on the line, each on the loop of the one before; a contact that all the rest share
//! comes next, once; where the rest share none, the line is split, by taps set to what hangs on each or by a divider. So a
//! load stands behind just the contacts that it is to stand behind. A load that passes nothing on while it lacks power
//! comes after those that do.

use super::gates::{Gate, GateContact};

/// Which of a list of gates: a bit each.
pub(super) type GateSet = u64;

/// One thing on a line.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Item {
    /// The load of a want; the line goes on at its loop.
    Load(usize),
    /// The contact of a gate; the line goes on behind it.
    Contact(usize),
    /// Sets so much aside for a line; the line goes on at its rest.
    Tap(u64, Line),
    /// The line ends in equal shares.
    Split(Vec<Line>),
    /// The line ends at the busbar ahead of a want that is fed twice.
    Join(usize),
    /// The line ends at a free input of what stands, on which so much hangs.
    End(usize, u64),
}

/// What one feed leads through, in its order.
pub(super) type Line = Vec<Item>;

/// What lines are split with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Splitter {
    /// Taps of a type.
    Taps(usize),
    /// Dividers, of the type that fits.
    Dividers,
}

/// A load that is to be led to.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stop {
    /// The want.
    pub want: usize,
    /// What it draws in steps.
    pub draw: u64,
    /// Whether it passes everything on when it lacks power.
    pub passes: bool,
    /// Whether the line ends at a busbar ahead of it.
    pub joins: bool,
    /// The free input of what stands at which the line ends, if it does.
    pub end: Option<usize>,
    /// The gates that it is to stand behind.
    pub gates: GateSet,
}

impl Stop {
    /// Whether the line ends here.
    fn ends(&self) -> bool {
        self.joins || self.end.is_some()
    }

    /// How it ends here.
    fn last(&self) -> Item {
        match self.end {
            Some(at) => Item::End(at, self.draw),
            None => Item::Join(self.want),
        }
    }
}

/// How a plan's loads are fed.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Branching {
    /// How each gate is built; none for one that nothing uses.
    pub contacts: Vec<Option<GateContact>>,
    /// What lines are split with.
    pub splitter: Splitter,
    /// The line of each feed.
    pub lines: Vec<Line>,
}

/// The line to these stops. `gates` says what each gate is.
pub(super) fn line_to(mut stops: Vec<Stop>, gates: &[Gate], splitter: Splitter) -> Line {
    let mut line = Line::new();
    stops.sort_by_key(|stop| (!stop.passes, stop.want));
    let (free, rest): (Vec<Stop>, Vec<Stop>) =
        (stops.into_iter()).partition(|stop| stop.gates == 0 && !stop.ends());
    let (last, free): (Vec<Stop>, Vec<Stop>) = free.into_iter().partition(|stop| {
        // One that holds power back ends its line, so that nothing hangs on its luck.
        !stop.passes && !rest.is_empty()
    });
    line.extend(free.iter().map(|stop| Item::Load(stop.want)));
    let mut ways = ways(rest, gates, splitter);
    if !last.is_empty() {
        let own: Line = last.iter().map(|stop| Item::Load(stop.want)).collect();
        ways.push((draw(&last), own));
    }
    join(&mut line, ways, splitter);
    line
}

fn draw(stops: &[Stop]) -> u64 {
    stops.iter().map(|stop| stop.draw).sum()
}

/// The lines to stops of which each stands behind a gate or at a busbar, with what each needs.
fn ways(stops: Vec<Stop>, gates: &[Gate], splitter: Splitter) -> Vec<(u64, Line)> {
    let Some(first) = stops.first().copied() else {
        return Vec::new();
    };
    if stops.len() == 1 && first.gates == 0 {
        return vec![(first.draw, vec![first.last()])];
    }
    let (gate, behind, rest) = parted(stops, gates);
    let Some(gate) = gate else {
        // Only ends are left.
        let each = rest.iter();
        return each.map(|stop| (stop.draw, vec![stop.last()])).collect();
    };
    let needs = draw(&behind);
    let stripped: Vec<Stop> = behind
        .into_iter()
        .map(|stop| Stop {
            gates: stop.gates & !(1 << gate),
            ..stop
        })
        .collect();
    let mut own = vec![Item::Contact(gate)];
    own.extend(line_to(stripped, gates, splitter));
    let mut found = vec![(needs, own)];
    found.extend(ways(rest, gates, splitter));
    found
}

/// The gate to be put up next, the stops behind it, and the others. The house switch is first, then the one before most.
fn parted(stops: Vec<Stop>, gates: &[Gate]) -> (Option<usize>, Vec<Stop>, Vec<Stop>) {
    let behind = |gate: usize| stops.iter().filter(|s| s.gates & (1 << gate) != 0).count();
    let all = stops.len();
    let used = (0..gates.len()).filter(|gate| behind(*gate) > 0);
    let best = used.max_by_key(|gate| {
        let count = behind(*gate);
        let house = gates[*gate] == Gate::House;
        (count == all, house, count, std::cmp::Reverse(*gate))
    });
    let Some(gate) = best else {
        return (None, Vec::new(), stops);
    };
    let (with, without) = (stops.into_iter()).partition(|s| s.gates & (1 << gate) != 0);
    (Some(gate), with, without)
}

/// Goes on from a line to several.
fn join(line: &mut Line, mut ways: Vec<(u64, Line)>, splitter: Splitter) {
    match (ways.len(), splitter) {
        (0, _) => {}
        (1, _) => line.extend(ways.remove(0).1),
        (_, Splitter::Taps(_)) => {
            let last = ways.pop();
            line.extend(ways.into_iter().map(|(needs, way)| Item::Tap(needs, way)));
            line.extend(last.into_iter().flat_map(|(_, way)| way));
        }
        (_, Splitter::Dividers) => {
            line.push(Item::Split(ways.into_iter().map(|(_, way)| way).collect()));
        }
    }
}

/// Whether a line is split anywhere.
pub(super) fn is_split(line: &Line) -> bool {
    let splits = |item: &Item| matches!(item, Item::Tap(..) | Item::Split(_));
    line.iter().any(splits)
}

/// What a supply must offer so that a line can serve all at once, in steps.
pub(super) fn needs(line: &Line, draw: &dyn Fn(usize) -> u64) -> u64 {
    let each = line.iter().map(|item| match item {
        Item::Load(want) | Item::Join(want) => draw(*want),
        Item::Contact(_) => 0,
        Item::End(_, amount) | Item::Tap(amount, _) => *amount,
        Item::Split(ways) => {
            let most = ways.iter().map(|way| needs(way, draw)).max().unwrap_or(0);
            most.saturating_mul(ways.len() as u64)
        }
    });
    each.fold(0, u64::saturating_add)
}

/// The gates whose contacts stand on a line, each as often as it stands there.
pub(super) fn contacts_on(line: &Line) -> Vec<usize> {
    let mut found = Vec::new();
    for item in line {
        match item {
            Item::Contact(gate) => found.push(*gate),
            Item::Tap(_, way) => found.extend(contacts_on(way)),
            Item::Split(ways) => found.extend(ways.iter().flat_map(contacts_on)),
            Item::Load(_) | Item::Join(_) | Item::End(..) => {}
        }
    }
    found
}

/// The wants that a line leads to.
pub(super) fn wants_on(line: &Line) -> Vec<usize> {
    let mut found = Vec::new();
    for item in line {
        match item {
            Item::Load(want) | Item::Join(want) => found.push(*want),
            Item::Tap(_, way) => found.extend(wants_on(way)),
            Item::Split(ways) => found.extend(ways.iter().flat_map(wants_on)),
            Item::Contact(_) | Item::End(..) => {}
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::When;

    fn stop(want: usize, gates: GateSet) -> Stop {
        Stop {
            want,
            draw: 2,
            passes: true,
            joins: false,
            end: None,
            gates,
        }
    }

    const GATES: [Gate; 3] = [
        Gate::While(When::Dark),
        Gate::While(When::Home),
        Gate::House,
    ];

    #[test]
    fn what_all_share_comes_once_and_those_without_a_contact_come_first() {
        let line = line_to(
            vec![stop(0, 0b01), stop(1, 0), stop(2, 0b11)],
            &GATES,
            Splitter::Taps(0),
        );
        let expected = vec![
            Item::Load(1),
            Item::Contact(0),
            Item::Load(0),
            Item::Contact(1),
            Item::Load(2),
        ];
        assert_eq!(line, expected);
        assert!(!is_split(&line));
    }

    #[test]
    fn what_shares_nothing_is_split_by_what_each_needs() {
        let line = line_to(
            vec![stop(0, 0b01), stop(1, 0b10)],
            &GATES,
            Splitter::Taps(0),
        );
        let expected = vec![
            Item::Tap(2, vec![Item::Contact(0), Item::Load(0)]),
            Item::Contact(1),
            Item::Load(1),
        ];
        assert_eq!(line, expected);
        assert_eq!(needs(&line, &|_| 2), 4);
    }

    #[test]
    fn there_is_one_house_switch_only() {
        let stops = vec![stop(0, 0b101), stop(1, 0b110), stop(2, 0b001)];
        let line = line_to(stops, &GATES, Splitter::Taps(0));
        let switches = contacts_on(&line).into_iter().filter(|gate| *gate == 2);
        assert_eq!(switches.count(), 1, "{line:?}");
    }
}
