//! The circuit in blocks with the chance that is left in each.

use super::Search;
use super::section::percent;
use crate::stage::circuit::circuit;
use crate::visit::Visit;
use diagnosis::search::next::Instead;
use report::{Circuit, CircuitBlock, Figure, Message, Picture, Text};

impl Search {
    /// Returns the chance that a leak is left in a part of the circuit, by the key of the part.
    #[must_use]
    pub fn chance_of_part(&self, part: &str) -> f64 {
        let of = |at: &usize| self.places[*at].part == part;
        let sum: f64 = (0..self.places.len()).filter(of).map(|at| self.now.places[at]).sum();
        sum.min(1.0)
    }

    /// Returns the picture of the circuit, each block shaded by the chance that a leak is left there.
    #[must_use]
    pub fn picture(&self, visit: &Visit) -> Figure {
        let of = circuit(visit);
        let stop = self.advice.instead == Some(Instead::NoLeak);
        let next = self.advice.next.filter(|_| self.looks_on() && !stop).map(|act| act.place);
        let found = self.found.as_ref().map(|found| found.place);
        let is_of = |place: Option<usize>, part: &str| place.is_some_and(|at| self.places[at].part == part);
        let blocks = of
            .blocks
            .iter()
            .enumerate()
            .map(|(index, block)| {
                let part = block.part.key();
                let here: Vec<usize> =
                    (0..self.places.len()).filter(|at| self.places[*at].part == part).collect();
                let looked = self.looks.iter().any(|look| here.contains(&look.place) && look.covered >= 1.0);
                let chance = self.chance_of_part(part);
                let found = is_of(found, part);
                CircuitBlock {
                    name: block.label.clone().into(),
                    at: block.at,
                    chance: Some(chance),
                    written: if found { Message::new("seek-block-found").into() } else { percent(chance) },
                    looked,
                    ruled_out: !here.is_empty() && here.iter().all(|at| self.now.ruled_out[*at]),
                    next: is_of(next, part),
                    found,
                    inside: block.inside,
                    to: of.flow.iter().find(|(from, _)| *from == index).map(|(_, to)| *to),
                    hangs_on: of.hangs.iter().find(|(from, _)| *from == index).map(|(_, to)| *to),
                }
            })
            .collect();
        let room = of.room.map(Text::verbatim);
        Figure {
            title: Message::new("seek-picture").into(),
            description: Message::new("seek-picture-says").into(),
            picture: Picture::Circuit(Circuit { blocks, room }),
        }
    }
}
