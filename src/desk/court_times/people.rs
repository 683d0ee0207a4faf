//! How an order of play may write its players: by id, by badge, or by a name that only one of them has.
use std::collections::{BTreeMap, BTreeSet};

use chrono_tz::Tz;

use crate::craft::match_times::order::{Match, OrderOfPlay};
use crate::craft::search_key::search_key;
use crate::desk::records::PlayerRecord;
use crate::desk::refusal::DeskResult;
use crate::forms::order_of_play::Known;
use crate::storage::{Db, from_record, players};

/// The players of a tournament as an order of play may write them.
pub struct People {
    players: BTreeSet<String>,
    called: BTreeMap<String, Vec<String>>,
}

impl People {
    /// All there are. Each is kept as the standing order writes them, else by badge, else by id.
    ///
    /// # Errors
    /// [`DeskError::Storage`](crate::desk::DeskError).
    pub fn of(db: &mut Db, tournament: &str, standing: Option<&OrderOfPlay>) -> DeskResult<Self> {
        let matches = standing.into_iter().flat_map(|standing| &standing.matches);
        let used: BTreeSet<&str> = matches.flat_map(Match::players).collect();
        let (mut names, mut called) = (BTreeSet::new(), BTreeMap::<String, Vec<String>>::new());
        for player in players::search(db, tournament, "", i64::MAX)? {
            let record: PlayerRecord = from_record(&player.record)?;
            let by_id = used.contains(player.id.as_str());
            let written = player
                .badge
                .as_ref()
                .filter(|badge| !by_id || used.contains(badge.as_str()));
            let written = written.unwrap_or(&player.id);
            let keys: BTreeSet<String> = [
                Some(&player.display_name),
                record.latin_name.as_ref(),
                record.sort_name.as_ref(),
            ]
            .into_iter()
            .flatten()
            .map(|name| search_key(name))
            .collect();
            for key in keys {
                called.entry(key).or_default().push(written.clone());
            }
            names.extend(player.badge);
            names.insert(player.id);
        }
        Ok(Self {
            players: names,
            called,
        })
    }

    /// What is known besides the text of an order: the zone, the courts of the standing order, these players.
    #[must_use]
    pub fn known(&self, zone: Tz, standing: Option<&OrderOfPlay>) -> Known<'_> {
        Known {
            zone: Some(zone),
            courts: standing
                .map(|standing| standing.courts.clone())
                .unwrap_or_default(),
            players: Some(&self.players),
            called: Some(&self.called),
        }
    }
}
