//! What people do at the desk: one use case, one file, one transaction.
//!
//! A use case is a plain function on an open [`Tx`]; [`Desk::write`] opens and
//! closes it, keeps the log's number and announces after the commit. Doors call
//! `desk.write(&caller, |tx| pull_job(tx, …))` and nothing else.
#![warn(missing_docs)]
pub mod amend_job;
pub mod ask_by_link;
pub mod bench_sheet;
pub mod bench_stops;
pub mod book_string;
pub mod calibrate;
pub mod caller;
pub mod cancel_job;
pub mod carry_racket;
pub mod catch_up;
pub mod check_in;
pub mod check_racket;
pub mod check_sheet;
pub mod choose_method;
pub mod clock;
pub mod completion;
pub mod correct_account;
pub mod correct_job;
pub mod correct_machine;
pub mod correct_station;
pub mod correct_string;
pub mod correct_tournament;
pub mod court_call;
pub mod court_times;
pub mod decide_snag;
pub mod delegates;
pub mod doubtful;
pub mod fill_strings;
pub mod find;
pub mod floor;
pub mod found;
pub mod frame_in_use;
pub mod gone_out;
pub mod hand_in;
pub mod hand_out;
pub mod hand_over;
pub mod hear_wish;
pub mod hours;
pub mod ids;
pub mod intervene;
pub mod job_plan;
pub mod job_sheet;
pub mod keep_frame;
pub mod keep_photo;
pub mod keep_promises;
pub mod keep_stock;
pub mod keep_workshop;
pub mod last_time;
pub mod legal;
pub mod log;
pub mod match_not_played;
pub mod minutes;
pub mod moves;
pub mod no_place;
pub mod nobody_can;
pub mod once;
pub mod overview;
pub mod own_device;
pub mod paper_kit;
pub mod pickup_code;
pub mod print_paper;
pub mod promise;
pub mod publish_shifts;
pub mod pull_job;
pub mod racket_photos;
pub mod readiness;
pub mod reads;
pub mod records;
pub mod refusal;
pub mod refuse_job;
pub mod register_device;
pub mod register_player;
pub mod register_racket;
pub mod rename;
pub mod reset_password;
pub mod room;
pub mod schedule;
pub mod shifts;
pub mod sign_in;
pub mod spare;
pub mod start_job;
mod station_facts;
pub mod steer_job;
pub mod stopped_play;
pub mod story;
pub mod take_code;
pub mod tap_phase;
pub mod text_member;
pub mod to_be_given_back;
pub mod tomorrow;
pub mod tx;
pub mod wait_for_string;
pub mod waiting_work;
pub mod what_if;
pub mod why;

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use tokio::sync::broadcast;

pub use caller::Caller;
pub use clock::Clock;
pub use court_times::court_memory::CourtMemory;
pub use once::{Answer, Once};
pub use refusal::{DeskError, DeskResult, MemberFault, Override, Reason, Thing};
pub use tx::Tx;

use crate::desk::tomorrow::rehearsals::Rehearsals;
use crate::storage::{Db, Store};

/// The log of a tournament has grown.
#[derive(Debug, Clone)]
pub struct Advance {
    /// Whose log.
    pub tournament_id: String,
    /// Its newest number.
    pub sequence: i64,
    /// Whether this process committed it; else another instance did.
    pub committed_here: bool,
}

/// How many announcements a slow listener may lag behind before it must look for itself.
const ANNOUNCEMENTS: usize = 1024;

/// The desk: a database, two clocks and a bell. Cheap to clone.
#[derive(Clone)]
pub struct Desk {
    store: Store,
    clock: Clock,
    bell: Arc<broadcast::Sender<Advance>>,
    court_memory: CourtMemory,
    rehearsals: Rehearsals,
    newest: Arc<Mutex<HashMap<String, i64>>>,
}

impl Desk {
    /// A desk on an open store.
    #[must_use]
    pub fn new(store: Store, clock: Clock) -> Self {
        let (bell, _) = broadcast::channel(ANNOUNCEMENTS);
        Self {
            store,
            clock,
            bell: Arc::new(bell),
            court_memory: CourtMemory::default(),
            rehearsals: Rehearsals::default(),
            newest: Arc::default(),
        }
    }

    /// The two clocks.
    #[must_use]
    pub fn clock(&self) -> &Clock {
        &self.clock
    }

    /// The database, for those who run the service.
    #[must_use]
    pub fn store(&self) -> &Store {
        &self.store
    }

    /// What was computed and read of matches so far, shared by all who forecast.
    #[must_use]
    pub fn court_memory(&self) -> CourtMemory {
        self.court_memory.clone()
    }

    /// Where days to come are played.
    #[must_use]
    pub const fn rehearsals(&self) -> &Rehearsals {
        &self.rehearsals
    }

    /// Hears of every write committed by this process from now on.
    #[must_use]
    pub fn listen(&self) -> broadcast::Receiver<Advance> {
        self.bell.subscribe()
    }

    /// Tells listeners that a log has grown.
    pub fn announce(&self, advance: Advance) {
        self.note_newest(&advance.tournament_id, advance.sequence);
        // nobody listening is fine
        drop(self.bell.send(advance));
    }

    /// The newest number of a tournament's log, as far as this process has heard; `None` before it has.
    ///
    /// A write of this process counts before its caller is answered, another instance's
    /// a little after.
    #[must_use]
    pub fn newest(&self, tournament: &str) -> Option<i64> {
        let newest = self.newest.lock().unwrap_or_else(PoisonError::into_inner);
        newest.get(tournament).copied()
    }

    /// Reads it from the database, for [`Self::newest`] to know from now on.
    ///
    /// # Errors
    /// [`DeskError::Storage`].
    pub async fn learn_newest(&self, tournament: &str) -> DeskResult<()> {
        let id = tournament.to_owned();
        let found = self
            .read(move |db| Ok(reads::tournaments::find(db, &id)?))
            .await?;
        if let Some(found) = found {
            self.note_newest(tournament, found.sequence);
        }
        Ok(())
    }

    fn note_newest(&self, tournament: &str, sequence: i64) {
        let mut newest = self.newest.lock().unwrap_or_else(PoisonError::into_inner);
        let known = newest.entry(tournament.to_owned()).or_insert(sequence);
        *known = sequence.max(*known);
    }

    /// Does `work` in one transaction of the caller's tournament: all of it or nothing.
    ///
    /// # Errors
    /// Whatever `work` refuses, and [`DeskError::Storage`].
    pub async fn write<T: Send + 'static>(
        &self,
        caller: &Caller,
        work: impl FnOnce(&mut Tx<'_>) -> DeskResult<T> + Send + 'static,
    ) -> DeskResult<T> {
        let who = caller.clone();
        let (now, memory) = (self.clock.desk(), self.court_memory());
        let (value, grown) = self
            .store
            .write(caller.tournament(), move |db| {
                let mut tx = Tx::enter(db, &who, now, memory)?;
                let value = work(&mut tx)?;
                Ok::<_, DeskError>((value, tx.close()?))
            })
            .await?;
        self.ring(caller, grown);
        Ok(value)
    }

    /// As [`Self::write`], but once per key: a repeat gets the first answer again.
    ///
    /// # Errors
    /// As [`Self::write`], and [`DeskError::KeyReused`].
    pub async fn write_once(
        &self,
        caller: &Caller,
        once: Once,
        work: impl FnOnce(&mut Tx<'_>) -> DeskResult<Answer> + Send + 'static,
    ) -> DeskResult<Answer> {
        let wall = self.clock.wall().into();
        self.write(caller, move |tx| {
            if let Some(answer) = once::kept(tx, &once)? {
                return Ok(answer);
            }
            let answer = work(tx)?;
            once::keep(tx, once, &answer, wall)?;
            Ok(answer)
        })
        .await
    }

    /// Reads without changing anything.
    ///
    /// # Errors
    /// Whatever `work` refuses, and [`DeskError::Storage`].
    pub async fn read<T: Send + 'static>(
        &self,
        work: impl FnOnce(&mut Db) -> DeskResult<T> + Send + 'static,
    ) -> DeskResult<T> {
        self.store.read(work).await
    }

    fn ring(&self, caller: &Caller, grown: Option<i64>) {
        if let Some(sequence) = grown {
            self.announce(Advance {
                tournament_id: caller.tournament().to_owned(),
                sequence,
                committed_here: true,
            });
        }
    }
}
