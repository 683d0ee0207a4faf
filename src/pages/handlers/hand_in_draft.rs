//! A Hand In form that is shown another way before it is sent: nothing that was filled in is lost.
use actix_web::http::StatusCode;

use super::filled::Filled;
use super::hand_in::{field_of, found, scan, screen, search, show_faults};
use super::hand_in_photos::Pictures;
use super::visit::Visitor;
use super::{Shown, hand_in_card, hand_in_photos, refused};
use crate::desk::DeskError;
use crate::desk::find::Found;
use crate::pages::views::hand_in::Wish;

/// Fields of a line that only some ways of ordering show.
const OF_A_LINE: [(&str, &[Wish]); 5] = [
    ("step", &[Wish::Change]),
    ("as_said", &[Wish::Change, Wish::New]),
    ("unit", &[Wish::Change, Wish::New]),
    ("frame_id", &[Wish::New]),
    ("marks", &[Wish::New]),
];
/// Fields of the drop-off that the same again does not show.
const OF_THE_SPEC: [&str; 5] = [
    "mains_string_id",
    "crosses_string_id",
    "own_string",
    "pieces",
    "note",
];

/// What was filled in and is not asked for in this way of ordering.
pub fn carried(form: &Filled, wish: Wish) -> Vec<(String, String)> {
    let lines = 1..=hand_in_card::lines_of(form);
    let of_lines = lines.flat_map(|number| {
        let unseen = OF_A_LINE.iter().filter(|(_, shown)| !shown.contains(&wish));
        unseen.map(move |(field, _)| format!("line_{number}_{field}"))
    });
    let of_spec = OF_THE_SPEC.iter().filter(|_| wish == Wish::Same);
    of_lines
        .chain(of_spec.map(|field| (*field).to_owned()))
        .filter_map(|name| form.some(&name).map(|value| (name, value)))
        .collect()
}

/// How the form is to be shown instead of taken in. Where no script runs the box for scans is a field of this form,
/// and Enter in any field means the scan if there is one.
pub fn asked(form: &Filled) -> Option<String> {
    match form.some("show")?.as_str() {
        "enter" => form.some("q").map(|_| "found".to_owned()),
        other => Some(other.to_owned()),
    }
}

/// The same form as `show` asks for it; `wrong` is what ails a photo that came along.
pub async fn again(
    visitor: &Visitor,
    mut form: Filled,
    show: &str,
    pictures: &Pictures,
    wrong: Option<DeskError>,
) -> Shown {
    let mut hits = Found::default();
    let mut pictures = pictures.clone();
    match show {
        "same" | "change" | "new" => form.put("wish", show),
        "more" => form.put("lines", (hand_in_card::lines_of(&form) + 1).to_string()),
        "found" => hits = search(visitor, form.get("q"), form.get("player_id")).await?,
        other => {
            if let Some(racket) = other.strip_prefix("racket:") {
                form.put("line_1_racket_id", racket);
            } else if let Some(Ok(gone)) = other.strip_prefix("less:").map(str::parse) {
                leave_out(&mut form, &mut pictures, gone);
            }
        }
    }
    // a racket of somebody else's is offered, and their card does not push this one away
    let added = show == "found" && scan(&mut form, &hits, false);
    let query = if added { "" } else { form.get("q") };
    let mut page = screen(visitor, query).await?;
    page.found = (show == "found" && !added && !query.is_empty()).then(|| found(hits));
    let mut card = hand_in_card::card(visitor, &form).await?;
    card.drafted = true;
    let mut status = StatusCode::OK;
    if let Some(error) = wrong {
        let (answer, problem) = refused::on_page(error, field_of)?;
        show_faults(&mut card, &problem);
        page.shell.problem = Some(problem);
        status = answer;
    }
    hand_in_photos::put_back(&mut card, &pictures);
    page.card = Some(card);
    visitor.page(status, &page)
}

/// Takes a line off the form; those behind it move up.
fn leave_out(form: &mut Filled, pictures: &mut Pictures, gone: usize) {
    let lines = hand_in_card::lines_of(form);
    if lines < 2 || !(1..=lines).contains(&gone) {
        return;
    }
    form.0.retain_mut(|(name, _)| {
        let of_line = name.strip_prefix("line_").and_then(|rest| rest.split_once('_'));
        let Some((Ok(number), field)) = of_line.map(|(number, field)| (number.parse::<usize>(), field))
        else {
            return true;
        };
        if number > gone {
            *name = format!("line_{}_{field}", number - 1);
        }
        number != gone
    });
    form.put("lines", (lines - 1).to_string());
    pictures.retain(|(number, _)| *number != gone);
    for (number, _) in pictures {
        *number -= usize::from(*number > gone);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn enter_is_a_scan_where_one_was_made_and_takes_in_otherwise() {
        let mut form = Filled::default();
        assert_eq!(asked(&form), None);
        form.put("show", "enter");
        form.put("q", " ");
        assert_eq!(asked(&form), None);
        form.put("q", "LABEL");
        assert_eq!(asked(&form).as_deref(), Some("found"));
        form.put("show", "more");
        assert_eq!(asked(&form).as_deref(), Some("more"));
    }

    #[test]
    fn a_line_that_is_taken_off_leaves_the_others_as_they_were() {
        let mut form = Filled::default();
        for (name, value) in [
            ("lines", "3"),
            ("line_1_racket_id", "a"),
            ("line_2_racket_id", "b"),
            ("line_3_racket_id", "c"),
            ("line_3_damage", "throat"),
            ("note", "two knots"),
        ] {
            form.put(name, value);
        }
        leave_out(&mut form, &mut Vec::new(), 2);
        assert_eq!(form.get("lines"), "2");
        assert_eq!(
            (form.get("line_1_racket_id"), form.get("line_2_racket_id")),
            ("a", "c")
        );
        assert!(form.has("line_2_damage", "throat") && !form.has_field("line_3_racket_id"));
        leave_out(&mut form, &mut Vec::new(), 7);
        assert_eq!((form.get("lines"), form.get("note")), ("2", "two knots"));
    }

    #[test]
    fn what_a_way_of_ordering_does_not_show_is_carried_and_nothing_twice() {
        let mut form = Filled::default();
        for (name, value) in [
            ("lines", "2"),
            ("line_1_as_said", "24/23"),
            ("line_2_step", "one kilo down"),
            ("line_1_marks", ""),
            ("note", "two knots"),
        ] {
            form.put(name, value);
        }
        let names =
            |wish| -> Vec<String> { carried(&form, wish).into_iter().map(|(name, _)| name).collect() };
        assert_eq!(names(Wish::Same), ["line_1_as_said", "line_2_step", "note"]);
        assert_eq!(names(Wish::New), ["line_2_step"]);
        assert_eq!(names(Wish::Change), Vec::<String>::new());
    }
}
