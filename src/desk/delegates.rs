//! Who else may collect a player's rackets: always, or one time. Named by the player's own page or at the desk.
use serde_json::json;

use crate::desk::job_sheet::JobSheet;
use crate::desk::records::PlayerRecord;
use crate::desk::refusal::{DeskError, DeskResult, Thing};
use crate::desk::register_player::KEEPERS;
use crate::desk::{Tx, text_member};
use crate::storage::players::{self, Player};
use crate::storage::{from_record, to_record};

/// A player names at most so many people who may collect. Own choice, no source.
const MOST: usize = 5;

/// How often somebody may collect.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HowOften {
    /// Every time, until the name is withdrawn.
    Always,
    /// The next time; the name leaves the list with the rackets.
    Once,
}

impl HowOften {
    /// As it stands in the log and in forms.
    #[must_use]
    pub fn as_str(self) -> &'static str {
        match self {
            HowOften::Always => "always",
            HowOften::Once => "once",
        }
    }
}

/// The desk names somebody whom the player sends; a name that stands there already may come oftener or less often now.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::NotAllowed`]; [`DeskError::Invalid`] for a missing name or one too many.
pub fn name_at_desk(tx: &mut Tx<'_>, player_id: &str, name: &str, often: HowOften) -> DeskResult<Player> {
    let player =
        players::find(tx.db, tx.tournament(), player_id)?.ok_or(DeskError::NotFound(Thing::Player))?;
    tx.caller.must_be(&KEEPERS)?;
    let full = "Five people are named already; withdraw one first.";
    add(tx, player, name, often, full)
}

/// The desk takes a name off the list.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::NotAllowed`]; [`DeskError::Invalid`] for a name that is not there.
pub fn withdraw(tx: &mut Tx<'_>, player_id: &str, name: &str) -> DeskResult<Player> {
    let player =
        players::find(tx.db, tx.tournament(), player_id)?.ok_or(DeskError::NotFound(Thing::Player))?;
    tx.caller.must_be(&KEEPERS)?;
    let words = "This person is not named, or was withdrawn meanwhile.";
    leave_out(tx, player, name)?.ok_or_else(|| DeskError::member("/delegate", "unknown_reference", words))
}

/// Takes a name off the player's list; nothing where it is not there.
pub(super) fn leave_out(tx: &mut Tx<'_>, mut player: Player, name: &str) -> DeskResult<Option<Player>> {
    let mut record: PlayerRecord = from_record(&player.record)?;
    if !take_off(&mut record, name) {
        return Ok(None);
    }
    player.record = to_record(&record)?;
    players::save(tx.db, &mut player)?;
    tx.emit("player.delegate_withdrawn", &player.id, &json!({}))?;
    Ok(Some(player))
}

/// Puts a name on the player's list; `full` is said where it has no room.
pub(super) fn add(
    tx: &mut Tx<'_>,
    mut player: Player,
    name: &str,
    often: HowOften,
    full: &str,
) -> DeskResult<Player> {
    let name = text_member::name(name, "/delegate")?;
    let mut record: PlayerRecord = from_record(&player.record)?;
    let list = match often {
        HowOften::Always => &record.delegates,
        HowOften::Once => &record.delegates_once,
    };
    if list.iter().any(|one| is_same(one, &name)) {
        return Ok(player);
    }
    take_off(&mut record, &name);
    if record.delegates.len() + record.delegates_once.len() >= MOST {
        return Err(DeskError::member("/delegate", "out_of_range", full));
    }
    match often {
        HowOften::Always => record.delegates.push(name),
        HowOften::Once => record.delegates_once.push(name),
    }
    player.record = to_record(&record)?;
    players::save(tx.db, &mut player)?;
    let data = json!({"how_often": often.as_str()});
    tx.emit("player.delegate_named", &player.id, &data)?;
    Ok(player)
}

/// "Coach Example" and "coach example" are one person.
fn is_same(one: &str, name: &str) -> bool {
    one.to_lowercase() == name.to_lowercase()
}

fn take_off(record: &mut PlayerRecord, name: &str) -> bool {
    let before = record.delegates.len() + record.delegates_once.len();
    record.delegates.retain(|one| !is_same(one, name));
    record.delegates_once.retain(|one| !is_same(one, name));
    record.delegates.len() + record.delegates_once.len() < before
}

/// Whether this person may collect now.
pub(super) fn may_collect(record: &PlayerRecord, name: &str) -> bool {
    let named = [&record.delegates, &record.delegates_once];
    named.into_iter().flatten().any(|one| one == name)
}

/// Who was named for one time has come; answers whether that was so.
pub(super) fn has_collected(tx: &mut Tx<'_>, player_id: &str, name: &str) -> DeskResult<bool> {
    let Some(mut player) = players::find(tx.db, tx.tournament(), player_id)? else {
        return Ok(false);
    };
    let mut record: PlayerRecord = from_record(&player.record)?;
    let Some(place) = record.delegates_once.iter().position(|one| one == name) else {
        return Ok(false);
    };
    record.delegates_once.remove(place);
    player.record = to_record(&record)?;
    players::save(tx.db, &mut player)?;
    Ok(true)
}

/// A racket did not leave after all: if somebody who was named for one time had come for it, they may come again.
pub(super) fn may_come_again(tx: &mut Tx<'_>, sheet: &mut JobSheet) -> DeskResult<()> {
    let Some(name) = sheet.record.collected_once.take() else {
        return Ok(());
    };
    // read anew: the rackets that left together share one player
    let Some(mut player) = players::find(tx.db, tx.tournament(), &sheet.player.id)? else {
        return Ok(());
    };
    let mut record: PlayerRecord = from_record(&player.record)?;
    if !may_collect(&record, &name) {
        record.delegates_once.push(name);
        player.record = to_record(&record)?;
        players::save(tx.db, &mut player)?;
    }
    Ok(())
}
