//! A job from enquiry to collection in three browsers: counter, first hand, second hand.

use crate::rig::{Driver, Server, sign_in, until};
use crate::{fill, press, press_here, text, told};
use fantoccini::{Client, Locator};
use tempfile::TempDir;

/// The job that is opened here; the invented shop has fifteen.
const JOB: &str = "A-16";

async fn room(client: &Client, server: &Server, room: &str) {
    client.goto(&server.page(&format!("/jobs/{JOB}{room}"))).await.unwrap();
    until(client, "return document.readyState === 'complete'").await;
}

async fn has(client: &Client, css: &str) -> bool {
    client.find(Locator::Css(css)).await.is_ok()
}

/// Answers every value that is asked for as a careful person would: fine where looking is enough, else its usual size.
async fn measure(client: &Client, server: &Server) {
    for _ in 0..80 {
        room(client, server, "/measure").await;
        if !has(client, ".question").await {
            return;
        }
        let words = has(client, ".question input[type=radio]").await;
        if words {
            client.find(Locator::Css(".question input[type=radio]")).await.unwrap().click().await.unwrap();
            press(client, "Keep").await;
        } else {
            press(client, "Fine").await;
        }
    }
    panic!("the list does not end: {}", text(client).await);
}

/// Does every step and closes every bolt over the same forms that the pages send.
async fn work(client: &Client, server: &Server) {
    // The stand has its own tests; here its taps come as the page would send them.
    room(client, server, "/stand.json").await;
    let script = "const done = arguments[arguments.length - 1]; (async () => {\
        const job = arguments[0]; let moved = true; let count = 0;\
        while (moved) { moved = false;\
          const stand = await (await fetch(`/jobs/${job}/stand.json`)).json();\
          for (const step of stand.steps) { if (step.done) continue;\
            const body = new URLSearchParams({ act: 'done', step: step.id });\
            const answer = await fetch(`/jobs/${job}/act`, { method: 'POST', body, redirect: 'manual' });\
            if (answer.type === 'opaqueredirect') { moved = true; count += 1; } } }\
        return count; })().then(done, (fault) => done('fault: ' + fault))";
    let count = client.execute_async(script, vec![JOB.into()]).await.unwrap();
    assert!(count.as_u64().is_some(), "{count}");
}

/// Brings every bolt to its value on the page of the checks.
async fn bolts(client: &Client, server: &Server) {
    for _ in 0..60 {
        room(client, server, "/check").await;
        let closed = client.find(Locator::XPath("//button[normalize-space()='Closed']")).await;
        if closed.is_ok() {
            press(client, "Closed").await;
            continue;
        }
        let Ok(form) = client.find(Locator::XPath("//form[.//button[normalize-space()='At value']]")).await
        else {
            return;
        };
        for (name, value) in [("least_nm", "5"), ("most_nm", "6"), ("torque_nm", "5.5")] {
            let field = form.find(Locator::Css(&format!("[name={name}]"))).await;
            if let Ok(field) = field
                && field.prop("value").await.unwrap().unwrap_or_default().is_empty()
            {
                field.send_keys(value).await.unwrap();
            }
        }
        press(client, "At value").await;
    }
    panic!("bolts do not end: {}", text(client).await);
}

async fn looks(client: &Client, server: &Server, button: &str) {
    for _ in 0..20 {
        room(client, server, "/check").await;
        // Who looks first is done once the value is covered; who looks second, once both agree.
        let done = if button == "First look" { "covered" } else { "✓" };
        let script = format!(
            "const form = [...document.querySelectorAll('.look form')].find((form) => form.querySelector('button').innerText.trim() === '{button}' && \
             !form.closest('.look').innerText.includes('{done}')); if (!form) return false;\
             const label = form.closest('.look').querySelector('strong').innerText; form.querySelector('[name=value]').value = label.includes('pitches') ? 112 : label.includes('click') ? 5 : label.includes('gap') || label.includes('pads') ? 6 : 900;\
             window.before = true; form.requestSubmit(); return true"
        );
        if client.execute(&script, Vec::new()).await.unwrap() != true {
            return;
        }
        until(client, "return !window.before && document.readyState === 'complete'").await;
    }
    panic!("looks do not end: {}", text(client).await);
}

#[tokio::test(flavor = "multi_thread")]
async fn three_people_take_a_job_from_enquiry_to_collection() {
    let Some(driver) = Driver::start() else { return };
    let folder = TempDir::new().unwrap();
    let path = folder.path().to_owned();
    let server = tokio::task::spawn_blocking(move || Server::demo(&path)).await.unwrap();
    let counter = driver.client(1280, 900).await;
    let first = driver.client(800, 1280).await;
    let second = driver.client(360, 740).await;
    sign_in(&counter, &server, "Juniper", "/").await;
    sign_in(&first, &server, "Hazel", "/").await;
    sign_in(&second, &server, "Linden", "/").await;

    // The customer is known, and so is the bike: what was measured on it is taken over.
    fill(&counter, "#find", "Robin").await;
    press(&counter, "Find").await;
    press(&counter, "Robin Sedge").await;
    press(&counter, "New enquiry").await;
    fill(&counter, "#words", "A new chain and tape before the tour.").await;
    fill(&counter, "#job_name", "chain and tape").await;
    press(&counter, "Write it down").await;
    assert!(text(&counter).await.contains(JOB), "{}", text(&counter).await);
    // A gate from the wrong side, in the browser: nothing is here yet.
    room(&first, &server, "").await;
    assert!(!text(&first).await.contains("Begin the work"));
    fill(&counter, "#hook", "9").await;
    press(&counter, "It is here").await;
    for slot in ["chain", "tape"] {
        room(&counter, &server, &format!("/wish/{slot}")).await;
        press(&counter, "Take it").await;
    }
    measure(&first, &server).await;
    room(&first, &server, "").await;
    fill(&first, "#hands", "nose to hood 742 left, 742 right; hood to floor 968, 968; saddle 735").await;
    press(&first, "Write it down").await;
    room(&counter, &server, "/estimate").await;
    press(&counter, "Version 1 goes out").await;
    // Live: the technician's page learns of the customer's word by itself.
    room(&first, &server, "").await;
    press_here(&counter, "They agree to version 1").await;
    fill(&counter, "#their_words", "yes, do it").await;
    press(&counter, "They agree to version 1").await;
    until(&first, "return document.body.innerText.includes('waiting for parts')").await;
    for _ in 0..6 {
        room(&counter, &server, "/parts").await;
        if counter.find(Locator::XPath("//button[normalize-space()='It came']")).await.is_err() {
            break;
        }
        press(&counter, "It came").await;
    }
    for _ in 0..6 {
        room(&first, &server, "/parts").await;
        if first.find(Locator::XPath("//button[normalize-space()='Complete and right']")).await.is_err() {
            break;
        }
        press(&first, "Complete and right").await;
    }
    room(&first, &server, "").await;
    press(&first, "Begin the work").await;
    work(&first, &server).await;
    bolts(&first, &server).await;
    looks(&first, &server, "First look").await;
    press(&first, "First ride done").await;
    work(&first, &server).await;
    bolts(&first, &server).await;
    room(&first, &server, "/check").await;
    assert!(!text(&first).await.contains("I checked it: I sign"), "the first hand is not the second");
    for _ in 0..60 {
        room(&second, &server, "/check").await;
        if second.find(Locator::XPath("//button[normalize-space()='Does not move']")).await.is_err() {
            break;
        }
        press(&second, "Does not move").await;
    }
    looks(&second, &server, "Second look").await;
    press(&second, "I checked it: I sign").await;
    press(&second, "Second ride done").await;
    room(&second, &server, "/hand-over").await;
    assert!(text(&second).await.contains("The counter or the manager hands it over"));
    room(&counter, &server, "/hand-over").await;
    press(&counter, "Collected").await;
    let page = text(&counter).await;
    assert!(page.contains("collected"), "{page}");
    // What is over is over, and says so.
    let post = "const done = arguments[arguments.length - 1];\
        fetch('/jobs/A-16/act', { method: 'POST', headers: { 'hx-request': 'true' }, body: new URLSearchParams({ act: 'received', hook: '1' }) })\
        .then((answer) => answer.text()).then(done)";
    let answer = counter.execute_async(post, Vec::new()).await.unwrap();
    assert!(answer.as_str().unwrap().contains("the job is over"), "{answer}");
    for client in [counter, first, second] {
        client.close().await.unwrap();
    }
    tokio::task::spawn_blocking(move || drop(server)).await.unwrap();
}

#[tokio::test(flavor = "multi_thread")]
async fn a_form_with_a_fault_says_it_on_the_page_and_keeps_what_was_typed() {
    let Some(driver) = Driver::start() else { return };
    let folder = TempDir::new().unwrap();
    let path = folder.path().to_owned();
    let server = tokio::task::spawn_blocking(move || Server::demo(&path)).await.unwrap();
    let client = driver.client(800, 1280).await;
    sign_in(&client, &server, "Hazel", "/").await;
    let path = "/jobs/A-9/measure/one?slot=rear_wheel&dimension=body_length";
    client.goto(&server.page(path)).await.unwrap();
    fill(&client, "#value", "34,9").await;
    // The whole plan is judged while the value is typed.
    until(&client, "return document.getElementById('tried').innerText.includes('does not work')").await;
    fill(&client, "#value", "3490").await;
    press_here(&client, "Keep").await;
    assert!(told(&client).await.contains("outside"));
    let typed = client.execute("return document.getElementById('value').value", Vec::new()).await.unwrap();
    assert_eq!(typed, "3490");
    client.close().await.unwrap();
    tokio::task::spawn_blocking(move || drop(server)).await.unwrap();
}
