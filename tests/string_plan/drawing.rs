//! The drawing shows this frame, and turns without mirroring.
use weftdesk::craft::drawing::{HeadAt, svg};

use crate::{parse, planned, request};

fn drawn(head: HeadAt) -> String {
    let asked = request("F1", ("24", "kg"), ("23", "kg"));
    svg(&parse(&asked).frame, &planned(&asked), head)
}

/// Where the text `label` of `class` stands.
fn place(drawing: &str, class: &str, label: &str) -> (f64, f64) {
    let line = drawing
        .lines()
        .find(|line| line.contains(&format!("class=\"{class}\"")) && line.contains(&format!(">{label}<")))
        .expect("the label");
    let number = |name: &str| {
        let start = line.find(&format!(" {name}=\"")).unwrap() + name.len() + 3;
        line[start..].split('"').next().unwrap().parse().unwrap()
    };
    (number("x"), number("y"))
}

#[test]
fn d02_the_drawing_has_title_numbered_holes_solid_mains_and_dashed_crosses() {
    let drawing = drawn(HeadAt::Top);
    assert!(drawing.contains("<title") && drawing.contains("<desc"));
    assert_eq!(drawing.matches("class=\"main").count(), 16);
    assert_eq!(drawing.matches("class=\"cross").count(), 19);
    assert!(drawing.contains(".cross{stroke:#000;stroke-width:.9;stroke-dasharray"));
    assert!(!drawing.contains(".main{stroke:#000;stroke-width:1;stroke-dasharray"));
    // head and throat holes 1 to 10 on both sides: main 8 uses hole 10 after the skips 7 and 9
    assert_eq!(drawing.matches(">10</text>").count(), 4 + 1);
    assert_eq!(drawing.matches("class=\"skip\"").count(), 8);
    assert_eq!(drawing.matches("class=\"shared\"").count(), 2);
    assert_eq!(drawing.matches("class=\"tie-off\"").count(), 4);
}

#[test]
fn head_down_turns_by_180_degrees_and_never_mirrors() {
    let (up, down) = (drawn(HeadAt::Top), drawn(HeadAt::Bottom));
    for (class, label) in [
        ("side", "A"),
        ("side", "B"),
        ("end", "head"),
        ("start-label", "start 3"),
    ] {
        let ((x, y), (turned_x, turned_y)) = (place(&up, class, label), place(&down, class, label));
        assert!(
            (x + turned_x).abs() < 0.11 && (y + turned_y).abs() < 0.11,
            "{label}"
        );
    }
    assert!(place(&up, "side", "A").0 < 0.0);
}

#[test]
fn a_frames_name_cannot_break_the_drawing() {
    let mut asked = request("F1", ("24", "kg"), ("23", "kg"));
    asked["frame"]["name"] = serde_json::json!("<script>&\"");
    let drawing = svg(&parse(&asked).frame, &planned(&asked), HeadAt::Top);
    assert!(drawing.contains("&lt;script&gt;&amp;&quot;"));
    assert!(!drawing.contains("<script"));
}
