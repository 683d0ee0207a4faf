//! Topics of match times and of stations, each answered by public functions of `craft`.
use std::collections::BTreeMap;

use serde_json::{Map, Value};
use weftdesk::craft::match_times::distribution::Distribution;

use crate::case::Case;

#[path = "court_chains.rs"]
mod chains;
#[path = "match_lengths.rs"]
mod lengths;
#[path = "match_points.rs"]
mod points;
#[path = "stations.rs"]
mod stations;

/// Whether a case is answered as its source says.
pub(crate) type Verdict = Result<(), String>;

pub(crate) fn check(case: &Case) -> Verdict {
    match case.topic.as_str() {
        "game" => points::game(case),
        "game_live" => points::game_live(case),
        "tiebreak" => points::tie_break(case),
        "rally_game" => points::rally_game(case),
        "set" => points::set(case),
        "published" => points::published(case),
        "match" => lengths::match_points(case),
        "live_win" => lengths::live_win(case),
        "duration_min" => lengths::duration(case),
        "plausibility" => lengths::plausibility(case),
        "chain" => chains::chain(case),
        "chain_live" => chains::chain_live(case),
        "risk" => chains::risk(case),
        "due" => chains::due(case),
        "time_zone" => chains::time_zone(case),
        "erlang_c" => stations::erlang(case),
        "stations" => stations::completions(case),
        "demand_bound" => stations::bound(case),
        topic => Err(format!("nothing answers topic {topic}")),
    }
}

/// An object's members, all of which must be read.
pub(crate) struct Members<'a> {
    object: &'a Map<String, Value>,
    known: &'a [&'a str],
}

impl<'a> Members<'a> {
    pub(crate) fn of(value: &'a Value, known: &'a [&'a str]) -> Result<Self, String> {
        let object = value.as_object().ok_or_else(|| format!("{value} is no object"))?;
        match object.keys().find(|name| !known.contains(&name.as_str())) {
            Some(name) => Err(format!("unknown member {name}")),
            None => Ok(Self { object, known }),
        }
    }

    pub(crate) fn get(&self, name: &str) -> Option<&'a Value> {
        assert!(self.known.contains(&name), "{name} is not declared");
        self.object.get(name).filter(|value| !value.is_null())
    }

    pub(crate) fn f(&self, name: &str) -> Result<f64, String> {
        self.get(name)
            .and_then(Value::as_f64)
            .ok_or_else(|| format!("{name} is no number"))
    }
}

/// Two small counts, such as a score.
pub(crate) fn pair(value: Option<&Value>) -> Result<[u8; 2], String> {
    let Some(value) = value else { return Ok([0, 0]) };
    serde_json::from_value(value.clone()).map_err(|why| format!("{value}: {why}"))
}

/// A count from a number of the case.
pub(crate) fn count(value: f64) -> Result<u8, String> {
    (0..=255)
        .find(|count| (f64::from(*count) - value).abs() < 1e-9)
        .ok_or_else(|| format!("{value} is no small count"))
}

/// Which of A and B serves first, or either with one half.
pub(crate) fn first_servers(case: &Case) -> Result<Vec<bool>, String> {
    if !case.has("first_server") {
        return Ok(vec![true, false]);
    }
    match case.s("first_server")? {
        "A" => Ok(vec![true]),
        "B" => Ok(vec![false]),
        either if either.starts_with("either") => Ok(vec![true, false]),
        other => Err(format!("no first server {other}")),
    }
}

pub(crate) fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

/// A distribution as the reference writes it: number to mass, nothing where there is no mass.
pub(crate) fn masses(distribution: &Distribution) -> BTreeMap<String, f64> {
    let masses = distribution.iter().filter(|(_, mass)| *mass > 1e-12);
    masses.map(|(at, mass)| (at.to_string(), mass)).collect()
}
