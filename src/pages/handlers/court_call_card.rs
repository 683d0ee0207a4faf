//! What is asked about the call of one player: which racket, which court, by when, who runs.
use super::court_call::{ELSEWHERE, Seen};
use super::filled::Filled;
use super::words;
use crate::craft::job::JobState;
use crate::craft::roles::Role;
use crate::desk::find::{PlayerCard, RacketOnCard};
use crate::pages::parts::Choice;
use crate::pages::views::court_call::Caller;

/// What is asked about a player's call; `plays_on` is the court they are on now, if that is known.
pub(super) fn caller(seen: &Seen, card: &PlayerCard, form: &Filled, plays_on: &str) -> Caller {
    let scanned = match (&seen.hits.job, &seen.hits.racket) {
        (Some(sheet), _) => Some(&sheet.racket.id),
        (None, racket) => racket.as_ref().map(|racket| &racket.id),
    };
    let chosen = scanned.map_or_else(|| form.get("racket_id"), String::as_str);
    let (known, never): (Vec<_>, Vec<_>) = card.rackets.iter().partition(|one| one.last.is_some());
    let mut rackets: Vec<Choice> = known
        .iter()
        .map(|one| {
            Choice::new(one.racket.id.clone(), named(one))
                .hint(where_it_is(one))
                .chosen(one.racket.id == chosen)
        })
        .collect();
    if let ([only], true) = (rackets.as_mut_slice(), chosen.is_empty()) {
        only.chosen = true;
    }
    let runner = form.get("runner_id");
    let mut runners = vec![Choice::new("", "whoever is free").chosen(runner.is_empty())];
    let people = seen
        .people
        .iter()
        .filter(|one| one.active && one.role == Role::Runner.as_str());
    runners.extend(
        people.map(|one| Choice::new(one.id.clone(), one.display_name.clone()).chosen(one.id == runner)),
    );
    Caller {
        player: card.player.display_name.clone(),
        player_id: card.player.id.clone(),
        may_change: known.iter().any(|one| !is_here(one)) || form.some("change").is_some(),
        rackets,
        never_strung: never.into_iter().map(named).collect(),
        courts: courts(seen, form, plays_on),
        other_court: form.get("other_court").to_owned(),
        change: form.get("change").to_owned(),
        wanted_by: form.get("wanted_by").to_owned(),
        runners,
    }
}

/// The courts of the day; the one that was chosen or that the player is on is taken already.
fn courts(seen: &Seen, form: &Filled, plays_on: &str) -> Vec<Choice> {
    let court = form.some("court").unwrap_or_else(|| plays_on.to_owned());
    let elsewhere = court == ELSEWHERE;
    let today = seen.boards.first().into_iter();
    let mut courts: Vec<Choice> = today
        .flat_map(|board| &board.plan.order.courts)
        .map(|one| Choice::new(one.label.clone(), one.label.clone()).chosen(one.label == court))
        .collect();
    if !court.is_empty() && !elsewhere && !courts.iter().any(|one| one.chosen) {
        courts.push(Choice::new(court.clone(), court).chosen(true));
    }
    courts.push(Choice::new(ELSEWHERE, "another place").chosen(elsewhere));
    courts
}

/// "racket 3, Frame One 16x19".
fn named(one: &RacketOnCard) -> String {
    let label = format!("{}, {}", words::racket(&one.record), one.frame.name);
    label.trim_start_matches(", ").to_owned()
}

fn is_here(one: &RacketOnCard) -> bool {
    one.last.as_ref().is_some_and(|sheet| sheet.job.state != "out")
}

fn where_it_is(one: &RacketOnCard) -> String {
    let Some(sheet) = &one.last else {
        return String::new();
    };
    match sheet.job.state.parse() {
        _ if !is_here(one) => {
            let pulls = [&sheet.spec.mains.tension, &sheet.spec.crosses.tension].map(words::tension);
            format!("not here: taken in, {} / {} again", pulls[0], pulls[1])
        }
        Ok(JobState::Ready) => format!("here as {}, ready: only a runner is missing", sheet.job.code),
        Ok(state) => format!("here as {}, {}", sheet.job.code, state.words()),
        Err(_) => format!("here as {}", sheet.job.code),
    }
}
