//! An order of play as JSON.
use serde_json::{Map, Value, json};

use super::SCHEMA;
use super::sides::written;
use crate::craft::match_times::order::{Court, Entrant, Match, OrderOfPlay};
use crate::craft::sport::Sport;

/// The order as a JSON document; [`super::read`] reads it back.
#[must_use]
pub fn json(order: &OrderOfPlay) -> Value {
    json!({
        "schema": SCHEMA,
        "tournament": order.tournament,
        "tzid": order.zone.name(),
        "day": order.day.to_string(),
        "version": order.version,
        "defaults": {
            "warm_up_min": order.defaults.handover.warm_up_min,
            "turnaround_min": order.defaults.handover.turnaround_min,
            "rest_min": order.defaults.rest_min,
        },
        "courts": order.courts.iter().map(court).collect::<Vec<_>>(),
        "draws": draws(order),
        "matches": order.matches.iter().map(one).collect::<Vec<_>>(),
    })
}

fn court(court: &Court) -> Value {
    let mut object = json!({
        "id": court.id,
        "label": court.label,
        "surface": court.surface.as_str(),
        "covered": court.covered,
    });
    for (name, time) in [("opens", court.opens), ("closes", court.closes)] {
        if let Some(time) = time {
            object[name] = json!(time.to_string());
        }
    }
    object
}

/// The draws whose mix does not follow from their letters.
fn draws(order: &OrderOfPlay) -> Vec<Value> {
    let mixes: std::collections::BTreeMap<&str, &str> = order
        .matches
        .iter()
        .filter_map(|played| Some((played.draw.as_str(), played.mix?.as_str())))
        .collect();
    mixes
        .into_iter()
        .filter(|(draw, _)| !draw.is_empty())
        .map(|(id, mix)| json!({"id": id, "mix": mix}))
        .collect()
}

/// The sport's word.
pub(super) const fn discipline(sport: Sport) -> &'static str {
    match sport {
        Sport::Tennis => "tennis",
        Sport::Badminton => "badminton",
        Sport::Squash => "squash",
    }
}

fn one(played: &Match) -> Value {
    let mut object = Map::new();
    let mut put = |name: &str, value: Value| object.insert(name.to_owned(), value);
    put("id", json!(played.id));
    put("court", json!(played.court));
    put("seq", json!(played.seq));
    put("discipline", json!(discipline(played.sport)));
    put("draw", json!(played.draw));
    put("round", json!(played.round));
    put(
        "format",
        played
            .format_name
            .as_ref()
            .map_or_else(|| json!(played.format), |name| json!(name)),
    );
    let time = played.start.time.map(|time| time.to_string());
    put(
        "start",
        match time {
            Some(time) => json!({"rule": played.start.rule.as_str(), "time": time}),
            None => json!({"rule": played.start.rule.as_str()}),
        },
    );
    put(
        "sides",
        Value::Array(
            played
                .sides
                .iter()
                .map(|side| Value::Array(side.iter().map(entrant).collect()))
                .collect(),
        ),
    );
    if let Some(rest) = played.rest_min {
        put("rest_min", json!(rest));
    }
    if !played.after.is_empty() {
        put("after", json!(played.after));
    }
    if !played.note.is_empty() {
        put("note", json!(played.note));
    }
    if let Some(score) = &played.carried {
        put("score", json!(score));
    }
    Value::Object(object)
}

fn entrant(entrant: &Entrant) -> Value {
    match entrant {
        Entrant::WinnerOf(id) => json!({"winner_of": id}),
        Entrant::LoserOf(id) => json!({"loser_of": id}),
        other => json!(written(std::slice::from_ref(other))),
    }
}
