//! What has happened on the courts so far.
use std::collections::BTreeMap;

use chrono::{DateTime, TimeDelta, Utc};

use super::rain::re_warm_up_min;
use super::score::LiveScore;
use super::venue_time::minute_of;
use crate::text_enum::text_enum;

text_enum! {
    /// How a match ended.
    pub enum Outcome, "outcome" {
        /// Played to its end.
        Completed = "completed",
        /// One side gave up.
        Retired = "retired",
        /// One side was sent off.
        Defaulted = "defaulted",
        /// One side did not come.
        Walkover = "walkover",
        /// It will not be played here.
        Cancelled = "cancelled",
    }
}

text_enum! {
    /// Where a match stands.
    pub enum MatchPhase, "match state" {
        /// Not called yet.
        Planned = "planned",
        /// Its players were called.
        Called = "called",
        /// Under way.
        OnCourt = "on_court",
        /// Under way, and its court stopped.
        Stopped = "stopped",
        /// Played.
        Finished = "finished",
        /// One side gave up or was sent off.
        Retired = "retired",
        /// One side did not come.
        Walkover = "walkover",
        /// Not played here.
        Cancelled = "cancelled",
    }
}

/// The end of a match.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ended {
    /// When.
    pub at: DateTime<Utc>,
    /// How.
    pub how: Outcome,
    /// Which side goes on: 1 or 2.
    pub winner: Option<u8>,
    /// Whether nobody reported it and the next match began.
    pub inferred: bool,
}

/// What is known of one match.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct MatchState {
    /// When its players were called to the court.
    pub called_at: Option<DateTime<Utc>>,
    /// When the first point was played.
    pub started_at: Option<DateTime<Utc>>,
    /// The last score, and when it stood so.
    pub score: Option<(LiveScore, DateTime<Utc>)>,
    /// How it ended.
    pub ended: Option<Ended>,
}

/// A stop of play on a court.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stop {
    /// The court.
    pub court: String,
    /// Since when.
    pub from: DateTime<Utc>,
    /// When play went or will go on, once that is said.
    pub until: Option<DateTime<Utc>>,
    /// When the referee expects it to.
    pub expected: Option<DateTime<Utc>>,
    /// Why.
    pub reason: String,
}

/// What is known of a day.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct DayState {
    /// Matches of which anything is known.
    pub matches: BTreeMap<String, MatchState>,
    /// Stops, in order of time.
    pub stops: Vec<Stop>,
}

impl Stop {
    /// When the first point after the restart is played, once a restart is known.
    #[must_use]
    pub fn play_goes_on(&self) -> Option<DateTime<Utc>> {
        let until = self.until?;
        let stopped = minute_of(until) - minute_of(self.from);
        Some(until + TimeDelta::minutes(re_warm_up_min(stopped)))
    }
}

impl MatchState {
    /// Whether it has been called or begun and is not over.
    #[must_use]
    pub const fn is_live(&self) -> bool {
        self.ended.is_none() && (self.called_at.is_some() || self.started_at.is_some())
    }

    /// Whether it was or is on the court, so that its court was in use.
    #[must_use]
    pub fn was_played(&self) -> bool {
        self.ended
            .as_ref()
            .is_some_and(|ended| !matches!(ended.how, Outcome::Walkover | Outcome::Cancelled))
    }

    /// Whether it will not be played.
    #[must_use]
    pub fn is_gone(&self) -> bool {
        self.ended.is_some() && !self.was_played()
    }
}

impl DayState {
    /// What is known of a match.
    #[must_use]
    pub fn of(&self, id: &str) -> Option<&MatchState> {
        self.matches.get(id)
    }

    /// The stop of this court that lasts at `now`.
    #[must_use]
    pub fn stop(&self, court: &str, now: DateTime<Utc>) -> Option<&Stop> {
        self.stops.iter().rfind(|stop| {
            stop.court == court && stop.from <= now && stop.until.is_none_or(|until| until > now)
        })
    }

    /// Where a match on `court` stands.
    #[must_use]
    pub fn phase(&self, id: &str, court: &str, now: DateTime<Utc>) -> MatchPhase {
        let Some(state) = self.of(id) else {
            return MatchPhase::Planned;
        };
        match &state.ended {
            Some(ended) => match ended.how {
                Outcome::Completed => MatchPhase::Finished,
                Outcome::Retired | Outcome::Defaulted => MatchPhase::Retired,
                Outcome::Walkover => MatchPhase::Walkover,
                Outcome::Cancelled => MatchPhase::Cancelled,
            },
            None if state.started_at.is_some() && self.stop(court, now).is_some() => MatchPhase::Stopped,
            None if state.started_at.is_some() => MatchPhase::OnCourt,
            None if state.called_at.is_some() => MatchPhase::Called,
            None => MatchPhase::Planned,
        }
    }

    /// Seconds of play on `court` between two instants: stops and the warm-ups after them taken out.
    #[must_use]
    pub fn playing_s(&self, court: &str, from: DateTime<Utc>, to: DateTime<Utc>) -> i64 {
        let mut playing = (to - from).num_seconds().max(0);
        for stop in self.stops.iter().filter(|stop| stop.court == court) {
            let goes_on = stop.play_goes_on().unwrap_or(to);
            playing -= (goes_on.min(to) - stop.from.max(from)).num_seconds().max(0);
        }
        playing.max(0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> DateTime<Utc> {
        format!("2026-05-02T{text}:00Z").parse().unwrap()
    }

    #[test]
    fn a_stop_and_the_warm_up_after_it_are_not_play() {
        let stop = |until: Option<&str>| DayState {
            stops: vec![Stop {
                court: "C1".to_owned(),
                from: at("10:00"),
                until: until.map(at),
                expected: None,
                reason: "rain".to_owned(),
            }],
            ..DayState::default()
        };
        // 36 minutes of rain and five of warm-up
        assert_eq!(
            stop(Some("10:36")).playing_s("C1", at("09:30"), at("11:00")),
            (90 - 41) * 60
        );
        assert_eq!(stop(None).playing_s("C1", at("09:30"), at("11:00")), 30 * 60);
        assert_eq!(stop(None).playing_s("C2", at("09:30"), at("11:00")), 90 * 60);
    }
}
