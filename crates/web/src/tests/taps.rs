//! Taps as tablets send them: kept, repeated, refused, overtaken, under another name, from a clock that is wrong.

use super::{Browser, Shop};
use axum::body::Body;
use axum::http::{Method, StatusCode};
use serde_json::{Value, json};
use shop::Event;

const JOB: &str = "A-5";
/// The first step that is open in this job of the invented shop, and one that waits for it.
const NEXT: &str = "wheels-seated";
const LATER: &str = "tape-on";

fn done(step: &str) -> Value {
    json!({ "kind": "done", "step": step, "turned": [], "strips": false, "moves_something": true })
}

fn key(number: u32) -> String {
    uuid::Uuid::from_u128(0x5EED_0000 + u128::from(number)).to_string()
}

impl Browser<'_> {
    /// Sends taps by a person, `behind_ms` by a clock that is so much behind; the whole answer.
    async fn taps(
        &mut self,
        by: &str,
        seen: usize,
        behind_ms: i64,
        events: &[(u32, Value)],
    ) -> (StatusCode, Value) {
        let now_ms = crate::clock::now().0 - behind_ms;
        let taps: Vec<Value> = events
            .iter()
            .map(|(number, event)| json!({ "seen": seen, "tap": { "key": key(*number), "at_ms": now_ms - 60_000, "by": by, "event": event } }))
            .collect();
        let body = json!({ "now_ms": now_ms, "taps": taps }).to_string();
        let request = self
            .request(Method::POST, &format!("/jobs/{JOB}/taps"))
            .header("content-type", "application/json")
            .header("sec-fetch-site", "same-origin")
            .body(Body::from(body))
            .unwrap();
        let answer = self.send(request).await;
        (answer.status, serde_json::from_slice(&answer.body).unwrap())
    }

    async fn became(&mut self, by: &str, seen: usize, events: &[(u32, Value)]) -> Vec<String> {
        let (status, answer) = self.taps(by, seen, 0, events).await;
        assert_eq!(status, StatusCode::OK, "{answer}");
        let answers = answer["answers"].as_array().unwrap();
        answers.iter().map(|one| one["became"].as_str().unwrap().to_owned()).collect()
    }

    async fn view(&mut self) -> Value {
        serde_json::from_slice(&self.get(&format!("/jobs/{JOB}/stand.json")).await.body).unwrap()
    }
}

fn version(shop: &Shop) -> usize {
    shop.house.card(JOB).unwrap().job.version()
}

fn times_done(shop: &Shop, id: &str) -> usize {
    let card = shop.house.card(JOB).unwrap();
    card.job
        .entries()
        .iter()
        .filter(|entry| matches!(&entry.event, Event::Done { step, .. } if step.0 == id))
        .count()
}

#[tokio::test]
async fn a_tap_is_kept_once_however_often_it_is_sent() {
    let shop = Shop::demo();
    let mut hazel = shop.as_person("Hazel");
    let before = version(&shop);
    let close = json!({ "kind": "closed-by-hand", "fastener": "wheel-front" });
    let both = [(1, done(NEXT)), (2, close)];
    assert_eq!(hazel.became("Hazel", before, &both).await, ["kept", "kept"]);
    assert_eq!(version(&shop), before + 2);
    for _ in 0..3 {
        assert_eq!(hazel.became("Hazel", before, &both).await, ["repeated", "repeated"]);
    }
    assert_eq!((version(&shop), times_done(&shop, NEXT)), (before + 2, 1));
    // The same key on something else is no repeat.
    let other = json!({ "kind": "noted", "words": "something else" });
    assert_eq!(hazel.became("Hazel", before, &[(1, other)]).await, ["refused"]);
    let view = hazel.view().await;
    assert_eq!(view["fasteners"]["wheel-front"]["state"], "at value");
    assert_eq!(view["fasteners"]["wheel-rear"]["state"], "finger-tight");
}

#[tokio::test]
async fn what_the_gate_refuses_is_told_and_what_follows_is_judged_all_the_same() {
    let shop = Shop::demo();
    let mut hazel = shop.as_person("Hazel");
    let before = version(&shop);
    let (_, answer) = hazel.taps("Hazel", before, 0, &[(1, done(LATER)), (2, done(NEXT))]).await;
    assert_eq!(answer["answers"][0]["became"], "refused");
    assert!(answer["answers"][0]["why"].as_array().unwrap().len() > 3, "{answer}");
    assert_eq!(answer["answers"][1]["became"], "kept");
    assert_eq!((times_done(&shop, LATER), times_done(&shop, NEXT)), (0, 1));
    // A torque outside what is wanted, a step that is not in the book, a tap that is none.
    let nm = |torque: &str| json!({ "kind": "tightened", "fastener": "rear-derailleur", "torque": torque, "least": "8 N·m", "most": "10 N·m", "wrench": "wrench 1" });
    let events =
        [(3, done("rear-derailleur-on")), (4, nm("14 N·m")), (5, nm("9 N·m")), (6, done("no-such-step"))];
    assert_eq!(hazel.became("Hazel", before, &events).await, ["kept", "refused", "kept", "refused"]);
    // What a newer page taps and this program does not know holds up nothing else.
    let events = [(7, json!({ "kind": "magic" })), (8, json!({ "kind": "noted", "words": "after it" }))];
    assert_eq!(hazel.became("Hazel", before, &events).await, ["refused", "kept"]);
}

#[tokio::test]
async fn the_quicker_of_two_is_kept_and_the_other_is_told_who_it_was() {
    let shop = Shop::demo();
    let (mut hazel, mut linden) = (shop.as_person("Hazel"), shop.as_person("Linden"));
    let before = version(&shop);
    assert_eq!(hazel.became("Hazel", before, &[(1, done(NEXT))]).await, ["kept"]);
    let (_, answer) = linden.taps("Linden", before, 0, &[(2, done(NEXT))]).await;
    assert_eq!(answer["answers"][0]["became"], "conflict");
    assert!(answer["answers"][0]["why"][0].as_str().unwrap().starts_with("Hazel "), "{answer}");
    assert_eq!(times_done(&shop, NEXT), 1);
    // Who has seen that it is done may do it again.
    let now = version(&shop);
    assert_eq!(linden.became("Linden", now, &[(3, done(NEXT))]).await, ["kept"]);
    assert_eq!(times_done(&shop, NEXT), 2);
}

#[tokio::test]
async fn taps_go_in_under_the_name_that_made_them_or_wait() {
    let shop = Shop::demo();
    let before = version(&shop);
    let mut linden = shop.as_person("Linden");
    assert_eq!(linden.became("Hazel", before, &[(1, done(NEXT))]).await, ["other-person"]);
    // The counter tells what it finds and touches nothing.
    let mut counter = shop.as_person("Juniper");
    let problem = json!({ "kind": "problem", "step": NEXT, "words": "part missing", "stops": false });
    assert_eq!(
        counter.became("Juniper", before, &[(2, done(NEXT)), (3, problem)]).await,
        ["refused", "kept"]
    );
    assert_eq!(times_done(&shop, NEXT), 0);
    let (status, _) = shop.as_nobody().taps("Hazel", before, 0, &[(4, done(NEXT))]).await;
    assert_eq!(status, StatusCode::UNAUTHORIZED);
    let many: Vec<(u32, Value)> = (10..80).map(|number| (number, done(NEXT))).collect();
    let (status, _) = linden.taps("Linden", before, 0, &many).await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
}

#[tokio::test]
async fn the_clock_of_a_tablet_that_is_wrong_is_put_right() {
    let shop = Shop::demo();
    let mut hazel = shop.as_person("Hazel");
    let before = version(&shop);
    // A tablet a day behind, one a day ahead: each tap was made a minute before it was sent.
    for (number, behind_ms, step) in [(1, 86_400_000, NEXT), (2, -86_400_000, "front-derailleur-place")] {
        let (_, answer) = hazel.taps("Hazel", before, behind_ms, &[(number, done(step))]).await;
        assert_eq!(answer["answers"][0]["became"], "kept", "{answer}");
        let card = shop.house.card(JOB).unwrap();
        let ago = crate::clock::now().0 - card.job.entries().last().unwrap().at.0;
        assert!((59_000..120_000).contains(&ago), "{ago}");
    }
}

#[tokio::test]
async fn a_photo_is_kept_once_and_stands_among_those_of_the_job() {
    let shop = Shop::demo();
    let mut hazel = shop.as_person("Hazel");
    let picture = [&[0x89, b'P', b'N', b'G', 0x0D, 0x0A, 0x1A, 0x0A][..], &[7; 200]].concat();
    let mut send = async |bytes: Vec<u8>| {
        let request = hazel
            .request(Method::POST, &format!("/jobs/{JOB}/stand/photo?about=thread%20damaged"))
            .header("content-type", "image/png")
            .header("sec-fetch-site", "same-origin")
            .body(Body::from(bytes))
            .unwrap();
        hazel.send(request).await.status
    };
    assert_eq!(send(picture.clone()).await, StatusCode::OK);
    assert_eq!(send(picture).await, StatusCode::OK);
    assert!(send(b"no picture".to_vec()).await.is_client_error());
    assert!(send(Vec::new()).await.is_client_error());
    let card = shop.house.card(JOB).unwrap();
    assert_eq!(shop.house.store.photos_of(&card.record.id).unwrap().len(), 1);
}

#[tokio::test]
async fn the_stand_knows_what_the_hand_has_to_know_before_it_reaches() {
    let shop = Shop::demo();
    let mut hazel = shop.as_person("Hazel");
    let view = hazel.view().await;
    assert_eq!((view["customer"].as_str(), view["hook"].as_str()), (Some("Lark"), Some("5")));
    assert!(!view.to_string().contains("Hollis"), "the first name and no more");
    let step =
        |id: &str| view["steps"].as_array().unwrap().iter().find(|step| step["id"] == id).unwrap().clone();
    assert_eq!(step("chain-fit")["values"][0]["expected"], 108.0);
    assert_eq!(step("chain-fit")["no_way_back"], true);
    assert_eq!(step("rear-derailleur-on")["consumable"], "grease");
    assert!(step("tape-on")["waits_for"].as_array().unwrap().iter().any(|first| first == "first-ride"));
    let anchor = &view["fasteners"]["brake-anchor-front"];
    assert_eq!((anchor["least"].as_f64(), anchor["most"].as_f64()), (Some(6.0), Some(8.0)));
    assert_eq!((anchor["hurts"].as_bool(), anchor["state"].as_str()), (Some(true), Some("off")));
    // What second eyes will read stays covered.
    assert!(view["looks"].as_object().unwrap().is_empty());
    let look = json!({ "kind": "looked", "point": "chain-pitches", "look": "first", "value": "108" });
    assert_eq!(hazel.became("Hazel", version(&shop), &[(1, look)]).await, ["kept"]);
    assert_eq!(hazel.view().await["looks"]["chain-pitches"], "Hazel");
    let page = hazel.get(&format!("/jobs/{JOB}/stand")).await.text();
    assert!(!page.contains("Lark"), "the shell holds nothing of the job");
    let worker = hazel.get("/worker.js").await;
    assert!(worker.header("content-type").starts_with("text/javascript"));
}

#[tokio::test]
async fn a_step_of_setting_knows_its_fault_page_and_the_check_goes_over_every_bolt() {
    let shop = Shop::demo();
    let view = shop.as_person("Hazel").view().await;
    let steps = view["steps"].as_array().unwrap();
    let of = |id: &str| steps.iter().find(|step| step["id"] == id).unwrap();
    assert_eq!(of("rear-index")["fault"], format!("/jobs/{JOB}/fault"));
    assert_eq!(of("front-cable")["fault"], format!("/jobs/{JOB}/fault/front"));
    assert_eq!(of("brakes-set")["fault"], format!("/jobs/{JOB}/fault/brake"));
    assert!(of("chain-fit")["fault"].is_null());
    let over_all: Vec<&Value> = steps.iter().filter(|step| step["all_bolts"] == true).collect();
    assert_eq!((over_all.len(), &over_all[0]["id"]), (1, &json!("first-bolt-check")));
    for step in steps.iter().filter(|step| step["fault"].is_string()) {
        let page = shop.as_person("Hazel").get(step["fault"].as_str().unwrap()).await;
        assert_eq!(page.status, StatusCode::OK, "{step}");
    }
}

#[tokio::test]
async fn a_step_has_the_picture_of_what_it_is_about_or_none() {
    let shop = Shop::demo();
    let mut hazel = shop.as_person("Hazel");
    let view = hazel.view().await;
    let read = |answer: super::Answer| serde_json::from_slice::<Value>(&answer.body).unwrap();
    let path = format!("/jobs/{JOB}/stand/pictures.json");
    let drawn = read(hazel.get(&path).await);
    assert_eq!(drawn["mark"], view["pictures"]);
    let of = |step: &str| drawn["steps"][step].as_str().map(str::to_owned);
    for (step, picture) in [
        ("chain-fit", "chain-and-cage"),
        ("rear-index", "index-error"),
        ("levers-on", "levers"),
        ("tape-on", "tape"),
        ("cassette-on", "cassette"),
        ("brakes-off", "calipers"),
        ("cables-out", "cables"),
    ] {
        assert_eq!(of(step).as_deref(), Some(picture), "{step}");
    }
    for step in ["clean-and-clamp", "finish-small", "first-bolt-check"] {
        assert_eq!(of(step), None, "{step}");
    }
    let mut seen = 0;
    for (step, name) in drawn["steps"].as_object().unwrap() {
        assert!(view["steps"].as_array().unwrap().iter().any(|one| one["id"] == step.as_str()), "{step}");
        let picture = &drawn["pictures"][name.as_str().unwrap()];
        let text = |key: &str| picture[key].as_str().unwrap().to_owned();
        assert!(text("svg").starts_with("<svg") && !text("svg").contains("style="), "{step}");
        assert!(text("title").len() > 3 && text("words").len() > 10, "{step}: {}", text("words"));
        seen += 1;
    }
    assert!(seen > 20, "{seen}");
    // Another tap leaves the pictures alone; another measure is another mark.
    hazel.does(JOB, "noted", &[("words", "the cat was here")]).await;
    assert_eq!(hazel.view().await["pictures"], view["pictures"]);
    let nobody = shop.as_nobody().get(&path).await;
    assert_ne!(nobody.status, StatusCode::OK);
}
