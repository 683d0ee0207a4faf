//! Finding whom and what stands at the counter: by tag, label, badge, link or part of a name.
use crate::craft::frame::FrameRecord;
use crate::craft::search_key::search_key;
use crate::craft::tag_code::TagCode;
use crate::desk::job_sheet::JobSheet;
use crate::desk::overview;
use crate::desk::records::{PlayerRecord, RacketRecord};
use crate::desk::refusal::{DeskError, DeskResult, Thing};
use crate::storage::players::{self, Player};
use crate::storage::rackets::{self, Racket, models};
use crate::storage::{Db, from_record, jobs};

/// States of jobs whose rackets are here.
pub const IN_THE_HOUSE: [&str; 6] = [
    "waiting",
    "assigned",
    "on_machine",
    "checking",
    "ready",
    "cancelled",
];
/// How many names a search shows; more would not be read.
const SHOWN: i64 = 12;

/// What a search found.
#[derive(Debug, Clone, Default)]
pub struct Found {
    /// By name, badge or link.
    pub players: Vec<Player>,
    /// By its label.
    pub racket: Option<Racket>,
    /// By its tag code.
    pub job: Option<JobSheet>,
    /// Rackets in the house that bear this number of their player's, where nothing else was found.
    pub numbered: Vec<JobSheet>,
}

impl Found {
    /// Whether there is nothing.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.players.is_empty() && self.racket.is_none() && self.job.is_none() && self.numbered.is_empty()
    }
}

/// Looks for a scanned `text`: tag, label, badge or ticket, but no names.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn by_code(db: &mut Db, tournament: &str, text: &str) -> DeskResult<Found> {
    let text = text.trim();
    let mut found = Found::default();
    if text.is_empty() {
        return Ok(found);
    }
    if let Ok(code) = TagCode::parse(text)
        && let Some(job) = jobs::by_code(db, tournament, code.as_str())?
    {
        found.job = Some(JobSheet::of(db, tournament, &job.id)?);
    }
    let mut badge = None;
    // whoever types a label or a badge does not keep to its capitals
    for written in [text.to_owned(), text.to_uppercase(), text.to_lowercase()] {
        if found.racket.is_none() {
            found.racket = rackets::by_label(db, tournament, &written)?;
        }
        if badge.is_none() {
            badge = players::by_badge(db, tournament, &written)?;
        }
    }
    let token = text.rsplit('/').next().unwrap_or(text);
    let player = match badge {
        Some(player) => Some(player),
        None => players::by_link_token(db, token)?.filter(|player| player.tournament_id == tournament),
    };
    found.players.extend(player);
    Ok(found)
}

/// Looks for `text`, scanned or typed.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn find(db: &mut Db, tournament: &str, text: &str) -> DeskResult<Found> {
    let mut found = by_code(db, tournament, text)?;
    let text = text.trim();
    if found.players.is_empty() && !text.is_empty() {
        found.players = players::search(db, tournament, &search_key(text), SHOWN)?;
    }
    Ok(found)
}

/// As [`find`], for whoever has the card of `player` open: a bare number is that of their racket.
/// Without a card the rackets in the house that bear it are found, and a person chooses.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn find_beside(db: &mut Db, tournament: &str, text: &str, player: Option<&str>) -> DeskResult<Found> {
    let mut found = find(db, tournament, text)?;
    let (true, Some(number)) = (found.is_empty(), racket_number(text)) else {
        return Ok(found);
    };
    if let Some(player) = player.filter(|id| !id.is_empty()) {
        for racket in rackets::of_player(db, tournament, player)? {
            let record: RacketRecord = from_record(&racket.record)?;
            if bears(&record, number) {
                found.racket = Some(racket);
                return Ok(found);
            }
        }
    }
    let mut inside = overview::sheets_in(db, tournament, &IN_THE_HOUSE)?;
    inside.retain(|sheet| bears(&sheet.racket_record, number));
    found.numbered = inside;
    Ok(found)
}

fn bears(record: &RacketRecord, number: &str) -> bool {
    record
        .number
        .as_deref()
        .is_some_and(|own| own.trim().eq_ignore_ascii_case(number))
}

/// "3", "racket 3", "no. 3" and "#3" name a player's racket number 3.
fn racket_number(text: &str) -> Option<&str> {
    let text = text.trim();
    let start = text.find(|sign: char| sign.is_ascii_digit())?;
    let (before, number) = text.split_at(start);
    let before = before.trim().trim_end_matches('.').to_ascii_lowercase();
    let named = matches!(before.as_str(), "" | "racket" | "no" | "nr" | "#" | "racket no");
    (named && number.len() <= 3 && !number.contains(char::is_whitespace)).then_some(number)
}

/// The newest job of a racket, open or over.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn last_job(db: &mut Db, tournament: &str, racket_id: &str) -> DeskResult<Option<JobSheet>> {
    let last = jobs::latest_of_racket(db, racket_id, 1)?;
    Ok(JobSheet::for_jobs(db, tournament, last)?.pop())
}

/// A player with their rackets.
#[derive(Debug, Clone)]
pub struct PlayerCard {
    /// The row.
    pub player: Player,
    /// More of the player.
    pub record: PlayerRecord,
    /// Oldest first.
    pub rackets: Vec<RacketOnCard>,
}

/// One racket of a player.
#[derive(Debug, Clone)]
pub struct RacketOnCard {
    /// The row.
    pub racket: Racket,
    /// Number and marks.
    pub record: RacketRecord,
    /// Its frame's facts.
    pub frame: FrameRecord,
    /// Its last job, open or over.
    pub last: Option<JobSheet>,
}

/// The card of a player.
///
/// # Errors
/// [`DeskError::NotFound`].
pub fn card(db: &mut Db, tournament: &str, player_id: &str) -> DeskResult<PlayerCard> {
    let player = players::find(db, tournament, player_id)?.ok_or(DeskError::NotFound(Thing::Player))?;
    let mut on_card = Vec::new();
    for racket in rackets::of_player(db, tournament, player_id)? {
        let frame =
            models::find(db, tournament, &racket.frame_id)?.ok_or(DeskError::NotFound(Thing::Frame))?;
        let last = last_job(db, tournament, &racket.id)?;
        on_card.push(RacketOnCard {
            record: from_record(&racket.record)?,
            frame: from_record(&frame.record)?,
            last,
            racket,
        });
    }
    Ok(PlayerCard {
        record: from_record(&player.record)?,
        player,
        rackets: on_card,
    })
}

/// The player behind a private link, and the sheets of their jobs.
///
/// # Errors
/// [`DeskError::NotFound`] for a link that leads nowhere.
pub fn by_link(db: &mut Db, token: &str) -> DeskResult<(Player, Vec<JobSheet>)> {
    let player = players::by_link_token(db, token)?.ok_or(DeskError::NotFound(Thing::Link))?;
    let filter = jobs::JobFilter {
        player_id: Some(player.id.clone()),
        ..jobs::JobFilter::default()
    };
    let tournament = player.tournament_id.clone();
    let rows = jobs::list(db, &tournament, &filter, 100)?;
    let sheets = JobSheet::for_jobs(db, &tournament, rows)?;
    Ok((player, sheets))
}

/// A racket with its owner and all its jobs, the newest first.
///
/// # Errors
/// [`DeskError::NotFound`].
pub fn racket_with_jobs(
    db: &mut Db,
    tournament: &str,
    racket_id: &str,
) -> DeskResult<(Racket, RacketRecord, Vec<JobSheet>)> {
    let racket = rackets::find(db, tournament, racket_id)?.ok_or(DeskError::NotFound(Thing::Racket))?;
    let record = from_record(&racket.record)?;
    let rows = jobs::latest_of_racket(db, racket_id, 100)?;
    Ok((racket, record, JobSheet::for_jobs(db, tournament, rows)?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_racket_number_is_understood_as_people_say_it_and_a_name_or_code_is_none() {
        for said in ["3", " racket 3", "Racket no. 3", "#3", "no. 3", "nr 3"] {
            assert_eq!(racket_number(said), Some("3"), "{said}");
        }
        for other in ["K7M4G", "Example 3", "", "racket", "2026", "3 4"] {
            assert_eq!(racket_number(other), None, "{other}");
        }
    }
}
