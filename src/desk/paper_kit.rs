//! What the desk needs on paper when power or network fail: open jobs, the shelf, codes to write on tags.
use std::collections::BTreeMap;

use chrono::{DateTime, Utc};

use crate::craft::match_times::day_sheet::Band;
use crate::craft::match_times::day_state::MatchPhase;
use crate::craft::match_times::venue_time::at_minute;
use crate::desk::court_times::board;
use crate::desk::job_sheet::JobSheet;
use crate::desk::overview::{self, House};
use crate::desk::refusal::DeskResult;
use crate::desk::{Tx, take_code};
use crate::storage::{codes, players, tournaments};

/// How many blank rows with a code a kit has.
pub const BLANK_ROWS: usize = 50;

/// One tournament's kit.
#[derive(Debug)]
pub struct PaperKit {
    /// The tournament as screens name it.
    pub house: House,
    /// Jobs that are not strung yet, by ready-by.
    pub open: Vec<JobSheet>,
    /// Rackets that wait on the shelf for their owners.
    pub shelf: Vec<JobSheet>,
    /// Matches that are still to come or under way, by when their rackets must be ready.
    pub matches: Vec<KitMatch>,
    /// Codes that belong to nobody yet: what is written on paper gets one of them.
    pub codes: Vec<String>,
}

/// One match of the kit.
#[derive(Debug, Clone)]
pub struct KitMatch {
    /// The match.
    pub match_id: String,
    /// Its court, as people call it.
    pub court: String,
    /// When its players walk on.
    pub walk_on: Band,
    /// By when rackets must be ready for it.
    pub ready_by: DateTime<Utc>,
    /// Players of the desk who play it or may come to play it.
    pub players: Vec<String>,
}

/// The matches of today and of all days to come.
fn matches(tx: &mut Tx<'_>) -> DeskResult<Vec<KitMatch>> {
    let (tournament, memory) = (tx.caller.tournament(), tx.memory.clone());
    let boards = board::boards(tx.db, tournament, tx.now, &memory)?;
    if boards.is_empty() {
        return Ok(Vec::new());
    }
    let names = board::player_names(tx.db, tournament)?;
    let ids: Vec<String> = names.values().cloned().collect();
    let shown: BTreeMap<String, String> = players::with_ids(tx.db, &ids)?
        .into_iter()
        .map(|player| (player.id, player.display_name))
        .collect();
    let mut matches = Vec::new();
    for board in &boards {
        let chances = board.chances(&names);
        for row in &board.rows {
            if !matches!(
                row.phase,
                MatchPhase::Planned | MatchPhase::Called | MatchPhase::OnCourt | MatchPhase::Stopped
            ) {
                continue;
            }
            let played = &board.plan.order.matches[row.place];
            let court = board.plan.order.court(&played.court);
            matches.push(KitMatch {
                match_id: played.id.clone(),
                court: court.map_or_else(|| played.court.clone(), |court| court.label.clone()),
                walk_on: row.walk_on,
                ready_by: at_minute(row.ready_by),
                players: chances[row.place]
                    .keys()
                    .filter_map(|id| shown.get(id).cloned())
                    .collect(),
            });
        }
    }
    // rackets are strung for the one that is next to be ready
    matches.sort_by_key(|played| (played.ready_by, played.walk_on.p50));
    Ok(matches)
}

/// Reads the kit and reserves what codes it lacks; the same codes stand on every print until they are used.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn paper_kit(tx: &mut Tx<'_>) -> DeskResult<PaperKit> {
    let tournament = tx.tournament();
    let mut open = overview::sheets_in(
        tx.db,
        tournament,
        &["waiting", "assigned", "on_machine", "checking"],
    )?;
    open.sort_by_key(|sheet| sheet.job.due_at);
    let shelf = overview::sheets_in(tx.db, tournament, &["ready"])?;
    let mut reserved = codes::reserved(tx.db, tournament)?;
    reserved.truncate(BLANK_ROWS);
    let missing = BLANK_ROWS - reserved.len();
    reserved.extend(take_code::reserve(tx, missing, None)?);
    // in the order in which they are read back, so that the next print looks the same
    reserved.sort();
    let matches = matches(tx)?;
    Ok(PaperKit {
        house: overview::house(tx.db, tx.tournament())?,
        open,
        shelf,
        matches,
        codes: reserved,
    })
}

/// The ids of all tournaments of this desk.
///
/// # Errors
/// [`DeskError::Storage`](crate::desk::DeskError).
pub fn tournaments(db: &mut crate::storage::Db) -> DeskResult<Vec<String>> {
    Ok(tournaments::all(db)?.into_iter().map(|row| row.id).collect())
}
