//! What a stranger, a careless hand or a broken browser may not do.

use super::Shop;
use axum::body::Body;
use axum::http::{Method, StatusCode};
use calcard::icalendar::{ICalendar, ICalendarComponent, ICalendarComponentType, ICalendarProperty};

#[tokio::test]
async fn every_answer_carries_the_headers_that_keep_strangers_out() {
    let shop = Shop::new();
    for path in ["/", "/sign-in", "/no-such-page", "/look/app.css"] {
        let answer = shop.as_nobody().get(path).await;
        let policy = answer.header("content-security-policy").to_owned();
        assert!(policy.contains("default-src 'self'") && !policy.contains("unsafe"), "{path}: {policy}");
        assert_eq!(answer.header("x-content-type-options"), "nosniff", "{path}");
        assert_eq!(answer.header("x-frame-options"), "DENY", "{path}");
    }
    // A page of somebody who is signed in is kept by nobody in between; a piece of all pages for good.
    assert_eq!(shop.as_person("Manager").get("/").await.header("cache-control"), "no-store");
    assert!(shop.as_nobody().get("/look/app.css").await.header("cache-control").contains("immutable"));
}

#[tokio::test]
async fn a_form_of_another_site_is_refused() {
    let shop = Shop::new();
    let mut browser = shop.as_person("Manager");
    for (name, value) in [("sec-fetch-site", "cross-site"), ("origin", "https://evil.example")] {
        let request = browser
            .request(Method::POST, "/sign-out")
            .header("content-type", "application/x-www-form-urlencoded")
            .header(name, value)
            .body(Body::from("to=/"))
            .unwrap();
        assert_eq!(browser.send(request).await.status, StatusCode::FORBIDDEN, "{name}");
    }
    assert_eq!(browser.get("/").await.status, StatusCode::OK, "still signed in");
}

#[tokio::test]
async fn what_people_type_is_text_on_every_page() {
    let shop = Shop::new();
    let mut browser = shop.as_person("Manager");
    let nasty = "<script>alert(1)</script>\"'><img src=x onerror=alert(2)>";
    let fields = [("name", nasty), ("job_name", nasty), ("words", nasty), ("bike_name", nasty)];
    let opened = browser.post("/enquiry", &fields).await;
    assert_eq!(opened.status, StatusCode::SEE_OTHER, "{}", opened.text());
    let customer = shop.house.store.customers_named("<script>").unwrap()[0].id.clone();
    let customer = format!("/customers/{customer}");
    for path in [
        "/",
        "/jobs/A-1",
        "/jobs/A-1/record",
        "/jobs/A-1/plan",
        "/customers",
        &customer,
        "/find?words=%3Cscript%3E",
    ] {
        let text = browser.get(path).await.text();
        assert!(!text.contains("<script>alert") && !text.contains("<img src=x"), "{path}");
    }
}

#[tokio::test]
async fn photos_are_pictures_of_a_size_and_nothing_else() {
    let shop = Shop::new();
    let mut browser = shop.as_person("First");
    let enquiry = [("name", "A. Customer"), ("job_name", "gears"), ("words", "easier hills")];
    browser.post("/enquiry", &enquiry).await;
    let picture: &[u8] = &[0xFF, 0xD8, 0xFF, 0xE0, 1, 2, 3];
    for (bytes, expected) in [
        (picture.to_vec(), StatusCode::SEE_OTHER),
        (b"<svg onload=alert(1)>".to_vec(), StatusCode::UNPROCESSABLE_ENTITY),
        (b"MZ program".to_vec(), StatusCode::UNPROCESSABLE_ENTITY),
        (Vec::new(), StatusCode::UNPROCESSABLE_ENTITY),
        (vec![0xFF; 13 * 1024 * 1024], StatusCode::PAYLOAD_TOO_LARGE),
    ] {
        let mut body = b"--x\r\nContent-Disposition: form-data; name=\"about\"\r\n\r\nhanger\r\n--x\r\n\
            Content-Disposition: form-data; name=\"photo\"; filename=\"a.jpg\"\r\n\r\n"
            .to_vec();
        body.extend_from_slice(&bytes);
        body.extend_from_slice(b"\r\n--x--\r\n");
        let request = browser
            .request(Method::POST, "/jobs/A-1/photos")
            .header("content-type", "multipart/form-data; boundary=x")
            .body(Body::from(body))
            .unwrap();
        assert_eq!(browser.send(request).await.status, expected, "{} bytes", bytes.len());
    }
    let page = browser.get("/jobs/A-1/photos").await;
    let path = page.between("<img src=\"", "\"");
    let photo = browser.get(&path).await;
    assert_eq!((photo.header("content-type"), photo.body.as_slice()), ("image/jpeg", picture));
}

#[tokio::test]
async fn broken_requests_are_told_and_stop_nothing() {
    let shop = Shop::demo();
    let mut browser = shop.as_person("Rowan");
    let long = "x".repeat(300_000);
    let endless = format!("/jobs/{}", "9".repeat(2_000));
    for path in [
        "/jobs/A-0",
        "/jobs/A-99999999999999999999",
        "/jobs/%00",
        "/stages/none",
        "/customers/%F0%9F",
        &endless,
        "/photos/..",
    ] {
        let answer = browser.get(path).await;
        assert!(
            answer.status.is_client_error() || answer.status.is_redirection(),
            "{path}: {}",
            answer.status
        );
    }
    let acts: [&[(&str, &str)]; 9] = [
        &[],
        &[("act", "measured")],
        &[("act", "measured"), ("slot", "frame"), ("dimension", "chainstay"), ("value", "NaN mm")],
        &[("act", "measured"), ("slot", "frame"), ("dimension", "chainstay"), ("value", "4105")],
        &[("act", "corrected"), ("entry", "18446744073709551615"), ("words", "why")],
        &[("act", "approved"), ("version", "-1"), ("name", "x"), ("words", "y")],
        &[("act", "promised"), ("day", "2026-02-31"), ("words", "told")],
        &[("act", "wish"), ("ceiling", "1e99 EUR")],
        &[("act", "tightened"), ("fastener", "stem-faceplate"), ("torque_nm", "inf"), ("wrench", "1")],
    ];
    for fields in acts {
        let answer = browser.post("/jobs/A-11/act", fields).await;
        assert!(answer.status.is_client_error(), "{fields:?}: {}", answer.status);
    }
    let answer = browser.post("/jobs/A-11/act", &[("act", "noted"), ("words", &long)]).await;
    assert!(answer.status.is_client_error());
    // And it still works.
    browser.does("A-11", "noted", &[("words", "still here")]).await;
}

#[tokio::test]
async fn tables_and_the_calendar_are_read_by_others() {
    let shop = Shop::demo();
    let mut browser = shop.as_person("Rowan");
    let table = browser.get("/tables/customers.csv").await;
    let mut reader = csv::Reader::from_reader(table.body.as_slice());
    assert_eq!(reader.headers().unwrap(), vec!["name", "phone", "mail", "words"]);
    assert_eq!(reader.records().filter(Result::is_ok).count(), 14);
    let made = browser.post("/calendar", &[("for", "the till")]).await;
    let path = made.between("href=\"", "\"");
    let feed = shop.as_nobody().get(&path).await;
    assert!(feed.header("content-type").starts_with("text/calendar"));
    // Another parser than the library that wrote it.
    let calendar = ICalendar::parse(feed.text()).unwrap();
    let is_event = |part: &&ICalendarComponent| part.component_type == ICalendarComponentType::VEvent;
    let events: Vec<&ICalendarComponent> = calendar.components.iter().filter(is_event).collect();
    assert!(events.len() >= 6, "{}", events.len());
    for event in events {
        for name in [ICalendarProperty::Uid, ICalendarProperty::Summary, ICalendarProperty::Dtstart] {
            let has = event.entries.iter().any(|entry| entry.name == name && !entry.values.is_empty());
            assert!(has, "{name:?} is missing");
        }
    }
    assert!(!feed.text().contains("Sedge"), "no names");
    assert_eq!(shop.as_nobody().get("/calendar/none.ics").await.status, StatusCode::NOT_FOUND);
    // The device of the calendar opens no PIN pad.
    let token = path.trim_start_matches("/calendar/").trim_end_matches(".ics").to_owned();
    let mut thief = shop.as_nobody();
    thief.cookies.push(("tablet".to_owned(), token));
    assert!(!thief.get("/sign-in").await.text().contains("Who is at the stand?"));
}
