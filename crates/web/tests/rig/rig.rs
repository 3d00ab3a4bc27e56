//! What a browser test stands on: a driver with its browsers, and a server with the invented shop. Begin with [`Driver`]
//! and [`Server`].

#[path = "settings.rs"]
mod settings;

use fantoccini::wd::{Capabilities, TimeoutConfiguration};
use fantoccini::{Client, ClientBuilder};
use hyper_util::client::legacy::connect::HttpConnector;
use settings::settings;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::atomic::{AtomicU32, Ordering};
use std::time::Duration;
use tempfile::TempDir;
use tokio::runtime::Runtime;

/// Name and password of a person of the invented shop; everybody has the same one.
pub(crate) const MANAGER: &str = "Rowan";
pub(crate) const PASSWORD: &str = "open-the-shop";

const CHROMEDRIVER: &str = "chromedriver";
/// What makes a browser of its own out of each session: no window, no first-run questions, nothing fetched behind it.
const FLAGS: [&str; 9] = [
    "--headless=new",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--disable-dev-shm-usage",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
];

/// A driver and the folders of its browsers. When it goes, so do they.
pub(crate) struct Driver {
    process: Child,
    address: SocketAddr,
    profiles: TempDir,
    opened: AtomicU32,
}

impl Driver {
    /// Starts a driver on a port of its own; says why there is none if it is not installed.
    pub(crate) fn start() -> Option<Self> {
        let started = Command::new(CHROMEDRIVER)
            .arg("--port=0")
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn();
        let mut process = match started {
            Ok(process) => process,
            Err(why) if why.kind() == std::io::ErrorKind::NotFound => {
                eprintln!("left out: `{CHROMEDRIVER}` is not installed on this machine");
                return None;
            }
            Err(why) => panic!("`{CHROMEDRIVER}` does not start: {why}"),
        };
        let mut said = BufReader::new(process.stdout.take().unwrap());
        let port = loop {
            let mut line = String::new();
            assert!(said.read_line(&mut line).unwrap() > 0, "`{CHROMEDRIVER}` ended before it said its port");
            let Some((_, rest)) = line.split_once("successfully on port ") else { continue };
            break rest.trim_end().trim_end_matches('.').parse::<u16>().unwrap();
        };
        // What it says later is read and let go: a full pipe would hold it up.
        std::thread::spawn(move || std::io::copy(&mut said, &mut std::io::sink()));
        let address = SocketAddr::from(([127, 0, 0, 1], port));
        Some(Self { process, address, profiles: TempDir::new().unwrap(), opened: AtomicU32::new(0) })
    }

    /// A browser of its own, as large as a screen of these CSS pixels. Close it with `close`.
    pub(crate) async fn client(&self, wide: u32, high: u32) -> Client {
        let number = self.opened.fetch_add(1, Ordering::Relaxed);
        self.client_in(&self.profiles.path().join(number.to_string()), wide, high).await
    }

    /// A browser that keeps what it knows in this folder: the same one finds it again after a restart.
    pub(crate) async fn client_in(&self, profile: &Path, wide: u32, high: u32) -> Client {
        let mut flags: Vec<String> = FLAGS.map(str::to_owned).to_vec();
        flags.push(format!("--user-data-dir={}", profile.display()));
        let options = serde_json::json!({
            "args": flags,
            "mobileEmulation": {
                "deviceMetrics": { "width": wide, "height": high, "pixelRatio": 1.0, "touch": true },
            },
        });
        let mut wanted = Capabilities::new();
        wanted.insert("goog:chromeOptions".to_owned(), options);
        let client = ClientBuilder::new(HttpConnector::new())
            .capabilities(wanted)
            .connect(&format!("http://{}", self.address))
            .await
            .unwrap();
        let limits = TimeoutConfiguration::new(
            Some(Duration::from_secs(30)),
            Some(Duration::from_secs(30)),
            Some(Duration::ZERO),
        );
        client.update_timeouts(limits).await.unwrap();
        client
    }
}

impl Drop for Driver {
    fn drop(&mut self) {
        // The driver closes its browsers when it is asked to end; killed, it would leave them behind.
        if let Ok(mut stream) = TcpStream::connect_timeout(&self.address, Duration::from_secs(2)) {
            let _ = stream.set_read_timeout(Some(Duration::from_secs(5)));
            let _ = write!(
                stream,
                "GET /shutdown HTTP/1.1\r\nhost: {}\r\nconnection: close\r\n\r\n",
                self.address
            );
            let _ = stream.read_to_end(&mut Vec::new());
        }
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

/// A running server. When it goes, every connection breaks, as when a cable is pulled.
pub(crate) struct Server {
    address: SocketAddr,
    runtime: Option<Runtime>,
}

impl Server {
    /// The invented shop, kept in this folder, on a free port.
    pub(crate) fn demo(folder: &Path) -> Self {
        Self::demo_on(folder, SocketAddr::from(([127, 0, 0, 1], 0)))
    }

    /// The same on a port that is known: the server comes back where it was.
    pub(crate) fn demo_on(folder: &Path, listen: SocketAddr) -> Self {
        let settings = settings(folder, listen);
        let runtime =
            tokio::runtime::Builder::new_multi_thread().worker_threads(2).enable_all().build().unwrap();
        let server = runtime.block_on(web::Server::open(settings)).unwrap();
        let address = server.address().unwrap();
        runtime.spawn(server.run(std::future::pending()));
        Self { address, runtime: Some(runtime) }
    }

    /// Where it listens.
    pub(crate) fn address(&self) -> SocketAddr {
        self.address
    }

    /// The address of a page.
    pub(crate) fn page(&self, path: &str) -> String {
        format!("http://{}{path}", self.address())
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        // The store is let go before the next server may open it.
        if let Some(runtime) = self.runtime.take() {
            runtime.shutdown_timeout(Duration::from_secs(10));
        }
    }
}

/// Signs in a person of the invented shop and waits for the page behind it.
pub(crate) async fn sign_in(client: &Client, server: &Server, name: &str, to: &str) {
    client.goto(&server.page(&format!("/sign-in?to={to}"))).await.unwrap();
    let field = |id: &'static str| client.find(fantoccini::Locator::Id(id));
    field("name").await.unwrap().send_keys(name).await.unwrap();
    field("password").await.unwrap().send_keys(PASSWORD).await.unwrap();
    client.find(fantoccini::Locator::Css("form button.main")).await.unwrap().click().await.unwrap();
    until(client, "return !location.pathname.startsWith('/sign-in') && document.readyState === 'complete'")
        .await;
}

/// Waits until a script on the page says yes; fails with the page's text after ten seconds.
pub(crate) async fn until(client: &Client, script: &str) {
    let limit = std::time::Instant::now() + Duration::from_secs(10);
    loop {
        // While a page is being left its scripts have nowhere to run.
        if let Ok(serde_json::Value::Bool(true)) = client.execute(script, Vec::new()).await {
            return;
        }
        if std::time::Instant::now() > limit {
            let page =
                client.execute("return location.href + '\\n' + document.body.innerText", Vec::new()).await;
            panic!("waited in vain for `{script}` on {page:?}");
        }
        tokio::time::sleep(Duration::from_millis(20)).await;
    }
}
