//! A reference case: what is given, what is expected, and how an answer is held against it.
use std::cell::RefCell;
use std::collections::BTreeSet;

use serde_json::{Map, Value};

use crate::answer::Answer;
use crate::tolerance::CaseTolerance;

/// Fields that only explain, ignored by name.
pub(crate) const PROSE: [&str; 11] = [
    "note",
    "encoding",
    "meaning",
    "clock",
    "minutes_from_midnight",
    "rule",
    "exact",
    "source",
    "method",
    "basis",
    "published",
];

/// One case; it remembers which inputs were read and which outputs answered.
pub(crate) struct Case {
    pub(crate) id: String,
    pub(crate) topic: String,
    inputs: Map<String, Value>,
    outputs: Map<String, Value>,
    tolerance: CaseTolerance,
    read: RefCell<BTreeSet<String>>,
    answered: RefCell<BTreeSet<String>>,
}

/// The cases of a file.
pub(crate) fn read(text: &str) -> Result<Vec<Case>, String> {
    let file: Value = serde_json::from_str(text).map_err(|why| why.to_string())?;
    let cases = file["cases"].as_array().ok_or("no list \"cases\"")?;
    if cases.is_empty() {
        return Err("the list \"cases\" is empty".to_owned());
    }
    cases.iter().map(Case::of).collect()
}

fn first<'a>(value: &'a Value, names: &[&str]) -> Result<&'a Value, String> {
    names
        .iter()
        .find_map(|name| value.get(*name))
        .ok_or_else(|| format!("a case has none of {names:?}"))
}

impl Case {
    fn of(value: &Value) -> Result<Self, String> {
        let object = |names: &[&str]| -> Result<Map<String, Value>, String> {
            first(value, names)?
                .as_object()
                .cloned()
                .ok_or_else(|| format!("{names:?} is no object"))
        };
        Ok(Self {
            id: value["id"].as_str().unwrap_or("without id").to_owned(),
            topic: first(value, &["topic", "group", "kind"])?
                .as_str()
                .ok_or("the topic is no text")?
                .to_owned(),
            inputs: object(&["inputs", "input"])?,
            outputs: object(&["outputs", "expect", "expected"])?,
            tolerance: CaseTolerance::of(value),
            read: RefCell::default(),
            answered: RefCell::default(),
        })
    }

    pub(crate) fn input(&self, name: &str) -> Result<&Value, String> {
        self.read.borrow_mut().insert(name.to_owned());
        self.inputs.get(name).ok_or_else(|| format!("no input {name}"))
    }

    pub(crate) fn has(&self, name: &str) -> bool {
        self.inputs.contains_key(name)
    }

    /// Names of the expected outputs.
    pub(crate) fn expected(&self) -> impl Iterator<Item = &String> {
        self.outputs.keys().filter(|name| !PROSE.contains(&name.as_str()))
    }

    pub(crate) fn input_names(&self) -> impl Iterator<Item = &String> {
        self.inputs.keys().filter(|name| !PROSE.contains(&name.as_str()))
    }

    pub(crate) fn f(&self, name: &str) -> Result<f64, String> {
        self.input(name)?
            .as_f64()
            .ok_or_else(|| format!("{name} is no number"))
    }

    pub(crate) fn n(&self, name: &str) -> Result<usize, String> {
        let count = self
            .input(name)?
            .as_u64()
            .ok_or_else(|| format!("{name} is no count"))?;
        usize::try_from(count).map_err(|why| why.to_string())
    }

    pub(crate) fn s(&self, name: &str) -> Result<&str, String> {
        self.input(name)?
            .as_str()
            .ok_or_else(|| format!("{name} is no text"))
    }

    pub(crate) fn list(&self, name: &str) -> Result<Vec<f64>, String> {
        let list = self
            .input(name)?
            .as_array()
            .ok_or_else(|| format!("{name} is no list"))?;
        list.iter()
            .map(|value| value.as_f64().ok_or_else(|| format!("{name} holds no number")))
            .collect()
    }

    /// Holds the answers against the expected outputs: each expected one has to be answered, and each input read.
    pub(crate) fn hold(&self, answers: Vec<(&str, Answer)>) -> Result<(), String> {
        let mut faults = Vec::new();
        for (name, answer) in answers {
            let Some(expected) = self.outputs.get(name) else {
                continue;
            };
            self.answered.borrow_mut().insert(name.to_owned());
            if let Err(why) = self.tolerance.compare(name, &answer, expected) {
                faults.push(format!("{name}: {why}"));
            }
        }
        let unread = |names: &Map<String, Value>, seen: &BTreeSet<String>| -> Vec<String> {
            names
                .keys()
                .filter(|name| !seen.contains(*name) && !PROSE.contains(&name.as_str()))
                .cloned()
                .collect()
        };
        for name in unread(&self.inputs, &self.read.borrow()) {
            faults.push(format!("unknown input {name}"));
        }
        for name in unread(&self.outputs, &self.answered.borrow()) {
            faults.push(format!("unknown output {name}"));
        }
        if faults.is_empty() {
            Ok(())
        } else {
            Err(faults.join("; "))
        }
    }
}
