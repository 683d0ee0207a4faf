//! Keeps the paper kit ready: one self-contained file per tournament, written anew every quarter of an hour.
use std::io;
use std::path::{Path, PathBuf};
use std::time::Duration;

use actix_web::web;

use crate::desk::{Caller, Desk, paper_kit};
use crate::pages::handlers::paper_kit::html;

/// How often it is written.
const EVERY: Duration = Duration::from_secs(15 * 60);

/// Writes the kits of all tournaments into `folder`, again and again.
pub(super) async fn keep_ready(desk: Desk, folder: PathBuf) {
    let mut tick = tokio::time::interval(EVERY);
    loop {
        tick.tick().await;
        if let Err(error) = write_all(&desk, &folder).await {
            tracing::warn!(%error, "the paper kit could not be written");
        }
    }
}

async fn write_all(desk: &Desk, folder: &Path) -> Result<(), Box<dyn std::error::Error>> {
    for tournament in desk.read(paper_kit::tournaments).await? {
        let caller = Caller::system(&tournament);
        let kit = desk.write(&caller, paper_kit::paper_kit).await?;
        let text = html(&kit, desk.clock().desk())?;
        let file = folder.join(format!("paper-kit-{tournament}.html"));
        web::block(move || put(&file, &text)).await??;
    }
    Ok(())
}

/// Beside first, then in place: who opens the file in an outage never finds half of one.
fn put(file: &Path, text: &str) -> io::Result<()> {
    let beside = file.with_extension("html.new");
    std::fs::write(&beside, text)?;
    std::fs::rename(&beside, file)
}
