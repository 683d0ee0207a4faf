//! What somebody at the desk enters about one match: called, begun, a score, its end, a move by hand.
use actix_web::web;

use super::Shown;
use super::court_times::{date, day_of, screen};
use super::filled::Filled;
use super::refused;
use super::visit::Visitor;
use crate::craft::match_times::day_state::Outcome;
use crate::desk::court_times::tell_match::{Told, tell_match};
use crate::desk::{DeskError, DeskResult};

/// Takes it in, and goes back to the match.
pub(super) async fn tell(visitor: Visitor, form: web::Form<Filled>) -> Shown {
    let (day, id) = (form.get("day").to_owned(), form.get("match").to_owned());
    let (asked, about, memory) = (form.clone(), id.clone(), visitor.desk.court_memory());
    let done = visitor.once("/court-times/matches", &form, move |tx| {
        let day = date(asked.get("day"))?;
        tell_match(tx, day, &about, told(&asked)?, &memory)?;
        Ok(day.to_string())
    });
    match done.await {
        Ok(day) => Ok(visitor.go_to(&format!("/court-times?day={day}#match-{id}"))),
        Err(error) => {
            let (status, problem) = refused::on_page(error, |pointer| match pointer {
                "/sets" | "/winner" | "/seq" => format!("{}-{id}", &pointer[1..]),
                _ => format!("match-{id}"),
            })?;
            let mut page = screen(&visitor, day_of(&visitor, &day)).await?;
            page.shell.problem = Some(problem);
            visitor.page(status, &page)
        }
    }
}

fn told(form: &Filled) -> DeskResult<Told> {
    Ok(match form.get("do") {
        "called" => Told::Called,
        "started" => Told::Started,
        "score" => {
            let sets = sets(form.get("sets"))?;
            if sets.is_empty() {
                return Err(wrong_sets());
            }
            Told::Score(sets)
        }
        "over" => Told::Over {
            how: form.get("how").parse().unwrap_or(Outcome::Completed),
            winner: match form.get("winner") {
                "1" => Some(1),
                "2" => Some(2),
                _ => return Err(DeskError::member("/winner", "missing", "Choose who goes on.")),
            },
            sets: sets(form.get("sets"))?,
        },
        "move" => Told::Moved {
            court: form.get("court").to_owned(),
            seq: form.get("seq").parse().map_err(|_unread| {
                DeskError::member(
                    "/seq",
                    "invalid_value",
                    "Write the place on the court as a number, 1 for the first.",
                )
            })?,
        },
        _ => Told::TakenBack,
    })
}

fn wrong_sets() -> DeskError {
    DeskError::member(
        "/sets",
        "invalid_value",
        "Write the score set by set, such as 6-4 2-1.",
    )
}

/// "6-4 7-6(5) 2-1" as pairs; the points of a tie-break are not kept.
fn sets(written: &str) -> DeskResult<Vec<[u8; 2]>> {
    let pair = |set: &str| -> Option<[u8; 2]> {
        let set = set.split('(').next().unwrap_or_default();
        let (one, other) = set.split_once(['-', ':', '–'])?;
        Some([one.parse().ok()?, other.parse().ok()?])
    };
    let sets = written
        .split([' ', ',', ';'])
        .filter(|set| !set.is_empty())
        .map(pair);
    sets.collect::<Option<Vec<_>>>().ok_or_else(wrong_sets)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_score_is_read_as_people_write_it() {
        assert_eq!(sets("6-4, 7-6(5) 2:1").unwrap(), [[6, 4], [7, 6], [2, 1]]);
        assert!(sets("").unwrap().is_empty());
        assert!(sets("6-four").is_err() && sets("six").is_err());
    }
}
