//! What an estimate is made of: one bar, each share with its name and amount.

use super::{LABEL_MM, VALUE_MM, WIDTH_MM, head, unknown};
use crate::drawing::{Anchor, Drawing, Mark, Pen, Place, Weight};

/// A share of an estimate.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Share {
    /// What it is.
    pub name: String,
    /// How much, in the smallest unit of its money.
    pub minor: i64,
    /// How much, as it is written.
    pub text: String,
}

/// The shares of an estimate as one bar with a row of words for each.
pub fn estimate(shares: &[Share]) -> Drawing {
    const TITLE: &str = "What the price is made of";
    let total: i64 = shares.iter().map(|share| share.minor.max(0)).sum();
    if total <= 0 {
        return unknown(TITLE, "Not drawn: no line has a price yet", &[]);
    }
    // Two names side by side.
    let rows = shares.len().div_ceil(2);
    let mut drawing = Drawing::new(WIDTH_MM, 30.0 + 7.0 * rows as f64, TITLE, about(shares, total));
    head(&mut drawing, TITLE, "before tax; the bar is the whole, each share as wide as its amount");
    let fills = [Mark::Ink, Mark::Faint, Mark::Quiet, Mark::Wash];
    let mut x = 0.0;
    for (i, share) in shares.iter().enumerate() {
        let fill = fills[i % fills.len()];
        let wide = WIDTH_MM * share.minor.max(0) as f64 / total as f64;
        let edge = Some(Pen::solid(0.4, Mark::Ink));
        drawing.bar(Place::new(x, 14.0), Place::new(x + wide, 25.0), fill, edge);
        x += wide;
        let (left, y) = (if i < rows { 0.0 } else { 94.0 }, 33.0 + 7.0 * (i % rows) as f64);
        drawing.bar(Place::new(left, y - 3.6), Place::new(left + 5.0, y), fill, edge);
        let at = Place::new(left + 8.0, y);
        drawing.text(at, VALUE_MM, Anchor::Start, Weight::Regular, Mark::Ink, &share.name);
        let at = Place::new(left + 70.0, y);
        drawing.text(at, VALUE_MM, Anchor::End, Weight::Bold, Mark::Ink, &share.text);
        let at = Place::new(left + 84.0, y);
        drawing.text(at, LABEL_MM, Anchor::End, Weight::Regular, Mark::Quiet, percent(share, total));
    }
    drawing
}

fn percent(share: &Share, total: i64) -> String {
    format!("{} %", super::number(100.0 * share.minor.max(0) as f64 / total as f64, 0))
}

fn about(shares: &[Share], total: i64) -> String {
    let each: Vec<String> = shares
        .iter()
        .map(|share| format!("{} {}, {}", share.name, share.text, percent(share, total)))
        .collect();
    format!("Shares of the price before tax: {}", each.join("; "))
}
