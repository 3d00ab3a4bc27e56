//! Sheets of a job as PDF, and its photos.

use super::estimate::desk_of;
use super::{card, forms, room};
use crate::ask::Ask;
use crate::card::JobCard;
use crate::clock;
use crate::failure::{Failure, FieldFault};
use crate::reply::{File, Reply};
use crate::routes::{Route, change, escape, show};
use crate::who::Access;
use document::{EstimateDocument, LaidWork, PlanDocument, WorkDocument};
use maud::html;
use sheet::{Job, JobTag, Paper, SheetKind};
use shop::torque::Setting;
use store::photo::MOST_PHOTO_BYTES;

pub(crate) fn routes() -> Vec<Route> {
    vec![
        show("/jobs/{job}/sheets/{sheet}", Access::Staff, sheet),
        show("/jobs/{job}/photos", Access::Staff, photos),
        change("/jobs/{job}/photos", Access::Staff, keep_photo).up_to(MOST_PHOTO_BYTES + 4_096),
        show("/photos/{photo}", Access::Staff, photo),
    ]
}

fn paper_fault(why: impl ToString) -> Failure {
    Failure::Fault { what: "the sheet cannot be printed", why: why.to_string() }
}

/// A sheet: its name is the word of the command line with `.pdf` behind it.
fn sheet(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    let name = ask.named("sheet");
    let word = name.strip_suffix(".pdf").unwrap_or(name);
    let Some(kind) = SheetKind::ALL.iter().copied().find(|kind| kind.word() == word) else {
        return Err(Failure::NotFound { what: "sheet", name: name.to_owned() });
    };
    let bytes = print(ask, &card, kind)?;
    Ok(Reply::shown("application/pdf", bytes))
}

fn print(ask: &Ask, card: &JobCard, kind: SheetKind) -> Result<Vec<u8>, Failure> {
    let house = &ask.house;
    let state = card.state();
    let book = &house.workshop.book;
    let laid = LaidWork::with(&card.plan, book, state.circumstances, &state.added).map_err(paper_fault)?;
    let mut bolts: Vec<Setting> = Vec::new();
    for fastener in shop::FASTENERS.iter().filter(|fastener| laid.closes(fastener.id)) {
        bolts.extend(shop::torque::closing(fastener, &[], &[], None).map_err(paper_fault)?);
    }
    let work = WorkDocument::of(&card.plan, book, &laid, &bolts);
    let desk = desk_of(house, card)?;
    let estimate = serde_json::to_value(EstimateDocument::of(&desk)).map_err(paper_fault)?;
    let plan = PlanDocument::of(&card.plan);
    let promised = state.promised.last().map(|day| clock::day_words(*day));
    let tag = JobTag {
        hook: state.hook.clone(),
        customer: state.customer.clone(),
        promised: promised.clone(),
        collect: promised,
        shop: Some(house.workshop.name.clone()),
        made: Some(clock::today().to_string()),
        link: Some(match ask.reached_at() {
            Some(address) => format!("{address}/jobs/{}", escape(&card.number())),
            None => card.number(),
        }),
    };
    let job = Job { plan: &plan, work: &work, tag: &tag, estimate: Some(&estimate), pair: None };
    let files = job.sheet(kind).map_err(paper_fault)?;
    house.typesetter().pdf(&files, Paper::A4).map_err(paper_fault)
}

fn photos(ask: &Ask) -> Result<Reply, Failure> {
    let card = card(ask)?;
    let all = ask.house.store.photos_of(&card.record.id)?;
    let to = super::address(&card, "/photos");
    let body = html! {
        section.card {
            h2 { "Photos" }
            form.sheet method="post" action=(to) enctype="multipart/form-data" data-photo="" {
                (forms::hidden_key())
                label for="about" { "What it shows" }
                input #about name="about" required autocomplete="off" placeholder="hanger from behind";
                label for="photo" { "Photo" }
                input #photo name="photo" type="file" accept="image/jpeg,image/png,image/webp" capture="environment" required;
                button.main { "Keep the photo" }
            }
            @if all.is_empty() { p.empty { "None yet." } }
            div.photos { @for one in &all {
                figure {
                    a href=(format!("/photos/{}", one.photo)) { img src=(format!("/photos/{}", one.photo)) alt=(one.about) loading="lazy"; }
                    figcaption { (one.about) " · " (one.person) ", " (clock::moment_words(shop::Moment(one.at_ms))) }
                }
            } }
        }
    };
    Ok(room(ask, &card, "/photos", body))
}

fn keep_photo(ask: &Ask) -> Result<Reply, Failure> {
    ask.costs()?;
    let card = card(ask)?;
    let who = ask.who()?;
    let about = ask.form.said("about", "What it shows")?;
    let Some(bytes) = ask.files.get("photo").filter(|bytes| !bytes.is_empty()) else {
        return Err(FieldFault::one("Photo", "", "a picture is wanted: JPEG, PNG or WebP"));
    };
    let now = clock::now();
    let photo = ask.house.store.keep_photo(bytes, now)?;
    ask.house.store.attach_photo(&card.record.id, &photo.hash, &about, &who.person.to_string(), now)?;
    Ok(Reply::Go(super::address(&card, "/photos")))
}

fn photo(ask: &Ask) -> Result<Reply, Failure> {
    let hash = ask.named("photo");
    match ask.house.store.photo(hash)? {
        Some((record, bytes)) => {
            Ok(Reply::File(File { media_type: record.media_type, save_as: None, bytes, forever: true }))
        }
        None => Err(Failure::NotFound { what: "photo", name: hash.to_owned() }),
    }
}
