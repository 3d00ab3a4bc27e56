//! The store, tried on every kind of database that it is built for. Begin with `invented`, the shop that it keeps.

#![expect(clippy::unwrap_used, reason = "what is not kept or not read back has failed")]

mod archive;
mod faults;
mod invented;
mod keep;
mod migrate;
mod record;
