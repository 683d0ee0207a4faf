//! An answer on its way to be compared: it carries no number that is not finite.
use std::collections::BTreeMap;

use serde_json::Value;

/// A value to hold against an expected one, or why there is none.
pub(crate) struct Answer(Result<Value, String>);

/// Makes an answer of a value.
pub(crate) fn answer(value: impl Into<Answer>) -> Answer {
    value.into()
}

impl Answer {
    pub(crate) const fn value(&self) -> Result<&Value, &String> {
        self.0.as_ref()
    }
}

impl From<f64> for Answer {
    fn from(number: f64) -> Self {
        // JSON would turn it into null without a word
        match serde_json::Number::from_f64(number) {
            Some(number) => Self(Ok(Value::Number(number))),
            None => Self(Err(format!("{number} is no finite number"))),
        }
    }
}

macro_rules! plain {
    ($($kind:ty),*) => {
        $(impl From<$kind> for Answer {
            fn from(value: $kind) -> Self {
                Self(Ok(Value::from(value)))
            }
        })*
    };
}
plain!(bool, u16, u32, u64, i64, usize, &str, String);

impl<T: Into<Self>> From<Option<T>> for Answer {
    fn from(value: Option<T>) -> Self {
        value.map_or(Self(Ok(Value::Null)), Into::into)
    }
}

impl<T: Into<Self>> From<Vec<T>> for Answer {
    fn from(values: Vec<T>) -> Self {
        let list: Result<Vec<Value>, String> = values.into_iter().map(|value| value.into().0).collect();
        Self(list.map(Value::Array))
    }
}

impl<T: Into<Self>> From<BTreeMap<String, T>> for Answer {
    fn from(values: BTreeMap<String, T>) -> Self {
        let members = values
            .into_iter()
            .map(|(name, value)| Ok((name, value.into().0?)));
        Self(members.collect::<Result<_, String>>().map(Value::Object))
    }
}
