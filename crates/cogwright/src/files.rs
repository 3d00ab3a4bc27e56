//! Reads files from disk, and turns what goes wrong into words.

use catalog::Catalogue;
use fit::Refit;
use intake::{Problems, Source, check_bytes};
use std::fs::File;
use std::io::{self, Read};
use std::path::{Path, PathBuf};

/// The built-in example: an invented bike of an invented shop.
pub(crate) const EXAMPLE: &str = include_str!("../example.toml");
/// What the example is called in messages.
pub(crate) const EXAMPLE_NAME: &str = "example.toml";

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
    /// The text of a file was refused.
    Text(Problems),
    /// A word that is none of the accepted ones.
    Word {
        /// What was found.
        found: String,
        /// What it should be.
        kind: &'static str,
        /// The accepted words.
        accepted: Vec<&'static str>,
    },
    /// The book of steps and operations does not have what a plan asks for.
    Book(shop::BookError),
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

/// Reads a text file; `-` is standard input. At most one byte over the limit is read, whatever its size.
pub(crate) fn read(path: &Path) -> Result<Text, Failure> {
    let failed = |why| Failure::File { path: path.to_owned(), act: "read", why };
    let mut bytes = Vec::new();
    let most = intake::MOST_BYTES as u64 + 1;
    let name = if path == Path::new("-") {
        io::stdin().lock().take(most).read_to_end(&mut bytes).map_err(failed)?;
        "standard input".to_owned()
    } else {
        File::open(path).map_err(failed)?.take(most).read_to_end(&mut bytes).map_err(failed)?;
        path.display().to_string()
    };
    let text = check_bytes(&name, &bytes)?.to_owned();
    Ok(Text { name, text })
}

/// The built-in catalogue together with further files.
pub(crate) fn catalogue(more: &[PathBuf]) -> Result<Catalogue, Failure> {
    if more.is_empty() {
        return Ok(intake::built_in()?);
    }
    let more = more.iter().map(|path| read(path)).collect::<Result<Vec<_>, _>>()?;
    let built_in = catalog::data::FILES.iter().map(|(name, text)| Source { name, text });
    let sources: Vec<Source<'_>> =
        built_in.chain(more.iter().map(|file| Source { name: &file.name, text: &file.text })).collect();
    Ok(intake::read_catalogue(&sources)?)
}

/// A refit from a file, or the built-in example.
pub(crate) fn refit(file: Option<&Path>, catalogue: &Catalogue) -> Result<Refit, Failure> {
    let text = match file {
        Some(path) => read(path)?,
        None => Text { name: EXAMPLE_NAME.to_owned(), text: EXAMPLE.to_owned() },
    };
    Ok(intake::read_refit(Source { name: &text.name, text: &text.text }, catalogue)?)
}
