//! The server: opens the store, listens, answers until it is told to stop.

mod tls;

use crate::demo;
use crate::failure::Failure;
use crate::house::House;
use crate::routes::router;
use crate::secret::{Token, slow_hash};
use axum::Router;
use axum::extract::connect_info::Connected;
use axum::http::{HeaderName, HeaderValue};
use axum::serve::IncomingStream;
use fit::OwnRule;
use shop::Workshop;
use std::fmt;
use std::io;
use std::net::SocketAddr;
use std::path::PathBuf;
use std::sync::Arc;
use store::{Place, Role, Store, StoreError};
use tls::Secure;
use tokio::net::TcpListener;
use tokio_rustls::TlsAcceptor;
use tower_http::compression::CompressionLayer;
use tower_http::csrf::CsrfLayer;
use tower_http::set_header::SetResponseHeaderLayer;

/// What a server is told.
#[derive(Debug)]
pub struct Settings {
    /// Where the shop's records are kept.
    pub place: Place,
    /// Where it listens: the loopback address of this machine unless somebody says otherwise.
    pub listen: SocketAddr,
    /// Certificate and key, if it speaks TLS itself.
    pub tls: Option<Tls>,
    /// Where pages are reached from outside, such as `https://shop.example`; links and codes are made with it.
    pub address: Option<String>,
    /// The letters before the number of a job of this branch.
    pub branch: String,
    /// The shop as it counts.
    pub workshop: Workshop,
    /// The shop's own rules.
    pub own_rules: Vec<OwnRule>,
    /// Whether an empty store is filled with an invented shop, with its sign-in on the page.
    pub demo: bool,
    /// The name of the first person of an empty store: a manager, who adds the others.
    pub first_manager: Option<String>,
}

/// Certificate and key as files.
#[derive(Clone, Debug)]
pub struct Tls {
    /// The certificate with those above it, PEM.
    pub certificate: PathBuf,
    /// Its key, PEM.
    pub key: PathBuf,
}

/// Why a server does not run.
#[derive(Debug)]
pub enum ServeError {
    /// The store.
    Store(StoreError),
    /// The address cannot be listened on.
    Listen {
        /// The address.
        address: SocketAddr,
        /// What the system said.
        why: String,
    },
    /// The certificate or its key.
    Tls {
        /// The file.
        path: PathBuf,
        /// What is wrong.
        why: String,
    },
    /// The store is empty and nobody can sign in.
    NobodyYet,
    /// Something else.
    Other(String),
}

impl fmt::Display for ServeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Store(error) => write!(f, "{error}"),
            Self::Listen { address, why } => {
                write!(f, "cannot listen on {address}: {why}; name another address, such as 127.0.0.1:0")
            }
            Self::Tls { path, why } => {
                write!(f, "`{}`: {why}; a PEM file is wanted", path.display())
            }
            Self::NobodyYet => write!(
                f,
                "the store is new and nobody can sign in yet: name the first manager with --first-manager, or look \
                 round an invented shop with --demo"
            ),
            Self::Other(why) => write!(f, "{why}"),
        }
    }
}

impl std::error::Error for ServeError {}

impl From<StoreError> for ServeError {
    fn from(error: StoreError) -> Self {
        Self::Store(error)
    }
}

impl From<Failure> for ServeError {
    fn from(failure: Failure) -> Self {
        match failure {
            Failure::Store(error) => Self::Store(error),
            other => Self::Other(format!("{}: {}", other.heading(), other.lines().join("; "))),
        }
    }
}

/// A server whose store is open and whose port is taken.
pub struct Server {
    house: Arc<House>,
    listener: TcpListener,
    tls: Option<TlsAcceptor>,
    first: Option<FirstSignIn>,
}

/// The sign-in of the first person of a new store: shown once, kept nowhere.
pub struct FirstSignIn {
    /// The name.
    pub name: String,
    /// The password.
    pub password: String,
}

impl Server {
    /// Opens the store, brings it to the newest version, and takes the port.
    ///
    /// # Errors
    /// [`ServeError`]: the store, the port, the certificate, or nobody who could sign in.
    pub async fn open(settings: Settings) -> Result<Self, ServeError> {
        let tls = settings.tls.as_ref().map(tls::acceptor).transpose()?;
        let listen = settings.listen;
        let is_tls = tls.is_some();
        let house = tokio::task::spawn_blocking(move || house(settings, is_tls));
        let (house, first) = house.await.map_err(|why| ServeError::Other(why.to_string()))??;
        let listener = TcpListener::bind(listen)
            .await
            .map_err(|why| ServeError::Listen { address: listen, why: why.to_string() })?;
        Ok(Self { house: Arc::new(house), listener, tls, first })
    }

    /// Where it listens.
    ///
    /// # Errors
    /// What the system says if the port is gone.
    pub fn address(&self) -> io::Result<SocketAddr> {
        self.listener.local_addr()
    }

    /// The printed sign-in of an invented shop: name, password, PIN.
    pub fn demo_sign_in(&self) -> Option<(&'static str, &'static str, &'static str)> {
        self.house.demo.as_ref().map(|sign_in| (demo::MANAGER, sign_in.password, sign_in.pin))
    }

    /// The sign-in of the first person, if the store is new.
    pub fn first_sign_in(&self) -> Option<&FirstSignIn> {
        self.first.as_ref()
    }

    /// Answers until `stop` comes; what was begun is finished.
    ///
    /// # Errors
    /// What the system says if the port breaks.
    pub async fn run(self, stop: impl Future<Output = ()> + Send + 'static) -> io::Result<()> {
        let app = app(self.house).into_make_service_with_connect_info::<Peer>();
        match self.tls {
            None => axum::serve(self.listener, app).with_graceful_shutdown(stop).await,
            Some(acceptor) => {
                axum::serve(Secure::new(self.listener, acceptor)?, app).with_graceful_shutdown(stop).await
            }
        }
    }
}

fn house(settings: Settings, is_tls: bool) -> Result<(House, Option<FirstSignIn>), ServeError> {
    let store = Store::open(&settings.place)?;
    let secure = is_tls || settings.address.as_ref().is_some_and(|address| address.starts_with("https://"));
    let mut house = House::new(store, settings.workshop, settings.own_rules, settings.branch)?;
    house.address = settings.address.map(|address| address.trim_end_matches('/').to_owned());
    house.secure = secure;
    let is_new = house.store.people()?.is_empty();
    if settings.demo {
        if is_new {
            demo::fill(&house)?;
        }
        house.demo = demo::sign_in(&house)?;
    } else if is_new {
        let name = settings.first_manager.ok_or(ServeError::NobodyYet)?;
        let chance = || ServeError::Other("the system gives no random numbers".to_owned());
        let token = Token::new().ok_or_else(chance)?;
        // 80 bits, in groups that can be read aloud.
        let groups: Vec<&str> = (0..5).map(|at| &token.as_str()[at * 4..at * 4 + 4]).collect();
        let password = groups.join("-");
        let mut person = house.store.add_person(&name, Role::Manager, crate::clock::now())?;
        person.password_hash = Some(slow_hash(&password).ok_or_else(chance)?);
        house.store.change_person(&person)?;
        return Ok((house, Some(FirstSignIn { name: person.name, password })));
    }
    Ok((house, None))
}

/// What every answer carries: no script or frame of others, nothing of ours for others.
const HEADERS: [(&str, &str); 6] = [
    (
        "content-security-policy",
        "default-src 'self'; img-src 'self' blob:; object-src 'none'; base-uri 'none'; form-action 'self'; \
         frame-ancestors 'none'",
    ),
    ("x-content-type-options", "nosniff"),
    ("x-frame-options", "DENY"),
    ("referrer-policy", "same-origin"),
    ("cross-origin-opener-policy", "same-origin"),
    ("permissions-policy", "camera=(self), microphone=(), geolocation=(), screen-wake-lock=(self)"),
];

/// The whole app: routes with what stands before and after them.
pub(crate) fn app(house: Arc<House>) -> Router {
    let mut app = router(house).layer(CsrfLayer::new()).layer(CompressionLayer::new());
    for (name, value) in HEADERS {
        let header = (HeaderName::from_static(name), HeaderValue::from_static(value));
        app = app.layer(SetResponseHeaderLayer::overriding(header.0, header.1));
    }
    app
}

/// Who is at the other end of a connection.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Peer(pub(crate) SocketAddr);

impl Connected<IncomingStream<'_, TcpListener>> for Peer {
    fn connect_info(stream: IncomingStream<'_, TcpListener>) -> Self {
        Self(*stream.remote_addr())
    }
}
