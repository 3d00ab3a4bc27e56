//! The words of the command line that belong to the workshop app: serving it, and its records.

use clap::{Args as Group, Subcommand};
use std::path::PathBuf;

/// How the workshop app is served.
#[derive(Debug, Group)]
pub(crate) struct Serve {
    /// Where the records are kept: a folder, made on first start, or the address of a PostgreSQL database for several
    /// branches, `postgresql://user@host/database`. Without it a folder of this name beside you: `cogwright-shop`.
    #[arg(long, value_name = "PLACE")]
    pub store: Option<String>,
    /// Where to listen. Anything but this machine itself wants TLS, here or at a proxy in front.
    #[arg(long, value_name = "ADDRESS:PORT", default_value = "127.0.0.1:8070")]
    pub listen: std::net::SocketAddr,
    /// Speak TLS with this certificate, a PEM file with those above it.
    #[arg(long, value_name = "FILE", requires = "tls_key")]
    pub tls_certificate: Option<PathBuf>,
    /// The key of the certificate, a PEM file.
    #[arg(long, value_name = "FILE", requires = "tls_certificate")]
    pub tls_key: Option<PathBuf>,
    /// Where pages are reached from outside, such as `https://shop.example`: links and codes are made with it.
    #[arg(long, value_name = "URL")]
    pub address: Option<String>,
    /// The letters before the numbers of this branch.
    #[arg(long, value_name = "LETTERS", default_value = "A")]
    pub branch: String,
    /// The shop file: money, taxes, risks, people, hours; the built-in invented one without it.
    #[arg(long, value_name = "FILE")]
    pub shop: Option<PathBuf>,
    /// The shop's own book: files with its torques and rules, each with name and date.
    #[arg(long, value_name = "FILE")]
    pub own: Vec<PathBuf>,
    /// Fill an empty store with an invented shop, and print its sign-in.
    #[arg(long)]
    pub demo: bool,
    /// The name of the first manager of a new store; the password is made and shown once.
    #[arg(long, value_name = "NAME", conflicts_with = "demo")]
    pub first_manager: Option<String>,
}

/// What to do with the records.
#[derive(Debug, Group)]
pub(crate) struct Records {
    /// Where the records are kept: a folder or the address of a database.
    #[arg(long, value_name = "PLACE", default_value = "cogwright-shop")]
    pub store: String,
    /// What to do.
    #[command(subcommand)]
    pub act: RecordsAct,
}

/// What can be done with the records.
#[derive(Debug, Subcommand)]
pub(crate) enum RecordsAct {
    /// Copy everything while the app runs.
    Backup {
        /// The file of the copy; for a database server a folder of open files.
        to: PathBuf,
    },
    /// Put a copy back into an empty place.
    Restore {
        /// The copy.
        from: PathBuf,
    },
    /// Read every entry and photo back and say what is wrong.
    Check,
    /// Write everything as open files: JSON with schema, CSV, photos.
    Export {
        /// The folder, new or empty.
        to: PathBuf,
    },
    /// Read open files into an empty place.
    Import {
        /// The folder.
        from: PathBuf,
    },
}
