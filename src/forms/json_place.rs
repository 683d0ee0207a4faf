//! Where in a JSON text a member stands.

/// The line of the member that JSON Pointer `pointer` names, 1 and up.
#[must_use]
pub fn line_of(text: &str, pointer: &str) -> usize {
    place_of(text, pointer).0
}

/// Line and column of the member that JSON Pointer `pointer` names, 1 and up; columns count letters.
///
/// Where the text does not have it, those of the nearest member above it.
/// The text is taken to be valid JSON; anything else gives a place, never a fault.
#[must_use]
pub fn place_of(text: &str, pointer: &str) -> (usize, usize) {
    let mut walk = Walk {
        bytes: text.as_bytes(),
        at: 0,
    };
    walk.blanks();
    let mut found = walk.at;
    for step in pointer.split('/').skip(1) {
        let name = step.replace("~1", "/").replace("~0", "~");
        let Some(place) = walk.enter(&name) else { break };
        found = place;
    }
    let before = &text.as_bytes()[..found.min(text.len())];
    let line = 1 + before.iter().filter(|byte| **byte == b'\n').count();
    let start = before
        .iter()
        .rposition(|byte| *byte == b'\n')
        .map_or(0, |end| end + 1);
    // every letter of UTF-8 has one byte that does not continue another
    let column = 1 + before[start..]
        .iter()
        .filter(|byte| **byte & 0xc0 != 0x80)
        .count();
    (line, column)
}

struct Walk<'a> {
    bytes: &'a [u8],
    at: usize,
}

impl Walk<'_> {
    fn peek(&self) -> Option<u8> {
        self.bytes.get(self.at).copied()
    }

    fn blanks(&mut self) {
        while self.peek().is_some_and(|byte| byte.is_ascii_whitespace()) {
            self.at += 1;
        }
    }

    /// Moves to the value of `name` in the object or array here; gives where the member starts.
    fn enter(&mut self, name: &str) -> Option<usize> {
        let keyed = self.peek()? == b'{';
        if !keyed && self.peek()? != b'[' {
            return None;
        }
        self.at += 1;
        let mut index = 0_usize;
        loop {
            self.blanks();
            if matches!(self.peek()?, b'}' | b']') {
                return None;
            }
            let start = self.at;
            let matches = if keyed {
                let key = self.string()?;
                self.blanks();
                self.at += 1; // the colon
                self.blanks();
                key == name
            } else {
                name.parse() == Ok(index)
            };
            if matches {
                return Some(start);
            }
            self.skip_value();
            self.blanks();
            if self.peek()? == b',' {
                self.at += 1;
            }
            index += 1;
        }
    }

    /// A string's text without resolving escapes: names of ours have none.
    fn string(&mut self) -> Option<String> {
        self.at += 1;
        let start = self.at;
        while self.peek()? != b'"' {
            self.at += if self.peek()? == b'\\' { 2 } else { 1 };
        }
        let text = String::from_utf8_lossy(self.bytes.get(start..self.at)?).into_owned();
        self.at += 1;
        Some(text)
    }

    /// Passes one value, however deep.
    fn skip_value(&mut self) {
        let mut depth = 0_usize;
        while let Some(byte) = self.peek() {
            match byte {
                b'"' => {
                    if self.string().is_none() {
                        return;
                    }
                    if depth == 0 {
                        return;
                    }
                    continue;
                }
                b'{' | b'[' => depth += 1,
                b'}' | b']' if depth == 0 => return,
                b'}' | b']' => {
                    depth -= 1;
                    if depth == 0 {
                        self.at += 1;
                        return;
                    }
                }
                b',' if depth == 0 => return,
                _ => {}
            }
            self.at += 1;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{line_of, place_of};

    const TEXT: &str =
        "{\n \"a\": {\"x\": [1,\n 2], \"s\": \"}{,\"},\n \"b\": [\n  {\"c\": 1},\n  {\"c\":\n 2}\n ]\n}";

    #[test]
    fn a_member_is_found_on_its_line() {
        assert_eq!(line_of(TEXT, ""), 1);
        assert_eq!(line_of(TEXT, "/a"), 2);
        assert_eq!(line_of(TEXT, "/a/x/1"), 3);
        assert_eq!(line_of(TEXT, "/b/1/c"), 6);
    }

    #[test]
    fn a_column_counts_letters() {
        assert_eq!(place_of("{\n \"é\": 1, \"b\": 2}", "/b"), (2, 10));
    }

    #[test]
    fn a_missing_member_gives_the_nearest_above() {
        assert_eq!(line_of(TEXT, "/b/0/zzz"), 5);
        assert_eq!(line_of("", "/b/0"), 1);
        assert_eq!(line_of("{\"a", "/b/0"), 1);
    }
}
