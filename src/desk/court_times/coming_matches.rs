//! The matches that a player still has to play, and by when a racket must be ready for each.
use std::collections::BTreeMap;

use chrono::{DateTime, Utc};

use crate::craft::match_times::day_sheet::Band;
use crate::craft::match_times::day_state::MatchPhase;
use crate::craft::match_times::order::Entrant;
use crate::craft::match_times::venue_time::at_minute;
use crate::desk::CourtMemory;
use crate::desk::court_times::board::{DayBoard, boards};
use crate::desk::refusal::{DeskError, DeskResult, Thing};
use crate::storage::{Db, players};

/// One match that is still to come.
#[derive(Debug, Clone, PartialEq)]
pub struct ComingMatch {
    /// The day of play.
    pub day: String,
    /// The match.
    pub match_id: String,
    /// The court as people call it.
    pub court: String,
    /// How likely the player plays it; 0 where an open place of it may still become theirs.
    pub chance_to_play: f64,
    /// When its players walk on.
    pub walk_on: Band,
    /// By when a racket must be ready for it.
    pub ready_by: DateTime<Utc>,
}

/// What is known of the matches to come of one player.
#[derive(Debug, Clone, Default)]
pub struct ComingMatches {
    /// Those that the player plays for sure or perhaps, the earliest first.
    pub of_player: Vec<ComingMatch>,
    /// Others that have a place nobody has yet.
    pub undecided: Vec<ComingMatch>,
    /// All others.
    pub of_others: Vec<ComingMatch>,
}

impl ComingMatches {
    /// Reads them.
    ///
    /// # Errors
    /// [`DeskError::NotFound`] for a player who is not there.
    pub fn of(
        db: &mut Db,
        tournament: &str,
        player_id: &str,
        now: DateTime<Utc>,
        memory: &CourtMemory,
    ) -> DeskResult<Self> {
        let player = players::find(db, tournament, player_id)?.ok_or(DeskError::NotFound(Thing::Player))?;
        let mut names = BTreeMap::from([(player.id.clone(), player.id.clone())]);
        if let Some(badge) = player.badge {
            names.insert(badge, player.id);
        }
        let mut coming = Self::default();
        for board in boards(db, tournament, now, memory)? {
            coming.add(&board, &names, player_id);
        }
        Ok(coming)
    }

    fn add(&mut self, board: &DayBoard, names: &BTreeMap<String, String>, player_id: &str) {
        let chances = board.chances(names);
        let order = &board.plan.order;
        let mut rows: Vec<_> = board
            .rows
            .iter()
            .filter(|row| matches!(row.phase, MatchPhase::Planned | MatchPhase::Called))
            .collect();
        rows.sort_by_key(|row| row.walk_on.p50);
        for row in rows {
            let played = &order.matches[row.place];
            let chance = chances[row.place].get(player_id).copied().unwrap_or(0.0);
            let court = order.courts.iter().find(|court| court.id == played.court);
            let coming = ComingMatch {
                day: order.day.to_string(),
                match_id: played.id.clone(),
                court: court.map_or_else(|| played.court.clone(), |court| court.label.clone()),
                chance_to_play: chance,
                walk_on: row.walk_on,
                ready_by: at_minute(row.ready_by),
            };
            let open = played
                .sides
                .iter()
                .flatten()
                .any(|entrant| *entrant == Entrant::ToBeDecided);
            if chance > 0.0 {
                self.of_player.push(coming);
            } else if open {
                self.undecided.push(coming);
            } else {
                self.of_others.push(coming);
            }
        }
    }

    /// The match of this id that the player plays or may come to play.
    #[must_use]
    pub fn find(&self, match_id: &str) -> Option<&ComingMatch> {
        let mut possible = self.of_player.iter().chain(&self.undecided);
        possible.find(|coming| coming.match_id == match_id)
    }
}
