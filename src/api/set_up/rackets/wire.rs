//! A racket's JSON forms.
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::desk::DeskResult;
use crate::desk::reads::from_record;
use crate::desk::reads::rackets::Racket;
use crate::desk::records::{DamageMark, RacketRecord};
use crate::desk::register_racket::RacketFacts;

/// What is said of a racket.
#[derive(Debug, Clone, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({
    "player_id": "ply_01jt3k7q2m8c5v9x4b6n1d0fgh", "frame_id": "frm_01jt3k7q2m8c5v9x4b6n1d0fgh",
    "number": "3", "marks": ["one red dot"]
}))]
pub struct RacketBody {
    /// Whose it is.
    pub player_id: String,
    /// Which frame model.
    pub frame_id: String,
    /// The permanent label, if it carries one.
    #[serde(default)]
    pub label_code: Option<String>,
    /// The player's own number for it.
    #[serde(default)]
    pub number: Option<String>,
    /// What tells it from its sisters: dots, grip colour.
    #[serde(default)]
    pub marks: Vec<String>,
    /// Damage seen on it so far.
    #[serde(default)]
    pub damage: Vec<DamageMark>,
}

impl RacketBody {
    /// What is stored of `row`.
    pub(crate) fn of(row: &Racket) -> DeskResult<Self> {
        let record: RacketRecord = from_record(&row.record)?;
        Ok(Self {
            player_id: row.player_id.clone(),
            frame_id: row.frame_id.clone(),
            label_code: row.label_code.clone(),
            number: record.number,
            marks: record.marks,
            damage: record.damage,
        })
    }

    pub(super) fn into_facts(self) -> RacketFacts {
        RacketFacts {
            player_id: self.player_id,
            frame_id: self.frame_id,
            label_code: self.label_code,
            record: RacketRecord {
                number: self.number,
                marks: self.marks,
                damage: self.damage,
            },
        }
    }
}

/// A racket.
#[derive(Debug, Serialize, ToSchema)]
#[schema(example = json!({
    "id": "rkt_01jt3k7q2m8c5v9x4b6n1d0fgh", "version": 1, "created_at": "2026-05-02T08:00:00Z",
    "custody": "owner", "custody_since": "2026-05-02T08:00:00Z",
    "player_id": "ply_01jt3k7q2m8c5v9x4b6n1d0fgh", "frame_id": "frm_01jt3k7q2m8c5v9x4b6n1d0fgh",
    "label_code": null, "number": "3", "marks": ["one red dot"], "damage": []
}))]
pub struct RacketView {
    /// Its id.
    pub id: String,
    /// Its version, as in the `ETag`.
    pub version: i64,
    /// When it was registered.
    pub created_at: DateTime<Utc>,
    /// Where it is: `owner`, `desk`, `runner`, `station:<id>` or `shelf:<slot>`.
    pub custody: String,
    /// Since when it is there.
    pub custody_since: DateTime<Utc>,
    /// What is known of it.
    #[serde(flatten)]
    pub racket: RacketBody,
}

impl RacketView {
    pub(crate) fn of(row: &Racket) -> DeskResult<Self> {
        Ok(Self {
            id: row.id.clone(),
            version: row.version,
            created_at: row.created_at.utc(),
            custody: row.custody.clone(),
            custody_since: row.custody_since.utc(),
            racket: RacketBody::of(row)?,
        })
    }
}
