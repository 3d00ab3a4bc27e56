//! One tablet, and a network that comes and goes.

use crate::rig::Driver;
use crate::shop_floor::ShopFloor;
use crate::tablet::{Tablet, Took};

/// A job of the invented shop that is agreed, with every part here and checked; one in work; one left by the first hand.
const AGREED: &str = "A-7";
const IN_WORK: &str = "A-5";

fn times(record: &[String], words: &str) -> usize {
    record.iter().filter(|line| line.contains(words)).count()
}

#[tokio::test]
async fn a_whole_job_is_done_at_the_stand_with_the_network_cut_three_times() {
    let Some(driver) = Driver::start() else { return };
    let mut floor = ShopFloor::open().await;
    let tablet = Tablet::at(&driver, &floor, "Hazel", AGREED).await;
    let first_load_ms = tablet.asked("return Number(document.getElementById('stand').dataset.readyMs)").await;
    let before = tablet.record(&floor).await.len();
    tablet.reopen(&floor).await;
    tablet.press("#begin").await;
    let (mut steps, mut took, mut offline_ms) = (Vec::new(), Vec::new(), Vec::new());
    while !tablet.has("#finished").await {
        let step = tablet.step().await;
        assert!(!steps.contains(&step), "{step} came twice: {steps:?}");
        took.extend(tablet.work().await);
        steps.push(step);
        match steps.len() {
            4 | 14 | 24 => floor.cut().await,
            // In the middle of it the page is opened anew, from what the tablet has.
            7 | 17 | 27 => {
                tablet.reopen(&floor).await;
                let ready =
                    tablet.asked("return Number(document.getElementById('stand').dataset.readyMs)").await;
                offline_ms.push(ready.as_f64().unwrap());
                tablet.says("kept here").await;
            }
            10 | 20 | 30 => floor.mend().await,
            _ => {}
        }
    }
    tablet.all_sent().await;
    let record = tablet.record(&floor).await;
    let new = &record[before..];
    // Nothing lost, nothing doubled: one entry a step, in the order in which they were done.
    assert_eq!(times(new, "the work began"), 1);
    let done = new.iter().filter(|line| line.starts_with("done: ") || line.contains("first ride done"));
    assert_eq!(done.count(), steps.len(), "{new:#?}");
    let mut sorted: Vec<&String> = new.iter().filter(|line| line.starts_with("done: ")).collect();
    sorted.sort();
    sorted.dedup();
    assert_eq!(sorted.len(), steps.len() - 1);
    let at_value =
        new.iter().filter(|line| line.contains(" N·m with wrench 3") || line.ends_with(" closed")).count();
    assert_eq!(new.len(), 1 + steps.len() + at_value, "{new:#?}");
    assert_eq!(took.len(), steps.len() + at_value);
    let told = |of: fn(&Took) -> f64| {
        let mut all: Vec<f64> = took.iter().map(of).collect();
        all.sort_by(f64::total_cmp);
        format!("{:.0} ms (median), {:.0} ms (worst)", all[all.len() / 2], all[all.len() - 1])
    };
    eprintln!(
        "{} steps and {at_value} bolts, 3 cuts, {} entries; a tap was shown after {}, written down after {}; first load {first_load_ms} ms, without network {offline_ms:?} ms",
        steps.len(),
        new.len(),
        told(|took| took.shown_ms),
        told(|took| took.kept_ms),
    );
    tablet.close().await;
    floor.close().await;
}

#[tokio::test]
async fn what_the_gate_refuses_is_taken_back_and_told() {
    let Some(driver) = Driver::start() else { return };
    let mut floor = ShopFloor::open().await;
    let tablet = Tablet::at(&driver, &floor, "Hazel", IN_WORK).await;
    let before = tablet.record(&floor).await;
    tablet.go(&floor, "tape-on").await;
    floor.cut().await;
    tablet.press("#deed-done").await;
    tablet.says("1 kept here").await;
    floor.mend().await;
    tablet.says("Not kept").await;
    tablet.go(&floor, "tape-on").await;
    assert!(!tablet.has("#done").await, "it stands as not done again");
    tablet.press("[data-read]").await;
    tablet.until("!document.querySelector('[data-read]')").await;
    tablet.reopen(&floor).await;
    assert!(!tablet.has("[data-read]").await, "what was read is not told again");
    assert_eq!(tablet.record(&floor).await, before);
    tablet.close().await;
    floor.close().await;
}

#[tokio::test]
async fn taps_wait_on_the_tablet_for_the_person_who_made_them() {
    let Some(driver) = Driver::start() else { return };
    let mut floor = ShopFloor::open().await;
    let tablet = Tablet::at(&driver, &floor, "Hazel", IN_WORK).await;
    let before = tablet.record(&floor).await.len();
    tablet.reopen(&floor).await;
    let step = tablet.step().await;
    floor.cut().await;
    tablet.press("#deed-done").await;
    tablet.says("1 kept here").await;
    tablet.client.goto("about:blank").await.unwrap();
    floor.mend().await;
    tablet.sign_in(&floor, "Linden").await;
    tablet.says("Taps of Hazel wait on this tablet").await;
    assert_eq!(tablet.record(&floor).await.len(), before);
    tablet.sign_in(&floor, "Hazel").await;
    tablet.all_sent().await;
    assert_eq!(tablet.record(&floor).await.len(), before + 1);
    tablet.go(&floor, &step).await;
    assert!(tablet.has("#done").await);
    tablet.close().await;
    floor.close().await;
}

#[tokio::test]
async fn a_sign_out_leaves_nothing_of_a_job_on_the_tablet_but_taps_that_wait() {
    let Some(driver) = Driver::start() else { return };
    let mut floor = ShopFloor::open().await;
    let tablet = Tablet::at(&driver, &floor, "Hazel", IN_WORK).await;
    let kept = "const answer = await (await caches.open('jobs')).keys(); return answer.length";
    let count = async || {
        let script = format!("const done = arguments[0]; (async () => {{ {kept} }})().then(done)");
        tablet.client.execute_async(&script, Vec::new()).await.unwrap()
    };
    assert_eq!(count().await, 3, "the page, its data and its pictures");
    tablet.press(".more").await;
    tablet.press_words("Next person signs in").await;
    tablet.until("location.pathname === '/sign-in' && document.readyState === 'complete'").await;
    assert_eq!(count().await, 0);
    floor.cut().await;
    let gone = tablet.client.goto(&floor.page("/jobs/A-5/stand")).await;
    assert!(gone.is_err() || !tablet.has("#stand").await, "nobody sees the job any more");
    tablet.close().await;
    floor.close().await;
}

#[tokio::test]
async fn values_problems_and_long_gaps_are_told_with_presses_alone() {
    let Some(driver) = Driver::start() else { return };
    let floor = ShopFloor::open().await;
    let tablet = Tablet::at(&driver, &floor, "Hazel", IN_WORK).await;
    // A chain of one pitch too few is asked about once, with the reason.
    tablet.go(&floor, "chain-fit").await;
    tablet.press("#deed-value").await;
    tablet.press("[aria-label='1 pitches less']").await;
    tablet.press("#pad-keep").await;
    tablet.says("107 pitches? The plan expects 108 pitches.").await;
    tablet.press("[aria-label='1 pitches more']").await;
    tablet.press("#pad-keep").await;
    tablet.says("taken by Hazel").await;
    // A problem with its photo.
    let photo = tempfile::Builder::new().suffix(".png").tempfile().unwrap();
    std::fs::write(photo.path(), tablet.client.screenshot().await.unwrap()).unwrap();
    tablet.press("#deed-problem").await;
    tablet.press_words("part missing").await;
    let input = tablet.client.find(fantoccini::Locator::Id("photo")).await.unwrap();
    input.send_keys(photo.path().to_str().unwrap()).await.unwrap();
    tablet.until("!document.querySelector('.picture').hidden").await;
    tablet.press_words("Carry on").await;
    tablet.says("Problem: part missing").await;
    // Forty minutes without a tap.
    tablet.asked("localStorage.setItem('tapped-A-5', String(Date.now() - 2_400_000))").await;
    tablet.go(&floor, "wheels-seated").await;
    tablet.work().await;
    tablet.says("40 min without a tap. What was it?").await;
    tablet.press_words("phone").await;
    tablet.until("!document.getElementById('gap')").await;
    tablet.all_sent().await;
    let record = tablet.record(&floor).await;
    for words in ["first look, pitches of the chain", "found: part missing", "40 min without a tap before"] {
        assert_eq!(times(&record, words), 1, "{words}: {record:#?}");
    }
    tablet.client.goto(&floor.page("/jobs/A-5/photos")).await.unwrap();
    assert!(tablet.has(".photos figure img").await);
    tablet.close().await;
    floor.close().await;
}

#[tokio::test]
async fn a_step_shows_what_it_is_about_with_and_without_network_and_hides_no_button() {
    let Some(driver) = Driver::start() else { return };
    let mut floor = ShopFloor::open().await;
    let tablet = Tablet::at(&driver, &floor, "Hazel", IN_WORK).await;
    let hidden = "return ['deed-done', 'deed-value', 'deed-problem'].filter((id) => { \
        const box = document.getElementById(id).getBoundingClientRect(); \
        return box.top < 0 || box.bottom > innerHeight; })";
    let in_sight = "return document.querySelector('[data-picture]').getBoundingClientRect().bottom \
        < document.querySelector('.stand-foot').getBoundingClientRect().top";
    let none = serde_json::Value::Array(Vec::new());
    for (step, picture) in
        [("chain-fit", "chain-and-cage"), ("rear-index", "index-error"), ("cassette-on", "cassette")]
    {
        tablet.go(&floor, step).await;
        tablet.until(&format!("document.querySelector('[data-picture={picture}] svg title')")).await;
        assert_eq!(tablet.asked(hidden).await, none, "{step}");
        assert_eq!(tablet.asked(in_sight).await, true, "{step}");
    }
    tablet.go(&floor, "finish-small").await;
    tablet.until("window.Stand").await;
    assert!(!tablet.has("[data-picture]").await, "it has nothing to show");
    floor.cut().await;
    tablet.go(&floor, "chain-fit").await;
    tablet.press("[data-picture=chain-and-cage]").await;
    tablet.until("document.querySelector('.large-picture svg')").await;
    tablet.until("document.getElementById('picture-words').textContent.includes('108 pitches')").await;
    tablet.press_words("Back to the step").await;
    assert_eq!(tablet.step().await, "chain-fit");
    floor.mend().await;
    tablet.close().await;
    floor.close().await;
}

#[tokio::test]
async fn a_tablet_that_cannot_write_takes_the_tap_back_and_says_so() {
    let Some(driver) = Driver::start() else { return };
    let floor = ShopFloor::open().await;
    let tablet = Tablet::at(&driver, &floor, "Hazel", IN_WORK).await;
    let before = tablet.record(&floor).await.len();
    tablet.reopen(&floor).await;
    let step = tablet.step().await;
    tablet
        .asked("window.Stand.Store.prototype.write = async () => { throw new Error('the disk is full') }")
        .await;
    tablet.press("#deed-done").await;
    tablet.says("This tablet cannot write").await;
    tablet.says("the disk is full").await;
    tablet.press_words("Back").await;
    assert_eq!(tablet.step().await, step);
    assert!(!tablet.has("#done").await, "it does not stand as done");
    tablet.says("all sent").await;
    assert_eq!(tablet.record(&floor).await.len(), before);
    tablet.close().await;
    floor.close().await;
}

#[tokio::test]
async fn a_tap_that_the_shop_has_is_shown_by_a_page_that_opens_on_an_older_view() {
    let Some(driver) = Driver::start() else { return };
    let mut floor = ShopFloor::open().await;
    let tablet = Tablet::at(&driver, &floor, "Hazel", IN_WORK).await;
    let step = tablet.step().await;
    // The network goes between the answer to the tap and the view that would show it.
    tablet.asked("window.Stand.Store.prototype.view = async () => undefined").await;
    tablet.press("#deed-done").await;
    tablet.all_sent().await;
    floor.cut().await;
    tablet.go(&floor, &step).await;
    tablet.until("document.getElementById('done')").await;
    floor.mend().await;
    tablet.reopen(&floor).await;
    tablet.until("document.getElementById('done')").await;
    tablet.all_sent().await;
    tablet.close().await;
    floor.close().await;
}
