//! The cable between a browser and the program, which a test can pull and plug in again.
use std::net::SocketAddr;

use tokio::io::copy_bidirectional;
use tokio::net::{TcpListener, TcpStream};
use tokio::task::JoinSet;

/// A way to the program at an address of its own.
pub(crate) struct Cable {
    address: SocketAddr,
    program: SocketAddr,
    /// Everything that runs over it; gone when it is pulled.
    traffic: Option<JoinSet<()>>,
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

    fn carry(&mut self, listener: TcpListener) {
        let program = self.program;
        let mut traffic = JoinSet::new();
        traffic.spawn(async move {
            let mut connections = JoinSet::new();
            while let Ok((mut near, _)) = listener.accept().await {
                connections.spawn(async move {
                    if let Ok(mut far) = TcpStream::connect(program).await {
                        // either side may hang up at any time
                        drop(copy_bidirectional(&mut near, &mut far).await);
                    }
                });
            }
        });
        self.traffic = Some(traffic);
    }
}
