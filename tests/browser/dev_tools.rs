//! What WebDriver has no command for: the browser's own protocol, through its driver.
use fantoccini::Client;
use fantoccini::wd::WebDriverCompatibleCommand;
use serde_json::{Value, json};

/// One command of the browser's developer protocol ("CDP").
#[derive(Debug)]
struct DevTools(Value);

impl WebDriverCompatibleCommand for DevTools {
    fn endpoint(&self, base: &url::Url, session: Option<&str>) -> Result<url::Url, url::ParseError> {
        base.join(&format!(
            "session/{}/goog/cdp/execute",
            session.unwrap_or_default()
        ))
    }

    fn method_and_body(&self, _: &url::Url) -> (http::Method, Option<String>) {
        (http::Method::POST, Some(self.0.to_string()))
    }
}

/// Sends a command and answers its result.
pub(crate) async fn command(client: &Client, name: &str, parameters: Value) -> Value {
    let sent = DevTools(json!({ "cmd": name, "params": parameters }));
    client
        .issue_cmd(sent)
        .await
        .unwrap_or_else(|error| panic!("{name}: {error}"))
}
