//! Query strings: every parameter is known, given once and of the right kind.
use std::future::{Ready, ready};
use std::ops::Deref;
use std::str::FromStr;

use actix_web::dev::Payload;
use actix_web::{FromRequest, HttpRequest, web};
use serde::de::value::MapDeserializer;
use serde::de::{DeserializeOwned, Error as _, IntoDeserializer, Visitor};
use serde::{Deserialize, Deserializer, forward_to_deserialize_any};

use super::shape;
use crate::api::problem::{Code, Fault, Place, Problem, Said};

/// A query string read into `T`, which must `deny_unknown_fields`.
#[derive(Debug, Clone)]
pub struct StrictQuery<T>(pub T);

impl<T> Deref for StrictQuery<T> {
    type Target = T;
    fn deref(&self) -> &T {
        &self.0
    }
}

impl<T: DeserializeOwned> FromRequest for StrictQuery<T> {
    type Error = Problem;
    type Future = Ready<Result<Self, Problem>>;
    fn from_request(request: &HttpRequest, _: &mut Payload) -> Self::Future {
        ready(read(request).map(Self))
    }
}

/// Reads the query string of `request`.
///
/// # Errors
/// 400, naming the parameter that is unknown, repeated, missing or wrong.
pub fn read<T: DeserializeOwned>(request: &HttpRequest) -> Result<T, Problem> {
    let pairs = pairs(request)?;
    for (index, (name, value)) in pairs.iter().enumerate() {
        if name.contains('\0') || value.contains('\0') {
            let said = Said::new(
                "Parameters cannot hold the character U+0000.",
                "Un paramètre ne peut pas contenir le caractère U+0000.",
            );
            return Err(wrong(Code::InvalidParameter, name, "invalid_value", said));
        }
        if pairs[..index].iter().any(|(earlier, _)| earlier == name) {
            let said = Said::new(
                format!("The parameter \"{name}\" is given twice; give it once, values separated by commas."),
                format!(
                    "Le paramètre « {name} » est donné deux fois ; une seule fois, valeurs séparées par des virgules."
                ),
            );
            return Err(wrong(Code::InvalidParameter, name, "repeated_parameter", said));
        }
    }
    let parts = MapDeserializer::<_, serde::de::value::Error>::new(
        pairs.into_iter().map(|(name, value)| (name, Part(value))),
    );
    serde_path_to_error::deserialize(parts).map_err(|error| {
        let message = error.inner().to_string();
        let named = message.split('`').nth(1).unwrap_or_default().to_owned();
        match shape::name(&message) {
            ("unknown_member", _) => {
                let said = Said::new(
                    format!("Unknown parameter \"{named}\"."),
                    format!("Paramètre inconnu « {named} »."),
                );
                wrong(Code::UnknownParameter, &named, "unknown_parameter", said)
            }
            ("missing_member", _) => {
                let said = Said::new(
                    format!("The parameter \"{named}\" is missing."),
                    format!("Le paramètre « {named} » manque."),
                );
                wrong(Code::InvalidParameter, &named, "missing_parameter", said)
            }
            (code, said) => wrong(Code::InvalidParameter, &error.path().to_string(), code, said),
        }
    })
}

/// Refuses any query string, for operations that take none.
///
/// # Errors
/// 400, naming the first parameter.
pub fn none(request: &HttpRequest) -> Result<(), Problem> {
    /// No parameter at all.
    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    struct Nothing {}
    read::<Nothing>(request).map(|Nothing {}| ())
}

fn pairs(request: &HttpRequest) -> Result<Vec<(String, String)>, Problem> {
    let decoded = web::Query::<Vec<(String, String)>>::from_query(request.query_string());
    decoded.map(web::Query::into_inner).map_err(|error| {
        Problem::new(Code::MalformedRequest).detail(
            format!("The query string cannot be read: {error}."),
            "La chaîne de requête est illisible.",
        )
    })
}

fn wrong(code: Code, name: &str, fault: &'static str, said: Said) -> Problem {
    Problem::new(code).fault(Fault::at(Place::Query(name.to_owned()), fault, said))
}

/// One value of the query string: text that may be asked for as number or yes/no.
struct Part(String);

impl<'de, E: serde::de::Error> IntoDeserializer<'de, E> for Part {
    type Deserializer = PartReader<E>;
    fn into_deserializer(self) -> PartReader<E> {
        PartReader {
            text: self.0,
            error: std::marker::PhantomData,
        }
    }
}

struct PartReader<E> {
    text: String,
    error: std::marker::PhantomData<E>,
}

impl<E: serde::de::Error> PartReader<E> {
    fn parsed<T: FromStr>(&self, what: &str) -> Result<T, E> {
        self.text
            .parse()
            // the parser says no more, and says it in words of its own
            .map_err(|_parser| E::custom(format!("\"{}\" is not {what}", self.text)))
    }
}

/// Numbers are asked for by their width; each is parsed as exactly that.
macro_rules! parse_as {
    ($($method:ident $visit:ident $what:literal)+) => {$(
        fn $method<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, E> {
            visitor.$visit(self.parsed($what)?)
        }
    )+};
}

impl<'de, E: serde::de::Error> Deserializer<'de> for PartReader<E> {
    type Error = E;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, E> {
        visitor.visit_string(self.text)
    }
    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, E> {
        visitor.visit_some(self)
    }
    fn deserialize_newtype_struct<V: Visitor<'de>>(self, _: &'static str, visitor: V) -> Result<V::Value, E> {
        visitor.visit_newtype_struct(self)
    }
    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, E> {
        visitor.visit_enum(self.text.into_deserializer())
    }
    parse_as! {
        deserialize_bool visit_bool "true or false"
        deserialize_i64 visit_i64 "a whole number"
        deserialize_u64 visit_u64 "a whole number, 0 or more"
        deserialize_u32 visit_u32 "a whole number, 0 or more"
        deserialize_u16 visit_u16 "a whole number, 0 or more"
        deserialize_f64 visit_f64 "a number"
    }
    forward_to_deserialize_any! {
        i8 i16 i32 u8 f32 char str string bytes byte_buf unit unit_struct seq tuple tuple_struct map struct
        identifier ignored_any
    }
}

/// Values separated by commas: `state=waiting,assigned`.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct CommaList<T>(pub Vec<T>);

impl<'de, T: DeserializeOwned> Deserialize<'de> for CommaList<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        text.split(',')
            .map(|item| T::deserialize(Part(item.to_owned()).into_deserializer()))
            .collect::<Result<_, serde::de::value::Error>>()
            .map(Self)
            .map_err(D::Error::custom)
    }
}

#[cfg(test)]
mod tests {
    use actix_web::test::TestRequest;

    use super::*;

    #[derive(Debug, Deserialize)]
    #[serde(rename_all = "snake_case")]
    enum State {
        Waiting,
        Assigned,
    }

    #[derive(Debug, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct Filter {
        limit: Option<u16>,
        #[serde(default)]
        count: bool,
        state: Option<CommaList<State>>,
        q: Option<String>,
    }

    fn ask(query: &str) -> Result<Filter, Problem> {
        read(
            &TestRequest::get()
                .uri(&format!("/v1/jobs?{query}"))
                .to_http_request(),
        )
    }

    #[test]
    fn known_parameters_are_read() {
        let filter = ask("limit=20&count=true&state=waiting,assigned&q=M%C3%BCller+A").unwrap();
        assert_eq!(
            (filter.limit, filter.count, filter.q.as_deref()),
            (Some(20), true, Some("Müller A"))
        );
        assert!(matches!(
            filter.state.unwrap().0[..],
            [State::Waiting, State::Assigned]
        ));
        assert!(ask("").is_ok());
    }

    #[test]
    fn what_is_wrong_is_refused_and_named() {
        let code = |query| ask(query).unwrap_err().code();
        assert_eq!(code("limt=20"), Code::UnknownParameter);
        assert_eq!(code("limit=20&limit=30"), Code::InvalidParameter);
        assert_eq!(code("limit=many"), Code::InvalidParameter);
        assert_eq!(code("limit=-1"), Code::InvalidParameter);
        assert_eq!(code("count=maybe"), Code::InvalidParameter);
        assert_eq!(code("q=a%00b"), Code::InvalidParameter);
        assert_eq!(code("state=waiting,lost"), Code::InvalidParameter);
        assert!(none(&TestRequest::get().uri("/?a=1").to_http_request()).is_err());
        assert!(none(&TestRequest::get().uri("/").to_http_request()).is_ok());
    }
}
