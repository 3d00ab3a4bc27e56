//! Why the store refuses or fails: what, where, and what to do.

use crate::record::RecordError;
use diesel::result::{DatabaseErrorKind, Error as Fault};
use std::fmt;
use std::io;
use std::path::{Path, PathBuf};

/// Why something was not kept, not found or not read.
#[derive(Debug)]
pub enum StoreError {
    /// Another program keeps the same files.
    InUse {
        /// The folder.
        folder: PathBuf,
        /// What the other one wrote about itself.
        by: String,
    },
    /// The folder or a file of it cannot be written.
    NotWritable {
        /// What it is about.
        place: String,
        /// What the system said.
        why: String,
    },
    /// The disk is full.
    DiskFull {
        /// What it is about.
        place: String,
    },
    /// A file cannot be read or written.
    File {
        /// The file or folder.
        path: PathBuf,
        /// What the system said.
        why: String,
    },
    /// The database server cannot be reached.
    NotReached {
        /// What the system said.
        why: String,
    },
    /// A connection setting that names a kind of database which is not built in.
    NotBuiltIn,
    /// The store was written by a newer program.
    Newer {
        /// Its version.
        found: i64,
        /// The newest version that this program knows.
        known: i64,
    },
    /// A migration that was run has another text than the one of this program.
    OtherMigration {
        /// Its number.
        version: i64,
    },
    /// The database has tables that are not ours.
    NotOurs {
        /// What it is about.
        place: String,
    },
    /// There is no such thing.
    NotFound {
        /// What was looked for.
        what: &'static str,
        /// Its key.
        key: String,
    },
    /// Something else has the same name or key.
    Taken {
        /// What it is.
        what: &'static str,
        /// The name.
        name: String,
    },
    /// A text is empty, too long, or another one than those accepted.
    Refused {
        /// Which.
        what: &'static str,
        /// What was found and what is wanted.
        why: String,
    },
    /// The key of an entry stands on another entry.
    KeyUsed {
        /// The key.
        key: String,
    },
    /// A record cannot be read or made.
    Record {
        /// Where it stands.
        place: String,
        /// Why.
        error: RecordError,
    },
    /// A target that should be empty holds something.
    NotEmpty {
        /// What it is about.
        place: String,
    },
    /// An export or a backup is not whole.
    Damaged {
        /// The file.
        path: PathBuf,
        /// What is wrong.
        why: String,
    },
    /// The database is damaged.
    Corrupt {
        /// What the database said.
        why: String,
    },
    /// Anything else that the database said.
    Database {
        /// What the database said.
        why: String,
    },
}

impl fmt::Display for StoreError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::InUse { folder, by } => write!(
                f,
                "`{}` is kept by another cogwright ({by}): close that one, or choose another folder",
                folder.display()
            ),
            Self::NotWritable { place, why } => write!(
                f,
                "{place} cannot be written ({why}); what was kept before is untouched: allow writing there, or choose another folder"
            ),
            Self::DiskFull { place } => write!(
                f,
                "the disk is full: nothing of this was kept in {place}, and what was kept before is untouched; make room, then do it again"
            ),
            Self::File { path, why } => {
                write!(f, "`{}`: {why}; check the path and its permissions", path.display())
            }
            Self::NotReached { why } => write!(
                f,
                "the database server does not answer: {why}; check the address, and that the server runs"
            ),
            Self::NotBuiltIn => write!(
                f,
                "a PostgreSQL address was given, but this program is built without PostgreSQL: give a folder, or use a program built with the feature `postgres`"
            ),
            Self::Newer { found, known } => write!(
                f,
                "the store has version {found}, and this program knows versions up to {known}: use the newer program; nothing was changed"
            ),
            Self::OtherMigration { version } => write!(
                f,
                "the store came to version {version} by other steps than those of this program: restore a backup, or use the program that wrote it"
            ),
            Self::NotOurs { place } => write!(
                f,
                "{place} holds a database that is not a workshop's: choose an empty place; nothing was changed"
            ),
            Self::NotFound { what, key } => write!(f, "there is no {what} `{key}`"),
            Self::Taken { what, name } => write!(f, "there is a {what} `{name}` already: choose another"),
            Self::Refused { what, why } => write!(f, "{what}: {why}"),
            Self::KeyUsed { key } => {
                write!(f, "the key {key} stands on another entry: send this one with a new key")
            }
            Self::Record { place, error } => write!(f, "{place}: {error}"),
            Self::NotEmpty { place } => {
                write!(f, "{place} is not empty: choose an empty one; nothing was changed")
            }
            Self::Damaged { path, why } => {
                write!(f, "`{}` is not whole: {why}; use another copy", path.display())
            }
            Self::Corrupt { why } => write!(
                f,
                "the database is damaged ({why}): stop, copy the folder as it is, then restore the last backup"
            ),
            Self::Database { why } => write!(f, "the database refused: {why}; nothing of this was kept"),
        }
    }
}

impl std::error::Error for StoreError {}

impl StoreError {
    /// What a file system said about a path.
    pub(crate) fn file(path: &Path, error: &io::Error) -> Self {
        match error.kind() {
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded | io::ErrorKind::FileTooLarge => {
                Self::DiskFull { place: format!("`{}`", path.display()) }
            }
            io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
                Self::NotWritable { place: format!("`{}`", path.display()), why: error.to_string() }
            }
            _ => Self::File { path: path.to_owned(), why: error.to_string() },
        }
    }

    /// What a database said, in our words where we know better ones.
    pub(crate) fn database(place: &str, fault: &Fault) -> Self {
        let why = fault.to_string();
        let has = |words: &[&str]| words.iter().any(|word| why.contains(word));
        let gone =
            has(&["server closed the connection", "terminating connection", "no connection to the server"]);
        if gone || matches!(fault, Fault::DatabaseError(DatabaseErrorKind::ClosedConnection, _)) {
            Self::NotReached { why: why.lines().next().unwrap_or_default().to_owned() }
        } else if has(&["disk is full", "No space left", "could not extend file"]) {
            Self::DiskFull { place: place.to_owned() }
        } else if has(&["readonly database", "read-only", "unable to open database file", "disk I/O error"]) {
            Self::NotWritable { place: place.to_owned(), why }
        } else if has(&["malformed", "not a database"]) {
            Self::Corrupt { why }
        } else {
            Self::Database { why }
        }
    }
}
