//! One operation: what a customer would order, as the steps that it takes and the operations that it brings.

use crate::step::StepId;
use std::borrow::Cow;
use std::fmt;

/// The key of an operation.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct OperationId(pub &'static str);

impl fmt::Display for OperationId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.0)
    }
}

/// One operation.
#[derive(Clone, Debug, PartialEq)]
pub struct Operation {
    /// Its key.
    pub id: OperationId,
    /// What it is called on an estimate.
    pub title: &'static str,
    /// The steps that it takes by itself.
    pub steps: Cow<'static, [StepId]>,
    /// The operations that always come with it: a new bar brings the tape.
    pub brings: Cow<'static, [OperationId]>,
}
