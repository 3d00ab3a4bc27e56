//! The table of pages: path, who may open it, who answers. Begin with [`ROUTES`].

use crate::ask::{Ask, Fields};
use crate::clock;
use crate::failure::{Failure, FieldFault};
use crate::house::House;
use crate::page;
use crate::pages;
use crate::reply::{File, Reply, html, response};
use crate::serve::Peer;
use crate::who::{Access, SESSION};
use axum::body::Bytes;
use axum::extract::{ConnectInfo, DefaultBodyLimit, RawPathParams, RawQuery, State};
use axum::http::uri::Authority;
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, StatusCode, Uri, header};
use axum::response::{IntoResponse, Response};
use axum::routing::{MethodFilter, on};
use axum::{Extension, Router};
use std::collections::BTreeMap;
use std::convert::Infallible;
use std::sync::Arc;

/// A page or an act.
pub(crate) struct Route {
    /// `GET` shows, `POST` changes.
    pub(crate) method: Method,
    /// Its path, names in braces.
    pub(crate) path: &'static str,
    /// Who may.
    pub(crate) access: Access,
    /// Most bytes that are taken.
    pub(crate) most_bytes: usize,
    /// Who answers.
    pub(crate) answer: fn(&Ask) -> Result<Reply, Failure>,
}

/// What a form may be long: a page of text.
const FORM_BYTES: usize = 256 * 1024;

/// A page that is shown.
pub(crate) const fn show(
    path: &'static str,
    access: Access,
    answer: fn(&Ask) -> Result<Reply, Failure>,
) -> Route {
    Route { method: Method::GET, path, access, most_bytes: FORM_BYTES, answer }
}

/// Something that is changed.
pub(crate) const fn change(
    path: &'static str,
    access: Access,
    answer: fn(&Ask) -> Result<Reply, Failure>,
) -> Route {
    Route { method: Method::POST, path, access, most_bytes: FORM_BYTES, answer }
}

impl Route {
    /// The same with room for longer bodies.
    pub(crate) const fn up_to(mut self, most_bytes: usize) -> Self {
        self.most_bytes = most_bytes;
        self
    }
}

/// Every page, in the order of the rooms.
pub(crate) fn routes() -> Vec<Route> {
    pages::ROOMS.iter().flat_map(|room| room()).collect()
}

/// The router of a house.
pub(crate) fn router(house: Arc<House>) -> Router {
    let mut router = Router::new();
    for route in routes() {
        let filter = if route.method == Method::GET { MethodFilter::GET } else { MethodFilter::POST };
        let (access, answer, most) = (route.access, route.answer, route.most_bytes);
        let handler = move |state, path, query, peer, headers, method, uri, body| {
            answered(Gate { access, answer, most }, state, path, query, peer, headers, method, uri, body)
        };
        let method = on(filter, handler).layer(DefaultBodyLimit::max(most));
        router = router.route(route.path, method);
    }
    router.route("/live", axum::routing::get(pages::live::stream)).fallback(not_found).with_state(house)
}

/// What stands before an answer.
struct Gate {
    access: Access,
    answer: fn(&Ask) -> Result<Reply, Failure>,
    most: usize,
}

#[expect(clippy::too_many_arguments, reason = "the pieces of a request, each taken apart by the library")]
async fn answered(
    gate: Gate,
    State(house): State<Arc<House>>,
    path: RawPathParams,
    RawQuery(query): RawQuery,
    peer: Option<Extension<ConnectInfo<Peer>>>,
    headers: HeaderMap,
    method: Method,
    uri: Uri,
    body: Result<Bytes, axum::extract::rejection::BytesRejection>,
) -> Response {
    let part = headers.contains_key("hx-request");
    let Ok(body) = body else {
        return failed(&Failure::TooLong { most: gate.most }, part, None, &house);
    };
    let path: Fields = path.iter().map(|(name, text)| (name.to_owned(), text.to_owned())).collect();
    let media_type = text_of(&headers, &header::CONTENT_TYPE).to_owned();
    let mut files = BTreeMap::new();
    let (form, body) = if media_type.starts_with("application/x-www-form-urlencoded") {
        (fields(&String::from_utf8_lossy(&body)), Vec::new())
    } else if media_type.starts_with("multipart/form-data") {
        match with_files(&media_type, body).await {
            Ok((form, found)) => {
                files = found;
                (form, Vec::new())
            }
            Err(why) => {
                let fault = FieldFault::one("Form", "a form that does not read", why.to_string());
                return failed(&fault, part, None, &house);
            }
        }
    } else {
        (Fields::default(), body.to_vec())
    };
    let mut ask = Ask {
        who: None,
        path,
        query: fields(query.as_deref().unwrap_or_default()),
        form,
        files,
        body,
        media_type,
        peer: peer
            .map_or_else(|| "unknown".to_owned(), |Extension(ConnectInfo(peer))| peer.0.ip().to_string()),
        uri: uri.path_and_query().map_or_else(|| "/".to_owned(), |whole| whole.to_string()),
        host: host_of(&uri, &headers),
        cookies: cookies(&headers),
        house: house.clone(),
    };
    let show = method == Method::GET;
    // The store waits for the disk and a plan for the processor: neither holds up other pages.
    let work = tokio::task::spawn_blocking(move || {
        let answer = ask.house.signed_in(ask.cookies.text(SESSION)).and_then(|who| {
            ask.who = who;
            gate.access.admits(ask.who.as_ref())?;
            (gate.answer)(&ask)
        });
        (answer, ask)
    });
    match work.await {
        Ok((Ok(reply), ask)) => finished(reply, part, &ask),
        Ok((Err(Failure::SignIn), ask)) if show && !part => {
            finished(Reply::Go(format!("/sign-in?to={}", escape(&ask.uri))), false, &ask)
        }
        Ok((Err(failure), ask)) => failed(&failure, part, Some(&ask), &house),
        Err(fault) => {
            let why = if fault.is_panic() { "it stopped in the middle" } else { "the server is closing" };
            failed(&Failure::Fault { what: "this page has a fault", why: why.to_owned() }, part, None, &house)
        }
    }
}

/// A form with files: texts and files apart.
async fn with_files(
    media_type: &str,
    body: Bytes,
) -> Result<(Fields, BTreeMap<String, Vec<u8>>), multer::Error> {
    let boundary = multer::parse_boundary(media_type)?;
    let whole = tokio_stream::once(Ok::<Bytes, Infallible>(body));
    let mut form = multer::Multipart::new(whole, boundary);
    let (mut texts, mut files) = (Vec::new(), BTreeMap::new());
    while let Some(field) = form.next_field().await? {
        let name = field.name().unwrap_or_default().to_owned();
        if field.file_name().is_some() {
            files.insert(name, field.bytes().await?.to_vec());
        } else {
            texts.push((name, field.text().await?));
        }
    }
    Ok((texts.into_iter().collect(), files))
}

/// A page that there is not: who is signed in stays so.
async fn not_found(State(house): State<Arc<House>>, headers: HeaderMap, uri: Uri) -> Response {
    let failure = Failure::NotFound { what: "page", name: uri.path().to_owned() };
    let part = headers.contains_key("hx-request");
    let session = cookies(&headers).text(SESSION).to_owned();
    let asked = house.clone();
    let who = tokio::task::spawn_blocking(move || asked.signed_in(&session)).await;
    match who {
        Ok(Ok(Some(who))) if !part => {
            let page = page::frame(&page::of_failure(&failure), Some(&who), &house, uri.path());
            html(failure.status(), page)
        }
        _ => failed(&failure, part, None, &house),
    }
}

/// The answer as it goes out.
fn finished(reply: Reply, part: bool, ask: &Ask) -> Response {
    match reply {
        Reply::Page(page) => html(StatusCode::OK, page::frame(&page, ask.who.as_ref(), &ask.house, &ask.uri)),
        Reply::Part(part) => html(StatusCode::OK, part),
        // A form that the script sent is told where to go; one that the browser sent goes there.
        Reply::Go(to) if part => {
            with(response(StatusCode::OK, "text/plain; charset=utf-8", ""), "hx-redirect", &to)
        }
        Reply::Go(to) => {
            with(response(StatusCode::SEE_OTHER, "text/plain; charset=utf-8", ""), "location", &to)
        }
        Reply::Json(value) => response(StatusCode::OK, "application/json", value.to_string()),
        Reply::File(file) => file_response(file),
        Reply::With(reply, cookies) => {
            let mut response = finished(*reply, part, ask);
            for cookie in cookies {
                if let Ok(value) = HeaderValue::from_str(&cookie) {
                    response.headers_mut().append(header::SET_COOKIE, value);
                }
            }
            response
        }
    }
}

fn file_response(file: File) -> Response {
    let mut response = response(StatusCode::OK, &file.media_type, file.bytes);
    if let Some(name) = file.save_as {
        let plain: String = name
            .chars()
            .map(|c| if c.is_ascii_alphanumeric() || ".-_".contains(c) { c } else { '_' })
            .collect();
        response = with(response, "content-disposition", &format!("attachment; filename=\"{plain}\""));
    }
    if file.forever {
        response = with(response, "cache-control", "public, max-age=31536000, immutable");
    }
    response
}

/// The answer to something that was not done.
fn failed(failure: &Failure, part: bool, ask: Option<&Ask>, house: &House) -> Response {
    if let Some(line) = failure.log_line() {
        eprintln!("{} {line}", clock::moment_iso(clock::now()));
    }
    let mut answer = if part {
        html(failure.status(), failure.notice())
    } else if ask.is_some_and(|ask| ask.media_type.starts_with("application/json")) {
        let lines = failure.lines();
        let text = serde_json::json!({ "what": failure.heading(), "why": lines }).to_string();
        response(failure.status(), "application/json", text)
    } else {
        let who = ask.and_then(|ask| ask.who.as_ref());
        let uri = ask.map_or("/", |ask| &ask.uri);
        html(failure.status(), page::frame(&page::of_failure(failure), who, house, uri))
    };
    if let Failure::Wait { seconds } = failure {
        answer = with(answer, "retry-after", &seconds.to_string());
    }
    answer.into_response()
}

fn with(mut response: Response, name: &'static str, value: &str) -> Response {
    if let Ok(value) = HeaderValue::from_str(value) {
        response.headers_mut().insert(HeaderName::from_static(name), value);
    }
    response
}

fn text_of<'a>(headers: &'a HeaderMap, name: &HeaderName) -> &'a str {
    headers.get(name).and_then(|value| value.to_str().ok()).unwrap_or_default()
}

/// Where the browser went: a host with its port, and no name of a person in it. The newer protocol says it in the path.
fn host_of(uri: &Uri, headers: &HeaderMap) -> Option<String> {
    let said = || text_of(headers, &header::HOST).parse::<Authority>().ok();
    let host = uri.authority().cloned().or_else(said)?;
    (!host.as_str().contains('@')).then(|| host.to_string())
}

/// The cookies of a request.
pub(crate) fn cookies(headers: &HeaderMap) -> Fields {
    let all = headers.get_all(header::COOKIE).into_iter().filter_map(|value| value.to_str().ok());
    all.flat_map(|line| line.split(';'))
        .filter_map(|pair| pair.split_once('='))
        .map(|(name, value)| (name.trim().to_owned(), value.trim().to_owned()))
        .collect()
}

/// The fields of a form or of what stands after the question mark.
fn fields(text: &str) -> Fields {
    serde_urlencoded::from_str::<Vec<(String, String)>>(text).unwrap_or_default().into_iter().collect()
}

/// A path as it may stand in a query.
pub(crate) fn escape(text: &str) -> String {
    let keep = |byte: u8| byte.is_ascii_alphanumeric() || b"-_.~/".contains(&byte);
    text.bytes()
        .map(|byte| if keep(byte) { char::from(byte).to_string() } else { format!("%{byte:02X}") })
        .collect()
}
