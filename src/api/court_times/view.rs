//! What the door shows of matches and of what their changes do.
use chrono::{DateTime, Utc};
use serde::Serialize;
use utoipa::ToSchema;

use crate::craft::match_times::day_sheet::{Band, DayRow};
use crate::craft::match_times::ready_by::Demand;
use crate::craft::match_times::venue_time::at_minute;
use crate::desk::court_times::board::DayBoard;
use crate::desk::court_times::change_order::Difference;
use crate::desk::court_times::follow::Moved;
use crate::desk::court_times::next_match::Readiness;
use crate::forms::order_of_play::written_side;
use crate::forms::place::FormRemark;

/// A time that is not certain.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub struct BandView {
    /// Reached in one case of twenty.
    pub p05_at: DateTime<Utc>,
    /// Reached in half of all cases.
    pub p50_at: DateTime<Utc>,
    /// Reached in nineteen cases of twenty.
    pub p95_at: DateTime<Utc>,
}

impl From<Band> for BandView {
    fn from(band: Band) -> Self {
        Self {
            p05_at: at_minute(band.p05),
            p50_at: at_minute(band.p50),
            p95_at: at_minute(band.p95),
        }
    }
}

/// A match as it stands.
#[derive(Debug, Clone, Serialize, ToSchema)]
#[schema(example = json!({
    "id": "M12", "day": "2026-05-02", "court": "C1", "seq": 2, "state": "planned", "end_inferred": false,
    "start_rule": "followed_by", "start_time": null, "sides": ["P201", "P202"],
    "walk_on": {"p05_at": "2026-05-02T10:04:00Z", "p50_at": "2026-05-02T10:40:00Z", "p95_at": "2026-05-02T11:48:00Z"},
    "last_point": {"p05_at": "2026-05-02T11:22:00Z", "p50_at": "2026-05-02T12:26:00Z", "p95_at": "2026-05-02T13:52:00Z"},
    "ready_by_at": "2026-05-02T09:29:00Z", "side_1_wins": 0.5, "may_be_moved": false, "waits_for": ["M11"]
}))]
pub struct MatchView {
    /// Its id.
    pub id: String,
    /// The day of play.
    #[schema(value_type = String, format = Date)]
    pub day: String,
    /// Its court.
    pub court: String,
    /// Its place there.
    pub seq: u16,
    /// `planned`, `called`, `on_court`, `stopped`, `finished`, `retired`, `walkover` or `cancelled`.
    pub state: String,
    /// Whether nobody reported its end and the next match began.
    pub end_inferred: bool,
    /// What the referee says about its start.
    pub start_rule: String,
    /// The rule's time, `HH:MM` of the day of play.
    pub start_time: Option<String>,
    /// Both sides: ids joined by `+`, `W:` and `L:` for winner and loser of a match, `TBD`, `BYE`.
    pub sides: Vec<String>,
    /// When its players walk on.
    pub walk_on: BandView,
    /// When its last point is played.
    pub last_point: BandView,
    /// By when its players' rackets must be strung: the 5 % quantile of walk-on less lead and handling.
    pub ready_by_at: DateTime<Utc>,
    /// The chance that side 1 wins.
    pub side_1_wins: f64,
    /// Whether it will probably not be over when its court closes.
    pub may_be_moved: bool,
    /// The matches that must be over before it, the nearest first.
    pub waits_for: Vec<String>,
}

impl MatchView {
    /// One match of a board.
    #[must_use]
    pub fn of(board: &DayBoard, row: &DayRow) -> Self {
        let order = &board.plan.order;
        let played = &order.matches[row.place];
        Self {
            id: played.id.clone(),
            day: order.day.to_string(),
            court: played.court.clone(),
            seq: played.seq,
            state: row.phase.to_string(),
            end_inferred: row.inferred,
            start_rule: played.start.rule.to_string(),
            start_time: played.start.time.map(|time| time.to_string()),
            sides: played.sides.iter().map(|side| written_side(side)).collect(),
            walk_on: row.walk_on.into(),
            last_point: row.last_point.into(),
            ready_by_at: at_minute(row.ready_by),
            side_1_wins: row.side_one_wins,
            may_be_moved: row.may_be_moved(),
            waits_for: row
                .chain
                .iter()
                .map(|place| order.matches[*place].id.clone())
                .collect(),
        }
    }
}

/// A job whose ready-by moves.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub struct MovedJob {
    /// The job.
    pub job_id: String,
    /// Its tag code.
    pub tag_code: String,
    /// The match it must be ready for.
    pub match_id: String,
    /// Its ready-by before.
    pub before_at: DateTime<Utc>,
    /// Its ready-by now.
    pub due_at: DateTime<Utc>,
    /// Whether it will probably be late now and would not have been before.
    pub becomes_late: bool,
}

/// What a change does.
#[derive(Debug, Clone, Serialize, ToSchema)]
#[schema(example = json!({
    "new": ["M31"], "gone": [], "moved": ["M17"], "changed": [],
    "jobs": [{"job_id": "job_01jt3k7q2m8c5v9x4b6n1d0fgh", "tag_code": "K7M4G", "match_id": "M17",
              "before_at": "2026-05-02T12:00:00Z", "due_at": "2026-05-02T11:25:00Z", "becomes_late": false}],
    "become_late": 0, "remarks": []
}))]
pub struct Effect {
    /// Matches that are new.
    pub new: Vec<String>,
    /// Matches that are gone.
    pub gone: Vec<String>,
    /// Matches with another court, place or start.
    pub moved: Vec<String>,
    /// Matches with other players, format or rest.
    pub changed: Vec<String>,
    /// The jobs whose ready-by moves.
    pub jobs: Vec<MovedJob>,
    /// How many of them become late.
    pub become_late: usize,
    /// What was accepted and is worth a word.
    pub remarks: Vec<String>,
}

impl Effect {
    /// What a change does to matches and jobs.
    #[must_use]
    pub fn of(difference: Difference, moved: Vec<Moved>, remarks: &[FormRemark]) -> Self {
        Self {
            new: difference.new,
            gone: difference.gone,
            moved: difference.moved,
            changed: difference.changed,
            become_late: moved.iter().filter(|moved| moved.becomes_late).count(),
            jobs: moved.into_iter().map(MovedJob::from).collect(),
            remarks: remarks.iter().map(ToString::to_string).collect(),
        }
    }
}

impl From<Moved> for MovedJob {
    fn from(moved: Moved) -> Self {
        Self {
            job_id: moved.job_id,
            tag_code: moved.code,
            match_id: moved.match_id,
            before_at: moved.before,
            due_at: moved.after,
            becomes_late: moved.becomes_late,
        }
    }
}

/// The match that a racket must be ready for, and the odds.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub struct ReadyFor {
    /// The match.
    #[schema(example = "M12")]
    pub match_id: String,
    /// The day of play.
    #[schema(value_type = String, format = Date)]
    pub day: String,
    /// Its court.
    pub court: String,
    /// When its players walk on.
    pub walk_on: BandView,
    /// The quantile of walk-on from which the ready-by is taken.
    #[schema(example = 0.05)]
    pub quantile: f64,
    /// The ready-by: that quantile less lead and handling.
    pub ready_by_at: DateTime<Utc>,
    /// How likely the player plays it.
    pub chance_to_play: f64,
    /// P(not ready when the player wants it).
    pub soft_risk: f64,
    /// P(not ready when the player walks on).
    pub hard_risk: f64,
    /// The matches that must be over before it, the nearest first.
    pub waits_for: Vec<String>,
}

impl From<Readiness> for ReadyFor {
    fn from(ready: Readiness) -> Self {
        Self {
            match_id: ready.match_id,
            day: ready.day,
            court: ready.court,
            walk_on: ready.walk_on.into(),
            quantile: Demand::default().alpha,
            ready_by_at: ready.ready_by,
            chance_to_play: ready.chance_to_play,
            soft_risk: ready.risk.soft,
            hard_risk: ready.risk.hard,
            waits_for: ready.chain,
        }
    }
}
