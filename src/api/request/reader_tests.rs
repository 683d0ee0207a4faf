use actix_web::ResponseError;
use actix_web::body::to_bytes;
use actix_web::test::TestRequest;
use chrono::{DateTime, NaiveDate, Utc};
use serde::Deserialize;

use crate::api::request::json::parse;
use crate::craft::custody::Custody;
use crate::craft::ids::PlayerId;
use crate::craft::sport::Sport;
use crate::craft::tag_code::TagCode;
use crate::craft::tension::Tension;
use crate::craft::units::Millimetres;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
#[expect(dead_code, reason = "only what is wrong with them is looked at")]
struct Asked {
    count: Option<u8>,
    many: Option<u32>,
    below: Option<i64>,
    part: Option<f64>,
    name: Option<String>,
    truth: Option<bool>,
    list: Option<Vec<Option<i64>>>,
    pair: Option<[i64; 2]>,
    at: Option<DateTime<Utc>>,
    day: Option<NaiveDate>,
    inner: Option<Inner>,
    sport: Option<Sport>,
    tension: Option<Tension>,
    id: Option<PlayerId>,
    code: Option<TagCode>,
    place: Option<Custody>,
    length: Option<Millimetres>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
#[expect(dead_code, reason = "only what is wrong with them is looked at")]
struct Inner {
    must: bool,
}

/// What a body is refused with in a language: its code and the sentence.
async fn said(body: &str, language: &str) -> (String, String) {
    let request = TestRequest::default().insert_header(("Accept-Language", language));
    let problem = parse::<Asked>(body.as_bytes())
        .unwrap_err()
        .answering(&request.to_http_request());
    let bytes = to_bytes(problem.error_response().into_body()).await.unwrap();
    let document: serde_json::Value = serde_json::from_slice(&bytes).unwrap();
    let code = document["errors"][0]["code"]
        .as_str()
        .or(document["code"].as_str());
    (
        code.unwrap().to_owned(),
        document["detail"].as_str().unwrap().to_owned(),
    )
}

async fn check(body: &str, code: &str, english: &str, french: &str) {
    let told = |words: &str| (code.to_owned(), words.to_owned());
    assert_eq!(said(body, "en").await, told(english), "{body}");
    assert_eq!(said(body, "fr").await, told(french), "{body}");
}

/// Body, English, French.
const OF_THE_WRONG_SORT: [(&str, &str, &str); 11] = [
    (
        r#"{"count":"a"}"#,
        "Give a whole number, 0 to 255; here is the text \"a\".",
        "Donnez un nombre entier de 0 à 255 ; voici le texte « a ».",
    ),
    (
        r#"{"many":1.5}"#,
        "Give a whole number, 0 or more; here is the number 1.5.",
        "Donnez un nombre entier, 0 ou plus ; voici le nombre 1.5.",
    ),
    (
        r#"{"below":true}"#,
        "Give a whole number; here is true.",
        "Donnez un nombre entier ; voici true.",
    ),
    (
        r#"{"part":[]}"#,
        "Give a number; here is a list.",
        "Donnez un nombre ; voici une liste.",
    ),
    (
        r#"{"name":{}}"#,
        "Give text; here is an object.",
        "Donnez un texte ; voici un objet.",
    ),
    (
        r#"{"truth":"yes"}"#,
        "Give true or false; here is the text \"yes\".",
        "Donnez true ou false ; voici le texte « yes ».",
    ),
    (
        r#"{"list":5}"#,
        "Give a list; here is the number 5.",
        "Donnez une liste ; voici le nombre 5.",
    ),
    (
        r#"{"at":5}"#,
        "Give a date and time as text; here is the number 5.",
        "Donnez une date et une heure sous forme de texte ; voici le nombre 5.",
    ),
    (
        r#"{"inner":5}"#,
        "Give an object; here is the number 5.",
        "Donnez un objet ; voici le nombre 5.",
    ),
    (
        r#"{"inner":{"must":null}}"#,
        "Give true or false; here is null.",
        "Donnez true ou false ; voici null.",
    ),
    (
        r#"{"sport":5}"#,
        "Give one of the texts that are taken here.",
        "Donnez un des textes admis ici.",
    ),
];

#[actix_web::test]
async fn a_value_of_the_wrong_sort_is_named_in_our_words() {
    for (body, english, french) in OF_THE_WRONG_SORT {
        check(body, "wrong_type", english, french).await;
    }
}

#[actix_web::test]
async fn a_value_that_is_not_taken_is_named_in_our_words() {
    for (body, french) in [
        (
            r#"{"count":900}"#,
            "Donnez un nombre entier de 0 à 255 ; voici le nombre 900.",
        ),
        (
            r#"{"many":-1}"#,
            "Donnez un nombre entier, 0 ou plus ; voici le nombre -1.",
        ),
        (r#"{"pair":[1]}"#, "Donnez une liste de 2 valeurs."),
        (r#"{"at":"soon"}"#, NO_TIME),
        (r#"{"at":"2026-13-45T25:00:00Z"}"#, NO_TIME),
        (r#"{"day":"2026-13-45"}"#, NO_TIME),
        (
            r#"{"tension":{"value":"24,5","unit":"kg"}}"#,
            "Le nombre a une virgule ; écrivez un point, comme \"24.5\".",
        ),
        (
            r#"{"id":"x"}"#,
            "Donnez un identifiant qui commence par « plyr_ », suivi de 26 symboles.",
        ),
        (
            r#"{"code":"K7M"}"#,
            "Un code d’étiquette a 5 symboles ; celui-ci en a 3.",
        ),
        (
            r#"{"code":"K7A4G"}"#,
            "Vérifiez le 3e caractère : « A » ne figure dans aucun code.",
        ),
        (
            r#"{"place":"cellar"}"#,
            "« cellar » n’est pas un lieu ; donnez owner, desk, runner, station:<id> ou shelf:<slot> (1 à 40 lettres, chiffres, « _ », « - » ou « . »).",
        ),
        (r#"{"length":-1}"#, "Donnez un nombre fini de mm, 0 ou plus."),
    ] {
        let (code, told) = said(body, "fr").await;
        assert_eq!(
            (code.as_str(), told.as_str()),
            ("invalid_value", french),
            "{body}"
        );
        let (_, english) = said(body, "en").await;
        assert!(english.ends_with('.') && english != told, "{body}: {english}");
    }
}

const NO_TIME: &str = "Ce n’est ni une date ni une heure ; donnez la forme RFC 3339, comme 2026-05-02T14:30:00Z, ou un jour comme 2026-05-02.";

#[actix_web::test]
async fn missing_unknown_and_repeated_members_are_named_in_french() {
    for (body, code, french) in [
        (r#"{"inner":{}}"#, "missing_member", "Le membre « must » manque."),
        (
            r#"{"inner":{"must":true,"may":1}}"#,
            "unknown_member",
            "Membre inconnu « may ». Connus : \"must\".",
        ),
        (
            r#"{"name":"a","name":"b"}"#,
            "repeated_member",
            "Le membre « name » est en double.",
        ),
    ] {
        assert_eq!(
            said(body, "fr").await,
            (code.to_owned(), french.to_owned()),
            "{body}"
        );
    }
}

#[actix_web::test]
async fn where_a_text_stops_being_json_is_said_in_french() {
    for (body, french) in [
        (
            r#"{"name":"#,
            "à la ligne 1, colonne 8 : le texte s’arrête avant une valeur.",
        ),
        ("{\n\"name\" 5}", "à la ligne 2, colonne 8 : il manque « : »."),
        (
            r#"{"list":[1 2]}"#,
            "à la ligne 1, colonne 12 : il manque « , » ou « ] ».",
        ),
        (
            r#"{"name":1,}"#,
            "à la ligne 1, colonne 11 : ici doit venir le nom d’un membre, entre guillemets.",
        ),
        (
            r#"{"list":[1,]}"#,
            "à la ligne 1, colonne 12 : il manque une valeur.",
        ),
        (
            r#"{name:1}"#,
            "à la ligne 1, colonne 2 : ici doit venir le nom d’un membre, entre guillemets.",
        ),
        (
            r#"{} {}"#,
            "à la ligne 1, colonne 4 : quelque chose suit la fin du document.",
        ),
        (
            r#"{"name":01}"#,
            "à la ligne 1, colonne 10 : ce nombre est mal écrit.",
        ),
    ] {
        let told = format!("Ce n’est pas du JSON, {french}");
        assert_eq!(
            said(body, "fr").await,
            ("malformed_json".to_owned(), told),
            "{body}"
        );
    }
}
