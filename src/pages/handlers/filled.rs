//! What somebody filled in: the fields of a form or of an address, each perhaps several times.
use serde::Deserialize;

use crate::desk::sign_in::token_hash;

/// Names and values in their order.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(transparent)]
pub struct Filled(pub Vec<(String, String)>);

impl Filled {
    /// The last value of a field without outer spaces; empty when it is not there.
    pub fn get(&self, name: &str) -> &str {
        let mut values = self.0.iter().rev().filter(|(field, _)| field == name);
        values.next().map_or("", |(_, value)| value.trim())
    }

    /// The value of a field, if it is filled in.
    pub fn some(&self, name: &str) -> Option<String> {
        let value = self.get(name);
        (!value.is_empty()).then(|| value.to_owned())
    }

    /// Every value of a repeated field.
    pub fn all<'a>(&'a self, name: &'a str) -> impl Iterator<Item = &'a str> {
        let fields = self.0.iter().filter(move |(field, _)| field == name);
        fields
            .map(|(_, value)| value.trim())
            .filter(|value| !value.is_empty())
    }

    /// Whether the field came along, filled in or not.
    pub fn has_field(&self, name: &str) -> bool {
        self.0.iter().any(|(field, _)| field == name)
    }

    pub fn has(&self, name: &str, value: &str) -> bool {
        self.all(name).any(|one| one == value)
    }

    /// Adds a field.
    pub fn put(&mut self, name: impl Into<String>, value: impl Into<String>) {
        self.0.push((name.into(), value.into()));
    }

    /// What tells this form from another sent with the same key.
    ///
    /// It is kept beside the answer, and a plain hash of a text with a PIN in it could be guessed from: secrets are no
    /// part of it.
    pub fn fingerprint(&self) -> String {
        let mut text = String::new();
        for (name, value) in self
            .0
            .iter()
            .filter(|(name, _)| name != "once" && !is_secret(name))
        {
            text.push_str(&format!("{}:{name}={}:{value};", name.len(), value.len()));
        }
        token_hash(&text)
    }
}

/// Whether a field is a password or a PIN, its own or that of one of several people.
fn is_secret(name: &str) -> bool {
    let last = name.rsplit('_').next();
    matches!(last, Some("password" | "pin"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_key_is_no_part_of_what_was_said() {
        let mut one = Filled::default();
        one.put("once", "a");
        one.put("name", "Example");
        let mut other = Filled::default();
        other.put("name", "Example");
        assert_eq!(one.fingerprint(), other.fingerprint());
        other.put("name", "");
        assert_ne!(one.fingerprint(), other.fingerprint());
    }

    #[test]
    fn no_secret_is_kept_in_a_fingerprint() {
        let with = |name: &str, value: &str| {
            let mut form = Filled::default();
            form.put("name", "Example");
            form.put(name, value);
            form.fingerprint()
        };
        for secret in ["pin", "password", "account_pin", "acct_1_password"] {
            assert_eq!(with(secret, "4711"), with(secret, "1174"), "{secret}");
        }
        assert_ne!(with("pinned", "a"), with("pinned", "b"));
    }

    #[test]
    fn repeated_fields_are_all_there_and_the_last_one_counts() {
        let mut form = Filled::default();
        form.put("job_id", "a");
        form.put("job_id", " b ");
        assert_eq!(form.all("job_id").collect::<Vec<_>>(), ["a", "b"]);
        assert_eq!(form.get("job_id"), "b");
        assert_eq!(form.some("other"), None);
    }
}
