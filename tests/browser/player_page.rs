//! D14: the page behind the ticket's square, on a phone, in two directions of writing.
use serde_json::{Value, json};

use crate::chromium::{NARROWEST, PHONE};
use crate::dev_tools;
use crate::screen::Screen;
use crate::tournament::{Tournament, safe_time};

/// What the whole first load may weigh.
const MOST_BYTES: u64 = 60_000;
/// What would give a spec away: units in both scripts, both tensions in the other unit, the strings.
const OF_A_SPEC: [&str; 9] = [
    "kg", " lb", "كغ", "كجم", "رطل", "121.3", "119", "String A", "String B",
];

#[tokio::test(flavor = "multi_thread")]
async fn d14_the_player_reads_state_place_and_time_in_english_and_arabic_and_never_a_spec() {
    let tournament = Tournament::start().await;
    // 55 lb = 24.9 kg, 54 lb = 24.5 kg (1 lb = 0.45359237 kg exactly)
    let job = tournament
        .take_in(&tournament.admin, "P3/1", ("55", "54", "lb"))
        .await;
    let safe = safe_time(&tournament.admin, job["id"].as_str().expect("an id")).await;
    let page = tournament.player_page("P3").await;
    let phone = tournament.stranger(PHONE).await;
    reads_well(
        &phone,
        &page,
        "en",
        "ltr",
        &["waiting", &format!("very likely by {safe}"), "1"],
    )
    .await;
    reads_well(
        &phone,
        &page,
        "ar",
        "rtl",
        &["في الانتظار", "ومن المرجّح جدًا قبل", &safe],
    )
    .await;
    without_scripts(&phone, &page).await;
    the_tongue_follows_the_phone(&phone, &page).await;
    phone.close().await;
    tournament.admin.close().await;
}

async fn reads_well(phone: &Screen, page: &str, language: &str, direction: &str, words: &[&str]) {
    phone.chromium.resize(PHONE).await;
    phone.open(&format!("{page}?lang={language}")).await;
    let root = phone
        .run(
            "return [document.documentElement.lang, document.documentElement.dir]",
            json!([]),
        )
        .await;
    assert_eq!(root, json!([language, direction]));
    for words in words {
        phone.reads("main", words).await;
    }
    let source = phone.client().source().await.expect("the page");
    for word in OF_A_SPEC {
        assert!(!source.contains(word), "{word} in the page in {language}");
    }
    assert!(!source.contains("<script"), "the page needs none");
    let bytes = bytes_loaded(phone).await;
    println!("the player's page in {language}: {bytes} bytes");
    assert!(bytes <= MOST_BYTES);
    phone.chromium.resize(NARROWEST).await;
    let wide = phone
        .run("return document.documentElement.scrollWidth", json!([]))
        .await;
    assert!(wide.as_u64() <= Some(u64::from(NARROWEST.0)), "{wide} px");
    phone.picture(&format!("your-rackets-{language}-narrow")).await;
}

/// The page with its styles, pictures and scripts, unpacked.
async fn bytes_loaded(phone: &Screen) -> u64 {
    const SUM: &str = "const done = arguments[0]; \
        const parts = [...document.querySelectorAll('link[href], img[src], script[src]')].map(one => one.href ?? one.src); \
        Promise.all([location.href, ...parts].map(one => fetch(one).then(answer => answer.arrayBuffer()))) \
          .then(all => done(all.reduce((sum, one) => sum + one.byteLength, 0)), error => done(String(error)))";
    let sum = phone.client().execute_async(SUM, Vec::new()).await;
    sum.expect("the page's parts load")
        .as_u64()
        .expect("a number of bytes")
}

/// What a reader would speak, taken from the browser's own tree because no script can run.
async fn without_scripts(phone: &Screen, page: &str) {
    let switch = |off: bool| json!({"value": off});
    dev_tools::command(
        phone.client(),
        "Emulation.setScriptExecutionDisabled",
        switch(true),
    )
    .await;
    phone.open(&format!("{page}?lang=en")).await;
    let tree = dev_tools::command(phone.client(), "Accessibility.getFullAXTree", json!({})).await;
    let spoken = spoken(&tree);
    for words in ["Your rackets", "waiting", "very likely by", "Reload"] {
        assert!(spoken.contains(words), "{words} in {spoken}");
    }
    dev_tools::command(
        phone.client(),
        "Emulation.setScriptExecutionDisabled",
        switch(false),
    )
    .await;
}

fn spoken(tree: &Value) -> String {
    let nodes = tree["nodes"].as_array().expect("a tree");
    let names = nodes.iter().filter_map(|node| node["name"]["value"].as_str());
    names.collect::<Vec<_>>().join(" ")
}

/// Nobody has to choose: the phone says what its owner reads.
async fn the_tongue_follows_the_phone(phone: &Screen, page: &str) {
    let agent = phone.run("return navigator.userAgent", json!([])).await;
    let speaks = json!({"userAgent": agent, "acceptLanguage": "ar-EG,ar;q=0.9,en;q=0.5"});
    dev_tools::command(phone.client(), "Emulation.setUserAgentOverride", speaks).await;
    phone.open(page).await;
    let language = phone.run("return document.documentElement.lang", json!([])).await;
    assert_eq!(language, "ar");
}
