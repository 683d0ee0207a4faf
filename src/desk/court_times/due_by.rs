//! What decides when a racket must be ready: a match, or a plain time.
use chrono::{DateTime, Utc};

use crate::desk::Tx;
use crate::desk::court_times::coming_matches::ComingMatches;
use crate::desk::records::JobRecord;
use crate::desk::refusal::{DeskError, DeskResult};

/// What decides when a racket must be ready.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum DueBy {
    /// This time, whatever happens on the courts.
    Time(DateTime<Utc>),
    /// Its player's next match, whichever that is.
    NextMatch {
        /// Holds until a match of the player is known.
        until_known: Option<DateTime<Utc>>,
    },
    /// This match.
    Match(String),
}

/// A ready-by with what it follows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Due {
    /// The ready-by.
    pub at: DateTime<Utc>,
    /// Whether it follows the player's next match.
    pub follows_match: bool,
    /// The match it is named for.
    pub match_id: Option<String>,
    /// The match it was taken from.
    pub ready_for_match: Option<String>,
}

impl Due {
    /// Writes down what the ready-by follows.
    pub fn note_in(&self, record: &mut JobRecord) {
        record.follows_match = self.follows_match;
        record.match_id.clone_from(&self.match_id);
        record.ready_for_match.clone_from(&self.ready_for_match);
    }
}

impl DueBy {
    /// What a request asks for by its members: a match by name, the next match, or a plain time.
    ///
    /// # Errors
    /// [`DeskError::Invalid`] where they contradict one another or none is given.
    pub fn asked(
        match_id: Option<String>,
        due_at: Option<DateTime<Utc>>,
        follows_match: bool,
        pointer: &str,
    ) -> DeskResult<Self> {
        match (match_id, due_at, follows_match) {
            (Some(_), Some(_), _) => Err(DeskError::member(
                format!("{pointer}/due_at"),
                "invalid_value",
                "A named match gives the ready-by; leave out due_at, or name no match.",
            )),
            (Some(id), None, _) => Ok(Self::Match(id)),
            (None, until_known, true) => Ok(Self::NextMatch { until_known }),
            (None, Some(at), false) => Ok(Self::Time(at)),
            (None, None, false) => Err(DeskError::member(
                format!("{pointer}/due_at"),
                "missing_member",
                "Say when it must be ready: a time in due_at, a match in match_id, or follows_match.",
            )),
        }
    }

    /// The ready-by of a racket of this player.
    ///
    /// # Errors
    /// [`DeskError::Invalid`] for a match that is not to come or not this player's, and where no match
    /// of the player is known and no time was given.
    pub fn due(&self, tx: &mut Tx<'_>, player_id: &str, pointer: &str) -> DeskResult<Due> {
        if let Self::Time(at) = self {
            return Ok(Due {
                at: *at,
                follows_match: false,
                match_id: None,
                ready_for_match: None,
            });
        }
        let memory = tx.memory.clone();
        let coming = ComingMatches::of(tx.db, tx.caller.tournament(), player_id, tx.now, &memory)?;
        match self {
            Self::Match(id) => named(&coming, id, pointer),
            Self::NextMatch { until_known } => next(&coming, *until_known, pointer),
            Self::Time(at) => next(&coming, Some(*at), pointer),
        }
    }
}

fn named(coming: &ComingMatches, id: &str, pointer: &str) -> DeskResult<Due> {
    if let Some(played) = coming.find(id) {
        return Ok(Due {
            at: played.ready_by,
            follows_match: false,
            match_id: Some(id.to_owned()),
            ready_for_match: Some(id.to_owned()),
        });
    }
    let at = format!("{pointer}/match_id");
    Err(if coming.of_others.iter().any(|played| played.match_id == id) {
        DeskError::member(
            at,
            "invalid_value",
            "This player does not play that match; name one of theirs, or give a time in due_at.",
        )
    } else {
        DeskError::member(
            at,
            "unknown_reference",
            "No such match is still to come; look at the order of play, or give a time in due_at.",
        )
    })
}

fn next(coming: &ComingMatches, until_known: Option<DateTime<Utc>>, pointer: &str) -> DeskResult<Due> {
    let first = coming.of_player.first();
    let at = first
        .map(|played| played.ready_by)
        .or(until_known)
        .ok_or_else(|| {
            DeskError::member(
                format!("{pointer}/due_at"),
                "missing_member",
                "No match of this player is in the order of play yet; give the time until then in due_at.",
            )
        })?;
    Ok(Due {
        at,
        follows_match: true,
        match_id: None,
        ready_for_match: first.map(|played| played.match_id.clone()),
    })
}
