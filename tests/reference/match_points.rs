//! Games, tie-breaks, rally games and sets.
use weftdesk::craft::match_times::format::RallyFormat;
use weftdesk::craft::match_times::game::PointsLeft;
use weftdesk::craft::match_times::set::{SetRules, SetScore};
use weftdesk::craft::match_times::{format, game, rally_game as rally, set, tie_break};

use super::{Verdict, count, first_servers, lengths, mean, stations};
use crate::answer::answer;
use crate::case::Case;

pub(crate) fn game(case: &Case) -> Verdict {
    let no_ad = case.has("no_ad") && case.input("no_ad")?.as_bool().ok_or("no_ad is no yes or no")?;
    let left = game::game(case.f("p")?, no_ad, [0, 0]);
    let all = left.whoever_wins();
    case.hold(vec![
        ("p_server_wins", answer(left.won.total())),
        ("mean_points", answer(all.mean())),
        ("var_points", answer(all.variance())),
        ("sd_points", answer(all.variance().sqrt())),
    ])
}

pub(crate) fn game_live(case: &Case) -> Verdict {
    let no_ad = case.has("no_ad") && case.input("no_ad")?.as_bool().ok_or("no_ad is no yes or no")?;
    let from = [
        count(case.f("server_points")?)?,
        count(case.f("receiver_points")?)?,
    ];
    let left = game::game(case.f("p")?, no_ad, from);
    case.hold(vec![
        ("p_server_wins", answer(left.won.total())),
        ("mean_points_left", answer(left.whoever_wins().mean())),
        ("var_points_left", answer(left.whoever_wins().variance())),
    ])
}

pub(crate) fn tie_break(case: &Case) -> Verdict {
    let (p, q) = (case.f("p_A_serving")?, case.f("q_B_serving")?);
    let target = count(case.f("target")?)?;
    let from = if case.has("points") {
        super::pair(Some(case.input("points")?))?
    } else {
        [0, 0]
    };
    let left: Vec<PointsLeft> = first_servers(case)?
        .into_iter()
        .map(|a_first| tie_break::tie_break(p, q, target, from, a_first))
        .collect();
    let average = |of: fn(&PointsLeft) -> f64| mean(&left.iter().map(of).collect::<Vec<_>>());
    case.hold(vec![
        ("p_A_wins", answer(average(|left| left.won.total()))),
        ("mean_points", answer(average(|left| left.whoever_wins().mean()))),
        (
            "var_points",
            answer(average(|left| left.whoever_wins().variance())),
        ),
    ])
}

pub(crate) fn rally_game(case: &Case) -> Verdict {
    let lead = if case.has("lead") { case.f("lead")? } else { 2.0 };
    if (lead - 2.0).abs() > 1e-9 {
        return Err("rally games are won by a lead of two".to_owned());
    }
    let cap = if case.has("cap") {
        case.input("cap")?.as_f64()
    } else {
        None
    };
    let rules = RallyFormat {
        need: 1,
        pts: count(case.f("target")?)?,
        cap: cap.map(count).transpose()?,
        mid: None,
        mid_s: 0.0,
        brk_s: 0.0,
    };
    // one chance on every rally, or one on either serve
    let p = case.f("p")?;
    let q = if case.has("q") { case.f("q")? } else { 1.0 - p };
    let first = first_servers(case)?;
    let left: Vec<PointsLeft> = first
        .into_iter()
        .map(|a| rally::rally_game(p, q, &rules, [0, 0], a))
        .collect();
    let average = |of: fn(&PointsLeft) -> f64| mean(&left.iter().map(of).collect::<Vec<_>>());
    case.hold(vec![
        ("p_win", answer(average(|left| left.won.total()))),
        ("mean_points", answer(average(|left| left.whoever_wins().mean()))),
    ])
}

/// Games at which the tie-break comes, from `6-6` or a number; none for a set without one.
fn tie_break_at(case: &Case) -> Result<Option<u8>, String> {
    if !case.has("tiebreak_at") {
        return Ok(None);
    }
    let value = case.input("tiebreak_at")?;
    if value.is_null() || value == "none" {
        return Ok(None);
    }
    let text = value.as_str().map_or_else(|| value.to_string(), str::to_owned);
    let games = text.split('-').next().unwrap_or_default();
    games.parse().map(Some).map_err(|why| format!("{text}: {why}"))
}

pub(crate) fn set(case: &Case) -> Verdict {
    let (p, q) = (case.f("p")?, case.f("q")?);
    // the published set is the ordinary one
    let published = !case.has("games");
    let rules = format::SetsFormat {
        need: 1,
        games: if published { 6 } else { count(case.f("games")?)? },
        tb_at: if published { Some(6) } else { tie_break_at(case)? },
        tb: if case.has("tb_points") {
            count(case.f("tb_points")?)?
        } else {
            7
        },
        noad: case.has("no_ad") && case.input("no_ad")?.as_bool().unwrap_or(false),
        decider: format::Decider::Set,
        final_tb: 7,
    };
    let mut sums = [0.0; 4];
    let first = first_servers(case)?;
    for a_serves in &first {
        let fresh = SetScore {
            games: [0, 0],
            points: [0, 0],
            a_serves: *a_serves,
        };
        for ending in set::set(p, q, &SetRules::of(&rules, false), &fresh) {
            let mass = ending.points.total() / first.len() as f64;
            sums[0] += if ending.a_wins { mass } else { 0.0 };
            sums[1] += f64::from(ending.games) * mass;
            sums[2] += ending.points.mean() * mass;
            sums[3] += if ending.tie_break { mass } else { 0.0 };
        }
    }
    case.hold(vec![
        ("p_A_wins", answer(sums[0])),
        ("mean_games", answer(sums[1])),
        ("mean_points", answer(sums[2])),
        ("p_reaches_tiebreak", answer(sums[3])),
    ])
}

/// Published values of any of these things, told apart by what is given.
pub(crate) fn published(case: &Case) -> Verdict {
    if case.has("stations") {
        stations::erlang(case)
    } else if case.has("format") {
        lengths::match_points(case)
    } else if case.has("p_A_serving") {
        tie_break(case)
    } else if case.has("q") {
        set(case)
    } else {
        game(case)
    }
}
