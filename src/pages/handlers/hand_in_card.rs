//! The card of the player at the counter, filled with what is known and what was typed.
use super::filled::Filled;
use super::hand_in_line::Known;
use super::hand_in_steps::{AS_LAST_TIME, spec_fields};
use super::refused::Failure;
use super::visit::Visitor;
use super::{change_wish, delegates, hand_in_draft, hand_in_due, hand_in_line, photos, words};
use crate::craft::spec::Pieces;
use crate::desk::court_times::coming_matches::ComingMatches;
use crate::desk::find::{self, PlayerCard, RacketOnCard};
use crate::desk::overview;
use crate::desk::reads::photos::Photo;
use crate::pages::parts::{Choice, Control, Field};
use crate::pages::views::hand_in::{Card, LastSpec, RacketCard, Wish};

/// A drop-off of more rackets than this is taken in twice.
const MOST_LINES: usize = 12;

/// Which of the three ways of ordering a form is in.
pub fn wish_of(form: &Filled) -> Wish {
    match form.get("wish") {
        "change" => Wish::Change,
        "new" => Wish::New,
        _ => Wish::Same,
    }
}

/// How many rackets a form is about.
pub fn lines_of(form: &Filled) -> usize {
    form.get("lines").parse().unwrap_or(1).clamp(1, MOST_LINES)
}

/// The card that belongs to a form.
///
/// # Errors
/// A page of its own where the player is not there.
pub async fn card(visitor: &Visitor, form: &Filled) -> Result<Card, Failure> {
    let (tournament, player_id) = (visitor.tournament(), form.get("player_id").to_owned());
    let asked = player_id.clone();
    let (now, memory) = (visitor.now, visitor.desk.court_memory());
    let (known, coming, frames, strings) = visitor
        .desk
        .read(move |db| {
            let (known, coming) = if asked.is_empty() {
                (None, ComingMatches::default())
            } else {
                let coming = ComingMatches::of(db, &tournament, &asked, now, &memory)?;
                (Some(find::card(db, &tournament, &asked)?), coming)
            };
            Ok((
                known,
                coming,
                overview::frames(db, &tournament)?,
                overview::strings(db, &tournament)?,
            ))
        })
        .await?;
    let frames: Vec<Choice> = frames
        .into_iter()
        .map(|(frame, _)| Choice::new(frame.id, frame.name))
        .collect();
    let strings: Vec<Choice> = strings
        .into_iter()
        .map(|row| Choice::new(row.id, row.name))
        .collect();
    let rackets: &[RacketOnCard] = known.as_ref().map_or(&[], |card| &card.rackets);
    // nothing to repeat: the first order of a racket is always a new spec, and what is in can't come again
    let may_repeat = rackets.iter().any(|one| one.last.is_some() && !is_in(one));
    let wish = if may_repeat { wish_of(form) } else { Wish::New };
    let chosen = first_choice(form, rackets);
    let ids = rackets.iter().map(|one| one.racket.id.clone()).collect();
    let kept = photos::of_rackets(visitor, ids).await?;
    let lines = lines_of(form);
    let common = Known {
        visitor,
        rackets,
        first: &chosen,
        frames: &frames,
        coming: &coming,
        wish,
    };
    Ok(Card {
        player: known
            .as_ref()
            .map(|card| card.player.display_name.clone())
            .unwrap_or_default(),
        latin: known.as_ref().map_or_else(String::new, |card| {
            words::latin(&card.record, &card.player.display_name)
        }),
        country: known
            .as_ref()
            .and_then(|card| card.record.country.clone())
            .unwrap_or_default(),
        speaks: known
            .as_ref()
            .and_then(|card| card.record.language.clone())
            .unwrap_or_default(),
        collectors: known
            .as_ref()
            .map(|card| delegates::in_words(&card.record))
            .unwrap_or_default(),
        next_match: hand_in_due::next_match(visitor, &coming),
        rackets: racket_cards(visitor, rackets, &chosen, &kept),
        new_player: if known.is_none() {
            new_player(form)
        } else {
            Vec::new()
        },
        wish,
        lines: (1..=lines)
            .map(|number| hand_in_line::line(&common, form, number))
            .collect(),
        spec: spec_fields(form, &strings, (wish == Wish::Change).then_some(AS_LAST_TIME)),
        same_again: same_again(known.as_ref(), &chosen),
        tag_by_hand: hand_written(form),
        written_time: Field::new("written_time", "Time on paper", Control::Time)
            .hint("Where it was taken in on paper before.")
            .value(form.get("written_time"))
            .optional(),
        problems: Vec::new(),
        remarks: Vec::new(),
        carried: hand_in_draft::carried(form, wish),
        drafted: false,
        may_repeat,
        player_id,
    })
}

fn first_choice(form: &Filled, rackets: &[RacketOnCard]) -> String {
    let free = rackets.iter().find(|one| !is_in(one));
    form.some("line_1_racket_id")
        .or_else(|| free.map(|one| one.racket.id.clone()))
        .unwrap_or_else(|| "new".to_owned())
}

/// Whether the racket is here already.
pub fn is_in(one: &RacketOnCard) -> bool {
    one.last.as_ref().is_some_and(|sheet| sheet.job.state != "out")
}

fn racket_cards(
    visitor: &Visitor,
    rackets: &[RacketOnCard],
    chosen: &str,
    kept: &[Photo],
) -> Vec<RacketCard> {
    let all = rackets.len();
    let card = |(place, one): (usize, &RacketOnCard)| RacketCard {
        // the player's own number, where there is one: a second count beside it would mix rackets up
        title: match &one.record.number {
            Some(number) => format!("Racket {number}"),
            None => format!("Racket {} of {all}", place + 1),
        },
        marks: one.record.marks.join(" "),
        label: one.racket.label_code.clone().unwrap_or_default(),
        frame: one.frame.name.clone(),
        range: one
            .frame
            .tension_range
            .as_ref()
            .map_or_else(String::new, |range| {
                format!("{}-{} {}", range.min, range.max, range.unit.symbol())
            }),
        last: one.last.as_ref().map(|sheet| LastSpec {
            when: visitor.time(sheet.job.received_at.utc()),
            mains: words::tension(&sheet.spec.mains.tension),
            mains_string: words::string_name(&sheet.spec.mains),
            crosses: words::tension(&sheet.spec.crosses.tension),
            crosses_string: words::string_name(&sheet.spec.crosses),
            pieces: match sheet.spec.pieces {
                Pieces::One => "one piece".to_owned(),
                Pieces::Two => "two pieces".to_owned(),
            },
        }),
        change_href: one
            .last
            .as_ref()
            .map_or_else(String::new, |sheet| change_wish::address(visitor, sheet)),
        already_in: one
            .last
            .as_ref()
            .filter(|_| is_in(one))
            .map_or_else(String::new, |sheet| {
                format!(
                    "already in as {}, since {}",
                    sheet.job.code,
                    visitor.time(sheet.job.received_at.utc())
                )
            }),
        racket_id: one.racket.id.clone(),
        chosen: one.racket.id == chosen,
        photos: photos::of_racket(visitor, kept, &one.racket.id, &words::marks(&one.record)),
    };
    rackets.iter().enumerate().map(card).collect()
}

fn new_player(form: &Filled) -> Vec<Field> {
    let field = |name: &str, label: &str| Field::new(name, label, Control::Text).value(form.get(name));
    vec![
        field("new_player_name", "Name to show"),
        field("new_player_country", "Country or club code").optional(),
        field("new_player_language", "Language")
            .hint("Such as en or ar, for ticket and phone.")
            .optional(),
    ]
}

fn same_again(known: Option<&PlayerCard>, chosen: &str) -> Vec<String> {
    let racket = known.and_then(|card| card.rackets.iter().find(|one| one.racket.id == chosen));
    let Some(last) = racket.and_then(|one| one.last.as_ref()) else {
        return Vec::new();
    };
    let (mains, crosses) = words::spec_lines(&last.spec);
    vec![mains, crosses]
}

/// Whether a tag was written by hand for one of the lines.
fn hand_written(form: &Filled) -> bool {
    let codes = (1..=lines_of(form)).any(|number| form.some(&format!("line_{number}_code")).is_some());
    codes || form.some("written_time").is_some()
}
