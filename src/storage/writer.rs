//! SQLite's one writer thread, with group commit.
//!
//! Writes that wait are run one after the other, each in a savepoint, inside
//! one `BEGIN IMMEDIATE` transaction; answers go out after the commit. So one
//! fsync serves many writers, and writers never meet `SQLITE_BUSY`.
use std::panic::{AssertUnwindSafe, catch_unwind};

use diesel::connection::{AnsiTransactionManager, TransactionManager};
use tokio::sync::{mpsc, oneshot};

use super::{Db, StoreError, StoreResult};

/// The most writes that share a commit.
const GROUP: usize = 128;
/// The most writes that wait before callers do.
const WAITING: usize = 1024;
const BUSY_TIMEOUT_MS: u32 = 5_000;

/// Whether a group's changes are on disk.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Fate {
    OnDisk,
    Lost,
}

/// Answers its caller once the group's fate is known.
type Reply = Box<dyn FnOnce(Fate) + Send>;

/// How one write ended inside the group.
enum Step {
    /// Its savepoint was released or rolled back: the group goes on.
    Closed(Reply),
    /// The savepoint could not be closed (the database rolled back by itself,
    /// a full disk): nothing of this group may be called done.
    GroupBroken(Reply),
}

/// A waiting write. Without a database (the group could not begin) it only answers.
type Work = Box<dyn FnOnce(Option<&mut Db>) -> Step + Send>;

#[derive(Clone)]
pub(super) struct Writer(mpsc::Sender<Work>);

impl Writer {
    pub(super) fn start(address: &str) -> StoreResult<Self> {
        let (sender, mut queue) = mpsc::channel::<Work>(WAITING);
        let mut db = connect(address)?;
        let address = address.to_owned();
        std::thread::Builder::new()
            .name("writer".to_owned())
            .spawn(move || {
                while let Some(first) = queue.blocking_recv() {
                    if group(&mut db, first, &mut queue) {
                        continue;
                    }
                    // diesel's notion of the open transaction may be wrong now
                    match connect(&address) {
                        Ok(fresh) => db = fresh,
                        Err(error) => tracing::error!(%error, "the writer could not reconnect"),
                    }
                }
            })
            .map_err(|_cause| StoreError::WorkerStopped)?;
        Ok(Self(sender))
    }

    pub(super) async fn write<T, E>(
        &self,
        work: impl FnOnce(&mut Db) -> Result<T, E> + Send + 'static,
    ) -> Result<T, E>
    where
        T: Send + 'static,
        E: From<StoreError> + Send + 'static,
    {
        let (answer, wait) = oneshot::channel::<Result<T, E>>();
        let step: Work = Box::new(move |db| {
            let (result, closed) = match db {
                Some(db) => in_savepoint(db, work),
                None => (Err(StoreError::NotCommitted.into()), false),
            };
            let reply: Reply = Box::new(move |fate| {
                let told = match (fate, result) {
                    (Fate::OnDisk, result) => result,
                    // a refusal changed nothing and stands, whatever became of the others
                    (Fate::Lost, Err(refusal)) => Err(refusal),
                    (Fate::Lost, Ok(_)) => Err(StoreError::NotCommitted.into()),
                };
                drop(answer.send(told));
            });
            if closed {
                Step::Closed(reply)
            } else {
                Step::GroupBroken(reply)
            }
        });
        self.0
            .send(step)
            .await
            .map_err(|_closed| StoreError::WorkerStopped)?;
        wait.await
            .unwrap_or_else(|_| Err(StoreError::WorkerStopped.into()))
    }
}

fn connect(address: &str) -> StoreResult<Db> {
    Db::connect(address, BUSY_TIMEOUT_MS)
}

/// Runs one group. `false`: the connection can't be trusted any more.
fn group(db: &mut Db, first: Work, queue: &mut mpsc::Receiver<Work>) -> bool {
    if let Err(error) = begin(db) {
        tracing::error!(%error, "a group of writes could not begin");
        answer(vec![first(None)], Fate::Lost);
        return false;
    }
    let mut steps = vec![first(Some(db))];
    while steps.len() < GROUP && !matches!(steps.last(), Some(Step::GroupBroken(_))) {
        let Ok(next) = queue.try_recv() else { break };
        steps.push(next(Some(db)));
    }
    let sound = !matches!(steps.last(), Some(Step::GroupBroken(_))) && commit(db);
    answer(steps, if sound { Fate::OnDisk } else { Fate::Lost });
    sound
}

fn begin(db: &mut Db) -> StoreResult<()> {
    let Db::Sqlite(sqlite) = db else {
        return Err(StoreError::WorkerStopped);
    };
    Ok(AnsiTransactionManager::begin_transaction_sql(
        sqlite,
        "BEGIN IMMEDIATE",
    )?)
}

fn commit(db: &mut Db) -> bool {
    let Db::Sqlite(sqlite) = db else { return false };
    match AnsiTransactionManager::commit_transaction(sqlite) {
        Ok(()) => true,
        Err(error) => {
            tracing::error!(%error, "a group of writes could not be committed");
            false
        }
    }
}

fn answer(steps: Vec<Step>, fate: Fate) {
    for step in steps {
        let (Step::Closed(reply) | Step::GroupBroken(reply)) = step;
        reply(fate);
    }
}

/// Runs `work` in a savepoint; the flag says whether the savepoint was closed as meant.
fn in_savepoint<T, E: From<StoreError>>(
    db: &mut Db,
    work: impl FnOnce(&mut Db) -> Result<T, E>,
) -> (Result<T, E>, bool) {
    let Db::Sqlite(sqlite) = db else {
        return (Err(StoreError::WorkerStopped.into()), false);
    };
    if let Err(error) = AnsiTransactionManager::begin_transaction(sqlite) {
        return (Err(StoreError::Query(error).into()), false);
    }
    let result =
        catch_unwind(AssertUnwindSafe(|| work(db))).unwrap_or_else(|_| Err(StoreError::Panicked.into()));
    let Db::Sqlite(sqlite) = db else {
        return (Err(StoreError::WorkerStopped.into()), false);
    };
    let closed = if result.is_ok() {
        AnsiTransactionManager::commit_transaction(sqlite)
    } else {
        AnsiTransactionManager::rollback_transaction(sqlite)
    };
    match closed {
        Ok(()) => (result, true),
        Err(error) => {
            tracing::error!(%error, "a savepoint could not be closed");
            (result.and_then(|_| Err(StoreError::Query(error).into())), false)
        }
    }
}
