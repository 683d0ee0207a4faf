//! The player's page in its ten languages at the sizes of phones: nothing is cut off, with the texts as they are and
//! with texts three times as long.
use serde_json::json;

use crate::chromium::{NARROWEST, PHONE};
use crate::page_rules::{longer, look};
use crate::tournament::Tournament;

/// The tags of the ten languages, and whether they are written from the right.
const TONGUES: [(&str, &str); 10] = [
    ("en", "ltr"),
    ("es", "ltr"),
    ("fr", "ltr"),
    ("de", "ltr"),
    ("it", "ltr"),
    ("pt", "ltr"),
    ("ja", "ltr"),
    ("zh-Hans", "ltr"),
    ("ko", "ltr"),
    ("ar", "rtl"),
];

#[tokio::test(flavor = "multi_thread")]
async fn in_ten_languages_nothing_on_a_phone_is_cut_off() {
    let tournament = Tournament::start().await;
    for racket in ["P1/1", "P1/2"] {
        tournament
            .take_in(&tournament.admin, racket, ("24", "23", "kg"))
            .await;
    }
    let page = tournament.player_page("P1").await;
    let phone = tournament.stranger(PHONE).await;
    phone.open(&format!("{page}?lang=en&ask=delegate")).await;
    phone
        .fill("#delegate-name", "Coach Example-Samplename Ångström y Ñandú")
        .await;
    phone.tap("Send").await;
    phone.reads("main", "May also collect").await;
    let mut broken = Vec::new();
    for (tongue, direction) in TONGUES {
        for part in ["", "&ask=code", "&ask=delegate", "&ask=change"] {
            phone.open(&format!("{page}?lang={tongue}{part}")).await;
            let root = phone
                .run(
                    "return [document.documentElement.lang, document.documentElement.dir]",
                    json!([]),
                )
                .await;
            assert_eq!(root, json!([tongue, direction]));
            let name = format!("your-rackets in {tongue}{part}");
            for size in [PHONE, NARROWEST] {
                broken.extend(look(&phone, &name, &format!("{} px", size.0), size).await);
            }
            if part.is_empty() {
                phone.chromium.resize(PHONE).await;
                phone.picture(&format!("your-rackets-{tongue}-phone")).await;
            }
            broken.extend(longer(&phone, &name).await);
        }
    }
    phone.close().await;
    tournament.admin.close().await;
    assert!(
        broken.is_empty(),
        "{} broken:\n{}",
        broken.len(),
        broken.join("\n")
    );
}
