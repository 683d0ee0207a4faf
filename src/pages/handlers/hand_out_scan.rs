//! What a scan at Hand Out means: whose card opens, which racket is in the hand, what proves it, what is wrong.
use super::filled::Filled;
use super::visit::Visitor;
use crate::desk::find::{self, Found};
use crate::desk::job_sheet::JobSheet;
use crate::desk::reads::players::Player;
use crate::desk::{DeskResult, gone_out};
use crate::pages::views::hand_out::Owner;

/// What was found.
pub struct Scan {
    pub hits: Found,
    /// Who took the scanned racket, where it is out and its player did not come.
    collector: Option<String>,
}

/// What follows from it.
#[derive(Default)]
pub struct Meaning {
    /// Whose card is shown.
    pub player: Option<String>,
    /// Whether the hits stand as a list to choose from.
    pub lists: bool,
    /// Why the scan did not do what was meant.
    pub remark: Option<String>,
}

/// Looks for what was scanned or typed; a racket's own label stands for its tag.
pub async fn scan(visitor: &Visitor, query: &str, shown: Option<String>) -> DeskResult<Scan> {
    let (tournament, text) = (visitor.tournament(), query.to_owned());
    let read = visitor.desk.read(move |db| {
        let mut hits = find::find_beside(db, &tournament, &text, shown.as_deref())?;
        if let (None, Some(racket)) = (&hits.job, &hits.racket) {
            hits.job = find::last_job(db, &tournament, &racket.id)?;
        }
        let collector = match &hits.job {
            Some(sheet) if sheet.job.state == "out" => gone_out::collector_of(db, sheet)?,
            _ => None,
        };
        Ok(Scan { hits, collector })
    });
    read.await
}

impl Scan {
    /// Ticks the racket or sets the proof in `form`; `shown` is the player whose card is open.
    pub fn means(&self, visitor: &Visitor, form: &mut Filled, shown: Option<String>, query: &str) -> Meaning {
        let of = |player: Option<String>| Meaning {
            player,
            ..Meaning::default()
        };
        let wrong = |player: Option<String>, words: String| Meaning {
            remark: Some(words),
            ..of(player)
        };
        match (&self.hits.job, self.hits.players.as_slice()) {
            (Some(sheet), _) if sheet.job.state == "out" => {
                let words = out_already(visitor, sheet, self.collector.as_deref());
                wrong(shown.or_else(|| Some(sheet.player.id.clone())), words)
            }
            (Some(sheet), _) if shown.as_ref().is_none_or(|id| *id == sheet.player.id) => {
                form.put("job_id", sheet.job.id.as_str());
                of(Some(sheet.player.id.clone()))
            }
            (Some(sheet), _) => {
                let (code, owner) = (&sheet.job.code, &sheet.player.display_name);
                let words = format!("{code} belongs to {owner}. Put it back and scan the right one.");
                wrong(shown, words)
            }
            (None, [only]) if proves(form, only, query) || shown.is_none() => of(Some(only.id.clone())),
            (None, []) if shown.is_some() && !query.is_empty() && self.hits.numbered.is_empty() => {
                let words = format!(
                    "“{query}” is no tag, ticket or badge of this desk, and no number of theirs. Scan it again, or type the five characters on the tag."
                );
                wrong(shown, words)
            }
            _ => Meaning {
                lists: !query.is_empty(),
                ..of(shown)
            },
        }
    }
}

/// "K7M4G is out already: at 14:02 to Coach Example."
fn out_already(visitor: &Visitor, sheet: &JobSheet, collector: Option<&str>) -> String {
    let when = sheet.job.out_at.map(|at| visitor.time(at.utc()));
    let to = collector.unwrap_or(&sheet.player.display_name);
    format!(
        "{} is out already: at {} to {to}.",
        sheet.job.code,
        when.unwrap_or_default()
    )
}

/// Which of the ticked rackets somebody else gave out while the card was open.
pub async fn gone_meanwhile(visitor: &Visitor, form: &Filled) -> DeskResult<Vec<String>> {
    let tournament = visitor.tournament();
    let ticked: Vec<String> = form.all("job_id").map(str::to_owned).collect();
    let read = visitor.desk.read(move |db| {
        let mut gone = Vec::new();
        for id in &ticked {
            let sheet = JobSheet::of(db, &tournament, id)?;
            if sheet.job.state == "out" {
                let collector = gone_out::collector_of(db, &sheet)?;
                gone.push((sheet, collector));
            }
        }
        Ok(gone)
    });
    let gone = read.await?;
    let words = gone.iter();
    Ok(words
        .map(|(sheet, to)| out_already(visitor, sheet, to.as_deref()))
        .collect())
}

/// A badge or a link that was scanned proves the pick-up by itself.
fn proves(form: &mut Filled, player: &Player, query: &str) -> bool {
    let token = query.rsplit('/').next().unwrap_or_default();
    let kind = if player.badge.as_deref() == Some(query.trim()) {
        "badge"
    } else if player.link_token.as_deref() == Some(token) {
        "ticket"
    } else {
        return false;
    };
    form.put("proof", kind);
    form.put("proof_value", query);
    true
}

/// A tag of theirs was scanned, and its racket can't leave in any way now.
pub fn stays(card: &Owner) -> Option<String> {
    let here = card.rackets.iter().find(|one| one.chosen && !one.may_leave)?;
    let about = if here.about.is_empty() {
        String::new()
    } else {
        format!(", ready {}", here.about)
    };
    Some(format!(
        "{} can't leave now: {}{about}.",
        here.code, here.state.word
    ))
}
