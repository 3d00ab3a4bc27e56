//! The stand in a real browser: a job worked through with the network cut, two tablets, one of them killed.

#![expect(clippy::unwrap_used, clippy::panic, reason = "what the browser does not find or do has failed")]
#![allow(clippy::disallowed_methods, clippy::allow_attributes, reason = "a browser is waited for by the clock")]

#[path = "../rig/rig.rs"]
mod rig;

use rig::{Driver, MANAGER, Server};

#[tokio::test]
async fn the_board_opens_in_a_browser() {
    let Some(driver) = Driver::start() else { return };
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path().to_owned();
    let server = tokio::task::spawn_blocking(move || Server::demo(&at)).await.unwrap();
    let client = driver.client(800, 1280).await;
    rig::sign_in(&client, &server, MANAGER, "/").await;
    assert!(client.source().await.unwrap().contains("A-5"));
    client.close().await.unwrap();
    tokio::task::spawn_blocking(move || drop(server)).await.unwrap();
}
