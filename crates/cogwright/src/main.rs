//! The command line: one file a command. Here live the flags and the exit status; no rule does.

mod args;
mod case_check;
mod choice_document;
mod command;
mod files;
mod own_rules;
mod priced_offer;
mod report;
mod ride_report;
mod screen;
mod what_if;

use clap::Parser;
use std::process::ExitCode;

fn main() -> ExitCode {
    let args = args::Args::parse();
    match command::run(args) {
        Ok(status) => ExitCode::from(status.code()),
        Err(problem) => {
            screen::complain(&problem);
            ExitCode::from(Status::BadInput.code())
        }
    }
}

/// What the exit status says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Status {
    /// Works, or works with a remedy.
    Works,
    /// Marginal, or something must be measured first.
    Open,
    /// Fails or is refused.
    Fails,
    /// Wrong use or input that cannot be read.
    BadInput,
}

impl Status {
    /// The number that the shell sees.
    fn code(self) -> u8 {
        match self {
            Self::Works => 0,
            Self::Fails => 1,
            Self::BadInput => 2,
            Self::Open => 3,
        }
    }

    /// The status for a verdict.
    pub(crate) fn of(verdict: fit::Verdict) -> Self {
        match verdict {
            fit::Verdict::Works | fit::Verdict::Remedy => Self::Works,
            fit::Verdict::Marginal | fit::Verdict::Measure => Self::Open,
            fit::Verdict::Fails | fit::Verdict::Refused => Self::Fails,
        }
    }
}
