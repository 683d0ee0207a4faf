//! One event as everybody outside sees it: a structured `CloudEvents` 1.0 document
//! (`id`, `source`, `specversion`, `type` are its required members), thin.
use chrono::SecondsFormat;
use serde_json::{Value, json};

use crate::desk::log::LogEntry;

/// The event's document. The same from the stream and from the pull feed.
#[must_use]
pub fn of(entry: &LogEntry, tournament: &str) -> Value {
    let time = entry.at.to_rfc3339_opts(SecondsFormat::Millis, true);
    let mut document = json!({
        "specversion": "1.0",
        "id": entry.id,
        "source": format!("/t/{tournament}"),
        "type": format!("weftdesk.{}", entry.kind),
        "subject": entry.subject,
        "time": time,
        "timestamp": time,
        "sequence": entry.sequence,
        "datacontenttype": "application/json",
        "data": entry.data,
    });
    // an extension, so lower case without separators: when the device says it was tapped
    if let Some(at) = entry.device_at {
        document["devicetime"] = json!(at.to_rfc3339_opts(SecondsFormat::Millis, true));
    }
    document
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_event_has_what_cloudevents_requires() {
        let entry = LogEntry {
            sequence: 7,
            id: "evt_1".to_owned(),
            kind: "job.ready".to_owned(),
            subject: "job_1".to_owned(),
            at: chrono::DateTime::UNIX_EPOCH,
            device_at: Some(chrono::DateTime::UNIX_EPOCH),
            account_id: Some("acct_1".to_owned()),
            device_id: None,
            data: json!({"state": "ready"}),
        };
        let document = of(&entry, "tour_1");
        for member in ["id", "source", "specversion", "type"] {
            assert!(document[member].is_string(), "{member}");
        }
        assert_eq!(document["time"], "1970-01-01T00:00:00.000Z");
        assert_eq!(document["devicetime"], document["time"]);
        assert_eq!(document["sequence"], 7);
    }
}
