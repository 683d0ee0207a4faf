//! Shelf & Stock: which strings lie here and how far they reach, and where finished rackets lie.
//!
//! | method | address | fields |
//! |---|---|---|
//! | GET | `/stock` | |
//! | POST | `/stock/receive` | `string_id`, `kind` (`reel`, `set`, `half_set`, `offcut`), `length_m`, `how_many`, `label_code`, `owner` (badge or name), `once` |
//! | POST | `/stock/{id}/count` | `version`, `remaining_m`, `reason`, `more_because` (for more than was ever on it), `once` |
use askama::Template;

use crate::pages::parts::{Chip, Choice, Field};
use crate::pages::shell::Shell;

/// The whole screen.
#[derive(Debug, Template)]
#[template(path = "stock.html", config = ".askama.toml")]
pub struct Stock {
    pub shell: Shell,
    pub strings: Vec<StringStock>,
    /// What players brought, by owner.
    pub own: Vec<Piece>,
    pub receive: Vec<Field>,
    /// The form was refused: shown open.
    pub receive_open: bool,
    pub count_reasons: Vec<Choice>,
    pub slots: Vec<Slot>,
}

/// One string product and its pieces.
#[derive(Clone, Debug)]
pub struct StringStock {
    pub name: String,
    /// "73.4 m".
    pub left: String,
    /// "about 6 jobs".
    pub reach: String,
    /// Said when little or nothing is left.
    pub low: Option<Chip>,
    pub pieces: Vec<Piece>,
}

/// One piece.
#[derive(Clone, Debug)]
pub struct Piece {
    pub id: String,
    pub version: i64,
    /// The name of the string.
    pub string: String,
    /// "reel", "half set".
    pub kind: String,
    /// Its label; empty for a packet without one.
    pub label: String,
    pub left: String,
    /// "about 6 jobs".
    pub reach: String,
    /// The owner's name; empty for the desk's own.
    pub owner: String,
    /// A count of it that was refused.
    pub again: Option<CountAgain>,
}

/// A count that was refused, as it was typed.
#[derive(Clone, Debug)]
pub struct CountAgain {
    pub typed: String,
    pub words: String,
    /// More than was ever on the piece: where that comes from is asked.
    pub asks_why: bool,
    pub why: String,
}

/// One place on the shelf.
#[derive(Clone, Debug)]
pub struct Slot {
    pub slot: String,
    pub code: String,
    pub player: String,
    pub since: String,
    pub href: String,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::page_check::{rendered, words};
    use crate::pages::parts::{ChipKind, Control};
    use crate::pages::shell::Surface;

    #[test]
    fn a_string_says_how_far_it_reaches_and_each_piece_can_be_counted() {
        let piece = Piece {
            id: String::new(),
            version: 3,
            string: "String A 1.25".into(),
            kind: "reel".into(),
            label: "R-0007".into(),
            left: "13.0 m".into(),
            reach: "about 1 job".into(),
            owner: String::new(),
            again: None,
        };
        let mut page = Stock {
            shell: Shell::invented("Shelf & Stock", Surface::Day, "Stock"),
            strings: vec![StringStock {
                name: "String A 1.25".into(),
                left: "13.0 m".into(),
                reach: "about 1 job".into(),
                low: Some(Chip::new(ChipKind::Risk, "low")),
                pieces: vec![Piece {
                    id: "s1".into(),
                    ..piece.clone()
                }],
            }],
            own: vec![Piece {
                id: "s2".into(),
                owner: "見本 明".into(),
                ..piece
            }],
            receive: vec![Field::new("length_m", "Length of one", Control::Number).unit("m")],
            receive_open: false,
            count_reasons: vec![Choice::new("measured", "measured")],
            slots: vec![Slot {
                slot: "A 1".into(),
                code: "K7M4G".into(),
                player: "Example A.".into(),
                since: "13:20".into(),
                href: "/hand-out?player=p1".into(),
            }],
        };
        let html = rendered("stock", &page);
        let text = words(&html);
        assert!(text.contains("about 1 job") && text.contains("△ low") && text.contains("R-0007"));
        assert!(text.contains("見本 明") && html.contains("action=\"/stock/s2/count\""));
        assert!(html.contains("action=\"/stock/s1/count\"") && html.contains("action=\"/stock/receive\""));
        page.strings.clear();
        page.own.clear();
        page.slots.clear();
        let text = words(&rendered("stock-empty", &page));
        assert!(text.contains("Book in the first reel.") && text.contains("Nothing on the shelf."));
    }
}
