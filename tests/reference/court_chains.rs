//! Courts, ready-by, risk and the venue's clock.
use std::collections::BTreeMap;

use chrono::{DateTime, NaiveDate, NaiveDateTime, SecondsFormat, Utc};
use chrono_tz::Tz;
use serde_json::Value;
use weftdesk::craft::match_times::court_chain::{court_free, last_point, walk_on};
use weftdesk::craft::match_times::distribution::Distribution;
use weftdesk::craft::match_times::format::named;
use weftdesk::craft::match_times::live::given_elapsed;
use weftdesk::craft::match_times::play::{Clock, play};
use weftdesk::craft::match_times::ready_by::Demand;
use weftdesk::craft::match_times::venue_time::{day_instant, instant};

use super::{Members, Verdict, masses};
use crate::answer::answer;
use crate::case::Case;

fn distribution(value: &Value) -> Result<Distribution, String> {
    let masses = value
        .as_object()
        .ok_or_else(|| format!("{value} is no distribution"))?;
    let pairs: Result<Vec<(i64, f64)>, String> = masses
        .iter()
        .map(|(at, mass)| Ok((minute(at)?, mass.as_f64().ok_or("a mass is no number")?)))
        .collect();
    Ok(Distribution::from_pairs(&pairs?))
}

fn minute(text: &str) -> Result<i64, String> {
    text.parse().map_err(|why| format!("{text}: {why}"))
}

fn whole(case: &Case, name: &str) -> Result<i64, String> {
    case.input(name)?
        .as_i64()
        .ok_or_else(|| format!("{name} is no whole number"))
}

fn whole_or(case: &Case, name: &str, otherwise: i64) -> Result<i64, String> {
    if case.has(name) {
        whole(case, name)
    } else {
        Ok(otherwise)
    }
}

/// One match of a chain: not before, warm-up, turnaround, walkovers, length.
struct Link {
    not_before: Option<i64>,
    warm_up: i64,
    turnaround: i64,
    walkover: f64,
    length: Distribution,
}

pub(crate) fn chain(case: &Case) -> Verdict {
    let links = if case.has("matches") {
        listed(case)?
    } else {
        alike(case)?
    };
    let mut free: Option<Distribution> = None;
    let (mut walk_ons, mut ends, mut frees) = (Vec::new(), Vec::new(), Vec::new());
    for link in links {
        let floor = link.not_before.unwrap_or(i64::MIN / 2);
        let start = walk_on(floor, free.as_slice());
        let end = last_point(&start, link.warm_up, &link.length);
        let before = free.unwrap_or_else(|| start.clone());
        let next = court_free(&end, link.turnaround, link.walkover, &before);
        walk_ons.push(start);
        ends.push(end);
        frees.push(next.clone());
        free = Some(next);
    }
    let all = |list: &[Distribution]| list.iter().map(masses).collect::<Vec<_>>();
    let quantiles: Vec<BTreeMap<String, f64>> = walk_ons.iter().map(summary).collect();
    case.hold(vec![
        ("walk_on_pmf", answer(all(&walk_ons))),
        ("end_pmf", answer(all(&ends))),
        ("court_free_pmf", answer(all(&frees))),
        ("walk_on", answer(quantiles)),
    ])
}

fn summary(walk_on: &Distribution) -> BTreeMap<String, f64> {
    let quantile = |alpha: f64| walk_on.quantile(alpha) as f64;
    let named = [
        ("q05", quantile(0.05)),
        ("q50", quantile(0.5)),
        ("q95", quantile(0.95)),
        ("mean", walk_on.mean()),
    ];
    named.map(|(name, value)| (name.to_owned(), value)).into()
}

fn listed(case: &Case) -> Result<Vec<Link>, String> {
    let known = [
        "not_before",
        "warm_up",
        "turnaround",
        "p_walkover",
        "duration_pmf",
    ];
    let matches = case.input("matches")?.as_array().ok_or("matches is no list")?;
    matches
        .iter()
        .map(|value| {
            let members = Members::of(value, &known)?;
            let whole =
                |name: &str, otherwise: i64| members.get(name).and_then(Value::as_i64).unwrap_or(otherwise);
            Ok(Link {
                not_before: members.get("not_before").and_then(Value::as_i64),
                warm_up: whole("warm_up", 0),
                turnaround: whole("turnaround", 0),
                walkover: members.get("p_walkover").and_then(Value::as_f64).unwrap_or(0.0),
                length: distribution(members.get("duration_pmf").ok_or("no duration_pmf")?)?,
            })
        })
        .collect()
}

/// Matches of one kind, one after another.
fn alike(case: &Case) -> Result<Vec<Link>, String> {
    let clock = Clock {
        point_s: case.f("seconds_per_point")?,
        change_over_s: if case.has("change_over_extra_s") {
            case.f("change_over_extra_s")?
        } else {
            70.0
        },
        set_break_s: if case.has("set_break_extra_s") {
            case.f("set_break_extra_s")?
        } else {
            100.0
        },
        step_s: 60.0,
    };
    let format = named(case.s("format")?).ok_or("no such format")?;
    let length = play(case.f("p")?, case.f("q")?, &format, None, &clock).length();
    let walkover = if case.has("p_walkover") {
        case.f("p_walkover")?
    } else {
        0.0
    };
    let (warm_up, turnaround) = (whole(case, "warm_up")?, whole(case, "turnaround")?);
    let not_before = case
        .input("not_before")?
        .as_array()
        .ok_or("not_before is no list")?;
    Ok(not_before
        .iter()
        .map(|at| Link {
            not_before: at.as_i64(),
            warm_up,
            turnaround,
            walkover,
            length: length.clone(),
        })
        .collect())
}

pub(crate) fn chain_live(case: &Case) -> Verdict {
    let (begun, now) = (whole(case, "first_point_at")?, whole(case, "now")?);
    let stopped = whole_or(case, "suspended_min", 0)?;
    let length = given_elapsed(&distribution(case.input("duration_pmf")?)?, now - begun - stopped);
    let end = length.shifted(begun + stopped);
    let free = court_free(&end, whole(case, "turnaround")?, 0.0, &end);
    case.hold(vec![
        ("court_free_pmf", answer(masses(&free))),
        ("end_pmf", answer(masses(&end))),
    ])
}

/// The mean and standard deviation of `normal(200,20)`.
fn normal(value: &Value) -> Option<(f64, f64)> {
    let inside = value.as_str()?.strip_prefix("normal(")?.strip_suffix(')')?;
    let (mean, sd) = inside.split_once(',')?;
    Some((mean.trim().parse().ok()?, sd.trim().parse().ok()?))
}

fn demand(case: &Case) -> Result<Demand, String> {
    Ok(Demand {
        lead_min: whole(case, "lead")?,
        handling_min: whole(case, "handling")?,
        alpha: if case.has("alpha") {
            case.f("alpha")?
        } else {
            Demand::default().alpha
        },
    })
}

pub(crate) fn risk(case: &Case) -> Verdict {
    let demand = demand(case)?;
    let names = if case.has("walk_on") {
        ["walk_on", "completion"]
    } else {
        ["walk_on_pmf", "completion_pmf"]
    };
    let (walk_on, completion) = (case.input(names[0])?, case.input(names[1])?);
    if let (Some(walk_on), Some(completion)) = (normal(walk_on), normal(completion)) {
        let at_walk_on = Demand {
            lead_min: 0,
            ..demand
        };
        return case.hold(vec![
            (
                "p_late_for_lead",
                answer(demand.soft_risk_of_normals(walk_on, completion)),
            ),
            (
                "p_not_ready_at_walk_on",
                answer(at_walk_on.soft_risk_of_normals(walk_on, completion)),
            ),
        ]);
    }
    let risk = demand.risk(&distribution(walk_on)?, &distribution(completion)?);
    case.hold(vec![
        ("p_late_for_lead", answer(risk.soft)),
        ("p_not_ready_at_walk_on", answer(risk.hard)),
        ("expected_late", answer(risk.expected_late_min)),
    ])
}

pub(crate) fn due(case: &Case) -> Verdict {
    let demand = demand(case)?;
    case.hold(vec![(
        "due",
        answer(demand.due(&distribution(case.input("walk_on_pmf")?)?)),
    )])
}

pub(crate) fn time_zone(case: &Case) -> Verdict {
    let zone: Tz = case.s("tzid")?.parse().map_err(|_unread| "no such zone")?;
    let found: Option<(DateTime<Utc>, _)> = if case.has("local") {
        let local: NaiveDateTime = case.s("local")?.parse().map_err(|_unread| "no local time")?;
        instant(zone, local)
    } else {
        let day: NaiveDate = case.s("tournament_day")?.parse().map_err(|_unread| "no date")?;
        let time = case.s("not_before")?.parse().map_err(|why| format!("{why}"))?;
        day_instant(zone, day, time)
    };
    let (at, _) = found.ok_or("no such instant")?;
    case.hold(vec![(
        "utc",
        answer(at.to_rfc3339_opts(SecondsFormat::Secs, true)),
    )])
}
