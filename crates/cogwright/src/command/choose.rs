//! `choose`: sets of parts for a wish, or why there is none.

use super::print_json;
use crate::Status;
use crate::args::Choose;
use crate::choice_document::ChoiceDocument;
use crate::files::{self, Failure, catalogue, own_book, refit};
use crate::priced_offer::{Counter, PricedOffer, priced};
use crate::report::choice::{Shown, changes, text};
use crate::{screen, what_if};
use catalog::Catalogue;
use fit::choose::{Answer, Labour, choose, waiting};
use fit::{AimName, Refit};
use frontier::{Progress, Watch};
use shop::{Circumstances, Workshop, minutes_by_slot};
use std::io::{IsTerminal, Write as _};
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

pub(super) fn run(args: &Choose) -> Result<Status, Failure> {
    let catalogue = catalogue(&args.refit.catalogue)?;
    let shop = files::shop(args.shop.shop.as_deref())?;
    let own = own_book(&args.refit.own)?;
    let stop = stop_on_interrupt();
    let asked = with_road(refit(args.refit.file.as_deref(), &catalogue)?, args.refit.file.as_deref())?;
    let answer = answer_for(&asked, &catalogue, &shop, &stop)?;
    let status = match answer.sets.iter().map(|set| set.verdict).min() {
        Some(_) if !answer.complete => Status::Open,
        Some(verdict) => Status::of(verdict),
        None if !answer.complete => Status::Open,
        None => Status::Fails,
    };
    let other = other_answer(args, &asked, &catalogue, &shop, &stop)?;
    let today = super::today(args.shop.today);
    let counter = Counter { catalogue: &catalogue, own_rules: &own.rules, shop: &shop, today };
    // Without the file of the shop nobody's prices are known: the work is left out, and no ceiling is held against it.
    let is_priced = args.shop.shop.is_some();
    let (offers, over): (Vec<PricedOffer>, usize) = priced(&asked, &answer, &counter, is_priced);
    let waiting = waiting(&asked, &answer);
    if args.refit.json {
        let document = ChoiceDocument::of(&asked.name, &answer, &waiting, &offers, is_priced);
        print_json(&document.with_change(other.as_ref().map(|other| (&answer, other))))?;
        return Ok(status);
    }
    let plan = fit::plan(&asked, &catalogue);
    let shown = Shown { answer: &answer, waiting: &waiting, offers: &offers, over, is_priced, all: args.all };
    let mut out = text(&plan, &shown, &shop).map_err(Failure::Book)?;
    if let Some(other) = &other {
        changes(&mut out, &answer, other);
    }
    screen::print(&out)?;
    Ok(status)
}

/// The refit with the recorded road that its wish aims at.
fn with_road(mut refit: Refit, file: Option<&Path>) -> Result<Refit, Failure> {
    if let Some(wish) = refit.ride.as_mut().filter(|_| refit.wish.set.aims.contains(&AimName::Ride)) {
        wish.road = Some(super::ride::read(wish, file)?);
    }
    Ok(refit)
}

fn answer_for(
    refit: &Refit,
    catalogue: &Catalogue,
    shop: &Workshop,
    stop: &AtomicBool,
) -> Result<Answer, Failure> {
    let plan = fit::plan(refit, catalogue);
    let minutes = minutes_by_slot(&plan, &shop.book, Circumstances::default());
    let labour = Labour { minutes: minutes.map_err(Failure::Book)? };
    let watch = Watch { stop: Some(stop), tell: Some(&tell_progress) };
    let answer = choose(refit, catalogue, &labour, watch).map_err(Failure::Choice);
    clear_progress();
    answer
}

/// The answer for another state of the file, another catalogue or another value, where one was named.
fn other_answer(
    args: &Choose,
    asked: &Refit,
    catalogue: &Catalogue,
    shop: &Workshop,
    stop: &AtomicBool,
) -> Result<Option<Answer>, Failure> {
    if args.against.is_none() && args.against_catalogue.is_empty() && args.what_if.is_empty() {
        return Ok(None);
    }
    let mut there = match &args.against_catalogue[..] {
        [] => catalogue.clone(),
        files => files::catalogue(files)?,
    };
    let mut other = match (&args.against, &args.refit.file) {
        (Some(file), _) => with_road(refit(Some(file), &there)?, Some(file))?,
        // Parts that the file takes from the catalogue are read anew where the catalogue is another one.
        (None, Some(file)) if !args.against_catalogue.is_empty() && file.as_os_str() != "-" => {
            with_road(refit(Some(file), &there)?, Some(file))?
        }
        _ => asked.clone(),
    };
    for text in &args.what_if {
        what_if::put(text, &mut other, &mut there)?;
    }
    answer_for(&other, &there, shop, stop).map(Some)
}

/// The first interrupt ends the search and shows what it has; a second one ends the program.
fn stop_on_interrupt() -> Arc<AtomicBool> {
    let stop = Arc::new(AtomicBool::new(false));
    let set = Arc::clone(&stop);
    // Where no handler can be set an interrupt ends the program, as everywhere else.
    let _ = ctrlc::set_handler(move || {
        if set.swap(true, Ordering::Relaxed) {
            std::process::exit(130);
        }
    });
    stop
}

fn tell_progress(progress: Progress) {
    let mut out = std::io::stderr();
    if out.is_terminal() {
        let _ =
            write!(out, "\rsearching: {} of {} parts, {} sets", progress.done, progress.of, progress.found);
        let _ = out.flush();
    }
}

fn clear_progress() {
    let mut out = std::io::stderr();
    if out.is_terminal() {
        let _ = write!(out, "\r\x1b[K");
        let _ = out.flush();
    }
}
