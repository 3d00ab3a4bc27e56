//! Two tablets on one job; one of them dies; one hand takes on what another left.

use crate::rig::Driver;
use crate::shop_floor::ShopFloor;
use crate::tablet::Tablet;

/// Jobs of the invented shop: one in work, one left by Hazel.
const IN_WORK: &str = "A-5";
const LEFT: &str = "A-6";

#[tokio::test]
async fn two_tablets_show_who_did_what_and_the_quicker_one_is_kept() {
    let Some(driver) = Driver::start() else { return };
    let mut floor = ShopFloor::open().await;
    let hazel = Tablet::at(&driver, &floor, "Hazel", IN_WORK).await;
    let linden = Tablet::at(&driver, &floor, "Linden", IN_WORK).await;
    let before = hazel.record(&floor).await.len();
    hazel.reopen(&floor).await;
    // What one does the other sees, without asking.
    let step = hazel.step().await;
    assert_eq!(linden.step().await, step);
    hazel.press("#deed-done").await;
    linden.says("Hazel: done").await;
    linden.until("document.getElementById('done')?.textContent.includes('Hazel')").await;
    // Both do the same step while neither can know of the other.
    hazel.go(&floor, "front-derailleur-place").await;
    linden.go(&floor, "front-derailleur-place").await;
    floor.cut().await;
    hazel.press("#deed-done").await;
    hazel.says("1 kept here").await;
    linden.press("#deed-done").await;
    linden.says("1 kept here").await;
    floor.mend().await;
    let told = "document.querySelector('[data-read]')";
    let limit = std::time::Instant::now() + std::time::Duration::from_secs(60);
    let loser = loop {
        if hazel.asked(&format!("return Boolean({told})")).await == true {
            break (&hazel, "Linden put something else there");
        }
        if linden.asked(&format!("return Boolean({told})")).await == true {
            break (&linden, "Hazel put something else there");
        }
        assert!(std::time::Instant::now() < limit, "nobody was told");
        tokio::time::sleep(std::time::Duration::from_millis(50)).await;
    };
    loser.0.says("Somebody was quicker").await;
    loser.0.says(loser.1).await;
    hazel.all_sent().await;
    linden.all_sent().await;
    let record = hazel.record(&floor).await;
    assert_eq!(record.len(), before + 2, "{:#?}", &record[before..]);
    hazel.close().await;
    linden.close().await;
    floor.close().await;
}

#[tokio::test]
async fn a_tablet_that_dies_without_network_has_lost_nothing() {
    let Some(driver) = Driver::start() else { return };
    let mut floor = ShopFloor::open().await;
    let hazel = Tablet::at(&driver, &floor, "Hazel", IN_WORK).await;
    let linden = Tablet::at(&driver, &floor, "Linden", IN_WORK).await;
    let before = linden.record(&floor).await.len();
    floor.cut().await;
    let (mut taps, mut steps) = (0, Vec::new());
    for _ in 0..4 {
        steps.push(hazel.step().await);
        taps += hazel.work().await.len();
    }
    hazel.says(&format!("{taps} kept here")).await;
    let profile = hazel.kill();
    floor.mend().await;
    assert_eq!(linden.record(&floor).await.len(), before, "they were on the dead tablet alone");
    let hazel = Tablet::start_again(&driver, &floor, profile, "Hazel", IN_WORK).await;
    hazel.all_sent().await;
    let record = linden.record(&floor).await;
    assert_eq!(record.len(), before + taps, "{:#?}", &record[before..]);
    assert_eq!(record[before..].iter().filter(|line| line.starts_with("done: ")).count(), steps.len());
    hazel.close().await;
    linden.close().await;
    floor.close().await;
}

#[tokio::test]
async fn the_next_hand_looks_at_each_open_bolt_before_it_takes_on_what_was_left() {
    let Some(driver) = Driver::start() else { return };
    let floor = ShopFloor::open().await;
    let tablet = Tablet::at(&driver, &floor, "Linden", LEFT).await;
    tablet.says("Left by Hazel").await;
    tablet.says("Both brakes are off. Next: the crank.").await;
    let open = tablet.asked("return document.querySelectorAll('[data-seen]').length").await.as_u64().unwrap();
    assert!(open >= 4, "{open}");
    for nth in 1..=open {
        let waits = tablet.asked("return document.getElementById('take-on').disabled").await;
        assert_eq!(waits, true, "{nth} of {open} not seen yet");
        tablet.press("[data-seen][aria-pressed='false']").await;
    }
    tablet.press("#take-on").await;
    tablet.until("document.querySelector('[data-step]')").await;
    // And leaves it again, in a state in which it may be left.
    tablet.press(".more").await;
    tablet.press_words("Pause").await;
    tablet.press_words("End of the day, or I go").await;
    tablet.press_words("Stripped, parts bagged and numbered").await;
    tablet.press_words("Leave it so").await;
    tablet.says("Left by Linden").await;
    tablet.all_sent().await;
    let record = tablet.record(&floor).await;
    let last: Vec<&str> = record.iter().rev().take(3).map(String::as_str).collect();
    assert!(last[0].starts_with("paused, the day ended or the person went; left stripped"), "{last:?}");
    assert!(last[0].contains("Not at value: ") && last[0].contains("Next: "), "{last:?}");
    assert!(last[1].starts_with("Seen at hand-over: "), "{last:?}");
    assert_eq!(last[2], "read what was left, and went on");
    tablet.close().await;
    floor.close().await;
}

#[tokio::test]
async fn the_bolt_check_lists_what_was_touched_and_closes_what_is_finger_tight() {
    let Some(driver) = Driver::start() else { return };
    let floor = ShopFloor::open().await;
    let tablet = Tablet::at(&driver, &floor, "Hazel", IN_WORK).await;
    tablet.go(&floor, "wheels-seated").await;
    tablet.press("#deed-done").await;
    tablet.until("document.querySelectorAll('[data-close]').length === 2").await;
    tablet.go(&floor, "first-bolt-check").await;
    tablet.says("Finger-tight: ").await;
    tablet.press_words("Closed").await;
    tablet.until("[...document.querySelectorAll('.bolt-group h2')].some((one) => one.textContent.startsWith('At value'))").await;
    assert_eq!(tablet.step().await, "first-bolt-check", "the list stays");
    tablet.all_sent().await;
    tablet.press(".more").await;
    tablet.press_words("Bolts: open, at value, witnessed").await;
    tablet.says("Bolts that were touched").await;
    tablet.says("Off: ").await;
    assert!(!tablet.has(".bolt-group [data-close]").await, "it is only looked at");
    tablet.press_words("Back to the step").await;
    assert_eq!(tablet.step().await, "first-bolt-check");
    tablet.close().await;
    floor.close().await;
}
