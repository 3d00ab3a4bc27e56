//! The options of an estimate: leave it, good, better, best.

use crate::money::MoneyDocument;
use crate::promise::PromiseDocument;
use schemars::JsonSchema;
use serde::Serialize;
use shop::{Way, WayName, shown};

/// An option.
#[derive(Debug, Serialize, JsonSchema)]
pub struct OptionDocument {
    /// leave it, good, better or best.
    pub name: &'static str,
    /// What is done, in words.
    pub words: String,
    /// The verdict with it.
    pub verdict: &'static str,
    /// What works only just with it; empty if nothing does.
    pub amber: Vec<String>,
    /// The price; null for leaving it.
    pub price: Option<MoneyDocument>,
    /// The price that half of all such jobs stay below, minor units.
    pub p50_minor: Option<i64>,
    /// The price that eight of ten stay below, minor units.
    pub p80_minor: Option<i64>,
    /// Way of the bike in one turn of the cranks in the lowest gear, metres.
    pub lowest_m: Option<f64>,
    /// The change of the lowest gear, percent; negative is easier.
    pub lowest_change_percent: Option<f64>,
    /// The same in the highest gear, metres.
    pub highest_m: Option<f64>,
    /// Gears that are not to be avoided.
    pub usable_gears: usize,
    /// How far the hands move, millimetres forward and up; null if they do not or it is not known.
    pub hands_mm: Option<[f64; 2]>,
    /// Minutes of work.
    pub minutes: Option<u32>,
    /// Working days until every part is here.
    pub days: Option<u32>,
    /// The day; null if none can be promised.
    pub promise: Option<PromiseDocument>,
    /// The day that it would be if what is open turned out well; null if a day is promised or none could be.
    pub provisional: Option<PromiseDocument>,
    /// Why there is no day; null if there is one, and for leaving it.
    pub no_day: Option<String>,
    /// What it pulls.
    pub pulls: Vec<&'static str>,
    /// What is not in it.
    pub not_included: Vec<String>,
}

/// An option that is not offered.
#[derive(Debug, Serialize, JsonSchema)]
pub struct NoOptionDocument {
    /// good, better or best.
    pub name: &'static str,
    /// Why.
    pub why: &'static str,
}

impl NoOptionDocument {
    /// The document of an option that is not offered.
    pub fn of((name, why): (WayName, &'static str)) -> Self {
        Self { name: name.word(), why }
    }
}

/// To so many decimals: nobody measures a bike better.
fn rounded(value: f64, decimals: i32) -> f64 {
    let scale = 10f64.powi(decimals);
    // Adding nothing makes the zero of a rounded small negative number a plain one.
    (value * scale).round() / scale + 0.0
}

impl OptionDocument {
    /// The document of an option.
    pub fn of(way: &Way) -> Self {
        let estimate = way.estimate.as_deref();
        let ready = way.ready.as_ref();
        let minor =
            |of: fn(&shop::Outlook) -> f64| estimate.map(|estimate| of(&estimate.price).round() as i64);
        Self {
            name: way.name.word(),
            words: way.words.clone(),
            verdict: way.verdict.word(),
            amber: way.amber.clone(),
            price: estimate.map(|estimate| MoneyDocument::of(shown(&estimate.totals, estimate.shown))),
            p50_minor: minor(|price| price.p50),
            p80_minor: minor(|price| price.p80),
            lowest_m: way.gears.lowest_m.map(|metres| rounded(metres, 2)),
            lowest_change_percent: way.gears.lowest_change_percent.map(|percent| rounded(percent, 1)),
            highest_m: way.gears.highest_m.map(|metres| rounded(metres, 2)),
            usable_gears: way.gears.usable,
            hands_mm: way.hands_mm.map(|(forward, up)| [rounded(forward, 0), rounded(up, 0)]),
            minutes: estimate.map(|estimate| estimate.labour.total.usual),
            days: way.days,
            promise: ready.and_then(|ready| ready.promise.as_ref().ok()).map(PromiseDocument::of),
            provisional: ready.and_then(|ready| ready.provisional.as_ref()).map(PromiseDocument::of),
            no_day: ready.and_then(|ready| ready.promise.as_ref().err()).map(ToString::to_string),
            pulls: estimate.map(|estimate| estimate.pulls.clone()).unwrap_or_default(),
            not_included: estimate.map(|estimate| estimate.not_included.clone()).unwrap_or_default(),
        }
    }
}
