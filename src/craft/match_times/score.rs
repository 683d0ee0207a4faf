//! A score as a referee reports it, and what it may be.
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::format::{Decider, MatchFormat, RallyFormat, SetsFormat};
use super::play::Standing;
use super::set::{SetRules, SetScore};

/// The score of a match under way.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct LiveScore {
    /// Finished sets (games of a rally sport), as games (points) of side 1 and side 2.
    #[serde(default)]
    pub sets: Vec<[u8; 2]>,
    /// Games of the set under way; a rally sport has none.
    #[serde(default)]
    pub games: [u8; 2],
    /// Points of the game: 0 to 3 for love to forty, 4 against 3 for advantage; as counted in tie-breaks and rally games.
    #[serde(default)]
    pub points: [u8; 2],
    /// Which side serves: 1 or 2.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub server: Option<u8>,
    /// Which side served first in the match.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub first_server: Option<u8>,
}

/// What a score cannot be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum ScoreFault {
    /// A finished set that nobody has won.
    #[error("a finished set is not the score of a set that was won; give the set under way in `games`")]
    SetNotWon,
    /// More sets than the match has.
    #[error("the match was over before this score")]
    MatchOver,
    /// The games are those of a set that is over.
    #[error("the set under way is over; add it to `sets`")]
    SetOver,
    /// The points are those of a game that is over.
    #[error("the game under way is over; points run from 0 to 3, 4 against 3 is advantage")]
    GameOver,
    /// Servers are sides.
    #[error("a server is side 1 or side 2")]
    NoSuchSide,
}

impl LiveScore {
    /// Sets of either side.
    #[must_use]
    pub fn sets_won(&self) -> [u8; 2] {
        self.sets.iter().fold([0_u8, 0], |[a, b], [first, second]| {
            if first > second {
                [a.saturating_add(1), b]
            } else {
                [a, b.saturating_add(1)]
            }
        })
    }

    /// Where the match stands.
    ///
    /// # Errors
    /// [`ScoreFault`] when a match of this format cannot stand so.
    pub fn standing(&self, format: &MatchFormat) -> Result<Standing, ScoreFault> {
        let is_side = |side: Option<u8>| side.is_none_or(|side| side == 1 || side == 2);
        if !is_side(self.server) || !is_side(self.first_server) {
            return Err(ScoreFault::NoSuchSide);
        }
        for (index, set) in self.sets.iter().enumerate() {
            if !finished(format, index, *set) {
                return Err(ScoreFault::SetNotWon);
            }
        }
        let sets = self.sets_won();
        if sets[0].max(sets[1]) >= format.need() {
            return Err(ScoreFault::MatchOver);
        }
        match format {
            MatchFormat::Sets(format) => self.check_set(format, sets)?,
            MatchFormat::Rally(format) => {
                if self.games != [0, 0] || rally_won(format, self.points) {
                    return Err(ScoreFault::GameOver);
                }
            }
        }
        Ok(Standing {
            sets,
            set: SetScore {
                games: self.games,
                points: self.points,
                a_serves: self.side_one_serves(format),
            },
        })
    }

    fn check_set(&self, format: &SetsFormat, sets: [u8; 2]) -> Result<(), ScoreFault> {
        let deciding = sets[0] + sets[1] == format.need * 2 - 2;
        let rules = SetRules::of(format, deciding);
        let [a, b] = self.points;
        let match_tie_break = deciding && format.decider == Decider::Mtb;
        if match_tie_break && self.games != [0, 0] {
            return Err(ScoreFault::SetOver);
        }
        if match_tie_break || rules.is_tie_break(self.games) {
            let target = if deciding { format.final_tb } else { format.tb };
            let over = a.max(b) >= target && a.abs_diff(b) >= 2;
            return if over { Err(ScoreFault::GameOver) } else { Ok(()) };
        }
        if rules.winner(self.games).is_some() || self.games[0].max(self.games[1]) > 100 {
            return Err(ScoreFault::SetOver);
        }
        let lead = if format.noad { 1 } else { 2 };
        let over = a.max(b) >= 4 && a.abs_diff(b) >= lead;
        if over { Err(ScoreFault::GameOver) } else { Ok(()) }
    }

    /// Side 1 serves: as told, else by the first server and the games played, else yes.
    fn side_one_serves(&self, format: &MatchFormat) -> bool {
        if let Some(server) = self.server {
            return server == 1;
        }
        let first = self.first_server.unwrap_or(1) == 1;
        if matches!(format, MatchFormat::Rally(_)) {
            return first;
        }
        let games: u32 = self
            .sets
            .iter()
            .chain([&self.games])
            .map(|[a, b]| u32::from(*a) + u32::from(*b))
            .sum();
        first == games.is_multiple_of(2)
    }

    /// Whether `later` cannot follow this score: something has become less.
    #[must_use]
    pub fn goes_backward_to(&self, later: &Self) -> bool {
        if later.sets.len() < self.sets.len() || !later.sets.starts_with(&self.sets) {
            return true;
        }
        if later.sets.len() > self.sets.len() {
            return false;
        }
        let less = |one: [u8; 2], other: [u8; 2]| other[0] < one[0] || other[1] < one[1];
        if less(self.games, later.games) {
            return true;
        }
        // an advantage lost is not a step back
        let deuce = self.points[0].min(self.points[1]) >= 3;
        self.games == later.games && !deuce && less(self.points, later.points)
    }
}

fn finished(format: &MatchFormat, index: usize, [a, b]: [u8; 2]) -> bool {
    match format {
        MatchFormat::Rally(format) => rally_won(format, [a, b]),
        MatchFormat::Sets(format) => {
            let deciding = index + 1 == usize::from(format.need) * 2 - 1;
            let rules = SetRules::of(format, deciding);
            rules.winner([a, b]).is_some() && a.max(b) <= 100
        }
    }
}

fn rally_won(format: &RallyFormat, [a, b]: [u8; 2]) -> bool {
    format.cap == Some(a.max(b)) || (a.max(b) >= format.pts && a.abs_diff(b) >= 2)
}

#[cfg(test)]
mod tests {
    use super::super::format::named;
    use super::*;

    fn score(sets: &[[u8; 2]], games: [u8; 2], points: [u8; 2]) -> LiveScore {
        LiveScore {
            sets: sets.to_vec(),
            games,
            points,
            server: None,
            first_server: Some(1),
        }
    }

    #[test]
    fn the_server_follows_from_the_games_played() {
        let standing = score(&[[6, 4]], [2, 1], [2, 0])
            .standing(&named("bo3_tb").unwrap())
            .unwrap();
        assert_eq!((standing.sets, standing.set.a_serves), ([1, 0], false));
    }

    #[test]
    fn scores_that_no_match_has_are_refused() {
        let check = |format: &str, score: LiveScore| score.standing(&named(format).unwrap()).unwrap_err();
        assert_eq!(
            check("bo3_tb", score(&[[5, 4]], [0, 0], [0, 0])),
            ScoreFault::SetNotWon
        );
        assert_eq!(
            check("bo3_tb", score(&[[6, 4], [6, 3]], [0, 0], [0, 0])),
            ScoreFault::MatchOver
        );
        assert_eq!(check("bo3_tb", score(&[], [6, 4], [0, 0])), ScoreFault::SetOver);
        assert_eq!(check("bo3_tb", score(&[], [5, 4], [4, 2])), ScoreFault::GameOver);
        assert_eq!(
            check("dbl_noad_mtb10", score(&[], [5, 4], [4, 3])),
            ScoreFault::GameOver
        );
        assert_eq!(
            check("bad_3x21", score(&[], [0, 0], [21, 19])),
            ScoreFault::GameOver
        );
    }

    #[test]
    fn only_what_becomes_less_goes_backward() {
        let now = score(&[[6, 4]], [2, 1], [3, 3]);
        assert!(!now.goes_backward_to(&score(&[[6, 4]], [2, 1], [4, 3])));
        assert!(!score(&[], [2, 1], [4, 3]).goes_backward_to(&score(&[], [2, 1], [3, 3])));
        assert!(!now.goes_backward_to(&score(&[[6, 4]], [3, 1], [0, 0])));
        assert!(!now.goes_backward_to(&score(&[[6, 4], [6, 1]], [0, 0], [0, 0])));
        assert!(now.goes_backward_to(&score(&[[6, 4]], [1, 1], [0, 0])));
        assert!(now.goes_backward_to(&score(&[[6, 3]], [2, 2], [0, 0])));
        assert!(now.goes_backward_to(&score(&[], [5, 5], [0, 0])));
    }
}
