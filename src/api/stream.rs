//! The live stream (WHATWG HTML, 9.2): the event log as server-sent events.
//!
//! The source is any stream of log events in order; where it comes from is not
//! this file's business. The answer ends when the source ends or the server
//! stops: an open stream would hold up a stop for its whole time limit.
pub mod frame;
pub mod topic;

use std::convert::Infallible;
use std::time::Duration;

use actix_web::http::header;
use actix_web::{HttpRequest, HttpResponse};
use bytes::Bytes;
use futures_util::stream::{self, Stream, StreamExt};
use tokio::sync::watch;
use tokio::time::Instant;
use tokio_stream::wrappers::IntervalStream;

pub use self::topic::{Topic, Topics};
use super::problem::{Code, Fault, Place, Problem, Said};

/// How often a silent stream shows that it lives.
pub const HEARTBEAT: Duration = Duration::from_secs(15);

/// One line of the event log, ready to be sent.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LogEvent {
    /// The log number; gap-free within a tournament.
    pub sequence: i64,
    /// What happened, such as `job.ready`.
    pub kind: String,
    /// The event as JSON, already cut to what this listener may see.
    pub data: String,
}

/// What the source hands over.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LogItem {
    Event(LogEvent),
    /// The listener asked for more than the log still holds, or fell behind: it
    /// must read the state anew and go on from `sequence`.
    Resync {
        sequence: i64,
    },
}

/// The log number after which the caller wants to go on: `Last-Event-ID`, which a
/// browser sends when it reconnects, else the parameter `after`.
///
/// # Errors
/// 400 when the header is not a log number.
pub fn resume_after(request: &HttpRequest, after: Option<i64>) -> Result<Option<i64>, Problem> {
    let Some(line) = request.headers().get("Last-Event-ID") else {
        return Ok(after);
    };
    let sequence = line
        .to_str()
        .ok()
        .and_then(|text| text.trim().parse().ok())
        .filter(|number: &i64| *number >= 0);
    sequence.map(Some).ok_or_else(|| {
        let said = Said::new(
            "Last-Event-ID is not a log number.",
            "Last-Event-ID n’est pas un numéro du journal.",
        );
        Problem::new(Code::MalformedRequest).fault(Fault::at(
            Place::Header("Last-Event-ID".to_owned()),
            "malformed_header",
            said,
        ))
    })
}

/// Answers with the stream.
pub fn answer(
    source: impl Stream<Item = LogItem> + 'static,
    topics: Topics,
    stop: watch::Receiver<bool>,
) -> HttpResponse {
    let beats =
        IntervalStream::new(tokio::time::interval_at(Instant::now() + HEARTBEAT, HEARTBEAT)).map(|_| ());
    HttpResponse::Ok()
        .content_type("text/event-stream")
        .insert_header((header::CACHE_CONTROL, "no-store"))
        // a proxy that collects the answer would hold every event back
        .insert_header(("X-Accel-Buffering", "no"))
        .streaming(frames(source, beats, topics, stop))
}

/// The frames of the answer; a beat gives a comment and a heartbeat event.
pub fn frames(
    source: impl Stream<Item = LogItem>,
    beats: impl Stream<Item = ()>,
    topics: Topics,
    mut stop: watch::Receiver<bool>,
) -> impl Stream<Item = Result<Bytes, Infallible>> {
    let listener = Listener::arrived();
    let events = source
        .filter_map(move |item| {
            std::future::ready(wanted(&topics, &item).then(|| Some(frame::of_item(&item))))
        })
        .chain(stream::once(std::future::ready(None)));
    let beats = beats.map(|()| Some(frame::heartbeat()));
    let ended = async move {
        // a closed channel means that the server is gone: end as well
        let _ = stop.wait_for(|stopping| *stopping).await;
    };
    let live = stream::select(events, beats)
        .take_while(|frame| std::future::ready(frame.is_some()))
        .filter_map(std::future::ready)
        .take_until(Box::pin(ended));
    stream::once(std::future::ready(frame::opening()))
        .chain(live)
        .map(move |text| {
            // held for as long as the stream lives
            let _ = &listener;
            Ok(Bytes::from(text))
        })
}

fn wanted(topics: &Topics, item: &LogItem) -> bool {
    match item {
        LogItem::Event(event) => topics.include(&event.kind),
        LogItem::Resync { .. } => true,
    }
}

/// Counts open streams in `weftdesk_stream_clients`.
struct Listener;

impl Listener {
    fn arrived() -> Self {
        metrics::gauge!("weftdesk_stream_clients").increment(1.0);
        Self
    }
}

impl Drop for Listener {
    fn drop(&mut self) {
        metrics::gauge!("weftdesk_stream_clients").decrement(1.0);
    }
}

#[cfg(test)]
mod tests {
    use actix_web::test::TestRequest;

    use super::*;

    fn event(sequence: i64, kind: &str) -> LogItem {
        LogItem::Event(LogEvent {
            sequence,
            kind: kind.to_owned(),
            data: format!("{{\"sequence\":{sequence}}}"),
        })
    }

    async fn collect(frames: impl Stream<Item = Result<Bytes, Infallible>>) -> String {
        let chunks: Vec<_> = frames.collect().await;
        chunks
            .into_iter()
            .map(|Ok(chunk)| String::from_utf8_lossy(&chunk).into_owned())
            .collect()
    }

    #[actix_web::test]
    async fn events_come_in_order_and_the_answer_ends_with_its_source() {
        let (_running, stop) = watch::channel(false);
        let source = stream::iter([event(7, "job.ready"), LogItem::Resync { sequence: 9 }]);
        let text = collect(frames(source, stream::pending(), Topics::all(), stop)).await;
        assert_eq!(
            text,
            "retry: 3000\n\nid: 7\nevent: job.ready\ndata: {\"sequence\":7}\n\n\
             id: 9\nevent: resync\ndata: {\"sequence\":9}\n\n"
        );
    }

    #[actix_web::test]
    async fn only_the_topics_asked_for_are_sent() {
        let (_running, stop) = watch::channel(false);
        let source = stream::iter([
            event(1, "job.ready"),
            event(2, "match.moved"),
            event(3, "station.opened"),
        ]);
        let topics = Topics::only(vec![Topic::Jobs, Topic::Stations]);
        let text = collect(frames(source, stream::pending(), topics, stop)).await;
        assert!(
            text.contains("id: 1\n") && !text.contains("id: 2\n") && text.contains("id: 3\n"),
            "{text}"
        );
    }

    #[actix_web::test]
    async fn a_silent_stream_beats_with_a_comment_and_an_event() {
        let (running, stop) = watch::channel(false);
        let beats = stream::once(std::future::ready(())).chain(stream::pending());
        let mut live = Box::pin(frames(stream::pending(), beats, Topics::all(), stop));
        let Ok(opening) = live.next().await.unwrap();
        assert_eq!(opening, "retry: 3000\n\n");
        let Ok(beat) = live.next().await.unwrap();
        assert_eq!(beat, ": beat\n\nevent: heartbeat\ndata: {}\n\n");
        running.send(true).unwrap();
        assert!(live.next().await.is_none(), "a stopping server ends its streams");
    }

    #[test]
    fn a_reconnecting_browser_goes_on_where_it_was() {
        let resume = |line: Option<&str>, after| {
            let mut request = TestRequest::get();
            if let Some(line) = line {
                request = request.insert_header(("Last-Event-ID", line));
            }
            resume_after(&request.to_http_request(), after).map_err(|problem| problem.code())
        };
        assert_eq!(resume(Some("42"), Some(7)), Ok(Some(42)));
        assert_eq!(resume(None, Some(7)), Ok(Some(7)));
        assert_eq!(resume(None, None), Ok(None));
        for line in ["x", "-1", "", "99999999999999999999"] {
            assert_eq!(resume(Some(line), None), Err(Code::MalformedRequest), "{line}");
        }
    }
}
