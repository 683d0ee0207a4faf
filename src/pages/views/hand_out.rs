//! Hand Out: rackets go back against proof.
//!
//! | method | address | fields |
//! |---|---|---|
//! | GET | `/hand-out` | `q`: ticket, tag, phone page, badge or part of a name; `player`; `hand`: jobs whose tags were scanned (repeated); `proof`, `proof_value`, `collector`, `reason` as scanned or chosen |
//! | POST | `/hand-out` | `player_id`, `job_id` (repeated), `how` (`hand_out`, `give_back`, `court_release`, `return`), `proof` (`ticket`, `phone_code`, `badge`, `delegate:NAME`, `override`), `proof_value`, `collector`, `reason`, `second_pin`, `once`; `delegate_name` and `delegate_often`, or `how=withdraw:NAME`, change who else may collect and give nothing out |
//! | POST | `/hand-out/undo` | `pickup_id`, `reason`, `once` (ten minutes long) |
use askama::Template;

use super::delegates::Delegates;
use super::photos::Photos;
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
    /// "2 of 3 ready; the next about 14:40".
    pub summary: String,
    pub rackets: Vec<OwnerRacket>,
    /// The ways to prove it, a tile for each delegate among them; the one that was scanned chosen.
    pub proofs: Vec<Choice>,
    pub proof_value: Field,
    pub collector: Field,
    pub reason: Field,
    pub second_pin: Field,
    /// Whether something can be given out the usual way.
    pub may_give_out: bool,
    /// Who else may collect, for those who may name somebody.
    pub delegates: Option<Delegates>,
    /// Other ways out that fit some of these rackets: `how`, label and what it means.
    pub other_ways: Vec<Choice>,
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
    /// Can leave in one way or another.
    pub may_leave: bool,
    /// Its tag was scanned, or its tick was set.
    pub chosen: bool,
    /// Which of the other ways fit it: "as it is", "to the court"; empty for the usual one.
    pub way: String,
    /// "about 14:40" while it is not ready.
    pub about: String,
    /// Of its marks, to compare with what is in the hand.
    pub photos: Photos,
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

/// What left just now.
#[derive(Clone, Debug)]
pub struct RecentPickup {
    /// The pick-up that may still be taken back; empty for what left in another way.
    pub pickup_id: String,
    /// Where it is taken in again with the same wish, for what left in another way and is not here yet.
    pub again_href: String,
    /// Tag codes.
    pub codes: String,
    pub player: String,
    /// "to Coach Example at 14:02".
    pub words: String,
}

#[cfg(test)]
#[path = "hand_out_tests.rs"]
mod tests;
