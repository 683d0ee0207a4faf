//! Slots of the shelf, and which one comes next.
//!
//! Twenty slots to a board, boards lettered from A: own choice, no source.
use std::collections::BTreeSet;

/// Slots on one board of the shelf.
const ON_A_BOARD: u32 = 20;

/// The first slot that none of `taken` names, "A1" before "A2" before "B1".
#[must_use]
pub fn first_free<'a>(taken: impl Iterator<Item = &'a str>) -> String {
    let taken: BTreeSet<String> = taken.map(plain).collect();
    let boards = b'A'..=b'Z';
    let all = boards.flat_map(|board| (1..=ON_A_BOARD).map(move |number| (char::from(board), number)));
    let mut free = all.map(|(board, number)| format!("{board}{number}"));
    free.find(|slot| !taken.contains(&plain(slot)))
        .unwrap_or_default()
}

/// How two writings of one slot are compared: "a12", "A-12" and "A 12" are the same.
fn plain(slot: &str) -> String {
    let kept = slot.chars().filter(|one| one.is_alphanumeric());
    kept.flat_map(char::to_uppercase).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_gap_is_taken_however_slots_are_written() {
        assert_eq!(first_free([].into_iter()), "A1");
        assert_eq!(first_free(["a1", "A-2", "A 4"].into_iter()), "A3");
        let full: Vec<String> = (1..=20).map(|number| format!("A{number}")).collect();
        assert_eq!(first_free(full.iter().map(String::as_str)), "B1");
    }
}
