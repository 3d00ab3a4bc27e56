//! Deliveries: what is known of them, and the day on which everything is there. Begin with [`all_here`].

use crate::workshop::Workshop;
use jiff::ToSpan;
use jiff::civil::Date;

/// A part that is waited for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Awaited {
    /// What.
    pub what: String,
    /// From whom: the key of a record of deliveries.
    pub supplier: String,
    /// The day on which it is due.
    pub due: Date,
}

/// What is known of the deliveries of a supplier: how many days after the due day they came.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LeadRecord {
    /// Days late of every delivery; 0 is on time or early.
    pub days_late: Vec<u32>,
}

/// What is believed of a supplier before there is a record: nine of ten deliveries on time, one five days late. Believed
/// as if it were ten deliveries; the shop's own take over as they come.
const BELIEVED: [u32; 10] = [0, 0, 0, 0, 0, 0, 0, 0, 0, 5];

impl LeadRecord {
    /// The share of deliveries that came no later than so many days after their day.
    pub fn by(&self, days: i64) -> f64 {
        let all = || self.days_late.iter().chain(&BELIEVED);
        all().filter(|late| i64::from(**late) <= days).count() as f64 / all().count() as f64
    }

    /// Where the figures come from.
    pub fn source_words(&self) -> String {
        format!("{} deliveries of our own, and a first belief as heavy as 10", self.days_late.len())
    }
}

/// The first day on which all parts are there with a probability of `share`, the deliveries being independent: `Π Fᵢ(d) ≥
/// share`. The day itself if nothing is waited for.
pub fn all_here(shop: &Workshop, awaits: &[Awaited], today: Date, share: f64) -> Date {
    let unknown = LeadRecord::default();
    // Nobody waits longer than a year; by then the last record says 1.
    const MOST_DAYS: i64 = 366;
    for ahead in 0..MOST_DAYS {
        let day = today.saturating_add(ahead.days());
        let here: f64 = awaits
            .iter()
            .map(|part| {
                let record = shop.deliveries.get(&part.supplier).unwrap_or(&unknown);
                let late = (day - part.due).get_days();
                if late < 0 { 0.0 } else { record.by(i64::from(late)) }
            })
            .product();
        if here >= share {
            return day;
        }
    }
    today.saturating_add(MOST_DAYS.days())
}
