//! Hand Out: rackets go back against proof.
//!
//! | method | address | fields |
//! |---|---|---|
//! | GET | `/hand-out` | `q`: ticket, tag, phone code, badge or part of a name; `player` |
//! | POST | `/hand-out` | `player_id`, `job_id` (repeated), `proof` (`ticket`, `phone_code`, `badge`, `delegate`, `override`), `proof_value`, `delegate_id`, `collector`, `reason`, `second_pin`, `once` |
//! | POST | `/hand-out/undo` | `pickup_id`, `reason`, `once` (ten minutes long) |
//! | POST | `/jobs/{id}/do/give_back` | `reason`, `once`: as it is, without a charge |
//! | POST | `/jobs/{id}/do/court_release` | `court`, `runner`, `once`: to the court without the check |
use askama::Template;

use crate::pages::parts::{Chip, Choice, Field};
use crate::pages::shell::Shell;

/// The whole screen.
#[derive(Debug, Template)]
#[template(path = "hand_out.html", config = ".askama.toml")]
pub struct HandOut {
    pub shell: Shell,
    pub query: String,
    pub found: Option<Vec<FoundOwner>>,
    pub owner: Option<Owner>,
    /// Everything on the shelf, by slot.
    pub shelf: Vec<ShelfRow>,
    /// What went out in the last ten minutes.
    pub recent: Vec<RecentPickup>,
    pub undo_reasons: Vec<Choice>,
}

/// One hit of the search.
#[derive(Clone, Debug)]
pub struct FoundOwner {
    pub name: String,
    pub detail: String,
    pub href: String,
}

/// The player whose rackets are collected.
#[derive(Clone, Debug)]
pub struct Owner {
    pub player_id: String,
    pub player: String,
    pub country: String,
    /// "2 of 3 ready; the third about 14:40".
    pub summary: String,
    pub rackets: Vec<OwnerRacket>,
    /// The ways to prove it, the one that was scanned chosen.
    pub proofs: Vec<Choice>,
    pub proof_value: Field,
    pub delegates: Vec<Choice>,
    pub collector: Field,
    pub reason: Field,
    pub second_pin: Field,
    /// "18.00 EUR open"; empty when nothing is.
    pub unpaid: String,
    pub court: Field,
    pub runner: Field,
    pub give_back_reasons: Vec<Choice>,
}

/// One racket of the player.
#[derive(Clone, Debug)]
pub struct OwnerRacket {
    pub job_id: String,
    pub code: String,
    pub racket: String,
    /// "B 12"; empty while it is not on the shelf.
    pub slot: String,
    pub state: Chip,
    pub ready: bool,
    /// Scanned or chosen already.
    pub chosen: bool,
    pub may_give_back: bool,
    pub may_court_release: bool,
}

/// One place on the shelf.
#[derive(Clone, Debug)]
pub struct ShelfRow {
    pub slot: String,
    pub code: String,
    pub player: String,
    pub since: String,
    pub href: String,
}

/// A pick-up that may still be taken back.
#[derive(Clone, Debug)]
pub struct RecentPickup {
    pub pickup_id: String,
    pub words: String,
}

#[cfg(test)]
#[path = "hand_out_tests.rs"]
mod tests;
