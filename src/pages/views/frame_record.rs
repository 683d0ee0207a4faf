//! Frame Record: what is known of a frame model, and where it is corrected once somebody has looked at the frame.
//!
//! | method | address | fields |
//! |---|---|---|
//! | GET | `/frames/{id}` | |
//! | POST | `/frames/{id}` | `version`, `name`, `sport`, `mains`, `crosses`, `range_min`, `range_max`, `range_unit`, `mains_skip`, `crosses_skip`, `tie_off_mains`, `tie_off_crosses`, `shared_holes`, `known`, `loop_end`, `start_cross`, `crosses_from`, `one_piece`, `short_side`, `cross_start_side`, `pulls_towards_head`, `max_mains_ahead`, `bridge_holes_per_side`, `cut_mains_m`, `cut_crosses_m`, `cut_one_piece_m`, `cut_short_side_m`, `inside_length_mm`, `inside_width_mm`, `head_area_in2`, `mains_x`, `crosses_y` (places in mm), `fanned_mains`, `wall_mm`, `overall_length_mm`, `overall_width_mm`, `methods` (repeated), `source`, `override`, `once` |
use askama::Template;

use crate::pages::parts::Field;
use crate::pages::shell::Shell;

/// The whole screen.
#[derive(Debug, Template)]
#[template(path = "frame_record.html", config = ".askama.toml")]
pub struct FrameRecordScreen {
    pub shell: Shell,
    pub frame_id: String,
    pub name: String,
    pub sport: String,
    /// The holes were looked up.
    pub known: bool,
    /// The frame as it is on record; empty until its holes are.
    pub drawing: String,
    /// What this page was filled in from.
    pub version: i64,
    /// Tag code and player of what waits for these holes, and where it is.
    pub waiting: Vec<(String, String, String)>,
    pub groups: Vec<FrameFields>,
    /// Why something doubtful is meant so, once it was asked about.
    pub insist: Option<Field>,
    /// Where the changes come from; nothing for who may only read.
    pub source: Option<Field>,
}

/// What belongs together.
#[derive(Debug)]
pub struct FrameFields {
    pub title: &'static str,
    pub hint: &'static str,
    pub fields: Vec<Field>,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::page_check::{rendered, words};
    use crate::pages::parts::Control;
    use crate::pages::shell::Surface;

    fn page(source: Option<Field>) -> FrameRecordScreen {
        FrameRecordScreen {
            shell: Shell::invented("Frame Record", Surface::Day, "Stock"),
            frame_id: "frm_1".into(),
            name: "F-16x19".into(),
            sport: "tennis".into(),
            known: false,
            drawing: "<svg></svg>".into(),
            version: 2,
            waiting: vec![("K7M4G".into(), "Example A.".into(), "/rackets/rkt_1".into())],
            groups: vec![FrameFields {
                title: "Holes",
                hint: "Counted from the centre line outwards.",
                fields: vec![
                    Field::new("mains_skip", "Mains pass by", Control::Text)
                        .value("head 7, 9")
                        .free(),
                ],
            }],
            insist: None,
            source,
        }
    }

    #[test]
    fn who_keeps_frames_has_a_form_and_sees_what_waits_for_it() {
        let source = Field::new("source", "Where it was looked up", Control::Text);
        let html = rendered("frame-record", &page(Some(source)));
        assert!(html.contains("action=\"/frames/frm_1\"") && html.contains("name=\"version\" value=\"2\""));
        let text = words(&html);
        assert!(
            text.contains("K7M4G") && text.contains("not on record yet"),
            "{text}"
        );
        assert!(
            !text.contains("optional"),
            "nothing has to be filled in, so nothing is marked: {text}"
        );
    }

    #[test]
    fn who_only_reads_has_none() {
        let html = rendered("frame-record-read", &page(None));
        assert!(
            !html.contains("action=\"/frames/frm_1\"") && html.contains("head 7, 9"),
            "{html}"
        );
    }
}
