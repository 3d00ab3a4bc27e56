//! The stand: one step a screen, worked by a small program on the tablet that goes on without the network.
//!
//! The page is a shell without anything of the job in it; what it shows comes from `stand.json` ([`view`]), what is
//! tapped goes to `taps` ([`taps`]). The tablet keeps both while the network is gone.

pub(crate) mod bolt;
pub(crate) mod expected;
pub(crate) mod pictures;
pub(crate) mod taps;
pub(crate) mod view;

use super::card;
use crate::ask::Ask;
use crate::failure::{Failure, FieldFault};
use crate::page::Page;
use crate::pages::look;
use crate::reply::Reply;
use crate::routes::{Route, change, show};
use crate::who::Access;
use maud::html;
use serde_json::json;
use store::photo::MOST_PHOTO_BYTES;

pub(crate) fn routes() -> Vec<Route> {
    vec![
        show("/jobs/{job}/stand", Access::Staff, page),
        show("/jobs/{job}/stand.json", Access::Staff, data),
        show("/jobs/{job}/stand/pictures.json", Access::Staff, drawn),
        change("/jobs/{job}/taps", Access::Staff, taps::take),
        change("/jobs/{job}/stand/photo", Access::Staff, photo).up_to(MOST_PHOTO_BYTES),
        show("/worker.js", Access::Anyone, worker),
    ]
}

/// The shell. The script fills it; without scripts there is the way by the other pages.
fn page(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    let number = card.number();
    let body = html! {
        link rel="stylesheet" href=(look::address("stand.css"));
        div #stand data-job=(number) {
            h1 { "Stand " (number) }
            p { "One moment: the steps of this job are being fetched." }
            noscript { p { "This page needs its script. The same can be done under " a href=(super::address(&card, "/check")) { "Checks" } "." } }
        }
    };
    let mut page = Page::bare(format!("{number} Stand"), body);
    page.scripts = &[
        "stand-store.js",
        "stand-state.js",
        "stand-pad.js",
        "stand-picture.js",
        "stand-bolts.js",
        "stand.js",
    ];
    Ok(Reply::Page(page))
}

fn data(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    let view = view::of(&ask.house, &card, ask.who()?)?;
    serde_json::to_value(view)
        .map(Reply::Json)
        .map_err(|why| Failure::Fault { what: "the stand does not become data", why: why.to_string() })
}

/// The pictures of the steps; their mark stands in the data of the steps.
fn drawn(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    serde_json::to_value(pictures::of(&card, &ask.house.workshop.book)?)
        .map(Reply::Json)
        .map_err(|why| Failure::Fault { what: "the pictures do not become data", why: why.to_string() })
}

/// A photo of a problem: the bytes of the picture, what it shows after the question mark. The same picture with the
/// same words is kept once, however often a tablet sends it.
fn photo(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    let who = ask.who()?;
    let about = ask.query.said("about", "What it shows")?;
    if ask.body.is_empty() {
        return Err(FieldFault::one("Photo", "", "a picture is wanted: JPEG, PNG or WebP"));
    }
    let now = ask.now();
    let store = &ask.house.store;
    let photo = store.keep_photo(&ask.body, now)?;
    let known = store.photos_of(&card.record.id)?;
    if !known.iter().any(|known| known.photo == photo.hash && known.about == about) {
        store.attach_photo(&card.record.id, &photo.hash, &about, &who.person.to_string(), now)?;
    }
    Ok(Reply::Json(json!({ "photo": photo.hash })))
}

/// The script that stands between the tablet's pages and the network: at the top, so that it sees the whole app.
fn worker(_: &Ask) -> Result<Reply, Failure> {
    let script = include_bytes!("../../look/worker.js").to_vec();
    Ok(Reply::shown("text/javascript; charset=utf-8", script))
}
