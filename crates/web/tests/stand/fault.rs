//! The pages that find a fault, worked by presses alone.

use crate::rig::{Driver, MANAGER, sign_in, until};
use crate::shop_floor::ShopFloor;
use fantoccini::Locator;
use std::time::Duration;

#[tokio::test]
async fn a_press_goes_on_to_the_next_word_and_the_answer_follows() {
    let Some(driver) = Driver::start() else { return };
    let floor = ShopFloor::open().await;
    let client = driver.client(800, 1280).await;
    sign_in(&client, floor.server(), MANAGER, "/jobs/A-5/fault").await;
    until(&client, "return document.body.innerText.includes('nothing was tried yet')").await;
    for gear in 2..=11 {
        let slow = format!("document.querySelector('[name=l{gear}] + button').click(); ").repeat(2);
        client.execute(&slow, Vec::new()).await.unwrap();
        let css = format!("[name=l{gear}] + button[data-word=slow]");
        assert!(client.find(Locator::Css(&css)).await.is_ok(), "gear {gear}");
    }
    until(
        &client,
        "return document.querySelector('#answer tbody th')?.innerText.startsWith('Cable too slack')",
    )
    .await;
    until(&client, "return document.getElementById('answer').innerText.includes('the limits must hold the chain before')").await;
    // The address holds it all: the same page comes again.
    let address = client.current_url().await.unwrap();
    client.goto(address.as_str()).await.unwrap();
    until(&client, "return document.querySelectorAll('button[data-word=slow]').length === 10").await;
    client.close().await.unwrap();
    floor.close().await;
}

#[tokio::test]
async fn a_noise_is_tapped_along_with_two_large_buttons() {
    let Some(driver) = Driver::start() else { return };
    let floor = ShopFloor::open().await;
    let client = driver.client(800, 1280).await;
    sign_in(&client, floor.server(), MANAGER, "/jobs/A-5/fault/noise").await;
    until(&client, "return document.querySelector('.tap-along')?.hidden === false").await;
    let size = "return [...document.querySelectorAll('button.tap')].map((one) => one.getBoundingClientRect()).every((box) => box.height > 190 && box.width > 300)";
    until(&client, size).await;
    // A ring of 34 and a chain of 102 pitches: one of its links ticks every three turns.
    client
        .execute("document.getElementById('chain').value = '102'; const rings = [...document.getElementById('ring').options].map((one) => one.value); if (!rings.includes('34')) throw new Error(rings.join()); document.getElementById('ring').value = '34';", Vec::new())
        .await
        .unwrap();
    let press = async |kind: &str| {
        let button = client.find(Locator::Css(&format!("[data-taps={kind}]"))).await.unwrap();
        button.click().await.unwrap();
    };
    for turn in 0..10 {
        press("crank").await;
        if turn % 3 == 0 {
            press("tick").await;
        }
        tokio::time::sleep(Duration::from_millis(400)).await;
    }
    until(&client, "return document.querySelector('[data-taps=crank] strong').textContent === '10 turns'")
        .await;
    until(&client, "return document.querySelector('[data-taps=tick] strong').textContent === '4 noises'")
        .await;
    until(&client, "return /every (2.9|3.0|3.1)[0-9] ±/.test(document.getElementById('answer').innerText)")
        .await;
    until(&client, "return document.getElementById('answer').innerText.includes('ink of the chain')").await;
    // The keyboard taps as well, and a new row of taps forgets the old one.
    client.execute("document.querySelector('[data-taps-anew]').click()", Vec::new()).await.unwrap();
    until(&client, "return document.querySelector('[data-taps=crank] strong').textContent === '0 turns'")
        .await;
    until(&client, "return document.getElementById('answer').innerText.includes('ap along')").await;
    let button = client.find(Locator::Css("[data-taps=crank]")).await.unwrap();
    button.send_keys(" ").await.unwrap();
    until(&client, "return document.querySelector('[data-taps=crank] strong').textContent === '1 turn'")
        .await;
    // Without pedalling there is nothing to tap.
    client.execute("const comes = document.getElementById('comes'); comes.value = 'rolling'; comes.dispatchEvent(new Event('change', { bubbles: true }))", Vec::new()).await.unwrap();
    until(&client, "return document.getElementById('taps').hidden && document.getElementById('answer').innerText.includes('ub, spoke, brake or tyre')").await;
    client.close().await.unwrap();
    floor.close().await;
}
