//! Holes as people write them: "head 7, 9; throat 8 A".
use crate::frame::{HoleRef, Side};
use crate::racket_end::RacketEnd;

/// How to write holes, for whoever asks for them.
pub const EXAMPLE: &str = "head 7, 9; throat 8 A";

/// Holes as one line, the end said once for those that follow one another.
#[must_use]
pub fn write(holes: &[HoleRef]) -> String {
    let mut line = String::new();
    let mut last_end = None;
    for hole in holes {
        if last_end == Some(hole.end) {
            line += ", ";
        } else {
            if last_end.is_some() {
                line += "; ";
            }
            line += hole.end.name();
            line.push(' ');
        }
        last_end = Some(hole.end);
        line += &hole.hole.to_string();
        if let Some(side) = hole.side {
            line.push(' ');
            line += side.letter();
        }
    }
    line
}

/// Reads a line of holes; nothing written is no hole.
///
/// # Errors
/// What cannot be read, and the way out.
pub fn read(line: &str) -> Result<Vec<HoleRef>, String> {
    let mut holes: Vec<HoleRef> = Vec::new();
    let mut end = None;
    for word in words(line) {
        match word.to_lowercase().as_str() {
            "head" => end = Some(RacketEnd::Head),
            "throat" => end = Some(RacketEnd::Throat),
            "a" | "b" => {
                let side = if word.eq_ignore_ascii_case("a") {
                    Side::A
                } else {
                    Side::B
                };
                match holes.last_mut() {
                    Some(hole) if hole.side.is_none() => hole.side = Some(side),
                    _ => {
                        return Err(format!(
                            "\"{word}\" names a side without its hole: write {EXAMPLE}."
                        ));
                    }
                }
            }
            other => {
                let hole = other
                    .parse()
                    .map_err(|_fault| format!("\"{word}\" is no hole: write {EXAMPLE}."))?;
                let end =
                    end.ok_or_else(|| format!("Say the end before {word}: head {word} or throat {word}."))?;
                let hole = HoleRef {
                    end,
                    hole,
                    side: None,
                };
                holes.push(hole);
            }
        }
    }
    for (index, hole) in holes.iter().enumerate() {
        if holes[..index].contains(hole) {
            return Err(format!("{} is written twice.", write(&[*hole])));
        }
    }
    Ok(holes)
}

/// Words and numbers apart, also where nobody wrote a blank between them ("8A").
fn words(line: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    let mut kind = ' ';
    for letter in line.chars() {
        let next = match letter {
            _ if letter.is_ascii_digit() => '0',
            ',' | ';' | '.' | '/' | '+' | '&' | ':' => ' ',
            _ if letter.is_whitespace() => ' ',
            _ => 'a',
        };
        match words.last_mut() {
            Some(word) if next == kind && next != ' ' => word.push(letter),
            _ if next != ' ' => words.push(letter.to_string()),
            _ => {}
        }
        kind = next;
    }
    words.retain(|word| !word.eq_ignore_ascii_case("and"));
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_is_read_again() {
        for line in ["", "head 7, 9; throat 8 A", "throat 11", "head 5 A, 5 B, 6"] {
            assert_eq!(write(&read(line).unwrap()), line);
        }
    }

    #[test]
    fn people_write_it_in_many_ways() {
        for line in [
            "Head 7, Head 9, Throat 8A",
            "head: 7 and 9 / throat: 8 a",
            "HEAD 7+9 THROAT 8A",
        ] {
            assert_eq!(write(&read(line).unwrap()), "head 7, 9; throat 8 A", "{line}");
        }
    }

    #[test]
    fn what_cannot_be_read_is_named_with_the_way_out() {
        for (line, word) in [
            ("7, 9", "Say the end before 7"),
            ("head seven", "\"seven\" is no hole"),
            ("head A", "a side without its hole"),
            ("head 7, 7", "head 7 is written twice"),
            ("head 70000", "\"70000\" is no hole"),
        ] {
            let said = read(line).unwrap_err();
            assert!(said.contains(word), "{line}: {said}");
        }
    }
}
