//! The app under what goes wrong around it: killed, the disk full, the folder closed, opened twice; and its door over TLS.

#![expect(clippy::unwrap_used, reason = "what does not answer has failed")]
#![expect(
    clippy::disallowed_methods,
    reason = "waits need a clock, and the killed program finds its place in the environment"
)]
#![expect(clippy::panic, reason = "an answer that is none of those expected says which it was")]

#[path = "../rig/settings.rs"]
mod settings;

mod client;
mod killed;
mod room;
mod running;
mod tls;
