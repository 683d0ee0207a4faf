//! The weave methods of one racket side by side, to choose from before they part.
//!
//! | method | address | fields |
//! |---|---|---|
//! | GET | `/plan/{id}/methods` | |
//! | POST | `/jobs/{id}/do/method` | `weave_method`, `once` |
use askama::Template;

use crate::pages::shell::Shell;

/// The whole screen.
#[derive(Debug, Template)]
#[template(path = "methods.html", config = ".askama.toml")]
pub struct MethodsScreen {
    pub shell: Shell,
    pub job_id: String,
    pub code: String,
    pub player: String,
    pub frame: String,
    /// Whether one can still be taken.
    pub open: bool,
    pub rows: Vec<MethodRow>,
}

/// One method. Figures of a method that is not allowed here are not shown.
#[derive(Clone, Debug)]
pub struct MethodRow {
    pub value: String,
    pub label: String,
    pub allowed: bool,
    pub chosen: bool,
    pub can_take: bool,
    /// "about 27 min".
    pub time: String,
    /// The longest string pulled through one shoulder cross: "4.1 m".
    pub longest_pull: String,
    /// String times crossings in the shoulder zone: "212 m".
    pub drag: String,
    /// 100 is crosses from the head down.
    pub wear: String,
    /// "12.30 m".
    pub string: String,
    /// What forbids it or is to be minded; empty if nothing.
    pub reasons: String,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::page_check::{rendered, words};
    use crate::pages::shell::Surface;

    fn row(value: &str, allowed: bool, chosen: bool) -> MethodRow {
        MethodRow {
            value: value.into(),
            label: value.replace('_', " "),
            allowed,
            chosen,
            can_take: allowed,
            time: "about 27 min".into(),
            longest_pull: "4.1 m".into(),
            drag: "212 m".into(),
            wear: "100".into(),
            string: "12.30 m".into(),
            reasons: if allowed {
                String::new()
            } else {
                "needs one piece; two are asked".into()
            },
        }
    }

    #[test]
    fn the_methods_allowed_stand_with_their_figures_and_the_others_with_what_forbids_them() {
        let page = MethodsScreen {
            shell: Shell::invented("Ways of weaving", Surface::Day, ""),
            job_id: "J1".into(),
            code: "K7M4G".into(),
            player: "Example A.".into(),
            frame: "F-16x19".into(),
            open: true,
            rows: vec![
                row("head_down", true, true),
                row("start_cross_back", true, false),
                row("around", false, false),
            ],
        };
        let html = rendered("methods", &page);
        // one is taken already, one is forbidden: one is left to tap
        assert_eq!(html.matches("name=\"weave_method\"").count(), 1);
        let text = words(&html);
        assert!(text.contains("needs one piece; two are asked"), "{text}");
        assert_eq!(text.matches("about 27 min").count(), 2, "{text}");
    }
}
