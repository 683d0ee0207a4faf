//! Words that must not stand in the project. Built from parts, so that this file does not hold them.
use crate::source::{files_below, none};

const PLACES: &[&str] = &[
    ".ci",
    "api",
    "deploy",
    "migrations",
    "src",
    "tests",
    ".clippy.toml",
    "Cargo.toml",
    "DEVELOPERS.md",
    "README.md",
];

/// File names that say nothing about what is inside.
const EMPTY_NAMES: &[&str] = &["utils", "helpers", "common", "manager", "service", "types"];

fn found(words: &[String]) -> Vec<String> {
    let mut found = Vec::new();
    for file in files_below(PLACES) {
        for (index, line) in file.text.lines().enumerate() {
            let hits = words.iter().filter(|word| line.contains(word.as_str()));
            found.extend(hits.map(|word| format!("{}:{}: `{word}`", file.path.display(), index + 1)));
        }
    }
    found
}

#[test]
fn no_path_of_somebodys_machine_stands_in_the_project() {
    let folders = ["work", "farm", "home", "root", "Users"].map(|folder| format!("/{folder}/"));
    none("machine paths", &found(&folders));
}

#[test]
fn no_test_is_switched_off() {
    let words = [["#[", "ignore"].concat(), ["should_", "panic"].concat()];
    none("tests that do not run, or pass by failing", &found(&words));
}

#[test]
fn no_file_has_a_name_that_says_nothing() {
    let files = files_below(&["src", "tests"]);
    let empty = files.iter().filter(|file| {
        let stem = file.path.file_stem().and_then(|stem| stem.to_str());
        stem.is_some_and(|stem| EMPTY_NAMES.contains(&stem))
    });
    let found: Vec<_> = empty.map(|file| file.path.display().to_string()).collect();
    none("name these after what they hold", &found);
}
