//! Eight stations pull at once, through as many desks as the database takes: nobody gets
//! what another has, and nothing is lost.
use std::collections::HashMap;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex};

use weftdesk::craft::job::RushLevel;
use weftdesk::desk::cancel_job::{ChargeDecision, cancel_job};
use weftdesk::desk::check_racket::{Points, pass_job, record_check, strung};
use weftdesk::desk::court_times::due_by::DueBy;
use weftdesk::desk::hand_in::hand_in;
use weftdesk::desk::hand_out::{HandOut, Proof, hand_out};
use weftdesk::desk::job_sheet::JobSheet;
use weftdesk::desk::legal::busy_with;
use weftdesk::desk::pull_job::{preview, pull_job};
use weftdesk::desk::start_job::{StartJob, start_job};
use weftdesk::desk::steer_job::{change_due, hold_job, move_to_station, rush_job, unassign_job};
use weftdesk::desk::{Clock, Desk, DeskError, DeskResult, Tx};
use weftdesk::storage::workshop::places;
use weftdesk::storage::{Store, jobs};

use crate::database::TestDatabase;
use crate::replay::Replay;
use crate::workshop::Workshop;

const PULLS: usize = 10_000;
const PLAYERS: usize = 40;
/// Every so many pulls the job is strung and handed out; the others go back to the queue.
const STRUNG_EVERY: usize = 10;
/// Every so many pulls a second tablet at the same station pulls at the same time.
const TWO_TABLETS_EVERY: usize = 16;
/// On PostgreSQL so many desks, each with connections of its own, as several processes are.
const DESKS: usize = 4;

/// What the stations have, kept apart from the database.
#[derive(Default)]
struct Claims {
    holders: Mutex<HashMap<String, usize>>,
    granted: AtomicUsize,
}

impl Claims {
    /// Notes that a station got a job; answers the how many-eth pull this was.
    fn take(&self, job: &str, station: usize) -> usize {
        let before = self
            .holders
            .lock()
            .expect("sound")
            .insert(job.to_owned(), station);
        assert_eq!(before, None, "station {station} got {job}, which another has");
        self.granted.fetch_add(1, Ordering::Relaxed) + 1
    }

    /// Notes that a station is about to let a job go.
    fn leave(&self, job: &str, station: usize) {
        let before = self.holders.lock().expect("sound").remove(job);
        assert_eq!(before, Some(station), "{job}");
    }
}

/// One station and the desk it speaks to.
#[derive(Clone)]
struct Bench {
    desk: Desk,
    workshop: Arc<Workshop>,
    claims: Arc<Claims>,
    number: usize,
}

impl Bench {
    async fn write<T: Send + 'static>(
        &self,
        work: impl FnOnce(&mut Tx<'_>) -> DeskResult<T> + Send + 'static,
    ) -> T {
        let done = self.desk.write(&self.workshop.coordinator, work).await;
        done.expect("the desk does as it is told")
    }

    async fn pull(&self) -> Option<JobSheet> {
        let station = self.workshop.stations[self.number].clone();
        let pulled = self
            .desk
            .write(&self.workshop.coordinator, move |tx| pull_job(tx, &station));
        let refused = match pulled.await {
            Ok(sheet) => return Some(sheet),
            Err(refused) => refused,
        };
        assert!(matches!(refused, DeskError::Conflict { .. }), "{refused:?}");
        None
    }

    /// Pulls until `pulls` jobs were given, or nothing waits; `renew`: what was handed out comes in again.
    async fn work(self, pulls: usize, renew: bool) {
        while self.claims.granted.load(Ordering::Relaxed) < pulls {
            let Some(sheet) = self.pull().await else { return };
            let (job, number) = (sheet.job.id.clone(), self.number);
            assert_eq!(sheet.job.state, "assigned");
            assert_eq!(
                sheet.job.station_id.as_ref(),
                Some(&self.workshop.stations[number])
            );
            let pull = self.claims.take(&job, number);
            if pull.is_multiple_of(TWO_TABLETS_EVERY) {
                let (one, other) = tokio::join!(self.pull(), self.pull());
                assert_eq!(one.expect("the station's job").job.id, job);
                assert_eq!(other.expect("the station's job").job.id, job);
            }
            if renew && !pull.is_multiple_of(STRUNG_EVERY) {
                self.claims.leave(&job, number);
                self.write(move |tx| unassign_job(tx, &job, "another first"))
                    .await;
                continue;
            }
            let racket = sheet.racket.id.clone();
            self.string_and_hand_out(sheet).await;
            if renew {
                let again = self.workshop.hand_in(&self.desk, &racket);
                self.write(move |tx| hand_in(tx, again)).await;
            }
        }
    }

    async fn string_and_hand_out(&self, sheet: JobSheet) {
        let (id, tag) = (sheet.job.id.clone(), sheet.job.code.clone());
        let string = Some(self.workshop.string_id.clone());
        let start = StartJob {
            station_id: None,
            tag: tag.clone(),
            mains: string.clone(),
            crosses: string,
        };
        let job = id.clone();
        self.write(move |tx| start_job(tx, &job, &start)).await;
        self.claims.leave(&id, self.number);
        let job = id.clone();
        self.write(move |tx| strung(tx, &job)).await;
        let job = id.clone();
        self.write(move |tx| {
            let good = Points {
                weave: true,
                tie_offs: true,
                grommets: true,
            };
            record_check(tx, &job, good)?;
            pass_job(tx, &job, Some("A1"))
        })
        .await;
        let owner = self
            .workshop
            .rackets
            .iter()
            .find(|racket| racket.id == sheet.racket.id);
        let out = HandOut {
            job_ids: vec![id],
            tags: vec![tag],
            proof: Proof::Badge {
                code: owner.expect("an owner").badge.clone(),
            },
            collector: None,
        };
        self.write(move |tx| hand_out(tx, &out)).await;
    }
}

/// One desk, or several on a database that serves several processes.
fn desks(database: &TestDatabase) -> Vec<Desk> {
    let first = Desk::new(Store::open(database.address()).expect("a store"), Clock::real());
    if first.store().is_embedded() {
        return vec![first];
    }
    let more =
        (1..DESKS).map(|_| Desk::new(Store::open(database.address()).expect("a store"), Clock::real()));
    std::iter::once(first.clone()).chain(more).collect()
}

async fn race(desks: &[Desk], workshop: &Arc<Workshop>, claims: &Arc<Claims>, pulls: usize, renew: bool) {
    let benches = (0..workshop.stations.len()).map(|number| Bench {
        desk: desks[number % desks.len()].clone(),
        workshop: Arc::clone(workshop),
        claims: Arc::clone(claims),
        number,
    });
    let running: Vec<_> = benches
        .map(|bench| tokio::spawn(bench.work(pulls, renew)))
        .collect();
    for bench in running {
        bench.await.expect("every station works on");
    }
}

/// A desk with everything handed in.
async fn filled(players: usize) -> (TestDatabase, Vec<Desk>, Arc<Workshop>) {
    let database = TestDatabase::fresh();
    let desks = desks(&database);
    let workshop = Arc::new(Workshop::found(&desks[0], players).await);
    for racket in &workshop.rackets {
        let one = workshop.hand_in(&desks[0], &racket.id);
        let taken = desks[0].write(&workshop.coordinator, move |tx| hand_in(tx, one));
        taken.await.expect("it is taken in");
    }
    (database, desks, workshop)
}

#[tokio::test]
async fn a_pull_gives_the_job_that_the_preview_names() {
    let (_database, desks, workshop) = filled(12).await;
    let (desk, station) = (&desks[0], workshop.stations[0].clone());
    let of_station = station.clone();
    let steered = desk.write(&workshop.coordinator, move |tx| {
        let tournament = tx.tournament();
        let waiting = jobs::in_states(tx.db, tournament, &["waiting"])?;
        let other = places::all(tx.db, tournament)?
            .into_iter()
            .find(|one| one.id != of_station);
        let other = other.expect("another station").id;
        for (number, job) in waiting.iter().enumerate() {
            match number % 6 {
                0 => drop(hold_job(tx, &job.id, "the owner decides", None)?),
                1 | 3 => drop(change_due(tx, &job.id, &DueBy::Time(tx.now))?),
                2 => drop(rush_job(tx, &job.id, RushLevel::Rush)?),
                _ => {}
            }
        }
        // pinned by a coordinator's move to a station that has a job: here, and elsewhere
        for (pinned, to) in [(&waiting[40], &of_station), (&waiting[41], &other)] {
            pull_job(tx, to)?;
            move_to_station(tx, &pinned.id, to)?;
            let held = busy_with(tx.db, tournament, to)?.expect("what it pulled");
            unassign_job(tx, &held.id, "another first")?;
        }
        Ok(())
    });
    steered.await.expect("the queue is steered");
    let mut given = Vec::new();
    loop {
        let asking = station.clone();
        let both = desk.write(&workshop.coordinator, move |tx| {
            let row = places::find(tx.db, tx.tournament(), &asking)?.expect("the station");
            let named = preview(tx.db, &row, tx.now)?.pick.map(|pick| pick.job_id);
            let pulled = match pull_job(tx, &asking) {
                Ok(sheet) => Some(sheet.job.id),
                Err(DeskError::Conflict { .. }) => None,
                Err(error) => return Err(error),
            };
            if let Some(job) = &pulled {
                cancel_job(tx, job, "out of the queue", ChargeDecision::None)?;
            }
            Ok((named, pulled))
        });
        let (named, pulled) = both.await.expect("the desk answers");
        assert_eq!(named, pulled);
        let Some(job) = pulled else { break };
        given.push(job);
    }
    assert!(
        given.len() > 32,
        "more than two parts of the queue: {}",
        given.len()
    );
}

#[tokio::test(flavor = "multi_thread", worker_threads = 4)]
async fn ten_thousand_pulls_by_eight_stations_at_once_double_nothing_and_lose_nothing() {
    let (_database, desks, workshop) = filled(PLAYERS).await;
    let claims = Arc::new(Claims::default());
    race(&desks, &workshop, &claims, PULLS, true).await;
    assert!(claims.granted.load(Ordering::Relaxed) >= PULLS);
    // then everything is strung, so that a lost job would be missed
    race(&desks, &workshop, &claims, usize::MAX, false).await;
    assert_eq!(claims.holders.lock().expect("sound").len(), 0);
    let replay = Replay::of(desks[0].store(), &workshop.tournament).await;
    assert_eq!(replay.assigned, claims.granted.load(Ordering::Relaxed));
    assert!(replay.received >= workshop.rackets.len() + PULLS / STRUNG_EVERY);
    assert_eq!(replay.received, replay.out, "every racket that came in went out");
}
