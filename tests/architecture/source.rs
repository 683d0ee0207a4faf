//! The project's files as text.
use std::fs;
use std::path::{Path, PathBuf};

/// One file of the project.
pub(crate) struct SourceFile {
    /// Relative to the project's root.
    pub(crate) path: PathBuf,
    pub(crate) text: String,
}

impl SourceFile {
    /// The lines with their numbers, without comments.
    pub(crate) fn code_lines(&self) -> impl Iterator<Item = (usize, &str)> {
        self.text
            .lines()
            .enumerate()
            .map(|(index, line)| (index + 1, line.split("//").next().unwrap_or_default()))
    }

    pub(crate) fn is_rust(&self) -> bool {
        self.path.extension().is_some_and(|extension| extension == "rs")
    }
}

/// Every text file below these paths of the project's root.
pub(crate) fn files_below(places: &[&str]) -> Vec<SourceFile> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut found = Vec::new();
    for place in places {
        collect(root, &root.join(place), &mut found);
    }
    assert!(!found.is_empty(), "no files below {places:?}");
    found
}

fn collect(root: &Path, path: &Path, found: &mut Vec<SourceFile>) {
    if path.is_dir() {
        let entries = fs::read_dir(path).expect("a readable folder");
        for entry in entries {
            collect(root, &entry.expect("a readable entry").path(), found);
        }
        return;
    }
    // pictures and fonts are no text
    if let Ok(text) = String::from_utf8(fs::read(path).expect("a readable file")) {
        let path = path.strip_prefix(root).expect("a path below the root");
        found.push(SourceFile {
            path: path.to_owned(),
            text,
        });
    }
}

/// Fails with all breaches at once.
pub(crate) fn none(what: &str, breaches: &[String]) {
    assert!(breaches.is_empty(), "{what}:\n{}", breaches.join("\n"));
}
