//! Changes as they happen, for every page that is open.

use crate::house::House;
use crate::reply::response;
use crate::routes::cookies;
use crate::who::SESSION;
use axum::extract::State;
use axum::http::{HeaderMap, StatusCode};
use axum::response::sse::{Event, KeepAlive, Sse};
use axum::response::{IntoResponse, Response};
use std::convert::Infallible;
use std::sync::Arc;
use std::time::Duration;
use tokio_stream::StreamExt;
use tokio_stream::wrappers::BroadcastStream;
use tokio_stream::wrappers::errors::BroadcastStreamRecvError;

/// A line now and then, so that nothing in between takes the connection for dead.
const KEEP_ALIVE: Duration = Duration::from_secs(20);

/// The stream of changes: number, version, who and what; to whoever is signed in.
pub(crate) async fn stream(State(house): State<Arc<House>>, headers: HeaderMap) -> Response {
    let session = cookies(&headers).text(SESSION).to_owned();
    let asked = house.clone();
    let who = tokio::task::spawn_blocking(move || asked.signed_in(&session)).await;
    if !matches!(who, Ok(Ok(Some(_)))) {
        return response(StatusCode::UNAUTHORIZED, "text/plain; charset=utf-8", "sign in first");
    }
    let changes = BroadcastStream::new(house.live.listen()).map(|changed| {
        let event = match changed {
            Ok(changed) => Event::default().event("changed").data(
                serde_json::json!({
                    "job": changed.number,
                    "version": changed.version,
                    "by": changed.by,
                    "what": changed.what,
                })
                .to_string(),
            ),
            // So much happened that this page has to look at everything again.
            Err(BroadcastStreamRecvError::Lagged(_)) => Event::default().event("all").data("{}"),
        };
        Ok::<Event, Infallible>(event)
    });
    Sse::new(changes).keep_alive(KeepAlive::new().interval(KEEP_ALIVE)).into_response()
}
