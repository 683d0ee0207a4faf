//! Sides as text: ids joined by `+`, `W:M12`, `L:M12`, `TBD`, `BYE`.
use crate::craft::match_times::order::Entrant;

/// The longest id of a player, court or match.
pub(super) const LONGEST_ID: usize = 64;

/// Whether a text may be an id: letters, digits, `-`, `_` and `.`.
#[must_use]
pub(super) fn is_id(text: &str) -> bool {
    (1..=LONGEST_ID).contains(&text.chars().count())
        && text
            .chars()
            .all(|letter| letter.is_alphanumeric() || "-_.".contains(letter))
}

/// The entrants of a side; none when the text is no side. Nothing is to be decided.
#[must_use]
pub fn entrants(text: &str) -> Option<Vec<Entrant>> {
    if text.is_empty() {
        return Some(vec![Entrant::ToBeDecided]);
    }
    text.split('+').map(|part| entrant(part.trim())).collect()
}

fn entrant(text: &str) -> Option<Entrant> {
    let of = |id: &str| is_id(id).then(|| id.to_owned());
    match text {
        "TBD" => Some(Entrant::ToBeDecided),
        "BYE" => Some(Entrant::Bye),
        _ => match text.split_once(':') {
            Some(("W", id)) => of(id).map(Entrant::WinnerOf),
            Some(("L", id)) => of(id).map(Entrant::LoserOf),
            Some(_) => None,
            None => of(text).map(Entrant::Player),
        },
    }
}

/// A side as text.
#[must_use]
pub fn written(side: &[Entrant]) -> String {
    let parts: Vec<String> = side
        .iter()
        .map(|entrant| match entrant {
            Entrant::Player(id) => id.clone(),
            Entrant::WinnerOf(id) => format!("W:{id}"),
            Entrant::LoserOf(id) => format!("L:{id}"),
            Entrant::ToBeDecided => "TBD".to_owned(),
            Entrant::Bye => "BYE".to_owned(),
        })
        .collect();
    parts.join("+")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_side_is_read_as_it_is_written() {
        for text in ["P201+P230", "W:M12", "L:M12+P1", "TBD", "BYE", "plyr_01jx"] {
            assert_eq!(written(&entrants(text).unwrap()), text);
        }
        for text in ["X:M12", "P 1", "P1++P2", "W:", "a;b"] {
            assert_eq!(entrants(text), None, "{text}");
        }
    }
}
