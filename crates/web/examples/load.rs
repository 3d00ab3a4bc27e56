//! How fast pages and taps are in a shop with many jobs: `cargo run --release -p web --example load -- 20000 FOLDER`.
//!
//! Fills the store in FOLDER with copies of the invented shop's jobs until there are so many, opens the app over it, tries
//! values as they are typed, and asks for pages a hundred times a second while eight tablets tick steps. Times are taken
//! from the moment at which a request was due, so that a server that falls behind does not hide it. Filling takes memory
//! that a shop does not: run it a second time over the full folder for what the app takes alone.

use http_body_util::{BodyExt, Full};
use hyper_util::client::legacy::Client;
use hyper_util::client::legacy::connect::HttpConnector;
use hyper_util::rt::TokioExecutor;
use shop::{Entry, EntryKey, Moment, Stage};
use std::error::Error;
use std::net::SocketAddr;
use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};
use store::{NewJob, Place, Standing, Store, Which};
use web::{Server, Settings};

type Fault = Box<dyn Error + Send + Sync>;
type Http = Client<HttpConnector, Full<axum::body::Bytes>>;

const PAGES_A_SECOND: u32 = 100;
const TABLETS: usize = 8;
const SECONDS: u64 = 20;

fn settings(folder: &Path) -> Result<Settings, Fault> {
    let text = include_str!("../../cogwright/shop.toml");
    let workshop = intake::read_shop(intake::Source { name: "shop.toml", text })
        .map_err(|problems| format!("{problems:?}"))?;
    Ok(Settings {
        place: Place::Folder(folder.to_owned()),
        listen: SocketAddr::from(([127, 0, 0, 1], 0)),
        tls: None,
        address: None,
        branch: "A".to_owned(),
        workshop,
        own_rules: Vec::new(),
        demo: true,
        first_manager: None,
    })
}

/// Copies jobs of the invented shop until there are so many; one of a hundred is still in the shop.
fn fill(folder: &Path, jobs: usize) -> Result<(), Fault> {
    let store = Store::open(&Place::Folder(folder.to_owned()))?;
    let all = store.jobs(&Which::All, None, 100)?;
    let stage = |key: &str| Stage::ALL.into_iter().find(|stage| stage.key() == key).unwrap_or(Stage::Enquiry);
    let mut key = 1_u128 << 64;
    // Numbers are given in order: a folder that an earlier run has filled has the last one.
    if store.job_numbered(&format!("A-{jobs}"))?.is_some() {
        return Ok(());
    }
    for number in all.len()..jobs {
        let over =
            |line: &&store::JobLine| matches!(stage(&line.job.stage), Stage::FollowedUp | Stage::Collected);
        let is_over = number % 100 != 0;
        let pick = all.iter().filter(|line| over(line) == is_over).nth(number % 2).ok_or("no job to copy")?;
        let first: Vec<Entry> = store
            .job(&pick.job.id)?
            .job
            .entries()
            .iter()
            .map(|entry| {
                key += 1;
                Entry { key: EntryKey(key), ..entry.clone() }
            })
            .collect();
        let standing = Standing {
            stage: stage(&pick.job.stage),
            held: pick.job.held.clone(),
            promised_day: pick.job.promised_day,
        };
        let customer = store.add_customer(&format!("Customer {number}"), Moment(1))?.id;
        let new = NewJob { branch: "A".to_owned(), name: pick.job.name.clone(), customer, bike: None };
        store.open_job(&new, &first, &standing, Moment(number as i64))?;
    }
    Ok(())
}

async fn send(
    http: &Http,
    address: SocketAddr,
    cookie: &str,
    path: &str,
    form: Option<String>,
) -> Result<u16, Fault> {
    let mut request = axum::http::Request::builder()
        .uri(format!("http://{address}{path}"))
        .header("cookie", cookie)
        .header("accept-encoding", "gzip");
    if form.is_some() {
        request = request.method("POST").header("content-type", "application/x-www-form-urlencoded");
    }
    let request = request.body(Full::new(form.unwrap_or_default().into()))?;
    let answer = http.request(request).await?;
    let status = answer.status().as_u16();
    answer.into_body().collect().await?;
    Ok(status)
}

async fn sign_in(http: &Http, address: SocketAddr, name: &str, password: &str) -> Result<String, Fault> {
    let request = axum::http::Request::builder()
        .method("POST")
        .uri(format!("http://{address}/sign-in"))
        .header("content-type", "application/x-www-form-urlencoded")
        .body(Full::new(format!("name={name}&password={password}").into()))?;
    let answer = http.request(request).await?;
    let cookie = answer.headers().get("set-cookie").ok_or("no session")?.to_str()?;
    Ok(cookie.split(';').next().unwrap_or_default().to_owned())
}

fn memory_mb() -> f64 {
    let text = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = text.lines().find(|line| line.starts_with("VmRSS:")).unwrap_or_default();
    line.split_whitespace().nth(1).and_then(|kb| kb.parse::<f64>().ok()).unwrap_or(f64::NAN) / 1024.0
}

fn tell(what: &str, mut times: Vec<f64>) {
    times.sort_by(f64::total_cmp);
    let at =
        |share: f64| times.get(((times.len() as f64 - 1.0) * share) as usize).copied().unwrap_or(f64::NAN);
    println!(
        "{what}: {} requests, median {:.1} ms, p99 {:.1} ms, longest {:.1} ms",
        times.len(),
        at(0.5),
        at(0.99),
        at(1.0)
    );
}

#[expect(clippy::disallowed_methods, reason = "measuring times is what this is for")]
fn main() -> Result<(), Fault> {
    let jobs: usize = std::env::args().nth(1).map_or(Ok(20_000), |text| text.parse())?;
    let path =
        std::env::args_os().nth(2).ok_or("name a folder for the records, behind the number of jobs")?;
    let path = std::path::PathBuf::from(path);
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build()?;
    drop(runtime.block_on(Server::open(settings(&path)?))?);
    let begun = Instant::now();
    fill(&path, jobs)?;
    println!("{jobs} jobs written in {:.1} s", begun.elapsed().as_secs_f64());
    let begun = Instant::now();
    let server = runtime.block_on(Server::open(settings(&path)?))?;
    println!("opened in {:.0} ms", begun.elapsed().as_secs_f64() * 1_000.0);
    let address = server.address()?;
    let (name, password, _) = server.demo_sign_in().ok_or("no sign-in")?;
    runtime.spawn(server.run(std::future::pending()));
    println!("idle: {:.0} MB", memory_mb());
    runtime.block_on(load(address, jobs, name, password))?;
    println!("after the load: {:.0} MB", memory_mb());
    Ok(())
}

#[expect(clippy::disallowed_methods, reason = "measuring times is what this is for")]
async fn load(address: SocketAddr, jobs: usize, name: &str, password: &str) -> Result<(), Fault> {
    let http: Http = Client::builder(TokioExecutor::new()).build(HttpConnector::new());
    let manager = sign_in(&http, address, name, password).await?;
    let technician = sign_in(&http, address, "Hazel", password).await?;
    let paths: Vec<String> =
        ["/".to_owned(), "/stages/collected".to_owned(), "/find?words=Customer+1".to_owned()]
            .into_iter()
            .chain([5, 9, 10, jobs / 2, jobs - 1].into_iter().map(|number| format!("/jobs/A-{number}")))
            .chain(
                [
                    "/jobs/A-9/plan",
                    "/jobs/A-9/estimate",
                    "/jobs/A-9/record",
                    "/jobs/A-11/measure",
                    "/jobs/A-8/parts",
                    "/jobs/A-5/stand",
                    "/jobs/A-5/stand.json",
                    "/jobs/A-4/check",
                    "/customers",
                ]
                .map(str::to_owned),
            )
            .collect();
    for path in &paths {
        let begun = Instant::now();
        let status = send(&http, address, &manager, path, None).await?;
        println!("  {status} {path} {:.1} ms the first time", begun.elapsed().as_secs_f64() * 1_000.0);
    }
    let mut tried = Vec::new();
    for turn in 0..300 {
        let begun = Instant::now();
        let value = 405.0 + f64::from(turn) / 10.0;
        let form = format!("slot=frame&dimension=chainstay&origin=found&value={value:.1}");
        let status = send(&http, address, &manager, "/jobs/A-11/measure/try", Some(form)).await?;
        if status != 200 {
            return Err(format!("a value was answered {status}").into());
        }
        tried.push(begun.elapsed().as_secs_f64() * 1_000.0);
    }
    tell("a value judged while it is typed", tried);
    let (http, paths) = (Arc::new(http), Arc::new(paths));
    let begun = Instant::now() + Duration::from_millis(100);
    let mut ticking = Vec::new();
    for tablet in 0..TABLETS {
        let (http, cookie) = (http.clone(), technician.clone());
        ticking.push(tokio::spawn(async move {
            let mut times = Vec::new();
            for tick in 0..SECONDS * 2 {
                let due = begun + Duration::from_millis(500 * tick + 60 * tablet as u64);
                tokio::time::sleep_until(due.into()).await;
                let form = format!("act=noted&words=tablet+{tablet}+tick+{tick}");
                let status = send(&http, address, &cookie, "/jobs/A-5/act", Some(form)).await?;
                if status != 303 {
                    return Err::<Vec<f64>, Fault>(format!("a tick was answered {status}").into());
                }
                times.push(due.elapsed().as_secs_f64() * 1_000.0);
            }
            Ok(times)
        }));
    }
    let mut asked = Vec::new();
    for turn in 0..PAGES_A_SECOND * SECONDS as u32 {
        let due = begun + Duration::from_secs_f64(f64::from(turn) / f64::from(PAGES_A_SECOND));
        tokio::time::sleep_until(due.into()).await;
        let (http, cookie, paths) = (http.clone(), manager.clone(), paths.clone());
        asked.push(tokio::spawn(async move {
            let path = &paths[turn as usize % paths.len()];
            let status = send(&http, address, &cookie, path, None).await?;
            if status != 200 {
                return Err::<f64, Fault>(format!("{path} was answered {status}").into());
            }
            Ok(due.elapsed().as_secs_f64() * 1_000.0)
        }));
    }
    let mut times = Vec::new();
    for one in asked {
        times.push(one.await??);
    }
    tell(&format!("pages at {PAGES_A_SECOND} a second"), times);
    let mut ticks = Vec::new();
    for one in ticking {
        ticks.extend(one.await??);
    }
    tell(&format!("ticks of {TABLETS} tablets on one job"), ticks);
    Ok(())
}
