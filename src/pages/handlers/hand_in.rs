//! Hand In: find the player, take the rackets in, print their paper.
use actix_web::HttpRequest;
use actix_web::http::StatusCode;
use actix_web::web::{self, Payload, ServiceConfig};

use super::filled::Filled;
use super::hand_in_photos::Pictures;
use super::visit::Visitor;
use super::{
    Shown, hand_in_card, hand_in_draft, hand_in_form, hand_in_photos, hand_in_taken, refused, uploaded, words,
};
use crate::craft::roles::Permission;
use crate::desk::find::{self, Found as Hits};
use crate::desk::job_sheet::JobSheet;
use crate::desk::spare::note_spare;
use crate::desk::tx::PaperLine;
use crate::desk::{DeskError, Tx, catch_up, hand_in, overview};
use crate::pages::parts::{Chip, ChipKind, Problem};
use crate::pages::views::hand_in::{Found, HandIn, InsideRow, ProblemCard};

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/hand-in", web::get().to(show))
        .route("/hand-in", web::post().to(take));
}

async fn show(visitor: Visitor, asked: web::Query<Filled>) -> Shown {
    visitor.caller.must(Permission::SeeSpec)?;
    let mut form = Filled::default();
    form.put("player_id", asked.get("player"));
    form.put("wish", asked.get("mode"));
    form.put("lines", asked.get("lines"));
    form.put("new_player_name", asked.get("name"));
    for (place, racket) in asked.all("racket").enumerate() {
        form.put(format!("line_{}_racket_id", place + 1), racket);
    }
    let hits = search(&visitor, asked.get("q"), asked.get("player")).await?;
    let scanned = scan(&mut form, &hits, true);
    let query = if scanned { "" } else { asked.get("q") };
    let mut page = screen(&visitor, query).await?;
    page.found = (!query.is_empty()).then(|| found(hits));
    let open = !form.get("player_id").is_empty();
    // below what was found for somebody else, the card of the one before would be taken for theirs
    page.back = (page.found.is_some() && open).then(|| address_again(&asked));
    if page.back.is_none() && (open || asked.get("mode") == "new") {
        page.card = Some(hand_in_card::card(&visitor, &form).await?);
    }
    if let Some(first) = asked.some("taken") {
        page.taken = Some(hand_in_taken::taken(&visitor, &first, &form).await?);
    }
    visitor.page(StatusCode::OK, &page)
}

/// The card that was open, with its rackets.
fn address_again(asked: &Filled) -> String {
    let mut address = format!("/hand-in?player={}", words::in_address(asked.get("player")));
    for (name, value) in &asked.0 {
        if matches!(name.as_str(), "mode" | "lines" | "racket") {
            address.push_str(&format!("&{name}={}", words::in_address(value)));
        }
    }
    address
}

/// Where a new player is taken in; a name that was searched in vain goes along, a code does not.
fn new_player_href(query: &str) -> String {
    let is_name =
        query.chars().any(char::is_alphabetic) && !query.contains(|sign: char| sign.is_ascii_digit());
    if is_name {
        format!("/hand-in?mode=new&name={}", words::in_address(query))
    } else {
        "/hand-in?mode=new".to_owned()
    }
}

/// Whom and what the text of the search box means.
///
/// # Errors
/// [`DeskError::Storage`].
pub async fn search(visitor: &Visitor, query: &str, player: &str) -> Result<Hits, DeskError> {
    let (tournament, text, player) = (visitor.tournament(), query.to_owned(), player.to_owned());
    visitor
        .desk
        .read(move |db| find::find_beside(db, &tournament, &text, Some(&player)))
        .await
}

/// A racket's label adds its line; a badge, a link or the only name opens the card. No touch is needed after it.
/// `other_too`: the card of somebody else may take the place of the one that is open.
pub fn scan(form: &mut Filled, hits: &Hits, other_too: bool) -> bool {
    if hits.job.is_some() {
        return false;
    }
    let (player, racket) = match (&hits.racket, hits.players.as_slice()) {
        (Some(racket), _) => (racket.player_id.as_str(), Some(racket.id.as_str())),
        (None, [only]) => (only.id.as_str(), None),
        (None, _) => return false,
    };
    if form.get("player_id") != player {
        if !other_too {
            return false;
        }
        *form = Filled::default();
        form.put("player_id", player);
    }
    let Some(racket) = racket else { return true };
    let mut lines = 0;
    for number in 1..=hand_in_card::lines_of(form) {
        match form.some(&format!("line_{number}_racket_id")) {
            Some(chosen) if chosen == racket => return true,
            Some(_) => lines = number,
            None => {}
        }
    }
    form.put("lines", (lines + 1).to_string());
    form.put(format!("line_{}_racket_id", lines + 1), racket);
    true
}

/// The screen without a card and without hits.
///
/// # Errors
/// A page of its own where the desk can't be read.
pub async fn screen(visitor: &Visitor, query: &str) -> Result<HandIn, refused::Failure> {
    let (tournament, now) = (visitor.tournament(), visitor.now);
    let mut inside = visitor
        .desk
        .read(move |db| {
            let mut sheets = overview::sheets_in(db, &tournament, &find::IN_THE_HOUSE)?;
            note_spare(db, &tournament, now, &mut sheets)?;
            Ok(sheets)
        })
        .await?;
    inside.sort_by_key(|sheet| std::cmp::Reverse(sheet.job.received_at));
    Ok(HandIn {
        shell: visitor.shell("Hand In", "Hand In", "jobs,rackets")?,
        query: query.to_owned(),
        found: None,
        back: None,
        new_player_href: new_player_href(query),
        card: None,
        taken: None,
        cards: cards(&inside),
        inside: inside
            .iter()
            .take(30)
            .map(|sheet| inside_row(visitor, sheet))
            .collect(),
    })
}

/// As many cards a device keeps ahead; those that were opened on it are kept anyway.
const KEPT_AHEAD: usize = 12;

/// The cards of those who were here last: likely the next to come.
fn cards(inside: &[JobSheet]) -> Vec<String> {
    let mut cards: Vec<String> = Vec::new();
    for sheet in inside {
        let card = format!("/hand-in?player={}", sheet.player.id);
        if cards.len() < KEPT_AHEAD && !cards.contains(&card) {
            cards.push(card);
        }
    }
    cards
}

/// The hits as a list to choose from.
pub fn found(hits: Hits) -> Vec<Found> {
    let mut rows = Vec::new();
    if let Some(sheet) = hits.job {
        rows.push(Found {
            kind: "tag".into(),
            name: sheet.job.code.clone(),
            detail: format!(
                "{}, {}",
                words::in_both_scripts(&sheet.player),
                sheet.job.state.replace('_', " ")
            ),
            href: format!("/rackets/{}", sheet.racket.id),
        });
    }
    if let Some(racket) = hits.racket {
        rows.push(Found {
            kind: "racket".into(),
            name: racket.label_code.clone().unwrap_or_default(),
            detail: "the racket with this label".into(),
            href: format!(
                "/hand-in?player={}&racket={}&mode=same",
                racket.player_id, racket.id
            ),
        });
    }
    rows.extend(hits.numbered.iter().map(|sheet| Found {
        kind: "racket".into(),
        name: words::racket(&sheet.racket_record),
        detail: format!("{}, {}", words::in_both_scripts(&sheet.player), sheet.job.code),
        href: format!("/rackets/{}", sheet.racket.id),
    }));
    rows.extend(hits.players.into_iter().map(|player| Found {
        kind: "player".into(),
        href: format!("/hand-in?player={}", player.id),
        name: words::in_both_scripts(&player),
        detail: String::new(),
    }));
    rows
}

fn inside_row(visitor: &Visitor, sheet: &JobSheet) -> InsideRow {
    InsideRow {
        code: sheet.job.code.clone(),
        player: sheet.player.display_name.clone(),
        latin: words::latin(&sheet.player_record, &sheet.player.display_name),
        racket: words::racket(&sheet.racket_record),
        ready_by: visitor.time(sheet.job.due_at.utc()),
        state: words::state_chip(sheet, visitor.now),
        story_href: format!("/rackets/{}", sheet.racket.id),
    }
}

async fn take(request: HttpRequest, visitor: Visitor, payload: Payload) -> Shown {
    let sent = uploaded::with_photos(&request, payload, hand_in_photos::is_photo).await?;
    let (pictures, wrong) = hand_in_photos::pictures(&sent).await;
    let wrong = hand_in_photos::fault(&wrong);
    if let Some(show) = hand_in_draft::asked(&sent.form) {
        return hand_in_draft::again(&visitor, sent.form, &show, &pictures, wrong).await;
    }
    if let Some(error) = wrong {
        return again(&visitor, &sent.form, &pictures, error).await;
    }
    // a form that waited for the network was meant when it was filled in
    let meant_at = visitor.caller.device_at.unwrap_or(visitor.now);
    let (zone, filled, kept) = (visitor.house.zone, sent.form.clone(), pictures.clone());
    let done = visitor
        .once("/hand-in", &sent.form, move |tx| {
            take_in(tx, &filled, &kept, zone, meant_at)
        })
        .await;
    match done {
        Ok(first) => Ok(visitor.go_to(&format!("/hand-in?taken={first}"))),
        Err(error) => again(&visitor, &sent.form, &pictures, error).await,
    }
}

fn take_in(
    tx: &mut Tx<'_>,
    form: &Filled,
    pictures: &Pictures,
    zone: chrono_tz::Tz,
    now: chrono::DateTime<chrono::Utc>,
) -> Result<String, DeskError> {
    let Some(written) = form.some("written_time") else {
        return taken_in(tx, form, pictures, zone, now);
    };
    let written_at = words::moment_past(zone, now, &written).ok_or_else(|| {
        let words = "Write the time on paper as the venue's clock showed it, such as 14:30.";
        DeskError::member("/written_time", "invalid_value", words)
    })?;
    let line = PaperLine {
        kind: "taken_in",
        written_at,
        as_of: written_at,
        role: tx.caller.role,
    };
    tx.from_paper(line, |tx| {
        let first = taken_in(tx, form, pictures, zone, written_at)?;
        catch_up::mark_drop_off_late(tx, &first)?;
        Ok(first)
    })
}

fn taken_in(
    tx: &mut Tx<'_>,
    form: &Filled,
    pictures: &Pictures,
    zone: chrono_tz::Tz,
    now: chrono::DateTime<chrono::Utc>,
) -> Result<String, DeskError> {
    let orders = hand_in_form::orders(tx, form, zone, now)?;
    let jobs = hand_in::hand_in_batch(tx, orders)?;
    let shown: Vec<_> = jobs
        .iter()
        .map(|job| (job.id.clone(), job.racket_id.clone()))
        .collect();
    hand_in_photos::keep(tx, form, &shown, pictures)?;
    Ok(jobs.into_iter().next().map(|job| job.id).unwrap_or_default())
}

/// The same page with what was typed, what is wrong, and how to insist where one may.
async fn again(visitor: &Visitor, form: &Filled, pictures: &Pictures, error: DeskError) -> Shown {
    let may_insist = refused::may_insist(&error);
    let (status, problem) = refused::on_page(error, field_of)?;
    let mut page = screen(visitor, "").await?;
    let mut card = hand_in_card::card(visitor, form).await?;
    card.drafted = true;
    show_faults(&mut card, &problem);
    hand_in_photos::put_back(&mut card, pictures);
    if let Some(insist) = may_insist {
        card.problems.push(ProblemCard {
            chip: Chip::new(ChipKind::Risk, "Decide first"),
            words: insist.words,
            may_give_back: insist.of_racket,
            hint: insist.hint.to_owned(),
            choices: vec![(
                "corrected".into(),
                "yes".into(),
                "Take it in as corrected above".into(),
            )],
            override_code: "insist".into(),
            reasons: insist.reasons,
        });
    }
    page.card = Some(card);
    page.shell.problem = Some(problem);
    visitor.page(status, &page)
}

/// Puts what is wrong beside the fields it is about.
pub fn show_faults(card: &mut crate::pages::views::hand_in::Card, problem: &Problem) {
    for condition in card.lines.iter_mut().map(|line| &mut line.condition) {
        let own = problem
            .faults
            .iter()
            .find(|fault| fault.field == condition.places_name);
        condition.fault = own.map(|fault| fault.words.clone());
    }
    let lines = card.lines.iter_mut().flat_map(|line| {
        [
            &mut line.racket,
            &mut line.as_said,
            &mut line.unit,
            &mut line.due,
            &mut line.ready_by,
            &mut line.day,
            &mut line.purpose,
            &mut line.code,
            &mut line.photo,
        ]
        .into_iter()
        .chain(line.new_racket.iter_mut())
    });
    let fields = lines
        .chain(card.new_player.iter_mut())
        .chain(card.spec.iter_mut());
    for field in fields {
        let own = problem.faults.iter().find(|fault| fault.field == field.name);
        if let Some(fault) = own {
            field.fault = Some(fault.words.clone());
        }
    }
}

/// The control that a pointer of the desk is about.
pub fn field_of(pointer: &str) -> String {
    let Some(rest) = pointer.strip_prefix("/jobs/") else {
        return match pointer {
            "/name/display" => "new_player_name".to_owned(),
            other => other.trim_start_matches('/').to_owned(),
        };
    };
    let (place, member) = rest.split_once('/').unwrap_or((rest, ""));
    let number = place.parse::<usize>().map_or(1, |place| place + 1);
    let field = match member {
        member if member.contains("crosses/string") => return "crosses_string_id".to_owned(),
        member if member.contains("mains/string") => return "mains_string_id".to_owned(),
        "racket_id" => "racket_id",
        "code" => "code",
        "frame_id" => "frame_id",
        "due_at" => "ready_by",
        "match_id" => "due",
        "unit" => "unit",
        member if member.starts_with("damage") => "damage",
        _ => "as_said",
    };
    format!("line_{number}_{field}")
}
