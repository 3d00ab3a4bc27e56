//! Sheets as PDF: a template and its data in, the bytes of a file out.
//!
//! The typesetting library sees a world of four kinds of files, all in memory: the template, the look that all
//! sheets share, the data as JSON, and drawings. So nothing is read from disk, nothing comes over the network, and
//! the same data gives the same bytes.

use std::collections::BTreeMap;
use std::fmt;
use typst::diag::{FileError, FileResult, SourceDiagnostic};
use typst::foundations::{Bytes, Datetime, Duration, Smart};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, pdf};

/// The typefaces, embedded: one family for everything, two scripts that it lacks.
const FONTS: [&[u8]; 5] = [
    include_bytes!("../fonts/Inter-Regular.otf"),
    include_bytes!("../fonts/Inter-SemiBold.otf"),
    include_bytes!("../fonts/Inter-Bold.otf"),
    include_bytes!("../fonts/NotoSansHebrew-Regular.ttf"),
    include_bytes!("../fonts/NotoSansArabic-Regular.ttf"),
];

/// What all sheets share: typeface, sizes, colours, tables.
const LOOK: &str = include_str!("look.typ");

/// The size of the paper.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Paper {
    /// 210 mm by 297 mm (ISO 216).
    #[default]
    A4,
    /// 215.9 mm by 279.4 mm (8.5 in by 11 in).
    Letter,
}

impl Paper {
    /// The word in files and on the command line.
    pub fn word(self) -> &'static str {
        match self {
            Self::A4 => "a4",
            Self::Letter => "letter",
        }
    }

    /// The name that the typesetting library has for it.
    fn name(self) -> &'static str {
        match self {
            Self::A4 => "a4",
            Self::Letter => "us-letter",
        }
    }
}

/// Why there is no sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SheetError {
    /// A file of the world has no name that a path may have.
    Name(String),
    /// The template does not go with its data: a fault of the program, said with the place.
    Template(String),
    /// The laid-out sheet could not be written as PDF.
    Pdf(String),
}

impl fmt::Display for SheetError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Name(name) => write!(f, "`{name}` is not a name that a file of a sheet can have"),
            Self::Template(why) => write!(f, "the sheet could not be laid out: {why}"),
            Self::Pdf(why) => write!(f, "the sheet could not be written as PDF: {why}"),
        }
    }
}

impl std::error::Error for SheetError {}

/// A template with its data and its drawings.
#[derive(Clone, Debug)]
pub struct SheetFiles {
    /// What the sheet is called; stands in the properties of the file.
    pub title: String,
    /// The template.
    pub template: &'static str,
    /// The data, as the template reads it.
    pub data: serde_json::Value,
    /// Drawings by name, as SVG.
    pub drawings: BTreeMap<String, String>,
}

/// The typesetting library with its typefaces loaded: make one and keep it.
pub struct Typesetter {
    library: LazyHash<Library>,
    book: LazyHash<FontBook>,
    fonts: Vec<Font>,
}

impl fmt::Debug for Typesetter {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Typesetter").field("fonts", &self.fonts.len()).finish_non_exhaustive()
    }
}

impl Default for Typesetter {
    fn default() -> Self {
        Self::new()
    }
}

/// How many sheets may go by before what was remembered of one is let go.
const REMEMBERED: usize = 4;

impl Typesetter {
    /// Loads the typefaces.
    pub fn new() -> Self {
        let fonts: Vec<Font> = FONTS.iter().flat_map(|bytes| Font::iter(Bytes::new(*bytes))).collect();
        let mut book = FontBook::new();
        for font in &fonts {
            book.push(font.info().clone());
        }
        Self { library: LazyHash::new(Library::default()), book: LazyHash::new(book), fonts }
    }

    /// The text as the typefaces can show it: a character that none of them has is written by its number, so that
    /// nothing is lost and no empty box is printed.
    ///
    /// # Example
    /// ```
    /// let typesetter = sheet::Typesetter::new();
    /// assert_eq!(typesetter.legible("Ärmel 31,8"), "Ärmel 31,8");
    /// assert_eq!(typesetter.legible("a\u{1F6B2}b"), "a[U+1F6B2]b");
    /// ```
    pub fn legible(&self, text: &str) -> String {
        let mut out = String::with_capacity(text.len());
        for c in text.chars() {
            let shown = |font: &Font| font.info().coverage.contains(c as u32);
            if c == '\n' || c == '\t' {
                out.push(' ');
            } else if c.is_control() {
                // A control character shows nothing anywhere.
            } else if self.fonts.iter().any(shown) || is_invisible(c) {
                out.push(c);
            } else {
                out.push_str(&format!("[U+{:04X}]", c as u32));
            }
        }
        out
    }

    /// Lays out a sheet and writes it as PDF, with tags for screen readers and the typefaces embedded.
    ///
    /// Pure: the same files give the same bytes.
    ///
    /// # Errors
    /// [`SheetError`] if a name is no path, or the template does not go with its data.
    pub fn pdf(&self, files: &SheetFiles, paper: Paper) -> Result<Vec<u8>, SheetError> {
        let world = Desk::lay(self, files, paper)?;
        let laid =
            typst::compile::<PagedDocument>(&world).output.map_err(|e| SheetError::Template(words(&e)));
        let bytes = laid.and_then(|document| {
            let options =
                PdfOptions { creator: Smart::Custom(Some("cogwright".to_owned())), ..PdfOptions::default() };
            pdf(&document, &options).map_err(|e| SheetError::Pdf(words(&e)))
        });
        comemo::evict(REMEMBERED);
        bytes
    }

    /// A data value with every text in it made [`legible`](Self::legible).
    fn legible_data(&self, value: &serde_json::Value) -> serde_json::Value {
        use serde_json::Value;
        match value {
            Value::String(text) => Value::String(self.legible(text)),
            Value::Array(list) => Value::Array(list.iter().map(|item| self.legible_data(item)).collect()),
            Value::Object(map) => {
                Value::Object(map.iter().map(|(key, item)| (key.clone(), self.legible_data(item))).collect())
            }
            other => other.clone(),
        }
    }
}

/// Characters that steer others and have no shape of their own: joiners, marks of direction, soft hyphens.
fn is_invisible(c: char) -> bool {
    matches!(c, '\u{00AD}' | '\u{200B}'..='\u{200F}' | '\u{202A}'..='\u{202E}' | '\u{2060}'..='\u{2069}')
}

fn words(problems: &[SourceDiagnostic]) -> String {
    let all: Vec<&str> = problems.iter().map(|problem| problem.message.as_str()).collect();
    all.join("; ")
}

/// The files of one sheet by name, as the typesetting library asks for them.
struct Desk<'a> {
    typesetter: &'a Typesetter,
    main: FileId,
    sources: [Source; 2],
    files: BTreeMap<String, Bytes>,
}

impl<'a> Desk<'a> {
    fn lay(typesetter: &'a Typesetter, sheet: &SheetFiles, paper: Paper) -> Result<Self, SheetError> {
        let (main, look) = (id("sheet.typ")?, id("look.typ")?);
        let sources = [Source::new(main, sheet.template.to_owned()), Source::new(look, LOOK.to_owned())];
        let data = serde_json::json!({
            "title": typesetter.legible(&sheet.title),
            "paper": paper.name(),
            "sheet": typesetter.legible_data(&sheet.data),
        });
        let mut files = BTreeMap::from([("data.json".to_owned(), Bytes::from_string(data.to_string()))]);
        for (name, svg) in &sheet.drawings {
            let name = format!("{name}.svg");
            id(&name)?;
            files.insert(name, Bytes::from_string(typesetter.legible(svg)));
        }
        Ok(Self { typesetter, main, sources, files })
    }
}

fn id(name: &str) -> Result<FileId, SheetError> {
    let path = VirtualPath::new(name).map_err(|_| SheetError::Name(name.to_owned()))?;
    Ok(RootedPath::new(VirtualRoot::Project, path).intern())
}

impl World for Desk<'_> {
    fn library(&self) -> &LazyHash<Library> {
        &self.typesetter.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &self.typesetter.book
    }

    fn main(&self) -> FileId {
        self.main
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        self.sources.iter().find(|source| source.id() == id).cloned().ok_or_else(|| missing(id))
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        self.files.get(id.vpath().get_without_slash()).cloned().ok_or_else(|| missing(id))
    }

    fn font(&self, index: usize) -> Option<Font> {
        self.typesetter.fonts.get(index).cloned()
    }

    /// A sheet knows no day but the one in its data.
    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        None
    }
}

fn missing(id: FileId) -> FileError {
    FileError::NotFound(id.vpath().get_without_slash().into())
}
