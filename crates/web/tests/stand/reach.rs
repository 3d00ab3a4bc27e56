//! What a hand in a glove reaches at arm's length, on a tablet and on a telephone.

use crate::rig::{Driver, sign_in, until};
use crate::shop_floor::ShopFloor;
use crate::tablet::Tablet;
use serde_json::Value;

/// A millimetre of a screen, CSS pixels: 96 to the inch.
const MM: f64 = 96.0 / 25.4;

/// Buttons on the screen that are smaller than so many millimetres either way.
async fn smaller_than(tablet: &Tablet, css: &str, mm: f64) -> Value {
    let script = format!(
        "return [...document.querySelectorAll('{css}')].filter((one) => {{ const box = one.getBoundingClientRect(); \
         return box.height < {0} - 0.5 || box.width < {0} - 0.5; }}).map((one) => one.textContent)",
        mm * MM
    );
    tablet.asked(&script).await
}

#[tokio::test]
async fn what_is_pressed_is_as_large_as_a_knuckle_and_what_is_read_as_an_arm_is_long() {
    let Some(driver) = Driver::start() else { return };
    let floor = ShopFloor::open().await;
    let tablet = Tablet::at(&driver, &floor, "Hazel", "A-5").await;
    tablet.go(&floor, "chain-fit").await;
    let none = Value::Array(Vec::new());
    assert_eq!(smaller_than(&tablet, "#stand button", 20.0).await, none);
    // Capital letters of this typeface are 0.727 of its size: the text stands 5.2 mm high, a value twice that.
    let cap_mm = |css: &str| {
        format!(
            "return parseFloat(getComputedStyle(document.querySelector('{css}')).fontSize) * 0.727 / {MM}"
        )
    };
    for (css, least) in [(".use dd", 5.15), ("h1", 5.15), (".bolt .big", 10.3)] {
        let found = tablet.asked(&cap_mm(css)).await.as_f64().unwrap();
        assert!(found >= least, "{css}: {found} mm");
    }
    tablet.press("#deed-value").await;
    assert_eq!(smaller_than(&tablet, ".keys button, .around button", 25.0).await, none);
    let typing =
        "return [...document.querySelectorAll('#stand input:not([type=file]), #stand textarea')].length";
    assert_eq!(tablet.asked(typing).await, 0, "no keyboard comes up");
    tablet.press_words("Back").await;
    tablet.press("#deed-problem").await;
    assert_eq!(smaller_than(&tablet, "#stand button", 20.0).await, none);
    // Nothing sticks out at the side of a telephone.
    tablet.close().await;
    let telephone = driver.client(360, 740).await;
    sign_in(&telephone, floor.server(), "Hazel", "/jobs/A-5/stand").await;
    until(&telephone, "return document.getElementById('stand')?.dataset.ready === 'yes'").await;
    let wide = telephone.execute("return document.documentElement.scrollWidth", Vec::new()).await.unwrap();
    assert_eq!(wide, 360);
    telephone.close().await.unwrap();
    floor.close().await;
}
