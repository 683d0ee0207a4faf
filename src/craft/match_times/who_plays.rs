//! Who may play a match that is not decided, and how likely.
use std::collections::BTreeMap;

use super::forecast::MatchTimes;
use super::order::{Entrant, OrderOfPlay};

/// How likely each player of the day plays the match at `place`; all who may, with their share.
///
/// Winners of matches that are under way are weighed by the score.
#[must_use]
pub fn who_plays(order: &OrderOfPlay, times: &[MatchTimes], place: usize) -> BTreeMap<String, f64> {
    let mut chances = BTreeMap::new();
    for side in 0..2 {
        for (player, chance) in side_chances(order, times, place, side, 0) {
            let sum: &mut f64 = chances.entry(player).or_insert(0.0);
            *sum = (*sum + chance).min(1.0);
        }
    }
    chances
}

/// No draw is deeper than this; a ring of feeders is refused before.
const DEEPEST: u8 = 12;

fn side_chances(
    order: &OrderOfPlay,
    times: &[MatchTimes],
    place: usize,
    side: usize,
    depth: u8,
) -> BTreeMap<String, f64> {
    let mut chances = BTreeMap::new();
    let mut add = |player: String, chance: f64| {
        if chance > 0.0 {
            *chances.entry(player).or_insert(0.0) += chance;
        }
    };
    let Some(played) = order.matches.get(place).filter(|_| depth < DEEPEST) else {
        return chances;
    };
    for entrant in &played.sides[side] {
        let (feeder, wins) = match entrant {
            Entrant::Player(id) => {
                add(id.clone(), 1.0);
                continue;
            }
            Entrant::WinnerOf(id) => (id, true),
            Entrant::LoserOf(id) => (id, false),
            Entrant::ToBeDecided | Entrant::Bye => continue,
        };
        let Some(from) = order.matches.iter().position(|other| other.id == *feeder) else {
            continue;
        };
        let first_wins = times.get(from).map_or(0.5, |times| times.side_one_wins);
        for other in 0..2 {
            let comes = if (other == 0) == wins {
                first_wins
            } else {
                1.0 - first_wins
            };
            for (player, chance) in side_chances(order, times, from, other, depth + 1) {
                add(player, comes * chance);
            }
        }
    }
    chances
}
