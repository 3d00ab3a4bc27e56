//! Checks: every fastener that was touched, the looks that are taken twice, the rides, the second person's word.

use super::{card, forms, room};
use crate::ask::Ask;
use crate::card::JobCard;
use crate::failure::{Failure, held_lines};
use crate::reply::Reply;
use crate::routes::{Route, show};
use crate::who::Access;
use fit::Hazard;
use maud::{Markup, html};
use quantity::digits;
use shop::job::{BlindPoint, Look, RideKind};
use shop::{Closing, Fastener, FastenerId, Tightness};

pub(crate) fn routes() -> Vec<Route> {
    vec![show("/jobs/{job}/check", Access::Staff, page)]
}

fn page(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    let state = card.state();
    let who = ask.who()?;
    let touched = state.record.touched_by(&who.person).is_some();
    let body = html! {
        @if !state.started {
            p.empty { "The work has not begun: there is nothing to check." }
        } @else {
            p { @if touched { "You touched this bike: you are its first hand. The second look is for somebody else, on their own sign-in." } @else { "You touched nothing of this bike: you may look second, witness and sign." } }
            section.card { h2 { "Bolts" } (bolts(&card, touched)) }
            section.card { h2 { "Values taken twice" } (looks(&card, touched)) }
            section.card { h2 { "Rides and the second word" } (rides(&card, touched)) }
            section.next {
                h2 { "What keeps the bike here" }
                @let book = &ask.house.workshop.book;
                @let held = held_lines(&card.blocks_release(book), book);
                @if held.is_empty() { p { "Nothing: it may go." } p { a.button.main href=(super::address(&card, "/hand-over")) { "Hand-over" } } }
                @else { ul { @for line in &held { li { (line) } } } }
            }
        }
    };
    Ok(room(ask, &card, "/check", body))
}

fn torque_words(tightness: &Tightness) -> String {
    match tightness {
        Tightness::AtValue { torque: Some(torque), by }
        | Tightness::Witnessed { torque: Some(torque), by, .. } => {
            format!("{} N·m, {by}", digits::fixed(torque.to_newton_metres(), 1))
        }
        Tightness::AtValue { torque: None, by } | Tightness::Witnessed { torque: None, by, .. } => {
            by.to_string()
        }
        Tightness::Off | Tightness::FingerTight => String::new(),
    }
}

fn bolts(card: &JobCard, touched: bool) -> Markup {
    let all = card.state().record.fasteners();
    html! {
        @if all.is_empty() { p.empty { "No step has touched a bolt yet." } }
        table {
            thead { tr { th { "Bolt" } th { "Is" } th { "Value" } th { "Now" } } }
            tbody { @for (id, tightness) in all { (bolt(card, *id, tightness, touched)) } }
        }
    }
}

fn bolt(card: &JobCard, id: FastenerId, tightness: &Tightness, touched: bool) -> Markup {
    let Some(fastener) = Fastener::find(id) else { return html! {} };
    let hidden = || html! { input type="hidden" name="fastener" value=(id.0); };
    html! {
        tr id=(format!("bolt-{}", id.0)) {
            th scope="row" { (fastener.title) @if fastener.hazard == Hazard::Rider { span.quiet { " · can hurt" } } }
            td { (tightness.words()) @if let Tightness::Witnessed { witness, .. } = tightness { span.quiet { ", seen by " (witness) } } }
            td { (torque_words(tightness)) }
            td { @match tightness {
                Tightness::Off | Tightness::FingerTight => { (close(card, fastener)) }
                Tightness::AtValue { .. } => {
                    @if !touched { (forms::act_line(card, "witnessed", "/check", html! { (hidden()) button.main { "Does not move" } })) }
                    (forms::act_line(card, "loose", "/check", html! { (hidden()) button { "It moved" } }))
                }
                Tightness::Witnessed { .. } => { (forms::act_line(card, "loose", "/check", html! { (hidden()) button.quiet { "It moved" } })) }
            } }
        }
    }
}

/// How a bolt is brought to its value.
pub(super) fn close(card: &JobCard, fastener: &Fastener) -> Markup {
    let id = fastener.id.0;
    match fastener.closing {
        Closing::ByHand => forms::act_line(
            card,
            "closed",
            "/check",
            html! { input type="hidden" name="fastener" value=(id); button { "Closed" } },
        ),
        Closing::Range(least, most) => forms::act_line(
            card,
            "tightened",
            "/check",
            html! {
                input type="hidden" name="fastener" value=(id);
                label for=(format!("nm-{id}")) { "N·m, " (digits::fixed(least, 0)) " to " (digits::fixed(most, 0)) " unless the part says otherwise" }
                input id=(format!("nm-{id}")) name="torque_nm" inputmode="decimal" value=(digits::fixed((least + most) / 2.0, 1)) required;
                label for=(format!("w-{id}")) { "Wrench" }
                input id=(format!("w-{id}")) name="wrench" value="wrench 1" required autocomplete="off";
                button { "At value" }
            },
        ),
        Closing::AsPrinted => forms::act_line(
            card,
            "tightened",
            "/check",
            html! {
                input type="hidden" name="fastener" value=(id);
                label for=(format!("p-{id}")) { "Printed on the part, N·m: from" }
                input id=(format!("p-{id}")) name="least_nm" inputmode="decimal" required;
                label for=(format!("q-{id}")) { "to" }
                input id=(format!("q-{id}")) name="most_nm" inputmode="decimal";
                label for=(format!("nm-{id}")) { "set" }
                input id=(format!("nm-{id}")) name="torque_nm" inputmode="decimal" required;
                label for=(format!("w-{id}")) { "Wrench" }
                input id=(format!("w-{id}")) name="wrench" value="wrench 1" required autocomplete="off";
                button { "At value" }
            },
        ),
    }
}

/// Points that two people read, the second without seeing the first value.
fn looks(card: &JobCard, touched: bool) -> Markup {
    let state = card.state();
    let points = BlindPoint::of(&card.plan);
    html! {
        @if points.is_empty() { p.empty { "This refit moves none of them." } }
        @for point in points {
            @let [first, second] = state.looks.get(&point).cloned().unwrap_or_default();
            @let agrees = state.agrees(point);
            div.look id=(format!("look-{}", point.key())) {
                p {
                    strong { (point.words()) } ": "
                    @match (&first, &second, agrees) {
                        (Some(first), Some(second), true) => { "✓ " (first.value) " and " (second.value) " " (point.unit()) ", " (first.by) " and " (second.by) }
                        (Some(first), Some(second), false) => { "✗ " (first.value) " by " (first.by) " and " (second.value) " by " (second.by) " " (point.unit()) ": they differ by more than " (point.may_differ_by()) "; both look again" }
                        (Some(first), None, _) => { "first look by " (first.by) ", covered; the second is open" }
                        (None, Some(second), _) => { "second look by " (second.by) ", covered; the first is open" }
                        (None, None, _) => { "nobody has looked" }
                    }
                }
                @if !agrees {
                    (forms::act_line(card, "looked", "/check", html! {
                        input type="hidden" name="point" value=(point.key());
                        input type="hidden" name="look" value=(look_key(if touched { Look::First } else { Look::Second }));
                        label for=(format!("v-{}", point.key())) { "Your value, " (point.unit()) }
                        input id=(format!("v-{}", point.key())) name="value" inputmode="decimal" required autocomplete="off";
                        button { @if touched { "First look" } @else { "Second look" } }
                    }))
                }
            }
        }
    }
}

fn look_key(look: Look) -> &'static str {
    if look == Look::First { "first" } else { "second" }
}

/// What a ride has to hold.
fn list(ride: RideKind) -> &'static str {
    match ride {
        RideKind::First => {
            "5 to 10 minutes: seated and standing, a full stop front and rear five times, all gears under load, no hands where it is safe, a bump, both locks."
        }
        RideKind::Second => "Shorter: brakes and shifting, by the second person.",
    }
}

fn rides(card: &JobCard, touched: bool) -> Markup {
    let record = &card.state().record;
    let ride = |which: RideKind, key: &str| {
        forms::act(
            card,
            "rode",
            "/check",
            html! {
                input type="hidden" name="ride" value=(key);
                p { (list(which)) }
                label for=(format!("instead-{key}")) { "If it could not be ridden (rain, ice, size): what was done instead; the customer is told" }
                input id=(format!("instead-{key}")) name="instead" autocomplete="off";
                button { @if which == RideKind::First { "First ride done" } @else { "Second ride done" } }
            },
        )
    };
    html! {
        h3 { "First ride" }
        @if record.is_ridden() { p { "Done." } } @else { (ride(RideKind::First, "first")) }
        h3 { "Second check" }
        @match record.second_person() {
            Some(person) => { p { "Signed by " (person) "." } }
            None if touched => { p { "For a person who touched nothing of this bike. If nobody else is here, the job waits." } }
            None => { (forms::act(card, "second-check", "/check", html! { button { "I checked it: I sign" } })) }
        }
        h3 { "Second ride" }
        @if record.release().is_ok() { p { "Done." } }
        @else if record.second_person().is_some() { (ride(RideKind::Second, "second")) }
        @else { p.quiet { "After the second check." } }
        @if !card.state().not_ridden.is_empty() { p.doubt { "Not ridden: " (card.state().not_ridden.join("; ")) } }
    }
}
