//! Files in: text becomes typed values, or a list of everything that is wrong with it.
//!
//! Begin with [`read_refit`], which reads what was written down at the counter, and [`read_catalogue`], which
//! reads what can be ordered. [`spreadsheet`] takes a supplier's or a shop's own list from a CSV or XLSX file.
//! [`read_shop`] reads the shop's own money, risks, words, hours, people and steps.
//! [`read_change`] reads what was found while working.
//! All of them look at the whole file and return all [`Problems`] of it, in the order of the
//! file, each with its place and the nearest thing that would have been accepted. Nothing is repaired in silence.
//!
//! The keys, ranges and tolerances come from the rows of [`catalog::Dimension`]; so does [`refit_schema`].

mod catalogue_file;
mod catalogue_text;
mod change_file;
mod change_schema;
mod complaint_file;
mod complaint_words;
mod depth;
mod document;
mod fields;
mod nearest;
mod own_book;
mod own_book_schema;
mod own_figure;
mod own_term;
mod part_table;
mod plain_value;
mod problem;
mod refit_file;
mod ride_table;
mod schema;
mod set_wish_table;
mod shop_file;
mod starter;
mod typed_value;
mod value_text;

pub mod case;
pub mod ride_file;
pub mod spreadsheet;

pub use catalogue_file::{built_in, read_catalogue};
pub use catalogue_text::catalogue_text;
pub use change_file::read_change;
pub use change_schema::change_schema;
pub use complaint_file::read_complaint;
pub use complaint_words::complaint_schema;
pub use document::{MOST_BYTES, MOST_CATALOGUE_BYTES, Source, check_bytes, check_catalogue_bytes};
pub use own_book::{OwnBook, read_own_book};
pub use own_book_schema::own_book_schema;
pub use problem::{MOST_PROBLEMS, Place, Problem, Problems};
pub use refit_file::read_refit;
pub use schema::refit_schema;
pub use shop_file::read_shop;
pub use starter::starter;
pub use typed_value::{Pad, TypedError, read_value, shown_unit_of, value_text};
