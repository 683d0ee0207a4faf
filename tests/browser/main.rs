//! The program in a real browser.
//!
//! Needs Chromium, its driver and a built program, so a plain `cargo test`
//! leaves this target out; `tests/run release browser` runs it.
#![expect(
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot set up should stop"
)]
mod chromium;
mod program;

use fantoccini::Locator;

#[tokio::test(flavor = "multi_thread")]
async fn the_browser_draws_what_it_is_given_and_runs_its_scripts() {
    let chromium = chromium::Chromium::start().await;
    let page = "data:text/html,<p>drawn</p><script>document.title = 'run'</script>";
    chromium.client.goto(page).await.expect("the page opens");
    let paragraph = chromium
        .client
        .find(Locator::Css("p"))
        .await
        .expect("a paragraph");
    assert_eq!(paragraph.text().await.expect("its text"), "drawn");
    assert_eq!(chromium.client.title().await.expect("a title"), "run");
    chromium.close().await;
}

#[test]
fn the_program_under_test_can_be_run() {
    let status = std::process::Command::new(program::path())
        .arg("--help")
        .stdout(std::process::Stdio::null())
        .status()
        .expect("the program starts");
    assert!(status.success(), "{status}");
}
