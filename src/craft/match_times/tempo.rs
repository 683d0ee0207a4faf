//! How fast points follow one another.
use super::play::Clock;
use super::players::PlayerMix;
use crate::sport::Sport;
use crate::text_enum::text_enum;

text_enum! {
    /// What a court is made of.
    pub enum Surface, "surface" {
        /// Hard court.
        Hard = "hard",
        /// Clay.
        Clay = "clay",
        /// Grass.
        Grass = "grass",
        /// Carpet.
        Carpet = "carpet",
        /// A wooden floor.
        Wood = "wood",
        /// A mat, as for badminton.
        Mat = "mat",
    }
}

/// Seconds per point with all gaps, and how much matches differ in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tempo {
    /// Mean seconds per point.
    pub point_s: f64,
    /// Standard deviation from match to match over the mean.
    pub variation: f64,
}

/// Standard deviation of the tempo between matches over its mean: published .10 to .15 (see [`Tempo::usual`]).
const VARIATION: f64 = 0.12;
/// The same for single points: an assumption.
const VARIATION_OF_A_POINT: f64 = 0.5;
/// 90 s rest less the ordinary gap of 20 s (ITF Rules of Tennis, rule 29a).
const CHANGE_OVER_S: f64 = 70.0;
/// 120 s rest less the ordinary gap of 20 s (same rule).
const SET_BREAK_S: f64 = 100.0;
/// Points of a game when only games are known.
pub const POINTS_PER_GAME: f64 = 6.4;

impl Tempo {
    /// The tempo nobody has measured yet.
    ///
    /// Tennis: 39 and 40 s per point with all rests at two hard-court majors, 37 s on
    /// grass, 2017 (catsstats.timchartier.com, "What's the time?", 28 June 2021), less
    /// change-overs and breaks; clay and club are assumptions. Badminton: rally 6.7 s
    /// and rest 23.3 s in men's doubles (Gawin 2015), singles fit 27. Squash: rally
    /// 25.1 s men, 17.2 s women; rests from memory.
    #[must_use]
    pub const fn usual(sport: Sport, surface: Surface, mix: PlayerMix) -> Self {
        let point_s = match (sport, mix, surface) {
            (Sport::Badminton, ..) => 27.0,
            (Sport::Tennis, PlayerMix::Club, _) | (Sport::Squash, ..) => 30.0,
            (Sport::Tennis, _, Surface::Grass) => 31.5,
            (Sport::Tennis, _, Surface::Clay) => 36.0,
            (Sport::Tennis, _, _) => 34.0,
        };
        Self {
            point_s,
            variation: VARIATION,
        }
    }

    /// The tempo after `points` have been played in `playing_s` seconds, rests taken out.
    ///
    /// The usual tempo counts as (0.5 / 0.12)^2 = 17 points already seen.
    #[must_use]
    pub fn after(self, points: f64, playing_s: f64) -> Self {
        if points <= 0.0 || playing_s <= 0.0 || self.variation <= 0.0 {
            return self;
        }
        let known = (VARIATION_OF_A_POINT / self.variation).powi(2);
        // a feed that reports a score long after it was played must not set an absurd tempo
        let seen = (playing_s / points).clamp(self.point_s / 2.0, self.point_s * 2.0);
        Self {
            point_s: self.point_s.mul_add(known, seen * points) / (known + points),
            variation: self.variation * (known / (known + points)).sqrt(),
        }
    }

    /// The clock of a match at this tempo, in steps of a minute.
    #[must_use]
    pub const fn clock(self) -> Clock {
        Clock {
            point_s: self.point_s,
            change_over_s: CHANGE_OVER_S,
            set_break_s: SET_BREAK_S,
            step_s: 60.0,
        }
    }
}

/// What rests added to `games` games in `sets` finished sets and the one under way, in seconds.
#[must_use]
pub fn rests_s(sets: &[[u8; 2]], games: [u8; 2]) -> f64 {
    let change_overs = |games: [u8; 2]| (f64::from(games[0] + games[1]) / 2.0 - 1.0).floor().max(0.0);
    let inside: f64 = sets.iter().copied().map(change_overs).sum::<f64>() + change_overs(games);
    inside.mul_add(CHANGE_OVER_S, sets.len() as f64 * SET_BREAK_S)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_seen_outweighs_what_is_usual_as_points_add_up() {
        let usual = Tempo::usual(Sport::Tennis, Surface::Hard, PlayerMix::Men);
        let slow = usual.after(17.36, 17.36 * 44.0);
        assert!((slow.point_s - 39.0).abs() < 0.01, "{slow:?}");
        assert!((slow.variation - 0.12 / 2f64.sqrt()).abs() < 1e-3);
        assert_eq!(usual.after(0.0, 100.0), usual);
    }

    #[test]
    fn a_set_of_ten_games_has_four_change_overs() {
        assert!((rests_s(&[[6, 4]], [0, 0]) - (4.0 * 70.0 + 100.0)).abs() < 1e-9);
    }
}
