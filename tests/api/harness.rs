//! The whole application on its own database, with a clock that tests move.
use std::cell::Cell;
use std::collections::BTreeMap;
use std::future::poll_fn;
use std::rc::Rc;
use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};
use std::time::Duration;

use actix_web::body::MessageBody;
use actix_web::http::Method;
use actix_web::http::header::HeaderMap;
use actix_web::test::{TestRequest, call_service, init_service, read_body};
use actix_web::web::{self, Data};
use chrono::{DateTime, TimeDelta, Utc};
use diesel::connection::SimpleConnection;
use futures_util::future::LocalBoxFuture;
use serde_json::Value;
use tokio::sync::watch;
use weftdesk::access::{Access, Identity};
use weftdesk::craft::roles::Role;
use weftdesk::desk::found::{NewAccount, NewTournament, add_account};
use weftdesk::desk::records::TournamentSettings;
use weftdesk::desk::{Caller, Clock, Desk};
use weftdesk::server::Composition;
use weftdesk::storage::{Db, Store};

use crate::database::TestDatabase;

/// The roles that have an account of their own, signed in as `<role>`.
pub(crate) const STAFF: [Role; 7] = [
    Role::Desk,
    Role::Stringer,
    Role::Coordinator,
    Role::Runner,
    Role::Referee,
    Role::Accounts,
    Role::Admin,
];

type Door = Rc<dyn Fn(TestRequest) -> LocalBoxFuture<'static, Reply>>;
/// As [`Door`], reading an endless body until it has brought so many events.
type Ear = Rc<dyn Fn(TestRequest, usize) -> LocalBoxFuture<'static, (String, String)>>;

/// A tournament at 10:00 venue time, with one account per role of [`STAFF`].
pub(crate) struct Harness {
    pub(crate) desk: Desk,
    pub(crate) tournament: String,
    pub(crate) accounts: BTreeMap<&'static str, String>,
    access: Data<Access>,
    door: Door,
    ear: Ear,
    desk_ms: Arc<AtomicI64>,
    wall_ms: Arc<AtomicI64>,
    keys: Cell<u32>,
    // streams end when it is dropped
    _running: watch::Sender<bool>,
    // last, so that the file or schema goes when nothing uses it any more
    database: TestDatabase,
}

/// An answer, read to its end.
#[derive(Debug)]
pub(crate) struct Reply {
    pub(crate) status: u16,
    pub(crate) headers: HeaderMap,
    pub(crate) json: Value,
    pub(crate) text: String,
    pub(crate) bytes: web::Bytes,
}

impl Reply {
    /// The body, if the status is `status`.
    #[track_caller]
    pub(crate) fn expect(self, status: u16) -> Value {
        assert_eq!(self.status, status, "{}", self.text);
        self.json
    }

    /// The id in the body of a creation.
    #[track_caller]
    pub(crate) fn created_id(self) -> String {
        let body = self.expect(201);
        body["id"]
            .as_str()
            .expect("what was created has an id")
            .to_owned()
    }

    /// The refusal's status and code.
    pub(crate) fn refusal(&self) -> (u16, &str) {
        (self.status, self.json["code"].as_str().unwrap_or_default())
    }

    /// The pointer of the first fault.
    pub(crate) fn first_pointer(&self) -> &str {
        self.json
            .pointer("/errors/0/pointer")
            .and_then(Value::as_str)
            .unwrap_or_default()
    }

    pub(crate) fn header(&self, name: &str) -> &str {
        self.headers
            .get(name)
            .and_then(|value| value.to_str().ok())
            .unwrap_or_default()
    }
}

impl Harness {
    /// Founds everything on a fresh database.
    pub(crate) async fn start() -> Self {
        let database = TestDatabase::fresh();
        let start_ms = DateTime::parse_from_rfc3339("2026-05-02T08:00:00Z")
            .expect("a time")
            .timestamp_millis();
        let (desk_ms, wall_ms) = (
            Arc::new(AtomicI64::new(start_ms)),
            Arc::new(AtomicI64::new(start_ms)),
        );
        let clock = Clock::told_by(told_by(&desk_ms), told_by(&wall_ms));
        let store = Store::open(database.address()).expect("a fresh database opens");
        let desk = Desk::new(store, clock);
        let access = Access::new(&[7; 32], "weftdesk", false, Arc::new(told_by(&wall_ms)));
        let access = Data::new(access.expect("tokens can be signed"));
        let (running, stopping) = watch::channel(false);
        let composition =
            Composition::new(&desk, access.clone(), stopping, false).expect("the application composes");
        let (door, ear) = door_of(&composition).await;
        let tournament = found(&desk, "Demo Open").await;
        let accounts = staff(&desk, &tournament).await;
        Self {
            desk,
            tournament,
            accounts,
            access,
            door,
            ear,
            desk_ms,
            wall_ms,
            _running: running,
            keys: Cell::new(0),
            database,
        }
    }

    /// Takes the database's write lock on a connection of its own, as another program might,
    /// until the connection is dropped.
    pub(crate) fn lock_database(&self) -> Db {
        let mut db = Db::connect(self.database.address(), 1_000).expect("another connection");
        let lock = match db {
            Db::Sqlite(_) => "BEGIN IMMEDIATE",
            Db::Postgres(_) => "BEGIN; LOCK TABLE tournaments IN ACCESS EXCLUSIVE MODE",
        };
        db.batch_execute(lock).expect("the lock is free");
        db
    }

    /// Lets time pass at the desk; tokens stay as young as they were.
    pub(crate) fn pass_minutes(&self, minutes: i64) {
        self.desk_ms.fetch_add(minutes * 60_000, Ordering::Relaxed);
    }

    /// Lets time pass in the world, by which tokens and tries age.
    pub(crate) fn pass_wall(&self, time: TimeDelta) {
        self.wall_ms.fetch_add(time.num_milliseconds(), Ordering::Relaxed);
    }

    /// A fresh access token of the account with this role, or of nobody's where none has it.
    pub(crate) fn token(&self, role: Role) -> String {
        self.token_in(&self.tournament, role)
    }

    /// As [`Self::token`], in another tournament.
    pub(crate) fn token_in(&self, tournament: &str, role: Role) -> String {
        let account = self.accounts.get(role.as_str());
        let identity = Identity {
            sub: account.cloned().unwrap_or_else(|| "acc_of_nobody".to_owned()),
            tid: tournament.to_owned(),
            role: role.as_str().to_owned(),
            sid: self.fresh_key(),
            did: None,
        };
        self.access.issue(&identity).expect("tokens can be signed")
    }

    /// A key that was not used yet.
    pub(crate) fn fresh_key(&self) -> String {
        self.keys.set(self.keys.get() + 1);
        format!("\"key-{}\"", self.keys.get())
    }

    pub(crate) async fn get(&self, role: Role, path: &str) -> Reply {
        self.ask(self.signed(Method::GET, role, path)).await
    }

    pub(crate) async fn post(&self, role: Role, path: &str, body: Value) -> Reply {
        let request = self.signed(Method::POST, role, path).set_json(body);
        self.ask(request.insert_header(("Idempotency-Key", self.fresh_key())))
            .await
    }

    pub(crate) async fn patch(&self, role: Role, path: &str, etag: &str, body: Value) -> Reply {
        let request = self.signed(Method::PATCH, role, path).set_json(body);
        self.ask(
            request
                .insert_header(("Content-Type", "application/merge-patch+json"))
                .insert_header(("If-Match", etag)),
        )
        .await
    }

    pub(crate) async fn put(&self, role: Role, path: &str, etag: &str, body: Value) -> Reply {
        let request = self.signed(Method::PUT, role, path).set_json(body);
        self.ask(request.insert_header(("If-Match", etag))).await
    }

    /// As [`Self::patch`], from the version that is current.
    pub(crate) async fn patch_current(&self, role: Role, path: &str, body: Value) -> Reply {
        let read = self.get(role, path).await;
        self.patch(role, path, read.header("ETag"), body).await
    }

    pub(crate) async fn delete(&self, role: Role, path: &str) -> Reply {
        self.ask(self.signed(Method::DELETE, role, path)).await
    }

    /// A request of this role's account; the test adds what it needs and passes it to [`Self::ask`].
    pub(crate) fn signed(&self, method: Method, role: Role, path: &str) -> TestRequest {
        let token = self.token(role);
        TestRequest::with_uri(path)
            .method(method)
            .insert_header(("Authorization", format!("Bearer {token}")))
    }

    /// The kinds of all log entries about a job, in order.
    pub(crate) async fn kinds_about(&self, job: &Value) -> Vec<String> {
        let tournament = self.tournament.clone();
        let subjects = vec![job["id"].as_str().expect("a job has an id").to_owned()];
        let entries = self
            .desk
            .read(move |db| weftdesk::desk::log::entries_about(db, &tournament, &subjects))
            .await;
        let entries = entries.expect("the log can be read");
        entries.into_iter().map(|entry| entry.kind).collect()
    }

    /// Listens to a stream until it has brought `events` numbered frames, for at most 10 s;
    /// its media type and what was read.
    pub(crate) async fn listen(
        &self,
        role: Role,
        path: &str,
        last_event_id: Option<i64>,
        events: usize,
    ) -> (String, String) {
        let mut request = self.signed(Method::GET, role, path);
        if let Some(number) = last_event_id {
            request = request.insert_header(("Last-Event-ID", number.to_string()));
        }
        let heard = (self.ear)(request, events);
        let heard = tokio::time::timeout(Duration::from_secs(10), heard).await;
        heard.expect("the events come within 10 s")
    }

    /// Sends any request.
    pub(crate) async fn ask(&self, request: TestRequest) -> Reply {
        (self.door)(request).await
    }
}

fn told_by(clock_ms: &Arc<AtomicI64>) -> impl Fn() -> DateTime<Utc> + Send + Sync + 'static {
    let clock_ms = Arc::clone(clock_ms);
    move || DateTime::from_timestamp_millis(clock_ms.load(Ordering::Relaxed)).expect("a time of our era")
}

async fn door_of(composition: &Composition) -> (Door, Ear) {
    let app = Rc::new(init_service(composition.clone().application()).await);
    let listening = Rc::clone(&app);
    let ear: Ear = Rc::new(move |request, events| {
        let app = Rc::clone(&listening);
        Box::pin(async move {
            let answer = call_service(&*app, request.to_request()).await;
            let kind = answer.headers().get("Content-Type");
            let kind = kind
                .and_then(|kind| kind.to_str().ok())
                .unwrap_or_default()
                .to_owned();
            let mut body = Box::pin(answer.into_body());
            let mut text = String::new();
            while text.matches("id: ").count() < events || !text.ends_with("\n\n") {
                let chunk = poll_fn(|context| body.as_mut().poll_next(context)).await;
                let Some(Ok(chunk)) = chunk else { break };
                text += &String::from_utf8_lossy(&chunk);
            }
            (kind, text)
        })
    });
    let door: Door = Rc::new(move |request| {
        let app = Rc::clone(&app);
        Box::pin(async move {
            let answer = call_service(&*app, request.to_request()).await;
            let (status, headers) = (answer.status().as_u16(), answer.headers().clone());
            let endless = answer
                .headers()
                .get("Content-Type")
                .is_some_and(|kind| kind == "text/event-stream");
            let body = if endless {
                web::Bytes::new()
            } else {
                read_body(answer).await
            };
            Reply {
                status,
                headers,
                json: serde_json::from_slice(&body).unwrap_or(Value::Null),
                text: String::from_utf8_lossy(&body).into_owned(),
                bytes: body,
            }
        })
    });
    (door, ear)
}

/// Founds another tournament on the same desk.
pub(crate) async fn found(desk: &Desk, name: &str) -> String {
    let new = NewTournament {
        name: name.to_owned(),
        time_zone: "Europe/Paris".to_owned(),
        settings: TournamentSettings::default(),
    };
    desk.found_tournament(new).await.expect("a tournament is founded")
}

async fn staff(desk: &Desk, tournament: &str) -> BTreeMap<&'static str, String> {
    let founder = Caller::system(tournament);
    let added = desk.write(&founder, |tx| {
        STAFF
            .into_iter()
            .map(|role| Ok((role.as_str(), add_account(tx, without_secrets(role))?.id)))
            .collect()
    });
    added.await.expect("accounts are added")
}

fn without_secrets(role: Role) -> NewAccount {
    NewAccount {
        sign_in: role.as_str().to_owned(),
        display_name: format!("Example {role}"),
        role,
        password_hash: None,
        pin_hash: None,
        stringer_id: None,
    }
}
