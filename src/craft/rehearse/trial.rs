//! One repetition of a day: as it is planned, and as it goes.
use crate::dispatch::file::Day;
use crate::rehearse::world::World;

/// A day and one way it may go. Days of an order of play differ from trial to trial in their rackets too.
#[derive(Debug, Clone, PartialEq)]
pub struct Trial {
    /// As planned.
    pub day: Day,
    /// As it goes.
    pub world: World,
}

/// The first `repeat` repetitions of a day whose rackets are known.
#[must_use]
pub fn trials(day: &Day, repeat: u64, seed: u64) -> Vec<Trial> {
    let trial = |repetition| Trial {
        day: day.clone(),
        world: World::draw(day, seed, repetition),
    };
    (0..repeat).map(trial).collect()
}
