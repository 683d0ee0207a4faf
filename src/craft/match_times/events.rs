//! Events from the courts, and the day as they tell it.
//!
//! They may come late, twice or out of order: the day is told anew from all of
//! them, by the time at which they happened.
use chrono::{DateTime, Utc};

use super::day_state::Outcome;
use super::order::Start;
use super::order_faults::{Refusal, Remark};
use super::score::LiveScore;

/// One event. Source and number are its key.
#[derive(Debug, Clone, PartialEq)]
pub struct CourtEvent {
    /// Who says so.
    pub src: String,
    /// Its number there.
    pub n: u64,
    /// When it happened.
    pub at: DateTime<Utc>,
    /// What happened.
    pub what: Happened,
}

/// What happened.
#[derive(Debug, Clone, PartialEq)]
pub enum Happened {
    /// To one match.
    Match(String, MatchEvent),
    /// Play stopped on these courts.
    Suspended {
        /// The courts.
        courts: Vec<String>,
        /// Why.
        reason: String,
        /// When play is expected to go on.
        expected: Option<DateTime<Utc>>,
    },
    /// Play goes on, on these courts.
    Resumed {
        /// The courts.
        courts: Vec<String>,
    },
    /// A new sequence of a court's matches.
    Reordered {
        /// The court.
        court: String,
        /// All its matches that are not over, in sequence.
        matches: Vec<String>,
        /// The order's new version.
        version: u32,
    },
    /// An earlier event of the same source did not happen.
    Withdrawn {
        /// Its number.
        replaces: u64,
    },
}

/// What happened to a match.
#[derive(Debug, Clone, PartialEq)]
pub enum MatchEvent {
    /// Its players were called.
    Called,
    /// The first point was played.
    Started {
        /// Which side served.
        server: Option<u8>,
    },
    /// It stands so.
    Score(LiveScore),
    /// It stands so, whatever was said before; an earlier event may be withdrawn with it.
    Corrected {
        /// The right score.
        score: LiveScore,
        /// The number of the event that was wrong.
        replaces: Option<u64>,
    },
    /// It is over.
    Over {
        /// How.
        how: Outcome,
        /// Who goes on: side 1 or 2.
        winner: Option<u8>,
        /// The sets as far as they were played.
        sets: Vec<[u8; 2]>,
    },
    /// It is played on this court, at this place.
    Moved {
        /// The court.
        court: String,
        /// Its place there.
        seq: u16,
        /// The order's new version.
        version: u32,
    },
    /// Its start follows another rule.
    StartRule {
        /// The rule.
        start: Start,
        /// The order's new version.
        version: u32,
    },
}

/// Why an event cannot be.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EventFault {
    /// Its place in the list as given.
    pub place: usize,
    /// Why.
    pub refusal: Refusal,
    /// What is wrong, and the way out.
    pub detail: String,
}

/// What is worth a word about an event.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EventRemark {
    /// Its place in the list as given.
    pub place: usize,
    /// What.
    pub remark: Remark,
    /// In words.
    pub detail: String,
}

/// The places of events in the order in which they count, each key once.
///
/// A correction with the key of an earlier event takes its place.
///
/// # Errors
/// [`Refusal::EventTwice`] for different events under one key.
pub fn in_order(events: &[CourtEvent]) -> Result<(Vec<usize>, Vec<EventRemark>), Vec<EventFault>> {
    let mut by_key: std::collections::BTreeMap<(&str, u64), usize> = std::collections::BTreeMap::new();
    let (mut faults, mut remarks) = (Vec::new(), Vec::new());
    for (place, event) in events.iter().enumerate() {
        let key = (event.src.as_str(), event.n);
        let Some(first) = by_key.get(&key).copied() else {
            by_key.insert(key, place);
            continue;
        };
        if events[first] == *event {
            let detail = format!("event {} of {} came before; it counts once", event.n, event.src);
            remarks.push(EventRemark {
                place,
                remark: Remark::EventRepeated,
                detail,
            });
        } else if matches!(event.what, Happened::Match(_, MatchEvent::Corrected { .. })) {
            by_key.insert(key, place);
        } else {
            let detail = format!(
                "event {} of {} was another one; number each event once, or correct it",
                event.n, event.src
            );
            faults.push(EventFault {
                place,
                refusal: Refusal::EventTwice,
                detail,
            });
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let withdrawn: Vec<(&str, u64)> = by_key
        .values()
        .filter_map(|place| {
            let event = &events[*place];
            let replaces = match &event.what {
                Happened::Withdrawn { replaces } => Some(*replaces),
                Happened::Match(_, MatchEvent::Corrected { replaces, .. }) => *replaces,
                _ => None,
            };
            replaces
                .filter(|n| *n != event.n)
                .map(|n| (event.src.as_str(), n))
        })
        .collect();
    by_key.retain(|key, _| !withdrawn.contains(key));
    let mut places: Vec<usize> = by_key.into_values().collect();
    places.sort_by_key(|place| (events[*place].at, *place));
    Ok((places, remarks))
}
