//! What becomes of a group of SQLite writes when the database itself gives up in the middle.
//!
//! PostgreSQL has no groups; there the same faults belong to one transaction,
//! and the same answers hold.
use std::future::{Future, poll_fn};
use std::sync::mpsc;
use std::task::Poll;

use diesel::connection::SimpleConnection;
use weftdesk::storage::{Db, Store, StoreError, StoreResult, tournaments};

use crate::desk::{Desk, TOURNAMENT, tournament};

fn insert(id: &str) -> impl FnOnce(&mut Db) -> StoreResult<()> + Send + use<> {
    let row = tournament(id, "{}");
    move |db| tournaments::insert(db, &row)
}

async fn exists(desk: &Desk, id: &'static str) -> bool {
    desk.read(move |db| tournaments::find(db, id)).await.is_some()
}

/// Starts a write that holds the writer until the returned sender is used, so that others wait behind it.
fn hold(store: &Store) -> (mpsc::Sender<()>, tokio::task::JoinHandle<StoreResult<()>>) {
    let (go, wait) = mpsc::channel();
    let (began, begun) = mpsc::channel();
    let store = store.clone();
    let held = tokio::spawn(async move {
        store
            .write("held", move |db| {
                began.send(()).expect("the test listens");
                wait.recv().expect("the test lets go");
                insert("held")(db)
            })
            .await
    });
    tokio::task::block_in_place(|| begun.recv().expect("the write begins"));
    (go, held)
}

#[tokio::test(flavor = "multi_thread", worker_threads = 4)]
async fn a_write_whose_group_is_rolled_back_is_answered_as_lost() {
    let desk = Desk::open().await;
    let (go, held) = hold(&desk.store);
    let mut breaking = Box::pin(desk.store.write("other", |db| {
        // as SQLite does by itself on a full disk: the whole transaction is gone
        Ok::<_, StoreError>(db.batch_execute("ROLLBACK")?)
    }));
    // one look puts it in the queue behind the held write, so the two share a group
    let waits = poll_fn(|context| Poll::Ready(breaking.as_mut().poll(context).is_pending())).await;
    assert!(waits);
    go.send(()).expect("the write waits");
    let (broken, held) = (breaking.await, held.await.expect("the task ends"));
    if desk.store.is_embedded() {
        assert!(broken.is_err(), "nothing of a broken group may be called done");
        assert!(matches!(held, Err(StoreError::NotCommitted)), "{held:?}");
    } else {
        held.expect("a transaction of its own, which nobody broke");
    }
    assert_eq!(exists(&desk, "held").await, !desk.store.is_embedded());
    desk.store
        .write("next", insert("next"))
        .await
        .expect("the next write works");
    assert!(exists(&desk, "next").await);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_full_disk_is_told_and_nothing_half_done_stays() {
    let desk = Desk::open().await;
    if !desk.store.is_embedded() {
        // the server's disk is not ours to fill; a statement that fails stands for it
        let failed: StoreResult<()> = desk
            .store
            .write("full", |db| {
                insert("full")(db)?;
                Ok(db.batch_execute("SELECT 1 / 0")?)
            })
            .await;
        assert!(failed.is_err());
        assert!(!exists(&desk, "full").await);
        return;
    }
    let filled: StoreResult<()> = desk
        .store
        .write("full", |db| {
            db.batch_execute("PRAGMA max_page_count = 1")?; // SQLite: not below what is in use
            for number in 0..1_000 {
                let record = format!("{{\"note\":\"{}\"}}", "x".repeat(4_000));
                tournaments::insert(db, &tournament(&format!("full-{number}"), &record))?;
            }
            Ok(())
        })
        .await;
    assert!(filled.is_err(), "a thousand pages do not fit");
    assert!(!exists(&desk, "full-0").await);
    let raised: StoreResult<()> = desk
        .store
        .write(TOURNAMENT, |db| {
            Ok(db.batch_execute("PRAGMA max_page_count = 1000000")?)
        })
        .await;
    raised.expect("the writer lives on");
    desk.store
        .write("next", insert("next"))
        .await
        .expect("the next write works");
    assert!(exists(&desk, "next").await);
}
