//! A headless Chromium of the test's own, behind its driver.
use std::io::{BufRead, BufReader, ErrorKind};
use std::net::{IpAddr, Ipv4Addr, Ipv6Addr, TcpListener};
use std::process::{Child, Command, Stdio};

use fantoccini::{Client, ClientBuilder};
use tempfile::TempDir;

use crate::dev_tools;

/// A counter's laptop.
pub(crate) const LAPTOP: (u32, u32) = (1366, 768);
/// A tablet of 10.9 inches on the bench, lying.
pub(crate) const TABLET: (u32, u32) = (1180, 820);
/// A small tablet at the counter or on the bench, lying.
pub(crate) const SMALL_TABLET: (u32, u32) = (1024, 768);
/// A player's phone.
pub(crate) const PHONE: (u32, u32) = (390, 844);
/// The narrowest screen that pages must fit (WCAG 2.2, 1.4.10).
pub(crate) const NARROWEST: (u32, u32) = (320, 640);
/// A page of 1280 x 1024 at 400 %, the most that pages must bear (WCAG 2.2, 1.4.10).
pub(crate) const ZOOMED: (u32, u32) = (320, 256);
/// A wall screen.
pub(crate) const WALL: (u32, u32) = (1920, 1080);

/// Flags that keep the browser without a screen, off the network and free of first-run pages.
const FLAGS: [&str; 9] = [
    "--headless",
    "--no-sandbox", // Chromium's sandbox refuses root, and the pages are our own
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
];

/// A running browser. Close it with [`Chromium::close`]; a failing test's is killed.
pub(crate) struct Chromium {
    pub(crate) client: Client,
    driver: Driver,
    profile: TempDir,
}

impl Chromium {
    /// Starts driver and browser with an empty profile; the page has this size in CSS pixels.
    pub(crate) async fn start(size: (u32, u32)) -> Self {
        let driver = Driver::start();
        let profile = tempfile::tempdir().expect("a temporary folder");
        let mut arguments: Vec<String> = FLAGS.map(str::to_owned).into();
        arguments.push(format!("--user-data-dir={}", profile.path().display()));
        let wishes = serde_json::json!({ "goog:chromeOptions": { "args": arguments } });
        let connector = hyper_util::client::legacy::connect::HttpConnector::new();
        let client = ClientBuilder::new(connector)
            .capabilities(wishes.as_object().expect("an object").clone())
            .connect(&format!("http://127.0.0.1:{}", driver.port))
            .await
            .expect("Chromium starts");
        let started = Self {
            client,
            driver,
            profile,
        };
        started.resize(size).await;
        started.note_prints().await;
        started
    }

    /// A page that asks for its print is noted as `data-asked-print`: headless, the browser would print in earnest,
    /// and nothing else could be printed meanwhile.
    async fn note_prints(&self) {
        let noted = "window.print = () => { document.documentElement.dataset.askedPrint = 'yes'; }";
        let script = serde_json::json!({ "source": noted });
        dev_tools::command(&self.client, "Page.addScriptToEvaluateOnNewDocument", script).await;
    }

    /// Gives the page another size in CSS pixels; a window could not be as narrow as a phone.
    pub(crate) async fn resize(&self, size: (u32, u32)) {
        let (width, height) = size;
        // what is held in a hand lays its scroll bars over the page
        let mobile = matches!(size, PHONE | TABLET | SMALL_TABLET | NARROWEST | ZOOMED);
        let size =
            serde_json::json!({"width": width, "height": height, "deviceScaleFactor": 1, "mobile": mobile});
        dev_tools::command(&self.client, "Emulation.setDeviceMetricsOverride", size).await;
        // somebody looks at it, however many windows the machine shows
        let focus = serde_json::json!({"enabled": true});
        dev_tools::command(&self.client, "Emulation.setFocusEmulationEnabled", focus).await;
        // and fingers are what points there
        let touch = serde_json::json!({"enabled": mobile, "maxTouchPoints": 5});
        dev_tools::command(&self.client, "Emulation.setTouchEmulationEnabled", touch).await;
    }

    /// Ends browser and driver.
    pub(crate) async fn close(self) {
        self.client.close().await.expect("the browser closes");
        drop(self.driver);
        drop(self.profile);
    }
}

struct Driver {
    process: Child,
    port: u16,
    /// What keeps the port for this driver alone among all tests of this machine.
    _reserved: TcpListener,
}

/// Below the ports that Linux gives to outgoing connections (32768 and up by default), so none of those is in the way.
const PORTS: std::ops::Range<u16> = 10_000..32_000;

impl Driver {
    /// Told to pick a port (`--port=0`), the driver takes one that is free on `::1` and ends when any connection
    /// holds the same port on 127.0.0.1: the busier the machine, the likelier. So the port is picked here.
    fn start() -> Self {
        let (reserved, port) = free_port();
        let mut process = Command::new("chromedriver")
            .arg(format!("--port={port}"))
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("chromedriver is installed (Debian's package chromium-driver)");
        let said = BufReader::new(process.stdout.take().expect("its output"));
        let mut before = Vec::new();
        // reading that line is also the wait for it
        let ready = said.lines().map_while(Result::ok).any(|line| {
            let ready = line.contains("was started successfully");
            before.push(line);
            ready
        });
        assert!(ready, "chromedriver does not start on port {port}: {before:?}");
        Self {
            process,
            port,
            _reserved: reserved,
        }
    }
}

/// A port that is free on both addresses of the driver. The same port on an address that nobody else uses is
/// held as long as the driver runs: a test that finds it taken goes on to the next.
fn free_port() -> (TcpListener, u16) {
    PORTS
        .into_iter()
        .find_map(|port| {
            let reserved = TcpListener::bind((Ipv4Addr::new(127, 0, 0, 2), port)).ok()?;
            let in_use = |error: std::io::Error| error.kind() == ErrorKind::AddrInUse;
            let free = |address: IpAddr| !TcpListener::bind((address, port)).is_err_and(in_use);
            let both = free(Ipv4Addr::LOCALHOST.into()) && free(Ipv6Addr::LOCALHOST.into());
            both.then_some((reserved, port))
        })
        .expect("a port is free")
}

impl Drop for Driver {
    fn drop(&mut self) {
        // already gone is as good
        drop(Command::new("kill").arg(self.process.id().to_string()).status());
        drop(self.process.wait());
    }
}
