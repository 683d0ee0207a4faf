//! The form of a name in which it is searched, in any script.
use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

/// The search key of `text`: compatibility-decomposed (NFKD), without marks, in
/// lower case, with one space between words and none around them.
///
/// What is stored and what is typed both pass through here; a match is then a
/// substring on any database. A typed part matches too: `"sodl"` is found in
/// `"Södling"`.
#[must_use]
pub fn search_key(text: &str) -> String {
    let folded: String = without_marks(text).chars().flat_map(char::to_lowercase).collect();
    // lower case can bring new marks and compositions with it
    let plain = without_marks(&folded);
    plain.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn without_marks(text: &str) -> String {
    text.nfkd()
        .filter(|character| !is_combining_mark(*character))
        .collect()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn marks_case_and_width_do_not_matter() {
        assert_eq!(search_key("  Łucja   Ångström-Nguyễn "), "łucja angstrom-nguyen");
        assert_eq!(search_key("ＡＢＣ ﬁ"), "abc fi");
        assert_eq!(search_key("İSTANBUL"), "istanbul");
    }

    #[test]
    fn other_scripts_are_folded_the_same_way() {
        assert_eq!(search_key("ΆΛΦΑ"), search_key("αλφα"));
        assert_eq!(search_key("Йод"), search_key("ЙОД"));
        assert_eq!(search_key("ガク"), search_key("ｶﾞｸ"));
        assert_eq!(search_key("مُحَمَّد"), search_key("محمد"));
        assert!(search_key("한글").contains(&search_key("한")));
    }

    proptest! {
        #[test]
        fn a_key_is_its_own_key(text in "\\PC{0,24}") {
            let key = search_key(&text);
            prop_assert_eq!(search_key(&key), key);
        }

        #[test]
        fn composed_and_decomposed_texts_have_one_key(text in "\\PC{0,24}") {
            prop_assert_eq!(search_key(&text.nfc().collect::<String>()), search_key(&text.nfd().collect::<String>()));
        }
    }
}
