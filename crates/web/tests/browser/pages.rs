//! Every page in both lights and both widths: nothing that keeps people out, nothing that has to be pushed sideways.

use crate::rig::{Driver, MANAGER, Server, sign_in, until};
use fantoccini::Client;
use serde_json::Value;
use tempfile::TempDir;

const AXE: &str = include_str!("axe.min.js");

/// Pages without a job.
const PAGES: [&str; 9] = [
    "/",
    "/stages/collected",
    "/find?words=Ro",
    "/enquiry",
    "/customers",
    "/shop",
    "/tables",
    "/calendar",
    "/no-such-page",
];
/// Rooms of a job, and jobs in which there is most to see in them.
const ROOMS: [(&str, &[u32]); 20] = [
    ("", &[15, 10, 9, 8, 7, 5, 6, 4, 3, 2, 14]),
    ("/measure", &[11]),
    ("/measure/all", &[11]),
    ("/wish", &[10]),
    ("/wish/cassette", &[10]),
    ("/plan", &[10, 9]),
    ("/find-part?words=11-32", &[10]),
    ("/ride", &[9]),
    ("/estimate", &[9, 10]),
    ("/estimate/day", &[9]),
    ("/estimate/options", &[9]),
    ("/parts", &[8]),
    ("/stand", &[5]),
    ("/fault", &[5]),
    ("/fault/front?slow-up=yes&rubs-at-the-tail=no", &[5]),
    ("/fault/brake?soft=yes&kind=fluid-disc-brake", &[5]),
    ("/fault/noise?ring=50&cog=17&turns=2.16", &[5]),
    ("/check", &[4]),
    ("/hand-over", &[3]),
    ("/record", &[4]),
];

/// What axe finds that is serious or critical, a line each.
async fn barriers(client: &Client) -> Vec<String> {
    client.execute(AXE, Vec::new()).await.unwrap();
    let run = "const done = arguments[arguments.length - 1];\
        axe.run(document, { resultTypes: ['violations'] }).then(\
            (found) => done(found.violations.filter((one) => ['serious', 'critical'].includes(one.impact))\
                .map((one) => one.id + ': ' + one.nodes.slice(0, 3).map((node) => node.html + ' ' + node.failureSummary).join(' | '))),\
            (fault) => done(['axe did not run: ' + fault]))";
    let found = client.execute_async(run, Vec::new()).await.unwrap();
    let Value::Array(found) = found else { return vec![format!("axe said {found}")] };
    found.iter().map(|one| one.as_str().unwrap_or_default().chars().take(600).collect()).collect()
}

async fn look(client: &Client, server: &Server, path: &str, light: &str, faults: &mut Vec<String>) {
    client.goto(&server.page(path)).await.unwrap();
    // The stand is filled by its script, and has its pictures once it is kept.
    until(client, "const stand = document.getElementById('stand'); return document.readyState === 'complete' && (!stand || stand.dataset.kept === 'yes')").await;
    let set = format!("document.documentElement.dataset.light = '{light}'");
    client.execute(&set, Vec::new()).await.unwrap();
    for barrier in barriers(client).await {
        faults.push(format!("{path} ({light}): {barrier}"));
    }
    let wide = "return [document.documentElement.scrollWidth, window.innerWidth]";
    let wide = client.execute(wide, Vec::new()).await.unwrap();
    if wide[0].as_f64() > wide[1].as_f64() {
        faults.push(format!("{path}: {} px wide on a screen of {}", wide[0], wide[1]));
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn nothing_serious_keeps_anybody_out_of_any_page() {
    let Some(driver) = Driver::start() else { return };
    let folder = TempDir::new().unwrap();
    let path = folder.path().to_owned();
    let server = tokio::task::spawn_blocking(move || Server::demo(&path)).await.unwrap();
    let mut faults = Vec::new();
    let mut seen = 0;
    for ((wide, high), light) in [((1280, 900), "light"), ((360, 740), "dark")] {
        let client = driver.client(wide, high).await;
        look(&client, &server, "/sign-in", light, &mut faults).await;
        // What is looked with sees something where there is something.
        let picture = "document.querySelector('main').append(document.createElement('img'))";
        client.execute(picture, Vec::new()).await.unwrap();
        assert!(!barriers(&client).await.is_empty());
        sign_in(&client, &server, MANAGER, "/").await;
        let customer =
            client.execute("return document.querySelector('a.job').href", Vec::new()).await.unwrap();
        assert!(customer.as_str().unwrap().contains("/jobs/"));
        for path in PAGES {
            look(&client, &server, path, light, &mut faults).await;
            seen += 1;
        }
        for (room, jobs) in ROOMS {
            for job in jobs {
                look(&client, &server, &format!("/jobs/A-{job}{room}"), light, &mut faults).await;
                seen += 1;
            }
        }
        client.close().await.unwrap();
    }
    tokio::task::spawn_blocking(move || drop(server)).await.unwrap();
    assert!(faults.is_empty(), "{} faults on {seen} pages:\n{}", faults.len(), faults.join("\n"));
    assert!(seen > 50, "{seen}");
}
