//! The app in a real browser: a job from enquiry to collection by three people, and every page looked at for what keeps
//! people out (axe-core, rules of WCAG 2.2 A and AA), in both lights, narrow and wide.

#![expect(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "a page that cannot be used has failed; waits need a clock"
)]
#![expect(clippy::panic, reason = "a wait that came to nothing says on which page")]

#[path = "../rig/rig.rs"]
mod rig;

mod pages;
mod walk;

use fantoccini::{Client, Locator};
use rig::until;

/// Types into a field, in place of what is in it.
async fn fill(client: &Client, field: &str, text: &str) {
    let element = client.find(Locator::Css(field)).await.unwrap_or_else(|_| panic!("no field {field}"));
    element.clear().await.unwrap();
    element.send_keys(text).await.unwrap();
}

/// Presses the first button or link with this text, and waits for the page behind it.
async fn press(client: &Client, text: &str) {
    client.execute("window.before = true", Vec::new()).await.unwrap();
    press_here(client, text).await;
    until(client, "return !window.before && document.readyState === 'complete'").await;
}

/// Presses a button and stays on the page.
async fn press_here(client: &Client, text: &str) {
    // What stands on the page comes before what stands in the bar.
    let within = |whole: &str| {
        format!("{whole}//button[normalize-space()='{text}'] | {whole}//a[normalize-space()='{text}']")
    };
    let mut found = client.find(Locator::XPath(&within("//main"))).await;
    if found.is_err() {
        found = client.find(Locator::XPath(&within(""))).await;
    }
    let Ok(button) = found else {
        let page =
            client.execute("return location.pathname + '\\n' + document.body.innerText", Vec::new()).await;
        panic!("no button `{text}` on {page:?}")
    };
    // As a hand would: what is covered or out of sight cannot be pressed.
    client
        .execute(
            "arguments[0].scrollIntoView({block: 'center'})",
            vec![serde_json::to_value(&button).unwrap()],
        )
        .await
        .unwrap();
    button.click().await.unwrap();
}

/// The text of the page.
async fn text(client: &Client) -> String {
    let text = client.execute("return document.body.innerText", Vec::new()).await.unwrap();
    text.as_str().unwrap_or_default().to_owned()
}

/// Waits for a notice and gives its words.
async fn told(client: &Client) -> String {
    until(client, "return !!document.querySelector('#notice [role=alert], main [role=alert]')").await;
    let script = "return document.querySelector('#notice [role=alert], main [role=alert]').innerText";
    client.execute(script, Vec::new()).await.unwrap().as_str().unwrap_or_default().to_owned()
}
