//! Your Rackets: the player's page behind the link on the ticket. Status only, and no script.
//!
//! | method | address | fields |
//! |---|---|---|
//! | GET | `/p`, `/p/` | the page of a link that ended |
//! | GET | `/p/{token}` | `lang`, remembered in a cookie with `keep=yes`; `ask=code\|delegate\|change` shows that alone; `still=yes`: it does not load itself again |
//! | POST | `/p/{token}` | `delegate`: who else may collect; or `withdraw`: who may no longer; or `job_id` and `change`: what shall be different; `lang`, `still`, `once` |
//!
//! There is no field for a tension, a string, another player or a full name.
use askama::Template;

use crate::pages::shell::direction;
use crate::pages::wording::{LANGUAGES, Wording};

/// What is shown: the status loads itself again, a question does not, so that nothing typed is lost.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum View {
    Status,
    /// The code for the desk alone, large.
    Code,
    Delegate,
    Change,
}

impl View {
    /// How an address asks for it; empty for the status.
    fn asked(self) -> &'static str {
        match self {
            View::Status => "",
            View::Code => "code",
            View::Delegate => "delegate",
            View::Change => "change",
        }
    }
}

/// The whole page.
#[derive(Debug, Template)]
#[template(path = "your_rackets.html", config = ".askama.toml")]
pub struct YourRackets {
    pub view: View,
    pub say: Wording,
    /// Address of this page without parameters.
    pub address: String,
    /// Where rackets are collected: "Gate B, until 21:00"; empty where nobody has said it.
    pub place: String,
    pub rackets: Vec<PlayerRacket>,
    /// Where play stands still that a match of theirs waits for, and when it should go on: a paragraph each.
    pub stops: Vec<String>,
    /// Venue time of the data, "13:02".
    pub data_at: String,
    /// The changing code the desk asks for; empty when there is none.
    pub pickup_code: String,
    /// Venue time until which the desk takes that code.
    pub pickup_until: String,
    /// Who else may collect, as the player named them.
    pub delegates: Vec<String>,
    /// What was just done; empty otherwise.
    pub done: String,
    /// Why nothing was done, in the reader's language; empty otherwise.
    pub problem: String,
    /// What was typed and could not be taken.
    pub typed: String,
    /// The job that was chosen when it could not be taken.
    pub chosen: String,
    /// Stem of the once-keys of the forms.
    pub key: String,
    /// The link was withdrawn: nothing else is shown.
    pub ended: bool,
    /// Whether it stays as it is until its reader loads it again.
    pub still: bool,
}

/// What the player may know of one racket.
#[derive(Clone, Debug)]
pub struct PlayerRacket {
    pub job_id: String,
    /// The player's own mark: "●● 2".
    pub marks: String,
    pub state: PlayerState,
    /// The likely and the safe time, as printed; empty when ready or out.
    pub about: String,
    pub safe: String,
    /// The name of the text that says what a stop of play does to it; nothing where none does anything.
    pub stopped: Option<&'static str>,
}

/// States as the player sees them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PlayerState {
    Ready,
    Waiting,
    Working,
    Checking,
    Held,
    Cancelled,
    Out,
}

impl PlayerState {
    /// The name of its text.
    pub fn text(self) -> &'static str {
        match self {
            PlayerState::Ready => "state-ready",
            PlayerState::Waiting => "state-waiting",
            PlayerState::Working => "state-working",
            PlayerState::Checking => "state-checking",
            PlayerState::Held => "state-held",
            PlayerState::Cancelled => "state-cancelled",
            PlayerState::Out => "state-out",
        }
    }

    /// The name of the text that says what a stop of play does to a racket whose match waits for it.
    pub fn stopped(self) -> Option<&'static str> {
        match self {
            PlayerState::Waiting => Some("stop-moves"),
            PlayerState::Working | PlayerState::Checking => Some("stop-holds"),
            PlayerState::Ready => Some("stop-ready"),
            // a person at the desk tells more than this page could
            PlayerState::Held | PlayerState::Cancelled | PlayerState::Out => None,
        }
    }

    /// Its sign; an arrow points where the text goes.
    pub fn glyph(self, dir: &str) -> &'static str {
        match self {
            PlayerState::Ready => "✓",
            PlayerState::Waiting => "○",
            PlayerState::Working => "◔",
            PlayerState::Checking => "◕",
            PlayerState::Held | PlayerState::Cancelled => "?",
            PlayerState::Out if dir == "rtl" => "←",
            PlayerState::Out => "→",
        }
    }

    /// Its place in the list: what can be collected, what is worked on, what has ended.
    pub fn rank(self) -> u8 {
        match self {
            PlayerState::Ready => 0,
            PlayerState::Waiting | PlayerState::Working | PlayerState::Checking | PlayerState::Held => 1,
            PlayerState::Cancelled => 2,
            PlayerState::Out => 3,
        }
    }
}

impl YourRackets {
    fn ready(&self) -> usize {
        self.rackets
            .iter()
            .filter(|racket| racket.state == PlayerState::Ready)
            .count()
    }

    fn ready_words(&self) -> String {
        self.say.count("ready-count", self.ready())
    }

    pub fn delegate_words(&self) -> String {
        let names = self.say.list(&self.delegates);
        self.say.say_with("delegate-done", &[("names", &names)])
    }

    /// What the desk was asked for, and of which racket.
    pub fn change_words(&self, job_id: &str) -> String {
        let asked = self.rackets.iter().find(|racket| racket.job_id == job_id);
        asked.map_or_else(String::new, |racket| {
            self.say.say_with("change-done", &[("racket", &racket.marks)])
        })
    }

    /// Whether something is here that is still to be collected, and it is known where.
    fn tells_place(&self) -> bool {
        let here = |racket: &PlayerRacket| racket.state != PlayerState::Out;
        !self.place.is_empty() && self.rackets.iter().any(here)
    }

    /// Rackets of which something may still be asked.
    fn open(&self) -> Vec<&PlayerRacket> {
        let rackets = self.rackets.iter();
        rackets.filter(|racket| racket.state.rank() < 2).collect()
    }

    /// The address of another part of the page; what its reader chose before goes along.
    fn part(&self, view: View) -> String {
        self.address_of(self.say.tag(), view, self.still)
    }

    /// The address of the same part, loading itself again or not.
    fn loading(&self, still: bool) -> String {
        self.address_of(self.say.tag(), self.view, still)
    }

    fn address_of(&self, tag: &str, view: View, still: bool) -> String {
        let mut address = format!("{}?lang={tag}", self.address);
        if view != View::Status {
            address = format!("{address}&ask={}", view.asked());
        }
        if still {
            address += "&still=yes";
        }
        address
    }

    fn about_words(&self, racket: &PlayerRacket) -> String {
        self.say
            .say_with("about", &[("time", &racket.about), ("safe", &racket.safe)])
    }

    /// How old it is, and whether it gets newer by itself.
    fn as_of_words(&self) -> String {
        let mut said = vec![self.say.say_with("as-of", &[("time", &self.data_at)])];
        if !self.still {
            said.push(self.say.say("reloads"));
        }
        self.say.sentences(&said)
    }

    fn until_words(&self) -> String {
        self.say.say_with("pickup-until", &[("time", &self.pickup_until)])
    }

    /// Tag, own name, the address in it, and whether it is the one shown.
    fn languages(&self) -> Vec<(&'static str, &'static str, String, bool)> {
        let address = |tag: &str| self.address_of(tag, self.view, self.still) + "&keep=yes";
        LANGUAGES
            .iter()
            .map(|(tag, name)| (*tag, *name, address(tag), *tag == self.say.tag()))
            .collect()
    }

    fn dir(&self) -> &'static str {
        direction(self.say.tag())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::page_check::{rendered, words};

    fn page(lang: &str) -> YourRackets {
        let racket = |marks: &str, state, about: &str, safe: &str| PlayerRacket {
            marks: marks.into(),
            job_id: format!("job {marks}"),
            state,
            about: about.into(),
            safe: safe.into(),
            stopped: None,
        };
        YourRackets {
            view: View::Status,
            say: Wording::best(lang),
            address: "/p/invented-token".into(),
            place: "Gate B".into(),
            rackets: vec![
                racket("● 1", PlayerState::Ready, "", ""),
                racket("●● 2", PlayerState::Ready, "", ""),
                racket("●●● 3", PlayerState::Working, "14:40", "14:55"),
            ],
            stops: Vec::new(),
            data_at: "13:02".into(),
            pickup_code: "482 917".into(),
            pickup_until: "13:20".into(),
            delegates: vec!["Coach Example".into()],
            done: String::new(),
            problem: String::new(),
            typed: String::new(),
            chosen: String::new(),
            key: "0192-invented".into(),
            ended: false,
            still: false,
        }
    }

    #[test]
    fn english_reads_from_left_to_right_without_any_spec() {
        let html = rendered("your-rackets-en", &page("en"));
        assert!(html.contains("<html class=\"day\" lang=\"en\" dir=\"ltr\">"));
        assert!(!html.contains("<script"), "the page needs none");
        let text = words(&html);
        assert!(
            text.contains("2 rackets ready") || text.contains("\u{2068}2\u{2069} rackets ready"),
            "{text}"
        );
        for word in ["kg", "lb", "ension", "tring"] {
            assert!(!text.contains(word), "{word}");
        }
        assert!(
            html.len() <= 30_000,
            "styles take the other 30 kB: {}",
            html.len()
        );
    }

    #[test]
    fn each_question_has_a_page_of_its_own() {
        for (view, name, words_of_it) in [
            (View::Code, "code", "Valid until \u{2068}13:20\u{2069}."),
            (View::Delegate, "delegate", "Coach Example"),
            (View::Change, "change", "What would you like changed?"),
        ] {
            let html = rendered(
                &format!("your-rackets-{name}"),
                &YourRackets { view, ..page("en") },
            );
            assert!(words(&html).contains(words_of_it), "{name}");
        }
    }

    #[test]
    fn arabic_reads_from_right_to_left() {
        let html = rendered("your-rackets-ar", &page("ar"));
        assert!(html.contains("<html class=\"day\" lang=\"ar\" dir=\"rtl\">"));
        assert!(words(&html).contains("مضربان جاهزان") && html.contains("<bdi>●●● 3</bdi>"));
    }

    #[test]
    fn without_rackets_or_with_an_ended_link_the_page_says_what_to_do() {
        let empty = rendered(
            "your-rackets-empty",
            &YourRackets {
                rackets: Vec::new(),
                ..page("en")
            },
        );
        assert!(words(&empty).contains("No rackets with us now."));
        let ended = rendered(
            "your-rackets-ended",
            &YourRackets {
                ended: true,
                ..page("en")
            },
        );
        assert!(words(&ended).contains("Ask at the desk for a new ticket."));
        assert!(!ended.contains("482 917") && !ended.contains("Gate B"));
    }
}
