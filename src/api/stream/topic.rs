//! What a listener wants to hear of.
use serde::Deserialize;
use utoipa::ToSchema;

/// A part of the log: all events about one kind of thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Topic {
    Jobs,
    Rackets,
    Snags,
    Stations,
    Stringers,
    Machines,
    Recalls,
    Readings,
    Stock,
    Matches,
    Courts,
    Schedule,
    Pickups,
    Charges,
    Payments,
    Days,
    System,
}

impl Topic {
    /// The topic of an event such as `job.ready` or `weftdesk.job.ready`.
    pub fn of_kind(kind: &str) -> Option<Self> {
        let kind = kind.strip_prefix("weftdesk.").unwrap_or(kind);
        let topic = match kind.split('.').next()? {
            "job" => Self::Jobs,
            "racket" => Self::Rackets,
            "snag" => Self::Snags,
            "station" => Self::Stations,
            "stringer" => Self::Stringers,
            "machine" => Self::Machines,
            "recall" => Self::Recalls,
            "reading" => Self::Readings,
            "stock" => Self::Stock,
            "match" => Self::Matches,
            "court" => Self::Courts,
            "schedule" => Self::Schedule,
            "pickup" => Self::Pickups,
            "charge" => Self::Charges,
            "payment" => Self::Payments,
            "day" => Self::Days,
            "system" => Self::System,
            _ => return None,
        };
        Some(topic)
    }
}

/// All events, or those of some topics.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Topics(Option<Vec<Topic>>);

impl Topics {
    /// Everything.
    pub fn all() -> Self {
        Self(None)
    }

    /// These alone; what concerns the whole system is always heard.
    pub fn only(topics: Vec<Topic>) -> Self {
        Self(Some(topics))
    }

    /// Is an event of this kind wanted?
    pub fn include(&self, kind: &str) -> bool {
        let Some(wanted) = &self.0 else { return true };
        Topic::of_kind(kind).is_some_and(|topic| topic == Topic::System || wanted.contains(&topic))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kinds_belong_to_topics_with_or_without_the_prefix() {
        assert_eq!(Topic::of_kind("job.ready"), Some(Topic::Jobs));
        assert_eq!(Topic::of_kind("weftdesk.match.moved"), Some(Topic::Matches));
        assert_eq!(Topic::of_kind("unheard.of"), None);
        let courts = Topics::only(vec![Topic::Courts]);
        assert!(courts.include("court.stopped") && courts.include("system.resync"));
        assert!(!courts.include("job.ready") && !courts.include("unheard.of"));
        assert!(Topics::all().include("unheard.of"));
    }
}
