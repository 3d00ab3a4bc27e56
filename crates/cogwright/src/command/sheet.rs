//! `sheet`: drawings and sheets of a refit into a folder, as PDF and SVG.

use super::{plan_of, print_json, ride, work};
use crate::args::Sheet;
use crate::files::{self, Failure, create_folder, own_book, write_whole};
use crate::{Status, screen};
use document::{EstimateDocument, PlanDocument, RideDocument};
use fit::ride::Depth;
use serde_json::json;
use sheet::{Job, JobTag, SheetKind, Typesetter};
use shop::desk;
use std::time::{Duration, Instant};

/// Work that takes longer than this tells how far it is.
const PATIENCE: Duration = Duration::from_secs(1);

#[expect(clippy::disallowed_methods, reason = "the clock only decides whether progress is told")]
pub(super) fn run(args: &Sheet) -> Result<Status, Failure> {
    let started = Instant::now();
    let refit = &args.work.refit;
    let catalogue = files::catalogue(&refit.catalogue)?;
    let own = own_book(&refit.own)?;
    let plan = plan_of(refit.file.as_deref(), &catalogue, &own.rules)?;
    let shop = files::shop(args.shop.shop.as_deref())?;
    let laid = work::document(&args.work, &plan, &shop.book)?;
    let today = super::today(args.shop.today);
    let desk = desk(&plan, &catalogue, &shop, args.work.circumstances(), today).map_err(Failure::Estimate)?;
    let estimate = EstimateDocument::of(&desk);
    let promised = estimate.promise.as_ref().map(|promise| promise.promised.clone());
    let estimate = serde_json::to_value(&estimate).map_err(|why| Failure::Paper(why.to_string()))?;
    let ride = ride::answer(&args.work.refit, &plan, Depth::Short)?;
    let ride = ride.as_ref().map(RideDocument::of);
    let document = PlanDocument { ride, ..PlanDocument::of(&plan) };
    let tag = JobTag {
        hook: args.hook.clone(),
        customer: args.customer.clone(),
        promised: args.promised.clone().or(promised),
        collect: args.collect.clone(),
        shop: Some(shop.name.clone()),
        made: Some(today.to_string()),
        link: args.link.clone(),
    };
    let job = Job { plan: &document, work: &laid, tag: &tag, estimate: Some(&estimate), pair: args.pair };
    create_folder(&args.to)?;
    let mut kinds: Vec<SheetKind> = args.only.clone();
    kinds.sort_unstable();
    kinds.dedup();
    if kinds.is_empty() {
        kinds = SheetKind::ALL.to_vec();
    }
    let typesetter = Typesetter::new();
    let paper = args.paper.paper();
    let mut written = Vec::new();
    for (at, kind) in kinds.iter().enumerate() {
        if started.elapsed() > PATIENCE {
            screen::progress(&format!("{} of {}: {}", at + 1, kinds.len(), kind.word()));
        }
        let files = job.sheet(*kind).map_err(|why| Failure::Paper(why.to_string()))?;
        let bytes = typesetter.pdf(&files, paper).map_err(|why| Failure::Paper(why.to_string()))?;
        let path = args.to.join(format!("{}.pdf", kind.word()));
        write_whole(&path, &bytes)?;
        written.push(path);
        if *kind == SheetKind::Drawings {
            for (name, drawing) in job.drawings() {
                let svg = drawing.svg().map_err(|why| Failure::Paper(why.to_string()))?;
                let path = args.to.join(format!("{name}.svg"));
                write_whole(&path, svg.as_bytes())?;
                written.push(path);
            }
        }
    }
    let names: Vec<String> = written.iter().map(|path| path.display().to_string()).collect();
    if args.work.refit.json {
        print_json(&json!({ "written": names }))?;
    } else {
        screen::print(&format!("{} files are written:\n  {}\n", names.len(), names.join("\n  ")))?;
    }
    Ok(Status::Works)
}
