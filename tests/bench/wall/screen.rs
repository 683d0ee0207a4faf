//! A wall's screen as `live.js` is one: it hears the stream and loads its page again.
use std::io::{BufRead, BufReader, Write};
use std::net::TcpStream;
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::{Duration, Instant};

use crate::http::Connection;

/// What the wall's page listens to.
const TOPICS: &str = "jobs,rackets,stations,snags,courts,schedule";
/// The pauses of `live.js`: a second and a third look may follow soon, a fourth one later.
const SOON: Duration = Duration::from_millis(20);
const GATHER: Duration = Duration::from_millis(300);
/// A change that is not shown by then never will be.
const NEVER: Duration = Duration::from_secs(20);

pub(crate) struct Screen {
    page: Connection,
    heard: Receiver<String>,
    kinds: Vec<String>,
    looks: [Option<Instant>; 3],
    /// The wall as it was seen last, and how many kinds had been heard by then.
    seen: Option<(String, usize)>,
}

/// A job's row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Row {
    pub(crate) wanted: String,
}

impl Screen {
    pub(crate) fn open(address: &str, token: &str) -> Self {
        let mut stream = TcpStream::connect(address).expect("it listens");
        write!(
            stream,
            "GET /v1/stream?topics={TOPICS} HTTP/1.1\r\nHost: desk.example\r\nAuthorization: Bearer {token}\r\nAccept: text/event-stream\r\n\r\n"
        )
        .expect("it is sent");
        let (says, heard) = channel();
        std::thread::spawn(move || {
            for line in BufReader::new(stream).lines() {
                let Ok(line) = line else { return };
                if let Some(kind) = line.strip_prefix("event: ")
                    && kind != "heartbeat"
                    && says.send(kind.to_owned()).is_err()
                {
                    return;
                }
            }
        });
        Self {
            page: Connection::open(address, token),
            heard,
            kinds: Vec::new(),
            looks: [None; 3],
            seen: None,
        }
    }

    /// What was heard before does not count.
    pub(crate) fn forget(&mut self) {
        while self.heard.try_recv().is_ok() {}
        self.kinds.clear();
        self.looks = [None; 3];
        self.seen = None;
    }

    /// Which of these jobs has a row of its own, on which page, and that row; nothing if they stand on no page.
    pub(crate) fn find<'a>(&mut self, codes: &[&'a str]) -> Option<(&'a str, usize, Row)> {
        for page in 1..40 {
            let wall = self.look(page);
            for code in codes {
                if let Some(row) = row_of(&wall, code) {
                    return Some((code, page, row));
                }
            }
        }
        None
    }

    fn look(&mut self, page: usize) -> String {
        let (status, wall) = self.page.get(&format!("/wall?for=room&page={page}"));
        assert_eq!(status, 200, "the wall");
        String::from_utf8(wall).expect("text")
    }

    /// Looks again after every event, as the page does, until the wall shows it; milliseconds since `began`.
    pub(crate) fn until(
        &mut self,
        began: Instant,
        page: usize,
        shows: impl Fn(&str, &[String]) -> bool,
    ) -> f64 {
        if let Some((wall, heard)) = &self.seen
            && shows(wall, &self.kinds[..*heard])
        {
            return began.elapsed().as_secs_f64() * 1e3;
        }
        let mut due: Option<Instant> = None;
        loop {
            assert!(began.elapsed() < NEVER, "never shown; heard {:?}", self.kinds);
            let wait = due.map_or(NEVER, |due| due.saturating_duration_since(Instant::now()));
            match self.heard.recv_timeout(wait) {
                Ok(kind) => {
                    self.kinds.push(kind);
                    due = due.or_else(|| Some(self.next_look()));
                }
                Err(RecvTimeoutError::Timeout) => {
                    due = None;
                    self.looks = [Some(Instant::now()), self.looks[0], self.looks[1]];
                    let (wall, heard) = (self.look(page), self.kinds.len());
                    let shown = shows(&wall, &self.kinds);
                    self.seen = Some((wall, heard));
                    if shown {
                        return began.elapsed().as_secs_f64() * 1e3;
                    }
                }
                Err(RecvTimeoutError::Disconnected) => {
                    unreachable!("the stream lasts as long as the program")
                }
            }
        }
    }

    fn next_look(&self) -> Instant {
        let now = Instant::now();
        let soon = self.looks[0].map_or(now, |look| look + SOON);
        let gathered = self.looks[2].map_or(now, |look| look + GATHER);
        now.max(soon).max(gathered)
    }
}

/// The row that a job has for itself.
pub(crate) fn row_of(wall: &str, code: &str) -> Option<Row> {
    let rows = wall.split("<tr ").skip(1);
    let own = format!("<td class=\"code\">{code}</td>");
    let row = rows.into_iter().find(|row| row.contains(&own))?;
    let wanted = row.split("<td class=\"num\">").nth(1)?.split('<').next()?;
    Some(Row {
        wanted: wanted.to_owned(),
    })
}
