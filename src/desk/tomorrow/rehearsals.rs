//! Days are played one at a time on a thread of their own, and the last answers are kept.
use std::collections::VecDeque;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use tokio::sync::watch;

use crate::desk::tomorrow::{Odds, TomorrowFacts};

/// So many answers are kept.
const KEPT: usize = 24;
/// So many days may wait for their turn.
const WAITING: usize = 4;
/// How long somebody who asks waits for the answer before they are told that it is under way.
const PATIENCE: Duration = Duration::from_millis(700);

/// Whose day, and which facts.
type Mark = (String, u64);

/// The same day played by other facts: whose, when, with how many stations, opening when.
type Subject = (String, String, usize, i64);

struct Answer {
    mark: Mark,
    subject: Subject,
    /// Nothing where playing it failed.
    odds: Option<Arc<Odds>>,
}

/// How far an answer is.
#[derive(Debug, Clone)]
pub enum Progress {
    /// Here it is.
    Played(Arc<Odds>),
    /// Something has changed since this answer; the day is being played again.
    Earlier(Arc<Odds>),
    /// It is being played, or waits for its turn.
    UnderWay,
    /// Too many others wait; ask again later.
    Busy,
    /// Playing it failed.
    Failed,
}

#[derive(Default)]
struct Room {
    answers: VecDeque<Answer>,
    waiting: VecDeque<(Mark, TomorrowFacts)>,
    under_way: Option<Mark>,
}

/// The room in which days are played. Cheap to clone.
#[derive(Clone)]
pub struct Rehearsals {
    room: Arc<Mutex<Room>>,
    done: Arc<watch::Sender<u64>>,
}

impl Default for Rehearsals {
    fn default() -> Self {
        Self {
            room: Arc::default(),
            done: Arc::new(watch::channel(0).0),
        }
    }
}

impl Rehearsals {
    /// The odds of a day: kept, or played now.
    pub async fn odds(&self, tournament: &str, facts: &TomorrowFacts) -> Progress {
        let mark = (tournament.to_owned(), facts.mark());
        let mut done = self.done.subscribe();
        if let Some(known) = self.known_or_begun(&mark, facts) {
            return known;
        }
        let answered = async {
            while done.changed().await.is_ok() {
                if let Some(known) = self.answer(&mark) {
                    return known;
                }
            }
            Progress::UnderWay
        };
        let soon = tokio::time::timeout(PATIENCE, answered).await;
        soon.unwrap_or_else(|_elapsed| self.earlier(tournament, facts).unwrap_or(Progress::UnderWay))
    }

    /// The last answer for the same day: while play goes on its facts change faster than it can be played.
    fn earlier(&self, tournament: &str, facts: &TomorrowFacts) -> Option<Progress> {
        let subject = subject(tournament, facts);
        let room = self.lock();
        let mut of_it = room
            .answers
            .iter()
            .rev()
            .filter(|answer| answer.subject == subject);
        of_it.find_map(|answer| answer.odds.clone().map(Progress::Earlier))
    }

    fn lock(&self) -> MutexGuard<'_, Room> {
        self.room.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn answer(&self, mark: &Mark) -> Option<Progress> {
        let room = self.lock();
        let known = room.answers.iter().find(|answer| answer.mark == *mark)?;
        Some(known.odds.clone().map_or(Progress::Failed, Progress::Played))
    }

    /// The answer where it is known; else sees to it that the day is played.
    fn known_or_begun(&self, mark: &Mark, facts: &TomorrowFacts) -> Option<Progress> {
        if let Some(known) = self.answer(mark) {
            return Some(known);
        }
        let mut room = self.lock();
        let is_mine = |other: &Mark| other == mark;
        if room.under_way.as_ref().is_some_and(is_mine)
            || room.waiting.iter().any(|(other, _)| is_mine(other))
        {
            return None;
        }
        if room.waiting.len() >= WAITING {
            return Some(Progress::Busy);
        }
        room.waiting.push_back((mark.clone(), facts.clone()));
        if room.under_way.is_none() {
            let (mark, facts) = room.waiting.pop_front()?;
            room.under_way = Some(mark.clone());
            let myself = self.clone();
            let thread = std::thread::Builder::new().name("rehearsals".to_owned());
            if let Err(error) = thread.spawn(move || myself.work(mark, facts)) {
                tracing::error!(%error, "no thread to play a day on");
                room.under_way = None;
                return Some(Progress::Failed);
            }
        }
        None
    }

    /// Plays days until none waits.
    fn work(&self, mut mark: Mark, mut facts: TomorrowFacts) {
        loop {
            let played = catch_unwind(AssertUnwindSafe(|| facts.play()));
            if played.is_err() {
                tracing::error!(day = facts.day, "playing a day failed");
            }
            let mut room = self.lock();
            room.answers.push_back(Answer {
                subject: subject(&mark.0, &facts),
                mark,
                odds: played.ok().map(Arc::new),
            });
            if room.answers.len() > KEPT {
                room.answers.pop_front();
            }
            let next = room.waiting.pop_front();
            room.under_way = next.as_ref().map(|(mark, _)| mark.clone());
            drop(room);
            self.done.send_modify(|count| *count += 1);
            match next {
                Some(next) => (mark, facts) = next,
                None => return,
            }
        }
    }
}

fn subject(tournament: &str, facts: &TomorrowFacts) -> Subject {
    let opens_s = facts.expected.opens_s;
    (tournament.to_owned(), facts.day.clone(), facts.stations, opens_s)
}
