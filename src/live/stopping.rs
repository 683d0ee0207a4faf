//! How open streams learn that the server is to stop.
use tokio::sync::watch;

/// Turns true when the server is to stop: open streams end first.
#[derive(Debug, Clone)]
pub struct Stopping(pub watch::Receiver<bool>);
