//! Versions of an estimate: what changed from one to the next, in words, and which one the customer agreed to.

use crate::estimate::Estimate;
use crate::job::{Approval, Channel, Event};
use crate::price::{PriceLine, shown};
use jiff::civil::Date;
use std::fmt;

/// Why an approval is not taken, or does not stand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ApprovalError {
    /// The estimate is not one to sign.
    NotSignable(&'static str),
    /// Nobody is named.
    Nameless,
    /// A message or a call without its words.
    Wordless,
    /// It has expired.
    Expired(Date),
    /// Another version was agreed to.
    OtherVersion {
        /// The version that was agreed to.
        agreed: u32,
        /// The version that stands.
        stands: u32,
    },
}

impl fmt::Display for ApprovalError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotSignable(why) => f.write_str(why),
            Self::Nameless => write!(f, "an approval without a name was found where a name was wanted"),
            Self::Wordless => write!(f, "a message or a call is kept with its words"),
            Self::Expired(day) => write!(f, "the estimate held until {day}"),
            Self::OtherVersion { agreed, stands } => {
                write!(
                    f,
                    "version {agreed} was agreed to, but version {stands} stands: the customer is asked again"
                )
            }
        }
    }
}

impl std::error::Error for ApprovalError {}

impl Estimate {
    /// The customer's word for this version, given on a day, as the entry that goes on the list of the job. At the
    /// counter the signature stands for the words.
    ///
    /// # Errors
    /// [`ApprovalError`] if it may not be signed, has expired, or the word has no name or no words.
    pub fn approve(
        &self,
        name: &str,
        channel: Channel,
        words: &str,
        on: Date,
    ) -> Result<Event, ApprovalError> {
        if !self.signable.is_open() {
            return Err(ApprovalError::NotSignable(self.signable.words()));
        }
        if name.trim().is_empty() {
            return Err(ApprovalError::Nameless);
        }
        if matches!(channel, Channel::Link | Channel::Telephone) && words.trim().is_empty() {
            return Err(ApprovalError::Wordless);
        }
        if on > self.holds_until {
            return Err(ApprovalError::Expired(self.holds_until));
        }
        let (name, words) = (name.trim().to_owned(), words.trim().to_owned());
        Ok(Event::Approved { version: self.version, name, channel, words })
    }

    /// Whether an approval is one of this version.
    ///
    /// # Errors
    /// [`ApprovalError::OtherVersion`] if it is not.
    pub fn stands(&self, approval: &Approval) -> Result<(), ApprovalError> {
        if approval.version == self.version {
            return Ok(());
        }
        Err(ApprovalError::OtherVersion { agreed: approval.version, stands: self.version })
    }

    /// This estimate as the next version after another; the same version if nothing of it has changed.
    #[must_use]
    pub fn after(mut self, earlier: &Self) -> Self {
        self.version = earlier.version;
        if !difference(earlier, &self).is_empty() {
            self.version += 1;
        }
        self
    }
}

/// What changed from one version to another, in words; empty if nothing did. The day on which it was made is not part of
/// it.
pub fn difference(earlier: &Estimate, later: &Estimate) -> Vec<String> {
    let mut words = Vec::new();
    let titled = |estimate: &Estimate, line: &PriceLine| {
        estimate.lines.iter().find(|other| same(other, line)).cloned()
    };
    for line in earlier.lines.iter().filter(|line| titled(later, line).is_none()) {
        words.push(format!("out: {}, {}", line.words, line.amount));
    }
    for line in &later.lines {
        match titled(earlier, line) {
            None => words.push(format!("new: {}, {}", line.words, line.amount)),
            Some(was) if was.how_much != line.how_much => {
                words.push(format!(
                    "{}: {} becomes {}, {} becomes {}",
                    name(line),
                    was.how_much,
                    line.how_much,
                    was.amount,
                    line.amount
                ));
            }
            Some(was) if was.amount != line.amount => {
                words.push(format!("{}: {} becomes {}", name(line), was.amount, line.amount));
            }
            Some(_) => {}
        }
    }
    let (was, is) = (shown(&earlier.totals, earlier.shown), shown(&later.totals, later.shown));
    if was != is {
        words.push(format!("together: {was} becomes {is}"));
    }
    for (what, was, is) in [
        ("in eight of ten such jobs", earlier.price.p80, later.price.p80),
        ("in nineteen of twenty", earlier.price.p95, later.price.p95),
    ] {
        let whole = |minor: f64| is_whole(later, minor);
        if whole(was) != whole(is) {
            words.push(format!("not more than, {what}: {} becomes {}", whole(was), whole(is)));
        }
    }
    if earlier.ceiling != later.ceiling {
        words.push(format!("ceiling: {} becomes {}", earlier.ceiling.amount, later.ceiling.amount));
    }
    if earlier.signable != later.signable {
        words.push(format!("was {}; is {}", earlier.signable.words(), later.signable.words()));
    }
    for (label, was, is) in [
        ("not included", &earlier.not_included, &later.not_included),
        ("found", &earlier.found, &later.found),
    ] {
        words.extend(
            was.iter().filter(|item| !is.contains(item)).map(|item| format!("{label}, no longer: {item}")),
        );
        words
            .extend(is.iter().filter(|item| !was.contains(item)).map(|item| format!("{label}, new: {item}")));
    }
    words
}

fn is_whole(estimate: &Estimate, minor: f64) -> quantity::Money {
    estimate.totals.net.with_minor((minor / 100.0).round() as i64 * 100)
}

/// Labour is one line whatever its number of steps.
fn same(one: &PriceLine, other: &PriceLine) -> bool {
    one.kind == other.kind && one.part == other.part && (name(one) == name(other))
}

fn name(line: &PriceLine) -> &str {
    line.words.split(", ").next().unwrap_or(&line.words)
}
