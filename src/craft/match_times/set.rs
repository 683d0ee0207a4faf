//! One set of tennis, game by game, with the points it takes.
use super::distribution::Distribution;
use super::format::SetsFormat;
use super::game::{PointsLeft, game};
use super::tie_break::tie_break;

/// One way in which a set may end.
#[derive(Debug, Clone, PartialEq)]
pub struct Ending {
    /// Whether A wins it.
    pub a_wins: bool,
    /// Games of the whole set; a tie-break is one game.
    pub games: u8,
    /// Whether a tie-break decided it.
    pub tie_break: bool,
    /// Points from the start of the computation, and how likely all this is.
    pub points: Distribution,
}

/// Where a set stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SetScore {
    /// Games of A and B.
    pub games: [u8; 2],
    /// Points of A and B in the game (3 is forty, 4 against 3 advantage) or tie-break.
    pub points: [u8; 2],
    /// Whether A serves this game; in a tie-break: served its first point.
    pub a_serves: bool,
}

impl SetScore {
    /// A set that begins.
    #[must_use]
    pub const fn begins(a_serves: bool) -> Self {
        Self {
            games: [0, 0],
            points: [0, 0],
            a_serves,
        }
    }
}

/// What makes a set what it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SetRules {
    games: u8,
    tb_at: Option<u8>,
    tb: u8,
    no_ad: bool,
}

/// What is left of a set that goes on and on is not followed.
const NEGLIGIBLE: f64 = 1e-9;
/// Tails of so small a share are folded together.
const TAIL: f64 = 1e-12;
/// No set is followed for more games.
const LONGEST: u8 = 120;

impl SetRules {
    /// The rules of a set of this format; the deciding one may have another tie-break.
    #[must_use]
    pub const fn of(format: &SetsFormat, deciding: bool) -> Self {
        Self {
            games: format.games,
            tb_at: format.tb_at,
            tb: if deciding { format.final_tb } else { format.tb },
            no_ad: format.noad,
        }
    }

    /// Whether the next game at these games is a tie-break.
    #[must_use]
    pub fn is_tie_break(&self, games: [u8; 2]) -> bool {
        self.tb_at == Some(games[0]) && games[0] == games[1]
    }

    /// Who has won at these games, if anybody.
    #[must_use]
    pub fn winner(&self, [a, b]: [u8; 2]) -> Option<bool> {
        let after_tie_break = self.tb_at.is_some_and(|at| a.min(b) == at && a.max(b) == at + 1);
        let by_two = a.max(b) >= self.games && a.abs_diff(b) >= 2;
        (after_tie_break || by_two).then_some(a > b)
    }
}

/// The games of a set as they are played out, from one score on.
struct SetWalk<'a> {
    rules: &'a SetRules,
    holds: [PointsLeft; 2],
    endings: Vec<Ending>,
}

/// The rest of a set from `from`: every way it may end.
///
/// `p` and `q` are A's and B's chances of a point on their own serve.
#[must_use]
pub fn set(p: f64, q: f64, rules: &SetRules, from: &SetScore) -> Vec<Ending> {
    let mut walk = SetWalk {
        rules,
        holds: [game(p, rules.no_ad, [0, 0]), game(q, rules.no_ad, [0, 0])],
        endings: Vec::new(),
    };
    let first = from.games[0] + from.games[1];
    let mut states = vec![(from.games[0], Distribution::certain(0))];
    for played in first..LONGEST {
        let mut next: Vec<(u8, Distribution)> = Vec::with_capacity(states.len() + 1);
        for (a, so_far) in states {
            let games = [a, played - a];
            let a_serves = from.a_serves == (played - first).is_multiple_of(2);
            let points = if played == first { from.points } else { [0, 0] };
            if rules.is_tie_break(games) {
                let decided = tie_break(p, q, rules.tb, points, a_serves);
                walk.end(games, true, &so_far.plus(&decided.won), true);
                walk.end(games, false, &so_far.plus(&decided.lost), true);
                continue;
            }
            let partial = (points != [0, 0]).then(|| {
                let [own, other] = if a_serves { points } else { [points[1], points[0]] };
                game(if a_serves { p } else { q }, rules.no_ad, [own, other])
            });
            let played_out = partial.as_ref().unwrap_or(&walk.holds[usize::from(!a_serves)]);
            let (won, lost) = (so_far.plus(&played_out.won), so_far.plus(&played_out.lost));
            let (a_wins, b_wins) = if a_serves { (won, lost) } else { (lost, won) };
            walk.go_on(&mut next, [a + 1, played - a], a_wins);
            walk.go_on(&mut next, [a, played - a + 1], b_wins);
        }
        next.retain(|(_, mass)| mass.total() > NEGLIGIBLE);
        for (_, points) in &mut next {
            // the tails of many deuces would cost more than all the rest
            *points = std::mem::take(points).trimmed(TAIL);
        }
        if next.is_empty() {
            break;
        }
        states = next;
    }
    walk.endings
}

impl SetWalk<'_> {
    /// Ends the set after the game at `games`.
    fn end(&mut self, games: [u8; 2], a_wins: bool, points: &Distribution, tie_break: bool) {
        self.endings.push(Ending {
            a_wins,
            games: games[0] + games[1] + u8::from(tie_break),
            tie_break,
            points: points.clone(),
        });
    }

    fn go_on(&mut self, next: &mut Vec<(u8, Distribution)>, games: [u8; 2], points: Distribution) {
        if let Some(a_wins) = self.rules.winner(games) {
            self.end(games, a_wins, &points, false);
        } else if let Some((_, sum)) = next.iter_mut().find(|(a, _)| *a == games[0]) {
            sum.add(&points, 1.0);
        } else {
            next.push((games[0], points));
        }
    }
}

/// The chance that a set passes through the games `at`, or ends there, from its beginning.
#[must_use]
pub fn chance_of_games(p: f64, q: f64, rules: &SetRules, at: [u8; 2], a_serves_first: bool) -> f64 {
    let hold = [
        game(p, rules.no_ad, [0, 0]).won.total(),
        game(q, rules.no_ad, [0, 0]).won.total(),
    ];
    let total = at[0] + at[1];
    let mut states = vec![(0_u8, 1.0)];
    for played in 0..total {
        let a_serves = a_serves_first == played.is_multiple_of(2);
        let mut next = Vec::with_capacity(states.len() + 1);
        for (a, mass) in states {
            let games = [a, played - a];
            if rules.winner(games).is_some() {
                continue;
            }
            let a_wins = if rules.is_tie_break(games) {
                tie_break(p, q, rules.tb, [0, 0], a_serves).won.total()
            } else if a_serves {
                hold[0]
            } else {
                1.0 - hold[1]
            };
            super::game::gather(&mut next, a + 1, mass * a_wins);
            super::game::gather(&mut next, a, mass * (1.0 - a_wins));
        }
        states = next;
    }
    states
        .iter()
        .filter(|(a, _)| *a == at[0])
        .map(|(_, mass)| mass)
        .sum()
}

#[cfg(test)]
mod tests {
    use super::super::format::{MatchFormat, named};
    use super::*;

    fn rules(name: &str) -> SetRules {
        match named(name) {
            Some(MatchFormat::Sets(format)) => SetRules::of(&format, false),
            other => panic!("{other:?}"),
        }
    }

    const FRESH: SetScore = SetScore {
        games: [0, 0],
        points: [0, 0],
        a_serves: true,
    };

    #[test]
    fn all_endings_are_scores_of_a_set_and_sum_to_one() {
        let endings = set(0.65, 0.6, &rules("bo3_tb"), &FRESH);
        let total: f64 = endings.iter().map(|ending| ending.points.total()).sum();
        assert!((total - 1.0).abs() < 1e-7, "{total}");
        assert!(endings.iter().all(|ending| (6..=13).contains(&ending.games)));
    }

    #[test]
    fn the_chances_of_final_scores_agree_with_the_endings() {
        let endings = set(0.65, 0.6, &rules("bo3_tb"), &FRESH);
        let by_points: f64 = endings
            .iter()
            .filter(|ending| ending.a_wins && ending.games == 10)
            .map(|ending| ending.points.total())
            .sum();
        let by_games = chance_of_games(0.65, 0.6, &rules("bo3_tb"), [6, 4], true);
        assert!((by_points - by_games).abs() < 1e-8);
    }

    #[test]
    fn a_set_without_a_tie_break_goes_on_to_a_lead_of_two() {
        let mut long = rules("bo3_tb");
        long.tb_at = None;
        let endings = set(0.62, 0.62, &long, &FRESH);
        assert!(endings.iter().any(|ending| ending.games == 20));
        let total: f64 = endings.iter().map(|ending| ending.points.total()).sum();
        assert!((total - 1.0).abs() < 1e-5, "{total}");
    }
}
