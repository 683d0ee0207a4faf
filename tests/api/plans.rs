//! D02 over HTTP: the plan of a known frame, and its drawing.
use serde_json::{Value, json};
use weftdesk::craft::roles::Role;

use crate::jobs::{path, ready, taken_in};

#[actix_web::test]
async fn d02_the_plan_of_a_known_frame_says_what_its_record_says_and_says_it_twice_alike() {
    let (harness, fixture) = ready().await;
    let data: Value = serde_json::from_str(include_str!("../data/fixtures.json")).expect("JSON");
    let mut frame = data["frames"][0].clone();
    frame.as_object_mut().expect("a frame").remove("key");
    let side = |value: &str| json!({"tension": {"value": value, "unit": "kg"}});
    let asked =
        json!({"frame": frame, "spec": {"pieces": "two", "mains": side("24"), "crosses": side("23")}});
    let plan = harness
        .post(Role::Stringer, "/v1/plans", asked.clone())
        .await
        .expect(200);
    let again = harness.post(Role::Stringer, "/v1/plans", asked).await.expect(200);
    assert_eq!(plan, again);
    let cuts = plan["cuts"].as_array().expect("cuts").iter();
    let cuts: Vec<_> = cuts.map(|cut| (&cut["at_least_mm"], &cut["source"])).collect();
    let measured = json!("measured");
    assert_eq!(
        cuts,
        [(&json!(6500), &measured), (&json!(5800), &measured)],
        "as recorded for this frame"
    );
    for holes in ["mains_skip", "tie_off_mains", "tie_off_crosses", "shared_holes"] {
        assert_eq!(
            plan["holes"][holes], data["frames"][0]["pattern"][holes],
            "{holes}"
        );
    }
    assert_eq!(plan["start_cross"]["value"], 3);
    assert_eq!(plan["method"]["method"], "head_down");
    let cautions = plan["cautions"].as_array().expect("cautions").iter();
    let shared: Vec<_> = cautions
        .filter(|one| one["code"] == "shared_hole")
        .filter_map(|one| one["text"].as_str())
        .collect();
    assert!(
        !shared.is_empty() && shared.iter().all(|text| text.contains("head 8")),
        "{shared:?}"
    );
    let total = &plan["estimate"]["total"];
    assert!(total["p50_s"].as_f64() < total["p90_s"].as_f64(), "{total}");

    let job = taken_in(&harness, &fixture, "P1/1").await;
    let drawing = harness.get(Role::Stringer, &path(&job, "/plan.svg")).await;
    assert_eq!(
        (drawing.status, drawing.header("Content-Type")),
        (200, "image/svg+xml")
    );
    for part in ["<svg", "<title", "stroke-dasharray"] {
        assert!(drawing.text.contains(part), "{part}");
    }
}
