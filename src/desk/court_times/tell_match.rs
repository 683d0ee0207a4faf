//! What the desk itself says about one match: called, begun, its score, over, moved by hand; and taking it back.
use chrono::NaiveDate;
use serde_json::{Value, json};

use crate::craft::match_times::day_state::Outcome;
use crate::craft::match_times::events::{Happened, MatchEvent};
use crate::craft::match_times::format::MatchFormat;
use crate::craft::match_times::replay::replay;
use crate::craft::match_times::score::LiveScore;
use crate::desk::court_times::board::{self, StoredDay};
use crate::desk::court_times::change_order::may_change;
use crate::desk::court_times::stop_courts::{SOURCE, next_number};
use crate::desk::court_times::take_events::{Taken, take_events};
use crate::desk::refusal::{DeskError, DeskResult, Thing};
use crate::desk::{CourtMemory, Tx};

/// What is said.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Told {
    /// Its players are called.
    Called,
    /// The first point is played.
    Started,
    /// It stands so: sets as games of either side, the last one perhaps under way.
    Score(Vec<[u8; 2]>),
    /// It is over.
    Over {
        /// How.
        how: Outcome,
        /// Who goes on: side 1 or 2.
        winner: Option<u8>,
        /// The sets as far as they were played.
        sets: Vec<[u8; 2]>,
    },
    /// It is played on this court, at this place among its matches.
    Moved {
        /// The court.
        court: String,
        /// Its place there.
        seq: u16,
    },
    /// What the desk said last about it did not happen.
    TakenBack,
}

/// Takes in what somebody saw or was told, as happening now.
///
/// # Errors
/// As [`take_events`]; [`DeskError::NotFound`] for a match that is not in the day's order.
pub fn tell_match(
    tx: &mut Tx<'_>,
    day: NaiveDate,
    match_id: &str,
    told: Told,
    memory: &CourtMemory,
) -> DeskResult<Taken> {
    may_change(tx)?;
    let stored = board::stored(tx.db, tx.caller.tournament(), &day.to_string(), memory)?;
    let known = stored.ok_or(DeskError::NotFound(Thing::OrderOfPlay))?;
    let played = known
        .order
        .find(match_id)
        .ok_or(DeskError::NotFound(Thing::Match))?;
    let mut event = json!({"src": SOURCE, "n": next_number(&known, tx.now), "at": tx.now, "match": match_id});
    match told {
        Told::Called => event["type"] = json!("called"),
        Told::Started => event["type"] = json!("started"),
        Told::Score(sets) => {
            event["type"] = json!("score");
            let score = standing(&played.format, &sets);
            event["sets"] = json!(score.sets);
            event["games"] = json!(score.games);
            event["points"] = json!(score.points);
        }
        Told::Over { how, winner, sets } => {
            // a match that was played to its end is finished, not "completed"
            let kind = if how == Outcome::Completed {
                "finished"
            } else {
                how.as_str()
            };
            event["type"] = json!(kind);
            event["winner"] = json!(winner);
            event["sets"] = json!(sets);
        }
        Told::Moved { court, seq } => {
            let order =
                replay(&known.order, &known.events).map_or(known.order.version, |day| day.order.version);
            event["type"] = json!("moved");
            event["court"] = json!(court);
            event["seq"] = json!(seq);
            event["version"] = json!(order + 1);
        }
        Told::TakenBack => {
            let last = last_said(&known, match_id).ok_or_else(|| {
                DeskError::member(
                    "",
                    "nothing_to_take_back",
                    "Nothing that the desk entered about this match is left to take back.",
                )
            })?;
            event["type"] = json!("corrected");
            event["replaces"] = json!(last);
            event.as_object_mut().map(|members| members.remove("match"));
        }
    }
    take(tx, day, &event, memory)
}

fn take(tx: &mut Tx<'_>, day: NaiveDate, event: &Value, memory: &CourtMemory) -> DeskResult<Taken> {
    take_events(tx, day, &event.to_string(), true, memory)
}

/// Sets as written: the last one is under way where nobody has won it yet.
fn standing(format: &MatchFormat, sets: &[[u8; 2]]) -> LiveScore {
    let finished = LiveScore {
        sets: sets.to_vec(),
        ..LiveScore::default()
    };
    let Some((last, before)) = sets.split_last().filter(|_| finished.standing(format).is_err()) else {
        return finished;
    };
    let (games, points) = match format {
        MatchFormat::Sets(_) => (*last, [0, 0]),
        MatchFormat::Rally(_) => ([0, 0], *last),
    };
    LiveScore {
        sets: before.to_vec(),
        games,
        points,
        ..LiveScore::default()
    }
}

/// The number of the last thing the desk said about a match that still holds.
fn last_said(known: &StoredDay, match_id: &str) -> Option<u64> {
    let of_desk = || known.told.values().filter(|event| event.src == SOURCE);
    let withdrawn: Vec<u64> = of_desk()
        .filter_map(|event| match event.what {
            Happened::Withdrawn { replaces } => Some(replaces),
            _ => None,
        })
        .collect();
    let about = of_desk().filter(|event| match &event.what {
        // a move has given the order a new version; it is moved back, not forgotten
        Happened::Match(id, what) => id == match_id && !matches!(what, MatchEvent::Moved { .. }),
        _ => false,
    });
    let mut numbers: Vec<u64> = about
        .map(|event| event.n)
        .filter(|n| !withdrawn.contains(n))
        .collect();
    numbers.sort_unstable();
    numbers.pop()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::craft::match_times::format::named;

    #[test]
    fn the_last_set_is_under_way_where_nobody_has_won_it() {
        let tennis = named("bo3_tb").unwrap();
        let score = standing(&tennis, &[[6, 4], [2, 1]]);
        assert_eq!((score.sets, score.games), (vec![[6, 4]], [2, 1]));
        let score = standing(&tennis, &[[6, 4]]);
        assert_eq!((score.sets, score.games), (vec![[6, 4]], [0, 0]));
        let badminton = named("bad_3x21").unwrap();
        let score = standing(&badminton, &[[21, 19], [8, 11]]);
        assert_eq!((score.sets, score.points), (vec![[21, 19]], [8, 11]));
    }
}
