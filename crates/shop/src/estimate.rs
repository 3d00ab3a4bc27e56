//! The estimate: what a job costs, how far it may go, and what it leaves out. Begin with [`estimate`].

mod advance;
mod lines;
mod none;
mod offer;
mod reach;
mod safety;
mod scope;

pub use advance::Advance;
pub use none::NoEstimate;
pub use offer::Offer;
pub(crate) use reach::Told;
pub use reach::{Ceiling, FacedPrice};
pub use safety::SafetyItem;

use crate::book::BookError;
use crate::labour::{Circumstances, Labour};
use crate::operation::OperationId;
use crate::price::{Carries, PriceError, PriceLine, Totals, totals};
use crate::risk::{Outlook, Standing, faced};
use crate::wanted::{Wanted, wanted};
use crate::wording::{Said, of_money, of_plan};
use crate::workshop::Workshop;
use fit::{Audience, Plan, Verdict};
use jiff::ToSpan;
use jiff::civil::Date;
use quantity::MoneyError;
use reach::Reach;
use std::fmt;

/// What comes of a plan: an estimate, or the reason why there is none.
#[derive(Clone, Debug, PartialEq)]
pub enum Answer {
    /// An estimate.
    Estimate(Box<Estimate>),
    /// None: the plan does not work.
    None(Box<NoEstimate>),
}

/// Whether a customer may sign it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Signable {
    /// Yes.
    Yes,
    /// Yes, once they have agreed to what is marginal.
    WithAmber,
    /// No: something has to be measured first.
    MeasureFirst,
    /// No: a price is not known.
    PriceFirst,
    /// No: it comes to more than the ceiling that was named.
    OverCeiling,
}

impl Signable {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Yes => "ready to sign",
            Self::WithAmber => "ready to sign, with what is marginal agreed to by name",
            Self::MeasureFirst => "not to be signed: what is open has to be measured first",
            Self::PriceFirst => "not to be signed: a price is not known, and it is not counted as nothing",
            Self::OverCeiling => {
                "not to be signed as it stands: it comes to more than the ceiling that was named"
            }
        }
    }

    /// Whether it may be signed.
    pub fn is_open(self) -> bool {
        matches!(self, Self::Yes | Self::WithAmber)
    }
}

/// An estimate, in the order in which it is read.
#[derive(Clone, Debug, PartialEq)]
pub struct Estimate {
    /// What the job is called.
    pub name: String,
    /// Its version, from 1.
    pub version: u32,
    /// The day on which it was made.
    pub made: Date,
    /// Until when it holds.
    pub holds_until: Date,
    /// Whether it may be signed.
    pub signable: Signable,
    /// 1: what the customer told.
    pub told: Option<String>,
    /// 2: what was found that matters.
    pub found: Vec<String>,
    /// 3: what the wish pulls.
    pub pulls: Vec<&'static str>,
    /// 3: what it leaves alone.
    pub leaves: Vec<&'static str>,
    /// 5: the operations, each with its reason.
    pub operations: Vec<Wanted>,
    /// 5: the work.
    pub labour: Labour,
    /// 5: the lines.
    pub lines: Vec<PriceLine>,
    /// 5: parts whose price is not known; the sums are without them.
    pub unpriced: Vec<String>,
    /// 5: the sums.
    pub totals: Totals,
    /// 5: whether the sums are shown with or without tax.
    pub shown: Carries,
    /// 5: what would be cheap to do now.
    pub offers: Vec<Offer>,
    /// 6: the risks of this bike.
    pub risks: Vec<FacedPrice>,
    /// 6: minutes at 50, 80 and 95 percent.
    pub minutes: Outlook,
    /// 6: price at 50, 80 and 95 percent, minor units, as it is shown.
    pub price: Outlook,
    /// 6: the price if nothing had been looked at, minor units; none if looking has settled nothing.
    pub price_untried: Option<Outlook>,
    /// 7: the ceiling.
    pub ceiling: Ceiling,
    /// What is asked for in advance.
    pub deposit: Option<Advance>,
    /// 9: what is not in it.
    pub not_included: Vec<String>,
    /// What is said, by rule.
    pub said: Vec<Said>,
    /// 10: what concerns the rider's safety and would be signed for by itself if it is declined.
    pub safety: Vec<SafetyItem>,
    /// Cautions of the plan for whoever rides.
    pub cautions: Vec<&'static str>,
}

/// Why an estimate cannot be made.
#[derive(Clone, Debug, PartialEq)]
pub enum EstimateError {
    /// The book lacks an operation.
    Book(BookError),
    /// A price, a tax or a sum.
    Price(PriceError),
}

impl From<BookError> for EstimateError {
    fn from(error: BookError) -> Self {
        Self::Book(error)
    }
}

impl From<PriceError> for EstimateError {
    fn from(error: PriceError) -> Self {
        Self::Price(error)
    }
}

impl From<MoneyError> for EstimateError {
    fn from(error: MoneyError) -> Self {
        Self::Price(error.into())
    }
}

impl fmt::Display for EstimateError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Book(error) => write!(f, "{error}"),
            Self::Price(error) => write!(f, "{error}"),
        }
    }
}

impl std::error::Error for EstimateError {}

/// The estimate of a plan, made on a day.
///
/// # Errors
/// Everything that stands against a sum: sorts of lines without a tax, other currencies. A part without a price is no
/// error: the estimate names it, leaves it out of the sums and may not be signed.
pub fn estimate(
    plan: &Plan,
    shop: &Workshop,
    circumstances: Circumstances,
    made: Date,
) -> Result<Answer, Vec<EstimateError>> {
    if matches!(plan.verdict, Verdict::Fails | Verdict::Refused) {
        return none::none(plan, &shop.terms).map(|none| Answer::None(Box::new(none)));
    }
    let operations = wanted(plan, circumstances);
    let all: Vec<OperationId> = operations.iter().map(|wanted| wanted.operation).collect();
    let labour = shop.book.labour(&all, circumstances.age).map_err(|error| vec![error.into()])?;
    let steps: Vec<&str> = labour.steps.iter().map(|step| step.0).collect();
    let faced = faced(&shop.risks, plan, &steps);
    let (mut lines, unpriced) = lines::lines(plan, &shop.terms, &labour, circumstances.customer_parts)?;
    lines.extend(lines::certain(&faced, &shop.terms).map_err(|error| vec![error])?);
    lines.extend(lines::discounts(&lines, &shop.terms).map_err(|error| vec![error])?);
    let terms = &shop.terms;
    let totals = totals(&lines, &terms.taxes, terms.prices, terms.hour, terms.round_to)
        .map_err(|problems| problems.into_iter().map(EstimateError::Price).collect::<Vec<_>>())?;
    let rest = || -> Result<Estimate, EstimateError> {
        let money = Reach::of(&totals, &labour, &faced, terms)?;
        let risks = faced
            .iter()
            .map(|faced| {
                Ok(FacedPrice {
                    price: money.price(faced)?,
                    moves_p80: money.moves(faced),
                    faced: faced.clone(),
                })
            })
            .collect::<Result<Vec<_>, EstimateError>>()?;
        let ceiling = reach::ceiling(plan, &money, terms)?;
        let told = money.told();
        let signable = match plan.verdict {
            Verdict::Measure => Signable::MeasureFirst,
            _ if !unpriced.is_empty() => Signable::PriceFirst,
            _ if ceiling.named && told.is_over(&ceiling) => Signable::OverCeiling,
            Verdict::Marginal => Signable::WithAmber,
            _ => Signable::Yes,
        };
        let mut said = of_plan(plan, &shop.blocks);
        said.extend(of_money(&told, &ceiling, &faced, circumstances, &shop.blocks));
        let safety = safety::safety(plan, &shop.blocks);
        Ok(Estimate {
            name: plan.name.clone(),
            version: 1,
            made,
            holds_until: made.saturating_add(i64::from(terms.valid_days).days()),
            signable,
            told: plan.refit.wish.words.clone(),
            found: scope::found(plan),
            pulls: plan.pulls.iter().map(|coupling| coupling.words()).collect(),
            leaves: scope::leaves(plan),
            offers: offer::offers(&shop.book, plan, &all, terms)?,
            minutes: money.minutes(&labour, &faced),
            price: money.outlook(|faced| faced.standing == Standing::Open),
            price_untried: money.untried(),
            deposit: advance::deposit(plan, &lines, &totals, terms)?,
            not_included: scope::not_included(plan, &lines, &unpriced, circumstances),
            unpriced,
            cautions: plan.cautions_for(Audience::Customer).map(|caution| caution.words).collect(),
            operations,
            labour,
            shown: terms.shown,
            risks,
            ceiling,
            said,
            safety,
            lines,
            totals,
        })
    };
    rest().map(|estimate| Answer::Estimate(Box::new(estimate))).map_err(|error| vec![error])
}
