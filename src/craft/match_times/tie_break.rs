//! A tie-break, point by point.
use super::game::{NEGLIGIBLE, PointsLeft, gather};

/// No tie-break is followed for longer.
const LONGEST: u16 = 2_000;

/// The rest of a tie-break to `target` with a lead of two, from the points `from` of A and B.
///
/// `p` and `q` are A's and B's chances of a point on their own serve. A serves the
/// first point if `a_first`, then each serves two: point k (from 0) belongs to
/// the first server when floor((k + 1) / 2) is even (ITF Rules of Tennis, rule 5b).
#[must_use]
pub fn tie_break(p: f64, q: f64, target: u8, from: [u8; 2], a_first: bool) -> PointsLeft {
    let mut left = PointsLeft::default();
    let target = u16::from(target);
    let mut played = u16::from(from[0]) + u16::from(from[1]);
    let mut states = vec![(u16::from(from[0]), 1.0)];
    let mut points = 0;
    while !states.is_empty() && played < LONGEST {
        let a_serves = (played.div_ceil(2) % 2 == 0) == a_first;
        let chance = if a_serves { p } else { 1.0 - q };
        played += 1;
        points += 1;
        let mut next = Vec::with_capacity(states.len() + 1);
        for (a, mass) in states {
            for (a, share) in [(a + 1, chance), (a, 1.0 - chance)] {
                let (b, mass) = (played - a, mass * share);
                if a >= target && a >= b + 2 {
                    left.won.put(points, mass);
                } else if b >= target && b >= a + 2 {
                    left.lost.put(points, mass);
                } else {
                    gather(&mut next, a, mass);
                }
            }
        }
        next.retain(|(_, mass)| *mass > NEGLIGIBLE);
        states = next;
    }
    left
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        /// Newton and Keller 2005: who serves first does not matter for who wins.
        #[test]
        fn the_first_server_has_no_advantage(p in 0.3_f64..0.9, q in 0.3_f64..0.9, target in 5_u8..11) {
            let first = tie_break(p, q, target, [0, 0], true).won.total();
            let second = tie_break(p, q, target, [0, 0], false).won.total();
            prop_assert!((first - second).abs() < 1e-7, "{first} {second}");
        }
    }

    #[test]
    fn from_six_all_the_pairs_of_points_decide() {
        // exact: A wins a pair with p(1-q), B with q(1-p)
        let (p, q) = (0.7, 0.6);
        let exact = p * (1.0 - q) / (p * (1.0 - q) + q * (1.0 - p));
        assert!((tie_break(p, q, 7, [6, 6], true).won.total() - exact).abs() < 1e-8);
    }
}
