//! D06: from each state, each action that the table does not have, by the right role with good evidence.
use serde_json::{Value, json};
use weftdesk::craft::job::{JobAction, JobState, Rule};
use weftdesk::craft::roles::Role;

use crate::fixture::Fixture;
use crate::harness::{Harness, Reply};
use crate::jobs::{KG, act, path, ready, scans, strung, taken_in};

/// A job in this state.
async fn job_in(harness: &Harness, fixture: &Fixture, state: JobState) -> Value {
    let racket = "P1/1";
    match state {
        JobState::Expected => {
            let mut body = fixture.hand_in(racket, KG, KG);
            body["announce"] = json!(true);
            harness.post(Role::Desk, "/v1/jobs", body).await.expect(201)
        }
        JobState::Waiting => taken_in(harness, fixture, racket).await,
        JobState::Assigned => {
            let job = taken_in(harness, fixture, racket).await;
            done(harness, &job, "assign", json!({"station_id": fixture.id("ST1")})).await
        }
        JobState::OnMachine => on_machine(harness, fixture, racket).await,
        JobState::Checking => {
            let job = on_machine(harness, fixture, racket).await;
            done(harness, &job, "phase", json!({"phase": "tied_off"})).await;
            done(harness, &job, "finish", json!({})).await
        }
        JobState::Ready => strung(harness, fixture, racket).await,
        JobState::Out => {
            let job = taken_in(harness, fixture, racket).await;
            done(harness, &job, "give_back", leaving(&job)).await
        }
        JobState::Cancelled => {
            let job = taken_in(harness, fixture, racket).await;
            let why = json!({"reason": "lost", "charge_decision": "none"});
            done(harness, &job, "cancel", why).await
        }
    }
}

async fn on_machine(harness: &Harness, fixture: &Fixture, racket: &str) -> Value {
    let job = taken_in(harness, fixture, racket).await;
    let mut start = scans(&job);
    start["station_id"] = json!(fixture.id("ST1"));
    done(harness, &job, "start", start).await
}

async fn done(harness: &Harness, job: &Value, action: &str, evidence: Value) -> Value {
    act(harness, Role::Coordinator, job, action, evidence)
        .await
        .expect(200)
}

fn leaving(job: &Value) -> Value {
    json!({"tag": job["tag_code"], "proof": {"kind": "badge", "code": "badge-P1"}})
}

/// The action tried by its own door; `None` for those that have none of their own.
async fn tried(harness: &Harness, fixture: &Fixture, job: &Value, action: JobAction) -> Option<Reply> {
    let by_name = |evidence: Value| act(harness, Role::Coordinator, job, action.as_str(), evidence);
    let reply = match action {
        // a job is there already, and the service has no door for recalls and hand-outs taken back here
        JobAction::Announce | JobAction::Recall | JobAction::UndoHandOut | JobAction::Correct => return None,
        JobAction::Amend => {
            let wish =
                json!({"spec": fixture.hand_in("P1/1", KG, KG)["spec"], "if_started": "apply_to_rest"});
            harness
                .patch_current(Role::Coordinator, &path(job, ""), wish)
                .await
        }
        JobAction::HandOut => {
            let proof = json!({"kind": "badge", "code": "badge-P1"});
            let out = json!({"job_ids": [job["id"]], "tags": [job["tag_code"]], "proof": proof});
            harness.post(Role::Coordinator, "/v1/pickups", out).await
        }
        JobAction::CheckIn => by_name(json!({"condition": {"ok": true}})).await,
        JobAction::Assign => by_name(json!({"station_id": fixture.id("ST3")})).await,
        JobAction::Start => {
            let mut start = scans(job);
            start["station_id"] = json!(fixture.id("ST3"));
            by_name(start).await
        }
        JobAction::Phase => by_name(json!({"phase": "mains_done"})).await,
        JobAction::HandOver => {
            by_name(json!({"to_stringer": fixture.id("W2"), "to_station": fixture.id("ST2")})).await
        }
        JobAction::Snapped => by_name(json!({"where": "shoulder"})).await,
        JobAction::Restart => by_name(json!({"reason": "wrong string", "wasted_mm": 6500})).await,
        JobAction::Rush => by_name(json!({"level": "rush"})).await,
        JobAction::Due => by_name(json!({"due_at": "2026-05-02T15:00:00Z"})).await,
        JobAction::Cancel => by_name(json!({"reason": "lost", "charge_decision": "none"})).await,
        JobAction::Pause | JobAction::Fail | JobAction::Unassign | JobAction::Hold => {
            by_name(json!({"reason": "break"})).await
        }
        JobAction::Return | JobAction::GiveBack | JobAction::CourtRelease => by_name(leaving(job)).await,
        _ => by_name(json!({})).await,
    };
    Some(reply)
}

#[actix_web::test]
async fn d06_from_every_state_what_the_table_does_not_have_is_refused_and_changes_nothing() {
    let mut refusals = 0;
    for state in JobState::ALL.iter().copied() {
        let (harness, fixture) = ready().await;
        let job = job_in(&harness, &fixture, state).await;
        let now = harness.get(Role::Coordinator, &path(&job, "")).await.expect(200);
        assert_eq!(now["state"], state.as_str());
        for action in JobAction::ALL.iter().copied() {
            if Rule::of(action).from.contains(Some(state)) {
                continue;
            }
            let Some(refused) = tried(&harness, &fixture, &job, action).await else {
                continue;
            };
            let told = format!("{action} from {state}: {}", refused.text);
            assert_eq!(refused.refusal(), (409, "action_not_allowed"), "{told}");
            let listed = refused.json["allowed_actions"]
                .as_array()
                .expect("what is allowed is listed");
            assert!(
                listed
                    .iter()
                    .all(|one| one["allowed"] == true || one["why"].is_object()),
                "{told}"
            );
            refusals += 1;
            let after = harness.get(Role::Coordinator, &path(&job, "")).await.expect(200);
            assert_eq!(after, now, "{told}");
        }
    }
    assert!(refusals > 80, "only {refusals} moves were tried");
}
