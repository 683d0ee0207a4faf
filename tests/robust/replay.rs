//! The log read from its first entry to its last: what it says must be what the tables say.
use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value;
use weftdesk::storage::events::Event;
use weftdesk::storage::{Store, StoreError, StoreResult, events, jobs, rackets, tournaments};

/// A job as the log tells it.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Told {
    state: String,
    station: Option<String>,
}

/// What a whole log adds up to.
#[derive(Debug, Default)]
pub(crate) struct Replay {
    jobs: BTreeMap<String, Told>,
    custody: BTreeMap<String, String>,
    /// Kind, subject and station of every entry.
    seen: BTreeSet<(String, String, Option<String>)>,
    /// How many entries people caused; the service itself goes on planning.
    pub(crate) by_people: usize,
    /// How often a station was given a job.
    pub(crate) assigned: usize,
    /// How many jobs came in.
    pub(crate) received: usize,
    /// How many jobs ended.
    pub(crate) out: usize,
}

impl Replay {
    /// Reads the log and compares it with the tables; stops at a gap, at a job that a station got
    /// while another had it, and at a station that got a second job.
    pub(crate) async fn of(store: &Store, tournament: &str) -> Self {
        let counted_before = counted(store, tournament).await;
        let mut replay = Self::default();
        let mut last = 0;
        loop {
            let page = read(store, tournament, move |db, id| {
                events::after(db, id, last, 5_000)
            })
            .await;
            let Some(newest) = page.last() else { break };
            let newest = newest.sequence;
            for event in page {
                last += 1;
                assert_eq!(event.sequence, last, "the log has a gap");
                replay.by_people += usize::from(event.account_id.is_some());
                replay.apply(&event);
            }
            assert_eq!(last, newest);
        }
        // a running service goes on planning while the log is read: its count may grow meanwhile
        let counted_after = counted(store, tournament).await;
        let counts = counted_before..=counted_after;
        assert!(counts.contains(&last), "{last} entries, {counts:?} counted");
        replay.equals_the_tables(store, tournament).await;
        replay
    }

    /// Whether there is an entry of this kind about this subject, naming this station if one is given.
    pub(crate) fn has(&self, kind: &str, subject: &str, station: Option<&str>) -> bool {
        let key = (kind.to_owned(), subject.to_owned(), station.map(str::to_owned));
        self.seen.contains(&key)
    }

    fn apply(&mut self, event: &Event) {
        let data: Value = serde_json::from_str(&event.data).expect("JSON");
        if event.kind == "racket.moved" {
            let to = data["to"].as_str().expect("a place").to_owned();
            self.custody.insert(event.subject.clone(), to);
        }
        let station = data["station_id"].as_str().map(str::to_owned);
        self.seen
            .insert((event.kind.clone(), event.subject.clone(), station.clone()));
        let Some(state) = data["state"].as_str().filter(|_| event.kind.starts_with("job.")) else {
            return;
        };
        let now = Told {
            state: state.to_owned(),
            station,
        };
        match event.kind.as_str() {
            "job.received" => self.received += 1,
            "job.out" => self.out += 1,
            "job.assigned" => {
                self.assigned += 1;
                assert_eq!(self.jobs[&event.subject].state, "waiting", "{event:?}");
                let holds = |told: &&Told| told.station == now.station && is_at_bench(&told.state);
                assert_eq!(
                    self.jobs.values().find(holds),
                    None,
                    "two jobs at one station: {event:?}"
                );
            }
            _ => {}
        }
        self.jobs.insert(event.subject.clone(), now);
    }

    async fn equals_the_tables(&self, store: &Store, tournament: &str) {
        let filter = jobs::JobFilter::default();
        let stored = read(store, tournament, move |db, id| {
            jobs::list(db, id, &filter, i64::MAX)
        })
        .await;
        assert_eq!(stored.len(), self.jobs.len());
        for job in stored {
            let told = &self.jobs[&job.id];
            assert_eq!(told.state, job.state, "{}", job.id);
            assert_eq!(told.station, job.station_id, "{}", job.id);
        }
        let ids: Vec<String> = self.custody.keys().cloned().collect();
        let stored = read(store, tournament, move |db, _| rackets::with_ids(db, &ids)).await;
        assert_eq!(stored.len(), self.custody.len());
        for racket in stored {
            assert_eq!(self.custody[&racket.id], racket.custody, "{}", racket.id);
        }
    }
}

fn is_at_bench(state: &str) -> bool {
    state == "assigned" || state == "on_machine"
}

/// How many entries the tournament says it has.
async fn counted(store: &Store, tournament: &str) -> i64 {
    let row = read(store, tournament, tournaments::find).await;
    row.expect("the tournament").sequence
}

async fn read<T: Send + 'static>(
    store: &Store,
    tournament: &str,
    query: impl FnOnce(&mut weftdesk::storage::Db, &str) -> StoreResult<T> + Send + 'static,
) -> T {
    let id = tournament.to_owned();
    let found: Result<T, StoreError> = store.read(move |db| query(db, &id)).await;
    found.expect("the query runs")
}
