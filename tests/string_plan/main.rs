//! String plans through the library's front door.
#![expect(
    clippy::expect_used,
    clippy::unwrap_used,
    reason = "a test stops at the first thing that is not as it should be"
)]

mod bad_input;
mod command_line;
mod drawing;
mod generated;
mod in_short;
mod known_frames;
mod numbers;
mod replay;
mod samples;
mod weave;

use serde_json::Value;
use weftdesk::craft::string_plan::{Plan, PlanRequest, plan};

/// A frame of the acceptance fixtures, without its key.
pub(crate) fn fixture_frame(key: &str) -> Value {
    let fixtures: Value = serde_json::from_str(include_str!("../data/fixtures.json")).unwrap();
    let mut frame = fixtures["frames"]
        .as_array()
        .unwrap()
        .iter()
        .find(|frame| frame["key"] == key)
        .expect("a frame of the fixtures")
        .clone();
    frame.as_object_mut().unwrap().remove("key");
    frame
}

/// A two-piece request for a fixture frame.
pub(crate) fn request(key: &str, mains: (&str, &str), crosses: (&str, &str)) -> Value {
    let string = serde_json::json!({"name": "String A", "material": "polyester", "gauge_mm": "1.25"});
    serde_json::json!({
        "frame": fixture_frame(key),
        "spec": {
            "pieces": "two",
            "mains": {"string": string, "tension": {"value": mains.0, "unit": mains.1}},
            "crosses": {"string": string, "tension": {"value": crosses.0, "unit": crosses.1}},
        }
    })
}

/// Reads a request.
pub(crate) fn parse(request: &Value) -> PlanRequest {
    serde_json::from_value(request.clone()).expect("a request of the right shape")
}

/// Plans a request that has a plan.
pub(crate) fn planned(request: &Value) -> Plan {
    plan(&parse(request)).expect("a plan")
}
