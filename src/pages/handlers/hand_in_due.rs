//! What decides a ready-by at the counter: the player's next match, the one after it, or a plain time.
use chrono::{DateTime, Utc};

use super::visit::Visitor;
use super::words;
use crate::craft::match_times::venue_time::at_minute;
use crate::desk::court_times::coming_matches::{ComingMatch, ComingMatches};
use crate::pages::parts::{Choice, Control, Field};

/// So many matches of a player are offered; further ones are named by a change of the ready-by.
const OFFERED: usize = 2;

/// "M12, Court 1, about 15:10".
pub fn next_match(visitor: &Visitor, coming: &ComingMatches) -> String {
    coming.of_player.first().map_or_else(String::new, |played| {
        format!(
            "{}, {}, {}",
            played.match_id,
            played.court,
            about(visitor, played)
        )
    })
}

/// The tiles: matches with their safe ready-by, then a plain time.
pub fn tiles(visitor: &Visitor, name: String, coming: &ComingMatches, chosen: &str) -> Field {
    let mut tiles: Vec<Choice> = coming
        .of_player
        .iter()
        .take(OFFERED)
        .enumerate()
        .map(|(place, played)| tile(visitor, place, played))
        .collect();
    if tiles.is_empty() {
        tiles.push(
            Choice::new("next_match", "Before the next match")
                .hint("None is known yet: by the time below until then."),
        );
    }
    tiles.push(Choice::new("time", "By a plain time"));
    let known = tiles.iter().any(|tile| tile.value == chosen);
    let tiles = tiles.into_iter().enumerate().map(|(place, tile)| {
        let here = if known { tile.value == chosen } else { place == 0 };
        tile.chosen(here)
    });
    Field::new(name, "Ready", Control::One(tiles.collect()))
}

fn tile(visitor: &Visitor, place: usize, played: &ComingMatch) -> Choice {
    let (value, label) = if place == 0 {
        (
            "next_match".to_owned(),
            format!("By {} for the next match", day_and_time(visitor, played.ready_by)),
        )
    } else {
        (
            format!("match:{}", played.match_id),
            format!("By {} for the one after", day_and_time(visitor, played.ready_by)),
        )
    };
    let perhaps = if played.chance_to_play < 0.995 {
        format!(", plays it with {:.0} %", played.chance_to_play * 100.0)
    } else {
        String::new()
    };
    Choice::new(value, label).hint(format!(
        "{}, {}, {}{perhaps}",
        played.match_id,
        played.court,
        about(visitor, played)
    ))
}

/// When it starts: a certain time, or the middle of what is likely.
fn about(visitor: &Visitor, played: &ComingMatch) -> String {
    let at = day_and_time(visitor, at_minute(played.walk_on.p50));
    if played.walk_on.p95 - played.walk_on.p05 < 2 {
        at
    } else {
        format!("about {at}")
    }
}

/// "15:10" today, "Thu 11:00" on another day.
fn day_and_time(visitor: &Visitor, at: DateTime<Utc>) -> String {
    let zone = visitor.house.zone;
    let day = |at: DateTime<Utc>| at.with_timezone(&zone).date_naive();
    if day(at) == day(visitor.now) {
        words::time(zone, at)
    } else {
        at.with_timezone(&zone).format("%a %H:%M").to_string()
    }
}
