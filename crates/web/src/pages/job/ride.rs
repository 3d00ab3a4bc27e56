//! The customer's own ride, recorded or a hill by hand, and what the gears make of it.

use super::{address, card, forms, room};
use crate::act::Tap;
use crate::ask::Ask;
use crate::card::JobCard;
use crate::clock;
use crate::failure::{Failure, FieldFault};
use crate::reply::Reply;
use crate::rides::fault;
use crate::routes::{Route, change, show};
use crate::who::Access;
use catalog::Slot;
use document::RideDocument;
use fit::RideWish;
use fit::ride::{Depth, Numbers, OnRide, RankedSet, RideAnswer, Road, STEEP_OVER_M, spread};
use fit::words::ride::{self as words, span};
use intake::ride_file;
use maud::{Markup, PreEscaped, html};
use quantity::Length;
use quantity::digits::fixed;
use shop::Event;
use store::photo::MOST_RIDE_BYTES;

pub(crate) fn routes() -> Vec<Route> {
    vec![
        show("/jobs/{job}/ride", Access::Staff, page),
        show("/jobs/{job}/ride/answer", Access::Staff, answer_alone),
        show("/jobs/{job}/ride/answer/part", Access::Staff, answer_part),
        change("/jobs/{job}/ride", Access::Staff, keep).up_to(MOST_RIDE_BYTES + 8_192),
    ]
}

/// Cassettes that may be compared on a ride.
const MOST_COMPARED: usize = 3;

fn page(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    let wish = card.state().refit.ride.as_ref();
    let body = html! {
        @if wish.is_some() {
            section #answer hx-get=(address(&card, "/ride/answer/part")) hx-trigger="load" hx-swap="outerHTML" {
                p { a.button href=(address(&card, "/ride/answer")) { "What the gears make of the ride" } }
            }
        } @else {
            p { "A ride of the customer's own says more than a table of gears: how often they grind, and which cassette answers it." }
        }
        (forms_of(ask, &card, wish))
    };
    Ok(room(ask, &card, "/ride", body))
}

fn forms_of(ask: &Ask, card: &JobCard, wish: Option<&RideWish>) -> Markup {
    let to = address(card, "/ride");
    let metres = |length: Length| fixed(length.to_mm() / 1_000.0, 0);
    let hill = wish.and_then(|wish| wish.hill);
    let compare = || {
        let catalogue = ask.house.catalogue();
        let cassettes: Vec<_> = catalogue.for_slot(Slot::Cassette).collect();
        html! {
            fieldset {
                legend { "Cassettes to compare on it" }
                @for at in 0..MOST_COMPARED {
                    @let known = wish.and_then(|wish| wish.compare.get(at));
                    select name="compare" aria-label=(format!("Cassette {}", at + 1)) {
                        option value="" { "none" }
                        @for part in &cassettes { option value=(part.id().unwrap_or("")) selected[known.map(String::as_str) == part.id()] { (part.name()) } }
                    }
                }
            }
        }
    };
    html! {
        section.card {
            h2 { @if wish.is_some() { "Another ride" } @else { "A recorded ride" } }
            form.sheet method="post" action=(to) enctype="multipart/form-data" {
                (forms::hidden_key())
                label for="file" { "A GPX or FIT file, at most " (MOST_RIDE_BYTES / 1_048_576) " MB" }
                input #file name="file" type="file" accept=".gpx,.fit,application/gpx+xml" required;
                label for="heights" { "Where its heights come from" }
                select #heights name="heights" { option value="" { "nobody knows" } option value="barometer" { "a barometer" } option value="satellite" { "satellites or a map" } }
                (compare())
                p.quiet { "The file is kept with the job as it came. Places in it are used for distances only, and leave this machine with nothing but an export." }
                button.main { "Keep the ride" }
            }
        }
        section.card {
            h2 { "A hill by hand" }
            form.sheet method="post" action=(to) {
                (forms::hidden_key())
                label for="length" { "Length along the road, m" }
                input #length name="length" inputmode="numeric" required value=(hill.map(|(length, _)| metres(length)).unwrap_or_default());
                label for="climb" { "Climb, m" }
                input #climb name="climb" inputmode="numeric" required value=(hill.map(|(_, climb)| metres(climb)).unwrap_or_default());
                (compare())
                button { "Keep the hill" }
            }
        }
    }
}

/// Reads the ride before it is kept: what does not read is not kept.
fn keep(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    let who = ask.who()?;
    let catalogue = ask.house.catalogue();
    let mut wish = RideWish::default();
    for key in ask.form.all("compare").iter().filter(|key| !key.is_empty()).take(MOST_COMPARED) {
        if !catalogue.for_slot(Slot::Cassette).any(|part| part.id() == Some(key.as_str())) {
            return Err(Failure::NotFound { what: "cassette", name: key.clone() });
        }
        wish.compare.push(key.clone());
    }
    match ask.files.get("file") {
        Some(bytes) => {
            ask.costs()?;
            if bytes.is_empty() {
                return Err(FieldFault::one("Ride", "", "a GPX or FIT file is wanted"));
            }
            wish.barometer = match ask.form.text("heights") {
                "barometer" => Some(true),
                "satellite" => Some(false),
                _ => None,
            };
            let ride = ride_file::read_ride(bytes).map_err(|why| fault("the file", &why))?;
            ride_file::road(&wish, Some(ride)).map_err(|why| fault("the file", &why))?;
            wish.file = Some(ask.house.store.keep_ride(bytes, clock::now())?.hash);
        }
        None => {
            let metres = |name: &str, field: &str, most: i64| -> Result<f64, Failure> {
                let found = ask.form.whole(name, field, 1..=most)?;
                let wanted = || FieldFault::one(field, "", format!("1 to {most} m is wanted"));
                found.map(|metres| metres as f64).ok_or_else(wanted)
            };
            let length = Length::mm(metres("length", "Length along the road", 100_000)? * 1_000.0);
            let climb = Length::mm(metres("climb", "Climb", 4_000)? * 1_000.0);
            wish.hill = Some((length, climb));
            ride_file::road(&wish, None).map_err(|why| fault("the hill", &why))?;
        }
    }
    let tap = Tap { event: Event::RideSet(Box::new(wish)), ..ask.tap(Event::Started) };
    ask.house.act(&card.number(), &who.person, &[tap], None)?;
    Ok(Reply::Go(address(&card, "/ride")))
}

fn answer_alone(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    let body = html! { (answer(ask, &card)?) p { a href=(address(&card, "/ride")) { "Back to the ride" } } };
    Ok(room(ask, &card, "/ride", body))
}

fn answer_part(ask: &Ask) -> Result<Reply, Failure> {
    Ok(Reply::Part(answer(ask, &*card(ask)?)?))
}

/// What the gears make of the ride.
fn answer(ask: &Ask, card: &JobCard) -> Result<Markup, Failure> {
    let missing = || Failure::NotFound { what: "ride of this job", name: card.number() };
    let wish = card.state().refit.ride.as_ref().ok_or_else(missing)?;
    let road = ask.house.road(wish)?;
    let answer = RideAnswer::new(&card.plan, (*road).clone(), &ask.house.catalogue(), Depth::Whole);
    let picture = sheet::drawings::ride(&RideDocument::of(&answer)).svg().ok();
    Ok(html! {
        section.card.drawings #answer {
            h2 { "What the gears make of it" }
            (told_road(&road))
            @match &answer.numbers {
                Err(why) => { p.doubt { "It cannot be told yet: " (why) ". " a href=(address(card, "/wish")) { "The rider" } } }
                Ok(numbers) => {
                    p.big-words { (words::sentence(numbers)) "." }
                    @if let Some(svg) = picture { figure.wide tabindex="0" { (PreEscaped(svg)) } }
                    p { "Rider: " (words::rider(numbers)) ". Wind: " (words::wind(numbers.case.wind)) "." }
                    p.quiet { "In brackets stands what a weaker and heavier, and a stronger and lighter rider would come to." }
                    (side_by_side(numbers))
                    @if !numbers.compared.is_empty() { h3 { "Which cassette answers it" } (sets(&numbers.compared)) p { (words::choice(numbers)) "." } }
                    @if !numbers.ranked.is_empty() { h3 { "Rings and cassettes of the catalogue on this ride" } (sets(&numbers.ranked)) }
                }
            }
        }
    })
}

fn told_road(road: &Road) -> Markup {
    let profile = &road.profile;
    let (steep, at_m) = profile.steepest_over(STEEP_OVER_M);
    html! {
        p.told { (road.what) ": " (fixed(profile.length_m() / 1_000.0, 1)) " km, " (fixed(road.climb_m, 0)) " m up; steepest "
            (fixed(STEEP_OVER_M.min(profile.length_m()), 0)) " m at " (fixed(steep * 100.0, 1)) " %, from km " (fixed(at_m / 1_000.0, 1)) "." }
        @if !road.notes.is_empty() { details { summary { "What the recording has wrong" } ul { @for note in &road.notes { li { (note) } } } } }
        @if let Some(cogs) = &road.cogs { p.quiet { (words::cogs(cogs)) "." } }
    }
}

fn side_by_side(numbers: &Numbers) -> Markup {
    let (before, after) = (&numbers.before, &numbers.after);
    let spreads = |pick: &dyn Fn(&OnRide) -> (f64, f64, f64), decimals| {
        (span(pick(before), decimals), span(pick(after), decimals))
    };
    let rows = [
        ("minutes below the liked cadence", spreads(&|on| on.spread(|r| r.below_s / 60.0), 1)),
        ("of these grinding", spreads(&|on| on.spread(|r| r.grinding_s / 60.0), 1)),
        ("minutes inside", spreads(&|on| on.spread(|r| r.inside_s() / 60.0), 1)),
        ("minutes above", spreads(&|on| on.spread(|r| r.above_s / 60.0), 1)),
        ("km spun out", spreads(&|on| on.spread(|r| r.spun_out_m / 1_000.0), 1)),
        ("rear shifts", spreads(&|on| on.spread(|r| f64::from(r.rear_shifts)), 0)),
        ("front shifts", spreads(&|on| on.spread(|r| f64::from(r.front_shifts)), 0)),
        ("steepest seated, %", spreads(&|on| spread(on.steepest.iter().map(|grade| grade * 100.0)), 1)),
        ("cost in minutes", spreads(&|on| spread(on.costs_min()), 1)),
    ];
    html! {
        table {
            thead { tr { th {} th.number { "as found" } th.number { "after" } } }
            tbody { @for (what, (found, after)) in rows {
                tr { th scope="row" { (what) } td.number data-of="as found" { (found) } td.number data-of="after" { (after) } }
            } }
        }
    }
}

/// The parts of a set by their names.
fn names(set: &RankedSet) -> String {
    set.parts.iter().map(|part| part.name().to_owned()).collect::<Vec<_>>().join(" + ")
}

fn sets(all: &[RankedSet]) -> Markup {
    html! {
        table {
            thead { tr { th { "Parts" } th.number { "cost, min" } th.number { "below, min" } th.number { "steepest seated, %" } } }
            tbody { @for set in all {
                tr {
                    th scope="row" { (names(set)) @if !set.brings.is_empty() { br; span.late { "fails " (set.brings.join(", ")) } } }
                    td.number data-of="cost, min" { (span(spread(set.on_ride.costs_min()), 1)) }
                    td.number data-of="below, min" { (span(set.on_ride.spread(|r| r.below_s / 60.0), 1)) }
                    td.number data-of="steepest seated, %" { (span(spread(set.on_ride.steepest.iter().map(|grade| grade * 100.0)), 1)) }
                }
            } }
        }
    }
}
