//! The paper kit: what counter and bench go on with when power or network fail.
//!
//! | method | address | fields |
//! |---|---|---|
//! | GET | `/paper-kit` | the kit as it is now, to print |
use askama::Template;

/// The whole print: one file that needs nothing beside it.
#[derive(Debug, Template)]
#[template(path = "paper_kit.html", config = ".askama.toml")]
pub struct PaperKitPrint {
    pub tournament: String,
    /// Where players collect, to be told by mouth; empty where nobody has said it.
    pub collect_at: String,
    /// "Sat 2 May, 13:02".
    pub printed_at: String,
    pub open: Vec<OpenRow>,
    pub shelf: Vec<ShelfRow>,
    pub matches: Vec<MatchRow>,
    pub codes: Vec<String>,
}

/// One racket that is not strung yet.
#[derive(Clone, Debug)]
pub struct OpenRow {
    pub ready_by: String,
    pub code: String,
    pub player: String,
    /// How to reach them; empty if not known.
    pub contact: String,
    pub racket: String,
    pub frame: String,
    pub mains: String,
    pub crosses: String,
    /// "on machine, mains done".
    pub state: String,
}

/// One match to come.
#[derive(Clone, Debug)]
pub struct MatchRow {
    pub ready_by: String,
    pub id: String,
    pub court: String,
    /// "Sat 13:04 to 14:48, about 13:40".
    pub starts: String,
    pub players: String,
}

/// One racket on the shelf.
#[derive(Clone, Debug)]
pub struct ShelfRow {
    pub slot: String,
    pub code: String,
    pub player: String,
    pub contact: String,
    pub racket: String,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::page_check::words;

    #[test]
    fn the_kit_is_one_file_and_says_all_that_is_needed_to_go_on() {
        let print = PaperKitPrint {
            tournament: "Harbour Open".into(),
            collect_at: "Gate B <beside> Court 1".into(),
            printed_at: "Sat 2 May, 13:02".into(),
            open: vec![OpenRow {
                ready_by: "14:30".into(),
                code: "K7M4G".into(),
                player: "Example A.".into(),
                contact: "+00 555 0100".into(),
                racket: "dot 3".into(),
                frame: "F-16x19".into(),
                mains: "M 24 kg (52.9 lb) String A".into(),
                crosses: "C 23 kg (50.7 lb) String B".into(),
                state: "waiting".into(),
            }],
            matches: vec![MatchRow {
                ready_by: "12:25".into(),
                id: "M12".into(),
                court: "Court 1".into(),
                starts: "Sat 13:00 to 14:48, about 13:40".into(),
                players: "Example A.".into(),
            }],
            shelf: vec![ShelfRow {
                slot: "B4".into(),
                code: "P2W8J".into(),
                player: "Example B.".into(),
                contact: String::new(),
                racket: "".into(),
            }],
            codes: vec!["00002".into()],
        };
        let html = print.render().unwrap();
        for outside in ["src=", "href=", "@import", "url("] {
            assert!(!html.contains(outside), "{outside}");
        }
        let text = words(&html);
        for said in [
            "K7M4G",
            "24 kg (52.9 lb)",
            "14:30",
            "B4",
            "00002",
            "13:02",
            "+00 555 0100",
            "Players collect at Gate B",
        ] {
            assert!(text.contains(said), "{said} in {text}");
        }
    }
}
