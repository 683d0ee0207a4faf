//! One wrong place in a request: where it is, what is wrong, what would be right.
use serde_json::{Map, Value, json};

use super::language::{Language, Said};

/// Where in the request a fault lies.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Place {
    /// A JSON Pointer (RFC 6901) into the body.
    Body(String),
    /// The name of a query parameter.
    Query(String),
    /// The name of a header.
    Header(String),
}

/// A wrong place, as it stands in a problem's `errors`.
#[derive(Debug, Clone, PartialEq)]
pub struct Fault {
    place: Place,
    code: &'static str,
    detail: Said,
    suggestion: Option<Value>,
}

impl Fault {
    /// A fault at `place`; `code` is stable, `detail` is for people.
    pub fn at(place: Place, code: &'static str, detail: Said) -> Self {
        Self {
            place,
            code,
            detail,
            suggestion: None,
        }
    }

    /// Adds the value the caller probably meant.
    #[must_use]
    pub fn suggest(mut self, value: Value) -> Self {
        self.suggestion = Some(value);
        self
    }

    /// The sentence about this fault.
    pub fn detail(&self) -> &Said {
        &self.detail
    }

    /// The item in the problem document.
    pub fn to_json(&self, language: Language) -> Value {
        let mut item = Map::new();
        let (kind, name) = match &self.place {
            Place::Body(pointer) => ("pointer", pointer),
            Place::Query(name) => ("parameter", name),
            Place::Header(name) => ("header", name),
        };
        item.insert(kind.to_owned(), json!(name));
        item.insert("code".to_owned(), json!(self.code));
        item.insert("detail".to_owned(), json!(self.detail.in_language(language)));
        if let Some(suggestion) = &self.suggestion {
            item.insert("suggestion".to_owned(), suggestion.clone());
        }
        Value::Object(item)
    }
}

/// Joins segments into a JSON Pointer, escaping as RFC 6901 section 3 asks.
pub fn pointer<'a>(segments: impl IntoIterator<Item = &'a str>) -> String {
    segments
        .into_iter()
        .map(|segment| format!("/{}", segment.replace('~', "~0").replace('/', "~1")))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Pointers of the example in RFC 6901 section 5.
    #[test]
    fn pointers_escape_as_the_standard_says() {
        assert_eq!(pointer(["a/b"]), "/a~1b");
        assert_eq!(pointer(["m~n"]), "/m~0n");
        assert_eq!(pointer(["foo", "0"]), "/foo/0");
        assert_eq!(pointer([]), "");
        assert_eq!(pointer([""]), "/");
    }
}
