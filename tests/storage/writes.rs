//! A write is all there or not there, one after the other, whatever becomes of its neighbours.
use weftdesk::storage::events::{self, Event};
use weftdesk::storage::{Db, Store, StoreError, StoreResult, tournaments};

use crate::desk::{Desk, TOURNAMENT, at};

/// Appends the next entry of the log and answers its number, as every use case does.
fn append(db: &mut Db) -> StoreResult<i64> {
    let last = tournaments::enter(db, TOURNAMENT)?.expect("the tournament is there");
    let event = Event {
        tournament_id: TOURNAMENT.to_owned(),
        sequence: last + 1,
        id: format!("event-{}", last + 1),
        kind: "racket.registered".to_owned(),
        subject: "racket-1".to_owned(),
        at: at("2026-06-01T08:00:00Z"),
        device_at: None,
        account_id: None,
        device_id: None,
        data: "{}".to_owned(),
    };
    events::append(db, &event)?;
    tournaments::raise_sequence(db, TOURNAMENT, last + 1)?;
    Ok(last + 1)
}

async fn write(store: &Store) -> StoreResult<i64> {
    store.write(TOURNAMENT, append).await
}

/// The numbers in the log, which must be those that were answered.
async fn logged(desk: &Desk) -> Vec<i64> {
    let entries = desk.read(|db| events::after(db, TOURNAMENT, 0, 10_000)).await;
    let newest = desk.tournament().await.sequence;
    let numbers: Vec<i64> = entries.iter().map(|entry| entry.sequence).collect();
    assert_eq!(numbers.last().copied().unwrap_or(0), newest);
    numbers
}

#[tokio::test(flavor = "multi_thread")]
async fn writes_at_once_leave_a_log_without_gap_or_double() {
    let desk = Desk::open().await;
    let clients: Vec<_> = (0..16)
        .map(|_| {
            let store = desk.store.clone();
            tokio::spawn(async move {
                let mut answered = Vec::new();
                for _ in 0..8 {
                    answered.push(write(&store).await.expect("the write is kept"));
                }
                answered
            })
        })
        .collect();
    let mut answered = Vec::new();
    for client in clients {
        let own = client.await.expect("the client ends");
        assert!(own.is_sorted(), "a later write has a later number: {own:?}");
        answered.extend(own);
    }
    answered.sort_unstable();
    assert_eq!(answered, (1..=128).collect::<Vec<_>>());
    assert_eq!(logged(&desk).await, answered);
}

#[tokio::test]
async fn a_refused_write_leaves_nothing_and_the_next_one_works() {
    let desk = Desk::open().await;
    let refused: StoreResult<()> = desk
        .store
        .write(TOURNAMENT, |db| {
            append(db)?;
            Err(StoreError::Vanished("what was asked for".to_owned()))
        })
        .await;
    assert!(matches!(refused, Err(StoreError::Vanished(_))));
    assert!(logged(&desk).await.is_empty());
    assert_eq!(write(&desk.store).await.expect("the write is kept"), 1);
}

#[tokio::test]
async fn a_panicking_write_leaves_nothing_and_the_next_one_works() {
    let desk = Desk::open().await;
    let broken: StoreResult<()> = desk
        .store
        .write(TOURNAMENT, |db| {
            append(db)?;
            std::panic::panic_any("a fault in a use case")
        })
        .await;
    assert!(matches!(broken, Err(StoreError::Panicked)));
    assert!(logged(&desk).await.is_empty());
    assert_eq!(write(&desk.store).await.expect("the write is kept"), 1);
}

#[tokio::test]
async fn what_was_answered_is_there_after_opening_again() {
    let desk = Desk::open().await;
    write(&desk.store).await.expect("the write is kept");
    let address = desk.store.address().to_owned();
    let again = Store::open(&address).expect("the store opens a second time");
    let newest = again.read(|db| events::newest(db, TOURNAMENT)).await;
    assert_eq!(newest.expect("the query runs"), 1);
}
