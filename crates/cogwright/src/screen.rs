//! Writes to the terminal: colour where there is a terminal, plain text where there is none.

use crate::files::Failure;
use anstyle::{AnsiColor, Style};
use fit::Verdict;
use std::io::{self, IsTerminal, Write};

/// Prints an answer. A reader that stops reading is no failure.
pub(crate) fn print(text: &str) -> Result<(), Failure> {
    let mut out = anstream::stdout().lock();
    let written = out.write_all(text.as_bytes()).and_then(|()| out.flush());
    match written {
        Err(why) if why.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        written => written.map_err(Failure::Out),
    }
}

/// Tells how far a long command is, on the error stream, so that an answer in JSON stays whole.
#[cfg(feature = "sheets")]
pub(crate) fn progress(text: &str) {
    let _ = writeln!(anstream::stderr(), "{text}");
}

/// Prints why a command could not be carried out.
pub(crate) fn complain(failure: &Failure) {
    let text = match failure {
        Failure::Text(problems) => problems.render(wants_colour()),
        Failure::Sheet(problems) => problems.to_string(),
        Failure::Ride { path, why } => {
            format!("error: {why}\n --> {}\n  = help: {}\n", path.display(), why.help())
        }
        Failure::Export(error) => format!("error: {error}\n"),
        Failure::TooLong { path, length } => format!(
            "error: `{}` would have {length} bytes; a catalogue file of at most {} is read\n  = help: split the sheet\n",
            path.display(),
            intake::MOST_CATALOGUE_BYTES
        ),
        Failure::File { path, act, why } => {
            format!(
                "error: cannot {act} `{}`: {}\n  = help: {}\n",
                path.display(),
                cause(why),
                advice(act, why)
            )
        }
        Failure::Exists(path) => format!(
            "error: `{}` exists already and is left as it is\n  = help: name another file, or move that one away\n",
            path.display()
        ),
        Failure::Word { found, kind, accepted } => {
            format!("error: `{found}` is not a {kind}\n  = help: accepted: {}\n", accepted.join(", "))
        }
        Failure::NoPart(key) => format!(
            "error: no part of the catalogue has the key `{key}`\n  = help: `cogwright parts` lists the keys\n"
        ),
        Failure::Bolt(why) => format!("error: {why}\n"),
        Failure::Complaint(why) => format!("error: {why}\n"),
        #[cfg(feature = "sheets")]
        Failure::Paper(why) => format!("error: {why}\n"),
        #[cfg(feature = "serve")]
        Failure::Serve(why) => format!("error: {why}\n"),
        Failure::Book(why) => format!("error: {why}\n"),
        Failure::Choice(why) => format!("error: {why}\n"),
        Failure::Estimate(all) => all.iter().map(|why| format!("error: {why}\n")).collect(),
        Failure::Change(all) => all.iter().map(|why| format!("error: {why}\n")).collect(),
        Failure::Invoice(why) => format!("error: {why}\n"),
        Failure::Out(why) => format!("error: the answer could not be written out: {}\n", cause(why)),
    };
    // Nothing is left to do if the error stream is gone as well.
    let _ = anstream::stderr().write_all(text.as_bytes());
}

fn cause(why: &io::Error) -> String {
    match why.kind() {
        io::ErrorKind::NotFound => "there is no such file".to_owned(),
        io::ErrorKind::PermissionDenied => "it may not be opened by this user".to_owned(),
        io::ErrorKind::IsADirectory => "it is a folder".to_owned(),
        _ => why.to_string(),
    }
}

fn advice(act: &str, why: &io::Error) -> &'static str {
    match why.kind() {
        io::ErrorKind::NotFound if act == "write" => "make the folder first, or name another",
        io::ErrorKind::NotFound if act == "create" => "name a folder in a place that can be written to",
        io::ErrorKind::NotFound => "check the name; `cogwright start FILE` writes a starter file",
        io::ErrorKind::PermissionDenied => "check who owns the file",
        io::ErrorKind::IsADirectory => "name a file in it",
        _ => "check the disk and the name",
    }
}

/// Whether the error stream shows colour.
fn wants_colour() -> bool {
    io::stderr().is_terminal() && anstream::AutoStream::choice(&io::stderr()) != anstream::ColorChoice::Never
}

/// The look of a verdict. The word always says it too.
pub(crate) fn verdict_style(verdict: Verdict) -> Style {
    let colour = match verdict {
        Verdict::Works => AnsiColor::Green,
        Verdict::Remedy => AnsiColor::Cyan,
        Verdict::Marginal => AnsiColor::Yellow,
        Verdict::Measure => AnsiColor::Magenta,
        Verdict::Fails | Verdict::Refused => AnsiColor::Red,
    };
    Style::new().fg_color(Some(colour.into())).bold()
}

/// The look of a heading.
pub(crate) const HEADING: Style = Style::new().bold();
/// The look of what matters less.
pub(crate) const QUIET: Style = Style::new().dimmed();
