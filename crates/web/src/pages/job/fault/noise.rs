//! A noise, by the turns of the crank between two of it: tapped along, or counted.

use super::{Finder, Trouble, choice, finder, into_the_record, reading, teeth_of};
use crate::ask::Ask;
use crate::card::JobCard;
use crate::failure::{Failure, FieldFault};
use crate::pages::job::card;
use crate::reply::Reply;
use catalog::{Dimension, Slot, Value};
use fit::complaint::words::{comes_from_words, comes_words, source_look_words};
use fit::complaint::{Comes, Drive, Period, Suspect, gear_apart, period, rank};
use maud::{Markup, html};
use quantity::{Teeth, digits};

/// What the keys of the fields say.
const COMES: [(&str, Comes); 3] =
    [("pedalling", Comes::Pedalling), ("rolling", Comes::Rolling), ("standing", Comes::Standing)];
/// Where the plan does not know: the commonest of the trade, said on the page.
const USUAL_PITCHES: u32 = 110;
const USUAL_PULLEY: i64 = 11;
/// Teeth that are offered where the plan does not know them.
const ANY_RING: std::ops::RangeInclusive<i64> = 20..=60;
const ANY_COG: std::ops::RangeInclusive<i64> = 9..=52;
/// Most taps of a kind: some minutes of pedalling.
const MOST_TAPS: usize = 400;
/// By how much a count in the head may be off, turns, where nobody says.
const USUAL_GIVE: f64 = 0.1;

/// The drive with what the plan knows of it.
struct Known {
    pitches: Option<u32>,
    rings: Vec<Teeth>,
    cogs: Vec<Teeth>,
}

impl Known {
    fn of(card: &JobCard) -> Self {
        let counted = match reading(card, Slot::Chain, Dimension::ChainCount) {
            Some(Value::Count(count)) => Some(count.value),
            _ => None,
        };
        let planned = card.plan.geometry.drivetrain.value().map(|drivetrain| drivetrain.count);
        Self {
            pitches: planned.or(counted),
            rings: teeth_of(card, Dimension::Rings),
            cogs: teeth_of(card, Dimension::Cogs),
        }
    }
}

/// The fields, read.
struct Told {
    comes: Comes,
    drive: Drive,
    crank: Vec<f64>,
    tick: Vec<f64>,
    counted: Option<Period>,
}

pub(super) fn page(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    let known = Known::of(&card);
    let told = read(ask, &known)?;
    let page = Finder {
        card: &card,
        trouble: Trouble::Noise,
        scripts: &["fault.js", "fault-taps.js"],
        answer: answer(&card, &known, &told),
        seen: seen(ask, &known, &told),
        beside: html! {},
    };
    Ok(finder(ask, page))
}

fn read(ask: &Ask, known: &Known) -> Result<Told, Failure> {
    let fields = &ask.query;
    let comes = COMES.iter().find(|(word, _)| *word == fields.text("comes"));
    let teeth = |name: &str, field: &str, usual: i64| {
        let count = fields.whole(name, field, 7..=80)?.unwrap_or(usual);
        Teeth::new(count).map_err(|why| FieldFault::one(field, fields.text(name), why.to_string()))
    };
    let first = |teeth: &[Teeth], usual: i64| teeth.first().map_or(usual, |teeth| i64::from(teeth.get()));
    let usual_pitches = i64::from(known.pitches.unwrap_or(USUAL_PITCHES));
    let pitches = fields.whole("chain", "Pitches of the chain", 40..=400)?.unwrap_or(usual_pitches);
    let middle_cog = known.cogs.get(known.cogs.len() / 2).map_or(17, |teeth| i64::from(teeth.get()));
    Ok(Told {
        comes: comes.map(|(_, comes)| *comes).unwrap_or_default(),
        drive: Drive {
            pitches: u32::try_from(pitches).unwrap_or(USUAL_PITCHES),
            ring: teeth("ring", "Ring", first(&known.rings, 50))?,
            cog: teeth("cog", "Cog", middle_cog)?,
            pulley: teeth("pulley", "Pulley", USUAL_PULLEY)?,
        },
        crank: taps(ask, "crank")?,
        tick: taps(ask, "tick")?,
        counted: counted(ask)?,
    })
}

/// Seconds at which taps came, as the script writes them: numbers with a blank between.
fn taps(ask: &Ask, name: &str) -> Result<Vec<f64>, Failure> {
    let text = ask.query.text(name);
    let seconds: Option<Vec<f64>> = text
        .split_whitespace()
        .map(|one| one.parse::<f64>().ok().filter(|seconds| seconds.is_finite()))
        .collect();
    match seconds {
        Some(all) if all.len() <= MOST_TAPS => Ok(all),
        _ => Err(FieldFault::one(
            "Taps",
            text,
            format!("at most {MOST_TAPS} seconds, a blank between, are wanted"),
        )),
    }
}

/// A count in the head.
fn counted(ask: &Ask) -> Result<Option<Period>, Failure> {
    let number = |name: &str, field: &str, most: f64| match ask.query.text(name) {
        "" => Ok(None),
        text => match text.replace(',', ".").parse::<f64>() {
            Ok(number) if (0.01..=most).contains(&number) => Ok(Some(number)),
            _ => Err(FieldFault::one(field, text, format!("0.01 to {most} turns are wanted"))),
        },
    };
    let give = number("give", "May be off by", 5.0)?.unwrap_or(USUAL_GIVE);
    Ok(number("turns", "Turns between two noises", 50.0)?.map(|turns| Period { turns, give }))
}

fn answer(card: &JobCard, known: &Known, told: &Told) -> Markup {
    if let Some(words) = comes_from_words(told.comes) {
        let line = format!("Noise {}: {words}", comes_words(told.comes));
        return html! {
            h2 { "Next" }
            p.big-words { (words) }
            p { "Because it comes without pedalling: chain, crank and pulleys are at rest then." }
            (cautions())
            (into_the_record(card, Trouble::Noise, &line))
        };
    }
    let tapped = (!told.crank.is_empty() || !told.tick.is_empty()).then(|| period(&told.crank, &told.tick));
    match (tapped, told.counted) {
        (Some(Ok(period)), _) | (None | Some(Err(_)), Some(period)) => ranked(card, known, told, period),
        (Some(Err(why)), None) => html! {
            h2 { "Next" }
            p.big-words { "tap on: " (why) }
            p { "Because two kinds of taps are laid against each other; six turns or more make it sure." }
        },
        (None, None) => html! {
            h2 { "Next" }
            p.big-words { "turn the crank evenly and tap along: one button at each turn, the other at each noise" }
            p { "Because what turns together ticks together: the turns between two noises name the part." }
            (cautions())
        },
    }
}

fn cautions() -> Markup {
    html! {
        ul.cautions {
            li { "Fingers, sleeves and hair stay away from chain, spokes and rotor while anything turns." }
            li { "A noise of crank, pedal, bar or fork that gets louder is a part that comes loose: the bike is not ridden before it is found." }
            li { "What the maker of a part prints wins." }
        }
    }
}

fn ranked(card: &JobCard, known: &Known, told: &Told, period: Period) -> Markup {
    let suspects = rank(period.turns, period.give, told.drive);
    let every = format!("every {} ± {} turns", digits::fixed(period.turns, 2), digits::fixed(period.give, 2));
    let (next, reason) = next(known, told, period, &suspects);
    let line = format!(
        "Noise {every} of the crank in {} x {}: {}; next: {next}",
        told.drive.ring.get(),
        told.drive.cog.get(),
        suspects.first().map_or("no part has this period".to_owned(), |first| first.source.to_string()),
    );
    html! {
        h2 { "Next" }
        p.big-words { (next) }
        p { "Because " (reason) "." }
        p { "It comes " strong { (every) } " of the crank." }
        table {
            caption { "Parts with such a period in this gear, the nearest first" }
            tbody { @for suspect in &suspects { tr {
                td.number { (digits::fixed(suspect.turns, 2)) }
                th scope="row" { (suspect.source) }
                td { @if !suspect.ties.is_empty() { "not to be told from " (ties(suspect)) " in this gear" } }
            } } }
        }
        (cautions())
        (into_the_record(card, Trouble::Noise, &line))
    }
}

fn ties(suspect: &Suspect) -> String {
    suspect.ties.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
}

/// What to do next, and why.
fn next(known: &Known, told: &Told, period: Period, suspects: &[Suspect]) -> (String, String) {
    let Some(first) = suspects.first() else {
        return (
            "count again, more noises at once".to_owned(),
            "no part has this period in this gear".to_owned(),
        );
    };
    if first.ties.is_empty() {
        return (
            source_look_words(first.source).to_owned(),
            format!("{} alone has this period", first.source),
        );
    }
    let mut tied = first.ties.clone();
    tied.push(first.source);
    let mut gears = Vec::new();
    for ring in &known.rings {
        gears.extend(known.cogs.iter().map(|cog| Drive { ring: *ring, cog: *cog, ..told.drive }));
    }
    let reason = format!("{} and {} tick together in this gear", first.source, ties(first));
    match gear_apart(&tied, period.give, &gears) {
        Some(gear) => (
            format!("count again in {} x {}", gear.ring.get(), gear.cog.get()),
            format!("{reason}, and not in that one"),
        ),
        None if gears.is_empty() => ("count again in another gear".to_owned(), reason),
        None => (
            "tap along for longer".to_owned(),
            format!("{reason}, and no gear of this bike holds them apart by more than the count may be off"),
        ),
    }
}

fn seen(ask: &Ask, known: &Known, told: &Told) -> Markup {
    let comes = COMES.map(|(word, comes)| (word, comes_words(comes).to_owned()));
    let many = |count: usize, what: &str| format!("{count} {what}");
    html! {
        section.card {
            h2 { "When does it come?" }
            (choice(ask, "comes", "The noise comes", "", &comes))
        }
        section.card #taps hidden[told.comes != Comes::Pedalling] {
            h2 { "Tap along" }
            p { "Turn evenly in one gear. Six turns or more, three noises or more; missed one: begin the taps anew." }
            input type="hidden" name="crank" value=(ask.query.text("crank"));
            input type="hidden" name="tick" value=(ask.query.text("tick"));
            div.tap-along hidden {
                button.tap type="button" data-taps="crank" { "Crank" span.quiet { "at each turn" } strong { (many(told.crank.len(), "turns")) } }
                button.tap type="button" data-taps="tick" { "Noise" span.quiet { "at each noise" } strong { (many(told.tick.len(), "noises")) } }
            }
            div.tap-ways hidden { button type="button" data-taps-anew="" { "Begin the taps anew" } }
            h3 { "In which gear?" }
            @if known.rings.is_empty() || known.cogs.is_empty() { p.doubt { "The plan does not know all rings and cogs of this bike: count them." } }
            (pick("ring", "Teeth of the ring", &known.rings, ANY_RING, told.drive.ring))
            (pick("cog", "Teeth of the cog", &known.cogs, ANY_COG, told.drive.cog))
            (pick("pulley", "Teeth of a pulley", &[], 9..=18, told.drive.pulley))
            div.check-line {
                label for="chain" { "Pitches of the chain" @if known.pitches.is_none() { span.quiet { " (the plan does not know: count)" } } }
                input #chain name="chain" inputmode="numeric" value=(told.drive.pitches) autocomplete="off";
            }
            details open[told.counted.is_some()] {
                summary { "Counted without tapping" }
                div.window-line {
                    @for (name, label) in [("turns", "Turns from noise to noise"), ("give", "may be off by")] {
                        span { label for=(name) { (label) } input id=(name) name=(name) inputmode="decimal" size="5" value=(ask.query.text(name)) autocomplete="off"; }
                    }
                }
            }
        }
    }
}

/// A choice among the teeth of the bike, or among any.
fn pick(name: &str, label: &str, known: &[Teeth], any: std::ops::RangeInclusive<i64>, now: Teeth) -> Markup {
    let now = i64::from(now.get());
    let mut all: Vec<i64> = match known {
        [] => any.collect(),
        known => known.iter().map(|teeth| i64::from(teeth.get())).collect(),
    };
    if !all.contains(&now) {
        all.push(now);
    }
    html! {
        div.check-line {
            label for=(name) { (label) }
            select id=(name) name=(name) {
                @for count in all { option value=(count) selected[count == now] { (count) } }
            }
        }
    }
}
