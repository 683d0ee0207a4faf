//! `weftdesk serve`: the service itself.
use std::net::SocketAddr;
use std::path::{Path, PathBuf};

use clap::Args;

use crate::cli::clock_option::ClockOption;
use crate::cli::database::DatabaseOption;
use crate::cli::{Failure, answer};
use crate::config::{Config, TlsFiles};
use crate::desk::{Desk, DeskError};
use crate::storage::{Store, accounts};
use crate::{server, telemetry};

/// What `weftdesk serve` takes.
#[derive(Debug, Args)]
pub struct Arguments {
    #[command(flatten)]
    database: DatabaseOption,
    #[command(flatten)]
    door: DoorOptions,
    /// The file with the signing key, shared by all instances; made if it is not there.
    #[arg(long, env = "WEFTDESK_SIGNING_KEY", default_value = "weftdesk.key")]
    signing_key: PathBuf,
    /// The folder in which the paper kit is kept ready for an outage; beside the database if not given.
    #[arg(long, value_name = "FOLDER")]
    paper_kit: Option<PathBuf>,
    /// Another time at the desk, for rehearsals with test data: RFC 3339, with `@20x` at 20 times the pace.
    #[arg(long, value_name = "TIME[@PACE]")]
    clock: Option<ClockOption>,
}

/// Where and how to listen.
#[derive(Debug, Args)]
pub struct DoorOptions {
    /// Host and port to listen on.
    #[arg(long, env = "WEFTDESK_LISTEN", default_value = "127.0.0.1:8080")]
    pub listen: String,
    /// Certificate chain for https, PEM.
    #[arg(long, value_name = "FILE", requires = "tls_key")]
    pub tls_cert: Option<PathBuf>,
    /// The certificate's private key, PEM.
    #[arg(long, value_name = "FILE", requires = "tls_cert")]
    pub tls_key: Option<PathBuf>,
    /// The address that people type, where a proxy with https stands in front, such as <https://desk.example>
    #[arg(long, value_name = "ADDRESS", env = "WEFTDESK_PUBLIC_ADDRESS", value_parser = public_address)]
    pub public_address: Option<String>,
    /// How many threads serve requests.
    #[arg(long, default_value_t = 2, value_parser = clap::value_parser!(u16).range(1..=256))]
    pub workers: u16,
}

impl DoorOptions {
    /// The settings of a server on this database.
    #[must_use]
    pub fn config(self, database: String, signing_key: PathBuf) -> Config {
        let tls = self.tls_cert.zip(self.tls_key);
        Config {
            database,
            listen: self.listen,
            tls: tls.map(|(certificate, key)| TlsFiles { certificate, key }),
            public_address: self.public_address,
            signing_key,
            paper_kit: None,
            workers: usize::from(self.workers),
        }
    }
}

/// Serves until the process is asked to stop.
///
/// # Errors
/// [`Failure::CouldNotRun`] where database, key, certificate or address can't be used.
pub fn run(arguments: Arguments) -> Result<(), Failure> {
    telemetry::start();
    let database = arguments.database;
    let store = database.tell(Store::open(&database.database))?;
    let desk = Desk::new(store, ClockOption::clock(arguments.clock));
    let data_folder = data_folder(&database.database, &arguments.signing_key);
    let mut config = arguments.door.config(database.database, arguments.signing_key);
    config.paper_kit = Some(arguments.paper_kit.unwrap_or(data_folder));
    server::block_on(async {
        let running = server::start(&desk, &config).map_err(|error| could_not_listen(&config, &error))?;
        let base = base_address(&running.addresses, &config);
        answer(&format!(
            "weftdesk listens on {}\n",
            own_address(&running.addresses, &config)
        ))?;
        warn_of_plain_http(&running.addresses, &config);
        first_steps(&desk, &base).await?;
        server::until_asked_to_stop(running)
            .await
            .map_err(|error| Failure::CouldNotRun(error.to_string()))
    })
}

/// Where this desk keeps its files: beside its database, or beside its key where that is elsewhere.
fn data_folder(database: &str, signing_key: &Path) -> PathBuf {
    let file = if database.contains("://") {
        signing_key
    } else {
        Path::new(database)
    };
    file.parent().map(Path::to_owned).unwrap_or_default()
}

/// What is said when the server can't start.
#[must_use]
pub fn could_not_listen(config: &Config, error: &std::io::Error) -> Failure {
    Failure::CouldNotRun(format!("cannot serve on {}: {error}", config.listen))
}

/// The address to type into a browser: the proxy's where there is one.
#[must_use]
pub fn base_address(addresses: &[SocketAddr], config: &Config) -> String {
    let public = config.public_address.clone();
    public.unwrap_or_else(|| own_address(addresses, config))
}

/// Where this process itself listens.
fn own_address(addresses: &[SocketAddr], config: &Config) -> String {
    let scheme = if config.tls.is_some() { "https" } else { "http" };
    let first = addresses.first().map_or_else(String::new, ToString::to_string);
    format!("{scheme}://{first}")
}

fn public_address(text: &str) -> Result<String, String> {
    let host = text
        .strip_prefix("https://")
        .or_else(|| text.strip_prefix("http://"));
    match host {
        Some(host) if !host.is_empty() && !host.contains(['/', '?', '#', '@', ' ']) => Ok(text.to_owned()),
        _ => Err("give scheme and host, perhaps a port, such as https://desk.example".to_owned()),
    }
}

fn warn_of_plain_http(addresses: &[SocketAddr], config: &Config) {
    if !config.is_https() && addresses.iter().any(|address| !address.ip().is_loopback()) {
        tracing::warn!(
            "plain http beyond this machine: passwords and specs can be read on the way; use --tls-cert and \
             --tls-key, or a proxy with https"
        );
    }
}

/// There is no default password: a database without accounts gets a one-time link.
async fn first_steps(desk: &Desk, base: &str) -> Result<(), Failure> {
    let trouble = |error: DeskError| Failure::CouldNotRun(error.to_string());
    let known = desk
        .read(|db| Ok::<_, DeskError>(accounts::count(db)?))
        .await
        .map_err(trouble)?;
    if known > 0 {
        return Ok(());
    }
    let token = desk.make_set_up_link().await.map_err(trouble)?;
    answer(&format!(
        "Nobody has an account yet. Open this link once, within 24 hours, to found the tournament:\n{base}/set-up/{token}\n"
    ))
}
