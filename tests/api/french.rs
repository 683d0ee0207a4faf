//! Refusals in French: whatever the desk says has its French sentence.
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use actix_web::http::Method;
use serde_json::{Value, json};
use weftdesk::api::problem::french;
use weftdesk::craft::roles::Role;

use crate::jobs::{KG, act, ready, taken_in};

#[test]
fn every_sentence_of_the_desk_has_its_french() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    collect(&source.join("desk"), &mut files);
    files.push(source.join("craft/job/legality.rs"));
    files.push(source.join("craft/job/phases.rs"));
    let mut read = 0;
    let mut missing = Vec::new();
    for file in &files {
        let text = fs::read_to_string(file).expect("a source file");
        let program = text.split("#[cfg(test)]").next().unwrap_or_default();
        for sentence in sentences(program) {
            read += 1;
            if french(&filled_in(&sentence)).is_none() {
                missing.push(format!("{}: {sentence}", file.display()));
            }
        }
    }
    assert!(read > 80, "only {read} sentences were found");
    assert!(missing.is_empty(), "without French:\n{}", missing.join("\n"));
}

fn collect(folder: &Path, files: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("a folder of source") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            collect(&path, files);
        } else if path.file_name().is_some_and(|name| name != "tests.rs") {
            files.push(path);
        }
    }
}

/// Text literals that are sentences: a capital or a value first, a full stop or a question mark last.
fn sentences(program: &str) -> Vec<String> {
    let code: Vec<&str> = program
        .lines()
        .filter(|line| !line.trim_start().starts_with("//"))
        .filter(|line| !line.contains("#[error(") && !line.contains("reason = \""))
        .collect();
    let code = code.join("\n");
    let mut found = Vec::new();
    let mut symbols = code.chars().peekable();
    while let Some(symbol) = symbols.next() {
        if symbol == '\'' && symbols.peek() == Some(&'"') {
            symbols.next();
            continue;
        }
        if symbol != '"' {
            continue;
        }
        let mut text = String::new();
        while let Some(next) = symbols.next() {
            match next {
                '"' => break,
                '\\' => match symbols.next() {
                    Some('\n') => while symbols.next_if(|blank| blank.is_whitespace()).is_some() {},
                    Some(escaped) => text.push(escaped),
                    None => break,
                },
                other => text.push(other),
            }
        }
        let starts = text.starts_with(|first: char| first.is_uppercase() || first == '{' || first == '"');
        if starts && text.contains(' ') && text.ends_with(['.', '?']) {
            found.push(text);
        }
    }
    found
}

/// The sentence as it goes out, with a number in each gap.
fn filled_in(sentence: &str) -> String {
    let mut parts = sentence.split('{');
    let mut filled = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let (_, rest) = part.split_once('}').expect("a gap is closed");
        filled += "7";
        filled += rest;
    }
    filled
}

#[actix_web::test]
async fn d11_a_refusal_of_the_desk_speaks_french_and_keeps_its_code() {
    let (harness, fixture) = ready().await;
    let job = taken_in(&harness, &fixture, "P1/1").await;
    let french = |path: &str, body| {
        let request = harness.signed(Method::POST, Role::Desk, path).set_json(body);
        let request = request.insert_header(("Idempotency-Key", harness.fresh_key()));
        harness.ask(request.insert_header(("Accept-Language", "fr")))
    };
    let again = french("/v1/jobs", fixture.hand_in("P1/1", KG, KG)).await;
    assert_eq!(again.refusal(), (409, "racket_already_in"));
    let detail = again.json["detail"].as_str().expect("a sentence");
    let code = job["tag_code"].as_str().expect("a code");
    assert_eq!(
        detail,
        format!("Cette raquette est déjà là sous le code {code}, depuis 10:00.")
    );
    let over = french("/v1/jobs", fixture.hand_in("P2/1", ("61", "lb"), ("60", "lb"))).await;
    assert_eq!(over.refusal(), (422, "tension_out_of_range"));
    let detail = over.json["detail"].as_str().expect("a sentence");
    assert!(
        detail.starts_with("61 lb dépasse la plage de ce cadre, 50-60 lb."),
        "{detail}"
    );
    let early = format!("/v1/jobs/{}/actions/release", job["id"].as_str().expect("an id"));
    let early = french(&early, json!({})).await;
    assert_eq!(early.refusal(), (409, "action_not_allowed"));
    assert_eq!(early.json["detail"], "Le travail n’est pas retenu.");
    let english = act(&harness, Role::Desk, &job, "release", json!({})).await;
    assert_eq!(english.json["detail"], "The job is not held.");
}

/// The refusals in a list of actions, by the action's name.
fn refusals(actions: &Value) -> BTreeMap<String, String> {
    let refused = |action: &Value| {
        let sentence = action["why"]["sentence"].as_str()?;
        Some((action["name"].as_str()?.to_owned(), sentence.to_owned()))
    };
    actions
        .as_array()
        .expect("actions")
        .iter()
        .filter_map(refused)
        .collect()
}

#[actix_web::test]
async fn why_other_actions_are_not_allowed_is_said_in_french_too() {
    let (harness, fixture) = ready().await;
    let job = taken_in(&harness, &fixture, "P1/1").await;
    let id = job["id"].as_str().expect("an id");
    let english =
        refusals(&act(&harness, Role::Desk, &job, "release", json!({})).await.json["allowed_actions"]);
    assert!(english.len() > 5, "{english:?}");
    let asked = |method, path: &str, kind: &str, body: Value| {
        let request = harness.signed(method, Role::Desk, path);
        let request = request.insert_header(("Idempotency-Key", harness.fresh_key()));
        let request = request
            .insert_header(("Content-Type", kind))
            .insert_header(("If-Match", "\"99\""));
        harness.ask(
            request
                .insert_header(("Accept-Language", "fr"))
                .set_payload(body.to_string()),
        )
    };
    let path = format!("/v1/jobs/{id}/actions/release");
    let refused = asked(Method::POST, &path, "application/json", json!({})).await;
    assert_eq!(refused.refusal(), (409, "action_not_allowed"));
    // whoever was overtaken reads the job as it is now, with the same list in it
    let path = format!("/v1/jobs/{id}");
    let mut wish = json!({"spec": job["spec"]});
    for side in ["mains", "crosses"] {
        let tension = &job["spec"][side]["tension"];
        wish["spec"][side]["tension"] = json!({"value": tension["value"], "unit": tension["unit"]});
    }
    let stale = asked(Method::PATCH, &path, "application/merge-patch+json", wish).await;
    assert_eq!(stale.refusal(), (412, "stale_version"), "{}", stale.text);
    for actions in [
        &refused.json["allowed_actions"],
        &stale.json["current"]["allowed_actions"],
    ] {
        let told = refusals(actions);
        let names: Vec<&String> = told.keys().collect();
        assert_eq!(names, english.keys().collect::<Vec<_>>());
        for (name, sentence) in &told {
            assert_eq!(french(&english[name]).as_ref(), Some(sentence), "{name}");
            assert_ne!(&english[name], sentence);
        }
    }
}
