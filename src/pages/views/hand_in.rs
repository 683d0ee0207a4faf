//! Hand In: rackets come over the counter.
//!
//! | method | address | fields |
//! |---|---|---|
//! | GET | `/hand-in` | `q`: a tag, label, badge or part of a name |
//! | GET | `/hand-in` | `player`, `racket` (repeated, one line each), `mode=same\|change\|new`, `lines`; `name` of a new player |
//! | POST | `/hand-in` | `player_id` or `new_player_name`, `new_player_country`, `new_player_language`; `wish=same\|change\|new`; `lines` (how many) and for each line n from 1: `line_n_racket_id` (or `new`, with `line_n_frame_id`, `line_n_marks`), `line_n_step`, `line_n_as_said`, `line_n_unit`, `line_n_due=next_match\|until_match\|match:ID\|evening\|tomorrow\|time` with `line_n_ready_by` and `line_n_day`, `line_n_purpose`, `line_n_condition=ok\|marked`, `line_n_damage` (repeated: `head_top`, `shoulders`, `throat`, `grommets`, `cracked`; a tick is damage), `line_n_damage_note`, `line_n_code`; `written_time`; `mains_string_id`, `crosses_string_id`, `pieces`, `own_string`, `note`; `line_n_photo` (a file) or `line_n_photo_again` with `line_n_photo_out=yes` to leave it out; `override` and `override_reason` after a problem card; `once` |
//! | POST | `/hand-in` | `show` shows the form with all that was filled in, and stores nothing: `same`, `change` or `new` another way of ordering; `more` one line more; `less:N` without line N; `racket:ID` another racket on the first line; `found` what `q` finds |
//!
//! `line_n_as_said` takes the wish as it was spoken: "24/23", "52", "24 and a half", "one kilo down".
//! No unit is chosen on a new spec; the desk asks instead of guessing.
use askama::Template;

use super::delegates::Delegates;
use super::photos::Photos;
use crate::pages::parts::{Chip, Choice, Field};
use crate::pages::shell::Shell;

/// The whole screen.
#[derive(Debug, Template)]
#[template(path = "hand_in.html", config = ".askama.toml")]
pub struct HandIn {
    pub shell: Shell,
    pub query: String,
    /// What the search found; `None`: nobody searched yet.
    pub found: Option<Vec<Found>>,
    /// The card that was open before the search, which found somebody else or nobody.
    pub back: Option<String>,
    /// Where a new player is taken in, with the name that was searched in vain.
    pub new_player_href: String,
    pub card: Option<Card>,
    pub taken: Option<Taken>,
    /// Rackets in the house, the last first.
    pub inside: Vec<InsideRow>,
    /// Addresses of the cards that a device keeps for when the network is gone.
    pub cards: Vec<String>,
}

/// One hit of the search.
#[derive(Clone, Debug)]
pub struct Found {
    /// "player", "racket" or "ticket".
    pub kind: String,
    pub name: String,
    pub detail: String,
    pub href: String,
}

/// The player at the counter and what may be done.
#[derive(Clone, Debug)]
pub struct Card {
    /// Empty for a new player.
    pub player_id: String,
    pub player: String,
    /// The name in Latin letters, where the other is not.
    pub latin: String,
    pub country: String,
    pub speaks: String,
    /// Who else may collect: "Coach Example (always)".
    pub collectors: String,
    pub next_match: String,
    pub rackets: Vec<RacketCard>,
    /// Fields of a new player; empty for a known one.
    pub new_player: Vec<Field>,
    pub wish: Wish,
    pub lines: Vec<Line>,
    /// Strings, pieces, own string, note: only for `change` and `new`.
    pub spec: Vec<Field>,
    /// What "Same again" will do, read back: "M 24 kg String A 1.25, C 23 kg String B 1.30".
    pub same_again: Vec<String>,
    /// The part for tags written by hand is shown open.
    pub tag_by_hand: bool,
    /// When it was taken in on paper.
    pub written_time: Field,
    /// Stand in the place of the buttons until one is chosen.
    pub problems: Vec<ProblemCard>,
    /// Quiet remarks: "String B: 11 m left, one more job after this one".
    pub remarks: Vec<Chip>,
    /// What was typed into fields that this way of ordering does not show: it is there again when they are.
    pub carried: Vec<(String, String)>,
    /// Something was filled in before: leaving the page would lose it.
    pub drafted: bool,
    /// One of the rackets was strung here before and is not in.
    pub may_repeat: bool,
}

/// Which of the three ways of ordering the form is in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wish {
    Same,
    Change,
    New,
}

impl Wish {
    pub fn value(self) -> &'static str {
        match self {
            Wish::Same => "same",
            Wish::Change => "change",
            Wish::New => "new",
        }
    }
}

/// One of the player's rackets.
#[derive(Clone, Debug)]
pub struct RacketCard {
    /// "Racket 3", or "Racket 3 of 4" where the player numbers none.
    pub title: String,
    pub marks: String,
    pub label: String,
    pub frame: String,
    /// "21-27 kg"; empty if the frame's range is not known.
    pub range: String,
    pub last: Option<LastSpec>,
    /// "already in, waiting since 10:42"; empty if it is not here.
    pub already_in: String,
    /// Where the wish of what is in is changed; empty where that cannot be.
    pub change_href: String,
    pub photos: Photos,
    pub racket_id: String,
    pub chosen: bool,
}

/// How it was strung the last time.
#[derive(Clone, Debug)]
pub struct LastSpec {
    pub when: String,
    pub mains: String,
    pub mains_string: String,
    pub crosses: String,
    pub crosses_string: String,
    pub pieces: String,
}

/// One racket of the drop-off.
#[derive(Clone, Debug)]
pub struct Line {
    /// From 1.
    pub number: usize,
    /// "M 24 kg String A 1.25 / C 23 kg String B 1.30" of its last stringing; empty without one.
    pub last: String,
    /// The racket chosen on it; `new` for one that is registered with it.
    pub racket_id: String,
    pub racket: Field,
    /// Frame and marks, when the racket is new.
    pub new_racket: Vec<Field>,
    /// Common changes upon last time, a touch each; shown for a change.
    pub step: Field,
    pub as_said: Field,
    /// `kg` or `lb` with none chosen on a new spec.
    pub unit: Field,
    /// What decides the ready-by: `next_match`, `until_match`, `match:ID`, `evening`, `tomorrow` or `time`.
    pub due: Field,
    pub ready_by: Field,
    /// The day of a time that is written; empty: the next one that is to come.
    pub day: Field,
    pub purpose: Field,
    pub condition: Condition,
    /// The drop-off has others, so this one may be taken off it.
    pub may_leave: bool,
    /// A reserved code that was written on the tag by hand.
    pub code: Field,
    /// A photo of its marks or damage.
    pub photo: Field,
    /// One that came along and waits for the form to be right.
    pub photo_again: Option<PhotoAgain>,
}

/// The condition check of one racket.
#[derive(Clone, Debug)]
pub struct Condition {
    /// The field with `ok` or `marked`.
    pub name: String,
    pub marked: bool,
    /// The field of the boxes, one per place, and the `id` of their part.
    pub places_name: String,
    pub places: Vec<Choice>,
    pub note_name: String,
    pub note: String,
    pub fault: Option<String>,
}

/// A photo goes back and forth with its form until the racket is taken in: a browser forgets
/// the file that was chosen, and nothing is kept of a racket that is not taken in.
#[derive(Clone, Debug)]
pub struct PhotoAgain {
    /// The field: `line_n_photo_again`.
    pub name: String,
    /// The box that leaves it out: `line_n_photo_out`.
    pub out: String,
    /// Base 64 of the photo, already small and bare.
    pub whole: String,
    /// The small one, likewise.
    pub small: String,
}

/// Something that must be decided before the racket is taken in.
#[derive(Clone, Debug)]
pub struct ProblemCard {
    pub chip: Chip,
    pub words: String,
    /// Each is a button of the form: name, value, label.
    pub choices: Vec<(String, String, String)>,
    /// The racket itself is at fault, and may be given back instead.
    pub may_give_back: bool,
    /// The code to insist on; empty where nobody may insist.
    pub override_code: String,
    pub reasons: Vec<Choice>,
    /// What to do before insisting.
    pub hint: String,
}

/// What was just taken in.
#[derive(Clone, Debug)]
pub struct Taken {
    /// The job whose read-back this is, and whose racket it is of.
    pub job_id: String,
    pub player_id: String,
    /// Who else may collect, for those who may name somebody.
    pub delegates: Option<Delegates>,
    pub player: String,
    /// "likely ready by 14:30".
    pub promise: String,
    /// One of them is likely ready later than it was asked for.
    pub late: bool,
    /// Where their owner collects them; empty where nobody has said it.
    pub collect_at: String,
    pub jobs: Vec<TakenJob>,
}

/// One job just taken in.
#[derive(Clone, Debug)]
pub struct TakenJob {
    pub job_id: String,
    pub code: String,
    pub racket: String,
    /// Both units: "24 kg (52.9 lb) / 23 kg (50.7 lb)".
    pub read_back: String,
    /// When it was asked for: "14:30", or with its day.
    pub ready_by: String,
    /// When it is likely ready; empty while no station is open.
    pub likely: String,
    /// That is later than asked.
    pub late: bool,
    /// "Shoulders, Throat"; empty where all is fine.
    pub damage: String,
    /// Where a mistake is corrected; empty where this reader may not.
    pub change_href: String,
    pub photos: Photos,
}

/// One racket in the house.
#[derive(Clone, Debug)]
pub struct InsideRow {
    pub code: String,
    pub player: String,
    pub latin: String,
    pub racket: String,
    pub ready_by: String,
    pub state: Chip,
    pub story_href: String,
}

#[cfg(test)]
#[path = "hand_in_tests.rs"]
mod tests;
