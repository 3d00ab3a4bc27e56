//! The app from outside its pages: requests as browsers and others send them, answered by the real routes over a real
//! store, without a network.

mod desk;
mod doors;
mod fault;
mod job;
mod safety;
mod taps;

use crate::clock;
use crate::demo;
use crate::house::House;
use crate::secret::{Token, slow_hash};
use crate::serve::app;
use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{Method, Request, StatusCode, header};
use intake::Source;
use std::sync::{Arc, OnceLock};
use store::{Place, Role, SessionRecord, Store};
use tempfile::TempDir;
use tower::ServiceExt;

/// A shop in a folder of its own, and the app over it.
struct Shop {
    house: Arc<House>,
    app: Router,
    _folder: TempDir,
}

/// The password of everybody here; hashed once, since hashing is slow on purpose.
const PASSWORD: &str = "a long password";
const PIN: &str = "1357";

fn hashes() -> &'static (String, String) {
    static HASHES: OnceLock<(String, String)> = OnceLock::new();
    HASHES.get_or_init(|| (slow_hash(PASSWORD).unwrap(), slow_hash(PIN).unwrap()))
}

impl Shop {
    /// A shop with five people and no job.
    fn new() -> Self {
        Self::with(Self::people)
    }

    fn people(house: &House) {
        for (name, role) in [
            ("Manager", Role::Manager),
            ("Counter", Role::Counter),
            ("First", Role::Technician),
            ("Second", Role::Technician),
        ] {
            let mut person = house.store.add_person(name, role, clock::now()).unwrap();
            person.password_hash = Some(hashes().0.clone());
            person.pin_hash = Some(hashes().1.clone());
            house.store.change_person(&person).unwrap();
        }
    }

    /// The invented shop.
    fn demo() -> Self {
        Self::with(|house| demo::fill(house).unwrap())
    }

    fn with(fill: impl FnOnce(&House)) -> Self {
        Self::in_shape(|_| (), fill)
    }

    /// A shop whose file says something else.
    fn in_shape(shape: impl FnOnce(&mut shop::Workshop), fill: impl FnOnce(&House)) -> Self {
        let folder = TempDir::new().unwrap();
        let place = place(&folder);
        let workshop = Source { name: "shop.toml", text: include_str!("../../cogwright/shop.toml") };
        let mut workshop = intake::read_shop(workshop).unwrap();
        shape(&mut workshop);
        let house = House::new(Store::open(&place).unwrap(), workshop, Vec::new(), "A".to_owned()).unwrap();
        fill(&house);
        let house = Arc::new(house);
        Self { app: app(house.clone()), house, _folder: folder }
    }

    /// A browser in which a person is signed in.
    fn as_person(&self, name: &str) -> Browser<'_> {
        let person = self.house.store.person_named(name).unwrap().unwrap();
        let token = Token::new().unwrap();
        let (now, token_hash) = (clock::now().0, token.hash());
        let session = SessionRecord {
            token_hash,
            person: person.id,
            begun_ms: now,
            until_ms: now + 60_000_000,
            tablet: None,
        };
        self.house.store.begin_session(&session).unwrap();
        Browser {
            shop: self,
            cookies: vec![("session".to_owned(), token.as_str().to_owned())],
            script: false,
        }
    }

    /// A browser in which nobody is signed in.
    fn as_nobody(&self) -> Browser<'_> {
        Browser { shop: self, cookies: Vec::new(), script: false }
    }
}

/// A folder of its own; with the feature for servers and a server of the test command, a new database on it.
fn place(folder: &TempDir) -> Place {
    #[cfg(feature = "postgres")]
    #[expect(clippy::disallowed_methods, reason = "the test command says where its server is")]
    if let Ok(address) = std::env::var("STORE_TEST_POSTGRES") {
        let name = format!("w{}", uuid::Uuid::new_v4().simple());
        let made = std::process::Command::new("createdb")
            .arg(format!("--maintenance-db={}", address.replace("{}", "postgres")))
            .arg(&name)
            .status();
        assert!(made.unwrap().success(), "no database was made");
        return Place::Server(address.replace("{}", &name));
    }
    Place::Folder(folder.path().join("shop"))
}

/// Somebody's browser.
struct Browser<'a> {
    shop: &'a Shop,
    cookies: Vec<(String, String)>,
    /// Whether forms are sent by the script of the page.
    script: bool,
}

/// What came back.
struct Answer {
    status: StatusCode,
    headers: axum::http::HeaderMap,
    body: Vec<u8>,
}

impl Answer {
    fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }

    fn header(&self, name: &str) -> &str {
        self.headers.get(name).map_or("", |value| value.to_str().unwrap())
    }

    /// What stands between two pieces of the page.
    fn between(&self, before: &str, after: &str) -> String {
        let text = self.text();
        let from = text.find(before).unwrap_or_else(|| panic!("no `{before}` in {text}")) + before.len();
        let to = text[from..].find(after).unwrap();
        text[from..from + to].to_owned()
    }
}

impl Browser<'_> {
    async fn send(&mut self, request: Request<Body>) -> Answer {
        let response = self.shop.app.clone().oneshot(request).await.unwrap();
        let (parts, body) = response.into_parts();
        for cookie in parts.headers.get_all(header::SET_COOKIE) {
            let text = cookie.to_str().unwrap();
            let (name, value) = text.split(';').next().unwrap().split_once('=').unwrap();
            self.cookies.retain(|(known, _)| known != name);
            if !value.is_empty() {
                self.cookies.push((name.to_owned(), value.to_owned()));
            }
        }
        let body = to_bytes(body, usize::MAX).await.unwrap().to_vec();
        Answer { status: parts.status, headers: parts.headers, body }
    }

    fn request(&self, method: Method, path: &str) -> axum::http::request::Builder {
        let cookies: Vec<String> =
            self.cookies.iter().map(|(name, value)| format!("{name}={value}")).collect();
        let mut request = Request::builder().method(method).uri(path).header("host", "shop.example");
        if !cookies.is_empty() {
            request = request.header("cookie", cookies.join("; "));
        }
        if self.script {
            request = request.header("hx-request", "true");
        }
        request
    }

    async fn get(&mut self, path: &str) -> Answer {
        let request = self.request(Method::GET, path).body(Body::empty()).unwrap();
        self.send(request).await
    }

    async fn post(&mut self, path: &str, fields: &[(&str, &str)]) -> Answer {
        let form = serde_urlencoded::to_string(fields).unwrap();
        let request = self
            .request(Method::POST, path)
            .header("content-type", "application/x-www-form-urlencoded")
            .header("sec-fetch-site", "same-origin")
            .body(Body::from(form))
            .unwrap();
        self.send(request).await
    }

    /// Does something to a job; the answer leads to a page of it.
    async fn act(&mut self, job: &str, act: &str, fields: &[(&str, &str)]) -> Answer {
        let mut all = vec![("act", act)];
        all.extend_from_slice(fields);
        self.post(&format!("/jobs/{job}/act"), &all).await
    }

    /// The same, which has to be done.
    async fn does(&mut self, job: &str, act: &str, fields: &[(&str, &str)]) {
        let answer = self.act(job, act, fields).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{act} {fields:?}: {}", notice(&answer));
    }

    /// The same, which is refused with these words.
    async fn may_not(&mut self, job: &str, act: &str, fields: &[(&str, &str)], words: &str) {
        let answer = self.act(job, act, fields).await;
        assert!(answer.status.is_client_error(), "{act} was done: {}", answer.status);
        let notice = notice(&answer);
        assert!(notice.contains(words), "{act}: `{words}` is not in `{notice}`");
    }
}

/// The notice on a page.
fn notice(answer: &Answer) -> String {
    let text = answer.text();
    let Some(from) = text.find("role=\"alert\"") else { return text };
    let end = text[from..].find("</section>").unwrap_or(text.len() - from);
    text[from..from + end].replace("&#39;", "'").replace("&quot;", "\"")
}
