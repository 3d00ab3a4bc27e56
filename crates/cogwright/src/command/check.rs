//! `check`: case files against what they must give.

use crate::Status;
use crate::args::Check;
use crate::case_check::differences;
use crate::files::{Failure, catalogue, read};
use crate::screen;
use intake::Source;
use std::fmt::Write;

pub(super) fn run(args: &Check) -> Result<Status, Failure> {
    let catalogue = catalogue(&args.catalogue)?;
    let mut text = String::new();
    let mut failed = 0;
    for path in &args.files {
        let file = read(path)?;
        let case = intake::case::read_case(Source { name: &file.name, text: &file.text }, &catalogue)?;
        let wrong = differences(&case, &catalogue);
        let _ = writeln!(text, "{}: {}", if wrong.is_empty() { "as written" } else { "DIFFERS" }, file.name);
        for line in &wrong {
            let _ = writeln!(text, "  {line}");
        }
        failed += usize::from(!wrong.is_empty());
    }
    let _ = writeln!(text, "{} passed, {failed} failed", args.files.len() - failed);
    screen::print(&text)?;
    Ok(if failed == 0 { Status::Works } else { Status::Fails })
}
