//! A moment in UTC, cut to the millisecond so that both databases keep it alike.
use chrono::{DateTime, NaiveDateTime, Utc};
use diesel::backend::Backend;
use diesel::deserialize::{self, FromSql, FromSqlRow};
use diesel::expression::AsExpression;
use diesel::serialize::{self, Output, ToSql};
use diesel::sql_types::Timestamp;

/// A stored moment. Instants are cut at the door to what is stored and shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, AsExpression, FromSqlRow)]
#[diesel(sql_type = Timestamp)]
pub struct At(NaiveDateTime);

impl At {
    /// The moment with its zone.
    #[must_use]
    pub fn utc(self) -> DateTime<Utc> {
        self.0.and_utc()
    }
}

impl From<DateTime<Utc>> for At {
    fn from(moment: DateTime<Utc>) -> Self {
        let cut = DateTime::from_timestamp_millis(moment.timestamp_millis()).unwrap_or(moment);
        Self(cut.naive_utc())
    }
}

impl From<At> for DateTime<Utc> {
    fn from(at: At) -> Self {
        at.utc()
    }
}

impl<DB: Backend> ToSql<Timestamp, DB> for At
where
    NaiveDateTime: ToSql<Timestamp, DB>,
{
    fn to_sql<'b>(&'b self, out: &mut Output<'b, '_, DB>) -> serialize::Result {
        self.0.to_sql(out)
    }
}

impl<DB: Backend> FromSql<Timestamp, DB> for At
where
    NaiveDateTime: FromSql<Timestamp, DB>,
{
    fn from_sql(raw: DB::RawValue<'_>) -> deserialize::Result<Self> {
        NaiveDateTime::from_sql(raw).map(At)
    }
}
