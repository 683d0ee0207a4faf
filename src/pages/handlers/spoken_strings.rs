//! Which strings a form asks for: of the list, the player's own, or the crosses as the mains.
use super::filled::Filled;
use crate::craft::spec::StringFacts;
use crate::desk::{DeskError, DeskResult};

/// The player's own string, in a list of strings; which it is stands in a box of its own.
pub const OWN: &str = "own";
/// The crosses are strung with what the mains are.
pub const AS_MAINS: &str = "mains";

/// What a form says of the crosses' string.
#[derive(Debug, PartialEq)]
pub enum Crosses {
    /// Nothing.
    Stay,
    AsMains,
    Are(StringFacts),
}

/// The strings of a form: those of the mains, if it says so, and those of the crosses.
///
/// # Errors
/// [`DeskError::Invalid`] at the field where something is missing or two answers differ.
pub fn said(form: &Filled, is_new: bool) -> DeskResult<(Option<StringFacts>, Crosses)> {
    let (mains, crosses) = (form.get("mains_string_id"), form.get("crosses_string_id"));
    let own = own(form);
    // one string of their own is for both, unless a list says something
    let for_mains = mains.is_empty() && (is_new || matches!(crosses, "" | AS_MAINS));
    if own.is_some() && !for_mains && mains != OWN && crosses != OWN {
        let words = "Which is the player's own string for? Choose \u{201c}the player's own\u{201d} as mains or \
                     crosses string, or empty this box.";
        return Err(DeskError::member("/own_string", "invalid_value", words));
    }
    let listed = |field: &str, value: &str| match value {
        OWN => own.clone().ok_or_else(|| {
            let words = "Write which string of the player's own it is.";
            DeskError::member("/own_string", "missing_member", words)
        }),
        id => of_list(field, id),
    };
    let first = match mains {
        "" if crosses != OWN && for_mains => own.clone(),
        "" => None,
        value => Some(listed("mains_string_id", value)?),
    };
    if is_new && first.is_none() {
        let words =
            "Choose the string of the mains; the crosses are strung with it too unless you choose another.";
        return Err(DeskError::member("/mains_string_id", "missing_member", words));
    }
    let second = match crosses {
        "" if is_new => Crosses::AsMains,
        "" => match (&own, mains) {
            (Some(own), "") => Crosses::Are(own.clone()),
            _ => Crosses::Stay,
        },
        AS_MAINS => Crosses::AsMains,
        value => Crosses::Are(listed("crosses_string_id", value)?),
    };
    Ok((first, second))
}

fn own(form: &Filled) -> Option<StringFacts> {
    let name = form.some("own_string")?;
    Some(StringFacts {
        name: Some(name),
        ..StringFacts::default()
    })
}

fn of_list(field: &str, id: &str) -> DeskResult<StringFacts> {
    let words = "Choose a string of the list.";
    let id = id
        .parse()
        .map_err(|_fault| DeskError::member(format!("/{field}"), "unknown_reference", words))?;
    Ok(StringFacts {
        string_id: Some(id),
        ..StringFacts::default()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const A: &str = "str_01jt3k7q2m8c5v9x4b6n1d0fgh";

    fn strings(
        mains: &str,
        crosses: &str,
        own: &str,
        is_new: bool,
    ) -> Result<(Option<StringFacts>, Crosses), String> {
        let mut form = Filled::default();
        form.put("mains_string_id", mains);
        form.put("crosses_string_id", crosses);
        form.put("own_string", own);
        said(&form, is_new).map_err(|error| match error {
            DeskError::Invalid(faults) => faults[0].pointer.clone(),
            other => panic!("{other}"),
        })
    }

    fn named(name: &str) -> StringFacts {
        StringFacts {
            name: Some(name.to_owned()),
            ..StringFacts::default()
        }
    }

    #[test]
    fn a_new_spec_needs_one_string_and_strings_the_crosses_with_it() {
        let a = of_list("", A).unwrap();
        assert_eq!(strings(A, "", "", true), Ok((Some(a.clone()), Crosses::AsMains)));
        assert_eq!(
            strings("", "", "X", true),
            Ok((Some(named("X")), Crosses::AsMains))
        );
        assert_eq!(
            strings("", A, "X", true),
            Ok((Some(named("X")), Crosses::Are(a.clone())))
        );
        assert_eq!(
            strings(A, OWN, "X", true),
            Ok((Some(a), Crosses::Are(named("X"))))
        );
        assert_eq!(strings("", "", "", true), Err("/mains_string_id".to_owned()));
        assert_eq!(strings("", A, "", true), Err("/mains_string_id".to_owned()));
        assert_eq!(strings(OWN, "", "", true), Err("/own_string".to_owned()));
    }

    #[test]
    fn an_own_string_is_never_dropped_beside_one_of_the_list() {
        for (mains, crosses, is_new) in [
            (A, A, true),
            (A, "", true),
            (A, A, false),
            (A, "", false),
            ("", A, false),
        ] {
            let answer = strings(mains, crosses, "X", is_new);
            assert_eq!(
                answer,
                Err("/own_string".to_owned()),
                "{mains} {crosses} {is_new}"
            );
        }
    }

    #[test]
    fn what_a_change_does_not_name_stays() {
        assert_eq!(strings("", "", "", false), Ok((None, Crosses::Stay)));
        assert_eq!(strings("", AS_MAINS, "", false), Ok((None, Crosses::AsMains)));
        assert_eq!(
            strings("", "", "X", false),
            Ok((Some(named("X")), Crosses::Are(named("X"))))
        );
        assert_eq!(strings("", OWN, "X", false), Ok((None, Crosses::Are(named("X")))));
    }
}
