//! A player's JSON forms.
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::craft::roles::{Permission, Reach, Role};
use crate::craft::tension::TensionUnit;
use crate::desk::DeskResult;
use crate::desk::reads::from_record;
use crate::desk::reads::players::Player;
use crate::desk::records::PlayerRecord;
use crate::desk::register_player::PlayerFacts;

/// A name in the ways it is written.
#[derive(Debug, Clone, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PlayerName {
    /// The name to show, in any script; one letter is enough.
    #[schema(max_length = 120)]
    pub display: String,
    /// In Latin letters, if written otherwise.
    #[serde(default)]
    pub latin: Option<String>,
    /// By which lists are sorted, if by another.
    #[serde(default)]
    pub sort: Option<String>,
}

/// What is said of a player.
#[derive(Debug, Clone, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"name": {"display": "示例 乙", "latin": "Shili Yi"}, "language": "zh-Hans"}))]
pub struct PlayerBody {
    /// Their name.
    pub name: PlayerName,
    /// The language they are addressed in, BCP 47.
    #[serde(default)]
    pub language: Option<String>,
    /// Country or club code, as shown on the wall.
    #[serde(default)]
    pub country: Option<String>,
    /// The badge's code.
    #[serde(default)]
    pub badge: Option<String>,
    /// How to reach them.
    #[serde(default)]
    pub contact: Option<String>,
    /// Who may always collect for them.
    #[serde(default)]
    pub delegates: Vec<String>,
    /// Who may collect for them the next time; a name leaves the list when the rackets go with it.
    #[serde(default)]
    pub delegates_once: Vec<String>,
    /// Their regular stringer.
    #[serde(default)]
    pub regular_stringer_id: Option<String>,
    /// Their regular station.
    #[serde(default)]
    pub regular_station_id: Option<String>,
    /// Stringers who shall not string for them.
    #[serde(default)]
    pub not_stringer_ids: Vec<String>,
    /// The unit in which they speak of tension.
    #[serde(default)]
    pub tension_unit: Option<TensionUnit>,
    /// A note for the desk.
    #[serde(default)]
    pub note: Option<String>,
}

impl PlayerBody {
    /// What is stored of `row`.
    pub(super) fn of(row: &Player) -> DeskResult<Self> {
        let record: PlayerRecord = from_record(&row.record)?;
        Ok(Self {
            name: PlayerName {
                display: row.display_name.clone(),
                latin: record.latin_name,
                sort: record.sort_name,
            },
            language: record.language,
            country: record.country,
            badge: row.badge.clone(),
            contact: record.contact,
            delegates: record.delegates,
            delegates_once: record.delegates_once,
            regular_stringer_id: record.regular_stringer_id,
            regular_station_id: record.regular_station_id,
            not_stringer_ids: record.not_stringer_ids,
            tension_unit: record.tension_unit,
            note: record.note,
        })
    }

    pub(super) fn into_facts(self) -> PlayerFacts {
        PlayerFacts {
            display_name: self.name.display,
            badge: self.badge,
            record: PlayerRecord {
                sort_name: self.name.sort,
                latin_name: self.name.latin,
                language: self.language,
                country: self.country,
                contact: self.contact,
                delegates: self.delegates,
                delegates_once: self.delegates_once,
                regular_stringer_id: self.regular_stringer_id,
                regular_station_id: self.regular_station_id,
                not_stringer_ids: self.not_stringer_ids,
                tension_unit: self.tension_unit,
                note: self.note,
            },
        }
    }
}

/// A player, as the caller's role may see them.
#[derive(Debug, Serialize, ToSchema)]
#[schema(example = json!({
    "id": "ply_01jt3k7q2m8c5v9x4b6n1d0fgh", "version": 1, "created_at": "2026-05-02T08:00:00Z",
    "name": {"display": "示例 乙", "latin": "Shili Yi", "sort": null}, "language": "zh-Hans", "country": null,
    "badge": null, "contact": null, "delegates": [], "delegates_once": [], "regular_stringer_id": null, "regular_station_id": null,
    "not_stringer_ids": [], "tension_unit": "kg", "note": null
}))]
pub struct PlayerView {
    /// Their id.
    pub id: String,
    /// Their version, as in the `ETag`.
    pub version: i64,
    /// When they were registered.
    pub created_at: DateTime<Utc>,
    /// What is known of them; `contact` and `note` are `null` for roles that may not see them.
    #[serde(flatten)]
    pub player: PlayerBody,
}

impl PlayerView {
    /// What `role` sees of `row`.
    pub(super) fn of(row: &Player, role: Role) -> DeskResult<Self> {
        let mut player = PlayerBody::of(row)?;
        if role.reach(Permission::SeeContact) != Reach::All {
            player.contact = None;
        }
        if role.reach(Permission::SeeSpec) == Reach::None {
            player.note = None;
        }
        Ok(Self {
            id: row.id.clone(),
            version: row.version,
            created_at: row.created_at.utc(),
            player,
        })
    }
}

/// The private link of a player.
#[derive(Debug, Serialize, ToSchema)]
#[schema(example = json!({"player_id": "ply_01jt3k7q2m8c5v9x4b6n1d0fgh", "path": "/p/q0V5c4n3o2Zl7yP1r6t8u9w0xA-BcDeFgHiJkLmNoPq"}))]
pub struct PlayerLink {
    /// Whose link it is.
    pub player_id: String,
    /// Where it leads, below the service's own address.
    pub path: Option<String>,
}

impl PlayerLink {
    pub(super) fn of(row: &Player) -> Self {
        Self {
            player_id: row.id.clone(),
            path: row.link_token.as_ref().map(|token| format!("/p/{token}")),
        }
    }
}
