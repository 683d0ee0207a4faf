//! Another way of weaving, chosen at The Plan before the methods part.
use serde_json::{Value, json};

use crate::chromium::TABLET;
use crate::page_rules;
use crate::screen::Screen;
use crate::tournament::{Tournament, reel_label};

#[tokio::test(flavor = "multi_thread")]
async fn at_the_plan_another_weave_method_is_compared_and_taken_and_steps_and_time_follow() {
    let tournament = Tournament::start().await;
    let job = tournament
        .take_in(&tournament.admin, "P1/1", ("24", "23", "kg"))
        .await;
    let id = job["id"].as_str().expect("an id");
    let bench = started(&tournament, &job).await;
    bench.reads(".plan-facts", "rosses from the head down").await;

    bench.tap("Another way of weaving").await;
    // two pieces and this frame leave one other; those for one piece are not offered
    bench.reads("#methods", "from the start cross back").await;
    bench.reads("#methods", "about").await;
    bench.picture("plan-methods-tablet").await;
    // the bar of phases stays below; what is under it is scrolled up
    let up = "document.querySelector('#methods').scrollIntoView(); return true";
    bench.run(up, json!([])).await;
    bench.tap("Compare time, drag and string").await;
    bench.arrived_at(&format!("/plan/{id}/methods")).await;
    let wear = "const cell = [...document.querySelectorAll('.methods tbody tr')] \
        .map(row => [row.cells[0].innerText, Number(row.cells[4].innerText), parseInt(row.cells[1].innerText.replace(/\\D/g, ''), 10)]); \
        return cell";
    let rows = bench.run(wear, json!([])).await;
    let of = |name: &str, column: usize| {
        let rows = rows.as_array().expect("rows");
        let row = rows
            .iter()
            .find(|row| row[0].as_str().is_some_and(|label| label.contains(name)));
        row.and_then(|row| row[column].as_f64())
            .unwrap_or_else(|| panic!("{name}: {rows:?}"))
    };
    // by its own measure the first is 100; short moving ends at the shoulder spare it
    assert!((of("head down", 1) - 100.0).abs() < f64::EPSILON);
    assert!(of("start cross back", 1) < 100.0);
    assert!(of("start cross back", 2) > 0.0 && of("head down", 2) > 0.0);
    bench.reads("main", "needs one piece").await;
    bench.picture("methods-tablet").await;
    bench.tap("Take it").await;
    bench.arrived_at(&format!("/plan/{id}")).await;
    bench.reads(".plan-facts", "chosen at the bench").await;
    bench.reads(".steps", "tail").await;

    bench.tap("Mains done").await;
    bench.reads(".phase-marks", "Mains done").await;
    bench.tap("Crosses done").await;
    bench.reads(".phase-marks", "Crosses done").await;
    bench.disappears("#methods").await;
    let (_, story) = tournament
        .admin
        .call("GET", &format!("/v1/jobs/{id}/story"), Value::Null)
        .await;
    assert!(story.to_string().contains("job.method_chosen"), "{story}");
    bench.open(&format!("/plan/{id}/methods")).await;
    bench.reads(".caution", "None can be taken now").await;
    let broken = page_rules::broken(&bench, "methods").await;
    assert!(broken.is_empty(), "{}", broken.join("\n"));
    bench.close().await;
    tournament.admin.close().await;
}

/// A tablet at the plan of the job, which was just put on its machine.
async fn started(tournament: &Tournament, job: &Value) -> Screen {
    let bench = tournament.screen("stringer", TABLET).await;
    bench.tap("Take this job").await;
    bench
        .fill("#tag_code", job["tag_code"].as_str().expect("a code"))
        .await;
    bench.fill("#mains_scan", &reel_label("SA")).await;
    bench.fill("#crosses_scan", &reel_label("SB")).await;
    bench.tap("Start").await;
    bench.arrived_at("/plan/").await;
    bench
}
