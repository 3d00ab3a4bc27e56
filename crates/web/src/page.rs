//! The frame of every page: head, bar, notice, foot. Pages give a title and what stands between.

use crate::failure::Failure;
use crate::house::House;
use crate::pages::look;
use crate::routes::escape;
use crate::who::Who;
use maud::{DOCTYPE, Markup, html};
use store::Role;

/// A page.
pub(crate) struct Page {
    /// What the tab of the browser says.
    pub(crate) title: String,
    /// What stands between the bar and the foot.
    pub(crate) body: Markup,
    /// The job whose changes this page follows, with the version that it was made from.
    pub(crate) follows: Option<(String, usize)>,
    /// Scripts of this page, beside those of all pages.
    pub(crate) scripts: &'static [&'static str],
    /// How much of the frame is shown.
    pub(crate) frame: Frame,
}

/// How much of the frame is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Frame {
    /// The bar with the way to everything.
    Whole,
    /// Nothing but the page: sign-in, the customer's link, the stand.
    Bare,
}

impl Page {
    /// A page in the whole frame.
    pub(crate) fn new(title: impl Into<String>, body: Markup) -> Self {
        Self { title: title.into(), body, follows: None, scripts: &[], frame: Frame::Whole }
    }

    /// A page without the bar.
    pub(crate) fn bare(title: impl Into<String>, body: Markup) -> Self {
        Self { frame: Frame::Bare, ..Self::new(title, body) }
    }

    /// The same, renewed when the job changes.
    pub(crate) fn following(self, number: String, version: usize) -> Self {
        Self { follows: Some((number, version)), ..self }
    }
}

/// The page of something that was not done.
pub(crate) fn of_failure(failure: &Failure) -> Page {
    Page::new(
        failure.heading(),
        html! {
            h1.unseen { (failure.heading()) }
            (failure.notice())
            p { a.button href="/" { "To all jobs" } }
        },
    )
}

/// A page in its frame.
pub(crate) fn frame(page: &Page, who: Option<&Who>, house: &House, uri: &str) -> Markup {
    let follows = page.follows.as_ref();
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (page.title) " · " (house.workshop.name) }
                link rel="stylesheet" href=(look::address("app.css"));
                link rel="icon" href=(look::address("mark.svg")) type="image/svg+xml";
                link rel="manifest" href="/manifest.json";
                script src=(look::address("theme.js")) {}
                script src=(look::address("htmx.min.js")) defer {}
                script src=(look::address("app.js")) defer {}
                @for script in page.scripts { script src=(look::address(script)) defer {} }
            }
            body data-follows=[follows.map(|(number, _)| number)] data-version=[follows.map(|(_, version)| version)] {
                a.skip href="#page" { "To the page" }
                @if page.frame == Frame::Whole { (bar(who, house, uri)) }
                div #notice aria-live="polite" {}
                main #page class=(if page.frame == Frame::Bare { "bare" } else { "whole" }) { (page.body) }
                @if page.frame == Frame::Whole {
                    footer.foot {
                        p { "The figure that the maker prints on a part or in its leaflet wins over every figure here, and local rules come first." }
                    }
                }
            }
        }
    }
}

fn bar(who: Option<&Who>, house: &House, uri: &str) -> Markup {
    html! {
        header.bar {
            a.shop href="/" { (house.workshop.name) }
            @if let Some(who) = who {
                nav aria-label="Rooms" {
                    a href="/" aria-current=[here(uri == "/")] { "Jobs" }
                    a href="/customers" aria-current=[here(uri.starts_with("/customers"))] { "Customers" }
                    @if who.role != Role::Technician {
                        a href="/enquiry" aria-current=[here(uri.starts_with("/enquiry"))] { "New enquiry" }
                    }
                    @if who.role == Role::Manager {
                        a href="/shop" aria-current=[here(uri.starts_with("/shop"))] { "Shop" }
                    }
                }
                form.find role="search" action="/find" method="get" {
                    label.unseen for="find" { "Find a job or customer" }
                    input #find name="words" type="search" placeholder="A-17 or a name" autocomplete="off";
                    button { "Find" }
                }
                div.self {
                    span { (who.person) }
                    button.quiet #theme type="button" aria-label="Light or dark" { "Light or dark" }
                    form action="/sign-out" method="post" {
                        input type="hidden" name="to" value=(uri);
                        button.quiet { @if who.tablet.is_some() { "Hand over" } @else { "Sign out" } }
                    }
                }
            } @else {
                a href=(format!("/sign-in?to={}", escape(uri))) { "Sign in" }
            }
        }
    }
}

fn here(is_here: bool) -> Option<&'static str> {
    is_here.then_some("page")
}
