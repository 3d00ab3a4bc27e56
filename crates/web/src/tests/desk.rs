//! The desk: the day among the jobs that wait, what the customer is asked while the work goes on, their own ride, parts
//! found by words, and who may do what.

use super::job::{ENQUIRY, choose, measure, take_in};
use super::{Browser, Shop, notice};
use axum::http::StatusCode;
use shop::Stage;
use shop::job::Channel;
use shop::job::gate::stand_steps;

/// A job on a bike that is whole, up to where an estimate can go out.
async fn measured(shop: &Shop, manager: &mut Browser<'_>, number: &str) {
    let opened = manager.post("/enquiry", &ENQUIRY).await;
    assert_eq!(opened.header("location"), format!("/jobs/{number}"), "{}", notice(&opened));
    manager.does(number, "received", &[("hook", number)]).await;
    choose(shop, manager, number).await;
    measure(shop, manager, number).await;
    manager.does(number, "hands", &[("words", "742 left, 742 right")]).await;
}

async fn agreed(shop: &Shop, manager: &mut Browser<'_>, number: &str) {
    measured(shop, manager, number).await;
    let sent = manager.post(&format!("/jobs/{number}/estimate"), &[("scope", "eleven cogs")]).await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", notice(&sent));
    let agree = [("version", "1"), ("name", "A. Customer"), ("words", "yes"), ("channel", "counter")];
    manager.does(number, "approved", &agree).await;
}

/// The day that is shown for a job.
async fn day(shop: &Shop, browser: &mut Browser<'_>, number: &str) -> jiff::civil::Date {
    let part = browser.get(&format!("/jobs/{number}/estimate/day/part")).await;
    assert!(part.text().contains("can be promised for"), "{}", part.text());
    let card = shop.card(number);
    let shown = crate::pages::job::estimate::told_of(&shop.house, &card).unwrap().promise.unwrap().promised;
    assert!(part.text().contains(&crate::clock::day_words(crate::clock::day_of(shown))));
    shown
}

#[tokio::test]
async fn one_more_agreed_job_in_the_store_moves_the_day() {
    // One stand and one job at a time, so that nothing fits beside anything.
    let shop = Shop::in_shape(
        |workshop| {
            workshop.stands = 1;
            workshop.open_jobs.clear();
        },
        Shop::people,
    );
    let mut manager = shop.as_person("Manager");
    measured(&shop, &mut manager, "A-1").await;
    let alone = day(&shop, &mut manager, "A-1").await;
    agreed(&shop, &mut manager, "A-2").await;
    assert_eq!(shop.stage("A-2"), Stage::WaitingForParts);
    let beside_one = day(&shop, &mut manager, "A-1").await;
    assert!(beside_one > alone, "{alone} beside nobody, {beside_one} beside one");
    let page = manager.get("/jobs/A-1/estimate/day").await.text();
    assert!(page.contains("1 other job waits"), "without a script it is a page of its own");
    // What goes out with the estimate is the same day.
    manager.post("/jobs/A-1/estimate", &[("scope", "eleven cogs")]).await;
    let told = shop.card("A-1").state().promised.last().copied().unwrap();
    assert_eq!(told, crate::clock::day_of(beside_one));
    // A job that left the shop takes nobody's time.
    manager.does("A-2", "sent-home", &[("words", "the frame is sold")]).await;
    assert_eq!(day(&shop, &mut manager, "A-1").await, alone);
}

/// A hanger that was found bent, as the form says it.
const BENT: [(&str, &str); 14] = [
    ("found", "the hanger is bent"),
    ("measured", "12 mm over 600 mm"),
    ("limit", "4 mm over 600 mm"),
    ("photo", ""),
    ("cause", "not-visible"),
    ("waits_until", "2199-01-02T15:00"),
    ("leave", "the largest cogs are not used"),
    ("words_1", "exchange the hanger"),
    ("means_1", "it shifts as planned"),
    ("operation_1", "hanger-exchange"),
    ("part_1_1", "hanger"),
    ("price_1_1", "25,00"),
    ("days_1_1", "0"),
    ("do", "keep"),
];

#[tokio::test]
async fn what_is_found_goes_to_the_customer_and_their_choice_into_the_job() {
    let shop = Shop::new();
    let (mut manager, mut first) = (shop.as_person("Manager"), shop.as_person("First"));
    agreed(&shop, &mut manager, "A-1").await;
    take_in(&shop, &mut manager, &mut first, "A-1").await;
    first.does("A-1", "started", &[]).await;
    first.does("A-1", "problem", &[("words", "hanger bent"), ("stops", "yes")]).await;
    let problem = shop.card("A-1").job.version() - 1;
    let path = format!("/jobs/A-1/changes/{problem}");
    let step = stand_steps(shop.card("A-1").state(), shop.card("A-1").judged_by(&shop.house.workshop.book));
    let mut form = BENT.to_vec();
    form.push(("step", step[0].0));
    // Who works at the stand neither prices nor sends.
    assert_eq!(first.post(&path, &form).await.status, StatusCode::FORBIDDEN);
    let page = manager.get(&path).await.text();
    assert!(page.contains("value=\"hanger bent\""), "what was found stands there already");
    // What is missing is said by name, all at once.
    let bare: Vec<_> =
        form.iter().copied().filter(|(name, _)| !["measured", "leave"].contains(name)).collect();
    let refused = notice(&manager.post(&path, &bare).await);
    assert!(refused.contains("Leave it as it is"), "{refused}");
    let mut without = form.clone();
    without.retain(|(name, _)| !["measured", "limit"].contains(name));
    let refused = notice(&manager.post(&path, &without).await);
    assert!(refused.contains("a photograph or a measured value is wanted"), "{refused}");
    // Worked out first, written down then.
    let version = shop.card("A-1").job.version();
    let mut tried = form.clone();
    tried.retain(|(name, _)| *name != "do");
    tried.push(("do", "try"));
    let preview = manager.post(&path, &tried).await.text();
    assert!(preview.contains("not written down yet") && preview.contains("exchange the hanger"));
    assert_eq!(shop.card("A-1").job.version(), version);
    let kept = manager.post(&path, &form).await;
    assert_eq!(kept.status, StatusCode::SEE_OTHER, "{}", notice(&kept));
    let before = shop.card("A-1");
    let (asked, question) = before.state().questions.iter().next().unwrap();
    assert!(question.change.choices[0].price.minor() > 2_500, "the hanger and the work");

    // The customer reads it under the private link, and nothing of anybody else; their choice is part of the job.
    let made = manager.post("/jobs/A-1/link", &[]).await;
    let link = made.between("href=\"", "\"");
    let mut customer = shop.as_nobody();
    let page = customer.get(&link).await.text();
    assert!(page.contains("12 mm over 600 mm") && page.contains("the largest cogs are not used"));
    let (asked, price) = (asked.to_string(), question.change.choices[0].price);
    let chosen = [("asked", asked.as_str()), ("choice", "0"), ("name", "A. Customer"), ("words", "do it")];
    let answer = customer.post(&format!("{link}/choose"), &chosen).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", notice(&answer));
    let card = shop.card("A-1");
    let state = card.state();
    assert!(state.problems.is_empty());
    let approval = state.approval.as_ref().unwrap();
    assert_eq!((approval.version, approval.channel), (2, Channel::Link));
    let total = |at: usize| state.estimates[at].total;
    assert_eq!(total(1), total(0).plus(price).unwrap());
    let after = stand_steps(state, card.judged_by(&shop.house.workshop.book));
    assert!(after.len() > step.len(), "its steps are steps of the job");
    assert_eq!(card.job.entries().last().unwrap().by.to_string(), "A. Customer (customer)");
    // The same link shows what came of it, and a second choice is refused.
    assert!(customer.get(&link).await.text().contains("chose “exchange the hanger”"));
    let again = customer.post(&format!("{link}/choose"), &chosen).await;
    assert!(notice(&again).contains("no such open question"), "{}", notice(&again));
    let record = manager.get("/jobs/A-1/record").await.text();
    assert!(record.contains("the customer is asked about entry") && record.contains("by the private link"));
    let photo = format!("{link}/photos/{}", "0".repeat(64));
    assert_eq!(customer.get(&photo).await.status, StatusCode::NOT_FOUND, "photos of the question alone");
}

#[tokio::test]
async fn leaving_a_matter_of_safety_wants_its_own_line() {
    let shop = Shop::new();
    let (mut manager, mut first) = (shop.as_person("Manager"), shop.as_person("First"));
    agreed(&shop, &mut manager, "A-1").await;
    first.does("A-1", "problem", &[("words", "hanger bent"), ("stops", "yes")]).await;
    let problem = shop.card("A-1").job.version() - 1;
    let step =
        stand_steps(shop.card("A-1").state(), shop.card("A-1").judged_by(&shop.house.workshop.book))[0];
    let mut form = BENT.to_vec();
    form.extend([("step", step.0), ("safety", "yes")]);
    let kept = manager.post(&format!("/jobs/A-1/changes/{problem}"), &form).await;
    assert_eq!(kept.status, StatusCode::SEE_OTHER, "{}", notice(&kept));
    let asked = (problem + 1).to_string();
    let mut leave = vec![
        ("asked", asked.as_str()),
        ("choice", "1"),
        ("name", "A. Customer"),
        ("words", "leave it"),
        ("channel", "counter"),
    ];
    manager.may_not("A-1", "change-answered", &leave, "a line of its own to tick").await;
    let beforehand: Vec<_> = leave
        .iter()
        .map(|(name, value)| (*name, if *name == "channel" { "beforehand" } else { value }))
        .collect();
    let mut signed = beforehand.clone();
    signed.push(("declined", "yes"));
    manager.may_not("A-1", "change-answered", &signed, "not small enough").await;
    leave.push(("declined", "yes"));
    manager.does("A-1", "change-answered", &leave).await;
    let state = shop.card("A-1").state().clone();
    assert!(state.declined[0].contains("the hanger is bent"), "{:?}", state.declined);
    assert_eq!(state.estimates.len(), 1);
}

/// A form with a file in it.
async fn upload(browser: &mut Browser<'_>, path: &str, bytes: &[u8]) -> super::Answer {
    let mut body = b"--b\r\ncontent-disposition: form-data; name=\"heights\"\r\n\r\nsatellite\r\n--b\r\n\
        content-disposition: form-data; name=\"file\"; filename=\"ride.gpx\"\r\n\r\n"
        .to_vec();
    body.extend_from_slice(bytes);
    body.extend_from_slice(b"\r\n--b--\r\n");
    let request = browser
        .request(axum::http::Method::POST, path)
        .header("content-type", "multipart/form-data; boundary=b")
        .header("sec-fetch-site", "same-origin")
        .body(axum::body::Body::from(body))
        .unwrap();
    browser.send(request).await
}

#[tokio::test]
async fn a_ride_of_the_customer_is_kept_with_the_job_and_answered() {
    let shop = Shop::demo();
    let mut browser = shop.as_person("Hazel");
    let answer = "/jobs/A-9/ride/answer/part";
    assert_eq!(browser.get(answer).await.status, StatusCode::NOT_FOUND, "no ride yet");
    // A file that is no ride says what it is and what to do; nothing of it is kept.
    let version = shop.card("A-9").job.version();
    let broken = b"<gpx version=\"1.1\"><trk><trkseg><trkpt lat=\"nowhere\" lon=\"0\"></trkseg></trk></gpx>";
    for (bytes, words) in [
        (&b"just a letter"[..], "neither GPX nor FIT"),
        (&broken[..], "GPX file cannot be taken apart"),
        (&include_bytes!("../../../intake/tests/rides/race-40km.fit")[..2_000], "cut off"),
    ] {
        let refused = upload(&mut browser, "/jobs/A-9/ride", bytes).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(notice(&refused).contains(words), "{}", notice(&refused));
    }
    let large =
        upload(&mut browser, "/jobs/A-9/ride", &vec![b'<'; store::photo::MOST_RIDE_BYTES + 9_000]).await;
    assert_eq!(large.status, StatusCode::PAYLOAD_TOO_LARGE);
    assert!(notice(&large).contains("16"), "{}", notice(&large));
    assert_eq!(shop.card("A-9").job.version(), version);

    let rider = [("mass_kg", "88"), ("effort", "steady")];
    browser.does("A-9", "rider", &rider).await;
    let gpx = include_bytes!("../../../intake/tests/rides/hilly-19km.gpx");
    let kept = upload(&mut browser, "/jobs/A-9/ride", gpx).await;
    assert_eq!(kept.status, StatusCode::SEE_OTHER, "{}", notice(&kept));
    let told = browser.get(answer).await.text();
    assert!(told.contains("<svg") && told.contains("min below the liked cadence"), "{told}");
    assert!(told.contains("19.") && told.contains("minutes below the liked cadence"), "the table");
    // By hand, with cassettes to compare; what the shop does not have is refused by name.
    let hill = [("length", "2600"), ("climb", "195"), ("compare", "cassette-11-road-11-28")];
    let kept = browser.post("/jobs/A-9/ride", &hill).await;
    assert_eq!(kept.status, StatusCode::SEE_OTHER, "{}", notice(&kept));
    let told = browser.get(answer).await.text();
    assert!(told.contains("a hill by hand") && told.contains("Which cassette answers it"), "{told}");
    let wall = browser.post("/jobs/A-9/ride", &[("length", "100"), ("climb", "195")]).await;
    assert_eq!(wall.status, StatusCode::UNPROCESSABLE_ENTITY);
    let strange =
        browser.post("/jobs/A-9/ride", &[("length", "100"), ("climb", "5"), ("compare", "x")]).await;
    assert_eq!(strange.status, StatusCode::NOT_FOUND);
    assert_eq!(shop.house.store.check().unwrap().faults, Vec::<String>::new());
}

#[tokio::test]
async fn parts_are_found_by_place_and_dimension() {
    let shop = Shop::demo();
    let mut browser = shop.as_person("Juniper");
    let found = browser.get("/jobs/A-10/find-part?slot=cassette&words=11-32").await.text();
    assert!(found.contains("11-32") && found.contains("Take it"), "{found}");
    // Words narrow it down, those of a dimension too; a comma may stand for the point.
    let stems = browser.get("/jobs/A-10/find-part?slot=stem&words=31,8").await;
    let any = browser.get("/jobs/A-10/find-part?slot=stem").await;
    let count = |page: &super::Answer| {
        let text = page.text();
        let told = text.rsplit("aria-live=\"polite\">").next().unwrap().to_owned();
        told.split_whitespace().next().unwrap().parse::<usize>().unwrap()
    };
    assert!(count(&stems) > 0 && count(&stems) < count(&any), "{} of {}", count(&stems), count(&any));
    let none = browser.get("/jobs/A-10/find-part?words=unobtainium").await.text();
    assert!(none.contains("None in the catalogue has all of these words"));
    for page in ["/jobs/A-10/wish", "/jobs/A-10/parts"] {
        assert!(browser.get(page).await.text().contains("action=\"/jobs/A-10/find-part\""), "{page}");
    }
    let part = found.split("name=\"part\" value=\"").nth(1).unwrap().split('"').next().unwrap().to_owned();
    browser.does("A-10", "chosen", &[("part", &part)]).await;
}

#[tokio::test]
async fn the_shop_says_who_does_what_and_who_checks() {
    let shop = Shop::demo();
    let mut manager = shop.as_person("Rowan");
    let id = |name: &str| shop.house.store.person_named(name).unwrap().unwrap().id;
    let says = |name: &str, fields: &[(&'static str, &'static str)]| {
        let mut all = vec![("role", "technician"), ("active", "yes")];
        all.extend_from_slice(fields);
        (format!("/shop/people/{}", id(name)), all)
    };
    // Nothing was said: everybody does everything, and nothing stands at a step.
    let mut aspen = shop.as_person("Aspen");
    let words = "Work for a specialist";
    assert!(!aspen.get("/jobs/A-5/stand.json").await.text().contains(words));
    let (path, fields) = says("Aspen", &[("alone", "skill-learner"), ("under-eye", "skill-mechanic")]);
    assert_eq!(manager.post(&path, &fields).await.status, StatusCode::SEE_OTHER);
    let view = aspen.get("/jobs/A-5/stand.json").await.text();
    assert!(view.contains("Work for a specialist: not yours") && view.contains("with somebody beside you"));
    let card = shop.card("A-7");
    let book = &shop.house.workshop.book;
    let steps = stand_steps(card.state(), card.judged_by(book));
    let is_hard =
        |step: &&shop::StepId| book.step(**step).is_some_and(|step| step.skill == shop::Skill::Specialist);
    let specialist = steps.iter().find(is_hard).expect("a step for a specialist");
    aspen.may_not("A-7", "done", &[("step", specialist.0)], "is work for a specialist").await;
    let mut hazel = shop.as_person("Hazel");
    let of_hazel = hazel.act("A-7", "done", &[("step", specialist.0)]).await;
    assert!(!notice(&of_hazel).contains("is work for"), "nothing was said of Hazel");
    let (path, fields) = says("Aspen", &[("alone", "skill-specialist")]);
    assert_eq!(manager.post(&path, &fields).await.status, StatusCode::SEE_OTHER);
    assert!(!aspen.get("/jobs/A-5/stand.json").await.text().contains(words));
    // Checking is a right of its own: once anybody has it, the others do not.
    let bolt = shop.card("A-4").state().record.fasteners().keys().next().unwrap().0;
    let (path, fields) = says("Linden", &[("checks", "yes")]);
    assert_eq!(manager.post(&path, &fields).await.status, StatusCode::SEE_OTHER);
    aspen.may_not("A-4", "witnessed", &[("fastener", bolt)], "a right of its own").await;
    shop.as_person("Linden").does("A-4", "witnessed", &[("fastener", bolt)]).await;
    let (path, fields) = says("Aspen", &[("alone", "wizard")]);
    assert_eq!(manager.post(&path, &fields).await.status, StatusCode::UNPROCESSABLE_ENTITY);
}
