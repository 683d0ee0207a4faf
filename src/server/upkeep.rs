//! What a running service does by itself: follow matches, fold metrics, withdraw ended sessions, forget old keys and photos.
use std::time::Duration;

use actix_web::rt;
use actix_web::web::Data;
use chrono::TimeDelta;

use crate::access::{Access, token};
use crate::api::metrics;
use crate::desk::court_times::follow::follow_time;
use crate::desk::court_times::warm_lengths;
use crate::desk::{Caller, Desk, DeskError, DeskResult, racket_photos, reads};
use crate::storage::{At, idempotency, sessions};

/// How often metrics are folded together.
const FOLD: Duration = Duration::from_secs(5);
/// How long announcements are gathered before ended sessions are looked up.
const GATHER: Duration = Duration::from_millis(50);
/// Ended sessions are looked up this often, whatever was announced.
const LOOK: Duration = Duration::from_secs(2);
/// How often old keys and photos are forgotten.
const FORGET: Duration = Duration::from_secs(15 * 60);
/// How often ready-by times follow the time that passes.
const FOLLOW: Duration = Duration::from_secs(20);
/// How long an idempotency key is kept.
const KEY_KEPT: TimeDelta = TimeDelta::hours(48);

/// Starts all of it on the current thread.
pub(super) fn start(desk: &Desk, access: &Data<Access>) {
    rt::spawn(fold_metrics());
    rt::spawn(withdraw_ended_sessions(desk.clone(), access.clone()));
    rt::spawn(forget_old_keys(desk.clone()));
    rt::spawn(forget_old_photos(desk.clone(), FORGET));
    rt::spawn(follow_matches(desk.clone()));
}

/// Matches that go on longer, and courts that wait, move starts without any event.
async fn follow_matches(desk: Desk) {
    let mut tick = tokio::time::interval(FOLLOW);
    loop {
        tick.tick().await;
        match desk
            .read(|db| Ok::<_, DeskError>(reads::tournaments::all(db)?))
            .await
        {
            Ok(tournaments) => {
                for tournament in tournaments {
                    follow_one(&desk, &tournament.id).await;
                }
            }
            Err(error) => tracing::warn!(%error, "tournaments could not be looked up"),
        }
    }
}

async fn follow_one(desk: &Desk, tournament: &str) {
    let (caller, memory) = (Caller::system(tournament), desk.court_memory());
    let (whose, known) = (tournament.to_owned(), desk.court_memory());
    let warmed = desk.read(move |db| warm_lengths::of_days(db, &whose, &known));
    if let Err(error) = warmed.await {
        tracing::warn!(%error, "memory of matches could not be computed ahead");
    }
    let followed = desk.write(&caller, move |tx| follow_time(tx, &memory));
    if let Err(error) = followed.await {
        tracing::warn!(%error, "ready-by times could not follow their matches");
    }
}

async fn fold_metrics() {
    let mut tick = tokio::time::interval(FOLD);
    loop {
        tick.tick().await;
        metrics::upkeep();
    }
}

/// Whichever instance ended a session, this one refuses its tokens too. A first
/// look at the start covers what ended while the process was down.
async fn withdraw_ended_sessions(desk: Desk, access: Data<Access>) {
    let mut bell = desk.listen();
    loop {
        let since: At = (access.now() - token::ACCESS_LIFETIME).into();
        let ended = desk.read(move |db| Ok::<_, DeskError>(sessions::ended_since(db, since)?));
        match ended.await {
            Ok(ended) => ended.iter().for_each(|session| access.withdraw_session(session)),
            Err(error) => tracing::warn!(%error, "ended sessions could not be looked up"),
        }
        // a lagging or closed bell leaves the slow look
        let rung = tokio::time::timeout(LOOK, bell.recv()).await;
        if matches!(rung, Ok(Err(tokio::sync::broadcast::error::RecvError::Closed))) {
            return;
        }
        tokio::time::sleep(GATHER).await;
        while bell.try_recv().is_ok() {}
    }
}

async fn forget_old_keys(desk: Desk) {
    let mut tick = tokio::time::interval(FORGET);
    loop {
        tick.tick().await;
        let before: At = (desk.clock().wall() - KEY_KEPT).into();
        let forgotten = desk.store().write("", move |db| {
            Ok::<_, DeskError>(idempotency::forget_before(db, before)?)
        });
        match forgotten.await {
            Ok(0) => {}
            Ok(count) => tracing::info!(count, "idempotency keys older than 48 h were forgotten"),
            Err(error) => tracing::warn!(%error, "old idempotency keys could not be forgotten"),
        }
    }
}

/// Photos go the days after their racket has left that their tournament sets; a look now and `every` so often.
pub async fn forget_old_photos(desk: Desk, every: Duration) {
    let mut tick = tokio::time::interval(every);
    loop {
        tick.tick().await;
        match forget_photos(&desk).await {
            Ok(0) => {}
            Ok(count) => tracing::info!(count, "photos that were kept long enough were deleted"),
            Err(error) => tracing::warn!(%error, "old photos could not be deleted"),
        }
    }
}

async fn forget_photos(desk: &Desk) -> DeskResult<usize> {
    let mut forgotten = 0;
    for tournament in desk.read(|db| Ok(reads::tournaments::all(db)?)).await? {
        let (id, now) = (tournament.id, desk.clock().desk());
        let mut asked = id.clone();
        // a look first: a tournament with nothing to forget is not written to
        while desk
            .read(move |db| racket_photos::some_are_old(db, &asked, now))
            .await?
        {
            forgotten += desk
                .write(&Caller::system(&id), racket_photos::forget_old)
                .await?;
            asked = id.clone();
        }
    }
    Ok(forgotten)
}
