//! `promise`: the days of all open jobs of the shop, and the promises that break.

use super::print_json;
use crate::Status;
use crate::args::Promise as Args;
use crate::files::{self, Failure};
use crate::report::promise::promises_text;
use crate::screen;
use document::PromisesDocument;
use shop::{broken, promises};

pub(super) fn run(args: &Args) -> Result<Status, Failure> {
    let shop = files::shop(args.shop.shop.as_deref())?;
    let today = super::today(args.shop.today);
    let days = promises(&shop, &shop.open_jobs, today);
    let broken = broken(&shop.open_jobs, &days);
    if args.json {
        print_json(&PromisesDocument::of(&shop.name, &today.to_string(), &shop.open_jobs, &days, &broken))?;
    } else {
        screen::print(&promises_text(&shop, today, &days, &broken))?;
    }
    let all = days.iter().all(Result::is_ok) && broken.is_empty();
    Ok(if all { Status::Works } else { Status::Open })
}
