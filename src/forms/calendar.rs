//! iCalendar (RFC 5545) as lines: folding, properties, parameters, escapes.
use super::place::Place;

/// One property of a component.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Property {
    /// Its name in capitals.
    pub name: String,
    /// Its parameters, names in capitals.
    pub parameters: Vec<(String, String)>,
    /// Its value, escapes as they stand.
    pub value: String,
    /// Its first line.
    pub place: Place,
}

/// One component with what is inside.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Component {
    /// Its name in capitals.
    pub name: String,
    /// Its properties.
    pub properties: Vec<Property>,
    /// Components inside it.
    pub inside: Vec<Component>,
    /// Its first line.
    pub place: Place,
}

/// Why a text is no calendar.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotACalendar {
    /// Where.
    pub place: Place,
    /// What is wrong.
    pub detail: String,
}

/// Content lines hold at most so many bytes (section 3.1).
const FOLD: usize = 75;

impl Component {
    /// The first property of this name.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<&Property> {
        self.properties.iter().find(|property| property.name == name)
    }
}

impl Property {
    /// The value of a parameter.
    #[must_use]
    pub fn parameter(&self, name: &str) -> Option<&str> {
        self.parameters
            .iter()
            .find(|(known, _)| known == name)
            .map(|(_, value)| value.as_str())
    }

    /// The value as text, escapes resolved.
    #[must_use]
    pub fn text(&self) -> String {
        let mut text = String::new();
        let mut letters = self.value.chars();
        while let Some(letter) = letters.next() {
            match letter {
                '\\' => match letters.next() {
                    Some('n' | 'N') => text.push('\n'),
                    Some(escaped) => text.push(escaped),
                    None => {}
                },
                letter => text.push(letter),
            }
        }
        text
    }
}

/// The calendar in a text.
///
/// # Errors
/// [`NotACalendar`] for lines that are no properties, and components that do not close.
pub fn calendar(text: &str) -> Result<Component, NotACalendar> {
    let mut open: Vec<Component> = Vec::new();
    for (line, content) in unfolded(text) {
        let place = Place {
            line,
            column: 1,
            field: String::new(),
        };
        let property = property(&content, place.clone())?;
        match property.name.as_str() {
            "BEGIN" => open.push(Component {
                name: property.value.to_uppercase(),
                place,
                ..Component::default()
            }),
            "END" => {
                let name = property.value.to_uppercase();
                let Some(closed) = open.pop().filter(|component| component.name == name) else {
                    return Err(NotACalendar {
                        place,
                        detail: format!("END:{name} closes nothing that is open"),
                    });
                };
                match open.last_mut() {
                    Some(outer) => outer.inside.push(closed),
                    None if closed.name == "VCALENDAR" => return Ok(closed),
                    None => break,
                }
            }
            _ => match open.last_mut() {
                Some(component) => component.properties.push(property),
                None => break,
            },
        }
    }
    let line = text.lines().count().max(1);
    let detail = "no whole BEGIN:VCALENDAR … END:VCALENDAR".to_owned();
    Err(NotACalendar {
        place: Place {
            line,
            column: 1,
            field: String::new(),
        },
        detail,
    })
}

/// Content lines with the number of their first line.
fn unfolded(text: &str) -> Vec<(usize, String)> {
    let mut lines: Vec<(usize, String)> = Vec::new();
    for (index, line) in text.lines().enumerate() {
        let line = line.strip_suffix('\r').unwrap_or(line);
        match (line.strip_prefix([' ', '\t']), lines.last_mut()) {
            (Some(rest), Some((_, content))) => content.push_str(rest),
            _ if line.is_empty() => {}
            _ => lines.push((index + 1, line.to_owned())),
        }
    }
    lines
}

fn property(content: &str, mut place: Place) -> Result<Property, NotACalendar> {
    let mut quoted = false;
    let colon = content.char_indices().find_map(|(at, letter)| {
        if letter == '"' {
            quoted = !quoted;
        }
        (letter == ':' && !quoted).then_some(at)
    });
    let Some(colon) = colon else {
        return Err(NotACalendar {
            place,
            detail: "a line without `:`; a property is NAME:value".to_owned(),
        });
    };
    let mut head = content[..colon].split(';');
    let name = head.next().unwrap_or_default().to_uppercase();
    let parameters = head.filter_map(|parameter| {
        let (name, value) = parameter.split_once('=')?;
        Some((name.to_uppercase(), value.trim_matches('"').to_owned()))
    });
    place.field.clone_from(&name);
    Ok(Property {
        parameters: parameters.collect(),
        name,
        value: content[colon + 1..].to_owned(),
        place,
    })
}

/// A text with the letters that mean something escaped.
#[must_use]
pub fn escaped(text: &str) -> String {
    text.replace('\\', "\\\\")
        .replace(';', "\\;")
        .replace(',', "\\,")
        .replace('\n', "\\n")
        .replace('\r', "")
}

/// Writes content lines: folded at 75 bytes, ended by CR LF.
#[must_use]
pub fn written(lines: &[String]) -> String {
    let mut text = String::new();
    for line in lines {
        let mut width = 0;
        for letter in line.chars() {
            if width + letter.len_utf8() > FOLD {
                text.push_str("\r\n ");
                width = 1;
            }
            text.push(letter);
            width += letter.len_utf8();
        }
        text.push_str("\r\n");
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_folded_line_is_one_property() {
        // the example of RFC 5545, section 3.1
        let text = "BEGIN:VCALENDAR\r\nDESCRIPTION:This is a lo\r\n ng description\r\n  that exists on a long line.\r\nEND:VCALENDAR\r\n";
        let calendar = calendar(text).unwrap();
        assert_eq!(
            calendar.get("DESCRIPTION").unwrap().text(),
            "This is a long description that exists on a long line."
        );
    }

    #[test]
    fn what_is_written_is_read_back_and_no_line_is_longer_than_75_bytes() {
        let said = "Ünglaublich, sehr; lang\\ und\nnoch mehr davon, damit die Zeile gefaltet werden muß, zweimal sogar";
        let lines = [
            "BEGIN:VCALENDAR".to_owned(),
            format!("SUMMARY:{}", escaped(said)),
            "END:VCALENDAR".to_owned(),
        ];
        let text = written(&lines);
        assert!(text.split("\r\n").all(|line| line.len() <= 75), "{text}");
        assert_eq!(calendar(&text).unwrap().get("SUMMARY").unwrap().text(), said);
    }

    #[test]
    fn what_does_not_close_is_refused_with_its_line() {
        assert_eq!(
            calendar("BEGIN:VCALENDAR\nBEGIN:VEVENT\nEND:VCALENDAR")
                .unwrap_err()
                .place
                .line,
            3
        );
        assert_eq!(calendar("BEGIN:VCALENDAR\nnonsense").unwrap_err().place.line, 2);
        assert!(calendar("").is_err());
    }

    #[test]
    fn parameters_may_be_quoted() {
        let property = property("DTSTART;TZID=\"Europe/Paris\":20260502T130000", Place::default()).unwrap();
        assert_eq!(property.parameter("TZID"), Some("Europe/Paris"));
    }
}
