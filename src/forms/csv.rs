//! Tables as comma-separated values (RFC 4180), each cell with its place.
use super::place::Place;

/// One cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cell {
    /// Its text.
    pub text: String,
    /// Line and column of its first letter.
    pub place: Place,
}

/// Why a text is no table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotATable {
    /// Where.
    pub place: Place,
    /// What is wrong, and the way out.
    pub detail: &'static str,
}

/// The rows of a table; empty lines are none.
///
/// # Errors
/// [`NotATable`] for a quote that is not closed or stands inside a cell.
pub fn rows(text: &str) -> Result<Vec<Vec<Cell>>, NotATable> {
    let mut walk = Walk {
        letters: text.trim_start_matches('\u{feff}').chars().peekable(),
        line: 1,
        column: 1,
    };
    let mut rows = Vec::new();
    while walk.letters.peek().is_some() {
        let row = walk.row()?;
        if row.len() > 1 || row.iter().any(|cell| !cell.text.is_empty()) {
            rows.push(row);
        }
    }
    Ok(rows)
}

struct Walk<'a> {
    letters: std::iter::Peekable<std::str::Chars<'a>>,
    line: usize,
    column: usize,
}

impl Walk<'_> {
    fn place(&self) -> Place {
        Place {
            line: self.line,
            column: self.column,
            field: String::new(),
        }
    }

    fn next(&mut self) -> Option<char> {
        let letter = self.letters.next()?;
        if letter == '\n' {
            self.line += 1;
            self.column = 1;
        } else {
            self.column += 1;
        }
        Some(letter)
    }

    /// One row, its line end taken.
    fn row(&mut self) -> Result<Vec<Cell>, NotATable> {
        let mut row = Vec::new();
        loop {
            row.push(self.cell()?);
            match self.next() {
                Some(',') => {}
                Some('\r') if self.letters.peek() == Some(&'\n') => {
                    self.next();
                    return Ok(row);
                }
                _ => return Ok(row),
            }
        }
    }

    fn cell(&mut self) -> Result<Cell, NotATable> {
        let place = self.place();
        let mut text = String::new();
        if self.letters.peek() != Some(&'"') {
            while let Some(letter) = self
                .letters
                .peek()
                .copied()
                .filter(|letter| !",\r\n".contains(*letter))
            {
                if letter == '"' {
                    let detail =
                        "a quote inside a cell; put the whole cell in quotes and double the ones inside";
                    return Err(NotATable {
                        place: self.place(),
                        detail,
                    });
                }
                text.push(letter);
                self.next();
            }
            return Ok(Cell {
                text: text.trim().to_owned(),
                place,
            });
        }
        self.next();
        loop {
            match self.next() {
                Some('"') if self.letters.peek() == Some(&'"') => {
                    text.push('"');
                    self.next();
                }
                Some('"') => break,
                Some(letter) => text.push(letter),
                None => {
                    return Err(NotATable {
                        place,
                        detail: "a quote that is not closed",
                    });
                }
            }
        }
        match self.letters.peek() {
            None | Some(',' | '\r' | '\n') => Ok(Cell { text, place }),
            Some(_) => Err(NotATable {
                place: self.place(),
                detail: "text after a closing quote; a comma belongs here",
            }),
        }
    }
}

/// A cell as it is written: quoted where it must be, and made harmless for spreadsheets.
#[must_use]
pub fn written(text: &str) -> String {
    // a cell that begins like a formula must not run
    let harmless = if text.starts_with(['=', '+', '-', '@']) {
        format!("'{text}")
    } else {
        text.to_owned()
    };
    if harmless.contains([',', '"', '\r', '\n']) {
        format!("\"{}\"", harmless.replace('"', "\"\""))
    } else {
        harmless
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(text: &str) -> Vec<Vec<String>> {
        let rows = rows(text).unwrap();
        rows.into_iter()
            .map(|row| row.into_iter().map(|cell| cell.text).collect())
            .collect()
    }

    #[test]
    fn the_forms_of_the_standard_are_read() {
        // RFC 4180, section 2
        assert_eq!(texts("aaa,bbb\r\nzzz,yyy\r\n"), [["aaa", "bbb"], ["zzz", "yyy"]]);
        assert_eq!(
            texts("\"aaa\",\"b\r\nbb\"\nzzz,yyy"),
            [["aaa", "b\r\nbb"], ["zzz", "yyy"]]
        );
        assert_eq!(texts("\"a\"\"b\",,\n\n"), [["a\"b", "", ""]]);
    }

    #[test]
    fn a_cell_knows_its_place() {
        let rows = rows("id,name\nM1,\"x\ny\",z\nM2,q").unwrap();
        assert_eq!((rows[1][2].place.line, rows[1][2].place.column), (3, 4));
        assert_eq!(rows[2][0].place.line, 4);
    }

    #[test]
    fn what_is_no_table_is_told_with_its_place() {
        for (text, line, column) in [("a,\"b", 1, 3), ("a,b\nc\"d", 2, 2), ("\"a\"b", 1, 4)] {
            let fault = rows(text).unwrap_err();
            assert_eq!((fault.place.line, fault.place.column), (line, column), "{text}");
        }
    }

    #[test]
    fn what_is_written_is_read_back() {
        let cell = "one, \"two\"\nthree";
        assert_eq!(texts(&format!("{},x", written(cell))), [[cell, "x"]]);
        assert_eq!(written("=1+1"), "'=1+1");
    }
}
