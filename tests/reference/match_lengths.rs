//! Whole matches: points, minutes, winners.
use std::collections::BTreeMap;

use serde_json::Value;
use weftdesk::craft::match_times::distribution::Distribution;
use weftdesk::craft::match_times::format::{MatchFormat, named};
use weftdesk::craft::match_times::play::{Clock, Course, Standing, play};
use weftdesk::craft::match_times::players::Strengths;
use weftdesk::craft::match_times::set::SetScore;

use super::{Members, Verdict, first_servers, pair};
use crate::answer::answer;
use crate::case::Case;

/// The format by its fields where they are given, else by its name; both must agree.
fn format(case: &Case) -> Result<MatchFormat, String> {
    let by_name = if case.has("format") {
        named(case.s("format")?)
    } else {
        None
    };
    if !case.has("format_fields") {
        return by_name.ok_or_else(|| "no such format".to_owned());
    }
    let fields = case.input("format_fields")?.clone();
    let format: MatchFormat = serde_json::from_value(fields).map_err(|why| why.to_string())?;
    if let Some((member, why)) = format.fault() {
        return Err(format!("{member} {why}"));
    }
    match by_name {
        Some(known) if known != format => Err("the named format has other fields".to_owned()),
        _ => Ok(format),
    }
}

fn standing(case: &Case) -> Result<Option<Standing>, String> {
    if !case.has("score") || case.input("score")?.is_null() {
        return Ok(None);
    }
    let score = Members::of(case.input("score")?, &["sets", "games", "points", "a_serves"])?;
    Ok(Some(Standing {
        sets: pair(score.get("sets"))?,
        set: SetScore {
            games: pair(score.get("games"))?,
            points: pair(score.get("points"))?,
            a_serves: score
                .get("a_serves")
                .and_then(Value::as_bool)
                .ok_or("a_serves is no yes or no")?,
        },
    }))
}

/// The course of the match, over the first servers that are meant.
fn course(case: &Case, clock: &Clock) -> Result<Course, String> {
    let (p, q, format) = (case.f("p")?, case.f("q")?, format(case)?);
    if let Some(standing) = standing(case)? {
        return Ok(play(p, q, &format, Some(&standing), clock));
    }
    match first_servers(case)?.as_slice() {
        [a_serves] => {
            let fresh = Standing {
                sets: [0, 0],
                set: SetScore {
                    games: [0, 0],
                    points: [0, 0],
                    a_serves: *a_serves,
                },
            };
            Ok(play(p, q, &format, Some(&fresh), clock))
        }
        _ => Ok(play(p, q, &format, None, clock)),
    }
}

fn sets(course: &[(u8, f64)]) -> BTreeMap<String, f64> {
    course
        .iter()
        .map(|(sets, mass)| (sets.to_string(), *mass))
        .collect()
}

pub(crate) fn match_points(case: &Case) -> Verdict {
    let course = course(case, &Clock::POINTS)?;
    let points = course.length();
    case.hold(vec![
        ("p_A_wins", answer(course.chance_of_a())),
        ("mean_points", answer(points.mean())),
        ("sd_points", answer(points.variance().sqrt())),
        ("p_sets", answer(sets(&course.sets))),
    ])
}

pub(crate) fn live_win(case: &Case) -> Verdict {
    case.hold(vec![(
        "p_A_wins",
        answer(course(case, &Clock::POINTS)?.chance_of_a()),
    )])
}

pub(crate) fn duration(case: &Case) -> Verdict {
    const STEP_S: f64 = 10.0;
    let clock = Clock {
        point_s: case.f("seconds_per_point")?,
        change_over_s: case.f("change_over_extra_s")?,
        set_break_s: case.f("set_break_extra_s")?,
        step_s: STEP_S,
    };
    let length = course(case, &clock)?.length();
    let minutes = |steps: f64| steps * STEP_S / 60.0;
    let quantile = |alpha: f64| minutes(length.quantile(alpha) as f64);
    case.hold(vec![
        ("mean", answer(minutes(length.mean()))),
        ("sd", answer(minutes(length.variance().sqrt()))),
        ("q05", answer(quantile(0.05))),
        ("q50", answer(quantile(0.5))),
        ("q95", answer(quantile(0.95))),
    ])
}

/// A mix of players against what was counted in real matches.
pub(crate) fn plausibility(case: &Case) -> Verdict {
    let mix = Members::of(case.input("mix")?, &["mu", "sd_mean", "sd_diff"])?;
    let strengths = Strengths {
        mean: mix.f("mu")?,
        sd_mean: mix.f("sd_mean")?,
        sd_difference: mix.f("sd_diff")?,
    };
    let format = format(case)?;
    let mut points = Distribution::default();
    let mut by_sets: BTreeMap<u8, f64> = BTreeMap::new();
    for pair in strengths.pairs(3, 9) {
        let course = play(pair.p, pair.q, &format, None, &Clock::POINTS);
        points.add(&course.length(), pair.weight);
        for (sets, mass) in course.sets {
            *by_sets.entry(sets).or_default() += pair.weight * mass;
        }
    }
    let by_sets: Vec<(u8, f64)> = by_sets.into_iter().collect();
    case.hold(vec![
        ("mean_points", answer(points.mean())),
        ("sd_points", answer(points.variance().sqrt())),
        ("p_sets", answer(sets(&by_sets))),
    ])
}
