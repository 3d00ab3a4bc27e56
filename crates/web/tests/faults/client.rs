//! A browser without its window: signs in, asks, sends taps. Begin with [`Visitor`].

use axum::body::Bytes;
use axum::http::{Request, StatusCode};
use http_body_util::{BodyExt, Full};
use hyper_util::client::legacy::Client;
use hyper_util::client::legacy::connect::HttpConnector;
use hyper_util::rt::TokioExecutor;
use serde_json::{Value, json};
use std::net::SocketAddr;
use std::time::SystemTime;

/// Somebody who is signed in. The session outlives the server.
#[derive(Clone)]
pub(crate) struct Visitor {
    http: Client<HttpConnector, Full<Bytes>>,
    pub(crate) name: &'static str,
    cookie: String,
}

impl Visitor {
    /// Signs in a person of the invented shop.
    pub(crate) async fn sign_in(address: SocketAddr, name: &'static str) -> Self {
        let http = Client::builder(TokioExecutor::new()).build(HttpConnector::new());
        let mut visitor = Self { http, name, cookie: String::new() };
        let form = format!("name={name}&password=open-the-shop");
        let request = Request::builder()
            .method("POST")
            .uri(format!("http://{address}/sign-in"))
            .header("content-type", "application/x-www-form-urlencoded");
        let answer = visitor.http.request(request.body(Full::from(form)).unwrap()).await.unwrap();
        let cookie = answer.headers().get("set-cookie").unwrap().to_str().unwrap();
        visitor.cookie = cookie.split(';').next().unwrap().to_owned();
        visitor
    }

    /// Asks for a page, or sends a form.
    pub(crate) async fn ask(
        &self,
        address: SocketAddr,
        path: &str,
        sent: Option<(&str, String)>,
    ) -> Option<(StatusCode, Bytes)> {
        let mut request =
            Request::builder().uri(format!("http://{address}{path}")).header("cookie", &self.cookie);
        if let Some((kind, _)) = &sent {
            request = request.method("POST").header("content-type", *kind);
        }
        let body = Full::from(sent.map_or_else(String::new, |(_, body)| body));
        // A server that is killed in between has answered nothing.
        let answer = self.http.request(request.body(body).unwrap()).await.ok()?;
        let status = answer.status();
        Some((status, answer.into_body().collect().await.ok()?.to_bytes()))
    }

    /// Sends taps, each a note with its key; what became of each, or nothing if no answer came.
    pub(crate) async fn taps(&self, address: SocketAddr, job: &str, keys: &[u128]) -> Option<Vec<Became>> {
        let now_ms = SystemTime::UNIX_EPOCH.elapsed().unwrap().as_millis();
        let taps: Vec<Value> = keys
            .iter()
            .map(|key| {
                let event = json!({ "kind": "noted", "words": format!("tap {key}") });
                let key = uuid::Uuid::from_u128(*key).to_string();
                json!({ "seen": 0, "tap": { "key": key, "at_ms": now_ms as u64, "by": self.name, "event": event } })
            })
            .collect();
        let body = json!({ "now_ms": now_ms as u64, "taps": taps }).to_string();
        let sent = Some(("application/json", body));
        let (status, answer) = self.ask(address, &format!("/jobs/{job}/taps"), sent).await?;
        assert_eq!(status, StatusCode::OK, "{answer:?}");
        let answer: Value = serde_json::from_slice(&answer).unwrap();
        let became = |one: &Value| Became {
            word: one["became"].as_str().unwrap().to_owned(),
            why: one["why"].to_string(),
        };
        Some(answer["answers"].as_array().unwrap().iter().map(became).collect())
    }
}

/// What became of a tap.
#[derive(Debug)]
pub(crate) struct Became {
    pub(crate) word: String,
    pub(crate) why: String,
}
