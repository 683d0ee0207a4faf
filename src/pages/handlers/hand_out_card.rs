//! The card of the player who collects: what is here, what may leave, what proves it.
use super::filled::Filled;
use super::refused::Failure;
use super::visit::Visitor;
use super::{delegates, photos, words};
use crate::craft::job::JobAction;
use crate::desk::find::{self, PlayerCard};
use crate::desk::job_sheet::JobSheet;
use crate::desk::reads::photos::Photo;
use crate::desk::register_player::KEEPERS;
use crate::desk::spare::note_spare;
use crate::desk::{DeskResult, legal, overview};
use crate::pages::parts::{Choice, Control, Field};
use crate::pages::views::hand_out::{Owner, OwnerRacket};

/// The ways out besides the usual one: action, label, what it means, what a racket's line says.
const OTHER_WAYS: [(JobAction, &str, &str, &str); 3] = [
    (
        JobAction::GiveBack,
        "Give back as it is",
        "Not strung, without a charge",
        "as it is",
    ),
    (
        JobAction::CourtRelease,
        "Release to the court",
        "Without the check; that is recorded",
        "to the court",
    ),
    (
        JobAction::Return,
        "Return",
        "The job was cancelled",
        "back, cancelled",
    ),
];

/// A racket of the player that is still here, with what may happen to it.
struct Here {
    sheet: JobSheet,
    may: Vec<JobAction>,
}

/// What is here, and whether anybody could be the second person.
async fn here(visitor: &Visitor, player_id: &str) -> DeskResult<(PlayerCard, Vec<Here>, bool)> {
    let (tournament, asked) = (visitor.tournament(), player_id.to_owned());
    let (role, now, own) = (
        visitor.caller.role,
        visitor.now,
        visitor.caller.account_id.clone(),
    );
    let read = visitor.desk.read(move |db| {
        let card = find::card(db, &tournament, &asked)?;
        let others = overview::all_accounts(db, &tournament)?.into_iter();
        let mut others = others.filter(|one| one.active && Some(&one.id) != own.as_ref());
        let second = others.any(|one| one.pin_hash.is_some());
        let mut sheets = overview::sheets_of_player(db, &tournament, &asked)?;
        note_spare(db, &tournament, now, &mut sheets)?;
        let mut all = Vec::new();
        for sheet in sheets {
            if matches!(sheet.job.state.as_str(), "out" | "expected") {
                continue;
            }
            let allowed = legal::allowed(db, &sheet, role, now)?.into_iter();
            let may = allowed.filter(|one| one.allowed).map(|one| one.name);
            let may = may.collect();
            all.push(Here { sheet, may });
        }
        Ok((card, all, second))
    });
    read.await
}

/// The card of the player whose rackets leave.
///
/// # Errors
/// A page of its own where the player is not there.
pub async fn owner(visitor: &Visitor, player_id: &str, form: &Filled) -> Result<Owner, Failure> {
    let (card, here, second) = here(visitor, player_id).await?;
    let field = |name: &str, label: &str| {
        Field::new(name, label, Control::Text)
            .value(form.get(name))
            .free()
    };
    let ids = here.iter().map(|one| one.sheet.racket.id.clone()).collect();
    let kept = photos::of_rackets(visitor, ids).await?;
    let some_may = |action: JobAction| here.iter().any(|one| one.may.contains(&action));
    let other_ways = OTHER_WAYS.iter().filter(|(action, ..)| some_may(*action));
    Ok(Owner {
        summary: summary(visitor, &here),
        rackets: here.iter().map(|one| racket(visitor, one, form, &kept)).collect(),
        proofs: proofs(&card, form, second),
        proof_value: field("proof_value", "What it says, scanned or typed"),
        collector: field("collector", "Who takes them, if somebody else"),
        reason: field("reason", "Why without proof"),
        second_pin: Field::new("second_pin", "PIN of the second person", Control::Pin)
            .free()
            .autocomplete("off"),
        delegates: visitor.caller.must_be(&KEEPERS).is_ok().then(|| {
            let (typed, often) = (form.get("delegate_name"), form.get("delegate_often"));
            delegates::part(&card.record, typed, often)
        }),
        may_give_out: some_may(JobAction::HandOut),
        other_ways: other_ways
            .map(|(action, label, hint, _)| Choice::new(action.as_str(), *label).hint(*hint))
            .collect(),
        player: words::with_latin(&card.record, &card.player.display_name),
        player_id: card.player.id,
        country: card.record.country.unwrap_or_default(),
    })
}

/// "2 of 3 ready; the next about 14:40".
fn summary(visitor: &Visitor, here: &[Here]) -> String {
    let ready = here.iter().filter(|one| one.sheet.job.state == "ready").count();
    let promised = here.iter().filter(|one| one.sheet.job.state != "ready");
    let next = promised.filter_map(|one| one.sheet.job.promised_at).min();
    match (here.len(), next) {
        (0, _) => "No racket of theirs is here.".to_owned(),
        (all, Some(at)) => format!(
            "{ready} of {all} ready; the next about {}",
            visitor.time(at.utc())
        ),
        (all, None) => format!("{ready} of {all} ready"),
    }
}

/// Whoever comes most often stands first: coaches and partners collect most rackets (common practice, no source).
fn proofs(card: &PlayerCard, form: &Filled, second: bool) -> Vec<Choice> {
    let tile = |name: &String, hint| Choice::new(format!("delegate:{name}"), name.clone()).hint(hint);
    let always = card
        .record
        .delegates
        .iter()
        .map(|name| tile(name, "May collect."));
    let once = card.record.delegates_once.iter();
    let mut all: Vec<Choice> = always
        .chain(once.map(|name| tile(name, "May collect this time.")))
        .collect();
    all.extend([
        Choice::new("ticket", "Ticket").hint("Scan its square."),
        Choice::new("phone_code", "Phone code").hint("Six digits."),
        Choice::new("badge", "Badge").hint("Scan it."),
        Choice::new("override", "Nothing proves it").hint(if second {
            "Two decide: a second person types their PIN."
        } else {
            "Needs a second person with a PIN, and nobody else has one yet: Setup gives it to them."
        }),
    ]);
    for one in &mut all {
        one.chosen = form.get("proof") == one.value;
    }
    all
}

fn racket(visitor: &Visitor, here: &Here, form: &Filled, kept: &[Photo]) -> OwnerRacket {
    let sheet = &here.sheet;
    let usual = here.may.contains(&JobAction::HandOut);
    let other = OTHER_WAYS.iter().find(|(action, ..)| here.may.contains(action));
    let promised = sheet.job.promised_at.filter(|_| sheet.job.state != "ready");
    OwnerRacket {
        job_id: sheet.job.id.clone(),
        code: sheet.job.code.clone(),
        racket: words::racket(&sheet.racket_record),
        photos: photos::of_job(visitor, kept, sheet),
        slot: overview::slot_of(sheet).unwrap_or_default(),
        state: words::state_chip(sheet, visitor.now),
        may_leave: usual || other.is_some(),
        chosen: form.has("job_id", &sheet.job.id),
        way: match other {
            Some((.., way)) if !usual => (*way).to_owned(),
            _ => String::new(),
        },
        about: promised.map_or_else(String::new, |at| format!("about {}", visitor.time(at.utc()))),
    }
}
