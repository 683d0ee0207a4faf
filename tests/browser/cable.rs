//! The cable between a browser and the program, which a test can pull and plug in again.
use std::net::SocketAddr;

use tokio::io::{AsyncRead, AsyncReadExt, AsyncWrite, AsyncWriteExt, copy};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::watch;
use tokio::task::JoinSet;

/// A way to the program at an address of its own.
pub(crate) struct Cable {
    address: SocketAddr,
    program: SocketAddr,
    /// Everything that runs over it; gone when it is pulled.
    traffic: Option<JoinSet<()>>,
    /// Whether what the program says is held back on its way.
    held: watch::Sender<bool>,
}

impl Cable {
    /// Plugs a cable into the program at `base`.
    pub(crate) async fn to(base: &str) -> Self {
        let program = base.trim_start_matches("http://").parse().expect("host and port");
        let listener = TcpListener::bind("127.0.0.1:0").await.expect("a free port");
        let mut it = Self {
            address: listener.local_addr().expect("its port"),
            program,
            traffic: None,
            held: watch::Sender::new(false),
        };
        it.carry(listener);
        it
    }

    /// The address browsers use.
    pub(crate) fn base(&self) -> String {
        format!("http://{}", self.address)
    }

    /// Ends every connection and takes no new one.
    pub(crate) async fn pull(&mut self) {
        if let Some(mut traffic) = self.traffic.take() {
            traffic.shutdown().await;
        }
    }

    /// The same address leads to the program again.
    pub(crate) async fn plug_in(&mut self) {
        let listener = TcpListener::bind(self.address).await.expect("the same port");
        self.carry(listener);
    }

    /// What the browser sends arrives; the answers wait on the way until [`Self::let_go`].
    pub(crate) fn hold(&self) {
        self.held.send_replace(true);
    }

    pub(crate) fn let_go(&self) {
        self.held.send_replace(false);
    }

    fn carry(&mut self, listener: TcpListener) {
        let program = self.program;
        let held = self.held.subscribe();
        let mut traffic = JoinSet::new();
        traffic.spawn(async move {
            let mut connections = JoinSet::new();
            while let Ok((mut near, _)) = listener.accept().await {
                let held = held.clone();
                connections.spawn(async move {
                    if let Ok(mut far) = TcpStream::connect(program).await {
                        let (mut near_says, near_hears) = near.split();
                        let (far_says, mut far_hears) = far.split();
                        let asked = async {
                            // either side may hang up at any time
                            drop(copy(&mut near_says, &mut far_hears).await);
                            drop(far_hears.shutdown().await);
                        };
                        tokio::join!(asked, answers(far_says, near_hears, held));
                    }
                });
            }
        });
        self.traffic = Some(traffic);
    }
}

/// Carries what the program says, and holds it back while told to.
async fn answers(
    mut from: impl AsyncRead + Unpin,
    mut to: impl AsyncWrite + Unpin,
    mut held: watch::Receiver<bool>,
) {
    let mut part = vec![0; 16 * 1024];
    while let Ok(length @ 1..) = from.read(&mut part).await {
        if held.wait_for(|held| !held).await.is_err() || to.write_all(&part[..length]).await.is_err() {
            break;
        }
    }
    drop(to.shutdown().await);
}
