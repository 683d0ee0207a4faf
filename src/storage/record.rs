//! JSON text in `record` columns, to and from the type that it holds.
use serde::Serialize;
use serde::de::DeserializeOwned;

use super::{StoreError, StoreResult};

/// The JSON text of a record.
///
/// # Errors
/// [`StoreError::Record`] where the value has no JSON form (a map with keys that are not text).
pub fn to_record<T: Serialize>(value: &T) -> StoreResult<String> {
    serde_json::to_string(value).map_err(StoreError::Record)
}

/// Reads a record back.
///
/// # Errors
/// [`StoreError::Record`] where the stored text does not fit the type.
pub fn from_record<T: DeserializeOwned>(text: &str) -> StoreResult<T> {
    serde_json::from_str(text).map_err(StoreError::Record)
}
