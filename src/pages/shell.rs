//! The frame round every screen: surface, language, the bar on top, bands, notes and problems.
use super::parts::{Note, Problem, Seal};

/// The surface a device shows. It is set per device, not by the operating system's mode.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Surface {
    /// Counter, bench and phone.
    Day,
    /// The wall.
    Night,
    /// What is printed.
    Paper,
}

impl Surface {
    pub fn class(self) -> &'static str {
        match self {
            Surface::Day => "day",
            Surface::Night => "night",
            Surface::Paper => "paper",
        }
    }
}

/// One screen in the bar on top.
#[derive(Clone, Debug)]
pub struct Place {
    pub label: String,
    pub href: String,
    pub here: bool,
    /// Things that wait there; nothing is shown for zero.
    pub waiting: usize,
}

/// Who is signed in, and where.
#[derive(Clone, Debug)]
pub struct Who {
    pub name: String,
    /// "Desk 1" or "Station 3".
    pub place: String,
}

/// So many screens stand in the bar of a tablet beside clock and name; one more than this is no reason for a button.
const MOST_IN_BAR: usize = 6;

/// Everything a page needs that is not its own subject.
#[derive(Clone, Debug)]
pub struct Shell {
    /// For the browser's tab.
    pub title: String,
    pub surface: Surface,
    /// BCP 47 tag.
    pub lang: String,
    pub places: Vec<Place>,
    pub who: Option<Who>,
    pub tournament: String,
    /// IANA name of the venue's time zone, for times that a script writes.
    pub zone: String,
    /// Venue time of the data, "13:02:10".
    pub data_at: String,
    /// Topics of the live stream this page listens to, comma separated; empty: the page is not live.
    pub live_topics: String,
    /// The newest entry of the log when the page was begun: the stream goes on from there.
    pub since: i64,
    /// Stem of the once-keys of this page's forms; fresh for every page sent.
    pub key: String,
    pub note: Option<Note>,
    pub problem: Option<Problem>,
    /// The page came over plain http from another machine: sign-in and offline work are not safe.
    pub insecure: bool,
}

impl Shell {
    /// The screens of every hour, in the bar itself.
    pub fn places_in_bar(&self) -> &[Place] {
        self.split().0
    }

    /// The others of somebody who has many, behind one button.
    pub fn places_behind(&self) -> &[Place] {
        self.split().1
    }

    /// Whether this page is one of those behind the button.
    pub fn is_behind(&self) -> bool {
        self.places_behind().iter().any(|place| place.here)
    }

    /// What the button says: where one is, if it is one of its screens.
    pub fn behind_label(&self) -> &str {
        let here = self.places_behind().iter().find(|place| place.here);
        here.map_or("More", |place| &place.label)
    }

    fn split(&self) -> (&[Place], &[Place]) {
        if self.places.len() <= MOST_IN_BAR + 1 {
            (&self.places, &[])
        } else {
            self.places.split_at(MOST_IN_BAR)
        }
    }

    /// A page without a sign-in: no places, nothing live.
    pub fn bare(title: impl Into<String>, surface: Surface, key: impl Into<String>) -> Self {
        Shell {
            title: title.into(),
            surface,
            lang: "en".into(),
            places: Vec::new(),
            who: None,
            tournament: String::new(),
            zone: String::new(),
            data_at: String::new(),
            live_topics: String::new(),
            since: 0,
            key: key.into(),
            note: None,
            problem: None,
            insecure: false,
        }
    }

    /// `rtl` for scripts written from right to left, judged by the language's first part.
    pub fn dir(&self) -> &'static str {
        direction(&self.lang)
    }

    /// The hidden field of one form. Two forms of a page have different keys, so that
    /// going back and sending the other one is not taken for a repeat.
    pub fn seal(&self, form: &str) -> Seal {
        Seal {
            once: format!("{}-{form}", self.key),
        }
    }
}

/// Writing direction of a language by its BCP 47 tag.
pub fn direction(lang: &str) -> &'static str {
    match lang.split('-').next().unwrap_or_default() {
        "ar" | "fa" | "he" | "ur" => "rtl",
        _ => "ltr",
    }
}

#[cfg(test)]
impl Shell {
    /// The frame of a signed-in screen with invented people, for the render tests.
    pub(crate) fn invented(title: &str, surface: Surface, here: &str) -> Self {
        let places = [
            ("Hand In", "/hand-in", 0),
            ("Next Up", "/next-up", 0),
            ("Hand Out", "/hand-out", 0),
            ("Snags", "/snags", 2),
            ("Wall", "/wall?for=room", 0),
            ("Setup", "/setup", 0),
        ];
        let place = |(label, href, waiting): (&str, &str, usize)| Place {
            label: label.into(),
            href: href.into(),
            here: label == here,
            waiting,
        };
        Shell {
            places: places.into_iter().map(place).collect(),
            who: Some(Who {
                name: "Ana".into(),
                place: "Desk 1".into(),
            }),
            tournament: "Harbour Open".into(),
            data_at: "13:02:10".into(),
            live_topics: "jobs,rackets,snags".into(),
            since: 41,
            ..Shell::bare(title, surface, "0192-invented")
        }
    }
}
