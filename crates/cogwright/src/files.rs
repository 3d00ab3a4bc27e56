//! Reads files from disk, and turns what goes wrong into words.

use catalog::Catalogue;
use fit::Refit;
use intake::ride_file::{MOST_RIDE_BYTES, RecordedRide, RideProblem, read_ride};
use intake::spreadsheet::{CellProblems, ExportError};
use intake::{OwnBook, Problems, Source, check_bytes, check_catalogue_bytes};
use std::fs::{self, File, OpenOptions};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

/// The built-in example: an invented bike of an invented shop.
pub(crate) const EXAMPLE: &str = include_str!("../example.toml");
/// What the example is called in messages.
pub(crate) const EXAMPLE_NAME: &str = "example.toml";

/// The built-in shop, invented.
pub(crate) const SHOP: &str = include_str!("../shop.toml");
/// What it is called in messages.
const SHOP_NAME: &str = "shop.toml";

/// Why a command could not be carried out.
#[derive(Debug)]
pub(crate) enum Failure {
    /// A file could not be opened, read or written.
    File {
        /// The file.
        path: PathBuf,
        /// What was to be done.
        act: &'static str,
        /// Why it was not.
        why: io::Error,
    },
    /// The file exists and is not overwritten.
    Exists(PathBuf),
    /// A torque, a wrench or a bolt that is none.
    Bolt(shop::torque::BoltError),
    /// The text of a file was refused.
    Text(Problems),
    /// A recorded ride was refused.
    Ride {
        /// The file.
        path: PathBuf,
        /// Why.
        why: RideProblem,
    },
    /// The rows of a sheet were refused.
    Sheet(CellProblems),
    /// Parts could not be written as a sheet.
    Export(ExportError),
    /// The text of a new catalogue file is longer than one that is read.
    TooLong {
        /// The file.
        path: PathBuf,
        /// Its length in bytes.
        length: usize,
    },
    /// A change order lacks something, or cannot be counted.
    Change(Vec<shop::ChangeError>),
    /// A word that is none of the accepted ones.
    Word {
        /// What was found.
        found: String,
        /// What it should be.
        kind: &'static str,
        /// The accepted words.
        accepted: Vec<&'static str>,
    },
    /// No part of the catalogue has this key.
    NoPart(String),
    /// The book of steps and operations does not have what a plan asks for.
    Book(shop::BookError),
    /// No set of parts can be chosen.
    Choice(fit::ChooseError),
    /// An estimate cannot be made.
    Estimate(Vec<shop::EstimateError>),
    /// An invoice cannot be made.
    Invoice(document::InvoiceError),
    /// What was seen of a bike cannot be weighed, or is of another bike than the refit.
    Complaint(String),
    /// A sheet or drawing could not be made, or has no place of its own.
    #[cfg(feature = "sheets")]
    Paper(String),
    /// The app cannot be served, or its records cannot be handled.
    #[cfg(feature = "serve")]
    Serve(String),
    /// The answer could not be written out.
    Out(io::Error),
}

impl From<Problems> for Failure {
    fn from(problems: Problems) -> Self {
        Self::Text(problems)
    }
}

/// The text of a file with its name, checked for size and encoding.
pub(crate) struct Text {
    /// The name for messages.
    pub name: String,
    /// The text.
    pub text: String,
}

/// Reads a text file; `-` is standard input.
pub(crate) fn read(path: &Path) -> Result<Text, Failure> {
    let (name, bytes) = read_bytes(path, intake::MOST_BYTES)?;
    let text = check_bytes(&name, &bytes)?.to_owned();
    Ok(Text { name, text })
}

/// Reads a catalogue file, which may be longer.
fn read_catalogue(path: &Path) -> Result<Text, Failure> {
    let (name, bytes) = read_bytes(path, intake::MOST_CATALOGUE_BYTES)?;
    let text = check_catalogue_bytes(&name, &bytes)?.to_owned();
    Ok(Text { name, text })
}

/// The name of a file for messages, and its bytes. At most one byte over the limit is read, whatever its size.
pub(crate) fn read_bytes(path: &Path, most: usize) -> Result<(String, Vec<u8>), Failure> {
    let failed = |why| Failure::File { path: path.to_owned(), act: "read", why };
    let mut bytes = Vec::new();
    let most = most as u64 + 1;
    let name = if path == Path::new("-") {
        io::stdin().lock().take(most).read_to_end(&mut bytes).map_err(failed)?;
        "standard input".to_owned()
    } else {
        File::open(path).map_err(failed)?.take(most).read_to_end(&mut bytes).map_err(failed)?;
        path.display().to_string()
    };
    Ok((name, bytes))
}

/// Writes a new file so that it is there whole or not at all: under another name in the same folder first, then
/// under its own. A file that exists is not touched.
pub(crate) fn write_new(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let failed = |why| Failure::File { path: path.to_owned(), act: "write", why };
    let exists = || Failure::Exists(path.to_owned());
    let Some(name) = path.file_name() else {
        return Err(failed(io::Error::new(io::ErrorKind::IsADirectory, "it has no file name")));
    };
    if path.symlink_metadata().is_ok() {
        return Err(exists());
    }
    let mut draft_name = std::ffi::OsString::from(".");
    draft_name.push(name);
    draft_name.push(format!(".draft-{}", std::process::id()));
    let draft = path.with_file_name(draft_name);
    let written = OpenOptions::new().write(true).create_new(true).open(&draft).and_then(|mut file| {
        file.write_all(bytes)?;
        file.sync_all()
    });
    // A second name is refused where the first exists, which a change of name is not.
    let placed = written.and_then(|()| match fs::hard_link(&draft, path) {
        Err(why) if why.kind() != io::ErrorKind::AlreadyExists && path.symlink_metadata().is_err() => {
            fs::rename(&draft, path)
        }
        linked => linked,
    });
    // The draft is gone already where its name was changed.
    let _ = fs::remove_file(&draft);
    placed.map_err(|why| if why.kind() == io::ErrorKind::AlreadyExists { exists() } else { failed(why) })
}

/// Makes a folder with those above it; one that exists is left as it is.
#[cfg(feature = "sheets")]
pub(crate) fn create_folder(path: &Path) -> Result<(), Failure> {
    fs::create_dir_all(path).map_err(|why| Failure::File { path: path.to_owned(), act: "create", why })
}

/// Writes a file in place of an earlier one, so that the old or the new one is there whole: under another name in
/// the same folder first, then under its own.
#[cfg(feature = "sheets")]
pub(crate) fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let mut draft = path.as_os_str().to_owned();
    draft.push(format!(".draft-{}", std::process::id()));
    let draft = PathBuf::from(draft);
    let written = OpenOptions::new().write(true).create_new(true).open(&draft).and_then(|mut file| {
        file.write_all(bytes)?;
        file.sync_all()
    });
    written.and_then(|()| fs::rename(&draft, path)).map_err(|why| {
        let _ = fs::remove_file(&draft);
        Failure::File { path: path.to_owned(), act: "write", why }
    })
}

/// The built-in catalogue together with further files.
pub(crate) fn catalogue(more: &[PathBuf]) -> Result<Catalogue, Failure> {
    if more.is_empty() {
        return Ok(intake::built_in()?);
    }
    let more = more.iter().map(|path| read_catalogue(path)).collect::<Result<Vec<_>, _>>()?;
    let built_in = catalog::data::FILES.iter().map(|(name, text)| Source { name, text });
    let sources: Vec<Source<'_>> =
        built_in.chain(more.iter().map(|file| Source { name: &file.name, text: &file.text })).collect();
    Ok(intake::read_catalogue(&sources)?)
}

/// The shop's own torques and rules.
pub(crate) fn own_book(files: &[PathBuf]) -> Result<OwnBook, Failure> {
    let texts = files.iter().map(|path| read(path)).collect::<Result<Vec<_>, _>>()?;
    let sources: Vec<Source<'_>> =
        texts.iter().map(|file| Source { name: &file.name, text: &file.text }).collect();
    Ok(intake::read_own_book(&sources)?)
}

/// A shop from a file, or the built-in one.
pub(crate) fn shop(file: Option<&Path>) -> Result<shop::Workshop, Failure> {
    let text = match file {
        Some(path) => read(path)?,
        None => Text { name: SHOP_NAME.to_owned(), text: SHOP.to_owned() },
    };
    Ok(intake::read_shop(Source { name: &text.name, text: &text.text })?)
}

/// What was found while working, from a file.
pub(crate) fn change(path: &Path, book: &shop::Book, catalogue: &Catalogue) -> Result<shop::Change, Failure> {
    let text = read(path)?;
    Ok(intake::read_change(Source { name: &text.name, text: &text.text }, book, catalogue)?)
}

/// A refit from a file, or the built-in example.
pub(crate) fn refit(file: Option<&Path>, catalogue: &Catalogue) -> Result<Refit, Failure> {
    let text = match file {
        Some(path) => read(path)?,
        None => Text { name: EXAMPLE_NAME.to_owned(), text: EXAMPLE.to_owned() },
    };
    Ok(intake::read_refit(Source { name: &text.name, text: &text.text }, catalogue)?)
}

/// The recorded ride that a refit file names, beside that file. At most one byte over the limit is read.
pub(crate) fn recorded_ride(
    refit_file: Option<&Path>,
    name: &str,
) -> Result<(PathBuf, RecordedRide), Failure> {
    let folder = refit_file.filter(|path| *path != Path::new("-")).and_then(Path::parent);
    let path = folder.map_or_else(|| PathBuf::from(name), |folder| folder.join(name));
    let (_, bytes) = read_bytes(&path, MOST_RIDE_BYTES)?;
    match read_ride(&bytes) {
        Ok(ride) => Ok((path, ride)),
        Err(why) => Err(Failure::Ride { path, why }),
    }
}
