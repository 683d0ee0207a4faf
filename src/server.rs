//! Composition: the only file that knows every room.
use std::io;
use std::path::Path;
use std::sync::Arc;

use actix_web::body::MessageBody;
use actix_web::dev::{ServerHandle, ServiceFactory, ServiceRequest, ServiceResponse};
use actix_web::http::header;
use actix_web::web::{self, Data};
use actix_web::{App, Error, HttpRequest, HttpResponse, HttpServer};
use tokio::sync::watch;

mod paper_kit;
mod planner;
pub mod upkeep;

use crate::access::{Access, key_file};
use crate::api::request::fallback::fallback;
use crate::config::{Config, TlsFiles};
use crate::desk::Desk;
use crate::live::stopping::Stopping;
use crate::{access, api, live, pages};

/// How long a stop waits for requests under way.
const STOP_WITHIN_S: u64 = 5;

/// What every worker's application is made of: built once, cloned into each.
#[derive(Clone)]
pub struct Composition {
    desk: Data<Desk>,
    access: Data<Access>,
    shared: api::Shared,
    stopping: watch::Receiver<bool>,
    secure: bool,
}

impl Composition {
    /// Puts the rooms together; `secure` when browsers come by https.
    ///
    /// # Errors
    /// Never in practice: the API document is plain data.
    pub fn new(
        desk: &Desk,
        access: Data<Access>,
        stopping: watch::Receiver<bool>,
        secure: bool,
    ) -> io::Result<Self> {
        Ok(Self {
            desk: Data::new(desk.clone()),
            access,
            shared: api::Shared::build().map_err(io::Error::other)?,
            stopping,
            secure,
        })
    }

    /// One worker's application, doors and layers included.
    pub fn application(
        self,
    ) -> App<
        impl ServiceFactory<
            ServiceRequest,
            Config = (),
            Response = ServiceResponse<impl MessageBody>,
            Error = Error,
            InitError = (),
        >,
    > {
        let app = App::new()
            .app_data(self.desk.clone())
            .app_data(self.access.clone())
            .app_data(Data::new(Stopping(self.stopping.clone())))
            .configure(|routes| self.shared.configure(routes))
            .configure(pages::configure)
            .default_service(web::to(nowhere));
        api::stack::wrap(app, self.secure)
    }
}

/// An address nobody serves: people get a page, programs a problem.
async fn nowhere(request: HttpRequest) -> Result<HttpResponse, Error> {
    let accepts = request.headers().get(header::ACCEPT);
    let by_person = accepts.is_some_and(|line| line.as_bytes().starts_with(b"text/html"));
    if by_person && request.method().is_safe() && !request.path().starts_with("/v1/") {
        return Ok(pages::no_such_page());
    }
    Ok(fallback(request).await?)
}

/// A server that listens and can be stopped.
pub struct Running {
    /// The addresses it listens on.
    pub addresses: Vec<std::net::SocketAddr>,
    /// Ends when the server has stopped.
    pub served: actix_web::dev::Server,
    stop: Stop,
}

/// Stops a server.
#[derive(Clone)]
pub struct Stop {
    streams: Arc<watch::Sender<bool>>,
    handle: ServerHandle,
}

impl Stop {
    /// Ends open streams, then lets requests under way finish.
    pub async fn now(&self) {
        // streams first, or the stop would wait out its whole time limit
        self.streams.send_replace(true);
        self.handle.stop(true).await;
    }
}

impl Running {
    /// What stops it.
    #[must_use]
    pub fn stopper(&self) -> Stop {
        self.stop.clone()
    }
}

/// Binds and starts the service; it serves as soon as `served` is awaited.
///
/// # Errors
/// Where the key, the certificate or the address can't be used.
pub fn start(desk: &Desk, config: &Config) -> io::Result<Running> {
    api::metrics::install();
    live::fan_out::start(desk);
    let key = key_file::load_or_create(&config.signing_key)?;
    let clock = desk.clock().clone();
    let wall: access::WallClock = Arc::new(move || clock.wall());
    let access = Access::new(&key, "weftdesk", config.is_https(), wall).map_err(io::Error::other)?;
    let (streams, stopping) = watch::channel(false);
    let access = Data::new(access);
    let composition = Composition::new(desk, access.clone(), stopping, config.is_https())?;
    let server = HttpServer::new(move || composition.clone().application())
        .workers(config.workers)
        .shutdown_timeout(STOP_WITHIN_S)
        .disable_signals();
    let server = match &config.tls {
        Some(files) => server.bind_rustls_0_23(&config.listen, tls(files)?)?,
        None => server.bind(&config.listen)?,
    };
    let addresses = server.addrs();
    let served = server.run();
    let stop = Stop {
        streams: Arc::new(streams),
        handle: served.handle(),
    };
    upkeep::start(desk, &access);
    planner::start(desk);
    if let Some(folder) = &config.paper_kit {
        actix_web::rt::spawn(paper_kit::keep_ready(desk.clone(), folder.clone()));
    }
    Ok(Running {
        addresses,
        served,
        stop,
    })
}

/// Runs `work` on the threads that a server needs.
pub fn block_on<T>(work: impl Future<Output = T>) -> T {
    actix_web::rt::System::new().block_on(work)
}

/// Serves until the process is asked to stop (SIGTERM or ctrl-c), then ends streams
/// and lets requests under way finish.
///
/// # Errors
/// Where the server fails or signals can't be heard.
pub async fn until_asked_to_stop(running: Running) -> io::Result<()> {
    use tokio::signal::unix::{SignalKind, signal};
    let mut terminate = signal(SignalKind::terminate())?;
    let mut interrupt = signal(SignalKind::interrupt())?;
    let stop = running.stopper();
    let mut served = running.served;
    tokio::select! {
        ended = &mut served => return ended,
        _ = terminate.recv() => tracing::info!("asked to stop"),
        _ = interrupt.recv() => tracing::info!("asked to stop"),
    }
    let (ended, ()) = tokio::join!(served, stop.now());
    ended
}

fn tls(files: &TlsFiles) -> io::Result<rustls::ServerConfig> {
    use rustls::pki_types::pem::PemObject;
    use rustls::pki_types::{CertificateDer, PrivateKeyDer};
    let pem = |file: &Path, error: rustls::pki_types::pem::Error| {
        io::Error::new(io::ErrorKind::InvalidData, format!("{}: {error}", file.display()))
    };
    let chain = CertificateDer::pem_file_iter(&files.certificate)
        .and_then(|chain| chain.collect::<Result<Vec<_>, _>>())
        .map_err(|error| pem(&files.certificate, error))?;
    let key = PrivateKeyDer::from_pem_file(&files.key).map_err(|error| pem(&files.key, error))?;
    let provider = Arc::new(rustls::crypto::ring::default_provider());
    rustls::ServerConfig::builder_with_provider(provider)
        .with_safe_default_protocol_versions()
        .map_err(io::Error::other)?
        .with_no_client_auth()
        .with_single_cert(chain, key)
        .map_err(io::Error::other)
}
