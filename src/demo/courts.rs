//! The demo's courts: a long five-setter, rain on the open courts, a walkover, a match under a roof.
use chrono::{DateTime, NaiveDate, TimeDelta, Utc};
use serde_json::{Value, json};

use crate::craft::match_times::venue_time::shown;
use crate::desk::court_times::board::zone;
use crate::desk::court_times::change_order::put_order;
use crate::desk::court_times::take_events::take_events;
use crate::desk::reads::players;
use crate::desk::refusal::DeskResult;
use crate::desk::{Caller, Desk};

/// The first ball is hit so long after the demo opens: what is in by then can be ready, or just not.
const FIRST_BALL: TimeDelta = TimeDelta::minutes(90);

/// The day that is played: which, and the lines of its events with their times.
#[derive(Debug, Clone)]
pub struct DemoDay {
    day: NaiveDate,
    script: Vec<(DateTime<Utc>, String)>,
    told: usize,
}

/// Publishes the order of play of a day that begins now.
///
/// # Errors
/// [`DeskError`](crate::desk::DeskError) only where the database fails.
pub async fn publish(desk: &Desk, tournament: &str) -> DeskResult<DemoDay> {
    let (memory, system) = (desk.court_memory(), Caller::system(tournament));
    desk.write(&system, move |tx| {
        let zone = zone(tx.db, tx.caller.tournament())?;
        let first = tx.now + FIRST_BALL;
        let day = first.with_timezone(&zone).date_naive();
        let ids: Vec<String> = players::page(tx.db, tx.caller.tournament(), "", None, 8)?
            .into_iter()
            .map(|player| player.id)
            .collect();
        let at =
            |minutes: i64| shown(zone, day, first + TimeDelta::minutes(minutes)).map(|time| time.to_string());
        let order = order(&day.to_string(), zone.name(), &ids, at);
        put_order(tx, day, &order.to_string(), None, true, &memory)?;
        if let Some(next) = day.succ_opt() {
            let order = next_order(&next.to_string(), zone.name(), &ids);
            put_order(tx, next, &order.to_string(), None, true, &memory)?;
        }
        Ok(DemoDay {
            day,
            script: script(first),
            told: 0,
        })
    })
    .await
}

fn order(day: &str, zone: &str, ids: &[String], at: impl Fn(i64) -> Option<String>) -> Value {
    let court = |id: &str, covered: bool| json!({"id": id, "label": id.replace('C', "Court "), "surface": "clay", "covered": covered});
    let side = |place: usize| ids.get(place).map_or_else(|| json!(["TBD"]), |id| json!([id]));
    let one = |id: &str, court: &str, seq: u32, format: &str, start: Value, sides: [Value; 2]| {
        let draw = if format == "bo5_tb" { "MS" } else { "WS" };
        json!({"id": id, "court": court, "seq": seq, "format": format, "draw": draw, "round": "R16", "start": start, "sides": sides})
    };
    let starting = |minutes: i64| {
        at(minutes).map_or_else(
            || json!({"rule": "tba"}),
            |time| json!({"rule": "starting_at", "time": time}),
        )
    };
    let followed = || json!({"rule": "followed_by"});
    let tbd = || json!(["TBD"]);
    let winner = |id: &str| json!([{"winner_of": id}]);
    json!({
        "schema": "weftdesk.order_of_play/1", "tournament": "demo", "tzid": zone, "day": day, "version": 1,
        "courts": [court("C1", false), court("C2", false), court("C3", false), court("C4", true)],
        "matches": [
            one("M1", "C1", 1, "bo5_tb", starting(0), [side(0), side(1)]),
            one("M2", "C2", 1, "bo3_tb", starting(0), [side(2), tbd()]),
            one("M3", "C3", 1, "bo3_tb", starting(0), [side(3), tbd()]),
            one("M4", "C4", 1, "bo3_tb", starting(0), [side(4), tbd()]),
            one("M5", "C1", 2, "bo3_tb", followed(), [side(5), tbd()]),
            one("M6", "C2", 2, "bo3_tb", followed(), [side(6), tbd()]),
            one("M7", "C3", 2, "bo3_tb", followed(), [side(7), tbd()]),
            one("M8", "C4", 2, "bo3_tb", followed(), [winner("M4"), winner("M2")]),
        ],
    })
}

/// The day after: who is still in, from eleven o'clock on.
fn next_order(day: &str, zone: &str, ids: &[String]) -> Value {
    let court = |id: &str, covered: bool| json!({"id": id, "label": id.replace('C', "Court "), "surface": "clay", "covered": covered});
    let side = |place: usize| ids.get(place).map_or_else(|| json!(["TBD"]), |id| json!([id]));
    let tbd = || json!(["TBD"]);
    let one = |id: &str, court: &str, seq: u32, start: Value, sides: [Value; 2]| json!({"id": id, "court": court, "seq": seq, "format": "bo3_tb", "draw": "WS", "round": "QF", "start": start, "sides": sides});
    let not_before = |time: &str| json!({"rule": "not_before", "time": time});
    let followed = || json!({"rule": "followed_by"});
    json!({
        "schema": "weftdesk.order_of_play/1", "tournament": "demo", "tzid": zone, "day": day, "version": 1,
        "courts": [court("C1", false), court("C2", false), court("C4", true)],
        "matches": [
            one("N1", "C1", 1, not_before("11:00"), [side(0), side(6)]),
            one("N2", "C1", 2, followed(), [tbd(), tbd()]),
            one("N3", "C1", 3, not_before("18:30"), [tbd(), tbd()]),
            one("N4", "C2", 1, not_before("11:00"), [side(2), side(7)]),
            one("N5", "C2", 2, followed(), [tbd(), tbd()]),
            one("N6", "C2", 3, followed(), [tbd(), tbd()]),
            one("N7", "C4", 1, not_before("12:00"), [side(4), tbd()]),
            one("N8", "C4", 2, followed(), [tbd(), tbd()]),
        ],
    })
}

/// What happens on the courts, as minutes after the first walk-on.
fn script(first: DateTime<Utc>) -> Vec<(DateTime<Utc>, String)> {
    let mut lines = Vec::new();
    let mut say = |minutes: i64, mut event: Value| {
        let at = first + TimeDelta::minutes(minutes);
        event["src"] = json!("demo");
        event["n"] = json!(lines.len() + 1);
        event["at"] = json!(at);
        lines.push((at, event.to_string()));
    };
    for id in ["M1", "M2", "M4"] {
        say(8, json!({"match": id, "type": "started", "server": 1}));
    }
    say(12, json!({"match": "M3", "type": "walkover", "winner": 1}));
    say(20, json!({"match": "M7", "type": "started", "server": 1}));
    say(
        47,
        json!({"match": "M1", "type": "score", "sets": [[7, 6]], "server": 2}),
    );
    say(
        50,
        json!({"courts": ["C1", "C2", "C3"], "type": "suspended", "reason": "rain"}),
    );
    say(
        78,
        json!({"match": "M4", "type": "finished", "winner": 1, "sets": [[6, 4], [6, 3]]}),
    );
    say(95, json!({"courts": ["C1", "C2", "C3"], "type": "resumed"}));
    say(
        140,
        json!({"match": "M2", "type": "finished", "winner": 1, "sets": [[6, 2], [7, 5]]}),
    );
    say(
        150,
        json!({"match": "M1", "type": "score", "sets": [[7, 6], [6, 7]], "server": 1}),
    );
    say(
        158,
        json!({"match": "M7", "type": "finished", "winner": 1, "sets": [[6, 4], [4, 6], [6, 3]]}),
    );
    say(
        200,
        json!({"match": "M1", "type": "score", "sets": [[7, 6], [6, 7], [7, 5]], "server": 2}),
    );
    say(
        252,
        json!({"match": "M1", "type": "score", "sets": [[7, 6], [6, 7], [7, 5], [6, 7]], "server": 1}),
    );
    say(
        310,
        json!({"match": "M1", "type": "finished", "winner": 1, "sets": [[7, 6], [6, 7], [7, 5], [6, 7], [7, 6]]}),
    );
    lines
}

impl DemoDay {
    /// Tells the desk what has happened since it was last told.
    pub async fn tell(&mut self, desk: &Desk, tournament: &str) {
        let now = desk.clock().desk();
        while let Some((_, line)) = self.script.get(self.told).filter(|(at, _)| *at <= now) {
            let (line, day, memory) = (line.clone(), self.day, desk.court_memory());
            let told = desk
                .write(&Caller::system(tournament), move |tx| {
                    take_events(tx, day, &line, true, &memory).map(|_| ())
                })
                .await;
            if let Err(error) = told {
                tracing::warn!(%error, "an event of the demo's courts was refused");
            }
            self.told += 1;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::craft::match_times::replay::replay;
    use crate::forms::court_events::read;
    use crate::forms::order_of_play::{self, Known};

    #[test]
    fn the_script_is_a_day_without_faults() {
        let at = |minutes: i64| Some(format!("{:02}:{:02}", 10 + minutes / 60, minutes % 60));
        let ids: Vec<String> = (1..=8).map(|id| format!("P{id}")).collect();
        let order = order("2026-05-02", "UTC", &ids, at);
        let order = order_of_play::read(&order.to_string(), &Known::default())
            .unwrap()
            .order;
        let script = script("2026-05-02T10:00:00Z".parse().unwrap());
        let text: Vec<String> = script.into_iter().map(|(_, line)| line).collect();
        let events = read(&text.join("\n")).unwrap().events;
        let day = replay(&order, &events).unwrap();
        assert!(day.state.of("M1").unwrap().ended.is_some());
        assert_eq!(day.state.stops.len(), 3);
    }

    #[test]
    fn the_day_after_is_an_order_of_play_without_faults() {
        let ids: Vec<String> = (1..=8).map(|id| format!("P{id}")).collect();
        let order = next_order("2026-05-03", "Europe/Paris", &ids);
        let read = order_of_play::read(&order.to_string(), &Known::default()).unwrap();
        assert_eq!((read.order.matches.len(), read.order.courts.len()), (8, 3));
    }
}
