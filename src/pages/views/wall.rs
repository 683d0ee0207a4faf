//! The Wall: for everybody to see, without any input and without any spec.
//!
//! GET `/wall?for=counter` says ready, in work, ask at the desk. GET `/wall?for=room&page=` shows the room:
//! exceptions first, twelve rows a page at most. Neither view has a field for a tension or a string.
use askama::Template;

use crate::pages::parts::Chip;
use crate::pages::shell::Shell;

/// Rows one can read from six metres on the room's wall.
pub const ROWS_A_PAGE: usize = 12;

/// More exceptions than this are gathered by their cause.
pub const MOST_EXCEPTIONS: usize = 6;

/// What players see at the counter.
#[derive(Debug, Template)]
#[template(path = "wall_counter.html", config = ".askama.toml")]
pub struct CounterWall {
    pub shell: Shell,
    pub ready: Vec<CounterRow>,
    pub in_work: Vec<CounterRow>,
    pub ask: Vec<CounterRow>,
}

/// One racket at the counter: its code, and who it is for in initials and country.
#[derive(Clone, Debug)]
pub struct CounterRow {
    pub code: String,
    /// "EX. A".
    pub initials: String,
    pub country: String,
    /// "about 14:40" while in work; empty otherwise.
    pub about: String,
}

/// What the team sees.
#[derive(Debug, Template)]
#[template(path = "wall_room.html", config = ".askama.toml")]
pub struct RoomWall {
    pub shell: Shell,
    /// "in", "waiting", "on machine", "check", "ready" with their numbers.
    pub counts: Vec<(String, usize)>,
    /// "38 of 39 on time today".
    pub on_time: String,
    /// Exceptions first; at most [`ROWS_A_PAGE`].
    pub rows: Vec<RoomRow>,
    pub page: usize,
    pub pages: usize,
    /// Address of the next page; empty on a single page.
    pub next_page: String,
    /// "All done. Next match 11:00."
    pub empty_words: String,
    pub stations: Vec<StationMark>,
}

/// One job on the room's wall, or several with one cause.
#[derive(Clone, Debug, Default)]
pub struct RoomRow {
    /// `Plain` with "+25" for a job that is on its way.
    pub state: Chip,
    pub exception: bool,
    pub code: String,
    pub initials: String,
    /// "Court 1 14:00".
    pub wanted: String,
    /// What keeps it: one row gathers many exceptions of one cause.
    pub cause: String,
    /// The cause, and what is next; where it is, and how likely it comes too late.
    pub words: String,
    /// Codes of the other jobs of the same cause; empty for a single one.
    pub others: String,
    /// Who can solve it: "desk"; empty for the ordinary.
    pub who: String,
}

/// One station in the bottom line.
#[derive(Clone, Debug)]
pub struct StationMark {
    pub number: String,
    /// Stringer, or "machine not cleared".
    pub words: String,
    pub state: Option<Chip>,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::page_check::{rendered, words};
    use crate::pages::parts::ChipKind;
    use crate::pages::shell::Surface;

    fn shell() -> Shell {
        Shell {
            who: None,
            places: Vec::new(),
            ..Shell::invented("Wall", Surface::Night, "Wall")
        }
    }

    fn row(kind: ChipKind, word: &str, code: &str) -> RoomRow {
        RoomRow {
            state: Chip::new(kind, word),
            exception: kind != ChipKind::Plain,
            code: code.into(),
            initials: "FI. B".into(),
            wanted: "Court 1 14:00".into(),
            words: "waits: reel empty".into(),
            cause: String::new(),
            others: String::new(),
            who: if kind == ChipKind::Plain {
                String::new()
            } else {
                "desk".into()
            },
        }
    }

    fn room() -> RoomWall {
        let mut rows = vec![
            row(ChipKind::Late, "late 8", "P2W8J"),
            row(ChipKind::Risk, "+3", "R4C6M"),
            row(ChipKind::Held, "held", "T8H3H"),
            row(ChipKind::Rush, "court 3", "B5N9H"),
        ];
        rows.extend((0..8).map(|_| RoomRow {
            words: "mains done".into(),
            ..row(ChipKind::Plain, "+25", "K7M4G")
        }));
        RoomWall {
            shell: shell(),
            counts: [
                ("in", 41),
                ("waiting", 9),
                ("on machine", 4),
                ("check", 1),
                ("ready", 12),
            ]
            .map(|(word, number)| (word.to_owned(), number))
            .into(),
            on_time: "38 of 39 on time today".into(),
            rows,
            page: 1,
            pages: 2,
            next_page: "/wall?for=room&page=2".into(),
            empty_words: "All done. Next match 11:00.".into(),
            stations: vec![
                StationMark {
                    number: "1".into(),
                    words: "Mia".into(),
                    state: Some(Chip::new(ChipKind::Rush, "court")),
                },
                StationMark {
                    number: "4".into(),
                    words: "machine not cleared".into(),
                    state: None,
                },
            ],
        }
    }

    #[test]
    fn the_room_sees_exceptions_first_with_glyph_and_word_on_the_night_surface() {
        let html = rendered("wall-room", &room());
        let text = words(&html);
        assert!(html.contains("<html class=\"night\""));
        assert!(
            text.contains("▲! late 8") && text.contains("‖ held") && text.contains("» court 3"),
            "{text}"
        );
        assert!(text.contains("page 1 of 2"));
        assert!(html.matches("class=\"row-").count() <= ROWS_A_PAGE);
    }

    #[test]
    fn an_empty_room_says_what_comes_next() {
        let page = RoomWall {
            rows: Vec::new(),
            pages: 1,
            next_page: String::new(),
            ..room()
        };
        assert!(words(&rendered("wall-room-empty", &page)).contains("All done. Next match 11:00."));
    }

    #[test]
    fn the_counter_says_ready_in_work_or_ask_and_never_late() {
        let counter = |code: &str, about: &str| CounterRow {
            code: code.into(),
            initials: "EX. A".into(),
            country: "JPN".into(),
            about: about.into(),
        };
        let page = CounterWall {
            shell: shell(),
            ready: vec![counter("K7M4G", ""), counter("B5N9H", "")],
            in_work: vec![counter("P2W8J", "about 14:40")],
            ask: Vec::new(),
        };
        let text = words(&rendered("wall-counter", &page));
        assert!(text.contains("Ready") && text.contains("In work") && text.contains("Ask at the desk"));
        assert!(!text.to_lowercase().contains("late ") && text.contains("Nothing here."));
    }

    #[test]
    fn no_wall_prints_a_spec() {
        let html = rendered("wall-room-specs", &room());
        for word in ["kg", " lb", "ension", "String"] {
            assert!(!words(&html).contains(word), "{word}");
        }
    }
}
