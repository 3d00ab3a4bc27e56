//! A job from enquiry to collection by three people, form by form, with each gate tried from the wrong side; two who
//! write at once; the customer's private link.

use super::{Browser, Shop, notice};
use crate::card::JobCard;
use axum::http::StatusCode;
use fit::Refit;
use intake::Source;
use intake::case::read_case;
use quantity::digits;
use shop::job::BlindPoint;
use shop::job::gate::{gating, stand_steps};
use shop::{Closing, Fastener, FastenerId, Stage};
use std::sync::Arc;

impl Shop {
    pub(super) fn card(&self, number: &str) -> Arc<JobCard> {
        self.house.card(number).unwrap()
    }

    pub(super) fn stage(&self, number: &str) -> Stage {
        self.card(number).stage(&self.house.workshop.book)
    }

    fn bike(&self) -> Refit {
        let text = include_str!("../../../../cases/case-1-control.toml");
        read_case(Source { name: "control.toml", text }, &self.house.catalogue()).unwrap().refit
    }
}

pub(super) const ENQUIRY: [(&str, &str); 5] = [
    ("name", "A. Customer"),
    ("phone", "0100 555 00"),
    ("bike_name", "green road bike"),
    ("job_name", "eleven cogs"),
    ("words", "easier hills"),
];

/// Writes everything down that the bike has, one value a form.
pub(super) async fn measure(shop: &Shop, browser: &mut Browser<'_>, job: &str) {
    for part in shop.bike().bike.iter() {
        let slot = part.slot();
        for field in slot.fields() {
            let Some(reading) = part.get(field.dimension).filter(|reading| reading.is_answered()) else {
                continue;
            };
            let value = intake::value_text(slot, field.dimension, &reading);
            let fields = [("slot", slot.key()), ("dimension", field.key), ("value", &value)];
            browser.does(job, "measured", &fields).await;
        }
    }
}

pub(super) async fn choose(shop: &Shop, browser: &mut Browser<'_>, job: &str) {
    for part in shop.bike().choice.iter() {
        browser.does(job, "chosen", &[("part", part.id().unwrap())]).await;
    }
}

pub(super) async fn take_in(shop: &Shop, desk: &mut Browser<'_>, stand: &mut Browser<'_>, job: &str) {
    for slot in gating(&shop.card(job).plan) {
        let slot = [("slot", slot.key())];
        desk.does(job, "ordered", &[slot[0], ("due", "2030-01-02")]).await;
        desk.does(job, "arrived", &slot).await;
        stand.does(job, "part-fits", &slot).await;
    }
}

/// Every step that may be done now.
pub(super) async fn work(shop: &Shop, browser: &mut Browser<'_>, job: &str) {
    loop {
        let card = shop.card(job);
        let open: Vec<&str> = stand_steps(card.state(), card.judged_by(&shop.house.workshop.book))
            .into_iter()
            .filter(|step| !card.state().done.contains_key(step))
            .map(|step| step.0)
            .collect();
        let mut moved = false;
        for step in open {
            moved |= browser.act(job, "done", &[("step", step)]).await.status == StatusCode::SEE_OTHER;
        }
        if !moved {
            return;
        }
    }
}

async fn tighten(shop: &Shop, browser: &mut Browser<'_>, job: &str) {
    let open: Vec<FastenerId> = shop
        .card(job)
        .state()
        .record
        .fasteners()
        .iter()
        .filter(|(_, tightness)| !tightness.words().starts_with("at value"))
        .map(|(id, _)| *id)
        .collect();
    for id in open {
        let name = [("fastener", id.0)];
        match Fastener::find(id).unwrap().closing {
            Closing::ByHand => browser.does(job, "closed", &name).await,
            Closing::Range(least, _) => {
                let torque = digits::fixed(least, 1);
                browser
                    .does(job, "tightened", &[name[0], ("torque_nm", &torque), ("wrench", "wrench 3")])
                    .await;
            }
            Closing::AsPrinted => {
                let unread = [name[0], ("torque_nm", "5.5"), ("wrench", "wrench 3")];
                browser.may_not(job, "tightened", &unread, "read what is printed on the part").await;
                let read = [unread[0], unread[1], unread[2], ("least_nm", "5"), ("most_nm", "6")];
                browser.does(job, "tightened", &read).await;
            }
        }
    }
}

async fn look(shop: &Shop, browser: &mut Browser<'_>, job: &str, look: &str) {
    for point in BlindPoint::of(&shop.card(job).plan) {
        let middle = digits::fixed((point.plausible().0 + point.plausible().1) / 2.0, 0);
        let fields = [("point", point.key()), ("look", look), ("value", middle.as_str())];
        browser.does(job, "looked", &fields).await;
    }
}

#[tokio::test]
async fn three_people_take_a_job_from_enquiry_to_collection_and_every_gate_holds() {
    let shop = Shop::new();
    let (mut counter, mut manager) = (shop.as_person("Counter"), shop.as_person("Manager"));
    let (mut first, mut second) = (shop.as_person("First"), shop.as_person("Second"));
    let opened = counter.post("/enquiry", &ENQUIRY).await;
    assert_eq!(opened.header("location"), "/jobs/A-1", "{}", notice(&opened));
    let job = "A-1";
    first.may_not(job, "started", &[], "the bike is not here").await;
    counter.does(job, "received", &[("hook", "7")]).await;
    assert_eq!(shop.stage(job), Stage::Intake);

    // A technician neither chooses nor sends an estimate; nothing is agreed to before a version went out.
    first
        .may_not(job, "chosen", &[("part", "cassette-11-road-11-30")], "This is for manager or counter")
        .await;
    choose(&shop, &mut counter, job).await;
    first.may_not(job, "started", &[], "waits for a measurement").await;
    let to_measure = shop.card(job).plan.to_measure.len();
    assert!(to_measure > 5, "{to_measure}");
    let page = first.get("/jobs/A-1/measure").await.text();
    assert!(page.contains("to go"), "the next best value");
    measure(&shop, &mut first, job).await;
    assert_eq!(shop.card(job).plan.to_measure.len(), 0);
    first.may_not(job, "started", &[], "where the hands were is not written down").await;
    first.does(job, "hands", &[("words", "742 left, 742 right")]).await;
    let agree = [("version", "1"), ("name", "A. Customer"), ("words", "yes"), ("channel", "counter")];
    counter.may_not(job, "approved", &agree, "no estimate went out").await;
    let sent = manager.post("/jobs/A-1/estimate", &[("scope", "eleven cogs")]).await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", notice(&sent));
    assert_eq!(shop.stage(job), Stage::Estimate);
    first.may_not(job, "started", &[], "has not agreed to version 1").await;
    counter.does(job, "approved", &agree).await;
    assert_eq!(shop.stage(job), Stage::WaitingForParts);
    first.may_not(job, "started", &[], "has not arrived").await;
    let slot = gating(&shop.card(job).plan)[0];
    first.may_not(job, "part-fits", &[("slot", slot.key())], "has not arrived").await;
    take_in(&shop, &mut counter, &mut first, job).await;
    assert_eq!(shop.stage(job), Stage::Agreed);

    // A value that changes after the customer's word closes the gate again, and says what changed.
    let body = [("slot", "rear_wheel"), ("dimension", "body_length"), ("value", "34.9 mm")];
    first.does(job, "measured", &body).await;
    first.may_not(job, "started", &[], "changed since the customer agreed").await;
    first.may_not(job, "started", &[], "does not work").await;
    let entry = (shop.card(job).job.version() - 1).to_string();
    second
        .may_not(job, "corrected", &[("entry", &entry), ("words", "misread")], "by them or by the manager")
        .await;
    first
        .does(job, "corrected", &[("entry", &entry), ("words", "misread: the caliper was not zeroed")])
        .await;

    counter.may_not(job, "started", &[], "This is for manager or technician").await;
    first.does(job, "started", &[]).await;
    assert_eq!(shop.stage(job), Stage::InWork);
    first.may_not(job, "done", &[("step", "tape-on")], "comes before").await;
    first.may_not(job, "rode", &[("ride", "first")], "comes before").await;
    counter.may_not(job, "collected", &[("name", "A. Customer")], "steps are not done").await;

    // Left in a named state and taken on by who has read it.
    first
        .may_not(job, "paused", &[("reason", "part"), ("words", "chain missing")], "one of the states")
        .await;
    let pause = [("reason", "part"), ("parking", "built-untested"), ("words", "left brake not connected")];
    first.does(job, "paused", &pause).await;
    assert_eq!(shop.stage(job), Stage::Paused);
    first.may_not(job, "done", &[("step", "tape-off")], "paused").await;
    first.may_not(job, "resumed", &[], "tick each item as seen").await;
    first.does(job, "resumed", &[("read", "yes")]).await;

    // What is found and stops the work stops it until it is settled.
    first.does(job, "problem", &[("words", "hanger thread torn"), ("stops", "yes")]).await;
    first.may_not(job, "done", &[("step", "tape-off")], "hanger thread torn").await;
    let at = (shop.card(job).job.version() - 1).to_string();
    manager
        .does(job, "settled", &[("problem", &at), ("words", "insert set, customer agreed by telephone")])
        .await;

    work(&shop, &mut first, job).await;
    tighten(&shop, &mut first, job).await;
    look(&shop, &mut first, job, "first").await;
    second.may_not(job, "second-check", &[], "").await;
    first.does(job, "rode", &[("ride", "first")]).await;
    work(&shop, &mut first, job).await;
    tighten(&shop, &mut first, job).await;
    assert_eq!(shop.stage(job), Stage::Checks);

    // The first hand is never the second, on whatever page.
    let bolt = shop.card(job).state().record.fasteners().keys().next().unwrap().0;
    first.may_not(job, "witnessed", &[("fastener", bolt)], "").await;
    first.may_not(job, "second-check", &[], "").await;
    let point = BlindPoint::of(&shop.card(job).plan)[0];
    let own = [("point", point.key()), ("look", "second"), ("value", "100")];
    first.may_not(job, "looked", &own, "").await;
    // The second does not see the first values.
    let page = second.get("/jobs/A-1/check").await.text();
    assert!(page.contains("first look by First, covered"), "covered");
    let record = second.get("/jobs/A-1/record").await.text();
    assert!(record.contains("covered until both agree"));
    let bolts: Vec<&str> = shop.card(job).state().record.fasteners().keys().map(|id| id.0).collect();
    for bolt in bolts {
        second.does(job, "witnessed", &[("fastener", bolt)]).await;
    }
    // Two looks that differ: both look again.
    let off = digits::fixed(point.plausible().0 + point.may_differ_by() + 2.0, 0);
    second.does(job, "looked", &[("point", point.key()), ("look", "second"), ("value", &off)]).await;
    assert!(second.get("/jobs/A-1/check").await.text().contains("both look again"));
    look(&shop, &mut second, job, "second").await;
    counter.may_not(job, "collected", &[("name", "A. Customer")], "second check").await;
    second.does(job, "second-check", &[]).await;
    counter.may_not(job, "collected", &[("name", "A. Customer")], "second ride").await;
    first.may_not(job, "rode", &[("ride", "second")], "").await;
    second.does(job, "rode", &[("ride", "second")]).await;
    assert_eq!(shop.stage(job), Stage::Ready);
    for path in ["/jobs/A-1/hand-over", "/jobs/A-1/record", "/jobs/A-1"] {
        assert_eq!(counter.get(path).await.status, StatusCode::OK, "{path}");
    }
    counter.does(job, "collected", &[("name", "A. Customer")]).await;
    assert_eq!(shop.stage(job), Stage::Collected);
    first.may_not(job, "done", &[("step", "tape-on")], "the job is over").await;
    counter.does(job, "followed-up", &[("clicks", "2"), ("words", "shifts well")]).await;
    assert_eq!(shop.stage(job), Stage::FollowedUp);
    assert_eq!(shop.house.store.check().unwrap().faults, Vec::<String>::new());

    // The bike comes again: what was measured and built is taken over.
    let customer = shop.card(job).record.customer.clone();
    let bike = shop.card(job).record.bike.clone().unwrap();
    let again = [
        ("customer", customer.as_str()),
        ("bike", &bike),
        ("take_over", "yes"),
        ("job_name", "tape"),
        ("words", "new tape"),
    ];
    counter.post("/enquiry", &again).await;
    let now = shop.card("A-2");
    let cogs =
        |card: &JobCard| card.state().refit.bike.reading(catalog::Slot::Cassette, catalog::Dimension::Cogs);
    assert_eq!(cogs(&now), shop.bike().choice.reading(catalog::Slot::Cassette, catalog::Dimension::Cogs));
}

#[tokio::test]
async fn two_who_write_at_once_lose_nothing_and_are_told() {
    let shop = Shop::new();
    let (mut first, mut second) = (shop.as_person("First"), shop.as_person("Second"));
    first.post("/enquiry", &ENQUIRY).await;
    let seen = shop.card("A-1").job.version().to_string();
    let stay = |value: &'static str| [("slot", "frame"), ("dimension", "chainstay"), ("value", value)];
    let with = |fields: [(&'static str, &'static str); 3], key: &'static str| {
        [fields[0], fields[1], fields[2], ("key", key)]
    };
    let key = "9b2d1f4e-0000-4000-8000-000000000001";
    let mut fields = with(stay("410 mm"), key).to_vec();
    fields.push(("seen", &seen));
    first.does("A-1", "measured", &fields).await;
    // The same form sent twice is one entry.
    let version = shop.card("A-1").job.version();
    first.does("A-1", "measured", &fields).await;
    assert_eq!(shop.card("A-1").job.version(), version);
    // Another value from a page that did not know of it is shown, not written over.
    let mut other = stay("412 mm").to_vec();
    other.push(("seen", &seen));
    let answer = second.act("A-1", "measured", &other).await;
    assert_eq!(answer.status, StatusCode::CONFLICT);
    let told = notice(&answer);
    assert!(told.contains("First put something else there") && told.contains("410 mm"), "{told}");
    // The same value from both is no quarrel, and another place is free.
    let mut same = stay("410 mm").to_vec();
    same.push(("seen", &seen));
    second.does("A-1", "measured", &same).await;
    let free = [("slot", "frame"), ("dimension", "hanger_drop"), ("value", "28 mm"), ("seen", &seen)];
    second.does("A-1", "measured", &free).await;
    // Once it was looked at, it is taken.
    let now = shop.card("A-1").job.version().to_string();
    let mut knowing = stay("412 mm").to_vec();
    knowing.push(("seen", &now));
    second.does("A-1", "measured", &knowing).await;
}

#[tokio::test]
async fn a_customer_agrees_by_the_private_link_to_the_version_that_is_out() {
    let shop = Shop::demo();
    let mut desk = shop.as_person("Juniper");
    let made = desk.post("/jobs/A-9/link", &[]).await;
    let path = made.between("href=\"", "\"");
    let mut customer = shop.as_nobody();
    let page = customer.get(&path).await;
    assert_eq!(page.status, StatusCode::OK);
    for other in ["Finch Marlow", "0100 555"] {
        assert!(!page.text().contains(other), "nothing of others: {other}");
    }
    // A newer version closes the older link.
    desk.does("A-9", "dropped", &[("slot", "tape")]).await;
    let agree = [("name", "Teal Brook"), ("words", "I agree to this version.")];
    let refused = customer.post(&path, &agree).await;
    assert!(notice(&refused).contains("changed after version 1 went out"), "{}", notice(&refused));
    desk.post("/jobs/A-9/estimate", &[("scope", "without tape")]).await;
    let refused = customer.post(&path, &agree).await;
    assert!(notice(&refused).contains("version 2 is the current one"), "{}", notice(&refused));
    let made = desk.post("/jobs/A-9/link", &[]).await;
    assert_eq!(customer.get(&path).await.status, StatusCode::NOT_FOUND, "the old one has ended");
    let path = made.between("href=\"", "\"");
    assert_eq!(customer.post(&path, &agree).await.status, StatusCode::SEE_OTHER);
    assert!(customer.get(&path).await.text().contains("Teal Brook agreed"));
    let card = shop.card("A-9");
    let approval = card.state().approval.as_ref().unwrap();
    assert_eq!((approval.version, approval.channel), (2, shop::job::Channel::Link));
    assert_eq!(card.job.entries().last().unwrap().by.to_string(), "Teal Brook (customer)");
}

#[tokio::test]
async fn a_value_is_tried_before_it_is_kept() {
    let shop = Shop::demo();
    let mut browser = shop.as_person("Hazel");
    browser.script = true;
    let short = [("slot", "rear_wheel"), ("dimension", "body_length"), ("value", "34,9")];
    let tried = browser.post("/jobs/A-9/measure/try", &short).await.text();
    assert!(tried.contains("34.9 mm") && tried.contains("does not work"), "{tried}");
    let strange = [("slot", "rear_wheel"), ("dimension", "body_length"), ("value", "349")];
    let tried = browser.post("/jobs/A-9/measure/try", &strange).await.text();
    assert!(tried.contains("outside"), "{tried}");
    assert_eq!(shop.stage("A-9"), Stage::Estimate, "nothing was kept");
}

#[tokio::test]
async fn every_room_of_every_job_opens_and_every_sheet_is_printed() {
    let shop = Shop::demo();
    let mut browser = shop.as_person("Rowan");
    for number in 1..=15 {
        for room in [
            "",
            "/measure",
            "/measure/all",
            "/wish",
            "/ride",
            "/plan",
            "/estimate",
            "/estimate/day",
            "/estimate/options",
            "/parts",
            "/stand",
            "/check",
            "/hand-over",
            "/photos",
            "/record",
            "/plan.json",
        ] {
            let path = format!("/jobs/A-{number}{room}");
            let answer = browser.get(&path).await;
            assert_eq!(answer.status, StatusCode::OK, "{path}: {}", notice(&answer));
        }
    }
    for kind in sheet::SheetKind::ALL {
        let answer = browser.get(&format!("/jobs/A-5/sheets/{}.pdf", kind.word())).await;
        assert!(answer.body.starts_with(b"%PDF"), "{}", kind.word());
    }
    // The code on a sheet opens the job where this browser reached the shop; nobody named an address.
    let build = browser.get("/jobs/A-5/sheets/build.pdf").await;
    let opens = b"(http://shop.example/jobs/A-5)";
    assert!(build.body.windows(opens.len()).any(|bytes| bytes == opens), "no link to the job");
}
