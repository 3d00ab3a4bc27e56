//! `change-order`: what was found while working, what can be done about it, price and day of each choice.

use super::print_json;
use crate::Status;
use crate::args::ChangeOrder as Args;
use crate::files::{self, Failure, catalogue, refit};
use crate::report::change_order::change_text;
use crate::screen;
use document::ChangeOrderDocument;
use shop::{Call, OperationId, UnderWay, change_order, wanted};

pub(super) fn run(args: &Args) -> Result<Status, Failure> {
    let shop = files::shop(args.shop.shop.as_deref())?;
    let today = super::today(args.shop.today);
    let catalogue = catalogue(&args.catalogue)?;
    let plan = fit::plan(&refit(Some(&args.refit), &catalogue)?, &catalogue);
    let change = files::change(&args.change, &shop.book, &catalogue)?;
    let circumstances = args.bike.circumstances();
    let operations: Vec<OperationId> =
        wanted(&plan, circumstances).into_iter().map(|wanted| wanted.operation).collect();
    let job = UnderWay {
        name: &plan.name,
        operations: &operations,
        age: circumstances.age,
        promised: args.promised,
        beside: &shop.open_jobs,
    };
    let order = change_order(&shop, job, change, today).map_err(Failure::Change)?;
    let document = ChangeOrderDocument::of(&order, &shop.name, &today.to_string(), &shop.book);
    #[cfg(feature = "sheets")]
    let written = args.to.as_deref().map(|folder| page(args, folder, &document)).transpose()?;
    #[cfg(not(feature = "sheets"))]
    let written: Option<std::path::PathBuf> = None;
    if args.json {
        print_json(&document)?;
    } else {
        let mut text = change_text(&order, &shop, today);
        if let Some(written) = written {
            text.push_str(&format!("\nwritten: {}\n", written.display()));
        }
        screen::print(&text)?;
    }
    Ok(if order.call == Call::Wanted { Status::Open } else { Status::Works })
}

/// Writes the page for the customer.
#[cfg(feature = "sheets")]
fn page(
    args: &Args,
    folder: &std::path::Path,
    document: &ChangeOrderDocument,
) -> Result<std::path::PathBuf, Failure> {
    let paper = args.paper.paper();
    let bytes = sheet::change_order(document, args.customer.as_deref())
        .and_then(|files| sheet::Typesetter::new().pdf(&files, paper))
        .map_err(|why| Failure::Paper(why.to_string()))?;
    files::create_folder(folder)?;
    let path = folder.join("change-order.pdf");
    files::write_whole(&path, &bytes)?;
    Ok(path)
}
