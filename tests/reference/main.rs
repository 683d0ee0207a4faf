//! Answers of `craft` against cases whose values come from outside the program.
//!
//! Every `*.json` in each subject's folder is read. A case that cannot be answered, an
//! unknown subject, topic, input or output is a failure; nothing is skipped.
#![expect(
    clippy::expect_used,
    reason = "a reference case that cannot be read or answered fails its test"
)]
mod answer;
mod case;
mod match_times;
mod refusals;
mod string_plan;
mod strings;
mod tolerance;
mod trade;

use std::fs;
use std::path::Path;

use case::Case;

/// Answers one case, or says why it cannot.
type Check = fn(&Case) -> Result<(), String>;

/// Which subject folder is answered by what.
const SUBJECTS: [(&str, Check); 2] = [
    ("match-times", match_times::check),
    ("string-plan", string_plan::check),
];

#[test]
fn every_reference_case_is_answered_as_its_source_says() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference");
    let mut faults = Vec::new();
    let mut answered = 0_usize;
    for folder in sorted(&root).into_iter().filter(|path| path.is_dir()) {
        let subject = folder.file_name().expect("a name").to_string_lossy().into_owned();
        let Some((_, check)) = SUBJECTS.iter().find(|(name, _)| *name == subject) else {
            faults.push(format!("{subject}: nothing answers this subject"));
            continue;
        };
        let files: Vec<_> = sorted(&folder)
            .into_iter()
            .filter(|path| path.extension().is_some_and(|end| end == "json"))
            .collect();
        if files.is_empty() {
            faults.push(format!("{subject}: no cases"));
        }
        for file in files {
            let text = fs::read_to_string(&file).expect("readable cases");
            for case in case::read(&text).unwrap_or_else(|why| panic!("{}: {why}", file.display())) {
                answered += 1;
                if let Err(why) = check(&case) {
                    faults.push(format!("{subject} {} ({}): {why}", case.id, case.topic));
                }
            }
        }
    }
    assert!(answered > 0, "no reference case was found");
    assert!(
        faults.is_empty(),
        "{} of {answered} cases:\n{}",
        faults.len(),
        faults.join("\n")
    );
}

fn sorted(folder: &Path) -> Vec<std::path::PathBuf> {
    let entries = fs::read_dir(folder).expect("a folder of reference cases");
    let mut paths: Vec<_> = entries.map(|entry| entry.expect("an entry").path()).collect();
    paths.sort();
    paths
}
