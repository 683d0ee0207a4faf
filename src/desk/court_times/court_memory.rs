//! What this process has computed and read of matches and need not compute or read again.
use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use crate::craft::match_times::events::CourtEvent;
use crate::craft::match_times::length::{Lengths, MatchKind};
use crate::craft::match_times::order::OrderOfPlay;
use crate::desk::refusal::DeskResult;
use crate::forms::court_events;
use crate::storage::court_times::{DayOrder, StoredEvent};

/// More days than are looked at in one tournament; beyond this they are read anew.
const DAYS: usize = 64;

/// Lengths of matches, and the stored orders and events as they were read last. Each takes far longer to
/// compute or to read than to use. Cheap to clone; clones share.
#[derive(Debug, Clone, Default)]
pub struct CourtMemory {
    lengths: Arc<Mutex<Lengths>>,
    days: Arc<Mutex<HashMap<(String, String), ReadDay>>>,
}

/// A day's texts with what they say.
#[derive(Debug, Default)]
struct ReadDay {
    order: Option<(String, OrderOfPlay)>,
    /// By source and number.
    events: HashMap<(String, i64), (String, Option<CourtEvent>)>,
}

impl CourtMemory {
    /// Computes with the lengths that are known.
    pub fn with_lengths<T>(&self, work: impl FnOnce(&mut Lengths) -> T) -> T {
        work(&mut self.lengths.lock().unwrap_or_else(PoisonError::into_inner))
    }

    /// Sees to it that the length of such matches is known; nobody else waits while it is computed.
    pub fn know(&self, kind: &MatchKind, retirement: f64) {
        if !self.with_lengths(|known| known.knows(kind, retirement)) {
            let length = Lengths::computed(kind, retirement);
            self.with_lengths(|known| known.keep(kind, retirement, length));
        }
    }

    /// The order of play in a row: read by `read`, unless this very text was read before.
    ///
    /// # Errors
    /// What `read` refuses, which is not remembered.
    pub fn order(
        &self,
        row: &DayOrder,
        read: impl FnOnce(&DayOrder) -> DeskResult<OrderOfPlay>,
    ) -> DeskResult<OrderOfPlay> {
        let known = self.with_day(&row.tournament_id, &row.day, |day| {
            let (text, order) = day.order.as_ref()?;
            (*text == row.record).then(|| order.clone())
        });
        if let Some(order) = known {
            return Ok(order);
        }
        let order = read(row)?;
        self.with_day(&row.tournament_id, &row.day, |day| {
            day.order = Some((row.record.clone(), order.clone()));
        });
        Ok(order)
    }

    /// What the rows of one day say, in their order; a row that cannot be read is left out.
    #[must_use]
    pub fn events(&self, tournament: &str, day: &str, rows: &[StoredEvent]) -> Vec<CourtEvent> {
        self.with_day(tournament, day, |known| {
            let read = rows.iter().filter_map(|row| {
                let said = known
                    .events
                    .entry((row.src.clone(), row.n))
                    .and_modify(|(text, event)| {
                        if *text != row.record {
                            *event = court_events::event(&row.record).ok();
                            text.clone_from(&row.record);
                        }
                    })
                    .or_insert_with(|| (row.record.clone(), court_events::event(&row.record).ok()));
                said.1.clone()
            });
            read.collect()
        })
    }

    fn with_day<T>(&self, tournament: &str, day: &str, work: impl FnOnce(&mut ReadDay) -> T) -> T {
        let mut days = self.days.lock().unwrap_or_else(PoisonError::into_inner);
        let key = (tournament.to_owned(), day.to_owned());
        if days.len() >= DAYS && !days.contains_key(&key) {
            days.clear();
        }
        work(days.entry(key).or_default())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::storage::At;

    fn event(n: i64, record: &str) -> StoredEvent {
        StoredEvent {
            tournament_id: "t".into(),
            src: "referee".into(),
            n,
            day: "2026-05-02".into(),
            at: At::from(chrono::DateTime::UNIX_EPOCH),
            record: record.into(),
        }
    }

    fn told(kind: &str) -> String {
        format!(
            r#"{{"src": "referee", "n": 1, "at": "2026-05-02T10:00:00Z", "match": "M1", "type": "{kind}"}}"#
        )
    }

    #[test]
    fn an_event_that_was_replaced_is_read_anew() {
        let memory = CourtMemory::default();
        let say = |record: &str| {
            let rows = [event(1, record)];
            let said = memory.events("t", "2026-05-02", &rows);
            said.into_iter().map(|event| event.what).collect::<Vec<_>>()
        };
        let called = say(&told("called"));
        assert_eq!(called.len(), 1, "a stored event can be read");
        assert_eq!(say(&told("called")), called);
        let started = say(&told("started"));
        assert_eq!(started.len(), 1);
        assert_ne!(started, called, "the same number says something else now");
        assert!(say("{").is_empty(), "what cannot be read is left out");
    }

    #[test]
    fn an_order_is_read_once_until_its_text_changes() {
        let memory = CourtMemory::default();
        let row = |record: &str| DayOrder {
            tournament_id: "t".into(),
            day: "2026-05-02".into(),
            record: record.into(),
            version: 1,
            changed_at: At::from(chrono::DateTime::UNIX_EPOCH),
        };
        let text = "day,court,seq,match_id,draw,format,start_rule,start_time,side1,side2\n\
                    2026-05-02,1,1,M1,MS,bo3_tb,starting_at,11:00,p1,p2\n";
        let known = crate::forms::order_of_play::Known {
            zone: Some(chrono_tz::UTC),
            ..crate::forms::order_of_play::Known::default()
        };
        let mut times_read = 0;
        let mut order = |record: &str| {
            let read = memory.order(&row(record), |row| {
                times_read += 1;
                Ok(crate::forms::order_of_play::read(&row.record, &known)
                    .expect("an order")
                    .order)
            });
            (read.expect("an order"), times_read)
        };
        let (first, once) = order(text);
        assert_eq!(order(text), (first.clone(), once), "known");
        let (moved, twice) = order(&text.replace("11:00", "12:00"));
        assert_eq!(twice, 2, "another text is read");
        assert_ne!(moved, first);
    }
}
