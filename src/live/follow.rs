//! Following one tournament's log from a number onwards, for as long as somebody listens.
use std::time::Duration;

use futures_util::stream::{self, Stream};
use tokio::sync::broadcast::Receiver;
use tokio::sync::broadcast::error::RecvError;

use crate::desk::log::{LogEntry, entries_after};
use crate::desk::{Advance, Desk};

/// How many entries are fetched at a time.
const BATCH: i64 = 200;
/// A listener looks for itself this often, whatever it was told.
const LOOK: Duration = Duration::from_secs(1);

struct Follower {
    desk: Desk,
    bell: Receiver<Advance>,
    tournament: String,
    after: i64,
    ready: std::vec::IntoIter<LogEntry>,
}

/// The entries of `tournament`'s log after number `after`, past and to come, in order.
pub fn entries(desk: Desk, tournament: String, after: i64) -> impl Stream<Item = LogEntry> {
    // the bell is heard from before the first look, so that nothing falls between
    let bell = desk.listen();
    let follower = Follower {
        desk,
        bell,
        tournament,
        after,
        ready: Vec::new().into_iter(),
    };
    stream::unfold(follower, |mut follower| async move {
        loop {
            if let Some(entry) = follower.ready.next() {
                follower.after = entry.sequence;
                return Some((entry, follower));
            }
            follower.fetch().await;
            if follower.ready.len() == 0 {
                follower.wait().await;
            }
        }
    })
}

impl Follower {
    async fn fetch(&mut self) {
        let (tournament, after) = (self.tournament.clone(), self.after);
        match self
            .desk
            .read(move |db| entries_after(db, &tournament, after, BATCH))
            .await
        {
            Ok(entries) => self.ready = entries.into_iter(),
            // the next look may do better; a stream does not end for a busy database
            Err(error) => tracing::warn!(%error, "the log could not be read"),
        }
    }

    /// Until the log of this tournament may have grown.
    async fn wait(&mut self) {
        let rung = async {
            loop {
                match self.bell.recv().await {
                    Ok(advance) if advance.tournament_id != self.tournament => {}
                    Ok(_) | Err(RecvError::Lagged(_)) => return,
                    // the desk is gone: only the slow look is left
                    Err(RecvError::Closed) => std::future::pending().await,
                }
            }
        };
        // running into the time limit is the slow look
        drop(tokio::time::timeout(LOOK, rung).await);
    }
}
