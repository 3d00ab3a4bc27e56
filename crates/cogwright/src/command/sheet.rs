//! `sheet`: drawings and sheets of one or several refits into folders, as PDF and SVG.

use super::{plan_of, print_json, ride, work};
use crate::args::Sheet;
use crate::files::{self, Failure, create_folder, own_book, write_whole};
use crate::{Status, screen};
use catalog::Catalogue;
use document::{EstimateDocument, PlanDocument, RideDocument, WorkDocument};
use fit::Plan;
use fit::ride::Depth;
use serde_json::{Value, json};
use sheet::{Job, JobTag, SheetKind, Typesetter};
use shop::{Workshop, desk};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// Work that takes longer than this tells how far it is.
const PATIENCE: Duration = Duration::from_secs(1);

#[expect(clippy::disallowed_methods, reason = "the clock only decides whether progress is told")]
pub(super) fn run(args: &Sheet) -> Result<Status, Failure> {
    let started = Instant::now();
    let refit = &args.work.refit;
    let catalogue = files::catalogue(&refit.catalogue)?;
    let own = own_book(&refit.own)?;
    let shop = files::shop(args.shop.shop.as_deref())?;
    // Every file is read before the first sheet is written.
    let mut bikes = Vec::new();
    for (file, folder) in folders(args)? {
        bikes.push((file, plan_of(file, &catalogue, &own.rules)?, folder));
    }
    let kinds: BTreeSet<SheetKind> = match args.only.as_slice() {
        [] => SheetKind::ALL.into_iter().collect(),
        only => only.iter().copied().collect(),
    };
    let typesetter = Typesetter::new();
    let all = bikes.len() * kinds.len();
    let (mut at, mut written) = (0, Vec::new());
    for (file, plan, folder) in &bikes {
        let papers = Papers::of(args, *file, plan, (&catalogue, &shop))?;
        create_folder(folder)?;
        for kind in &kinds {
            at += 1;
            if started.elapsed() > PATIENCE {
                screen::progress(&format!("{at} of {all}: {}", folder.join(kind.word()).display()));
            }
            written.extend(papers.write(args, *kind, &typesetter, folder)?);
        }
    }
    let names: Vec<String> = written.iter().map(|path| path.display().to_string()).collect();
    if refit.json {
        print_json(&json!({ "written": names }))?;
    } else {
        screen::print(&format!("{} files are written:\n  {}\n", names.len(), names.join("\n  ")))?;
    }
    Ok(Status::Works)
}

/// Each refit with the folder of its sheets: of several each has its own, named after its file.
fn folders(args: &Sheet) -> Result<Vec<(Option<&Path>, PathBuf)>, Failure> {
    let first = args.work.refit.file.as_deref();
    if args.more.is_empty() {
        return Ok(vec![(first, args.to.clone())]);
    }
    let mut all: Vec<(Option<&Path>, PathBuf)> = Vec::new();
    for file in first.into_iter().chain(args.more.iter().map(PathBuf::as_path)) {
        let folder = args.to.join(file.file_stem().unwrap_or(file.as_os_str()));
        if let Some((Some(other), _)) = all.iter().find(|(_, taken)| *taken == folder) {
            let (other, folder) = (other.display(), folder.display());
            return Err(Failure::Paper(format!(
                "`{other}` and `{}` would both be written into `{folder}`; write them one by one",
                file.display()
            )));
        }
        all.push((Some(file), folder));
    }
    Ok(all)
}

/// Everything that the sheets of a bike show.
struct Papers {
    plan: PlanDocument,
    work: WorkDocument,
    estimate: Value,
    tag: JobTag,
}

impl Papers {
    fn of(
        args: &Sheet,
        file: Option<&Path>,
        plan: &Plan,
        (catalogue, shop): (&Catalogue, &Workshop),
    ) -> Result<Self, Failure> {
        let today = super::today(args.shop.today);
        let desk =
            desk(plan, catalogue, shop, args.work.circumstances(), today).map_err(Failure::Estimate)?;
        let estimate = EstimateDocument::of(&desk);
        let promised = estimate.promise.as_ref().map(|promise| promise.promised.clone());
        let ride = ride::answer(&args.work.refit, file, plan, Depth::Short)?;
        let ride = ride.as_ref().map(RideDocument::of);
        Ok(Self {
            plan: PlanDocument { ride, ..PlanDocument::of(plan) },
            work: work::document(&args.work, plan, &shop.book)?,
            estimate: serde_json::to_value(&estimate).map_err(|why| Failure::Paper(why.to_string()))?,
            tag: JobTag {
                hook: args.hook.clone(),
                customer: args.customer.clone(),
                promised: args.promised.clone().or(promised),
                collect: args.collect.clone(),
                shop: Some(shop.name.clone()),
                made: Some(today.to_string()),
                link: args.link.clone(),
            },
        })
    }

    /// Writes a sheet, and with the drawings each of them as a file of its own; the names of what was written.
    fn write(
        &self,
        args: &Sheet,
        kind: SheetKind,
        typesetter: &Typesetter,
        folder: &Path,
    ) -> Result<Vec<PathBuf>, Failure> {
        let told = |why: &dyn std::fmt::Display| Failure::Paper(why.to_string());
        let job = Job {
            plan: &self.plan,
            work: &self.work,
            tag: &self.tag,
            estimate: Some(&self.estimate),
            pair: args.pair,
        };
        let files = job.sheet(kind).map_err(|why| told(&why))?;
        let bytes = typesetter.pdf(&files, args.paper.paper()).map_err(|why| told(&why))?;
        let path = folder.join(format!("{}.pdf", kind.word()));
        write_whole(&path, &bytes)?;
        let mut written = vec![path];
        if kind == SheetKind::Drawings {
            for (name, drawing) in job.drawings() {
                let svg = drawing.svg().map_err(|why| told(&why))?;
                let path = folder.join(format!("{name}.svg"));
                write_whole(&path, svg.as_bytes())?;
                written.push(path);
            }
        }
        Ok(written)
    }
}
