//! The problem as data. Times are whole seconds after 00:00 and may exceed 86400.
use crate::dispatch::rules::promise;

/// Clamps of a machine.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Clamp {
    /// Fixed swivel clamps: every method.
    Swivel,
    /// Clamps on glide bars: no method that frees a clamp.
    Glide,
}

/// How firmly a player belongs to the home station.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hold {
    /// Another station costs a continuity break.
    Soft,
    /// No other station is allowed.
    Hard,
}

/// What a job needs on the machine, as numbers that are equal when nothing has to be changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Attributes {
    /// Reel of the mains.
    pub main: i64,
    /// Reel of the crosses.
    pub cross: i64,
    /// Pattern of the frame.
    pub pattern: i64,
    /// Mount of the frame.
    pub mount: i64,
    /// Tension set.
    pub tension: i64,
}

/// Seconds to change each attribute on a machine.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SetUp {
    /// Reel of the mains.
    pub main: i64,
    /// Reel of the crosses.
    pub cross: i64,
    /// Pattern of the frame.
    pub pattern: i64,
    /// Mount of the frame.
    pub mount: i64,
    /// Tension set.
    pub tension: i64,
}

impl Default for SetUp {
    /// Common practice, no source.
    fn default() -> Self {
        Self {
            main: 60,
            cross: 40,
            pattern: 30,
            mount: 45,
            tension: 10,
        }
    }
}

/// Prices. Cost = `tardy` x weighted seconds late + `late` x rackets late + `break_` x breaks + `flow` x seconds in the
/// house + `promise` x seconds after what players were told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Prices {
    /// Of one second late of a job of weight 1.
    pub tardy: i64,
    /// Of one late racket.
    pub late: i64,
    /// Of one continuity break.
    pub break_: i64,
    /// Of one second from release to completion.
    pub flow: i64,
    /// Of one second after the time that a player was told.
    pub promise: i64,
}

impl Default for Prices {
    fn default() -> Self {
        Self {
            tardy: 100,
            late: 120_000,
            break_: 30_000,
            flow: 1,
            promise: promise::PRICE,
        }
    }
}

/// A stretch of time in which a station works: `[from, to)`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Window {
    /// First second.
    pub from: i64,
    /// The second after the last.
    pub to: i64,
}

/// A machine with a stringer at it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Station {
    /// Its number in the file.
    pub id: i64,
    /// Its clamps.
    pub clamp: Clamp,
    /// Pace per mille: 1000 takes the base time.
    pub pace: i64,
    /// When it works, in order, apart from one another.
    pub windows: Vec<Window>,
    /// What it is set up for.
    pub loaded: Option<Attributes>,
    /// Indices of jobs that a person put at its head: it strings these first, in this order.
    pub first: Vec<usize>,
}

/// A player.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Player {
    /// Their number in the file.
    pub id: i64,
    /// Index of the station they belong to.
    pub home: Option<usize>,
    /// How firmly; without a home it means nothing.
    pub hold: Hold,
}

/// One stringing.
#[derive(Debug, Clone, PartialEq)]
pub struct Job {
    /// Its number in the file.
    pub id: i64,
    /// Index of its player.
    pub player: usize,
    /// Kind of work: `oncourt`, `today`, `tomorrow`, `practice`, `public`.
    pub class: String,
    /// When the racket is there.
    pub release: i64,
    /// When it should be strung.
    pub due: i64,
    /// When it should be strung for what its player was told to hold.
    pub promised: Option<i64>,
    /// How much a second late weighs.
    pub weight: i64,
    /// Seconds at a pace of 1000 per mille, without set-up.
    pub base: i64,
    /// Whether its method frees a clamp.
    pub swivel: bool,
    /// What it needs on the machine.
    pub needs: Attributes,
    /// Standard deviation in seconds of completion minus due; 0 counts both as certain.
    pub spread_s: f64,
    /// Index of the only station that may do it, because a person said so.
    pub pinned: Option<usize>,
    /// Indices of stations whose stringer will not or may not do it.
    pub barred: Vec<usize>,
}

/// Stations, players, jobs and prices.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// Name of the instance.
    pub name: String,
    /// When the plan begins.
    pub t0: i64,
    /// When all must be done.
    pub horizon: i64,
    /// Share of the time until a due time that work which has not come yet will take; 0 where all is known.
    pub taken_by_arrivals: f64,
    /// Prices.
    pub prices: Prices,
    /// Seconds to change each attribute.
    pub set_up: SetUp,
    /// The stations.
    pub stations: Vec<Station>,
    /// The players.
    pub players: Vec<Player>,
    /// The jobs.
    pub jobs: Vec<Job>,
}
