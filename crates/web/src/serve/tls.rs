//! The door over TLS. Begin with [`acceptor`], then [`Secure`].

use super::{Peer, ServeError, Tls};
use axum::extract::connect_info::Connected;
use axum::serve::{IncomingStream, Listener};
use std::io;
use std::net::SocketAddr;
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::{Semaphore, mpsc};
use tokio_rustls::TlsAcceptor;
use tokio_rustls::rustls::ServerConfig;
use tokio_rustls::rustls::pki_types::pem::PemObject;
use tokio_rustls::rustls::pki_types::{CertificateDer, PrivateKeyDer};
use tokio_rustls::server::TlsStream;

/// How long a connection may take to say that it speaks TLS.
const HANDSHAKE: Duration = Duration::from_secs(5);
/// Connections that may be about to say it at the same time; the next one waits in the system's own queue.
const SHAKING: usize = 256;

/// Certificate and key, read.
///
/// # Errors
/// [`ServeError::Tls`] with the file that is missing, is no PEM or does not belong to the other.
pub(super) fn acceptor(tls: &Tls) -> Result<TlsAcceptor, ServeError> {
    let fault = |path: &PathBuf, why: String| ServeError::Tls { path: path.clone(), why };
    let certificates: Result<Vec<CertificateDer<'static>>, _> =
        CertificateDer::pem_file_iter(&tls.certificate)
            .map_err(|why| fault(&tls.certificate, why.to_string()))?
            .collect();
    let certificates = certificates.map_err(|why| fault(&tls.certificate, why.to_string()))?;
    let key = PrivateKeyDer::from_pem_file(&tls.key).map_err(|why| fault(&tls.key, why.to_string()))?;
    let provider = Arc::new(tokio_rustls::rustls::crypto::ring::default_provider());
    let config = ServerConfig::builder_with_provider(provider)
        .with_safe_default_protocol_versions()
        .map_err(|why| fault(&tls.key, why.to_string()))?
        .with_no_client_auth()
        .with_single_cert(certificates, key)
        .map_err(|why| fault(&tls.key, why.to_string()))?;
    Ok(TlsAcceptor::from(Arc::new(config)))
}

/// Connections over TLS. Each says that it speaks it beside the others: one that is silent or slow holds up nobody, and one
/// that does not speak it is let go.
pub(super) struct Secure {
    ready: mpsc::Receiver<(TlsStream<TcpStream>, SocketAddr)>,
    address: SocketAddr,
}

impl Secure {
    /// Takes connections from `listener` until it is dropped.
    ///
    /// # Errors
    /// What the system says if the port is gone.
    pub(super) fn new(listener: TcpListener, acceptor: TlsAcceptor) -> io::Result<Self> {
        let address = listener.local_addr()?;
        let (give, ready) = mpsc::channel(SHAKING);
        tokio::spawn(take(listener, acceptor, give));
        Ok(Self { ready, address })
    }
}

/// Accepts connections and hands on those that speak TLS.
async fn take(
    mut listener: TcpListener,
    acceptor: TlsAcceptor,
    give: mpsc::Sender<(TlsStream<TcpStream>, SocketAddr)>,
) {
    let places = Arc::new(Semaphore::new(SHAKING));
    loop {
        // The semaphore is never closed; if it were, there would be nothing left to take.
        let Ok(place) = places.clone().acquire_owned().await else { return };
        let (stream, peer) = tokio::select! {
            taken = Listener::accept(&mut listener) => taken,
            () = give.closed() => return,
        };
        let (acceptor, give) = (acceptor.clone(), give.clone());
        tokio::spawn(async move {
            let _place = place;
            if let Ok(Ok(stream)) = tokio::time::timeout(HANDSHAKE, acceptor.accept(stream)).await {
                // Nobody takes it any more: the server is ending.
                let _ = give.send((stream, peer)).await;
            }
        });
    }
}

impl Listener for Secure {
    type Io = TlsStream<TcpStream>;
    type Addr = SocketAddr;

    async fn accept(&mut self) -> (Self::Io, Self::Addr) {
        match self.ready.recv().await {
            Some(ready) => ready,
            // What takes connections lives as long as this; were it gone, none would come.
            None => std::future::pending().await,
        }
    }

    fn local_addr(&self) -> io::Result<Self::Addr> {
        Ok(self.address)
    }
}

impl Connected<IncomingStream<'_, Secure>> for Peer {
    fn connect_info(stream: IncomingStream<'_, Secure>) -> Self {
        Self(*stream.remote_addr())
    }
}
