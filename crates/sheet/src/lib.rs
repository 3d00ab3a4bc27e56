//! What people look at: drawings and charts as SVG, sheets as PDF, all from the documents that `--json` prints.
//!
//! Begin with [`Drawing`] for a picture and with [`Typesetter`] for paper. A sheet is a template and a JSON document;
//! no number is worked out here that the plan does not hold, but for places on paper.

pub mod change_order;
pub mod drawing;
pub mod drawings;
pub mod sheets;
pub mod typeset;

pub use change_order::change_order;
pub use drawing::{Anchor, Dash, Drawing, DrawingError, Mark, Pen, Place, Shows, Weight};
pub use sheets::{Job, JobTag, SheetKind};
pub use typeset::{Paper, SheetError, SheetFiles, Typesetter};
