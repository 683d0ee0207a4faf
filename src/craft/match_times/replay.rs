//! The day as its events tell it: changed order, states of matches, stops.
use std::collections::BTreeSet;

use chrono::{DateTime, TimeDelta, Utc};

use super::day_state::{DayState, Ended, MatchState, Outcome, Stop};
use super::events::{CourtEvent, EventFault, EventRemark, Happened, MatchEvent, in_order};
use super::order::OrderOfPlay;
use super::order_faults::{Refusal, Remark};
use super::score::LiveScore;

/// The day after all events.
#[derive(Debug, Clone, PartialEq)]
pub struct Replayed {
    /// The order of play with all moves in it.
    pub order: OrderOfPlay,
    /// What happened.
    pub state: DayState,
    /// What is worth a word.
    pub remarks: Vec<EventRemark>,
}

type Told = Result<(), (Refusal, String)>;

/// Tells the day anew from all its events.
///
/// # Errors
/// Every event that cannot be, with its place in `events`; then nothing counts.
pub fn replay(order: &OrderOfPlay, events: &[CourtEvent]) -> Result<Replayed, Vec<EventFault>> {
    let (places, remarks) = in_order(events)?;
    let mut day = Replayed {
        order: order.clone(),
        state: DayState::default(),
        remarks,
    };
    let mut faults = Vec::new();
    for place in places {
        if let Err((refusal, detail)) = day.tell(place, &events[place]) {
            faults.push(EventFault {
                place,
                refusal,
                detail,
            });
        }
    }
    faults.sort_by_key(|fault| fault.place);
    if faults.is_empty() { Ok(day) } else { Err(faults) }
}

impl Replayed {
    fn tell(&mut self, place: usize, event: &CourtEvent) -> Told {
        if let Some((first, last)) = self.order.bounds()
            && !(first..=last).contains(&event.at)
        {
            let detail = format!(
                "{} is not on {}; send it for its own day",
                event.at, self.order.day
            );
            return Err((Refusal::OtherDay, detail));
        }
        match &event.what {
            Happened::Match(id, what) => self.tell_match(place, event.at, id, what),
            Happened::Suspended {
                courts,
                reason,
                expected,
            } => self.suspend(event.at, courts, reason, *expected),
            Happened::Resumed { courts } => self.resume(event.at, courts),
            Happened::Reordered {
                court,
                matches,
                version,
            } => self.reorder(court, matches, *version),
            Happened::Withdrawn { .. } => Ok(()),
        }
    }

    fn tell_match(&mut self, place: usize, at: DateTime<Utc>, id: &str, what: &MatchEvent) -> Told {
        let Some(court) = self.order.find(id).map(|played| played.court.clone()) else {
            let detail = format!("match {id} is not in the order of play of {}", self.order.day);
            return Err((Refusal::UnknownMatch, detail));
        };
        match what {
            MatchEvent::Called => {
                self.infer_finish(place, at, id, &court);
                self.open(id)?.called_at.get_or_insert(at);
                Ok(())
            }
            MatchEvent::Started { server } => {
                self.infer_finish(place, at, id, &court);
                self.start(id, at, *server)
            }
            MatchEvent::Score(score) => {
                self.infer_finish(place, at, id, &court);
                self.score(id, at, score, false)
            }
            MatchEvent::Corrected { score, .. } => self.score(id, at, score, true),
            MatchEvent::Over { how, winner, sets } => self.end(id, at, *how, *winner, sets),
            MatchEvent::Moved { court, seq, version } => self.move_match(id, court, *seq, *version),
            MatchEvent::StartRule { start, version } => {
                self.take_version(*version)?;
                if let Some(played) = self.order.matches.iter_mut().find(|played| played.id == id) {
                    played.start = *start;
                }
                Ok(())
            }
        }
    }

    /// The state of a match that is not over.
    fn open(&mut self, id: &str) -> Result<&mut MatchState, (Refusal, String)> {
        let state = self.state.matches.entry(id.to_owned()).or_default();
        if state.ended.is_some() {
            return Err((
                Refusal::WrongState,
                format!("match {id} is over; correct the event that ended it"),
            ));
        }
        Ok(state)
    }

    fn start(&mut self, id: &str, at: DateTime<Utc>, server: Option<u8>) -> Told {
        if server.is_some_and(|side| side != 1 && side != 2) {
            return Err((Refusal::NotAScore, "a server is side 1 or side 2".to_owned()));
        }
        let carried = self.order.find(id).and_then(|played| played.carried.clone());
        let state = self.open(id)?;
        state.started_at.get_or_insert(at);
        if state.score.is_none() {
            let mut score = carried.unwrap_or_default();
            score.first_server = score.first_server.or(server);
            if server.is_some() || !score.sets.is_empty() || score.games != [0, 0] {
                state.score = Some((score, at));
            }
        }
        Ok(())
    }

    fn score(&mut self, id: &str, at: DateTime<Utc>, score: &LiveScore, corrects: bool) -> Told {
        let Some(format) = self.order.find(id).map(|played| played.format) else {
            return Ok(());
        };
        if let Err(fault) = score.standing(&format) {
            return Err((Refusal::NotAScore, fault.to_string()));
        }
        let state = self.open(id)?;
        if let Some((before, _)) = &state.score
            && !corrects
            && before.goes_backward_to(score)
        {
            let detail =
                format!("the score of match {id} becomes less; send it as type \"corrected\" if it is right");
            return Err((Refusal::ScoreBackward, detail));
        }
        // who reports a score has seen the match begin
        state.started_at.get_or_insert(at);
        let mut score = score.clone();
        let known = state.score.as_ref().and_then(|(before, _)| before.first_server);
        score.first_server = score.first_server.or(known);
        state.score = Some((score, at));
        Ok(())
    }

    fn end(
        &mut self,
        id: &str,
        at: DateTime<Utc>,
        how: Outcome,
        winner: Option<u8>,
        sets: &[[u8; 2]],
    ) -> Told {
        if winner.is_some_and(|side| side != 1 && side != 2) {
            return Err((Refusal::NotAScore, "a winner is side 1 or side 2".to_owned()));
        }
        let need = self.order.find(id).map_or(0, |played| played.format.need());
        let won = LiveScore {
            sets: sets.to_vec(),
            ..LiveScore::default()
        }
        .sets_won();
        if how == Outcome::Completed && !sets.is_empty() {
            let by_sets = won
                .iter()
                .position(|sets| *sets == need)
                .and_then(|side| u8::try_from(side + 1).ok());
            if by_sets.is_none() || (winner.is_some() && winner != by_sets) {
                let detail =
                    format!("the sets {sets:?} do not give match {id} to that side; {need} sets win it");
                return Err((Refusal::NotAScore, detail));
            }
        }
        let state = self.state.matches.entry(id.to_owned()).or_default();
        match &state.ended {
            // the end that was only inferred gives way to the one that is reported
            Some(ended) if !ended.inferred => Err((
                Refusal::WrongState,
                format!("match {id} is over already; correct the event that ended it"),
            )),
            _ => {
                state.ended = Some(Ended {
                    at,
                    how,
                    winner,
                    inferred: false,
                });
                Ok(())
            }
        }
    }

    /// A match that was under way on the court must be over when the next one begins.
    fn infer_finish(&mut self, place: usize, at: DateTime<Utc>, id: &str, court: &str) {
        let begins = self
            .state
            .of(id)
            .is_none_or(|state| !state.is_live() && state.ended.is_none());
        if !begins {
            return;
        }
        let turnaround = TimeDelta::minutes(self.order.defaults.handover.turnaround_min);
        let others: Vec<String> = self
            .order
            .matches
            .iter()
            .filter(|other| other.court == court && other.id != id)
            .map(|other| other.id.clone())
            .collect();
        for other in others {
            let Some(state) = self.state.matches.get_mut(&other) else {
                continue;
            };
            let Some(started) = state.started_at.filter(|_| state.ended.is_none()) else {
                continue;
            };
            let over = (at - turnaround).max(started);
            state.ended = Some(Ended {
                at: over,
                how: Outcome::Completed,
                winner: None,
                inferred: true,
            });
            let detail = format!("match {other} was taken to be over, because match {id} began on its court");
            self.remarks.push(EventRemark {
                place,
                remark: Remark::FinishInferred,
                detail,
            });
        }
    }

    fn known_courts(&self, courts: &[String]) -> Told {
        match courts.iter().find(|court| self.order.court(court).is_none()) {
            Some(court) => Err((
                Refusal::UnknownCourt,
                format!("court {court} is not in the order of play"),
            )),
            None => Ok(()),
        }
    }

    fn suspend(
        &mut self,
        at: DateTime<Utc>,
        courts: &[String],
        reason: &str,
        expected: Option<DateTime<Utc>>,
    ) -> Told {
        self.known_courts(courts)?;
        for court in courts {
            let open = self
                .state
                .stops
                .iter_mut()
                .rfind(|stop| stop.court == *court && stop.until.is_none());
            if let Some(stop) = open {
                // said again: only the estimate is new
                stop.expected = expected.or(stop.expected);
                continue;
            }
            self.state.stops.push(Stop {
                court: court.clone(),
                from: at,
                until: None,
                expected,
                reason: reason.to_owned(),
            });
        }
        Ok(())
    }

    fn resume(&mut self, at: DateTime<Utc>, courts: &[String]) -> Told {
        self.known_courts(courts)?;
        for stop in &mut self.state.stops {
            if courts.contains(&stop.court) && stop.until.is_none() {
                stop.until = Some(at.max(stop.from));
            }
        }
        Ok(())
    }

    fn take_version(&mut self, version: u32) -> Told {
        if version <= self.order.version {
            let detail = format!(
                "version {version} is not after version {}; read the order of play again and change that",
                self.order.version
            );
            return Err((Refusal::StaleVersion, detail));
        }
        self.order.version = version;
        Ok(())
    }

    fn move_match(&mut self, id: &str, court: &str, seq: u16, version: u32) -> Told {
        self.known_courts(&[court.to_owned()])?;
        let live = self.state.of(id).is_some_and(MatchState::is_live);
        let behind_waiting = self.order.matches.iter().any(|other| {
            other.court == court && other.id != id && other.seq < seq && self.state.of(&other.id).is_none()
        });
        if live && behind_waiting {
            let detail = format!("match {id} is under way; it cannot go behind one that waits");
            return Err((Refusal::LiveMatchMoved, detail));
        }
        self.take_version(version)?;
        for other in &mut self.order.matches {
            // whoever stands there, and all behind, make room
            if other.court == court && other.id != id && other.seq >= seq {
                other.seq = other.seq.saturating_add(1);
            }
        }
        if let Some(played) = self.order.matches.iter_mut().find(|played| played.id == id) {
            court.clone_into(&mut played.court);
            played.seq = seq;
        }
        Ok(())
    }

    fn reorder(&mut self, court: &str, matches: &[String], version: u32) -> Told {
        self.known_courts(&[court.to_owned()])?;
        let given: BTreeSet<&str> = matches.iter().map(String::as_str).collect();
        if given.len() != matches.len() {
            return Err((
                Refusal::MatchTwice,
                "a match stands twice in the new sequence".to_owned(),
            ));
        }
        if let Some(unknown) = matches
            .iter()
            .find(|id| self.order.find(id).is_none_or(|played| played.court != court))
        {
            return Err((
                Refusal::UnknownMatch,
                format!("match {unknown} is not on court {court}"),
            ));
        }
        let over = |id: &str| self.state.of(id).is_some_and(|state| state.ended.is_some());
        let left_out =
            self.order.matches.iter().find(|played| {
                played.court == court && !given.contains(played.id.as_str()) && !over(&played.id)
            });
        if let Some(left_out) = left_out {
            let detail = format!(
                "match {} of court {court} is left out; give its whole sequence",
                left_out.id
            );
            return Err((Refusal::Missing, detail));
        }
        let live = matches
            .iter()
            .position(|id| self.state.of(id).is_some_and(MatchState::is_live));
        if live.is_some_and(|place| matches[..place].iter().any(|id| !over(id))) {
            return Err((
                Refusal::LiveMatchMoved,
                "a match under way cannot go behind one that waits".to_owned(),
            ));
        }
        self.take_version(version)?;
        // matches that are over keep their places in front
        let behind = self
            .order
            .matches
            .iter()
            .filter(|played| played.court == court && !given.contains(played.id.as_str()))
            .map(|played| played.seq)
            .max()
            .unwrap_or(0);
        for (seq, id) in (behind.saturating_add(1)..).zip(matches) {
            if let Some(played) = self.order.matches.iter_mut().find(|played| played.id == *id) {
                played.seq = seq;
            }
        }
        Ok(())
    }
}
