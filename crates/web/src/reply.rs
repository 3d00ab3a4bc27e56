//! What a browser is answered.

use crate::page::Page;
use axum::body::Body;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::Response;
use maud::Markup;
use serde_json::Value;

/// An answer.
pub(crate) enum Reply {
    /// A whole page.
    Page(Page),
    /// A part of a page.
    Part(Markup),
    /// Another page: where things stand now.
    Go(String),
    /// Data.
    Json(Value),
    /// A file.
    File(File),
    /// Another answer, with cookies.
    With(Box<Reply>, Vec<String>),
}

/// A file that is shown or saved.
pub(crate) struct File {
    /// Its media type.
    pub(crate) media_type: String,
    /// Its name, if it is to be saved rather than shown.
    pub(crate) save_as: Option<String>,
    /// Its bytes.
    pub(crate) bytes: Vec<u8>,
    /// Whether it never changes under its address.
    pub(crate) forever: bool,
}

impl Reply {
    /// The same answer with a cookie.
    pub(crate) fn with_cookie(self, cookie: String) -> Self {
        match self {
            Self::With(reply, mut cookies) => {
                cookies.push(cookie);
                Self::With(reply, cookies)
            }
            other => Self::With(Box::new(other), vec![cookie]),
        }
    }

    /// A file that is shown.
    pub(crate) fn shown(media_type: &str, bytes: Vec<u8>) -> Self {
        Self::File(File { media_type: media_type.to_owned(), save_as: None, bytes, forever: false })
    }

    /// A file that is saved.
    pub(crate) fn saved(media_type: &str, name: String, bytes: Vec<u8>) -> Self {
        Self::File(File { media_type: media_type.to_owned(), save_as: Some(name), bytes, forever: false })
    }
}

/// An answer with a status, a media type and a body.
pub(crate) fn response(status: StatusCode, media_type: &str, body: impl Into<Body>) -> Response {
    let mut response = Response::new(body.into());
    *response.status_mut() = status;
    if let Ok(value) = HeaderValue::from_str(media_type) {
        response.headers_mut().insert(header::CONTENT_TYPE, value);
    }
    // What a page shows belongs to whoever is signed in: nobody in between keeps it.
    response.headers_mut().insert(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
    response
}

/// A page as HTML.
pub(crate) fn html(status: StatusCode, page: Markup) -> Response {
    response(status, "text/html; charset=utf-8", page.into_string())
}
