//! What is asked for in advance.

use super::EstimateError;
use crate::price::{PriceLine, Totals};
use crate::workshop::{Deposit, Terms};
use fit::Plan;
use quantity::Money;

/// What is asked for in advance.
#[derive(Clone, Debug, PartialEq)]
pub struct Advance {
    /// How much.
    pub amount: Money,
    /// For what.
    pub words: String,
}

/// The advance that the shop asks for with these lines.
pub(super) fn deposit(
    plan: &Plan,
    lines: &[PriceLine],
    totals: &Totals,
    terms: &Terms,
) -> Result<Option<Advance>, EstimateError> {
    let whole = |amount: Money| amount.with_minor((amount.minor() + 99) / 100 * 100);
    Ok(match &terms.deposit {
        Deposit::Nothing => None,
        Deposit::Share(percent) => Some(Advance {
            amount: whole(totals.payable.share(*percent, 100)?),
            words: format!("{percent} % of the whole"),
        }),
        Deposit::NotReturnable(slots) => {
            let mut sum = terms.hour.with_minor(0);
            let mut names = Vec::new();
            for slot in slots {
                let Some(id) = plan.build.choice.get(*slot).and_then(|part| part.id().map(str::to_owned))
                else {
                    continue;
                };
                for line in lines.iter().filter(|line| line.part.as_deref() == Some(&id)) {
                    sum = sum.plus(line.amount)?;
                    names.push(line.words.clone());
                }
            }
            (!names.is_empty()).then(|| Advance {
                amount: whole(sum),
                words: format!("parts that cannot go back once they are cut or built: {}", names.join(", ")),
            })
        }
    })
}
