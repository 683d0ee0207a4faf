//! String plans per second on one core, for every sample request of `api/examples/`.
//!
//! `cargo bench --bench plans`. There is no baseline: the aim is 100 µs a plan,
//! so the last column is the share of that aim.
#![expect(clippy::expect_used, reason = "a benchmark that cannot set up should stop")]
#![expect(clippy::print_stdout, reason = "the figures are its output")]
use std::fs;
use std::hint::black_box;
use std::path::Path;
use std::time::{Duration, Instant};

use weftdesk::craft::string_plan::{PlanRequest, plan};

const FOR: Duration = Duration::from_secs(1);
const AIM_US: f64 = 100.0;

fn main() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("api/examples");
    let mut samples: Vec<_> = fs::read_dir(folder)
        .expect("the samples")
        .map(|entry| entry.expect("a readable entry").path())
        .filter(|path| {
            path.file_name()
                .is_some_and(|name| name.to_string_lossy().starts_with("plan-"))
        })
        .collect();
    samples.sort();
    assert!(!samples.is_empty(), "no sample request to plan");
    for sample in samples {
        let name = sample
            .file_stem()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned();
        let text = fs::read_to_string(sample).expect("the sample");
        let request: PlanRequest = serde_json::from_str(&text).expect("a request");
        plan(&request).expect("the sample has a plan");
        let plans_per_s = plans_per_s(&request);
        let each_us = 1e6 / plans_per_s;
        println!(
            "{name:24} {plans_per_s:9.0} plans/s   {each_us:6.1} us each   {:.2} of the aim",
            each_us / AIM_US
        );
    }
}

fn plans_per_s(request: &PlanRequest) -> f64 {
    let (began, mut done) = (Instant::now(), 0_u32);
    while began.elapsed() < FOR {
        black_box(plan(black_box(request))).expect("the sample has a plan");
        done += 1;
    }
    f64::from(done) / began.elapsed().as_secs_f64()
}
