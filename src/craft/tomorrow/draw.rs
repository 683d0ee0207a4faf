//! Draws repetitions of the day: matches along their chains, players, rackets, and when these come.
use std::collections::BTreeMap;

use crate::chance::Chance;
use crate::dispatch::file::{Arrival, Court, Day, Match};
use crate::dispatch::problem::{Clamp, Hold, Job, Player, Prices, Problem, SetUp, Station};
use crate::match_times::day_plan::DayPlan;
use crate::match_times::day_state::DayState;
use crate::match_times::forecast::MatchTimes;
use crate::match_times::joint_day::{JointDay, joint_day};
use crate::match_times::length::Lengths;
use crate::match_times::order::{Entrant, Match as Planned};
use crate::match_times::players::PlayerMix;
use crate::match_times::ready_by::Demand;
use crate::match_times::venue_time::minute_of;
use crate::rehearse::{PlayedMatch, Trial, World};
use crate::tomorrow::habits::{Habit, RacketKind, unknown_kind};

/// Until when a day of play is planned, in seconds after 00:00.
pub const HORIZON_S: i64 = 30 * 3600;
/// Spread of stringing about its planned time. Common practice, no source.
const STRINGING_VARIATION: f64 = 0.12;
/// A racket from the court comes within so long, even of a match that nobody plays.
const SHORTEST_MATCH_S: f64 = 1800.0;
/// Share of rackets that lie at the desk when it opens: an assumption.
const BEFORE_OPENING: f64 = 0.45;
/// And of those that come in the morning: an assumption.
const IN_THE_MORNING: f64 = 0.35;
/// And later in the day: an assumption. The rest comes from the court.
const LATER: f64 = 0.15;
/// The morning: so long after opening.
const MORNING_S: i64 = 3 * 3600;
/// Later: until so long after opening.
const LATER_S: i64 = 9 * 3600;
/// A racket from the court is wanted back after so long: an assumption.
const ON_COURT_SLACK_S: i64 = 25 * 60;
/// A second late of a racket for a match of the day, and of one from the court. Common practice, no source.
const WEIGHTS: (i64, i64) = (12, 60);

/// A racket that waits at the desk already.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WaitingRacket {
    /// Whose.
    pub player: String,
    /// Its kind.
    pub kind: RacketKind,
    /// When it must be strung, in seconds after 00:00.
    pub due_s: i64,
}

/// All that is known of the day.
#[derive(Debug, Clone)]
pub struct ExpectedDay {
    /// The order of play, ready to be computed.
    pub plan: DayPlan,
    /// What has happened on the courts; nothing for a day to come.
    pub state: DayState,
    /// When matches start, as far as can be told.
    pub times: Vec<MatchTimes>,
    /// How likely each player plays each match, by its place.
    pub plays: Vec<BTreeMap<String, f64>>,
    /// The stations, without their windows.
    pub stations: Vec<Station>,
    /// When the desk opens, in seconds after 00:00.
    pub opens_s: i64,
    /// Players' ways.
    pub habits: BTreeMap<String, Habit>,
    /// What waits already.
    pub waiting: Vec<WaitingRacket>,
    /// How many strings the caller's list has.
    pub strings: usize,
}

/// Repetitions, and what each asks of every string in the caller's list, mm.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawn {
    /// To be played.
    pub trials: Vec<Trial>,
    /// By repetition, by string.
    pub asked_mm: Vec<Vec<i64>>,
    /// By repetition: rackets whose strings are not known.
    pub of_unknown_string: Vec<usize>,
}

impl ExpectedDay {
    /// Draws `repeat` repetitions.
    #[must_use]
    pub fn draw(&self, repeat: usize, seed: u64) -> Drawn {
        let mut chance = Chance::from_seed(seed);
        let mut lengths = Lengths::default();
        let joint = joint_day(
            &self.plan,
            &self.state,
            None,
            &self.times,
            &mut lengths,
            repeat,
            &mut chance,
        );
        let midnight = self.plan.order.bounds().map_or(0, |(first, _)| minute_of(first));
        let pool: Vec<&RacketKind> = self.habits.values().flat_map(|habit| &habit.kinds).collect();
        let mut drawn = Drawn {
            trials: Vec::new(),
            asked_mm: Vec::new(),
            of_unknown_string: Vec::new(),
        };
        for (repetition, part) in (0..repeat).zip(0..) {
            let mut one = One {
                expected: self,
                pool: &pool,
                chance: Chance::for_part(seed, part),
                problem: self.problem(),
                arrivals: Vec::new(),
                players: BTreeMap::new(),
                asked_mm: vec![0; self.strings],
                unknown: 0,
            };
            one.fill();
            let courts = self.courts(midnight);
            let played = self.played(&joint, repetition, midnight);
            let day = Day {
                problem: one.problem,
                arrivals: one.arrivals,
                courts,
                duration_variation: STRINGING_VARIATION,
            };
            let world = World::on_courts(&day, played, &mut one.chance);
            drawn.trials.push(Trial { day, world });
            drawn.asked_mm.push(one.asked_mm);
            drawn.of_unknown_string.push(one.unknown);
        }
        drawn
    }

    fn problem(&self) -> Problem {
        let window = crate::dispatch::problem::Window {
            from: self.opens_s,
            to: HORIZON_S,
        };
        let stations = self.stations.iter().map(|station| Station {
            windows: vec![window],
            ..station.clone()
        });
        Problem {
            name: self.plan.order.day.to_string(),
            t0: self.opens_s,
            horizon: HORIZON_S,
            taken_by_arrivals: 0.0,
            prices: Prices::default(),
            set_up: SetUp::default(),
            stations: stations.collect(),
            players: Vec::new(),
            jobs: Vec::new(),
        }
    }

    /// The courts as a dispatcher knows them: means and spreads along each court.
    fn courts(&self, midnight: i64) -> Vec<Court> {
        let handover = self.plan.order.defaults.handover;
        let floor_s = |place: usize| seconds(self.plan.floors[place] - midnight);
        let planned = |&place: &usize| {
            let length = &self.plan.lengths[place];
            let mean_s = (length.mean() + minutes(handover.warm_up_min)) * 60.0;
            Match {
                mean_s,
                variation: length.variance().sqrt() * 60.0 / mean_s,
                not_before_s: floor_s(place),
            }
        };
        let court = |places: &Vec<usize>| Court {
            first_s: places.first().map_or(0.0, |place| floor_s(*place)),
            gap_s: seconds(handover.turnaround_min),
            matches: places.iter().map(planned).collect(),
        };
        self.plan.order.by_court().values().map(court).collect()
    }

    /// Players of a match whom nobody can name, under names of their own.
    fn to_be_decided(&self, place: usize) -> BTreeMap<String, f64> {
        let played = &self.plan.order.matches[place];
        let each = if is_doubles(played) { 2.0 } else { 1.0 };
        let sides = played.sides.iter().filter(|side| !side.contains(&Entrant::Bye));
        let mut missing: f64 = sides.map(|_| each).sum();
        missing -= self.plays[place].values().sum::<f64>();
        let mut unnamed = BTreeMap::new();
        while missing > 0.01 {
            unnamed.insert(format!("{} {}", played.id, unnamed.len() + 1), missing.min(1.0));
            missing -= 1.0;
        }
        unnamed
    }

    fn played(&self, joint: &JointDay, path: usize, midnight: i64) -> Vec<Vec<PlayedMatch>> {
        let played = |&place: &usize| {
            let walk_on = joint.walk_on[place][path];
            let length_s = joint.last_point[place][path].map_or(0.0, |end| seconds(end - walk_on));
            PlayedMatch {
                start_s: seconds(walk_on - midnight),
                length_s: length_s.max(SHORTEST_MATCH_S),
            }
        };
        let courts = self.plan.order.by_court();
        courts
            .values()
            .map(|places| places.iter().map(played).collect())
            .collect()
    }
}

fn is_doubles(played: &Planned) -> bool {
    let mix = || PlayerMix::of_draw(&played.draw, played.sport);
    played.sides.iter().any(|side| side.len() > 1) || played.mix.unwrap_or_else(mix) == PlayerMix::Doubles
}

fn seconds(minute: i64) -> f64 {
    minutes(minute * 60)
}

#[expect(clippy::cast_precision_loss, reason = "minutes and seconds of a day")]
fn minutes(count: i64) -> f64 {
    count as f64
}

/// One repetition that is being drawn.
struct One<'a> {
    expected: &'a ExpectedDay,
    /// Rackets of all players that are known.
    pool: &'a [&'a RacketKind],
    chance: Chance,
    problem: Problem,
    arrivals: Vec<Arrival>,
    /// Players by name, as their index.
    players: BTreeMap<String, usize>,
    asked_mm: Vec<i64>,
    unknown: usize,
}

impl One<'_> {
    fn fill(&mut self) {
        let expected = self.expected;
        let mut here: BTreeMap<&str, usize> = BTreeMap::new();
        for waiting in &expected.waiting {
            *here.entry(&waiting.player).or_default() += 1;
            let due = waiting.due_s;
            self.add(&waiting.player, waiting.kind.clone(), Arrival::Known, due);
        }
        let usual = Habit::default();
        for (court, places) in expected.plan.order.by_court().values().enumerate() {
            for (number, &place) in places.iter().enumerate() {
                let played = &expected.plan.order.matches[place];
                let doubles = is_doubles(played);
                let nobody_yet = expected.to_be_decided(place);
                for (player, chance) in expected.plays[place].iter().chain(&nobody_yet) {
                    if self.chance.unit() >= *chance {
                        continue;
                    }
                    let habit = expected.habits.get(player).unwrap_or(&usual);
                    let mut count = habit.draw_count(doubles, &mut self.chance);
                    // what was brought already is part of what they bring
                    if let Some(waits) = here.get_mut(player.as_str()) {
                        let brought = count.min(*waits);
                        *waits -= brought;
                        count -= brought;
                    }
                    for _ in 0..count {
                        let kind = self.kind(habit);
                        let arrival = self.arrival(court, number);
                        self.add(player, kind, arrival, 0);
                    }
                }
            }
        }
    }

    fn kind(&mut self, habit: &Habit) -> RacketKind {
        if !habit.kinds.is_empty() {
            return habit.kinds[self.chance.below(habit.kinds.len())].clone();
        }
        if self.pool.is_empty() {
            unknown_kind(&mut self.chance)
        } else {
            self.pool[self.chance.below(self.pool.len())].clone()
        }
    }

    fn arrival(&mut self, court: usize, number: usize) -> Arrival {
        let lead = 60 * (Demand::default().lead_min + Demand::default().handling_min);
        let opens = self.expected.opens_s;
        let share = self.chance.unit();
        let mut between = |from: i64, to: i64| {
            let span = usize::try_from(to - from).unwrap_or(0);
            opens + from + i64::try_from(self.chance.below(span)).unwrap_or(0)
        };
        let release = if share < BEFORE_OPENING {
            opens
        } else if share < BEFORE_OPENING + IN_THE_MORNING {
            between(0, MORNING_S)
        } else if share < BEFORE_OPENING + IN_THE_MORNING + LATER {
            between(MORNING_S, LATER_S)
        } else {
            return Arrival::OnCourt {
                court,
                number,
                after: between(0, 5400) - opens,
                slack: ON_COURT_SLACK_S,
            };
        };
        Arrival::BeforeMatch {
            court,
            number,
            release,
            lead,
        }
    }

    fn add(&mut self, player: &str, kind: RacketKind, arrival: Arrival, due: i64) {
        let next = self.players.len();
        let index = *self.players.entry(player.to_owned()).or_insert(next);
        if index == next {
            let home = self.expected.habits.get(player).and_then(|habit| habit.home);
            self.problem.players.push(Player {
                id: i64::try_from(index).unwrap_or(i64::MAX),
                home: home.filter(|home| *home < self.problem.stations.len()),
                hold: Hold::Soft,
            });
        }
        if kind.strings.is_empty() {
            self.unknown += 1;
        }
        for asked in &kind.strings {
            if let Some(sum) = self.asked_mm.get_mut(asked.string) {
                *sum += asked.length_mm;
            }
        }
        let on_court = matches!(arrival, Arrival::OnCourt { .. });
        self.problem.jobs.push(Job {
            id: i64::try_from(self.arrivals.len()).unwrap_or(i64::MAX),
            player: index,
            class: if on_court { "oncourt" } else { "today" }.to_owned(),
            release: self.expected.opens_s,
            due,
            promised: None,
            weight: if on_court { WEIGHTS.1 } else { WEIGHTS.0 },
            base: kind.base_s,
            // a desk without swivel clamps strings such rackets otherwise
            swivel: kind.swivel && self.problem.stations.iter().any(|one| one.clamp == Clamp::Swivel),
            needs: kind.needs,
            spread_s: 0.0,
            pinned: None,
            barred: Vec::new(),
        });
        self.arrivals.push(arrival);
    }
}
