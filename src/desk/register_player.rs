//! Players: who owns rackets, how to find them in any script, how they look themselves up.
use serde_json::json;

use crate::craft::ids::PlayerId;
use crate::craft::roles::Role;
use crate::craft::search_key::search_key;
use crate::desk::records::PlayerRecord;
use crate::desk::refusal::{DeskError, DeskResult, Thing};
use crate::desk::{Tx, ids, sign_in, text_member};
use crate::storage::players::{self, Player};
use crate::storage::to_record;
use crate::storage::workshop::{people, places};

/// Who may.
pub const KEEPERS: [Role; 2] = [Role::Desk, Role::Coordinator];

/// What is said of a player.
#[derive(Debug, Clone)]
pub struct PlayerFacts {
    /// The name to show, in any script; one letter is enough.
    pub display_name: String,
    /// The badge's code, if any.
    pub badge: Option<String>,
    /// The rest.
    pub record: PlayerRecord,
}

/// Registers a player; their link is made at the same time.
///
/// # Errors
/// [`DeskError::NotAllowed`], [`DeskError::Invalid`].
pub fn register_player(tx: &mut Tx<'_>, facts: PlayerFacts) -> DeskResult<Player> {
    tx.caller.must_be(&KEEPERS)?;
    let display_name = checked(tx, None, &facts)?;
    let player = Player {
        id: ids::new::<PlayerId>(),
        tournament_id: tx.tournament().to_owned(),
        search_key: key_of(&display_name, &facts.record),
        display_name,
        badge: facts.badge,
        link_token: Some(sign_in::fresh_token()?),
        record: to_record(&facts.record)?,
        version: 1,
        created_at: tx.at(),
    };
    players::insert(tx.db, &player)?;
    tx.emit("player.registered", &player.id, &json!({}))?;
    Ok(player)
}

/// Corrects what is known of a player.
///
/// # Errors
/// As [`register_player`], [`DeskError::NotFound`], [`DeskError::Stale`].
pub fn correct_player(tx: &mut Tx<'_>, id: &str, version: i64, facts: PlayerFacts) -> DeskResult<Player> {
    let mut player = players::find(tx.db, tx.tournament(), id)?.ok_or(DeskError::NotFound(Thing::Player))?;
    tx.caller.must_be(&KEEPERS)?;
    if player.version != version {
        return Err(DeskError::Stale {
            current: player.version,
        });
    }
    player.display_name = checked(tx, Some(id), &facts)?;
    player.search_key = key_of(&player.display_name, &facts.record);
    player.badge = facts.badge;
    player.record = to_record(&facts.record)?;
    players::save(tx.db, &mut player)?;
    tx.emit("player.corrected", id, &json!({"version": player.version}))?;
    Ok(player)
}

/// Makes a new link for the player; the old one leads nowhere from now on.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::NotAllowed`].
pub fn renew_link(tx: &mut Tx<'_>, id: &str) -> DeskResult<Player> {
    let mut player = players::find(tx.db, tx.tournament(), id)?.ok_or(DeskError::NotFound(Thing::Player))?;
    tx.caller.must_be(&KEEPERS)?;
    player.link_token = Some(sign_in::fresh_token()?);
    players::save(tx.db, &mut player)?;
    tx.emit("player.link_renewed", id, &json!({}))?;
    Ok(player)
}

fn checked(tx: &mut Tx<'_>, own_id: Option<&str>, facts: &PlayerFacts) -> DeskResult<String> {
    let name = text_member::name(&facts.display_name, "/name/display")?;
    if let Some(badge) = &facts.badge
        && let Some(other) = players::by_badge(tx.db, tx.tournament(), badge)?
        && Some(other.id.as_str()) != own_id
    {
        return Err(DeskError::member(
            "/badge",
            "already_exists",
            "Another player has this badge.",
        ));
    }
    check_wishes(tx, &facts.record)?;
    Ok(name)
}

/// Stringers and stations that are named must be there.
fn check_wishes(tx: &mut Tx<'_>, record: &PlayerRecord) -> DeskResult<()> {
    let tournament = tx.tournament();
    let unwanted = record.not_stringer_ids.iter().enumerate();
    let named = unwanted.map(|(index, id)| (id, format!("/not_stringer_ids/{index}")));
    let regular = record.regular_stringer_id.iter();
    for (id, pointer) in named.chain(regular.map(|id| (id, "/regular_stringer_id".to_owned()))) {
        if people::find(tx.db, tournament, id)?.is_none() {
            let detail = "No such stringer; add them first.";
            return Err(DeskError::member(pointer, "unknown_reference", detail));
        }
    }
    if let Some(station) = &record.regular_station_id
        && places::find(tx.db, tournament, station)?.is_none()
    {
        let detail = "No such station; add it first.";
        return Err(DeskError::member(
            "/regular_station_id",
            "unknown_reference",
            detail,
        ));
    }
    Ok(())
}

/// Every way of writing the name, so that any part of any of them finds the player.
fn key_of(display_name: &str, record: &PlayerRecord) -> String {
    let others = [&record.latin_name, &record.sort_name];
    let mut names = vec![display_name];
    names.extend(others.into_iter().flatten().map(String::as_str));
    search_key(&names.join(" "))
}
