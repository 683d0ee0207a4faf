//! One person's browser: what they read, tap and type, and how long they wait for it.
use std::time::{Duration, Instant};

use fantoccini::elements::Element;
use fantoccini::error::CmdError;
use fantoccini::{Client, Locator};
use serde_json::{Value, json};

use crate::chromium::Chromium;
use crate::pictures;

/// Nobody waits longer; a condition that has not come by then never comes.
pub(crate) const PATIENCE: Duration = Duration::from_secs(10);
/// How often a condition is looked at.
pub(crate) const LOOK_EVERY: Duration = Duration::from_millis(15);

/// A browser at one program.
pub(crate) struct Screen {
    pub(crate) chromium: Chromium,
    base: String,
}

impl Screen {
    /// Opens a browser of this size for the program at `base`.
    pub(crate) async fn of_size(base: &str, size: (u32, u32)) -> Self {
        Self {
            chromium: Chromium::start(size).await,
            base: base.to_owned(),
        }
    }

    pub(crate) fn client(&self) -> &Client {
        &self.chromium.client
    }

    /// Goes to a path of the program, or to a whole address.
    pub(crate) async fn open(&self, path: &str) {
        let address = if path.starts_with("http://") {
            path.to_owned()
        } else {
            format!("{}{path}", self.base)
        };
        self.client().goto(&address).await.expect("the page opens");
    }

    /// Signs in on the page and waits for what that person's day begins with.
    pub(crate) async fn sign_in(&self, account: &str, password: &str) {
        self.open("/sign-in").await;
        self.fill("#login", account).await;
        self.fill("#password", password).await;
        self.click("form[action='/sign-in'] button[type=submit]").await;
        self.appears("form[action='/sign-out'] button").await;
    }

    /// The address without scheme and host.
    pub(crate) async fn path(&self) -> String {
        let address = self.client().current_url().await.expect("an address");
        let query = address.query().map(|query| format!("?{query}"));
        format!("{}{}", address.path(), query.unwrap_or_default())
    }

    /// Waits until the address begins with this path and the page is whole.
    pub(crate) async fn arrived_at(&self, path: &str) {
        let script = "return document.readyState === 'complete' \
                      && (location.pathname + location.search).startsWith(arguments[0])";
        self.until(&format!("the page {path}"), script, json!([path]))
            .await;
    }

    /// Waits until an element like this is there and shown; answers how long that took.
    pub(crate) async fn appears(&self, css: &str) -> Duration {
        let script = "return [...document.querySelectorAll(arguments[0])].some(one => one.checkVisibility())";
        self.until(css, script, json!([css])).await
    }

    /// Waits until no element like this is shown; answers how long that took.
    pub(crate) async fn disappears(&self, css: &str) -> Duration {
        let script =
            "return ![...document.querySelectorAll(arguments[0])].some(one => one.checkVisibility())";
        self.until(&format!("the end of {css}"), script, json!([css]))
            .await
    }

    /// The element like this, once it is there and shown.
    pub(crate) async fn find(&self, css: &str) -> Element {
        self.appears(css).await;
        self.client().find(Locator::Css(css)).await.expect("the element")
    }

    /// Waits until an element like this reads so in part; answers how long that took.
    /// The unseen marks that keep a number apart from text of the other direction do not count.
    pub(crate) async fn reads(&self, css: &str, words: &str) -> Duration {
        let script = "return [...document.querySelectorAll(arguments[0])]\
                      .some(one => one.checkVisibility() && one.innerText.replace(/[\\u2066-\\u2069]/g, '').includes(arguments[1]))";
        self.until(&format!("{css} reading {words:?}"), script, json!([css, words]))
            .await
    }

    /// Waits until no element like this reads so; answers how long that took.
    pub(crate) async fn reads_no_more(&self, css: &str, words: &str) -> Duration {
        let script = "return document.readyState === 'complete' && \
                      ![...document.querySelectorAll(arguments[0])].some(one => one.innerText.includes(arguments[1]))";
        self.until(&format!("{css} without {words:?}"), script, json!([css, words]))
            .await
    }

    /// The text of the first element like this, once it is there.
    pub(crate) async fn text(&self, css: &str) -> String {
        self.with(css, async |element| element.text().await).await
    }

    /// Waits until the bench's main key reads so and takes taps: one that has just come takes none yet.
    pub(crate) async fn takes_taps(&self, words: &str) {
        self.reads("main .button.primary.phase:not([aria-disabled])", words)
            .await;
    }

    pub(crate) async fn click(&self, css: &str) {
        self.with(css, async |element| element.click().await).await;
    }

    /// Does something with the element like this. A part of the page that is exchanged between finding and doing
    /// is found again, so nothing was done with it: a person, who cannot come between the two, sees one element.
    async fn with<T>(&self, css: &str, act: impl AsyncFn(Element) -> Result<T, CmdError>) -> T {
        let began = Instant::now();
        loop {
            match act(self.find(css).await).await {
                Ok(done) => return done,
                Err(error) if error.is_stale_element_reference() && began.elapsed() < PATIENCE => {}
                Err(error) => panic!("{css}: {error}"),
            }
        }
    }

    /// Taps the button, link or list head that reads so.
    pub(crate) async fn tap(&self, words: &str) {
        // marked by the script, so that the tap itself is the browser's and not the script's
        const MARK: &str = "document.querySelector('[data-to-tap]')?.removeAttribute('data-to-tap'); \
            const found = [...document.querySelectorAll('button, a, summary, label')]\
              .find(one => one.checkVisibility() && one.innerText.trim().startsWith(arguments[0]) \
                && one.getAttribute('aria-disabled') !== 'true'); \
            found?.setAttribute('data-to-tap', ''); return found !== undefined";
        let began = Instant::now();
        loop {
            self.until(
                &format!("something to tap that reads {words:?}"),
                MARK,
                json!([words]),
            )
            .await;
            let marked = Locator::Css("[data-to-tap]");
            let tapped = match self.client().find(marked).await {
                Ok(element) => element.click().await,
                Err(error) => Err(error),
            };
            // the mark goes with a part that is exchanged
            let gone = |error: &CmdError| error.is_no_such_element() || error.is_stale_element_reference();
            match tapped {
                Ok(()) => return,
                Err(error) if gone(&error) && began.elapsed() < PATIENCE => {}
                Err(error) => panic!("{words:?} takes a tap: {error}"),
            }
        }
    }

    /// Replaces what stands in a field.
    pub(crate) async fn fill(&self, css: &str, text: &str) {
        self.with(css, async |field| {
            field.clear().await?;
            field.send_keys(text).await
        })
        .await;
    }

    /// Chooses from a list by value.
    pub(crate) async fn choose(&self, css: &str, value: &str) {
        self.with(css, async |list| list.select_by_value(value).await)
            .await;
    }

    /// Runs a script of the test in the page.
    pub(crate) async fn run(&self, script: &str, arguments: Value) -> Value {
        let arguments = arguments.as_array().cloned().unwrap_or_default();
        let run = self.client().execute(script, arguments).await;
        run.unwrap_or_else(|error| panic!("{script}: {error}"))
    }

    /// Waits until a script of the test answers true; answers how long that took.
    pub(crate) async fn until(&self, what: &str, script: &str, arguments: Value) -> Duration {
        let began = Instant::now();
        let arguments = arguments.as_array().cloned().unwrap_or_default();
        loop {
            // a page that is just being exchanged has nothing to say yet
            let answer = self.client().execute(script, arguments.clone()).await;
            if matches!(answer, Ok(Value::Bool(true))) {
                return began.elapsed();
            }
            assert!(
                began.elapsed() < PATIENCE,
                "{what} did not come in {PATIENCE:?} at {}: {answer:?}\n{}",
                self.path().await,
                self.run("return document.body.innerText.slice(0, 1500)", json!([]))
                    .await
            );
            tokio::time::sleep(LOOK_EVERY).await;
        }
    }

    /// Calls the API with this person's own session, as a page of ours would; answers status and body.
    pub(crate) async fn call(&self, method: &str, path: &str, body: Value) -> (u64, Value) {
        const FETCH: &str = "const [method, path, body, done] = arguments; \
            const headers = {'Idempotency-Key': `\"${crypto.randomUUID()}\"`}; \
            if (body !== null) headers['Content-Type'] = 'application/json'; \
            fetch(path, {method, headers, body: body === null ? undefined : JSON.stringify(body)}) \
              .then(async answer => done([answer.status, await answer.text()]), error => done([0, String(error)]))";
        let answer = self
            .client()
            .execute_async(FETCH, vec![json!(method), json!(path), body])
            .await
            .expect("the page can call the API");
        let text = answer[1].as_str().unwrap_or_default();
        let body = serde_json::from_str(text).unwrap_or_else(|_| json!(text));
        (answer[0].as_u64().unwrap_or_default(), body)
    }

    /// Creates something by the API; answers its id.
    pub(crate) async fn create(&self, path: &str, body: Value) -> String {
        let (status, body) = self.call("POST", path, body).await;
        assert!(matches!(status, 200 | 201), "{path}: {status} {body}");
        body["id"].as_str().unwrap_or_default().to_owned()
    }

    /// Keeps a picture of what is seen.
    pub(crate) async fn picture(&self, name: &str) {
        let png = self.client().screenshot().await.expect("a picture");
        pictures::keep(name, &png);
    }

    pub(crate) async fn close(self) {
        self.chromium.close().await;
    }
}
