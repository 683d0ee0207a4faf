//! What only a real connection shows: HEAD without a body, streams that end.
use std::io::{Read, Write};
use std::net::{SocketAddr, TcpStream};

use actix_web::{App, HttpServer, web};
use futures_util::stream;
use tokio::sync::watch;
use weftdesk::api;
use weftdesk::api::request::fallback::fallback;
use weftdesk::api::stream::{LogEvent, LogItem, Topics};

/// Sends `request` and reads until the server closes.
async fn talk(address: SocketAddr, request: &'static str) -> String {
    let exchange = web::block(move || {
        let mut line = TcpStream::connect(address).expect("the server listens");
        line.write_all(request.as_bytes()).expect("the request is taken");
        let mut answer = String::new();
        line.read_to_string(&mut answer).expect("the answer is text");
        answer
    });
    exchange.await.expect("the exchange does not panic")
}

fn one_event_then_silence() -> impl futures_util::Stream<Item = LogItem> {
    use futures_util::StreamExt;
    let event = LogEvent {
        sequence: 1,
        kind: "job.ready".to_owned(),
        data: "{}".to_owned(),
    };
    stream::once(std::future::ready(LogItem::Event(event))).chain(stream::pending())
}

#[actix_web::test]
async fn head_sends_the_length_alone_and_a_stop_ends_open_streams() {
    let shared = api::Shared::build().expect("the document is plain data");
    let (stopping, stop) = watch::channel(false);
    let server = HttpServer::new(move || {
        let (shared, stop) = (shared.clone(), stop.clone());
        let listen = move || {
            let stop = stop.clone();
            async move { api::stream::answer(one_event_then_silence(), Topics::all(), stop) }
        };
        let app = App::new()
            .configure(|config| shared.configure(config))
            .route("/listen", web::get().to(listen))
            .default_service(web::to(fallback));
        api::stack::wrap(app, false)
    })
    .workers(1)
    .disable_signals()
    .bind(("127.0.0.1", 0))
    .expect("a free port");
    let address = server.addrs()[0];
    let running = server.run();
    let handle = running.handle();
    let served = actix_web::rt::spawn(running);

    let head = talk(
        address,
        "HEAD /livez HTTP/1.1\r\nHost: desk\r\nConnection: close\r\n\r\n",
    )
    .await;
    assert!(
        head.starts_with("HTTP/1.1 200") && head.ends_with("\r\n\r\n"),
        "{head}"
    );
    assert!(head.to_lowercase().contains("content-length: 15\r\n"), "{head}");
    assert!(
        head.contains("traceparent") || head.contains("Traceparent"),
        "{head}"
    );

    let listening = actix_web::rt::spawn(talk(
        address,
        "GET /listen HTTP/1.1\r\nHost: desk\r\nConnection: close\r\n\r\n",
    ));
    let missing = talk(
        address,
        "GET /nowhere HTTP/1.1\r\nHost: desk\r\nConnection: close\r\n\r\n",
    )
    .await;
    assert!(missing.contains("application/problem+json"), "{missing}");
    stopping.send(true).expect("the server holds the other end");
    let heard = listening.await.expect("the listener does not panic");
    assert!(
        heard.contains("text/event-stream") && heard.contains("retry: 3000"),
        "{heard}"
    );
    handle.stop(true).await;
    served
        .await
        .expect("the server does not panic")
        .expect("the server stops cleanly");
}
