//! `weftdesk plan` as a stringer runs it.
use std::process::{Command, Output, Stdio};

const SAMPLE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/api/examples/plan-tennis-16x19.json");

fn weftdesk(arguments: &[&str], input: &str) -> Output {
    use std::io::Write;
    let mut child = Command::new(env!("CARGO_BIN_EXE_weftdesk"))
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    child.stdin.take().unwrap().write_all(input.as_bytes()).unwrap();
    child.wait_with_output().unwrap()
}

fn told(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

#[test]
fn a_plan_is_printed_as_text_as_json_and_drawn() {
    let page = weftdesk(&["plan", SAMPLE], "");
    assert_eq!(page.status.code(), Some(0));
    assert!(told(&page.stdout).contains("SET 24.0 kg"));
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("frame.svg");
    let json = weftdesk(&["plan", SAMPLE, "--json", "--svg", out.to_str().unwrap()], "");
    let plan: serde_json::Value = serde_json::from_slice(&json.stdout).unwrap();
    assert_eq!(plan["start_cross"]["value"], 3);
    assert!(std::fs::read_to_string(out).unwrap().starts_with("<svg"));
}

#[test]
fn a_file_that_is_refused_names_field_and_line_and_ends_with_1() {
    let sample = std::fs::read_to_string(SAMPLE).unwrap();
    let high = sample.replace("\"24.0\"", "\"52.0\"");
    let refused = weftdesk(&["plan", "-"], &high);
    assert_eq!(refused.status.code(), Some(1));
    let line = 1 + high
        .lines()
        .position(|line| line.contains("\"tension\": {"))
        .unwrap();
    let said = told(&refused.stderr);
    assert!(
        said.starts_with(&format!("standard input:{line}: spec.mains.tension: ")),
        "{said}"
    );
    assert!(refused.stdout.is_empty());

    let comma = weftdesk(&["plan", "-"], &sample.replace("\"24.0\"", "\"24,0\""));
    assert_eq!(comma.status.code(), Some(1));
    let said = told(&comma.stderr);
    assert!(
        said.contains("spec.mains.tension") && said.contains("decimal comma"),
        "{said}"
    );

    let broken = weftdesk(&["plan", "-"], "{\n \"frame\": }");
    assert_eq!(broken.status.code(), Some(1));
    assert!(
        told(&broken.stderr).starts_with("standard input:2:"),
        "{}",
        told(&broken.stderr)
    );
}

#[test]
fn a_file_out_of_reach_ends_with_2() {
    let missing = weftdesk(&["plan", "no-such-file.json"], "");
    assert_eq!(missing.status.code(), Some(2));
    assert!(told(&missing.stderr).starts_with("no-such-file.json: "));
}
