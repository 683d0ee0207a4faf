//! One game of tennis, point by point.
use super::distribution::Distribution;

/// How many points are left and who wins, as two parts of one distribution.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PointsLeft {
    /// Points left where the first of the two wins.
    pub won: Distribution,
    /// Points left where the other wins.
    pub lost: Distribution,
}

impl PointsLeft {
    /// Points left, whoever wins.
    #[must_use]
    pub fn whoever_wins(&self) -> Distribution {
        let mut all = self.won.clone();
        all.add(&self.lost, 1.0);
        all
    }
}

/// What is not followed any further: the tail of endless deuces.
pub(super) const NEGLIGIBLE: f64 = 1e-10;
/// No game is followed for longer.
const LONGEST: i64 = 2_000;

/// The rest of a game from `from` (server's and receiver's points: 3 is forty, 4 against 3 advantage).
///
/// `p` is the server's chance of a point, points are independent. Without
/// advantages one point decides at three all. Source: a dynamic programme over
/// points; closed forms in Carter and Crews 1974, Newton and Keller 2005.
#[must_use]
pub fn game(p: f64, no_ad: bool, from: [u8; 2]) -> PointsLeft {
    let mut left = PointsLeft::default();
    let mut states = vec![(level(from), 1.0)];
    let mut points = 0;
    while !states.is_empty() && points < LONGEST {
        points += 1;
        let mut next: Vec<([u8; 2], f64)> = Vec::with_capacity(states.len() + 1);
        for ([server, receiver], mass) in states {
            for (scored, share) in [([server + 1, receiver], p), ([server, receiver + 1], 1.0 - p)] {
                let mass = mass * share;
                match winner(scored, no_ad) {
                    Some(true) => left.won.put(points, mass),
                    Some(false) => left.lost.put(points, mass),
                    None => gather(&mut next, level(scored), mass),
                }
            }
        }
        next.retain(|(_, mass)| *mass > NEGLIGIBLE);
        states = next;
    }
    left
}

/// Forty all and every later deuce are one state, and so are the advantages.
fn level([server, receiver]: [u8; 2]) -> [u8; 2] {
    let over = server.min(receiver).saturating_sub(3);
    [server - over, receiver - over]
}

fn winner([server, receiver]: [u8; 2], no_ad: bool) -> Option<bool> {
    let lead = if no_ad { 1 } else { 2 };
    if server >= 4 && server >= receiver + lead {
        Some(true)
    } else if receiver >= 4 && receiver >= server + lead {
        Some(false)
    } else {
        None
    }
}

/// Adds `mass` to a state of a short list.
pub(super) fn gather<S: PartialEq>(states: &mut Vec<(S, f64)>, state: S, mass: f64) {
    match states.iter_mut().find(|(known, _)| *known == state) {
        Some((_, sum)) => *sum += mass,
        None => states.push((state, mass)),
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        /// p^4(1+4r+10r^2) + 20p^3r^3 * p^2/(1-2pr); without advantages p^4(1+4r+10r^2+20r^3).
        #[test]
        fn the_server_wins_as_often_as_the_closed_forms_say(p in 0.1_f64..0.95) {
            let r = 1.0 - p;
            let before = p.powi(4) * (1.0 + 4.0 * r + 10.0 * r * r);
            let advantage = before + 20.0 * (p * r).powi(3) * p * p / (1.0 - 2.0 * p * r);
            let no_ad = before + 20.0 * p.powi(4) * r.powi(3);
            prop_assert!((game(p, false, [0, 0]).won.total() - advantage).abs() < 1e-8);
            prop_assert!((game(p, true, [0, 0]).won.total() - no_ad).abs() < 1e-12);
        }

        #[test]
        fn every_game_ends(p in 0.02_f64..0.98, server in 0_u8..4, receiver in 0_u8..4) {
            let all = game(p, false, [server, receiver]).whoever_wins();
            prop_assert!((all.total() - 1.0).abs() < 1e-8);
        }
    }

    #[test]
    fn an_advantage_is_one_point_from_the_game() {
        let left = game(0.6, false, [4, 3]);
        assert!((left.won.at(1) - 0.6).abs() < 1e-15);
        // later deuces are the same state
        assert_eq!(game(0.6, false, [5, 5]), game(0.6, false, [3, 3]));
    }
}
