//! PostgreSQL only: telling the other instances that a log has grown, and hearing it from them.
//!
//! A notice carries no event, only "this log has reached this number"; readers
//! read the log. Notices go out after the commit, at most one per tournament
//! each 20 ms.
use std::collections::HashMap;
use std::time::Duration;

use tokio::sync::broadcast::error::RecvError;

use crate::desk::{Advance, Desk};
use crate::storage::notices::{self, Notices};

/// The first notice goes out at once; what follows within this time goes together.
const GATHER: Duration = Duration::from_millis(20);
/// How often the listening connection is asked.
const POLL: Duration = Duration::from_millis(50);
/// How long to wait before connecting again.
const RECONNECT: Duration = Duration::from_millis(500);

/// Starts both directions; does nothing for the embedded database.
pub fn start(desk: &Desk) {
    if desk.store().is_embedded() {
        return;
    }
    tokio::spawn(tell(desk.clone()));
    let (desk, address) = (desk.clone(), desk.store().address().to_owned());
    let heard = move |advance| desk.announce(advance);
    let started = std::thread::Builder::new()
        .name("notices".to_owned())
        .spawn(move || hear(&address, &heard));
    if let Err(error) = started {
        tracing::error!(%error, "no thread to hear other instances; readers look each second");
    }
}

async fn tell(desk: Desk) {
    let mut bell = desk.listen();
    loop {
        let mut news: HashMap<String, i64> = HashMap::new();
        let mut gather = |advance: Advance| {
            // what another instance committed is told by that instance
            if advance.committed_here {
                news.insert(advance.tournament_id, advance.sequence);
            }
        };
        match bell.recv().await {
            Ok(advance) => gather(advance),
            Err(RecvError::Lagged(_)) => continue,
            Err(RecvError::Closed) => return,
        }
        while let Ok(advance) = bell.try_recv() {
            gather(advance);
        }
        if news.is_empty() {
            continue;
        }
        let sent = desk.read(move |db| {
            for (tournament, sequence) in &news {
                notices::send(db, tournament, *sequence)?;
            }
            Ok(())
        });
        if let Err(error) = sent.await {
            tracing::warn!(%error, "other instances could not be told; they look each second");
        }
        tokio::time::sleep(GATHER).await;
    }
}

fn hear(address: &str, heard: &dyn Fn(Advance)) {
    loop {
        match Notices::listen(address) {
            Ok(mut notices) => loop {
                match notices.poll() {
                    Ok(grown) => {
                        for (tournament_id, sequence) in grown {
                            heard(Advance {
                                tournament_id,
                                sequence,
                                committed_here: false,
                            });
                        }
                    }
                    Err(error) => {
                        tracing::warn!(%error, "the listening connection was lost");
                        break;
                    }
                }
                std::thread::sleep(POLL);
            },
            Err(error) => tracing::warn!(%error, "cannot listen for other instances"),
        }
        std::thread::sleep(RECONNECT);
    }
}
