//! Reads a file of a computing command, and says by field and line what is wrong with it.
use std::io::Read;
use std::path::Path;

use serde::de::DeserializeOwned;

use crate::cli::Failure;
use crate::forms::json_place::line_of;

/// An input may have at most this many bytes.
const LARGEST: u64 = 16 * 1024 * 1024;

/// A file as given, with the name to tell it by.
#[derive(Debug)]
pub struct InputFile {
    /// The path, or "standard input".
    pub name: String,
    /// Its text.
    pub text: String,
}

/// Reads `path`, or standard input for `-`.
///
/// # Errors
/// [`Failure::CouldNotRun`] when it cannot be read, [`Failure::Refused`] when it is not text or too large.
pub fn read(path: &Path) -> Result<InputFile, Failure> {
    let standard_input = path.as_os_str() == "-";
    let name = if standard_input {
        "standard input".to_owned()
    } else {
        path.display().to_string()
    };
    let could_not = |error: std::io::Error| Failure::CouldNotRun(format!("{name}: {error}"));
    let mut bytes = Vec::new();
    if standard_input {
        std::io::stdin()
            .take(LARGEST + 1)
            .read_to_end(&mut bytes)
            .map_err(could_not)?;
    } else {
        std::fs::File::open(path)
            .map_err(could_not)?
            .take(LARGEST + 1)
            .read_to_end(&mut bytes)
            .map_err(could_not)?;
    }
    if bytes.len() as u64 > LARGEST {
        return Err(Failure::Refused(vec![format!(
            "{name}: is larger than {LARGEST} bytes"
        )]));
    }
    match String::from_utf8(bytes) {
        Ok(text) => Ok(InputFile { name, text }),
        Err(fault) => Err(Failure::Refused(vec![format!(
            "{name}: byte {} is not UTF-8; save the file as UTF-8",
            fault.utf8_error().valid_up_to() + 1
        )])),
    }
}

impl InputFile {
    /// Reads the text as JSON of one shape.
    ///
    /// # Errors
    /// [`Failure::Refused`] with field, line and column.
    pub fn json<T: DeserializeOwned>(&self) -> Result<T, Failure> {
        let mut reader = serde_json::Deserializer::from_str(&self.text);
        let parsed = serde_path_to_error::deserialize(&mut reader).map_err(|fault| {
            let field = fault.path().to_string();
            let field = if field == "." {
                String::new()
            } else {
                format!(" {field}:")
            };
            let cause = fault.inner();
            let told = cause.to_string();
            // serde_json repeats the place at the end; it stands in front already
            let what = told
                .rsplit_once(" at line ")
                .map_or(told.as_str(), |(what, _)| what);
            Failure::Refused(vec![format!(
                "{}:{}:{}:{field} {what}",
                self.name,
                cause.line(),
                cause.column()
            )])
        })?;
        reader.end().map_err(|fault| {
            Failure::Refused(vec![format!(
                "{}:{}:{}: something follows the JSON document; give one document",
                self.name,
                fault.line(),
                fault.column()
            )])
        })?;
        Ok(parsed)
    }

    /// A fault at a JSON Pointer, told by field and line.
    #[must_use]
    pub fn fault_at(&self, pointer: &str, detail: &str) -> String {
        let line = line_of(&self.text, pointer);
        let field = pointer.trim_start_matches('/').replace('/', ".");
        format!("{}:{line}: {field}: {detail}", self.name)
    }
}
