//! The workshop app: pages for counter, desk and stand, served on the shop's own machine.
//!
//! Begin with [`Settings`] and [`Server::open`]; [`Server::run`] answers until it is told to stop. A page is made from
//! the job's card (`card.rs`: entries, state, plans); a tap goes through `act.rs`, where the job judges it and the
//! store keeps it. The rooms stand in `pages.rs`, who may enter them in `routes.rs`. No rule lives here.

mod act;
mod ask;
mod card;
mod clock;
mod demo;
mod failure;
mod guard;
mod house;
mod live;
mod options;
mod page;
mod pages;
mod queue;
mod reply;
mod rides;
mod routes;
mod secret;
mod serve;
mod skills;
#[cfg(test)]
mod tests;
mod who;

pub use serve::{FirstSignIn, ServeError, Server, Settings, Tls};
