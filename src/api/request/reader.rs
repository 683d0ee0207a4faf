//! What the reader of JSON says, in our own words and in both languages.
use crate::api::problem::{Said, french};

/// Why a text is not JSON, and where.
///
/// The reasons are those of `serde_json` 1.0, `ErrorCode`; what it does not say there is not said here either.
pub(super) fn not_json(error: &serde_json::Error) -> Said {
    let (line, column) = (error.line(), error.column());
    let text = error.to_string();
    let why = text
        .rsplit_once(" at line ")
        .map_or(text.as_str(), |(why, _)| why);
    let why = match why {
        "EOF while parsing a list" => "le texte s’arrête dans une liste",
        "EOF while parsing an object" => "le texte s’arrête dans un objet",
        "EOF while parsing a string" => "le texte s’arrête dans une chaîne",
        "EOF while parsing a value" => "le texte s’arrête avant une valeur",
        "expected `:`" => "il manque « : »",
        "expected `,` or `]`" => "il manque « , » ou « ] »",
        "expected `,` or `}`" => "il manque « , » ou « } »",
        "expected `\"`" => "il manque un guillemet",
        "expected ident" => "ce mot n’est ni true, ni false, ni null",
        "expected value" => "il manque une valeur",
        "key must be a string" => "ici doit venir le nom d’un membre, entre guillemets",
        "trailing comma" => "une virgule est de trop",
        "trailing characters" => "quelque chose suit la fin du document",
        "invalid number" => "ce nombre est mal écrit",
        "number out of range" => "ce nombre est trop grand",
        "invalid escape" | "unexpected end of hex escape" => "un échappement est mal écrit",
        "lone leading surrogate in hex escape" | "invalid unicode code point" => "ce caractère n’existe pas",
        "recursion limit exceeded" => "les niveaux emboîtés sont trop nombreux",
        control if control.starts_with("control character") => "une chaîne contient un caractère de commande",
        _ => "",
    };
    let colon = if why.is_empty() { "" } else { " : " };
    Said::new(
        format!("Not JSON: {text}."),
        format!("Ce n’est pas du JSON, à la ligne {line}, colonne {column}{colon}{why}."),
    )
}

/// What is wrong with a value of the wrong sort; `message` is serde's: "invalid type: A, expected B" or
/// "invalid length 1, expected B".
pub(super) fn wrong_sort(message: &str) -> Said {
    if message == "expected value" {
        // what serde_json says where one of several texts was wanted and no text came
        return Said::new(
            "Give one of the texts that are taken here.",
            "Donnez un des textes admis ici.",
        );
    }
    let parts = message.rsplit_once(", expected ");
    let Some((wanted, came)) = parts.and_then(|(came, wanted)| Some((asked(wanted)?, came))) else {
        return Said::new(sentence(message), "La valeur n’est pas de la bonne sorte.");
    };
    let came = came.split_once(": ").and_then(|(_, came)| found(came));
    let (en, fr) = came.map_or_else(Default::default, |(en, fr)| {
        (format!("; here is {en}"), format!(" ; voici {fr}"))
    });
    Said::new(
        format!("Give {}{en}.", wanted.0),
        format!("Donnez {}{fr}.", wanted.1),
    )
}

/// What is wrong with a value of the right sort that is not taken.
pub(super) fn unfit(message: &str) -> Said {
    // what chrono 0.4 says of texts that are no time (`ParseErrorKind`), whatever kind of time it reads
    const NO_TIME: [&str; 6] = [
        "input is out of range",
        "no possible date and time matching input",
        "input is not enough for unique date and time",
        "input contains invalid characters",
        "premature end of input",
        "trailing input",
    ];
    if NO_TIME.contains(&message) {
        return Said::new(
            "This is no date or time; give RFC 3339, such as 2026-05-02T14:30:00Z, or a day such as 2026-05-02.",
            "Ce n’est ni une date ni une heure ; donnez la forme RFC 3339, comme 2026-05-02T14:30:00Z, ou un jour comme 2026-05-02.",
        );
    }
    if message.starts_with("data did not match any variant") {
        return Said::new(
            "The value has none of the forms that are taken here.",
            "La valeur n’a aucune des formes admises ici.",
        );
    }
    if message.starts_with("invalid value: ") || message.starts_with("invalid length ") {
        return wrong_sort(message);
    }
    let french = french(message).unwrap_or_else(|| "La valeur ne convient pas.".to_owned());
    Said::new(sentence(message), french)
}

/// What was wanted, in both languages; nothing for words that only programmers read.
fn asked(wanted: &str) -> Option<(String, String)> {
    let (en, fr) = match wanted {
        "a string" | "a borrowed string" | "string" => ("text", "un texte"),
        "a boolean" => ("true or false", "true ou false"),
        "u8" => ("a whole number, 0 to 255", "un nombre entier de 0 à 255"),
        "u16" => ("a whole number, 0 to 65535", "un nombre entier de 0 à 65535"),
        "u32" | "u64" | "u128" | "usize" => ("a whole number, 0 or more", "un nombre entier, 0 ou plus"),
        "i8" | "i16" | "i32" | "i64" | "i128" | "isize" => ("a whole number", "un nombre entier"),
        "f32" | "f64" => ("a number", "un nombre"),
        "a sequence" => ("a list", "une liste"),
        "an RFC 3339 formatted date and time string" => (
            "a date and time as text",
            "une date et une heure sous forme de texte",
        ),
        "a formatted date string" => ("a day as text", "un jour sous forme de texte"),
        "a map" => ("an object", "un objet"),
        // the values themselves are named when one of them is misspelt
        one if one.starts_with("enum ") || one == "unit variant" => {
            ("one of the texts that are taken here", "un des textes admis ici")
        }
        one if ["struct ", "internally tagged enum ", "adjacently tagged enum "]
            .iter()
            .any(|start| one.starts_with(start)) =>
        {
            ("an object", "un objet")
        }
        one => {
            let size = one
                .strip_prefix("a tuple of size ")
                .or_else(|| one.strip_prefix("an array of length "))?;
            return Some((
                format!("a list of {size} values"),
                format!("une liste de {size} valeurs"),
            ));
        }
    };
    Some((en.to_owned(), fr.to_owned()))
}

/// What came instead, in both languages.
fn found(came: &str) -> Option<(String, String)> {
    let (kind, value) = came.split_once(' ').unwrap_or((came, ""));
    let number = value.trim_start_matches("point ").trim_matches('`');
    match kind {
        "null" | "Option" | "unit" => Some(("null".to_owned(), "null".to_owned())),
        "boolean" => Some((number.to_owned(), number.to_owned())),
        "integer" | "floating" => Some((format!("the number {number}"), format!("le nombre {number}"))),
        "string" => {
            let text = value.trim_matches('"');
            Some((format!("the text \"{text}\""), format!("le texte « {text} »")))
        }
        "sequence" => Some(("a list".to_owned(), "une liste".to_owned())),
        "map" => Some(("an object".to_owned(), "un objet".to_owned())),
        _ => None,
    }
}

fn sentence(message: &str) -> String {
    let mut letters = message.chars();
    let first = letters
        .next()
        .map(|letter| letter.to_uppercase().to_string())
        .unwrap_or_default();
    format!("{first}{}.", letters.as_str())
}

#[cfg(test)]
#[path = "reader_tests.rs"]
mod tests;
