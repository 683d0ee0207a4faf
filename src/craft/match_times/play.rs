//! A match, set by set or game by game: who wins, and how long it still takes.
use super::distribution::Distribution;
use super::format::{Decider, MatchFormat, RallyFormat, SetsFormat};
use super::rally_game::rally_game;
use super::set::{SetRules, SetScore, set};
use super::tie_break::tie_break;

/// What a point, a change-over and a break between sets take.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clock {
    /// Seconds per point, with the ordinary gap to the next.
    pub point_s: f64,
    /// What a change-over adds, in seconds.
    pub change_over_s: f64,
    /// What the break between two sets adds, in seconds. Rally formats bring their own.
    pub set_break_s: f64,
    /// Width of a step of the result, in seconds.
    pub step_s: f64,
}

impl Clock {
    /// Counts points instead of time.
    pub const POINTS: Self = Self {
        point_s: 1.0,
        change_over_s: 0.0,
        set_break_s: 0.0,
        step_s: 1.0,
    };
}

/// Where a match stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Standing {
    /// Sets, or games of a rally sport, of A and B.
    pub sets: [u8; 2],
    /// The set under way; in a rally sport only points and server count.
    pub set: SetScore,
}

/// How the rest of a match may go.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Course {
    /// Steps to the last point where A wins.
    pub a_wins: Distribution,
    /// Steps to the last point where B wins.
    pub b_wins: Distribution,
    /// Sets or games of the whole match, and how likely so many are.
    pub sets: Vec<(u8, f64)>,
}

impl Course {
    /// Steps to the last point, whoever wins.
    #[must_use]
    pub fn length(&self) -> Distribution {
        let mut all = self.a_wins.clone();
        all.add(&self.b_wins, 1.0);
        all
    }

    /// The chance that A wins.
    #[must_use]
    pub fn chance_of_a(&self) -> f64 {
        self.a_wins.total() / (self.a_wins.total() + self.b_wins.total())
    }
}

/// One set or game as a step of the match: time by winner (A, B) and next server (A, B).
type Leg = [[Distribution; 2]; 2];

/// The rest of a match from `from`, or a whole one with either player serving first.
///
/// `p` and `q` are A's and B's chances of a point on their own serve; points are
/// independent. Change-overs come after games 3, 5, 7, … of a set, not after its
/// last game nor in a tie-break; one that has just begun counts as over (ITF Rules
/// of Tennis, rule 29a).
#[must_use]
pub fn play(p: f64, q: f64, format: &MatchFormat, from: Option<&Standing>, clock: &Clock) -> Course {
    let mut legs = Legs {
        p,
        q,
        format,
        clock,
        fresh: [[None, None], [None, None]],
    };
    let need = format.need();
    let mut course = Course::default();
    let mut states: Vec<(u8, bool, Distribution)> = Vec::new();
    let first = from.map_or([0, 0], |standing| standing.sets);
    match from {
        Some(standing) => states.push((first[0], standing.set.a_serves, Distribution::certain(0))),
        None => {
            for a_serves in [true, false] {
                states.push((first[0], a_serves, Distribution::certain(0).scaled(0.5)));
            }
        }
    }
    let mut begun = from.map(|standing| standing.set);
    for played in first[0] + first[1]..need * 2 - 1 {
        let mut next: Vec<(u8, bool, Distribution)> = Vec::new();
        let under_way = begun.take();
        for (a, a_serves, so_far) in states {
            let deciding = played + 1 == need * 2 - 1;
            let sets = [a, played - a];
            let leg = legs.leg(deciding, a_serves, under_way.as_ref());
            for a_won in [true, false] {
                let sets = if a_won {
                    [sets[0] + 1, sets[1]]
                } else {
                    [sets[0], sets[1] + 1]
                };
                for a_next in [true, false] {
                    let part = &leg[usize::from(!a_won)][usize::from(!a_next)];
                    if !part.is_empty() {
                        let time = so_far.plus(part);
                        end_or_go_on(&mut course, &mut next, need, sets, a_next, time);
                    }
                }
            }
        }
        for (_, _, time) in &mut next {
            *time = legs.with_break(time);
        }
        states = next;
    }
    course
}

fn end_or_go_on(
    course: &mut Course,
    next: &mut Vec<(u8, bool, Distribution)>,
    need: u8,
    sets: [u8; 2],
    a_serves: bool,
    time: Distribution,
) {
    if sets[0] == need || sets[1] == need {
        let winner = if sets[0] == need {
            &mut course.a_wins
        } else {
            &mut course.b_wins
        };
        winner.add(&time, 1.0);
        super::game::gather(&mut course.sets, sets[0] + sets[1], time.total());
    } else if let Some((_, _, sum)) = next
        .iter_mut()
        .find(|(a, serves, _)| *a == sets[0] && *serves == a_serves)
    {
        sum.add(&time, 1.0);
    } else {
        next.push((sets[0], a_serves, time));
    }
}

/// The sets or games of one match; those that begin at nothing are computed once.
struct Legs<'a> {
    p: f64,
    q: f64,
    format: &'a MatchFormat,
    clock: &'a Clock,
    fresh: [[Option<Leg>; 2]; 2],
}

impl Legs<'_> {
    fn leg(&mut self, deciding: bool, a_serves: bool, under_way: Option<&SetScore>) -> Leg {
        if let Some(score) = under_way {
            return self.compute(deciding, score);
        }
        let score = SetScore {
            games: [0, 0],
            points: [0, 0],
            a_serves,
        };
        if let Some(known) = &self.fresh[usize::from(deciding)][usize::from(a_serves)] {
            return known.clone();
        }
        let leg = self.compute(deciding, &score);
        self.fresh[usize::from(deciding)][usize::from(a_serves)] = Some(leg.clone());
        leg
    }

    fn compute(&self, deciding: bool, score: &SetScore) -> Leg {
        match self.format {
            MatchFormat::Sets(sets) if deciding && sets.decider == Decider::Mtb => {
                self.match_tie_break(sets, score)
            }
            MatchFormat::Sets(sets) => self.tennis_set(&SetRules::of(sets, deciding), score),
            MatchFormat::Rally(rally) => self.rally(rally, score),
        }
    }

    fn match_tie_break(&self, format: &SetsFormat, score: &SetScore) -> Leg {
        let left = tie_break(self.p, self.q, format.final_tb, score.points, score.a_serves);
        let mut leg = Leg::default();
        self.time(&mut leg[0][0], &left.won, 0.0);
        self.time(&mut leg[1][0], &left.lost, 0.0);
        leg
    }

    fn tennis_set(&self, rules: &SetRules, from: &SetScore) -> Leg {
        let mut leg = Leg::default();
        let done = from.games[0] + from.games[1];
        for ending in set(self.p, self.q, rules, from) {
            let rests = (done + 1..ending.games)
                .filter(|game| *game >= 3 && game % 2 == 1)
                .count();
            let rest_s = rests as f64 * self.clock.change_over_s;
            let a_next = from.a_serves == (ending.games - done).is_multiple_of(2);
            let part = &mut leg[usize::from(!ending.a_wins)][usize::from(!a_next)];
            self.time(part, &ending.points, rest_s);
        }
        leg
    }

    fn rally(&self, format: &RallyFormat, from: &SetScore) -> Leg {
        let left = rally_game(self.p, self.q, format, from.points, from.a_serves);
        let ahead = from.points[0].max(from.points[1]);
        let rest_s = if format.mid.is_some_and(|mid| ahead < mid) {
            format.mid_s
        } else {
            0.0
        };
        let mut leg = Leg::default();
        // the winner of a game serves first in the next
        self.time(&mut leg[0][0], &left.won, self.own_rest(rest_s));
        self.time(&mut leg[1][1], &left.lost, self.own_rest(rest_s));
        leg
    }

    /// A rest of the format itself, which is none when points are counted.
    fn own_rest(&self, rest_s: f64) -> f64 {
        if *self.clock == Clock::POINTS { 0.0 } else { rest_s }
    }

    /// Adds the time that these points and rests take, in steps.
    fn time(&self, sum: &mut Distribution, points: &Distribution, rest_s: f64) {
        for (count, mass) in points.iter() {
            if mass > 0.0 {
                let seconds = (count as f64).mul_add(self.clock.point_s, rest_s);
                sum.put_between(seconds / self.clock.step_s, mass);
            }
        }
    }

    fn with_break(&self, time: &Distribution) -> Distribution {
        let break_s = match self.format {
            MatchFormat::Sets(_) => self.clock.set_break_s,
            MatchFormat::Rally(rally) => self.own_rest(rally.brk_s),
        };
        let steps = break_s / self.clock.step_s;
        let whole = super::distribution::floor(steps);
        let above = steps - whole as f64;
        let mut moved = time.clone().shifted(whole).scaled(1.0 - above);
        moved.add(&time.clone().shifted(whole + 1), above);
        moved
    }
}

#[cfg(test)]
mod tests {
    use super::super::format::{NAMED, named};
    use super::*;

    #[test]
    fn every_format_ends_and_equal_players_win_equally_often() {
        for (name, format) in NAMED {
            let course = play(0.6, 0.6, &format, None, &Clock::POINTS);
            let total = course.a_wins.total() + course.b_wins.total();
            assert!((total - 1.0).abs() < 1e-6, "{name}: {total}");
            assert!((course.chance_of_a() - 0.5).abs() < 1e-7, "{name}");
        }
    }

    #[test]
    fn a_match_point_on_serve_is_won_or_goes_on() {
        let score = Standing {
            sets: [1, 0],
            set: SetScore {
                games: [5, 0],
                points: [3, 0],
                a_serves: true,
            },
        };
        let course = play(0.6, 0.6, &named("bo3_tb").unwrap(), Some(&score), &Clock::POINTS);
        assert!((course.a_wins.at(1) - 0.6).abs() < 1e-12);
        assert!(course.chance_of_a() > 0.99);
    }

    #[test]
    fn the_width_of_the_step_does_not_move_the_mean() {
        let format = named("bo3_tb").unwrap();
        let clock = |step_s: f64| Clock {
            point_s: 34.0,
            change_over_s: 70.0,
            set_break_s: 100.0,
            step_s,
        };
        let fine = play(0.63, 0.63, &format, None, &clock(2.0)).length().mean() * 2.0;
        let wide = play(0.63, 0.63, &format, None, &clock(60.0)).length().mean() * 60.0;
        assert!((fine - wide).abs() < 0.01, "{fine} {wide}");
    }
}
