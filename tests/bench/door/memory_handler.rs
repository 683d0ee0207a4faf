//! The board's baseline: a handler that answers with the same bytes from memory, and does nothing else.
use actix_web::web::{self, Bytes};
use actix_web::{App, HttpResponse, HttpServer};

/// The argument by which this program becomes the handler.
pub(crate) const CALLED: &str = "serve-these-bytes";
/// As many as `serve` has.
const WORKERS: usize = 2;

/// Serves the file's bytes at every path until it is killed.
pub(crate) fn serve(file: &str) {
    let bytes = Bytes::from(std::fs::read(file).expect("the file"));
    actix_web::rt::System::new().block_on(async move {
        let server = HttpServer::new(move || {
            let bytes = bytes.clone();
            App::new().default_service(web::to(move || {
                let body = bytes.clone();
                async move {
                    HttpResponse::Ok()
                        .content_type("text/html; charset=utf-8")
                        .body(body)
                }
            }))
        });
        let server = server.workers(WORKERS).bind("127.0.0.1:0").expect("a free port");
        println!("serves on http://{}", server.addrs()[0]);
        server.run().await.expect("it serves");
    });
}
