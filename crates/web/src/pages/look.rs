//! What pages are made of: style, scripts, typeface; built in, so that nothing is fetched from anywhere.

use crate::ask::Ask;
use crate::failure::Failure;
use crate::reply::{File, Reply};
use crate::routes::{Route, show};
use crate::secret::token_hash;
use crate::who::Access;
use serde_json::json;
use std::sync::OnceLock;

struct Piece {
    name: &'static str,
    media_type: &'static str,
    bytes: &'static [u8],
}

const CSS: &str = "text/css; charset=utf-8";
const SCRIPT: &str = "text/javascript; charset=utf-8";
const FONT: &str = "font/otf";

const PIECES: &[Piece] = &[
    Piece { name: "app.css", media_type: CSS, bytes: include_bytes!("../look/app.css") },
    Piece { name: "app.js", media_type: SCRIPT, bytes: include_bytes!("../look/app.js") },
    Piece { name: "fault.js", media_type: SCRIPT, bytes: include_bytes!("../look/fault.js") },
    Piece { name: "fault-taps.js", media_type: SCRIPT, bytes: include_bytes!("../look/fault-taps.js") },
    Piece { name: "stand.css", media_type: CSS, bytes: include_bytes!("../look/stand.css") },
    Piece { name: "stand-store.js", media_type: SCRIPT, bytes: include_bytes!("../look/stand-store.js") },
    Piece { name: "stand-state.js", media_type: SCRIPT, bytes: include_bytes!("../look/stand-state.js") },
    Piece { name: "stand-pad.js", media_type: SCRIPT, bytes: include_bytes!("../look/stand-pad.js") },
    Piece { name: "stand-picture.js", media_type: SCRIPT, bytes: include_bytes!("../look/stand-picture.js") },
    Piece { name: "stand-bolts.js", media_type: SCRIPT, bytes: include_bytes!("../look/stand-bolts.js") },
    Piece { name: "stand.js", media_type: SCRIPT, bytes: include_bytes!("../look/stand.js") },
    Piece { name: "theme.js", media_type: SCRIPT, bytes: include_bytes!("../look/theme.js") },
    Piece { name: "htmx.min.js", media_type: SCRIPT, bytes: include_bytes!("../look/htmx.min.js") },
    Piece { name: "mark.svg", media_type: "image/svg+xml", bytes: include_bytes!("../look/mark.svg") },
    Piece {
        name: "regular.otf",
        media_type: FONT,
        bytes: include_bytes!("../../../sheet/fonts/Inter-Regular.otf"),
    },
    Piece {
        name: "semibold.otf",
        media_type: FONT,
        bytes: include_bytes!("../../../sheet/fonts/Inter-SemiBold.otf"),
    },
];

pub(crate) fn routes() -> Vec<Route> {
    vec![
        show("/look/{name}", Access::Anyone, piece),
        show("/manifest.json", Access::Anyone, manifest),
        show("/robots.txt", Access::Anyone, robots),
    ]
}

/// The address of a piece: it changes with what is in it, so that a browser may keep it for good.
pub(crate) fn address(name: &str) -> String {
    static MARKS: OnceLock<Vec<(&'static str, String)>> = OnceLock::new();
    let marks = MARKS.get_or_init(|| {
        let mark = |piece: &Piece| token_hash(&String::from_utf8_lossy(piece.bytes))[..8].to_owned();
        PIECES.iter().map(|piece| (piece.name, mark(piece))).collect()
    });
    match marks.iter().find(|(known, _)| *known == name) {
        Some((_, mark)) => format!("/look/{name}?{mark}"),
        None => format!("/look/{name}"),
    }
}

fn piece(ask: &Ask) -> Result<Reply, Failure> {
    let name = ask.named("name");
    let Some(piece) = PIECES.iter().find(|piece| piece.name == name) else {
        return Err(Failure::NotFound { what: "file", name: name.to_owned() });
    };
    let text = piece.bytes.to_vec();
    Ok(Reply::File(File {
        media_type: piece.media_type.to_owned(),
        save_as: None,
        bytes: text,
        forever: true,
    }))
}

fn manifest(ask: &Ask) -> Result<Reply, Failure> {
    Ok(Reply::Json(json!({
        "name": ask.house.workshop.name,
        "short_name": "Workshop",
        "start_url": "/",
        "display": "standalone",
        "background_color": "#f6f3ec",
        "theme_color": "#20484f",
        "icons": [{ "src": address("mark.svg"), "sizes": "any", "type": "image/svg+xml" }],
    })))
}

/// A workshop is nobody's search result.
fn robots(_: &Ask) -> Result<Reply, Failure> {
    Ok(Reply::shown("text/plain; charset=utf-8", b"User-agent: *\nDisallow: /\n".to_vec()))
}
