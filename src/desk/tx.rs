//! An open write: the database, who writes, when, and the log entries it makes.
use chrono::{DateTime, Utc};
use serde_json::{Value, json};

use crate::craft::roles::Role;
use crate::desk::CourtMemory;
use crate::desk::caller::Caller;
use crate::desk::refusal::{DeskError, DeskResult, Thing};
use crate::storage::{At, Db, events, in_savepoint, only_looked_at, tournaments};

/// One use case's transaction in one tournament's line of writes.
pub struct Tx<'a> {
    /// The open transaction.
    pub db: &'a mut Db,
    /// Who does this.
    pub caller: &'a Caller,
    /// The desk clock's time for the whole of it.
    pub now: DateTime<Utc>,
    /// Lengths of matches known to this process.
    pub memory: CourtMemory,
    sequence: i64,
    entered_at: i64,
    /// Set while lines from paper are entered.
    paper: Option<FromPaper>,
}

/// One line of paper: what it says, when that was written, and as whom it counts.
#[derive(Debug, Clone, Copy)]
pub struct PaperLine {
    /// What was done.
    pub kind: &'static str,
    /// The time beside it.
    pub written_at: DateTime<Utc>,
    /// The moment from which rules are judged; not before what is on record already.
    pub as_of: DateTime<Utc>,
    /// Who does such things.
    pub role: Role,
}

/// What entries of the log say of a line from paper.
#[derive(Debug, Clone, Copy)]
struct FromPaper {
    kind: &'static str,
    written_at: DateTime<Utc>,
    entered_at: DateTime<Utc>,
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
        memory: CourtMemory,
    ) -> DeskResult<Self> {
        let sequence =
            tournaments::enter(db, caller.tournament())?.ok_or(DeskError::NotFound(Thing::Tournament))?;
        Ok(Self {
            db,
            caller,
            now,
            memory,
            sequence,
            entered_at: sequence,
            paper: None,
        })
    }

    /// Enters a line from paper: `work` sees its written time as now, and the log keeps both times.
    /// What `work` refuses is taken back; the rest of this write stands.
    ///
    /// # Errors
    /// Whatever `work` refuses.
    pub fn from_paper<T>(
        &mut self,
        line: PaperLine,
        work: impl FnOnce(&mut Tx<'_>) -> DeskResult<T>,
    ) -> DeskResult<T> {
        let mut caller = self.caller.clone();
        caller.role = line.role;
        let paper = FromPaper {
            kind: line.kind,
            written_at: line.written_at,
            entered_at: self.now,
        };
        let (sequence, entered_at, memory) = (self.sequence, self.entered_at, self.memory.clone());
        let (value, sequence) = in_savepoint(self.db, |db| {
            let mut tx = Tx {
                db,
                caller: &caller,
                now: line.as_of,
                memory,
                sequence,
                entered_at,
                paper: Some(paper),
            };
            Ok::<_, DeskError>((work(&mut tx)?, tx.sequence))
        })?;
        self.sequence = sequence;
        Ok(value)
    }

    /// Does `work` and takes all of it back: what it answers is what would happen.
    ///
    /// # Errors
    /// Whatever `work` refuses.
    pub fn only_look<T>(&mut self, work: impl FnOnce(&mut Tx<'_>) -> DeskResult<T>) -> DeskResult<T> {
        let (caller, now, memory) = (self.caller, self.now, self.memory.clone());
        let (sequence, entered_at, paper) = (self.sequence, self.entered_at, self.paper);
        only_looked_at(self.db, |db| {
            work(&mut Tx {
                db,
                caller,
                now,
                memory,
                sequence,
                entered_at,
                paper,
            })
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
        let (mut data, mut at) = (data.clone(), self.at());
        let mut device_at = self.caller.device_at.map(At::from);
        if let Some(paper) = &self.paper {
            data["on_paper"] = json!(paper.kind);
            (at, device_at) = (paper.entered_at.into(), Some(paper.written_at.into()));
        }
        let event = events::Event {
            tournament_id: self.tournament().to_owned(),
            sequence: self.sequence,
            id: super::ids::new::<crate::craft::ids::EventId>(),
            kind: kind.to_owned(),
            subject: subject.to_owned(),
            at,
            device_at,
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
