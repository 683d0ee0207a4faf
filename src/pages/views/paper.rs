//! What is printed: the tag on the racket (70 x 25 mm) and the player's ticket (80 mm roll).
//!
//! `/jobs/{id}/tag` and `/jobs/{id}/ticket`: POST counts a print, GET shows the sheet. The tag's QR holds the code alone; only the ticket's QR
//! holds the player's secret link.
use askama::Template;

use crate::pages::shell::direction;
use crate::pages::wording::Wording;

/// The tag: a loop round the shaft above the grip; its inner fold carries the spec.
#[derive(Debug, Template)]
#[template(path = "tag.html", config = ".askama.toml")]
pub struct Tag {
    pub code: String,
    /// From [`crate::pages::qr::qr_svg`], of the code alone.
    pub qr_svg: String,
    /// "EX. A".
    pub initials: String,
    pub country: String,
    pub racket: String,
    pub ready_by: String,
    /// Both units: "M 24 kg (52.9 lb) String A 1.25".
    pub mains: String,
    pub crosses: String,
    pub cautions: Vec<String>,
    /// "copy 2"; empty on the first print.
    pub copy: String,
}

/// The ticket, in the player's language and in English.
#[derive(Debug, Template)]
#[template(path = "ticket.html", config = ".askama.toml")]
pub struct Ticket {
    pub say: Wording,
    pub english: Wording,
    pub tournament: String,
    pub rackets: Vec<TicketRacket>,
    /// The safe time alone.
    pub ready_by: String,
    /// Where the rackets are collected; empty where nobody has said it.
    pub place: String,
    pub price: String,
    /// The name of the text that says what was seen at hand-in; nothing where nobody looked.
    pub condition: Option<&'static str>,
    /// Of the player's link.
    pub qr_svg: String,
    pub copy: String,
}

/// One racket on the ticket.
#[derive(Clone, Debug)]
pub struct TicketRacket {
    pub code: String,
    pub racket: String,
    /// Both units, to be checked at once.
    pub mains: String,
    pub crosses: String,
}

/// A text with its language and direction, so that two side by side stay apart.
struct Said {
    text: String,
    tag: &'static str,
    dir: &'static str,
}

impl Ticket {
    fn dir(&self) -> &'static str {
        direction(self.say.tag())
    }

    /// The text in the player's language, then in English if that is another one.
    fn both(&self, id: &str) -> Vec<Said> {
        let said = |say: &Wording| Said {
            text: say.say(id),
            tag: say.tag(),
            dir: direction(say.tag()),
        };
        let mut texts = vec![said(&self.say)];
        let english = said(&self.english);
        // "Ticket" is the word in more than one language
        if english.text != texts[0].text {
            texts.push(english);
        }
        texts
    }
}

impl Ticket {
    /// A name with its value, language by language.
    fn pairs(&self, name: &str, value: &str) -> Vec<(Said, Said)> {
        self.both(name).into_iter().zip(self.both(value)).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::page_check::{rendered, words};
    use crate::pages::qr::qr_svg;
    use crate::pages::static_files;

    fn tag() -> Tag {
        Tag {
            code: "K7M4G".into(),
            qr_svg: qr_svg("K7M4G").unwrap(),
            initials: "EX. A".into(),
            country: "JPN".into(),
            racket: "●●●".into(),
            ready_by: "14:30".into(),
            mains: "M 24 kg (52.9 lb) String A 1.25".into(),
            crosses: "C 23 kg (50.7 lb) String B 1.30".into(),
            cautions: vec!["shared hole head 8".into()],
            copy: String::new(),
        }
    }

    #[test]
    fn the_tag_carries_code_square_and_both_units() {
        let html = rendered("tag", &tag());
        let text = words(&html);
        assert!(text.contains("K7M4G") && text.contains("52.9 lb") && html.contains("<svg"));
        assert!(!text.contains("copy"));
        assert!(
            words(&rendered(
                "tag-copy",
                &Tag {
                    copy: "copy 2".into(),
                    ..tag()
                }
            ))
            .contains("copy 2")
        );
    }

    #[test]
    fn the_ticket_speaks_the_players_language_and_english() {
        let ticket = Ticket {
            say: Wording::best("ar"),
            english: Wording::best("en"),
            tournament: "Harbour Open".into(),
            rackets: vec![TicketRacket {
                code: "K7M4G".into(),
                racket: "●●●".into(),
                mains: "M 24 kg (52.9 lb) String A 1.25".into(),
                crosses: "C 23 kg (50.7 lb) String B 1.30".into(),
            }],
            ready_by: "14:55".into(),
            place: "Gate B".into(),
            price: "18.00 EUR".into(),
            condition: Some("condition-good"),
            qr_svg: qr_svg("https://desk.example/p/invented-token").unwrap(),
            copy: String::new(),
        };
        let html = rendered("ticket", &ticket);
        let text = words(&html);
        assert!(
            html.contains("lang=\"ar\" dir=\"rtl\"")
                && text.contains("جاهز قبل")
                && text.contains("Ready by")
        );
        assert!(text.contains("مكان الاستلام · Where to collect Gate B"), "{text}");
        assert!(text.contains("المواضع الأربعة سليمة") && text.contains("all four places fine"));
        assert!(
            html.contains("<bdi lang=\"en\" dir=\"ltr\">Condition at hand-in: all four places fine</bdi>")
        );
        let french = Ticket {
            say: Wording::best("fr"),
            place: String::new(),
            condition: None,
            ..ticket
        };
        let french = rendered("ticket-fr", &french);
        let heads = words(&french).split(' ').filter(|word| *word == "Ticket").count();
        assert_eq!(heads, 2, "one title, one head");
        assert!(!words(&french).contains("Condition"), "nobody looked");
        assert!(!words(&french).contains("collect"), "nobody has said where");
    }

    #[test]
    fn the_pages_have_the_size_of_tag_and_roll() {
        let css =
            |name: &str| String::from_utf8(static_files::find(name).unwrap().bytes.into_owned()).unwrap();
        assert!(css("tag.css").contains("@page { size: 70mm 25mm; margin: 1.5mm; }"));
        assert!(css("ticket.css").contains("@page { size: 80mm"));
    }
}
