//! The rear derailleur does not shift as it should: what is seen goes in, causes and the next thing to do come out.

mod read;

use super::{Finder, Trouble, causes, choice, finder, into_the_record, percent, reading, teeth_of};
use crate::ask::Ask;
use crate::card::JobCard;
use crate::failure::{Failure, FieldFault};
use crate::pages::job::{address, card};
use crate::reply::Reply;
use catalog::{Dimension, Slot, Value};
use document::ComplaintDocument;
use document::complaint::RearDocument;
use fit::complaint::words::{shift_word, sound_word};
use fit::complaint::{Grid, Seen, Shift, Sound, Window, answer, beside};
use maud::{Markup, html};
use quantity::digits;
use read::{HISTORY, LIMITS, QUESTIONS, Sheet, WINDOWS};

/// Where the plan does not know the cassette or the derailleur: the commonest of the trade, said on the page.
const USUAL_GEARS: u32 = 11;
const USUAL_RATIO: f64 = 1.4;
/// A check that was not made.
const NOT_LOOKED: &str = "not looked";

/// The drive that the complaint is about.
struct Drive {
    gears: u32,
    ratio: f64,
    assumed: bool,
}

impl Drive {
    fn of(card: &JobCard) -> Self {
        let gears = u32::try_from(teeth_of(card, Dimension::Cogs).len()).ok().filter(|count| *count > 0);
        let ratio = match reading(card, Slot::RearDerailleur, Dimension::ShiftRatio) {
            Some(Value::Ratio(ratio)) => Some(ratio.value.to_f64()),
            _ => None,
        };
        Self {
            gears: gears.unwrap_or(USUAL_GEARS),
            ratio: ratio.unwrap_or(USUAL_RATIO),
            assumed: gears.is_none() || ratio.is_none(),
        }
    }
}

pub(super) fn page(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    let drive = Drive::of(&card);
    let sheet = Sheet::read(&ask.query, drive.gears)?;
    let here = address(&card, Trouble::Rear.path());
    // A new grid: the one just taken goes with the earlier ones, and the page begins empty.
    if ask.query.text("next") == "yes" && sheet.has_now() {
        return Ok(Reply::Go(carried_on(ask, &here, &sheet)));
    }
    let mut complaint = sheet.complaint(card.number(), drive.gears, drive.ratio);
    // A plan of another number of cogs cannot be: the grid is made from it.
    beside(&mut complaint, &card.plan).map_err(|why| FieldFault::one("Cogs", "", why.to_string()))?;
    let findings = answer(&complaint).map_err(|why| FieldFault::one("What was seen", "", why.to_string()))?;
    let document = ComplaintDocument::of(&complaint, &findings);
    let page = Finder {
        card: &card,
        trouble: Trouble::Rear,
        scripts: &["fault.js"],
        answer: html! { @if let Some(rear) = &document.rear { (told(&card, &document, rear, &sheet)) } },
        seen: html! { (grid(&sheet, &drive)) (checks(ask, &drive)) },
        beside: html! {
            @if sheet.has_now() {
                button name="next" value="yes" formaction=(here) { "I turned clicks: a new grid" }
            }
        },
    };
    Ok(finder(ask, page))
}

/// The address of the page with the grid put behind the earlier ones.
fn carried_on(ask: &Ask, here: &str, sheet: &Sheet) -> String {
    let mut pairs: Vec<(&str, String)> = Vec::new();
    pairs.extend(sheet.before.iter().map(|(text, _)| ("grid", text.clone())));
    pairs.push(("grid", sheet.carry()));
    for name in kept_names() {
        pairs.extend(
            ask.query.all(name).iter().filter(|text| !text.is_empty()).map(|text| (name, text.clone())),
        );
    }
    pairs.push(("clicks", sheet.now.clicks.to_string()));
    let query: Vec<String> =
        pairs.iter().map(|(name, text)| format!("{name}={}", crate::routes::escape(text))).collect();
    format!("{here}?{}", query.join("&"))
}

/// What stays true when a new grid begins.
fn kept_names() -> impl Iterator<Item = &'static str> {
    const OTHERS: [&str; 8] = ["high", "low", "high-set", "low-set", "stack", "from", "to", "history"];
    const COUNTED: [&str; 9] = ["w1", "u1", "v1", "w2", "u2", "v2", "w3", "u3", "v3"];
    QUESTIONS.iter().map(|(name, ..)| *name).chain(OTHERS).chain(COUNTED)
}

/// The answer.
fn told(card: &JobCard, document: &ComplaintDocument, rear: &RearDocument, sheet: &Sheet) -> Markup {
    let windows = windows(sheet);
    let best = rear.causes.first().map_or("no cause found", |cause| cause.cause);
    html! {
        h2 { "Next" }
        @if document.stop_riding { p.stop { "This bike is not ridden before it is mended." } }
        @for words in &rear.next.words { p.big-words { (words) } }
        p { "Because " (rear.next.reason) ". About " (digits::fixed(rear.next.minutes, 1)) " min." }
        @if rear.stop_adjusting {
            p.stop { "Stop adjusting: hardly any setting of the adjuster cures this. Replace or straighten." }
        }
        (causes(&rear.causes))
        @if rear.rather_two { p { "One cause alone does not explain this: look for two." } }
        @match &rear.clicks {
            Some(clicks) => {
                p { "Where clicks cure it (" (percent(rear.curable_by_clicks)) "): "
                    @if clicks.mean < 0.0 { "take off " } @else { "add " }
                    strong { (digits::fixed(clicks.mean.abs(), 0)) } " ± " (digits::fixed(clicks.deviation.ceil(), 0)) ", one at a time." }
            }
            None => { p { "Clicks cure it in " (digits::fixed(100.0 * rear.curable_by_clicks, 0)) " of 100 such bikes." } }
        }
        p.quiet { "Limits come before tension. What the maker of a part prints wins." }
        @for (words, is_narrow) in &windows {
            p { "Click window, " (words) "." @if *is_narrow { " " strong { "So narrow a window comes back: it is not in tune for long." } } }
        }
        @let counted: String = windows.iter().map(|(words, _)| format!("; click window, {words}")).collect();
        (into_the_record(card, Trouble::Rear, &format!("Fault of the rear derailleur: {best}; next: {}{counted}", rear.next.words.join("; "))))
    }
}

/// Clicks from one failing shift to the other, at which a bike is soon back: practice.
const NARROW_CLICKS: f64 = 2.0;

/// The counted click windows in words, each with whether it is narrow.
fn windows(sheet: &Sheet) -> Vec<(String, bool)> {
    let counted = sheet.seen.iter().filter_map(|seen| match seen {
        Seen::Windows(windows) => Some(windows),
        _ => None,
    });
    let words = |(gear, window): &(u32, Window)| {
        let centre = digits::fixed(window.centre, 1);
        let width = digits::fixed(window.width, 0);
        (format!("gear {gear}: centre {centre}, width {width} clicks"), window.width <= NARROW_CLICKS)
    };
    counted.flatten().map(words).collect()
}

/// The words of a cell: nothing was tried, then the words in their order.
fn cell(name: &str, label: String, chosen: Option<&str>, words: &[&str]) -> Markup {
    html! {
        select.cell name=(name) aria-label=(label) {
            option value="" { "untested" }
            @for word in words { option value=(word) selected[chosen == Some(*word)] { (word) } }
        }
    }
}

fn grid(sheet: &Sheet, drive: &Drive) -> Markup {
    let shifts = Shift::ALL.map(shift_word);
    let sounds = Sound::ALL.map(sound_word);
    html! {
        section.card {
            h2 { "Shifts, gear by gear" }
            p { "On the stand, one detent at a time, the chain once round before it is judged. Press a field until its word is right." }
            @if drive.assumed { p.doubt { "Cogs or ratio of this derailleur are not on record: " (drive.gears) " cogs and a ratio of " (digits::fixed(drive.ratio, 1)) " are taken." } }
            @for (text, before) in &sheet.before {
                input type="hidden" name="grid" value=(text);
                p.quiet { "A grid was taken " (at_clicks(before)) "." }
            }
            label for="clicks" { "This grid: clicks added since it was found, taken off with a minus" }
            input #clicks name="clicks" inputmode="numeric" value=(sheet.now.clicks) autocomplete="off";
            table.grid {
                thead { tr { th { "Gear" } th { "To larger cog" } th { "To smaller cog" } th { "Noise in it" } } }
                tbody { @for (at, row) in sheet.now.rows.iter().enumerate() {
                    @let gear = at + 1;
                    tr {
                        th scope="row" { (gear) @if gear == 1 { span.quiet { " smallest" } } @else if gear == sheet.now.rows.len() { span.quiet { " largest" } } }
                        td { @if gear > 1 { (cell(&format!("l{gear}"), format!("into gear {gear} from the smaller cog"), row.to_larger.map(shift_word), &shifts)) } }
                        td { @if gear < sheet.now.rows.len() { (cell(&format!("s{gear}"), format!("into gear {gear} from the larger cog"), row.to_smaller.map(shift_word), &shifts)) } }
                        td { (cell(&format!("n{gear}"), format!("noise in gear {gear}"), row.sound.map(sound_word), &sounds)) }
                    }
                } }
            }
        }
    }
}

fn at_clicks(grid: &Grid) -> String {
    match grid.clicks {
        0 => "as it was found".to_owned(),
        more if more > 0 => format!("with {more} clicks added"),
        less => format!("with {} clicks taken off", less.abs()),
    }
}

fn checks(ask: &Ask, drive: &Drive) -> Markup {
    let limits = |ends: &str| LIMITS.map(|(word, _)| (word, format!("{word} {ends}")));
    let stack: Vec<(String, String)> =
        (2..=drive.gears).map(|gear| (gear.to_string(), format!("wrong from cog {gear} on"))).collect();
    let field = |name: String, label: &str| {
        html! {
            span { label for=(name) { (label) } input id=(name) name=(name) inputmode="numeric" size="4" value=(ask.query.text(&name)) autocomplete="off"; }
        }
    };
    html! {
        section.card {
            h2 { "Looked at and tried" }
            (choice(ask, "high", "Cable slack, body pushed by hand: at the smallest cog", NOT_LOOKED, &limits("at the smallest cog")))
            (choice(ask, "low", "The same at the largest cog", NOT_LOOKED, &limits("at the largest cog")))
            @for (name, words) in [("high-set", "The limit at the smallest cog was set since"), ("low-set", "The limit at the largest cog was set since")] {
                label.choice { input type="checkbox" name=(name) value="yes" checked[ask.query.text(name) == "yes"]; (words) }
            }
            @for (name, label, answers) in QUESTIONS {
                @let answers: Vec<(&str, String)> = answers.iter().map(|(word, words, _)| (*word, (*words).to_owned())).collect();
                (choice(ask, name, label, NOT_LOOKED, &answers))
            }
            @let stack: Vec<(&str, String)> = std::iter::once(("even", "even".to_owned())).chain(stack.iter().map(|(key, words)| (key.as_str(), words.clone()))).collect();
            (choice(ask, "stack", "Caliper through the cassette", NOT_LOOKED, &stack))
            h3 { "Click window" }
            p.quiet { "Clicks added until the shift to the smaller cog first fails, and clicks taken off until the shift to the larger first fails." }
            @for row in 1..=WINDOWS {
                div.window-line { (field(format!("w{row}"), "Gear")) (field(format!("u{row}"), "added")) (field(format!("v{row}"), "taken off")) }
            }
            h3 { "Clicks that were tried and turned back" }
            div.window-line { (field("from".to_owned(), "From")) (field("to".to_owned(), "to")) }
            h3 { "What happened to it, and when it shows" }
            @for (name, words) in HISTORY {
                label.choice { input type="checkbox" name="history" value=(name) checked[ask.query.all("history").iter().any(|said| said == name)]; (words) }
            }
        }
    }
}
