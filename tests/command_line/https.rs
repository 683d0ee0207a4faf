//! `serve --tls-cert F --tls-key F`.
use std::io::{Read, Write};
use std::net::TcpStream;
use std::sync::Arc;

use rustls::pki_types::pem::PemObject;
use rustls::pki_types::{CertificateDer, ServerName};
use rustls::{ClientConfig, ClientConnection, RootCertStore, StreamOwned};

use crate::database::TestDatabase;
use crate::program::{Program, ask};
use crate::shell::run;

const CERTIFICATE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/tls/desk.pem");
const KEY: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/tls/desk.key");
const AUTHORITY: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/tls/ca.pem");

/// The answer to a GET over https, by a client that trusts the test's authority alone.
fn get(address: &str, path: &str) -> String {
    let mut trusted = RootCertStore::empty();
    let authority = CertificateDer::from_pem_file(AUTHORITY).expect("a certificate");
    trusted.add(authority).expect("an authority");
    let provider = Arc::new(rustls::crypto::ring::default_provider());
    let config = ClientConfig::builder_with_provider(provider)
        .with_safe_default_protocol_versions()
        .expect("TLS")
        .with_root_certificates(trusted)
        .with_no_client_auth();
    let name = ServerName::try_from("desk.example").expect("a name");
    let session = ClientConnection::new(Arc::new(config), name).expect("a session");
    let socket = TcpStream::connect(address).expect("it listens");
    let mut stream = StreamOwned::new(session, socket);
    let request = format!("GET {path} HTTP/1.1\r\nHost: desk.example\r\nConnection: close\r\n\r\n");
    stream.write_all(request.as_bytes()).expect("it is sent");
    let mut answer = Vec::new();
    // some servers close without the last alert; what came stands
    drop(stream.read_to_end(&mut answer));
    String::from_utf8(answer).expect("UTF-8")
}

#[test]
fn with_certificate_and_key_it_speaks_https_and_no_plain_http() {
    let database = TestDatabase::fresh();
    let folder = tempfile::tempdir().expect("a folder");
    let key = folder.path().join("signing.key");
    let key = key.to_str().expect("a readable path");
    let named = ["--database", database.address(), "--signing-key", key];
    let (program, mut printed) =
        Program::serve(named.iter().chain(&["--tls-cert", CERTIFICATE, "--tls-key", KEY]));
    let answer = get(&program.address, "/livez");
    assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
    assert!(
        answer.to_ascii_lowercase().contains("strict-transport-security:"),
        "{answer}"
    );
    assert_eq!(
        ask(&program.address, "GET /livez HTTP/1.1", ""),
        None,
        "plain http is not answered"
    );
    let said = printed.nth(1).expect("a link").expect("in UTF-8");
    assert!(said.starts_with("https://"), "{said}");
}

#[test]
fn half_of_the_two_files_or_a_wrong_one_is_named() {
    let database = TestDatabase::fresh();
    let folder = tempfile::tempdir().expect("a folder");
    let key = folder.path().join("signing.key");
    let key = key.to_str().expect("a readable path");
    let serve = |more: &[&str]| {
        let named = [
            "serve",
            "--listen",
            "127.0.0.1:0",
            "--signing-key",
            key,
            "--database",
            database.address(),
        ];
        run(named.iter().chain(more))
    };
    let half = serve(&["--tls-cert", CERTIFICATE]);
    assert_eq!(half.status, 2);
    assert!(half.err.contains("--tls-key"), "{half:?}");
    let missing = serve(&["--tls-cert", CERTIFICATE, "--tls-key", "no-such.key"]);
    assert_eq!(missing.status, 2);
    assert!(missing.err.contains("no-such.key"), "{missing:?}");
    let swapped = serve(&["--tls-cert", CERTIFICATE, "--tls-key", CERTIFICATE]);
    assert_eq!(swapped.status, 2);
    assert!(swapped.err.contains("desk.pem"), "{swapped:?}");
}

#[test]
fn behind_a_proxy_the_one_time_link_names_the_address_that_people_type() {
    let database = TestDatabase::fresh();
    let folder = tempfile::tempdir().expect("a folder");
    let key = folder.path().join("signing.key");
    let key = key.to_str().expect("a readable path");
    let public = ["--public-address", "https://desk.example"];
    let named = ["--database", database.address(), "--signing-key", key];
    let (program, mut printed) = Program::serve(named.iter().chain(&public));
    let link = printed.nth(1).expect("a link").expect("in UTF-8");
    let path = link
        .strip_prefix("https://desk.example")
        .expect("the proxy's address");
    let (status, _) = ask(&program.address, &format!("GET {path} HTTP/1.1"), "").expect("an answer");
    assert_eq!(status, 200);
    let wrong = run(["serve", "--public-address", "desk.example/somewhere"]);
    assert_eq!(wrong.status, 2);
    assert!(wrong.err.contains("https://desk.example"), "{wrong:?}");
}
