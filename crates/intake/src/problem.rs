//! What is wrong with a file and where: all of it, in the order of the file, as a compiler would show it.

use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet, normalize_untrusted_str};
use std::fmt;
use std::ops::Range;

/// So many problems are kept; the others are counted. Nobody mends more than this before reading again.
pub const MOST_PROBLEMS: usize = 100;

/// A line longer than this is not shown, only pointed at: it was not written by hand.
const MOST_SHOWN_BYTES: usize = 2000;

/// Found text is quoted up to so many characters: about one line.
const MOST_QUOTED: usize = 60;

/// A place in a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// Bytes of the text.
    pub span: Range<usize>,
}

/// One thing that is wrong with a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// What was found and what was wanted.
    pub what: String,
    /// Where; none if it concerns the file as a whole.
    pub place: Option<Place>,
    /// What to do, with the nearest thing that would be accepted.
    pub help: Option<String>,
}

/// Everything that is wrong with the files that were read; there is at least one problem.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problems {
    files: Vec<Mistaken>,
    more: usize,
}

/// A file with mistakes in it.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Mistaken {
    name: String,
    text: String,
    problems: Vec<Problem>,
}

impl Problems {
    /// Every problem that was kept, with the name of its file.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &Problem)> {
        self.files.iter().flat_map(|file| file.problems.iter().map(|problem| (file.name.as_str(), problem)))
    }

    /// How many problems there are, those that were not kept included.
    pub fn count(&self) -> usize {
        self.iter().count() + self.more
    }

    /// How many problems were counted only, beyond [`MOST_PROBLEMS`].
    pub fn more(&self) -> usize {
        self.more
    }

    /// The problems as text: what, file, line and column, the line itself with the place marked, and the help.
    pub fn render(&self, colour: bool) -> String {
        let renderer =
            if colour { Renderer::styled() } else { Renderer::plain() }.decor_style(DecorStyle::Ascii);
        let mut shown: Vec<String> = Vec::new();
        for file in &self.files {
            shown.extend(file.problems.iter().map(|problem| file.show(problem, &renderer)));
        }
        if self.more > 0 {
            shown.push(format!("and {} more", self.more));
        }
        let mut text = shown.join("\n\n");
        text.push('\n');
        text
    }

    /// A single problem with a whole file.
    pub(crate) fn with_file(name: &str, text: &str, refusal: Refusal) -> Self {
        let mut notes = Notes::default();
        notes.refuse(refusal);
        Self { files: vec![notes.placed(name, text, MOST_PROBLEMS)], more: 0 }
    }

    /// The problems of several files; `None` if there are none. Files without problems are left out.
    pub(crate) fn gathered<'a>(files: impl IntoIterator<Item = (&'a str, &'a str, Notes)>) -> Option<Self> {
        let mut problems = Self { files: Vec::new(), more: 0 };
        let mut kept = 0;
        for (name, text, notes) in files {
            if notes.is_empty() {
                continue;
            }
            let room = MOST_PROBLEMS - kept;
            problems.more += notes.refusals.len().saturating_sub(room);
            let file = notes.placed(name, text, room);
            kept += file.problems.len();
            problems.files.push(file);
        }
        if problems.files.is_empty() { None } else { Some(problems) }
    }
}

impl fmt::Display for Problems {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.render(false).trim_end())
    }
}

impl std::error::Error for Problems {}

impl Mistaken {
    fn show(&self, problem: &Problem, renderer: &Renderer) -> String {
        let title = Level::ERROR.primary_title(problem.what.as_str());
        let mut group = match &problem.place {
            None => title.element(Origin::path(self.name.as_str())),
            Some(place) => self.point(title, place),
        };
        if let Some(help) = &problem.help {
            group = group.element(Level::HELP.message(help.as_str()));
        }
        renderer.render(&[group])
    }

    fn point<'a>(&'a self, title: annotate_snippets::Title<'a>, place: &Place) -> Group<'a> {
        let (start, end) = line_around(&self.text, place.span.start);
        let line = self.text.get(start..end).unwrap_or("");
        if line.len() > MOST_SHOWN_BYTES {
            return title
                .element(Origin::path(self.name.as_str()).line(place.line).char_column(place.column));
        }
        let from = place.span.start.saturating_sub(start).min(line.len());
        let to = place.span.end.saturating_sub(start).clamp(from, line.len());
        title.element(
            Snippet::source(line)
                .line_start(place.line)
                .path(self.name.as_str())
                .annotation(AnnotationKind::Primary.span(from..to)),
        )
    }
}

/// A problem before its line is known.
#[derive(Clone, Debug)]
pub(crate) struct Refusal {
    span: Option<Range<usize>>,
    /// What was found and what was wanted.
    pub(crate) what: String,
    /// What to do about it.
    pub(crate) help: Option<String>,
}

impl Refusal {
    /// Something wrong at a place.
    pub(crate) fn at(span: Range<usize>, what: impl Into<String>) -> Self {
        Self { span: Some(span), what: what.into(), help: None }
    }

    /// Something wrong with the file as a whole.
    pub(crate) fn of_file(what: impl Into<String>) -> Self {
        Self { span: None, what: what.into(), help: None }
    }

    /// With what to do about it.
    pub(crate) fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }
}

/// The problems of one file while it is read.
#[derive(Debug, Default)]
pub(crate) struct Notes {
    refusals: Vec<Refusal>,
}

impl Notes {
    /// Notes a problem.
    pub(crate) fn refuse(&mut self, refusal: Refusal) {
        self.refusals.push(refusal);
    }

    /// The value, or `None` with its refusal noted.
    pub(crate) fn keep<T>(&mut self, read: Result<T, Refusal>) -> Option<T> {
        read.map_err(|refusal| self.refuse(refusal)).ok()
    }

    /// Whether nothing is wrong.
    pub(crate) fn is_empty(&self) -> bool {
        self.refusals.is_empty()
    }

    fn placed(mut self, name: &str, text: &str, room: usize) -> Mistaken {
        // Problems of the file as a whole come last: they are what is missing.
        self.refusals.sort_by_key(|refusal| refusal.span.as_ref().map_or(usize::MAX, |span| span.start));
        self.refusals.truncate(room);
        let mut lines = Lines { text, line: 1, start: 0, at: 0 };
        let problems = self
            .refusals
            .into_iter()
            .map(|refusal| Problem {
                what: normalize_untrusted_str(&refusal.what).replace('\n', " "),
                place: refusal.span.map(|span| lines.place(span)),
                help: refusal.help.map(|help| normalize_untrusted_str(&help).replace('\n', " ")),
            })
            .collect();
        Mistaken { name: name.to_owned(), text: text.to_owned(), problems }
    }
}

/// Counts lines forward through a text, so that many places are found in one pass.
struct Lines<'a> {
    text: &'a str,
    line: usize,
    start: usize,
    at: usize,
}

impl Lines<'_> {
    /// The place of a span that does not begin before the one asked for last.
    fn place(&mut self, span: Range<usize>) -> Place {
        let from = span.start.min(self.text.len());
        let passed = self.text.as_bytes().get(self.at..from).unwrap_or_default();
        for (i, _) in passed.iter().enumerate().filter(|(_, byte)| **byte == b'\n') {
            self.line += 1;
            self.start = self.at + i + 1;
        }
        self.at = from.max(self.at);
        let before = self.text.get(self.start..from).unwrap_or_default();
        Place { line: self.line, column: before.chars().count() + 1, span }
    }
}

fn line_around(text: &str, at: usize) -> (usize, usize) {
    let at = at.min(text.len());
    let bytes = text.as_bytes();
    let start = bytes[..at].iter().rposition(|byte| *byte == b'\n').map_or(0, |i| i + 1);
    let end = bytes[at..].iter().position(|byte| *byte == b'\n').map_or(text.len(), |i| at + i);
    let end = if end > start && bytes[end - 1] == b'\r' { end - 1 } else { end };
    (start, end.max(start))
}

/// Found text between back-ticks, cut to a length that can be read, control characters made visible.
pub(crate) fn quoted(found: &str) -> String {
    let mut text = String::from("`");
    for (i, letter) in found.chars().enumerate() {
        if i == MOST_QUOTED {
            text.push('…');
            break;
        }
        if letter.is_control() { text.extend(letter.escape_default()) } else { text.push(letter) }
    }
    text.push('`');
    text
}
