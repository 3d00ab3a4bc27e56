//! The stand in a real browser: a job worked through with the network cut, two tablets, one of them killed.

#![expect(clippy::unwrap_used, reason = "what the browser does not find or do has failed")]
#![expect(
    clippy::panic,
    clippy::disallowed_methods,
    reason = "a wait that came to nothing says on which page"
)]

#[path = "../rig/rig.rs"]
mod rig;

mod fault;
mod offline;
mod reach;
mod shop_floor;
mod tablet;
mod together;
