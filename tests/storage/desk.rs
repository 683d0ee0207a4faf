//! An open store with one invented tournament in it.
use chrono::{DateTime, Utc};
use weftdesk::storage::tournaments::{self, Tournament};
use weftdesk::storage::{At, Db, Store, StoreResult};

use crate::database::TestDatabase;

/// The tournament that every test writes to.
pub(crate) const TOURNAMENT: &str = "lindenhain-open";

/// A store on a database of its own.
pub(crate) struct Desk {
    pub(crate) store: Store,
    // dropped after the store, so that no connection outlives its file
    _database: TestDatabase,
}

impl Desk {
    /// Opens the store and writes the tournament.
    pub(crate) async fn open() -> Self {
        let database = TestDatabase::fresh();
        let store = Store::open(database.address()).expect("the store opens");
        store
            .write(TOURNAMENT, |db| {
                tournaments::insert(db, &tournament(TOURNAMENT, "{}"))
            })
            .await
            .expect("the tournament is written");
        Self {
            store,
            _database: database,
        }
    }

    /// What the store answers to `work`.
    pub(crate) async fn read<T: Send + 'static>(
        &self,
        work: impl FnOnce(&mut Db) -> StoreResult<T> + Send + 'static,
    ) -> T {
        self.store.read(work).await.expect("the query runs")
    }

    /// The tournament as it is stored.
    pub(crate) async fn tournament(&self) -> Tournament {
        self.read(|db| tournaments::find(db, TOURNAMENT))
            .await
            .expect("the tournament is there")
    }
}

/// A row of `tournaments` that holds `record`.
pub(crate) fn tournament(id: &str, record: &str) -> Tournament {
    Tournament {
        id: id.to_owned(),
        name: "Lindenhain Open".to_owned(),
        time_zone: "Europe/Paris".to_owned(),
        record: record.to_owned(),
        sequence: 0,
        version: 1,
        created_at: at("2026-06-01T07:30:00.123456Z"),
    }
}

/// A stored moment.
pub(crate) fn at(rfc3339: &str) -> At {
    At::from(
        DateTime::parse_from_rfc3339(rfc3339)
            .expect("a moment")
            .with_timezone(&Utc),
    )
}
