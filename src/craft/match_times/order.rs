//! The order of play of one day: courts, and the matches on them in sequence.
use std::collections::{BTreeMap, HashMap};

use chrono::{DateTime, NaiveDate, Utc};
use chrono_tz::Tz;

use super::court_chain::Handover;
use super::format::MatchFormat;
use super::length::MatchKind;
use super::players::PlayerMix;
use super::score::LiveScore;
use super::tempo::{Surface, Tempo};
use super::venue_time::{DayTime, day_instant};
use crate::sport::Sport;
use crate::text_enum::text_enum;

text_enum! {
    /// What the referee says about the start of a match.
    pub enum StartRule, "start rule" {
        /// At this time.
        StartingAt = "starting_at",
        /// Not before this time.
        NotBefore = "not_before",
        /// After the match before it on the court.
        FollowedBy = "followed_by",
        /// After suitable rest of its players.
        AfterRest = "after_rest",
        /// To be arranged.
        Tba = "tba",
    }
}

/// When a match may begin.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Start {
    /// The rule.
    pub rule: StartRule,
    /// Its time; the first two rules need one.
    pub time: Option<DayTime>,
}

/// Who is to play, as far as it is known.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Entrant {
    /// A player, by id.
    Player(String),
    /// Whoever wins this match.
    WinnerOf(String),
    /// Whoever loses this match.
    LoserOf(String),
    /// Not known yet.
    ToBeDecided,
    /// Nobody: the other side goes on without playing.
    Bye,
}

/// A court.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Court {
    /// Its id.
    pub id: String,
    /// What people call it.
    pub label: String,
    /// What it is made of.
    pub surface: Surface,
    /// Whether rain does not reach it.
    pub covered: bool,
    /// Before this nobody walks on.
    pub opens: Option<DayTime>,
    /// When it closes.
    pub closes: Option<DayTime>,
}

/// A match and its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Match {
    /// Its id.
    pub id: String,
    /// The court's id.
    pub court: String,
    /// Its place among the matches of the court.
    pub seq: u16,
    /// The sport.
    pub sport: Sport,
    /// The draw, by its usual letters.
    pub draw: String,
    /// The round.
    pub round: String,
    /// The format's name; none for one given as data.
    pub format_name: Option<String>,
    /// How it is won.
    pub format: MatchFormat,
    /// When it may begin.
    pub start: Start,
    /// Who plays whom.
    pub sides: [Vec<Entrant>; 2],
    /// Minutes of rest its players need since their last match; none: the day's default.
    pub rest_min: Option<u16>,
    /// Matches that must be over.
    pub after: Vec<String>,
    /// What else the referee says.
    pub note: String,
    /// Whose matches the draw has, where its letters do not say so.
    pub mix: Option<PlayerMix>,
    /// The score it brings from another day.
    pub carried: Option<LiveScore>,
}

/// What holds for all matches that do not say otherwise.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DayDefaults {
    /// Warm-up and turnaround.
    pub handover: Handover,
    /// Minutes between two matches of one player.
    pub rest_min: u16,
}

impl Default for DayDefaults {
    /// Half an hour of rest: the least of the usual table (Friend at Court 2010, table 9).
    fn default() -> Self {
        Self {
            handover: Handover::default(),
            rest_min: 30,
        }
    }
}

/// The order of play of a day.
#[derive(Debug, Clone, PartialEq)]
pub struct OrderOfPlay {
    /// Whose it is, as the file says.
    pub tournament: String,
    /// The venue's zone.
    pub zone: Tz,
    /// The day, in venue time; it may go on to 29:59.
    pub day: NaiveDate,
    /// Grows with every change of order.
    pub version: u32,
    /// Warm-up, turnaround, rest.
    pub defaults: DayDefaults,
    /// The courts.
    pub courts: Vec<Court>,
    /// The matches.
    pub matches: Vec<Match>,
}

impl OrderOfPlay {
    /// The court of this id.
    #[must_use]
    pub fn court(&self, id: &str) -> Option<&Court> {
        self.courts.iter().find(|court| court.id == id)
    }

    /// The match of this id.
    #[must_use]
    pub fn find(&self, id: &str) -> Option<&Match> {
        self.matches.iter().find(|played| played.id == id)
    }

    /// The instant of a time of this day.
    #[must_use]
    pub fn at(&self, time: DayTime) -> Option<DateTime<Utc>> {
        day_instant(self.zone, self.day, time).map(|(at, _)| at)
    }

    /// First and last instant of this day of play: midnight, and thirty hours on the clock later.
    #[must_use]
    pub fn bounds(&self) -> Option<(DateTime<Utc>, DateTime<Utc>)> {
        Some((
            self.at(DayTime::from_minutes(0)?)?,
            self.at(DayTime::from_minutes(1799)?)?,
        ))
    }

    /// Where each match stands in the list, by id.
    #[must_use]
    pub fn places(&self) -> HashMap<&str, usize> {
        let ids = self.matches.iter().enumerate();
        ids.map(|(place, played)| (played.id.as_str(), place)).collect()
    }

    /// Matches by court, in sequence, as places in the list.
    #[must_use]
    pub fn by_court(&self) -> BTreeMap<&str, Vec<usize>> {
        let mut courts: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
        for (place, played) in self.matches.iter().enumerate() {
            courts.entry(played.court.as_str()).or_default().push(place);
        }
        for places in courts.values_mut() {
            places.sort_by_key(|place| self.matches[*place].seq);
        }
        courts
    }

    /// What the length of this match depends on.
    #[must_use]
    pub fn kind(&self, played: &Match) -> MatchKind {
        let mix = played
            .mix
            .unwrap_or_else(|| PlayerMix::of_draw(&played.draw, played.sport));
        let surface = self
            .court(&played.court)
            .map_or(Surface::Hard, |court| court.surface);
        MatchKind {
            format: played.format,
            strengths: mix.strengths(),
            tempo: Tempo::usual(played.sport, surface, mix),
        }
    }

    /// Minutes of rest that this match's players need.
    #[must_use]
    pub fn rest_min(&self, played: &Match) -> i64 {
        i64::from(played.rest_min.unwrap_or(self.defaults.rest_min))
    }
}

impl Match {
    /// The players that are known, of both sides.
    pub fn players(&self) -> impl Iterator<Item = &str> {
        self.sides.iter().flatten().filter_map(|entrant| match entrant {
            Entrant::Player(id) => Some(id.as_str()),
            _ => None,
        })
    }

    /// The matches whose results it waits for, and those it comes after.
    pub fn feeders(&self) -> impl Iterator<Item = &str> {
        let results = self.sides.iter().flatten().filter_map(|entrant| match entrant {
            Entrant::WinnerOf(id) | Entrant::LoserOf(id) => Some(id.as_str()),
            _ => None,
        });
        results.chain(self.after.iter().map(String::as_str))
    }

    /// Whether one side has nobody to play against.
    #[must_use]
    pub fn is_bye(&self) -> bool {
        self.sides.iter().any(|side| side.contains(&Entrant::Bye))
    }
}
