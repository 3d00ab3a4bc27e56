//! `diagnose`: what is wrong with a bike that does not work as it should, and what to do next.

use super::print_json;
use crate::Status;
use crate::args::Diagnose;
use crate::files::{Failure, Text, catalogue, read, refit};
use crate::report::{plain_table, print_table};
use crate::screen::{self, HEADING, QUIET};
use comfy_table::{Cell, CellAlignment};
use document::ComplaintDocument;
use document::complaint::{CauseDocument, NoiseDocument, RearDocument, SymptomNextDocument};
use fit::complaint::{Complaint, Findings, Step, answer, beside};
use fit::plan;
use intake::{Source, read_complaint};
use std::fmt::Write;

/// The built-in example: an invented bike.
const EXAMPLE: &str = include_str!("../../complaint.toml");
/// What it is called in messages.
const EXAMPLE_NAME: &str = "complaint.toml";

pub(super) fn run(args: &Diagnose) -> Result<Status, Failure> {
    let text = match &args.file {
        Some(path) => read(path)?,
        None => Text { name: EXAMPLE_NAME.to_owned(), text: EXAMPLE.to_owned() },
    };
    let mut complaint: Complaint = read_complaint(Source { name: &text.name, text: &text.text })?;
    if let Some(path) = &args.refit {
        let catalogue = catalogue(&args.catalogue)?;
        let plan = plan(&refit(Some(path), &catalogue)?, &catalogue);
        beside(&mut complaint, &plan).map_err(|why| Failure::Complaint(why.to_string()))?;
    }
    let findings = answer(&complaint).map_err(|why| Failure::Complaint(why.to_string()))?;
    let document = ComplaintDocument::of(&complaint, &findings);
    if args.json {
        print_json(&document)?;
    } else {
        screen::print(&told(&document))?;
    }
    Ok(status(&findings))
}

/// Works only where the bike is clean and nothing else is complained of.
fn status(findings: &Findings) -> Status {
    if findings.stop_riding() {
        return Status::Fails;
    }
    let is_done = findings.rear.as_ref().is_some_and(|rear| rear.advice.step == Step::Done);
    let is_alone = findings.noise.is_none() && findings.front.is_none() && findings.brakes.is_empty();
    if is_done && is_alone { Status::Works } else { Status::Open }
}

fn told(document: &ComplaintDocument) -> String {
    let mut text = format!("{HEADING}{}{HEADING:#}\n", document.name);
    if document.stop_riding {
        text.push_str("stop: this bike is not ridden before this is mended\n");
    }
    if let Some(rear) = &document.rear {
        told_rear(&mut text, rear);
    }
    if let Some(noise) = &document.noise {
        told_noise(&mut text, noise);
    }
    if let Some(front) = &document.front {
        let _ = writeln!(text, "\n{HEADING}Front derailleur{HEADING:#}, in the order of likelihood");
        told_causes(&mut text, &front.causes);
        told_next(&mut text, &front.next, front.stop_adjusting);
        if let Some(short) = front.travel_short_mm {
            let _ = writeln!(
                text,
                "one throw of the lever moves the cage {short:.1} mm too little: no screw helps, look at lever, cage and cable path"
            );
        }
    }
    for brake in &document.brakes {
        let _ = writeln!(text, "\n{HEADING}The {}{HEADING:#}, in the order of likelihood", brake.kind);
        told_causes(&mut text, &brake.causes);
        told_next(&mut text, &brake.next, brake.stop_adjusting);
    }
    text
}

fn told_causes(text: &mut String, causes: &[CauseDocument]) {
    let mut table = plain_table();
    for cause in causes.iter().take(6) {
        table.add_row(vec![
            Cell::new(cause.word),
            Cell::new(format!("{:.0} %", 100.0 * cause.probability)).set_alignment(CellAlignment::Right),
            Cell::new(cause.cause),
        ]);
    }
    print_table(text, &table);
}

fn told_next(text: &mut String, next: &SymptomNextDocument, stop_adjusting: bool) {
    let _ = writeln!(text, "next: {}", next.words);
    let _ = writeln!(text, "  {QUIET}because {}{QUIET:#}", next.reason);
    if stop_adjusting {
        text.push_str("  stop adjusting: most likely no screw and no barrel cures this\n");
    }
}

fn told_rear(text: &mut String, rear: &RearDocument) {
    let _ = writeln!(text, "\n{HEADING}Next{HEADING:#}");
    for words in &rear.next.words {
        let _ = writeln!(text, "  {words}");
    }
    let _ = writeln!(text, "  {QUIET}because {}; {:.1} min{QUIET:#}", rear.next.reason, rear.next.minutes);
    if rear.stop_adjusting {
        text.push_str(
            "  stop adjusting: hardly any setting of the adjuster cures this; replace or straighten\n",
        );
    }
    let _ = writeln!(text, "\n{HEADING}Rear derailleur{HEADING:#}");
    told_causes(text, &rear.causes);
    if rear.rather_two {
        text.push_str("one cause alone does not explain this: look for two\n");
    }
    let mut table = plain_table();
    for explanation in rear.explanations.iter().take(4) {
        let causes = match explanation.causes.as_slice() {
            [] => "nothing is wrong any more".to_owned(),
            causes => causes.join(", and "),
        };
        table.add_row(vec![
            Cell::new(format!("{:.0} %", 100.0 * explanation.probability))
                .set_alignment(CellAlignment::Right),
            Cell::new(causes),
        ]);
    }
    let _ = writeln!(text, "what explains it together");
    print_table(text, &table);
    match &rear.clicks {
        Some(clicks) => {
            let way = if clicks.mean < 0.0 { "take off" } else { "add" };
            let _ = writeln!(
                text,
                "where clicks cure it ({:.0} %): {way} {:.0} ± {:.0}",
                100.0 * rear.curable_by_clicks,
                clicks.mean.abs(),
                clicks.deviation.ceil()
            );
        }
        None => {
            let _ =
                writeln!(text, "clicks cure it in {:.0} of 100 such bikes", 100.0 * rear.curable_by_clicks);
        }
    }
}

fn told_noise(text: &mut String, noise: &NoiseDocument) {
    let _ = writeln!(
        text,
        "\n{HEADING}Noise{HEADING:#}: every {:.2} ± {:.2} turns of the crank",
        noise.turns, noise.give
    );
    if noise.sources.is_empty() {
        text.push_str("no part has this period in this gear: count again, more ticks at once\n");
    }
    for source in &noise.sources {
        let _ = write!(text, "  {} ({:.2})", source.source, source.turns);
        if !source.ties.is_empty() {
            let _ = write!(
                text,
                ", not to be told from {} in this gear: count in another",
                source.ties.join(", ")
            );
        }
        text.push('\n');
    }
}
