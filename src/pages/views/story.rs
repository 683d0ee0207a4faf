//! Racket Story: everything that happened to one racket, the newest first.
//!
//! GET `/rackets/{id}`, and `/rackets?q=…&beside={id}` for the story of another racket. A story is read, never written; photos of marks are added to the racket beside it
//! (`photos.rs`).
use askama::Template;

use super::photos::Photos;
use crate::pages::parts::{Chip, Field};
use crate::pages::shell::Shell;

/// The whole screen.
#[derive(Debug, Template)]
#[template(path = "story.html", config = ".askama.toml")]
pub struct Story {
    pub shell: Shell,
    pub racket_id: String,
    /// "Example A., three dots".
    pub racket: String,
    /// Address and name of its frame's record, for those who may see it.
    pub frame: Option<(String, String)>,
    /// Where it is now.
    pub place: String,
    pub jobs: Vec<StoryJob>,
    /// The photos that are kept of it.
    pub photos: Photos,
    /// Where one more is chosen, for those who may.
    pub add_photo: Option<Field>,
    pub may_remove: bool,
    pub entries: Vec<StoryEntry>,
    /// SHA-256 of the log entries as they are stored; two prints of one record carry the same.
    pub record_hash: String,
    /// "Ana, 2 May 13:02".
    pub printed_by: String,
}

/// One stringing.
#[derive(Clone, Debug)]
pub struct StoryJob {
    pub id: String,
    pub code: String,
    pub state: Chip,
    /// "ready by 14:30" while it is open.
    pub due: String,
    pub mains: String,
    pub crosses: String,
    /// Address of The Plan while the job is open; empty otherwise.
    pub plan_href: String,
    /// Where its wish is changed; empty where that cannot be.
    pub change_href: String,
}

/// One thing that happened.
#[derive(Clone, Debug)]
pub struct StoryEntry {
    pub at: String,
    /// The tag code of its job; empty for what is about the racket itself.
    pub code: String,
    pub what: String,
    pub who: String,
    pub detail: String,
    /// The photo that was kept then, while it is there.
    pub photos: Option<Photos>,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::page_check::{rendered, words};
    use crate::pages::shell::Surface;

    #[test]
    fn a_story_tells_when_what_and_who() {
        let page = Story {
            shell: Shell::invented("Story", Surface::Day, "Hand In"),
            racket_id: "rkt_1".into(),
            racket: "Example A., three dots".into(),
            frame: None,
            place: "at the desk".into(),
            jobs: Vec::new(),
            photos: Photos::default(),
            add_photo: None,
            may_remove: false,
            entries: vec![StoryEntry {
                at: "2 May 13:02".into(),
                code: "K7M4G".into(),
                what: "Taken in".into(),
                who: "Ana".into(),
                detail: "ready by 14:30".into(),
                photos: None,
            }],
            record_hash: "5f2a".into(),
            printed_by: "Ana, 2 May 13:02".into(),
        };
        let text = words(&rendered("story", &page));
        assert!(text.contains("5f2a") && text.contains("Printed by Ana"));
        assert!(
            text.contains("2 May 13:02")
                && text.contains("Taken in")
                && text.contains("Ana · ready by 14:30")
        );
    }
}
