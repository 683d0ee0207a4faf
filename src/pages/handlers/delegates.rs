//! Naming who else may collect, and withdrawing them: after Hand In, and beside the proof at Hand Out.
use actix_web::web::{self, ServiceConfig};

use super::filled::Filled;
use super::visit::Visitor;
use super::{Shown, hand_in_taken, refused, words};
use crate::desk::delegates::{HowOften, name_at_desk, withdraw};
use crate::desk::records::PlayerRecord;
use crate::desk::{DeskResult, Tx};
use crate::pages::parts::{Choice, Control, Field};
use crate::pages::views::delegates::Delegates;

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/players/{id}/delegates", web::post().to(after_hand_in))
        .route("/players/{id}/delegates", web::get().to(back));
}

/// A refusal stays at this address; whoever loads it again comes to the player's card.
async fn back(visitor: Visitor, id: web::Path<String>) -> Shown {
    Ok(visitor.go_to(&format!("/hand-in?player={}", words::in_address(&id))))
}

/// What a form asks for about the people who collect.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Asked {
    Name(String, HowOften),
    Withdraw(String),
}

/// A name that was typed is named first, whichever button sent it: nothing leaves before.
pub fn asked(form: &Filled) -> Option<Asked> {
    if let Some(name) = form.get("how").strip_prefix("withdraw:") {
        return Some(Asked::Withdraw(name.to_owned()));
    }
    let often = if form.get("delegate_often") == "always" {
        HowOften::Always
    } else {
        HowOften::Once
    };
    let typed = form.get("delegate_name");
    let meant = form.get("how") == "name_delegate" || !typed.is_empty();
    meant.then(|| Asked::Name(typed.to_owned(), often))
}

/// The people of a player, and what was typed to name one more.
pub fn part(record: &PlayerRecord, typed: &str, often: &str) -> Delegates {
    let tile = |value: HowOften, label: &str| {
        let here = value.as_str() == often || (often.is_empty() && value == HowOften::Once);
        Choice::new(value.as_str(), label).chosen(here)
    };
    Delegates {
        named: named(record),
        name: Field::new("delegate_name", "Who may collect", Control::Text)
            .hint("The player says so: the name they go by, as they will give it here.")
            .value(typed)
            .free(),
        often: Field::new(
            "delegate_often",
            "How often",
            Control::One(vec![
                tile(HowOften::Once, "next time only"),
                tile(HowOften::Always, "always"),
            ]),
        ),
    }
}

/// "Coach Example (always), Partner (next time only)"; empty for nobody.
pub fn in_words(record: &PlayerRecord) -> String {
    let all = named(record).into_iter();
    let all: Vec<String> = all.map(|(name, often)| format!("{name} ({often})")).collect();
    all.join(", ")
}

fn named(record: &PlayerRecord) -> Vec<(String, &'static str)> {
    let always = record.delegates.iter().map(|name| (name.clone(), "always"));
    let once = record.delegates_once.iter();
    always
        .chain(once.map(|name| (name.clone(), "next time only")))
        .collect()
}

/// Does it.
///
/// # Errors
/// As the desk's own.
pub fn act(tx: &mut Tx<'_>, player_id: &str, asked: &Asked) -> DeskResult<String> {
    let player = match asked {
        Asked::Name(name, often) => name_at_desk(tx, player_id, name, *often)?,
        Asked::Withdraw(name) => withdraw(tx, player_id, name)?,
    };
    Ok(player.id)
}

/// Hand Out again with the ticks that were set; who was just named is the proof.
pub fn hand_out_again(form: &Filled, asked: &Asked) -> String {
    let mut address = format!("/hand-out?player={}", words::in_address(form.get("player_id")));
    for job in form.all("job_id") {
        address.push_str(&format!("&hand={}", words::in_address(job)));
    }
    let proof = match asked {
        Asked::Name(name, _) => Some(format!("delegate:{name}")),
        Asked::Withdraw(name) => {
            let other = form.some("proof");
            other.filter(|proof| proof.strip_prefix("delegate:") != Some(name))
        }
    };
    if let Some(proof) = proof {
        address.push_str(&format!("&proof={}", words::in_address(&proof)));
    }
    address
}

/// The field that a pointer of the desk is about.
pub fn field_of(pointer: &str) -> Option<&'static str> {
    (pointer == "/delegate").then_some("delegate_name")
}

async fn after_hand_in(visitor: Visitor, player: web::Path<String>, form: web::Form<Filled>) -> Shown {
    let player = player.into_inner();
    let asked = asked(&form).unwrap_or(Asked::Name(String::new(), HowOften::Once));
    let route = format!("/players/{player}/delegates");
    let done = visitor
        .once(&route, &form, move |tx| act(tx, &player, &asked))
        .await;
    match done {
        Ok(_) => {
            let taken = words::in_address(form.get("taken"));
            Ok(visitor.go_to(&format!("/hand-in?taken={taken}")))
        }
        Err(error) => {
            let field = |pointer: &str| field_of(pointer).unwrap_or_default().to_owned();
            let (status, problem) = refused::on_page(error, field)?;
            let page = hand_in_taken::again(&visitor, &form, problem).await?;
            visitor.page(status, &page)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn filled(fields: &[(&str, &str)]) -> Filled {
        let fields = fields.iter();
        Filled(
            fields
                .map(|(name, value)| ((*name).to_owned(), (*value).to_owned()))
                .collect(),
        )
    }

    #[test]
    fn a_typed_name_goes_before_giving_out_and_a_withdrawal_before_both() {
        let once = filled(&[("how", "hand_out"), ("delegate_name", "Coach Example")]);
        let named = Asked::Name("Coach Example".into(), HowOften::Once);
        assert_eq!(asked(&once), Some(named));
        let withdrawn = filled(&[("how", "withdraw:Coach Example"), ("delegate_name", "Partner")]);
        assert_eq!(asked(&withdrawn), Some(Asked::Withdraw("Coach Example".into())));
        assert_eq!(
            asked(&filled(&[("how", "hand_out"), ("delegate_name", " ")])),
            None
        );
    }

    #[test]
    fn the_ticks_stay_and_a_withdrawn_person_is_no_proof() {
        let form = filled(&[
            ("player_id", "ply_1"),
            ("job_id", "job_1"),
            ("job_id", "job_2"),
            ("proof", "delegate:Coach Example"),
        ]);
        let named = Asked::Name("Coach & Co".into(), HowOften::Always);
        let address = hand_out_again(&form, &named);
        assert!(
            address.starts_with("/hand-out?player=ply_1&hand=job_1&hand=job_2&proof="),
            "{address}"
        );
        assert!(!address.contains("& "), "{address}");
        let gone = hand_out_again(&form, &Asked::Withdraw("Coach Example".into()));
        assert!(!gone.contains("proof"), "{gone}");
    }
}
