//! Faults of a text, each with its place.
use std::fmt;

use crate::craft::match_times::order_faults::{Refusal, Remark};

/// Where something stands.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Place {
    /// Line, 1 and up.
    pub line: usize,
    /// Column in letters, 1 and up.
    pub column: usize,
    /// A JSON Pointer, the name of a column, or that of a property.
    pub field: String,
}

/// One fault.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FormFault {
    /// Why the text is refused.
    pub refusal: Refusal,
    /// Where.
    pub place: Place,
    /// What is wrong, and the way out.
    pub detail: String,
}

/// One remark about a text that is accepted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FormRemark {
    /// What is remarked.
    pub remark: Remark,
    /// Where.
    pub place: Place,
    /// In words.
    pub detail: String,
}

impl Place {
    /// A place of a JSON text, whose line is found later.
    #[must_use]
    pub fn pointer(pointer: &str) -> Self {
        Self {
            field: pointer.to_owned(),
            ..Self::default()
        }
    }

    /// Fills line and column of a JSON Pointer.
    pub fn find_in(&mut self, text: &str) {
        if self.line == 0 {
            (self.line, self.column) = super::json_place::place_of(text, &self.field);
        }
    }
}

impl fmt::Display for Place {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}:{}:", self.line.max(1), self.column.max(1))?;
        let field = self.field.trim_start_matches('/').replace('/', ".");
        if field.is_empty() {
            Ok(())
        } else {
            write!(out, " {field}:")
        }
    }
}

impl fmt::Display for FormFault {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{} {} ({})", self.place, self.detail, self.refusal)
    }
}

impl fmt::Display for FormRemark {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{} {} ({})", self.place, self.detail, self.remark)
    }
}
