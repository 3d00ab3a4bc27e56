//! The door over TLS: who is at the other end is proved, cookies go no other way, and one silent stranger keeps nobody
//! out. The certificate beside this file is signed by an authority of the tests, and good for nothing else.

use crate::settings::settings;
use std::io::{Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;
use tokio_rustls::rustls::pki_types::pem::PemObject;
use tokio_rustls::rustls::pki_types::{CertificateDer, ServerName};
use tokio_rustls::rustls::{ClientConfig, ClientConnection, RootCertStore, StreamOwned};
use web::{ServeError, Server, Tls};

/// How long an answer may take. A handshake that nobody finishes is let go after five seconds.
const PATIENCE: Duration = Duration::from_secs(4);

fn file(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/faults/tls").join(name)
}

fn told(folder: &Path, certificate: &str, key: &str) -> web::Settings {
    let mut settings = settings(folder, SocketAddr::from(([127, 0, 0, 1], 0)));
    settings.tls = Some(Tls { certificate: file(certificate), key: file(key) });
    settings
}

/// A client that trusts the authority of the tests and nobody else.
fn trust() -> Arc<ClientConfig> {
    let mut roots = RootCertStore::empty();
    roots.add(CertificateDer::from_pem_file(file("authority.pem")).unwrap()).unwrap();
    let provider = Arc::new(tokio_rustls::rustls::crypto::ring::default_provider());
    let config = ClientConfig::builder_with_provider(provider)
        .with_safe_default_protocol_versions()
        .unwrap()
        .with_root_certificates(roots)
        .with_no_client_auth();
    Arc::new(config)
}

fn connect(address: SocketAddr) -> TcpStream {
    let stream = TcpStream::connect(address).unwrap();
    stream.set_read_timeout(Some(PATIENCE)).unwrap();
    stream
}

/// One request over TLS; the whole answer.
fn ask(address: SocketAddr, name: &str, request: &str) -> std::io::Result<String> {
    let name = ServerName::try_from(name.to_owned()).unwrap();
    let connection = ClientConnection::new(trust(), name).unwrap();
    let mut stream = StreamOwned::new(connection, connect(address));
    stream.write_all(request.as_bytes())?;
    let mut answer = Vec::new();
    stream.read_to_end(&mut answer)?;
    Ok(String::from_utf8_lossy(&answer).into_owned())
}

fn get(path: &str) -> String {
    format!("GET {path} HTTP/1.1\r\nhost: shop.example\r\nconnection: close\r\n\r\n")
}

#[test]
fn pages_come_over_tls_and_cookies_go_no_other_way() {
    let folder = tempfile::TempDir::new().unwrap();
    let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(1).enable_all().build().unwrap();
    let server = runtime.block_on(Server::open(told(folder.path(), "shop.pem", "shop-key.pem"))).unwrap();
    let address = server.address().unwrap();
    runtime.spawn(server.run(std::future::pending()));
    // A few who connect and say nothing: the others do not wait for them.
    let silent: Vec<TcpStream> = (0..20).map(|_| connect(address)).collect();
    let page = ask(address, "shop.example", &get("/sign-in")).unwrap();
    assert!(page.starts_with("HTTP/1.1 200") && page.contains("Sign in"), "{page}");
    // By its number too, which the certificate names.
    assert!(ask(address, "127.0.0.1", &get("/sign-in")).unwrap().starts_with("HTTP/1.1 200"));
    let form = "name=Rowan&password=open-the-shop";
    let request = format!(
        "POST /sign-in HTTP/1.1\r\nhost: shop.example\r\nconnection: close\r\n\
         content-type: application/x-www-form-urlencoded\r\ncontent-length: {}\r\n\r\n{form}",
        form.len()
    );
    let answer = ask(address, "shop.example", &request).unwrap();
    let cookie = answer.lines().find(|line| line.starts_with("set-cookie: ")).unwrap();
    for wanted in ["Secure", "HttpOnly", "SameSite="] {
        assert!(cookie.contains(wanted), "{cookie}");
    }
    // Another name than the certificate's is not this shop.
    let other = ask(address, "elsewhere.example", &get("/sign-in")).unwrap_err();
    assert!(other.to_string().contains("certificate"), "{other}");
    // Without TLS nothing is answered, and the door stays open.
    let mut plain = connect(address);
    plain.write_all(get("/sign-in").as_bytes()).unwrap();
    let mut answer = Vec::new();
    let _ = plain.read_to_end(&mut answer);
    assert!(!String::from_utf8_lossy(&answer).contains("HTTP/1.1 200"));
    assert!(ask(address, "shop.example", &get("/sign-in")).unwrap().starts_with("HTTP/1.1 200"));
    drop(silent);
}

#[tokio::test]
async fn a_certificate_that_is_none_is_named() {
    let folder = tempfile::TempDir::new().unwrap();
    for (certificate, key, named) in [
        ("missing.pem", "shop-key.pem", "missing.pem"),
        ("shop.pem", "missing.pem", "missing.pem"),
        // Certificate and key exchanged.
        ("shop-key.pem", "shop.pem", "shop"),
    ] {
        let refused = Server::open(told(folder.path(), certificate, key)).await.map(|_| ()).unwrap_err();
        assert!(matches!(refused, ServeError::Tls { .. }), "{refused}");
        assert!(refused.to_string().contains(named), "{refused}");
    }
    // Nothing was made before the certificate was read.
    assert!(!folder.path().join("shop.sqlite").exists());
}
