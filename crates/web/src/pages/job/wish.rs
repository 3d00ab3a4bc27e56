//! The wish as far as it can be checked, who rides, what the bike adds to the work, and the parts that shall go on.

use super::plan::headline;
use super::{address, card, forms, part_search, room};
use crate::act::Tap;
use crate::ask::Ask;
use crate::card::JobCard;
use crate::failure::Failure;
use crate::reply::Reply;
use crate::routes::{Route, change, show};
use crate::who::{Access, DESK};
use catalog::{Part, Slot};
use fit::refit::{Hands, LowestGear};
use fit::words::verdict_words;
use fit::{Act, Effort, Verdict};
use maud::{Markup, html};
use quantity::digits;
use shop::{Age, Event};

pub(crate) fn routes() -> Vec<Route> {
    vec![
        show("/jobs/{job}/wish", Access::Staff, page),
        show("/jobs/{job}/wish/{slot}", Access::Staff, parts_for),
        change("/jobs/{job}/cure", DESK, take_cure),
    ]
}

fn page(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    let refit = &card.state().refit;
    let currency = ask.house.workshop.terms.hour.currency().to_owned();
    let body = html! {
        section.card {
            h2 { "Parts that shall go on" }
            (part_search::form(&card, None, ""))
            (chosen(&card))
        }
        section.card {
            h2 { "The wish" }
            (forms::act(&card, "wish", "/wish", html! {
                input type="hidden" name="currency" value=(currency);
                label for="words" { "In their words" }
                textarea #words name="words" rows="2" { (refit.wish.words.as_deref().unwrap_or("")) }
                label for="lowest_gear" { "The lowest gear" }
                select #lowest_gear name="lowest_gear" {
                    @for (key, words, is_so) in [
                        ("", "nothing was said", refit.wish.lowest_gear.is_none()),
                        ("keep", "not harder than today", refit.wish.lowest_gear == Some(LowestGear::Keep)),
                        ("easier", "easier, so that it is felt", matches!(refit.wish.lowest_gear, Some(LowestGear::Easier | LowestGear::EasierBy(_)))),
                    ] { option value=(key) selected[is_so] { (words) } }
                }
                label for="easier_by" { "Easier by at least, percent, if they said how much" }
                input #easier_by name="easier_by" inputmode="numeric" value=(easier_by(refit.wish.lowest_gear));
                label for="hands" { "The hands" }
                select #hands name="hands" {
                    @for (key, words, is_so) in [
                        ("", "nothing was said", refit.wish.hands.is_none()),
                        ("keep", "stay where they are", refit.wish.hands == Some(Hands::Keep)),
                        ("free", "may move", refit.wish.hands == Some(Hands::Free)),
                    ] { option value=(key) selected[is_so] { (words) } }
                }
                label for="ceiling" { "Not above, " (currency) ", all together; empty: none named" }
                input #ceiling name="ceiling" inputmode="decimal" value=(refit.wish.ceiling.map(amount).unwrap_or_default());
                label for="ready_in_days" { "Ready in so many days; empty: no event" }
                input #ready_in_days name="ready_in_days" inputmode="numeric" value=(refit.wish.ready_in_days.map(|days| days.to_string()).unwrap_or_default());
                button { "Keep the wish" }
            }))
        }
        (rider(&card))
        (circumstances(&card))
    };
    Ok(room(ask, &card, "/wish", body))
}

fn amount(money: quantity::Money) -> String {
    money.to_string().split_whitespace().next().unwrap_or_default().to_owned()
}

fn easier_by(gear: Option<LowestGear>) -> String {
    match gear {
        Some(LowestGear::EasierBy(share)) => digits::fixed(share.to_percent(), 0),
        _ => String::new(),
    }
}

fn rider(card: &JobCard) -> Markup {
    let rider = &card.state().refit.rider;
    let kg = rider.mass.map(|mass| digits::fixed(mass.to_grams() / 1_000.0, 0)).unwrap_or_default();
    html! {
        section.card {
            h2 { "The rider" }
            (forms::act(card, "rider", "/wish", html! {
                label for="mass_kg" { "Rider, bike and luggage together, kg" }
                input #mass_kg name="mass_kg" inputmode="decimal" value=(kg);
                label for="effort" { "How they ride up a long hill" }
                select #effort name="effort" {
                    @for (key, words, is_so) in [
                        ("", "nobody knows", rider.effort.is_none()),
                        ("easy", "they talk while they climb", rider.effort == Some(Effort::Easy)),
                        ("steady", "they breathe hard and keep going", rider.effort == Some(Effort::Steady)),
                        ("strong", "they train for it", rider.effort == Some(Effort::Strong)),
                    ] { option value=(key) selected[is_so] { (words) } }
                }
                label for="power_w" { "Power on a long climb, W, if it is known" }
                input #power_w name="power_w" inputmode="numeric" value=(rider.power.map(|power| digits::fixed(power.to_watts(), 0)).unwrap_or_default());
                label for="inseam_mm" { "Inside length of the leg, mm" }
                input #inseam_mm name="inseam_mm" inputmode="numeric" value=(rider.inseam.map(|inseam| digits::fixed(inseam.to_mm(), 0)).unwrap_or_default());
                label for="lowest_cadence" { "Lowest cadence they accept, turns a minute" }
                input #lowest_cadence name="lowest_cadence" inputmode="numeric" value=(rider.lowest_cadence.map(|cadence| cadence.to_string()).unwrap_or_default());
                button { "Keep the rider" }
            }))
        }
    }
}

fn circumstances(card: &JobCard) -> Markup {
    let known = card.state().circumstances;
    html! {
        section.card {
            h2 { "What this bike adds to the work" }
            (forms::act(card, "circumstances", "/wish", html! {
                label for="age" { "How the old parts come off" }
                select #age name="age" {
                    @for (key, words, age) in [("sound", "as they should", Age::Sound), ("used", "used for years", Age::Used), ("corroded", "corroded", Age::Corroded)] {
                        option value=(key) selected[known.age == age] { (words) }
                    }
                }
                @for (key, words, is_so) in [
                    ("internal-routing", "cables run through the frame", known.internal_routing),
                    ("bleed-front", "the front brake is hydraulic and is opened", known.bleed_front),
                    ("bleed-rear", "the rear brake is hydraulic and is opened", known.bleed_rear),
                    ("tandem", "a tandem with a timing chain", known.tandem),
                    ("customer-parts", "the customer brings parts", known.customer_parts),
                ] { label.choice { input type="checkbox" name="with" value=(key) checked[is_so]; " " (words) } }
                button { "Keep" }
            }))
        }
    }
}

fn price_words(part: &Part) -> String {
    part.price().map_or_else(|| "price not known".to_owned(), |price| price.to_string())
}

fn days_words(part: &Part) -> String {
    match part.lead_days() {
        Some(0) => "in stock".to_owned(),
        Some(1) => "1 day".to_owned(),
        Some(days) => format!("{days} days"),
        None => "days not known".to_owned(),
    }
}

/// The chosen parts, those put on the list as a matter of course, and the way to every other slot.
fn chosen(card: &JobCard) -> Markup {
    let choice = &card.state().refit.choice;
    html! {
        @if choice.iter().next().is_none() { p.empty { "None yet. Choose where the wish begins, such as the cassette." } }
        @else {
            table {
                thead { tr { th { "Where" } th { "Part" } th.number { "Price" } th { "Days" } th {} } }
                tbody { @for part in choice.iter() {
                    tr {
                        th scope="row" { a href=(address(card, &format!("/wish/{}", part.slot().key()))) { (part.slot().words()) } }
                        td { (part.name()) }
                        td.number { (price_words(&part)) }
                        td { (days_words(&part)) }
                        td { (forms::act_line(card, "dropped", "/wish", html! {
                            input type="hidden" name="slot" value=(part.slot().key());
                            button.quiet { "Take off the list" }
                        })) }
                    }
                } }
            }
        }
        @if !card.plan.added.is_empty() {
            h3 { "Put on the list as a matter of course" }
            ul { @for added in &card.plan.added { li { (added.part.slot().words()) ": " (added.part.name()) ", " (price_words(&added.part)) } } }
        }
        details {
            summary { "Choose a part for another place" }
            ul.slots { @for slot in Slot::ALL { li { a.button href=(address(card, &format!("/wish/{}", slot.key()))) { (slot.words()) } } } }
        }
    }
}

/// Most parts of one slot that are judged for a page.
const MOST_JUDGED: usize = 60;

/// Every part of the catalogue for a place, each judged in this bike with what is chosen already.
fn parts_for(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    let key = ask.named("slot");
    let slot = Slot::read(key)
        .ok_or_else(|| Failure::NotFound { what: "place on the bike", name: key.to_owned() })?;
    let catalogue = ask.house.catalogue();
    let all: Vec<&Part> = catalogue.for_slot(slot).collect();
    let judged = judged(&card, all.iter().copied().take(MOST_JUDGED), headline);
    let body = html! {
        h2 { "For the " (slot.words()) }
        (part_search::form(&card, Some(slot), ""))
        p { "Each part is judged in this bike, together with what is on the list already." }
        @if all.is_empty() { p.empty { "The catalogue has none. The shop's own parts are taken in under Shop." } }
        @if all.len() > MOST_JUDGED { p { (all.len()) " parts; the first " (MOST_JUDGED) " are judged here." } }
        (candidates(&card, &judged, false))
        p { a href=(address(&card, "/wish")) { "Back to the list" } }
    };
    Ok(room(ask, &card, "/wish", body))
}

/// A part as it is judged in a bike: its verdict there, and what it would turn.
pub(super) type Judged<'a> = (&'a Part, Verdict, String);

/// Parts, each judged in this bike; what works comes first, then what costs least.
pub(super) fn judged<'a>(
    card: &JobCard,
    parts: impl Iterator<Item = &'a Part>,
    headline: fn(&fit::Finding) -> String,
) -> Vec<Judged<'a>> {
    let build = &card.plan.build;
    let before = fit::judge(build);
    let mut judged: Vec<Judged<'a>> = Vec::new();
    for part in parts {
        let findings = fit::judge(&build.with(part.clone()));
        // What this part decides: findings that are worse with it than without.
        let worst = findings.iter().max_by_key(|finding| finding.verdict);
        let verdict = worst.map_or(Verdict::Works, |finding| finding.verdict);
        let turned = findings.iter().filter(|finding| {
            let same = before.iter().find(|before| before.rule == finding.rule);
            finding.verdict >= Verdict::Marginal && same.is_none_or(|before| before.verdict < finding.verdict)
        });
        let words: Vec<String> = turned.map(headline).take(2).collect();
        judged.push((part, verdict, words.join("; ")));
    }
    judged.sort_by_key(|(part, verdict, _)| {
        (*verdict, part.price().is_none(), part.price().map(|price| price.minor()))
    });
    judged
}

/// Judged parts, each to be taken.
pub(super) fn candidates(card: &JobCard, judged: &[Judged<'_>], with_place: bool) -> Markup {
    let choice = &card.state().refit.choice;
    let is_on = |part: &Part| {
        let chosen = choice.get(part.slot());
        chosen.is_some_and(|chosen| chosen.id().is_some() && chosen.id() == part.id())
    };
    html! {
        ul.candidates { @for (part, verdict, words) in judged {
            li {
                div {
                    @if with_place { span.quiet { (part.slot().words()) ": " } }
                    strong { (part.name()) }
                    " " span.verdict data-verdict=(verdict.word()) { (verdict_words(*verdict)) }
                    @if !words.is_empty() { p.quiet { (words) } }
                    p.quiet { (price_words(part)) " · " (days_words(part)) }
                }
                @if is_on(part) { strong { "on the list" } }
                @else { (forms::act_line(card, "chosen", "/wish", html! {
                    input type="hidden" name="part" value=(part.id().unwrap_or(""));
                    button aria-label=(format!("Take it: {}", part.name())) { "Take it" }
                })) }
            }
        } }
    }
}

/// A cure of the plan is taken: its parts go on the list.
fn take_cure(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    let who = ask.who()?;
    let rule = ask.form.text("rule");
    let at = ask.form.whole("cure", "Cure", 0..=1_000)?.unwrap_or(0) as usize;
    let finding = card.plan.findings.iter().find(|finding| finding.rule.id == rule);
    let Some(cure) = finding.and_then(|finding| finding.cures.get(at)) else {
        return Err(Failure::NotFound { what: "cure", name: rule.to_owned() });
    };
    let mut taps: Vec<Tap> = Vec::new();
    for act in &cure.acts {
        if let Act::Fit(part) = act {
            taps.push(Tap::now(Event::Chosen(Box::new(part.clone()))));
        }
    }
    if taps.is_empty() {
        let wanted = "this cure is no part of the catalogue: it is work, or something to agree on";
        return Err(crate::failure::FieldFault::one("Cure", rule, wanted));
    }
    ask.house.act(ask.named("job"), &who.person, &taps, ask.seen())?;
    Ok(Reply::Go(address(&card, "/plan")))
}
