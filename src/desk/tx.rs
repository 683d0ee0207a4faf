//! An open write: the database, who writes, when, and the log entries it makes.
use chrono::{DateTime, Utc};
use serde_json::Value;

use crate::desk::KnownLengths;
use crate::desk::caller::Caller;
use crate::desk::refusal::{DeskError, DeskResult, Thing};
use crate::storage::{At, Db, events, tournaments};

/// One use case's transaction in one tournament's line of writes.
pub struct Tx<'a> {
    /// The open transaction.
    pub db: &'a mut Db,
    /// Who does this.
    pub caller: &'a Caller,
    /// The desk clock's time for the whole of it.
    pub now: DateTime<Utc>,
    /// Lengths of matches known to this process.
    pub lengths: KnownLengths,
    sequence: i64,
    entered_at: i64,
}

impl<'a> Tx<'a> {
    /// Takes the tournament's line of writes; the first statement of every write.
    ///
    /// # Errors
    /// [`DeskError::NotFound`] for a tournament that is not there.
    pub fn enter(
        db: &'a mut Db,
        caller: &'a Caller,
        now: DateTime<Utc>,
        lengths: KnownLengths,
    ) -> DeskResult<Self> {
        let sequence =
            tournaments::enter(db, caller.tournament())?.ok_or(DeskError::NotFound(Thing::Tournament))?;
        Ok(Self {
            db,
            caller,
            now,
            lengths,
            sequence,
            entered_at: sequence,
        })
    }

    /// The tournament's id.
    #[must_use]
    pub fn tournament(&self) -> &'a str {
        self.caller.tournament()
    }

    /// The time as it is stored.
    #[must_use]
    pub fn at(&self) -> At {
        self.now.into()
    }

    /// Writes an entry of the log. `data` holds ids and states, never names,
    /// contacts or specs.
    ///
    /// # Errors
    /// [`DeskError::Storage`] where the insert fails.
    pub fn emit(&mut self, kind: &str, subject: &str, data: &Value) -> DeskResult<()> {
        self.sequence += 1;
        let event = events::Event {
            tournament_id: self.tournament().to_owned(),
            sequence: self.sequence,
            id: super::ids::new::<crate::craft::ids::EventId>(),
            kind: kind.to_owned(),
            subject: subject.to_owned(),
            at: self.at(),
            device_at: self.caller.device_at.map(At::from),
            account_id: self.caller.account_id.clone(),
            device_id: self.caller.device_id.clone(),
            data: data.to_string(),
        };
        Ok(events::append(self.db, &event)?)
    }

    /// Raises the log's number to what was used; answers the newest number if the log grew.
    ///
    /// # Errors
    /// [`DeskError::Storage`] where the update fails.
    pub fn close(self) -> DeskResult<Option<i64>> {
        if self.sequence == self.entered_at {
            return Ok(None);
        }
        tournaments::raise_sequence(self.db, self.caller.tournament(), self.sequence)?;
        Ok(Some(self.sequence))
    }
}
