//! The whole of the player's page in a browser that runs no script, in three languages and both directions of writing.
use serde_json::Value;

use crate::chromium::PHONE;
use crate::no_script::Bare;
use crate::tournament::Tournament;

/// What one language's reader hears, from the texts of that language.
struct Tongue {
    tag: &'static str,
    dir: &'static str,
    title: &'static str,
    waiting: &'static str,
    show_code: &'static str,
    may_collect: &'static str,
    no_longer: &'static str,
    has_request: &'static str,
    loads_itself: &'static str,
    load_again_on: &'static str,
    coach: &'static str,
    wish: &'static str,
}

const TONGUES: [Tongue; 3] = [
    Tongue {
        tag: "en",
        dir: "ltr",
        title: "Your rackets",
        waiting: "waiting",
        show_code: "Show this code at the desk.",
        may_collect: "May also collect: ",
        no_longer: "This person may no longer collect.",
        has_request: "The desk has your request for racket ",
        loads_itself: "This page reloads every minute.",
        load_again_on: "Reload every minute",
        coach: "Coach Example",
        wish: "one kilo down",
    },
    Tongue {
        tag: "de",
        dir: "ltr",
        title: "Ihre Schläger",
        waiting: "wartet",
        show_code: "Zeigen Sie diesen Code am Schalter.",
        may_collect: "Darf auch abholen: ",
        no_longer: "Diese Person darf nicht mehr abholen.",
        has_request: "Ihre Bitte zu Schläger ",
        loads_itself: "Diese Seite lädt jede Minute neu.",
        load_again_on: "Jede Minute neu laden",
        coach: "Trainerin Müller-Beispiel",
        wish: "ein Kilo weicher",
    },
    Tongue {
        tag: "ar",
        dir: "rtl",
        title: "مضاربك",
        waiting: "في الانتظار",
        show_code: "أظهر هذا الرمز في المكتب.",
        may_collect: "يمكنه الاستلام أيضًا: ",
        no_longer: "لم يعد بإمكان هذا الشخص الاستلام.",
        has_request: "وصل إلى المكتب طلبك بشأن المضرب ",
        loads_itself: "تُحدَّث هذه الصفحة كل دقيقة.",
        load_again_on: "تحديث كل دقيقة",
        coach: "المدرب مثال",
        wish: "أقل بكيلو واحد",
    },
];

#[tokio::test(flavor = "multi_thread")]
async fn all_that_a_player_may_do_works_without_any_script_in_three_languages() {
    let tournament = Tournament::start().await;
    tournament
        .take_in(&tournament.admin, "P3/1", ("55", "54", "lb"))
        .await;
    let page = tournament.player_page("P3").await;
    for tongue in TONGUES {
        let phone = tournament.stranger(PHONE).await;
        let reader = Bare::new(&phone).await;
        the_language_is_chosen_and_remembered(&reader, &page, &tongue).await;
        the_code_is_shown(&reader, &tongue).await;
        a_delegate_is_named_and_withdrawn(&reader, &tongue).await;
        a_change_is_asked_for(&reader, &tongue).await;
        the_page_is_kept_from_loading_itself(&reader, &page, &tongue).await;
        phone.close().await;
        let (_, snags) = tournament
            .admin
            .call("GET", "/v1/snags?open=true", Value::Null)
            .await;
        assert!(
            snags.to_string().contains(tongue.wish),
            "the desk reads the wish: {snags}"
        );
    }
    tournament.admin.close().await;
}

async fn the_language_is_chosen_and_remembered(reader: &Bare<'_>, page: &str, tongue: &Tongue) {
    reader.open(page).await;
    reader.tap(&format!("nav a[hreflang={}]", tongue.tag)).await;
    reader.hears(tongue.title).await;
    // the address alone, as the ticket's square has it
    reader.open(page).await;
    for words in [tongue.title, tongue.waiting, tongue.loads_itself] {
        reader.hears(words).await;
    }
    assert_eq!(
        [reader.root("lang").await, reader.root("dir").await],
        [tongue.tag, tongue.dir]
    );
}

async fn the_code_is_shown(reader: &Bare<'_>, tongue: &Tongue) {
    reader.tap("a[href*='ask=code']").await;
    reader.hears(tongue.show_code).await;
    let spoken = reader.spoken().await;
    let halves = |word: &str| word.len() == 3 && word.bytes().all(|sign| sign.is_ascii_digit());
    let words: Vec<&str> = spoken.split_whitespace().collect();
    assert!(
        words.windows(2).any(|pair| halves(pair[0]) && halves(pair[1])),
        "six digits in {spoken}"
    );
    back(reader, tongue).await;
}

/// To the rackets, by the page's own link.
async fn back(reader: &Bare<'_>, tongue: &Tongue) {
    reader.tap("p > a.again").await;
    reader.hears(tongue.loads_itself).await;
}

async fn a_delegate_is_named_and_withdrawn(reader: &Bare<'_>, tongue: &Tongue) {
    let named = format!("{}{}", tongue.may_collect, tongue.coach);
    reader.tap("a[href*='ask=delegate']").await;
    reader.write("#delegate-name", tongue.coach).await;
    reader.tap("form button[type=submit]").await;
    reader.hears(&named).await;
    reader.tap("a[href*='ask=delegate']").await;
    reader.hears(tongue.coach).await;
    reader.tap("button[name=withdraw]").await;
    reader.hears(tongue.no_longer).await;
    let spoken = reader.spoken().await;
    assert!(!spoken.contains(tongue.coach), "{spoken}");
}

async fn a_change_is_asked_for(reader: &Bare<'_>, tongue: &Tongue) {
    reader.tap("a[href*='ask=change']").await;
    reader.write("#change-words", tongue.wish).await;
    reader.tap("form button[type=submit]").await;
    reader.hears(tongue.has_request).await;
}

/// Switched off, it stays off through other parts of the page and other languages; the words change, so a reader knows.
async fn the_page_is_kept_from_loading_itself(reader: &Bare<'_>, page: &str, tongue: &Tongue) {
    reader.open(page).await;
    reader.tap("p > a[href$='still=yes']").await;
    reader.hears(tongue.load_again_on).await;
    assert!(!reader.spoken().await.contains(tongue.loads_itself));
    reader.tap("a[href*='ask=code']").await;
    reader.hears(tongue.show_code).await;
    reader.tap("p > a.again").await;
    reader.hears(tongue.load_again_on).await;
    reader.tap("nav a[hreflang=fr]").await;
    reader.hears("Actualiser chaque minute").await;
    reader.tap("p > a.again:not([href*=still])").await;
    reader.hears("Cette page s’actualise chaque minute.").await;
}
