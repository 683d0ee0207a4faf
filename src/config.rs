//! How the service is run, as one plain value.
use std::path::PathBuf;

/// Settings of `serve`.
#[derive(Debug, Clone)]
pub struct Config {
    /// A SQLite file path or a `postgres://` address.
    pub database: String,
    /// Host and port to listen on.
    pub listen: String,
    /// Certificate chain and key, PEM, for https; without them plain http.
    pub tls: Option<TlsFiles>,
    /// The address that people type, where a proxy stands in front: scheme, host and port.
    pub public_address: Option<String>,
    /// The file that holds the signing key, shared by all instances; made if absent.
    pub signing_key: PathBuf,
    /// Where the paper kit is kept ready, one file per tournament; nowhere in a demo.
    pub paper_kit: Option<PathBuf>,
    /// How many worker threads serve requests.
    pub workers: usize,
}

/// The two files of https.
#[derive(Debug, Clone)]
pub struct TlsFiles {
    /// Certificate chain, PEM.
    pub certificate: PathBuf,
    /// Private key, PEM.
    pub key: PathBuf,
}

impl Config {
    /// Whether browsers come by https, straight to this process or through a proxy.
    #[must_use]
    pub fn is_https(&self) -> bool {
        let public = self.public_address.as_ref();
        self.tls.is_some() || public.is_some_and(|address| address.starts_with("https://"))
    }
}
