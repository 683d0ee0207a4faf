//! Every plan request under `api/examples/` parses, plans, prints and draws.
use weftdesk::craft::drawing::{HeadAt, svg};
use weftdesk::craft::string_plan::{PlanRequest, plan, text};

#[test]
fn every_sample_parses_and_plans() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/api/examples");
    let mut seen = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if !name.starts_with("plan-") {
            continue;
        }
        let request: PlanRequest = serde_json::from_str(&std::fs::read_to_string(&path).unwrap())
            .unwrap_or_else(|fault| panic!("{name}: {fault}"));
        let plan = plan(&request).unwrap_or_else(|faults| panic!("{name}: {faults:?}"));
        let page = text::text(&plan);
        assert!(page.contains(&request.frame.name), "{name}");
        assert!(
            svg(&request.frame, &plan, HeadAt::Top).contains("<title"),
            "{name}"
        );
        crate::replay::replay(&request, &plan).unwrap_or_else(|fault| panic!("{name}: {fault}"));
        seen += 1;
    }
    assert!(seen >= 6, "only {seen} samples");
}
