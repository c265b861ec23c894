//! The measures of a part's card on the board, and where its ports stand on its edges.
//!
//! Pixels of the board, from the card's top left corner. Every port stands on the board's module of 8 px, so that wires
//! between aligned cards run straight. Nothing here fails. It draws nothing and knows no plan.

use crate::book::{Port, Side};

/// The width of every card.
pub const WIDTH: f64 = 176.0;
/// The board's module.
pub const MODULE: f64 = 8.0;

/// The least height of a card: its symbol of 40 with room around it.
const LEAST: f64 = 64.0;
/// From port to port where there are many: a target that a finger can meet.
const PITCH: f64 = 24.0;

/// Where one port stands.
#[derive(Clone, Debug, PartialEq)]
pub struct PortPlace {
    /// The port's name.
    pub name: String,
    /// Its side: inputs left, outputs right, signals below.
    pub side: Side,
    /// From the card's left edge.
    pub x: f64,
    /// From the card's top edge.
    pub y: f64,
}

/// The height of a card with these ports; a multiple of 8.
pub fn height(ports: &[Port]) -> f64 {
    let most = count(ports, Side::In).max(count(ports, Side::Out));
    LEAST.max(PITCH * most as f64 + MODULE)
}

/// The places of the ports, in their order.
pub fn places(ports: &[Port]) -> Vec<PortPlace> {
    let height = height(ports);
    let mut gone = [0usize; 3];
    ports
        .iter()
        .map(|port| {
            let (slot, along) = match port.side {
                Side::In => (0, height),
                Side::Out => (1, height),
                Side::Signal => (2, WIDTH),
            };
            let at = spread(gone[slot], count(ports, port.side), along);
            gone[slot] += 1;
            let (x, y) = match port.side {
                Side::In => (0.0, at),
                Side::Out => (WIDTH, at),
                Side::Signal => (at, height),
            };
            PortPlace {
                name: port.name.to_string(),
                side: port.side,
                x,
                y,
            }
        })
        .collect()
}

fn count(ports: &[Port], side: Side) -> usize {
    ports.iter().filter(|p| p.side == side).count()
}

/// The place of the `index`th of `count` along an edge: around its middle, two of them wider apart.
fn spread(index: usize, count: usize, along: f64) -> f64 {
    let pitch = if count == 2 { 32.0 } else { PITCH };
    let first = (along - pitch * (count.max(1) - 1) as f64) / 2.0;
    (first / MODULE).round() * MODULE + pitch * index as f64
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::book;

    #[test]
    fn every_port_of_the_built_in_books_stands_on_the_grid_and_on_its_edge() {
        for t in book::built_in_types() {
            let (ports, tall) = (t.ports(), height(&t.ports()));
            let places = places(&ports);
            assert_eq!(places.len(), ports.len());
            assert!(tall >= 56.0 && tall % MODULE == 0.0, "{}", t.name);
            for (i, p) in places.iter().enumerate() {
                assert_eq!((p.x % MODULE, p.y % MODULE), (0.0, 0.0), "{}", t.name);
                match p.side {
                    Side::In => assert!(p.x == 0.0 && p.y > 0.0 && p.y < tall),
                    Side::Out => assert!(p.x == WIDTH && p.y > 0.0 && p.y < tall),
                    Side::Signal => assert!(p.y == tall && p.x > 0.0 && p.x < WIDTH),
                }
                for q in &places[..i] {
                    let apart = (p.x - q.x).abs().max((p.y - q.y).abs());
                    assert!(apart >= 24.0, "{}: {} lies on {}", t.name, p.name, q.name);
                }
            }
        }
    }

    #[test]
    fn a_card_is_as_tall_as_its_ports_need() {
        let ports = |n: usize| -> Vec<Port> {
            (0..n)
                .map(|i| Port {
                    name: format!("out{i}").into(),
                    side: Side::Out,
                })
                .collect()
        };
        assert_eq!(
            [0, 1, 2, 3, 4].map(|n| height(&ports(n))),
            [64.0, 64.0, 64.0, 80.0, 104.0]
        );
        assert_eq!(places(&ports(3))[1].y, 40.0);
    }
}
