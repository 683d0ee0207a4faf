//! A browser in which no script runs, neither the page's nor the test's: it is read by what a screen reader is told,
//! and touched where its parts are drawn.
use std::time::{Duration, Instant};

use serde_json::{Value, json};

use crate::dev_tools;
use crate::screen::Screen;

const PATIENCE: Duration = Duration::from_secs(10);
const LOOK_EVERY: Duration = Duration::from_millis(30);

/// Somebody whose browser runs no script.
pub(crate) struct Bare<'a>(&'a Screen);

impl<'a> Bare<'a> {
    /// Switches scripts off, for as long as the browser lives.
    pub(crate) async fn new(screen: &'a Screen) -> Self {
        let off = json!({"value": true});
        dev_tools::command(screen.client(), "Emulation.setScriptExecutionDisabled", off).await;
        Self(screen)
    }

    pub(crate) async fn open(&self, path: &str) {
        self.0.open(path).await;
    }

    /// Everything that a reader would speak, without the unseen marks that keep directions of writing apart.
    pub(crate) async fn spoken(&self) -> String {
        let tree = dev_tools::command(self.0.client(), "Accessibility.getFullAXTree", json!({})).await;
        let nodes = tree["nodes"].as_array().expect("a tree");
        let names = nodes.iter().filter_map(|node| node["name"]["value"].as_str());
        let mut spoken = names.collect::<Vec<_>>().join(" ");
        spoken.retain(|sign| !('\u{2066}'..='\u{2069}').contains(&sign));
        spoken
    }

    /// Waits until these words are spoken.
    pub(crate) async fn hears(&self, words: &str) {
        let began = Instant::now();
        loop {
            let spoken = self.spoken().await;
            if spoken.contains(words) {
                return;
            }
            assert!(began.elapsed() < PATIENCE, "{words:?} is not spoken: {spoken}");
            tokio::time::sleep(LOOK_EVERY).await;
        }
    }

    /// Touches the first part of the page like this.
    pub(crate) async fn tap(&self, css: &str) {
        let (x, y) = self.middle(css).await;
        for kind in ["mousePressed", "mouseReleased"] {
            let event = json!({"type": kind, "x": x, "y": y, "button": "left", "clickCount": 1});
            dev_tools::command(self.0.client(), "Input.dispatchMouseEvent", event).await;
        }
    }

    /// Touches a field and writes into it.
    pub(crate) async fn write(&self, css: &str, text: &str) {
        self.tap(css).await;
        dev_tools::command(self.0.client(), "Input.insertText", json!({"text": text})).await;
    }

    /// Presses the Enter key, as a scanner does after a code.
    pub(crate) async fn enter(&self) {
        for kind in ["keyDown", "keyUp"] {
            let stroke = json!({"type": kind, "key": "Enter", "code": "Enter", "text": "\r", "windowsVirtualKeyCode": 13});
            dev_tools::command(self.0.client(), "Input.dispatchKeyEvent", stroke).await;
        }
    }

    /// A word of the page's root: `lang` or `dir`.
    pub(crate) async fn root(&self, name: &str) -> String {
        self.attribute("html", name).await
    }

    /// What the page says of the first part like this, empty where it says nothing.
    pub(crate) async fn attribute(&self, css: &str, name: &str) -> String {
        let node = self.node(css).await;
        let said = self.ask("DOM.getAttributes", json!({"nodeId": node})).await;
        let words: Vec<&str> = said["attributes"]
            .as_array()
            .expect("attributes")
            .iter()
            .filter_map(Value::as_str)
            .collect();
        let found = words.chunks_exact(2).find(|pair| pair[0] == name);
        found.map(|pair| pair[1].to_owned()).unwrap_or_default()
    }

    async fn ask(&self, name: &str, parameters: Value) -> Value {
        dev_tools::command(self.0.client(), name, parameters).await
    }

    async fn node(&self, css: &str) -> Value {
        let page = self.ask("DOM.getDocument", json!({"depth": 0})).await;
        let asked = json!({"nodeId": page["root"]["nodeId"], "selector": css});
        let found = self.ask("DOM.querySelector", asked).await;
        assert_ne!(
            found["nodeId"],
            0,
            "{css} is not on the page: {}",
            self.spoken().await
        );
        found["nodeId"].clone()
    }

    async fn middle(&self, css: &str) -> (f64, f64) {
        let node = json!({"nodeId": self.node(css).await});
        self.ask("DOM.scrollIntoViewIfNeeded", node.clone()).await;
        let drawn = self.ask("DOM.getBoxModel", node).await;
        let corner = |at: usize| drawn["model"]["border"][at].as_f64().expect("pixels");
        ((corner(0) + corner(4)) / 2.0, (corner(1) + corner(5)) / 2.0)
    }
}
