//! Shelf & Stock: strings are booked in and counted, finished rackets found by their slot.
use std::collections::HashMap;

use actix_web::http::StatusCode;
use actix_web::web::{self, ServiceConfig};

use super::Shown;
use super::filled::Filled;
use super::refused::{self, Failure};
use super::visit::Visitor;
use crate::craft::roles::Permission;
use crate::craft::string_plan::request::StockKind;
use crate::desk::job_sheet::JobSheet;
use crate::desk::keep_stock::{NewPiece, count_piece, receive_piece};
use crate::desk::reads::pieces::{self, StockPiece};
use crate::desk::reads::players;
use crate::desk::{DeskError, DeskResult, Tx, find, log, overview};
use crate::pages::parts::{Chip, ChipKind, Choice, Control, Field, Note, Problem};
use crate::pages::views::stock::{CountAgain, Piece, Slot, Stock, StringStock};

/// What one racket takes, mm: a common set, no source. The plan of a job says it exactly.
const ONE_JOB_MM: i64 = 12_000;
/// Fewer jobs than this are said to be few. Own choice, no source.
const FEW_JOBS: i64 = 3;
/// As many pieces are booked in by one form at most.
const MOST_AT_ONCE: u32 = 50;

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/stock", web::get().to(show))
        .route("/stock/receive", web::post().to(receive))
        .route("/stock/receive", web::get().to(list))
        .route("/stock/{id}/count", web::post().to(count))
        .route("/stock/{id}/count", web::get().to(list));
}

async fn show(visitor: Visitor, asked: web::Query<Filled>) -> Shown {
    visitor.caller.must(Permission::Stock)?;
    let mut page = screen(&visitor, &Filled::default(), None).await?;
    if let Some(piece) = asked.some("counted") {
        page.shell.note = booked(&visitor, piece).await?;
    }
    visitor.page(StatusCode::OK, &page)
}

/// What was refused stays at its own address; whoever loads that again reads the list.
async fn list(visitor: Visitor) -> Shown {
    Ok(visitor.go_to("/stock"))
}

/// What the last count of a piece booked.
async fn booked(visitor: &Visitor, id: String) -> DeskResult<Option<Note>> {
    let tournament = visitor.tournament();
    let read = visitor.desk.read(move |db| {
        let Some(piece) = pieces::find(db, &tournament, &id)? else {
            return Ok(None);
        };
        let entries = log::entries_about(db, &tournament, &[id])?;
        let last = entries.into_iter().rev().find(|one| one.kind == "stock.counted");
        let strings = overview::strings(db, &tournament)?;
        let string = strings.into_iter().find(|one| one.id == piece.string_id);
        Ok(last.map(|last| (piece, string.map_or_else(String::new, |one| one.name), last)))
    });
    Ok(read.await?.map(|(piece, string, last)| {
        let mm = |name: &str| metres(last.data[name].as_i64().unwrap_or_default());
        let label = piece.label_code.iter().map(|label| format!(" {label}"));
        Note {
            words: format!(
                "Booked: {string}, {}{}: {} left, {} before. If that is wrong, count it again.",
                piece.kind.replace('_', " "),
                label.collect::<String>(),
                mm("remaining_mm"),
                mm("before_mm"),
            ),
            links: Vec::new(),
        }
    }))
}

/// What lies here.
struct Here {
    strings: Vec<(String, String)>,
    pieces: Vec<StockPiece>,
    owners: HashMap<String, String>,
    shelf: Vec<JobSheet>,
    /// Whether anything was ever booked in: a desk may leave that.
    counts: bool,
}

async fn here(visitor: &Visitor) -> DeskResult<Here> {
    let tournament = visitor.tournament();
    let read = visitor.desk.read(move |db| {
        let strings = overview::strings(db, &tournament)?;
        let pieces = pieces::open(db, &tournament)?;
        let mut owners = HashMap::new();
        for id in pieces.iter().filter_map(|piece| piece.owner_player_id.as_ref()) {
            if let Some(player) = players::find(db, &tournament, id)? {
                owners.insert(id.clone(), player.display_name);
            }
        }
        Ok(Here {
            strings: strings.into_iter().map(|one| (one.id, one.name)).collect(),
            pieces,
            owners,
            shelf: overview::sheets_in(db, &tournament, &["ready"])?,
            counts: pieces::any(db, &tournament)?,
        })
    });
    read.await
}

async fn screen(visitor: &Visitor, form: &Filled, problem: Option<Problem>) -> Result<Stock, Failure> {
    let here = here(visitor).await?;
    let of =
        |id: &str| -> Vec<&StockPiece> { here.pieces.iter().filter(|piece| piece.string_id == id).collect() };
    let strings = here
        .strings
        .iter()
        .map(|(id, name)| string(name, &of(id), here.counts));
    let mut own: Vec<Piece> = Vec::new();
    for (id, name) in &here.strings {
        let theirs = of(id).into_iter().filter(|one| one.owner_player_id.is_some());
        own.extend(theirs.map(|one| piece(name, one, &here.owners)));
    }
    own.sort_by(|one, other| one.owner.cmp(&other.owner));
    let mut slots: Vec<Slot> = here.shelf.iter().map(|sheet| slot(visitor, sheet)).collect();
    slots.sort_by_cached_key(|one| along_the_shelf(&one.slot));
    let mut shell = visitor.shell("Shelf & Stock", "Shelf & Stock", "stock,jobs,rackets")?;
    let page = Stock {
        strings: strings.collect(),
        own,
        receive: fields(&here.strings, form, problem.as_ref()),
        receive_open: problem.is_some(),
        count_reasons: ["measured", "used up", "damaged", "given away", "handed back"]
            .map(|one| Choice::new(one, one))
            .into(),
        slots,
        shell: {
            shell.problem = problem;
            shell
        },
    };
    Ok(page)
}

fn string(name: &str, pieces: &[&StockPiece], counts: bool) -> StringStock {
    // what belongs to a player reaches for nobody else
    let ours = || pieces.iter().filter(|piece| piece.owner_player_id.is_none());
    let (left_mm, jobs) = ours().fold((0, 0), |(left_mm, jobs), piece| {
        (
            left_mm + piece.remaining_mm,
            jobs + piece.remaining_mm / ONE_JOB_MM,
        )
    });
    StringStock {
        name: name.to_owned(),
        left: if counts { metres(left_mm) } else { String::new() },
        reach: if counts {
            reach(jobs)
        } else {
            "not counted here".to_owned()
        },
        low: match jobs {
            _ if !counts => None,
            0 => Some(Chip::new(ChipKind::Late, "none left")),
            jobs if jobs < FEW_JOBS => Some(Chip::new(ChipKind::Risk, "low")),
            _ => None,
        },
        pieces: ours().map(|one| piece(name, one, &HashMap::new())).collect(),
    }
}

fn piece(string: &str, piece: &StockPiece, owners: &HashMap<String, String>) -> Piece {
    let owner = piece.owner_player_id.as_ref().and_then(|id| owners.get(id));
    Piece {
        id: piece.id.clone(),
        version: piece.version,
        string: string.to_owned(),
        kind: piece.kind.replace('_', " "),
        label: piece.label_code.clone().unwrap_or_default(),
        left: metres(piece.remaining_mm),
        reach: reach(piece.remaining_mm / ONE_JOB_MM),
        owner: owner.cloned().unwrap_or_default(),
        again: None,
    }
}

fn reach(jobs: i64) -> String {
    match jobs {
        0 => "less than a job".to_owned(),
        1 => "about 1 job".to_owned(),
        jobs => format!("about {jobs} jobs"),
    }
}

/// "73.4 m", cut down: what is shown is there.
fn metres(length_mm: i64) -> String {
    format!("{}.{} m", length_mm / 1000, length_mm % 1000 / 100)
}

/// As a person walks along the boards: A6 before A10 before B1.
fn along_the_shelf(slot: &str) -> (String, u32, String) {
    let digits = slot.find(|one: char| one.is_ascii_digit()).unwrap_or(slot.len());
    let (board, number) = slot.split_at(digits);
    (board.to_owned(), number.parse().unwrap_or(0), slot.to_owned())
}

fn slot(visitor: &Visitor, sheet: &JobSheet) -> Slot {
    Slot {
        slot: overview::slot_of(sheet).unwrap_or_else(|| "–".to_owned()),
        code: sheet.job.code.clone(),
        player: sheet.player.display_name.clone(),
        since: visitor.time(sheet.job.state_since.utc()),
        href: format!("/hand-out?player={}", sheet.player.id),
    }
}

fn fields(strings: &[(String, String)], form: &Filled, problem: Option<&Problem>) -> Vec<Field> {
    let fault = |name: &str| {
        let mut faults = problem.into_iter().flat_map(|problem| &problem.faults);
        faults
            .find(|fault| fault.field == name)
            .map(|fault| fault.words.clone())
    };
    let list = |name: &str, label: &str, all: Vec<(String, String)>| {
        let choices = all.into_iter().map(|(id, label)| {
            let chosen = form.get(name) == id;
            Choice::new(id, label).chosen(chosen)
        });
        Field::new(name, label, Control::Select(choices.collect())).fault(fault(name))
    };
    let kinds = ["reel", "set", "half_set", "offcut"];
    let kinds = kinds.map(|kind| (kind.to_owned(), kind.replace('_', " ")));
    let many = form.some("how_many").unwrap_or_else(|| "1".to_owned());
    vec![
        list("string_id", "String", strings.to_vec()),
        list("kind", "What it is", kinds.into()),
        Field::new("length_m", "Length of one", Control::Number)
            .value(form.get("length_m"))
            .unit("m")
            .fault(fault("length_m")),
        Field::new("how_many", "How many", Control::Number)
            .value(many)
            .fault(fault("how_many")),
        Field::new("label_code", "Its label", Control::Text)
            .hint("Scan it; packets have none.")
            .value(form.get("label_code"))
            .optional()
            .fault(fault("label_code")),
        Field::new("owner", "Whose it is", Control::Text)
            .hint("A player's badge or name; nobody: the desk's.")
            .value(form.get("owner"))
            .optional()
            .fault(fault("owner")),
    ]
}

/// Metres as typed, with a point or a comma, in mm.
fn millimetres(typed: &str, pointer: &str) -> DeskResult<i64> {
    let refused = || DeskError::member(pointer, "invalid_value", "Give the metres, such as 12.2.");
    let metres: f64 = typed.replace(',', ".").parse().map_err(|_fault| refused())?;
    if !(0.0..=1_000.0).contains(&metres) {
        return Err(refused());
    }
    #[expect(clippy::cast_possible_truncation, reason = "at most a million")]
    let length_mm = (metres * 1000.0).round() as i64;
    Ok(length_mm)
}

fn pieces_of(form: &Filled) -> DeskResult<(NewPiece, u32)> {
    let many: u32 = form
        .some("how_many")
        .map_or(Ok(1), |text| text.parse())
        .unwrap_or(0);
    if !(1..=MOST_AT_ONCE).contains(&many) {
        let words = "Book in 1 to 50 at once.";
        return Err(DeskError::member("/how_many", "out_of_range", words));
    }
    let label_code = form.some("label_code");
    if many > 1 && label_code.is_some() {
        let words = "One label is on one piece: book labelled pieces in one by one.";
        return Err(DeskError::member("/label_code", "not_together", words));
    }
    let piece = NewPiece {
        string_id: form.get("string_id").to_owned(),
        owner_player_id: None,
        label_code,
        kind: match form.get("kind") {
            "set" => StockKind::Set,
            "half_set" => StockKind::HalfSet,
            "offcut" => StockKind::Offcut,
            _ => StockKind::ReelRemainder,
        },
        length_mm: millimetres(form.get("length_m"), "/length_mm")?,
    };
    Ok((piece, many))
}

fn book_in(tx: &mut Tx<'_>, form: &Filled) -> DeskResult<String> {
    let (mut piece, many) = pieces_of(form)?;
    if let Some(named) = form.some("owner") {
        piece.owner_player_id = Some(owner(tx, &named)?);
    }
    for _ in 0..many {
        receive_piece(tx, piece.clone())?;
    }
    Ok(String::new())
}

/// The one player of this badge or name.
fn owner(tx: &mut Tx<'_>, named: &str) -> DeskResult<String> {
    let found = find::find(tx.db, tx.caller.tournament(), named)?.players;
    let refused = |words: &str| Err(DeskError::member("/owner", "unknown_reference", words));
    match found.as_slice() {
        [only] => Ok(only.id.clone()),
        [] => refused("No player of this name: scan the badge, or take a racket of theirs in first."),
        _ => refused("Several players are called so: scan the badge, or type the whole name."),
    }
}

async fn receive(visitor: Visitor, form: web::Form<Filled>) -> Shown {
    let filled = form.clone();
    let done = visitor
        .once("/stock/receive", &form, move |tx| book_in(tx, &filled))
        .await;
    kept(&visitor, &form, done).await
}

async fn count(visitor: Visitor, id: web::Path<String>, form: web::Form<Filled>) -> Shown {
    let (piece, filled) = (id.clone(), form.clone());
    let done = visitor
        .once("/stock/count", &form, move |tx| {
            let left_mm = millimetres(filled.get("remaining_m"), "/remaining_mm")?;
            let version = filled.get("version").parse().unwrap_or(0);
            let (reason, more) = (filled.get("reason"), filled.some("more_because"));
            Ok(count_piece(tx, &piece, version, left_mm, reason, more.as_deref())?.id)
        })
        .await;
    let error = match done {
        Ok(id) => return Ok(visitor.go_to(&format!("/stock?counted={id}"))),
        Err(error) => error,
    };
    let asks_why =
        matches!(&error, DeskError::Invalid(faults) if faults.iter().any(|one| one.pointer == "/reason"));
    let (status, problem) = refused::on_page(error, |pointer| match pointer {
        "/reason" => format!("more-{id}"),
        _ => format!("left-{id}"),
    })?;
    let words = problem.faults.first().map(|fault| fault.words.clone());
    let mut page = screen(&visitor, &Filled::default(), None).await?;
    page.shell.problem = Some(problem);
    let all = page.strings.iter_mut().flat_map(|one| &mut one.pieces);
    if let Some(piece) = all.chain(&mut page.own).find(|one| one.id == *id) {
        piece.again = Some(CountAgain {
            typed: form.get("remaining_m").to_owned(),
            words: words.unwrap_or_default(),
            asks_why,
            why: form.get("more_because").to_owned(),
        });
    }
    visitor.page(status, &page)
}

async fn kept(visitor: &Visitor, form: &Filled, done: DeskResult<String>) -> Shown {
    match done {
        Ok(_) => Ok(visitor.go_to("/stock")),
        Err(error) => {
            let (status, problem) = refused::on_page(error, |pointer| match pointer {
                "/length_mm" => "length_m".to_owned(),
                other => other.trim_start_matches('/').to_owned(),
            })?;
            let page = screen(visitor, form, Some(problem)).await?;
            visitor.page(status, &page)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sixth_slot_stands_before_the_tenth() {
        let mut slots = ["B1", "A10", "–", "A6", "A2"];
        slots.sort_by_key(|slot| along_the_shelf(slot));
        assert_eq!(slots, ["A2", "A6", "A10", "B1", "–"]);
    }
}
