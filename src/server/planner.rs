//! Plans anew after every event that matters: one planner per tournament.
use std::collections::BTreeMap;
use std::time::{Duration, Instant};

use actix_web::rt;
use tokio::sync::broadcast::error::RecvError;

use crate::desk::schedule::replan::replan;
use crate::desk::{Advance, Desk, DeskError, reads};

/// All tournaments are looked at this often, whatever was announced: whoever
/// committed an event plans for it at once; if that instance is gone, another does it now.
const LOOK: Duration = Duration::from_secs(3);
/// In a rush of events the planner rests so many times as long as it last worked: it never takes
/// more than a fifth of a core from the counter.
const REST: u32 = 4;

/// Starts planning on the current thread.
pub(super) fn start(desk: &Desk) {
    rt::spawn(plan(desk.clone()));
}

async fn plan(desk: Desk) {
    let mut bell = desk.listen();
    let mut look = tokio::time::interval(LOOK);
    look.set_missed_tick_behavior(tokio::time::MissedTickBehavior::Delay);
    loop {
        let mut grown: BTreeMap<String, i64> = BTreeMap::new();
        let mut gather = |advance: Advance| {
            if advance.committed_here {
                grown.insert(advance.tournament_id, advance.sequence);
            }
        };
        tokio::select! {
            heard = bell.recv() => match heard {
                Ok(advance) => gather(advance),
                Err(RecvError::Lagged(_)) => continue,
                Err(RecvError::Closed) => return,
            },
            _ = look.tick() => {
                let all = desk.read(|db| Ok::<_, DeskError>(reads::tournaments::all(db)?));
                for tournament in all.await.unwrap_or_default() {
                    grown.insert(tournament.id, tournament.sequence);
                }
            }
        }
        while let Ok(advance) = bell.try_recv() {
            if advance.committed_here {
                grown.insert(advance.tournament_id, advance.sequence);
            }
        }
        let began = Instant::now();
        let mut idle = Duration::ZERO;
        for tournament in grown.keys() {
            match replan(&desk, tournament).await {
                Ok(done) => idle += done.idle,
                Err(error) => {
                    tracing::warn!(%error, tournament, "no plan could be made; stations pull by the plain rule");
                }
            }
        }
        tokio::time::sleep(began.elapsed().saturating_sub(idle) * REST).await;
    }
}
