//! Photos of a racket's marks as screens show them: small, beside the words, each a link to the whole one.
//!
//! | method | address | fields |
//! |---|---|---|
//! | GET | `/photos/{id}` | `size=small` for the small form |
//! | POST | `/rackets/{id}/photos` | a form with files: `photo`, `once` |
//! | POST | `/photos/{id}/remove` | `racket_id`, `once` |
use askama::Template;
use askama::filters::HtmlSafe;

/// One photo.
#[derive(Clone, Debug, PartialEq, Eq, Template)]
#[template(path = "parts/thumb.html", config = ".askama.toml")]
pub struct Thumb {
    pub id: String,
    /// What it shows, for who can't see it: "Throat of the racket K7M4G, 2 May 13:02".
    pub words: String,
    /// Below it: "Throat, 2 May 13:02".
    pub caption: String,
    pub width_px: i32,
    pub height_px: i32,
}

impl HtmlSafe for Thumb {}

impl Thumb {
    /// The whole one.
    #[must_use]
    pub fn href(&self) -> String {
        format!("/photos/{}", self.id)
    }

    /// The small one.
    #[must_use]
    pub fn small(&self) -> String {
        format!("/photos/{}?size=small", self.id)
    }
}

/// The photos of one racket, or what stands in their place.
#[derive(Clone, Debug, Default, Template)]
#[template(path = "parts/photos.html", config = ".askama.toml")]
pub struct Photos {
    pub thumbs: Vec<Thumb>,
}
impl HtmlSafe for Photos {}

#[cfg(test)]
mod tests {
    use super::*;

    fn thumb() -> Thumb {
        Thumb {
            id: "photo_1".into(),
            words: "Throat & dots, 2 May 13:02".into(),
            caption: "Throat".into(),
            width_px: 1600,
            height_px: 1200,
        }
    }

    #[test]
    fn a_photo_says_what_it_shows_and_leads_to_the_whole_one() {
        let html = Photos {
            thumbs: vec![thumb()],
        }
        .render()
        .unwrap();
        assert!(
            html.contains("src=\"/photos/photo_1?size=small\"") && html.contains("href=\"/photos/photo_1\"")
        );
        assert!(html.contains("alt=\"Throat &#38; dots, 2 May 13:02\""), "{html}");
        assert!(
            html.contains("width=\"1600\" height=\"1200\""),
            "its place is kept while it loads"
        );
    }

    #[test]
    fn where_there_is_none_its_place_says_so() {
        let html = Photos::default().render().unwrap();
        assert!(html.contains("No photo") && !html.contains("<img"), "{html}");
    }
}
