//! What the holder of a player's private link may ask for: somebody else collects, something shall be different.
use crate::craft::job::JobState;
use crate::desk::delegates::{self, HowOften};
use crate::desk::hand_in::open_snag;
use crate::desk::job_sheet::JobSheet;
use crate::desk::refusal::{DeskError, DeskResult, Thing};
use crate::desk::{Tx, text_member};
use crate::storage::players::{self, Player};

fn holder(tx: &mut Tx<'_>, link_token: &str) -> DeskResult<Player> {
    let player = players::by_link_token(tx.db, link_token)?;
    player
        .filter(|player| player.tournament_id == tx.tournament())
        .ok_or(DeskError::NotFound(Thing::Link))
}

/// Names a person who may collect the player's rackets, always.
///
/// # Errors
/// [`DeskError::NotFound`] for a link that ended, [`DeskError::Invalid`] for a missing name or one too many.
pub fn name_delegate(tx: &mut Tx<'_>, link_token: &str, name: &str) -> DeskResult<Player> {
    let player = holder(tx, link_token)?;
    let full = "Five people are named already; withdraw one first.";
    delegates::add(tx, player, name, HowOften::Always, full)
}

/// Takes a person off the list of those who may collect; one who is not on it is off it already.
///
/// # Errors
/// [`DeskError::NotFound`] for a link that ended.
pub fn withdraw_delegate(tx: &mut Tx<'_>, link_token: &str, name: &str) -> DeskResult<()> {
    let player = holder(tx, link_token)?;
    delegates::leave_out(tx, player, name).map(drop)
}

/// Asks the desk to change something of a job; a person at the desk decides.
///
/// # Errors
/// [`DeskError::NotFound`] for a link that ended or a job that is not this player's,
/// [`DeskError::Invalid`] without words, without a racket or for one that is not here any more.
pub fn ask_for_change(tx: &mut Tx<'_>, link_token: &str, job_id: &str, wish: &str) -> DeskResult<String> {
    let player = holder(tx, link_token)?;
    let gone = || DeskError::member("/job_id", "invalid_value", "Choose a racket that is still here.");
    if job_id.is_empty() {
        return Err(gone());
    }
    let sheet = JobSheet::of(tx.db, tx.tournament(), job_id)?;
    if sheet.player.id != player.id {
        return Err(DeskError::NotFound(Thing::Job));
    }
    if matches!(sheet.job.state.parse(), Ok(JobState::Out | JobState::Cancelled)) {
        return Err(gone());
    }
    let wish = text_member::name(wish, "/change")?;
    let what = format!("The player asks by phone: {wish}");
    open_snag(tx, "player_asks", Some(job_id), &["done", "not_possible"], &what)
}
