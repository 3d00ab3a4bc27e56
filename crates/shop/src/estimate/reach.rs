//! How far a price may go: each risk with its price, the percentiles, the ceiling.

use super::EstimateError;
use crate::labour::Labour;
use crate::price::{Carries, PriceError, Totals, shown};
use crate::risk::{Blow, Faced, Outlook, Standing, outlook};
use crate::tax::LineKind;
use crate::workshop::Terms;
use fit::Plan;
use quantity::Money;

/// A risk with what it would cost.
#[derive(Clone, Debug, PartialEq)]
pub struct FacedPrice {
    /// The risk and how it stands.
    pub faced: Faced,
    /// What it would cost, in the terms that are shown.
    pub price: Money,
    /// By how much it raises the 80 percent price; for one that was settled, would raise.
    pub moves_p80: Money,
}

/// The amount that is not passed without a word.
#[derive(Clone, Debug, PartialEq)]
pub struct Ceiling {
    /// The amount, as it is shown.
    pub amount: Money,
    /// Whether the customer named it.
    pub named: bool,
    /// At least so many of a hundred such jobs stay below: 95, 80, 50, or 0 for fewer.
    pub of_hundred: u32,
}

/// What is said of a price.
pub(crate) struct Told {
    /// If all goes well.
    pub expected: Money,
    /// Eight of ten such jobs stay below.
    pub in_mind: Money,
    exactly_minor: f64,
}

impl Told {
    /// Whether it comes to more than the ceiling even if all goes well.
    pub(crate) fn is_over(&self, ceiling: &Ceiling) -> bool {
        self.exactly_minor > ceiling.amount.minor() as f64
    }
}

/// How far the price may go, in the terms in which it is shown.
pub(super) struct Reach<'a> {
    pub(super) base: f64,
    /// Share of the labour that minutes scatter, as a standard deviation, minor units.
    sigma: f64,
    scatter: f64,
    faced: &'a [Faced],
    currency: Money,
    minute: f64,
    part: f64,
}

impl<'a> Reach<'a> {
    pub(super) fn of(
        totals: &Totals,
        labour: &Labour,
        faced: &'a [Faced],
        terms: &Terms,
    ) -> Result<Self, EstimateError> {
        let factor = |kind: LineKind| -> Result<f64, EstimateError> {
            let rule = terms.taxes.get(&kind).ok_or(PriceError::NoTax(kind))?;
            let with_tax = 1.0 + f64::from(rule.hundredths) / 10_000.0;
            Ok(match (terms.prices, terms.shown) {
                (Carries::Net, Carries::Gross) => with_tax,
                (Carries::Gross, Carries::Net) => 1.0 / with_tax,
                _ => 1.0,
            })
        };
        let minute = terms.hour.minor() as f64 / 60.0 * factor(LineKind::Labour)?;
        let scatter = f64::from(terms.scatter_percent) / 100.0;
        Ok(Self {
            base: shown(totals, terms.shown).minor() as f64,
            sigma: scatter * f64::from(labour.total.usual) * minute,
            scatter,
            faced,
            currency: terms.hour,
            minute,
            part: factor(LineKind::Part)?,
        })
    }

    fn cost(&self, faced: &Faced) -> f64 {
        let parts = faced.risk.parts.map_or(0.0, |parts| parts.minor() as f64);
        faced.risk.minutes_now() * self.minute + parts * self.part
    }

    pub(super) fn price(&self, faced: &Faced) -> Result<Money, EstimateError> {
        if let Some(parts) = faced.risk.parts {
            // Two currencies in one risk are an error, not a number.
            self.currency.plus(parts)?;
        }
        Ok(self.currency.with_minor(self.cost(faced).round() as i64))
    }

    pub(super) fn outlook(&self, counts: impl Fn(&Faced) -> bool) -> Outlook {
        let blows: Vec<Blow> = self
            .faced
            .iter()
            .filter(|faced| counts(faced))
            .map(|faced| Blow { chance: faced.risk.chance_now(), by: self.cost(faced) })
            .collect();
        outlook(self.base, self.sigma, &blows)
    }

    pub(super) fn minutes(&self, labour: &Labour, faced: &[Faced]) -> Outlook {
        let certain = faced.iter().filter(|faced| faced.standing == Standing::Certain);
        let base = f64::from(labour.total.usual)
            + certain.map(|faced| faced.risk.minutes_now().round()).sum::<f64>();
        let open = faced.iter().filter(|faced| faced.standing == Standing::Open);
        let blows: Vec<Blow> = open
            .map(|faced| Blow { chance: faced.risk.chance_now(), by: faced.risk.minutes_now() })
            .collect();
        outlook(base, self.scatter * f64::from(labour.total.usual), &blows)
    }

    /// By how much a risk raises the 80 percent price.
    pub(super) fn moves(&self, faced: &Faced) -> Money {
        let open = |other: &Faced| other.standing == Standing::Open;
        let same = |other: &Faced| other.risk.id == faced.risk.id;
        let with = self.outlook(|other| open(other) || same(other)).p80;
        let without = self.outlook(|other| open(other) && !same(other)).p80;
        let moves = if faced.standing == Standing::Certain { 0.0 } else { with - without };
        self.currency.with_minor(moves.round() as i64)
    }

    /// The price if nothing had been looked at.
    pub(super) fn untried(&self) -> Option<Outlook> {
        let spared = |faced: &Faced| faced.standing == Standing::Spared;
        self.faced.iter().any(spared).then(|| self.outlook(|faced| faced.standing != Standing::Certain))
    }

    /// The figures that are told, in whole units.
    pub(super) fn told(&self) -> Told {
        let outlook = self.outlook(|faced| faced.standing == Standing::Open);
        Told { expected: self.whole(self.base), in_mind: self.whole(outlook.p80), exactly_minor: self.base }
    }

    /// An amount in whole units: nobody knows the future to the cent.
    fn whole(&self, minor: f64) -> Money {
        self.currency.with_minor((minor / 100.0).round() as i64 * 100)
    }
}

/// What is not passed without a word: what the customer named, or the 95 percent price rounded up.
pub(super) fn ceiling(plan: &Plan, money: &Reach<'_>, terms: &Terms) -> Result<Ceiling, EstimateError> {
    let outlook = money.outlook(|faced| faced.standing == Standing::Open);
    let named = plan.refit.wish.ceiling;
    if let Some(named) = named {
        // Another currency is an error, not a number.
        terms.hour.plus(named)?;
    }
    let unit = terms.ceiling_to.minor().max(1);
    let own = (outlook.p95.ceil() as i64 + unit - 1) / unit * unit;
    let (minor, is_named) = match named {
        Some(named) if named.minor() < own => (named.minor(), true),
        _ => (own, false),
    };
    let at = minor as f64;
    let of_hundred = match at {
        at if at >= outlook.p95 => 95,
        at if at >= outlook.p80 => 80,
        at if at >= outlook.p50 => 50,
        _ => 0,
    };
    Ok(Ceiling { amount: terms.hour.with_minor(minor), named: is_named, of_hundred })
}
