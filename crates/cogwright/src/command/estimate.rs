//! `estimate`: the price of a refit with its risks, its order of work and its day; or why there is none.

use super::{plan_of, print_json};
use crate::Status;
use crate::args::Estimate as Args;
use crate::files::{self, Failure, own_book};
use crate::report::estimate::{changed, sheet};
use crate::screen;
use document::{EstimateDocument, Heading, InvoiceError, invoice};
use fit::Verdict;
use shop::{Answer, Desk, Queue, WayName, Workshop, desk, difference, ways};

/// Days within which an invoice is due.
const DUE_DAYS: u32 = 14;

pub(super) fn run(args: &Args) -> Result<Status, Failure> {
    let shop = files::shop(args.shop.shop.as_deref())?;
    let today = super::today(args.shop.today);
    let refit = &args.work.refit;
    let catalogue = files::catalogue(&refit.catalogue)?;
    let own = own_book(&refit.own)?;
    let mut plan = plan_of(refit.file.as_deref(), &catalogue, &own.rules)?;
    let circumstances = args.work.circumstances();
    if args.cured {
        // What was asked for is the better way itself where it works; then the best one has cures.
        let works = !matches!(plan.verdict, Verdict::Fails | Verdict::Refused);
        let wanted = if works { WayName::Best } else { WayName::Better };
        let queue = Queue::of(&shop, &shop.open_jobs, today);
        let ways = ways(&plan, &catalogue, &shop, circumstances, &queue, today).offered;
        if let Some(cured) = ways.into_iter().find(|way| way.name == wanted).and_then(|way| way.plan) {
            plan = *cured;
        }
    }
    let mut desk = desk(&plan, &catalogue, &shop, circumstances, today).map_err(Failure::Estimate)?;
    if let Some(earlier) = &args.earlier {
        let before = plan_of(Some(earlier), &catalogue, &own.rules)?;
        let before = shop::estimate(&before, &shop, circumstances, today).map_err(Failure::Estimate)?;
        let words = between(&before, &mut desk);
        if !refit.json {
            screen::print(&changed(&words))?;
        }
    }
    if let Some(number) = &args.invoice {
        screen::print(&bill(args, &shop, &desk, number).map_err(Failure::Invoice)?)?;
    } else if refit.json {
        print_json(&EstimateDocument::of(&desk))?;
    } else {
        screen::print(&sheet(&desk, args.work.why))?;
    }
    Ok(Status::of(plan.verdict))
}

/// What changed since the version before; the estimate becomes the next version.
fn between(before: &Answer, desk: &mut Desk<'_>) -> Vec<String> {
    match (before, &mut desk.answer) {
        (Answer::Estimate(before), Answer::Estimate(now)) => {
            **now = now.as_ref().clone().after(before);
            difference(before, now)
        }
        (Answer::Estimate(_), Answer::None(now)) => vec![format!("there was an estimate; now {}", now.why)],
        (Answer::None(before), Answer::Estimate(_)) => {
            vec![format!("there was none ({}); now there is an estimate", before.why)]
        }
        (Answer::None(_), Answer::None(_)) => Vec::new(),
    }
}

fn bill(args: &Args, shop: &Workshop, desk: &Desk<'_>, number: &str) -> Result<String, InvoiceError> {
    let estimate = match &desk.answer {
        Answer::Estimate(estimate) => estimate,
        Answer::None(none) => return Err(InvoiceError::NoEstimate(none.why.clone())),
    };
    let heading = Heading {
        number,
        issued: desk.made,
        due_days: DUE_DAYS,
        shop: &shop.name,
        seller: &shop.seller,
        buyer: args.buyer.as_deref().unwrap_or_default(),
        buyer_country: args.buyer_country.as_deref().unwrap_or(&shop.seller.country),
        buyer_tax_number: args.buyer_tax_number.as_deref(),
        paid: None,
    };
    invoice(estimate, &shop.terms.taxes, shop.terms.prices, &heading)
}
