//! A client with one connection that stays open.
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;

pub(crate) struct Connection {
    stream: BufReader<TcpStream>,
    token: String,
}

impl Connection {
    pub(crate) fn open(address: &str, token: &str) -> Self {
        let stream = TcpStream::connect(address).expect("it listens");
        stream.set_nodelay(true).expect("a socket");
        Self {
            stream: BufReader::new(stream),
            token: token.to_owned(),
        }
    }

    pub(crate) fn get(&mut self, path: &str) -> (u16, Vec<u8>) {
        let request = format!(
            "GET {path} HTTP/1.1\r\nHost: desk.example\r\nAuthorization: Bearer {}\r\n\r\n",
            self.token
        );
        self.ask(&request)
    }

    pub(crate) fn post(&mut self, path: &str, key: &str, body: &str) -> (u16, Vec<u8>) {
        let request = format!(
            "POST {path} HTTP/1.1\r\nHost: desk.example\r\nAuthorization: Bearer {}\r\n\
             Content-Type: application/json\r\nIdempotency-Key: \"{key}\"\r\nContent-Length: {}\r\n\r\n{body}",
            self.token,
            body.len()
        );
        self.ask(&request)
    }

    fn ask(&mut self, request: &str) -> (u16, Vec<u8>) {
        self.stream
            .get_mut()
            .write_all(request.as_bytes())
            .expect("it is sent");
        let (mut status, mut length) = (None, None);
        loop {
            let mut line = String::new();
            self.stream.read_line(&mut line).expect("a line of the head");
            let line = line.trim_end();
            if line.is_empty() {
                break;
            }
            if status.is_none() {
                status = line.split(' ').nth(1).and_then(|code| code.parse().ok());
            } else if let Some(value) = line.to_ascii_lowercase().strip_prefix("content-length:") {
                length = value.trim().parse().ok();
            }
        }
        let mut body = vec![0; length.expect("a length")];
        self.stream.read_exact(&mut body).expect("the body");
        (status.expect("a status"), body)
    }
}
