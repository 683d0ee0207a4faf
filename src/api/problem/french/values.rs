//! What is said of a value that cannot be read: an id, a code, a tension, a number, a time.

/// English key, as the type says it; French sentence.
pub(super) const VALUES: &[(&str, &str)] = &[
    (
        "must be an id that starts with `{}_` and has 26 more symbols",
        "Donnez un identifiant qui commence par « {}_ », suivi de 26 symboles.",
    ),
    (
        "\"{}\" is not a place; use owner, desk, runner, station:<id> or shelf:<slot> (1 to 40 letters, digits, '_', '-' or '.')",
        "« {} » n’est pas un lieu ; donnez owner, desk, runner, station:<id> ou shelf:<slot> (1 à 40 lettres, chiffres, « _ », « - » ou « . »).",
    ),
    // tag codes
    (
        "a tag code has 5 symbols; this one has {}",
        "Un code d’étiquette a 5 symboles ; celui-ci en a {}.",
    ),
    (
        "check the {} character: '{}' is in no tag code",
        "Vérifiez le {} caractère : « {} » ne figure dans aucun code.",
    ),
    (
        "check the code: one character is wrong, or two are swapped",
        "Vérifiez le code : un caractère est faux, ou deux sont intervertis.",
    ),
    // quantities
    (
        "must be a decimal number as text, such as \"24.5\"",
        "Donnez un nombre décimal sous forme de texte, comme \"24.5\".",
    ),
    (
        "uses a decimal comma; write a point, such as \"24.5\"",
        "Le nombre a une virgule ; écrivez un point, comme \"24.5\".",
    ),
    ("must be above 0", "Donnez un nombre supérieur à 0."),
    (
        "has too many digits; give at most 4 before and 3 after the point",
        "Le nombre a trop de chiffres ; donnez-en au plus 4 avant et 3 après le point.",
    ),
    (
        "must be a finite number of {}, 0 or more",
        "Donnez un nombre fini de {}, 0 ou plus.",
    ),
    // parameters
    ("\"{}\" is not true or false", "« {} » n’est ni true ni false."),
    (
        "\"{}\" is not a whole number, 0 or more",
        "« {} » n’est pas un nombre entier, 0 ou plus.",
    ),
    (
        "\"{}\" is not a whole number",
        "« {} » n’est pas un nombre entier.",
    ),
    ("\"{}\" is not a number", "« {} » n’est pas un nombre."),
    (
        "{} is not between 1 and 200",
        "{} n’est pas compris entre 1 et 200.",
    ),
];
