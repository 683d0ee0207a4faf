//! What is kept comes back as it was given.
use serde::{Deserialize, Serialize};
use weftdesk::storage::{StoreError, from_record, to_record, tournaments};

use crate::desk::{Desk, TOURNAMENT, at, tournament};

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
struct Settings {
    greeting: String,
    tension_n: f64,
    counts: Vec<i64>,
    sponsor: Option<String>,
}

#[tokio::test]
async fn a_json_record_comes_back_equal() {
    let settings = Settings {
        greeting: "\"Bienvenue\" \\ 欢迎 \u{202e}مرحبا\u{202c} 🎾\n".to_owned(),
        tension_n: 0.1 + 0.2,
        counts: vec![i64::MIN, 0, i64::MAX],
        sponsor: None,
    };
    let desk = Desk::open().await;
    let row = tournament("second", &to_record(&settings).expect("it has a JSON form"));
    let mut kept = desk
        .store
        .write("second", move |db| {
            tournaments::insert(db, &row)?;
            tournaments::find(db, "second")
        })
        .await
        .expect("it is written")
        .expect("it is there");
    assert_eq!(
        from_record::<Settings>(&kept.record).expect("it fits its type"),
        settings
    );
    kept.record = to_record(&Settings {
        counts: vec![7],
        ..settings.clone()
    })
    .expect("it has a JSON form");
    desk.store
        .write("second", move |db| tournaments::save(db, &mut kept))
        .await
        .expect("it is saved");
    let read = desk
        .read(|db| tournaments::find(db, "second"))
        .await
        .expect("it is there");
    assert_eq!(read.version, 2);
    assert_eq!(
        from_record::<Settings>(&read.record).expect("it fits").counts,
        [7]
    );
}

#[tokio::test]
async fn a_moment_comes_back_cut_to_the_millisecond() {
    let desk = Desk::open().await;
    assert_eq!(desk.tournament().await.created_at, at("2026-06-01T07:30:00.123Z"));
}

#[tokio::test]
async fn a_record_that_does_not_fit_its_type_is_told_apart_from_a_missing_row() {
    let desk = Desk::open().await;
    let kept = desk.tournament().await;
    assert!(matches!(
        from_record::<Settings>(&kept.record),
        Err(StoreError::Record(_))
    ));
    let missing = desk.read(|db| tournaments::find(db, "nowhere")).await;
    assert!(missing.is_none());
    assert_eq!(kept.id, TOURNAMENT);
}
