//! A match, set by set or game by game: who wins, and how long it still takes.
use std::sync::Arc;

use super::distribution::Distribution;
use super::distribution::spectrum::{Spectra, Spectrum};
use super::format::{Decider, MatchFormat, RallyFormat, SetsFormat};
use super::known_sets::KnownSets;
use super::rally_game::rally_game;
use super::set::{Ending, SetRules, SetScore, set};
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

/// The rest of a match from `from`, or a whole one with either player serving first.
///
/// `p` and `q` are A's and B's chances of a point on their own serve; points are
/// independent. Change-overs come after games 3, 5, 7, … of a set, not after its
/// last game nor in a tie-break; one that has just begun counts as over (ITF Rules
/// of Tennis, rule 29a).
#[must_use]
pub fn play(p: f64, q: f64, format: &MatchFormat, from: Option<&Standing>, clock: &Clock) -> Course {
    play_knowing(p, q, format, from, clock, &mut KnownSets::default())
}

/// The same, with sets that other pairs or clocks have computed.
#[must_use]
pub fn play_knowing(
    p: f64,
    q: f64,
    format: &MatchFormat,
    from: Option<&Standing>,
    clock: &Clock,
    sets: &mut KnownSets,
) -> Course {
    let mut legs = Legs {
        p,
        q,
        format,
        clock,
        sets,
    };
    let (played, stages) = stages(&mut legs, from);
    let pause = legs.pause();
    let bins: i64 = stages.iter().map(|stage| stage.last() + pause.last()).sum();
    Spectra::with(usize::try_from(bins + 1).unwrap_or(1), |spectra| {
        let mut way = Way {
            need: format.need(),
            pause: spectra.spectrum(&pause),
            a_wins: spectra.nothing_yet(0.0),
            b_wins: spectra.nothing_yet(0.0),
            sets: Vec::new(),
            states: Vec::new(),
        };
        match from {
            Some(from) => way.meet(from.sets, from.set.a_serves, spectra.nothing_yet(1.0)),
            None => {
                for a_serves in [true, false] {
                    way.meet([0, 0], a_serves, spectra.nothing_yet(0.5));
                }
            }
        }
        let mut known: Option<(&Arc<Stage>, [LegSpectra; 2])> = None;
        for (played, stage) in (played..).zip(&stages) {
            let legs = match known.take() {
                Some((same, legs)) if Arc::ptr_eq(same, stage) => legs,
                _ => stage.spectra(spectra),
            };
            way.go_on(played, &legs);
            known = Some((stage, legs));
        }
        Course {
            a_wins: spectra.distribution(way.a_wins),
            b_wins: spectra.distribution(way.b_wins),
            sets: way.sets,
        }
    })
}

/// Sets played before, and what each further set or game may bring.
fn stages(legs: &mut Legs<'_>, from: Option<&Standing>) -> (u8, Vec<Arc<Stage>>) {
    let played = from.map_or(0, |from| from.sets[0] + from.sets[1]);
    let last = legs.format.need() * 2 - 2;
    let mut stages: Vec<Arc<Stage>> = Vec::new();
    for number in played..=last {
        let deciding = number == last;
        let under_way = from.filter(|_| number == played);
        let same = stages.len() > usize::from(from.is_some()) && !(deciding && legs.decider_differs());
        let stage = match (under_way, stages.last()) {
            (Some(from), _) => Arc::new(Stage::alike(legs.compute(deciding, &from.set))),
            (None, Some(before)) if same => Arc::clone(before),
            _ => Arc::new(legs.fresh(deciding)),
        };
        stages.push(stage);
    }
    (played, stages)
}

/// One set or game as a step of the match: time by winner (A, B) and next server (A, B).
type Leg = [[Distribution; 2]; 2];
/// The same as spectra; none where it cannot be.
type LegSpectra = [[Option<Spectrum>; 2]; 2];

/// A set or game by who serves first in it: A, B.
struct Stage([Leg; 2]);

impl Stage {
    /// One that is under way: who serves is known.
    fn alike(leg: Leg) -> Self {
        Self([leg.clone(), leg])
    }

    fn last(&self) -> i64 {
        let parts = self.0.iter().flatten().flatten();
        parts.map(|part| part.last() + 1).max().unwrap_or(0)
    }

    fn spectra(&self, spectra: &mut Spectra) -> [LegSpectra; 2] {
        self.0.each_ref().map(|leg| {
            let mut part = |part: &Distribution| (!part.is_empty()).then(|| spectra.spectrum(part));
            leg.each_ref().map(|by_next| by_next.each_ref().map(&mut part))
        })
    }
}

/// The match as it may go on, set by set.
struct Way {
    need: u8,
    pause: Spectrum,
    a_wins: Spectrum,
    b_wins: Spectrum,
    sets: Vec<(u8, f64)>,
    states: Vec<([u8; 2], bool, Spectrum)>,
}

impl Way {
    fn meet(&mut self, sets: [u8; 2], a_serves: bool, time: Spectrum) {
        let known = self
            .states
            .iter_mut()
            .find(|(at, serves, _)| *at == sets && *serves == a_serves);
        match known {
            Some((_, _, sum)) => sum.add(&time),
            None => self.states.push((sets, a_serves, time)),
        }
    }

    /// Plays one more set in every state.
    fn go_on(&mut self, played: u8, legs: &[LegSpectra; 2]) {
        for (sets, a_serves, so_far) in std::mem::take(&mut self.states) {
            for (winner, parts) in legs[usize::from(!a_serves)].iter().enumerate() {
                let mut now = sets;
                now[winner] += 1;
                for (part, a_next) in parts.iter().zip([true, false]) {
                    let Some(part) = part else { continue };
                    let time = so_far.plus(part);
                    if now[winner] < self.need {
                        self.meet(now, a_next, time);
                        continue;
                    }
                    super::game::gather(&mut self.sets, played + 1, time.total());
                    [&mut self.a_wins, &mut self.b_wins][winner].add(&time);
                }
            }
        }
        for (_, _, time) in &mut self.states {
            *time = time.plus(&self.pause);
        }
    }
}

/// The sets or games of one match.
struct Legs<'a> {
    p: f64,
    q: f64,
    format: &'a MatchFormat,
    clock: &'a Clock,
    sets: &'a mut KnownSets,
}

impl Legs<'_> {
    /// Whether the last set is another than those before it.
    fn decider_differs(&self) -> bool {
        match self.format {
            MatchFormat::Sets(sets) => {
                sets.decider == Decider::Mtb || SetRules::of(sets, true) != SetRules::of(sets, false)
            }
            MatchFormat::Rally(_) => false,
        }
    }

    fn fresh(&mut self, deciding: bool) -> Stage {
        Stage([true, false].map(|a_serves| match self.format {
            MatchFormat::Sets(sets) if !(deciding && sets.decider == Decider::Mtb) => {
                let rules = SetRules::of(sets, deciding);
                let (own, other) = if a_serves {
                    (self.p, self.q)
                } else {
                    (self.q, self.p)
                };
                let endings = self.sets.of(own, other, &rules);
                let mut leg = Leg::default();
                for ending in endings.iter() {
                    self.end(&mut leg, ending, ending.a_wins == a_serves, 0, a_serves);
                }
                leg
            }
            _ => self.compute(deciding, &SetScore::begins(a_serves)),
        }))
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
            self.end(&mut leg, &ending, ending.a_wins, done, from.a_serves);
        }
        leg
    }

    /// Adds one way in which a set ends that stood at `done` games with A or B to serve.
    fn end(&self, leg: &mut Leg, ending: &Ending, a_wins: bool, done: u8, a_serves: bool) {
        let rests = (done + 1..ending.games)
            .filter(|game| *game >= 3 && game % 2 == 1)
            .count();
        let rest_s = rests as f64 * self.clock.change_over_s;
        let a_next = a_serves == (ending.games - done).is_multiple_of(2);
        let part = &mut leg[usize::from(!a_wins)][usize::from(!a_next)];
        self.time(part, &ending.points, rest_s);
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
        let step_s = self.clock.step_s;
        sum.add_stretched(points, self.clock.point_s / step_s, rest_s / step_s);
    }

    /// The break after a set, in steps.
    fn pause(&self) -> Distribution {
        let break_s = match self.format {
            MatchFormat::Sets(_) => self.clock.set_break_s,
            MatchFormat::Rally(rally) => self.own_rest(rally.brk_s),
        };
        let mut pause = Distribution::default();
        pause.add_stretched(&Distribution::certain(0), 1.0, break_s / self.clock.step_s);
        pause
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
