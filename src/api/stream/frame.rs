//! How an event is written on the wire.
use super::{LogEvent, LogItem};

/// The first words: how long a browser waits before it reconnects.
pub fn opening() -> String {
    "retry: 3000\n\n".to_owned()
}

/// A comment, so that proxies keep the line, and an event, so that a client's
/// script can tell a quiet stream from a dead one. It has no id: it is not in the log.
pub fn heartbeat() -> String {
    ": beat\n\nevent: heartbeat\ndata: {}\n\n".to_owned()
}

/// One item of the log.
pub fn of_item(item: &LogItem) -> String {
    match item {
        LogItem::Event(event) => of_event(event),
        LogItem::Resync { sequence } => {
            format!("id: {sequence}\nevent: resync\ndata: {{\"sequence\":{sequence}}}\n\n")
        }
    }
}

fn of_event(event: &LogEvent) -> String {
    let mut text = format!("id: {}\nevent: {}\n", event.sequence, event.kind);
    // a line break inside the data would end the event early
    for line in event.data.split(['\n', '\r']) {
        text.push_str("data: ");
        text.push_str(line);
        text.push('\n');
    }
    text.push('\n');
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn data_of_several_lines_stays_one_event() {
        let event = LogEvent {
            sequence: 3,
            kind: "job.ready".to_owned(),
            data: "{\n}".to_owned(),
        };
        assert_eq!(of_event(&event), "id: 3\nevent: job.ready\ndata: {\ndata: }\n\n");
    }
}
