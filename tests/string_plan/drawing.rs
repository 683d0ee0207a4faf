//! The drawing shows this frame, and turns without mirroring.
use weftdesk::craft::drawing::{HeadAt, of_record, svg};

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
    (attribute(line, "x"), attribute(line, "y"))
}

fn attribute(line: &str, name: &str) -> f64 {
    let start = line.find(&format!(" {name}=\"")).unwrap() + name.len() + 3;
    line[start..].split('"').next().unwrap().parse().unwrap()
}

#[test]
fn d02_the_drawing_has_title_numbered_holes_solid_mains_and_dashed_crosses() {
    let drawing = drawn(HeadAt::Top);
    assert!(drawing.contains("<title") && drawing.contains("<desc"));
    assert_eq!(drawing.matches("class=\"main").count(), 16);
    assert_eq!(drawing.matches("class=\"cross").count(), 19);
    assert!(drawing.contains(".cross{stroke:#000;stroke-width:.9;stroke-dasharray"));
    assert!(!drawing.contains(".main{stroke:#000;stroke-width:1;stroke-dasharray"));
    // skips 7 and 9 at head and throat on both sides, as the frame's record has them
    let labelled = |label: &str| drawing.matches(&format!(">{label}</text>")).count();
    assert_eq!((labelled("× 7"), labelled("× 9")), (4, 4));
    assert_eq!(labelled("◇ 8"), 2, "{drawing}");
    assert_eq!(drawing.matches("class=\"hole\"").count(), 14);
    assert_eq!(drawing.matches("class=\"leader\"").count(), 14);
    assert_eq!((labelled("1"), labelled("5"), labelled("19")), (1, 1, 1));
}

/// Beside the hoop labels stand one below the other: none runs into the next, whatever lies close together.
#[test]
fn labels_of_holes_stand_apart() {
    for head in [HeadAt::Top, HeadAt::Bottom] {
        let drawing = drawn(head);
        let mut ends: Vec<f64> = drawing
            .lines()
            .filter(|line| line.contains("hole-label begins"))
            .map(|line| attribute(line, "y"))
            .collect();
        assert!(ends.len() > 4, "{drawing}");
        ends.sort_by(f64::total_cmp);
        let closest = ends
            .windows(2)
            .map(|pair| pair[1] - pair[0])
            .fold(f64::MAX, f64::min);
        // the text's own size
        assert!(closest > 23.0, "{closest}");
    }
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

#[test]
fn a_record_is_drawn_with_its_own_holes_and_no_way_of_weaving() {
    let frame = parse(&request("F1", ("24", "kg"), ("23", "kg"))).frame;
    let drawing = of_record(&frame);
    let labelled = |label: &str| drawing.matches(&format!(">{label}</text>")).count();
    assert_eq!((labelled("× 7"), labelled("× 9"), labelled("◇ 8")), (4, 4, 2));
    assert!(
        drawing.contains("16 mains x 19 crosses") && !drawing.contains("piece"),
        "{drawing}"
    );
    assert!(drawn(HeadAt::Top).contains("piece"));
}
