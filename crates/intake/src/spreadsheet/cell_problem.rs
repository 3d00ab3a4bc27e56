//! What is wrong with a sheet: file, sheet, row, column, what was found, what would be accepted.

use crate::problem::MOST_PROBLEMS;
use annotate_snippets::normalize_untrusted_str;
use std::fmt;

/// One thing that is wrong with a sheet.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CellProblem {
    /// The sheet of a workbook.
    pub sheet: Option<String>,
    /// The row of the sheet, or the line of a CSV file, from 1.
    pub row: Option<usize>,
    /// The letters of the column with its header, or the header alone in a CSV file.
    pub column: Option<String>,
    /// What was found.
    pub what: String,
    /// What would be accepted.
    pub accepted: Option<String>,
}

/// Everything that is wrong with a file: the first [`MOST_PROBLEMS`](crate::MOST_PROBLEMS), the others counted.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CellProblems {
    pub(super) file: String,
    kept: Vec<CellProblem>,
    more: usize,
}

impl CellProblems {
    pub(super) fn of(file: &str) -> Self {
        Self { file: file.to_owned(), ..Self::default() }
    }

    pub(super) fn note(&mut self, problem: CellProblem) {
        if self.kept.len() == MOST_PROBLEMS {
            self.more += 1;
            return;
        }
        let plain = |text: &str| normalize_untrusted_str(text).replace('\n', " ");
        self.kept.push(CellProblem {
            sheet: problem.sheet.as_deref().map(plain),
            row: problem.row,
            column: problem.column.as_deref().map(plain),
            what: plain(&problem.what),
            accepted: problem.accepted.as_deref().map(plain),
        });
    }

    /// Notes something that concerns the file as a whole.
    pub(super) fn note_file(&mut self, what: impl Into<String>, accepted: impl Into<String>) {
        self.note(CellProblem {
            what: what.into(),
            accepted: Some(accepted.into()),
            ..CellProblem::default()
        });
    }

    /// The problems that were kept, in the order of the file.
    pub fn iter(&self) -> impl Iterator<Item = &CellProblem> {
        self.kept.iter()
    }

    /// How many problems were counted only.
    pub fn more(&self) -> usize {
        self.more
    }

    /// How many problems there are in all.
    pub fn count(&self) -> usize {
        self.kept.len() + self.more
    }

    /// Whether nothing is wrong.
    pub fn is_empty(&self) -> bool {
        self.kept.is_empty()
    }
}

impl fmt::Display for CellProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let places = [
            self.sheet.as_ref().map(|sheet| format!("sheet `{sheet}`")),
            self.row.map(|row| format!("row {row}")),
            self.column.as_ref().map(|column| format!("column {column}")),
        ];
        let places: Vec<String> = places.into_iter().flatten().collect();
        if !places.is_empty() {
            write!(f, "{}: ", places.join(", "))?;
        }
        f.write_str(&self.what)
    }
}

impl fmt::Display for CellProblems {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for problem in &self.kept {
            writeln!(f, "error: {problem}")?;
            writeln!(f, "  --> {}", self.file)?;
            if let Some(accepted) = &problem.accepted {
                writeln!(f, "  = help: {accepted}")?;
            }
            writeln!(f)?;
        }
        if self.more > 0 {
            writeln!(f, "and {} more", self.more)?;
        }
        Ok(())
    }
}

impl std::error::Error for CellProblems {}
