//! A wish as it was spoken over the counter: made numbers, read back, and only then stored.
use serde::Deserialize;
use utoipa::ToSchema;

use crate::craft::frame::FrameRecord;
use crate::craft::spec::Spec;
use crate::craft::tension::Tension;
use crate::craft::wishes::{Missing, RacketWish, ResolvedWish, WishAnswer, WishContext, resolve_wish};
use crate::desk::last_time;
use crate::desk::records::PlayerRecord;
use crate::desk::refusal::{DeskError, DeskResult, MemberFault, Reason, Thing};
use crate::storage::rackets::{self, Racket, models};
use crate::storage::{Db, from_record, players};

/// A wish as spoken, with the sentence that was read back to the player.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct SpokenWish {
    /// The wish in the player's words, such as "24/23" or "one kilo down on last time".
    #[schema(example = "24/23 kg")]
    pub as_said: String,
    /// The sentence that the player agreed to, as the desk gave it.
    #[serde(default)]
    pub read_back: Option<String>,
}

/// What a hand-in says of the spec: the whole of it, the same again, a spoken wish, or a spoken
/// wish upon either.
#[derive(Debug, Clone, Default)]
pub struct WantedSpec {
    /// The whole spec.
    pub spec: Option<Spec>,
    /// As last time.
    pub same_again: bool,
    /// What the player said.
    pub wish: Option<SpokenWish>,
}

/// Makes a spoken wish numbers, changing nothing: what the Hand In page and
/// `POST /v1/rackets/{id}/wishes` ask while the player stands at the counter.
///
/// The racket's sport, the unit in which its owner usually speaks, and how the racket was
/// strung last time are taken from what is stored. The answer is either
/// [`WishAnswer::Resolved`], whose `read_back` sentence is to be read to the player and whose
/// `rackets` hold the tensions (one entry, or one per racket of the drop-off), or
/// [`WishAnswer::Needs`], a question with choices: show it as it stands, and call again
/// with the chosen `wish`.
///
/// # Errors
/// [`DeskError::NotFound`] for an unknown racket; [`DeskError::Rule`] with [`Reason::WishUnclear`]
/// at `/said` where the words cannot be read, with what was understood and how to say it.
pub fn hear_wish(db: &mut Db, tournament: &str, racket_id: &str, said: &str) -> DeskResult<WishAnswer> {
    let racket = rackets::find(db, tournament, racket_id)?.ok_or(DeskError::NotFound(Thing::Racket))?;
    let last = last_time::spec(db, &racket)?;
    resolve(db, &racket, said, last.as_ref(), "/said")
}

/// The spec of one racket of a drop-off. `place` is its number from 0 and `of` how many there are:
/// a wish for several rackets ("one each at 24 and 25") gives each its own.
///
/// # Errors
/// [`DeskError::Invalid`] where nothing tells the spec, [`DeskError::Rule`] with
/// [`Reason::WishUnclear`] where the wish is unclear, contradicts the spec or was not read back.
pub fn wanted_spec(
    db: &mut Db,
    tournament: &str,
    racket_id: &str,
    wanted: WantedSpec,
    (place, of): (usize, usize),
    pointer: &str,
) -> DeskResult<Spec> {
    let Some(racket) = rackets::find(db, tournament, racket_id)? else {
        let detail = "No such racket here; register it first.";
        let at = format!("{pointer}/racket_id");
        return Err(DeskError::member(at, "unknown_reference", detail));
    };
    let last = last_time::spec(db, &racket)?;
    let said_in_full = wanted.spec.is_some();
    let mut spec = base(&wanted, last.as_ref(), pointer)?;
    let Some(wish) = wanted.wish else {
        return Ok(spec);
    };
    let at = format!("{pointer}/wish/as_said");
    let resolved = match resolve(db, &racket, &wish.as_said, last.as_ref(), &at)? {
        WishAnswer::Resolved(resolved) => resolved,
        WishAnswer::Needs(needs) => {
            let choices: Vec<_> = needs.choices.iter().map(|choice| choice.wish.clone()).collect();
            return Err(unclear(MemberFault {
                suggestion: Some(serde_json::json!(choices)),
                ..MemberFault::at(
                    at,
                    open_code(needs.what),
                    format!("\"{}\": {}", wish.as_said, needs.question),
                )
            }));
        }
    };
    let own = own_part(&resolved, &wish.as_said, place, of, &at)?;
    if said_in_full {
        contradicts(&spec, &resolved, own, &wish.as_said, pointer)?;
    }
    if wish.read_back.as_deref() != Some(resolved.read_back.as_str()) {
        let detail = format!(
            "Read back to the player first: \"{}\". Send the sentence they agreed to.",
            resolved.read_back
        );
        return Err(unclear(MemberFault {
            suggestion: Some(serde_json::json!(resolved.read_back)),
            ..MemberFault::at(format!("{pointer}/wish/read_back"), "not_read_back", detail)
        }));
    }
    put_in(&mut spec, &resolved, own);
    Ok(spec)
}

/// The spec of a racket that was taken in on paper: as last time, with what was written upon it. The
/// player has gone, so nothing can be read back; what the words leave open is a fault.
///
/// # Errors
/// [`DeskError::Invalid`] where nothing tells the spec, [`DeskError::Rule`] with
/// [`Reason::WishUnclear`] where the words can't be read or leave something open.
pub fn written_spec(db: &mut Db, racket: &Racket, written: Option<&str>, pointer: &str) -> DeskResult<Spec> {
    let Some(mut spec) = last_time::spec(db, racket)? else {
        let detail = "This racket was not strung here before: take it in on Hand In, with this code and its written time.";
        let at = format!("{pointer}/racket_id");
        return Err(DeskError::member(at, "missing_member", detail));
    };
    let Some(said) = written else { return Ok(spec) };
    let at = format!("{pointer}/wish");
    match resolve(db, racket, said, Some(&spec), &at)? {
        WishAnswer::Resolved(resolved) => {
            let own = own_part(&resolved, said, 0, 1, &at)?.clone();
            put_in(&mut spec, &resolved, &own);
            Ok(spec)
        }
        WishAnswer::Needs(needs) => {
            let detail = format!("\"{said}\": {}", needs.question);
            Err(unclear(MemberFault::at(at, open_code(needs.what), detail)))
        }
    }
}

/// The spec that the wish changes: what was sent, else that of last time.
fn base(wanted: &WantedSpec, last: Option<&Spec>, pointer: &str) -> DeskResult<Spec> {
    let (at, detail) = match (&wanted.spec, last) {
        (Some(_), _) if wanted.same_again => (
            "same_again",
            "Give either `spec` or `same_again`, not both: the one says what the other leaves to last time.",
        ),
        (Some(spec), _) => return Ok(spec.clone()),
        (None, _) if !wanted.same_again && wanted.wish.is_none() => {
            ("spec", "Give `spec`, or `same_again`, or the player's `wish`.")
        }
        (None, Some(last)) => return Ok(last.clone()),
        (None, None) => (
            "spec",
            "This racket was not strung here before, nor another of its model: give the whole `spec`.",
        ),
    };
    Err(DeskError::member(
        format!("{pointer}/{at}"),
        "missing_member",
        detail,
    ))
}

fn resolve(
    db: &mut Db,
    racket: &Racket,
    said: &str,
    last: Option<&Spec>,
    at: &str,
) -> DeskResult<WishAnswer> {
    let frame = models::find(db, &racket.tournament_id, &racket.frame_id)?
        .ok_or(DeskError::NotFound(Thing::Frame))?;
    let frame: FrameRecord = from_record(&frame.record)?;
    let player = players::find(db, &racket.tournament_id, &racket.player_id)?
        .ok_or(DeskError::NotFound(Thing::Player))?;
    let player: PlayerRecord = from_record(&player.record)?;
    let context = WishContext {
        sport: frame.sport,
        usual_unit: player.tension_unit,
        chosen_unit: None,
        last,
        now: None,
    };
    resolve_wish(said, &context).map_err(|fault| {
        unclear(MemberFault::at(
            at,
            "wish_unreadable",
            format!("\"{said}\": {fault}"),
        ))
    })
}

/// The tensions of this racket of the drop-off.
fn own_part<'a>(
    resolved: &'a ResolvedWish,
    said: &str,
    place: usize,
    of: usize,
    at: &str,
) -> DeskResult<&'a RacketWish> {
    let rackets = &resolved.rackets;
    let index = if rackets.len() == 1 { 0 } else { place };
    match rackets.get(index) {
        Some(own) if rackets.len() == 1 || rackets.len() == of => Ok(own),
        _ => {
            let detail = format!(
                "\"{said}\" is for {} rackets, but this drop-off has {of}: hand in that many together, or say it for one.",
                rackets.len()
            );
            Err(unclear(MemberFault::at(at, "wish_conflict", detail)))
        }
    }
}

/// Refuses a wish that says something else than the spec beside it.
fn contradicts(
    spec: &Spec,
    resolved: &ResolvedWish,
    own: &RacketWish,
    said: &str,
    pointer: &str,
) -> DeskResult<()> {
    let mut faults = Vec::new();
    let pulls = [
        ("mains", &spec.mains.tension, &own.mains),
        ("crosses", &spec.crosses.tension, &own.crosses),
    ];
    for (member, asked, meant) in pulls {
        if !same(asked, meant) {
            let detail = format!(
                "\"{said}\" means {member} at {}, but the spec says {}: ask the player and send one of the two.",
                text(meant),
                text(asked)
            );
            let at = format!("{pointer}/spec/{member}/tension");
            faults.push(MemberFault::at(at, "wish_conflict", detail));
        }
    }
    if resolved.pieces.is_some_and(|pieces| pieces != spec.pieces) {
        let detail = format!("\"{said}\" and the spec differ in the number of pieces: ask the player.");
        faults.push(MemberFault::at(
            format!("{pointer}/spec/pieces"),
            "wish_conflict",
            detail,
        ));
    }
    if faults.is_empty() {
        Ok(())
    } else {
        Err(refused(faults))
    }
}

fn same(one: &Tension, other: &Tension) -> bool {
    (one.newtons().get() - other.newtons().get()).abs() < 1e-6
}

fn text(tension: &Tension) -> String {
    format!("{} {}", tension.value(), tension.unit().symbol())
}

fn put_in(spec: &mut Spec, resolved: &ResolvedWish, own: &RacketWish) {
    spec.mains.tension = own.mains.clone();
    spec.crosses.tension = own.crosses.clone();
    if let Some(pieces) = resolved.pieces {
        spec.pieces = pieces;
    }
    spec.as_said = Some(resolved.as_said.clone());
    if !resolved.remarks.is_empty() {
        let remarks = resolved.remarks.join("; ");
        spec.note = Some(match spec.note.take() {
            Some(note) => format!("{note}; {remarks}"),
            None => remarks,
        });
    }
}

/// The code of an open question.
fn open_code(what: Missing) -> &'static str {
    match what {
        Missing::Unit => "unit_missing",
        Missing::Tension => "tension_missing",
        Missing::LastSpec => "last_time_unknown",
        Missing::Comma => "comma_unclear",
    }
}

fn unclear(fault: MemberFault) -> DeskError {
    refused(vec![fault])
}

fn refused(faults: Vec<MemberFault>) -> DeskError {
    let details: Vec<_> = faults.iter().map(|fault| fault.detail.as_str()).collect();
    DeskError::Rule {
        reason: Reason::WishUnclear,
        detail: details.join(" "),
        faults,
        insist: None,
    }
}
