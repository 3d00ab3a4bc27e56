//! A tablet at a stand: presses as a hand would, and what its screen shows.

use crate::rig::{Driver, sign_in, until};
use crate::shop_floor::ShopFloor;
use fantoccini::{Client, Locator};
use serde_json::Value;
use std::path::Path;
use std::time::{Duration, Instant};
use tempfile::TempDir;

/// Size of a tablet held upright, CSS pixels.
const WIDE: u32 = 800;
const HIGH: u32 = 1280;

/// Milliseconds from a press until it was on the glass, and until it was written down for good.
pub(crate) struct Took {
    pub(crate) shown_ms: f64,
    pub(crate) kept_ms: f64,
}

pub(crate) struct Tablet {
    pub(crate) client: Client,
    pub(crate) job: String,
    profile: TempDir,
}

impl Tablet {
    /// A tablet at the stand of a job, with a person signed in and everything kept for a time without network.
    pub(crate) async fn at(driver: &Driver, floor: &ShopFloor, person: &str, job: &str) -> Self {
        let profile = tempfile::tempdir().unwrap();
        let client = driver.client_in(profile.path(), WIDE, HIGH).await;
        let tablet = Self { client, job: job.to_owned(), profile };
        tablet.sign_in(floor, person).await;
        tablet.until("document.getElementById('stand').dataset.kept === 'yes'").await;
        tablet
    }

    pub(crate) async fn sign_in(&self, floor: &ShopFloor, person: &str) {
        sign_in(&self.client, floor.server(), person, &format!("/jobs/{}/stand", self.job)).await;
        self.until("document.getElementById('stand')?.dataset.ready === 'yes'").await;
    }

    /// Opens the stand anew, from the network or from what the tablet kept.
    pub(crate) async fn reopen(&self, floor: &ShopFloor) {
        self.client.goto(&floor.page(&format!("/jobs/{}/stand", self.job))).await.unwrap();
        self.until("document.getElementById('stand')?.dataset.ready === 'yes'").await;
    }

    pub(crate) async fn until(&self, condition: &str) {
        until(&self.client, &format!("return Boolean({condition})")).await;
    }

    pub(crate) async fn says(&self, words: &str) {
        self.until(&format!("document.body.innerText.includes({})", Value::from(words))).await;
    }

    pub(crate) async fn asked(&self, script: &str) -> Value {
        self.client.execute(script, Vec::new()).await.unwrap()
    }

    pub(crate) async fn has(&self, css: &str) -> bool {
        self.client.find(Locator::Css(css)).await.is_ok()
    }

    /// Presses once the screen takes presses again: what came under a knuckle just now does not.
    pub(crate) async fn press(&self, css: &str) {
        tokio::time::sleep(Duration::from_millis(470)).await;
        let limit = Instant::now() + Duration::from_secs(10);
        loop {
            let found = self.client.find(Locator::Css(css)).await;
            if let Ok(element) = found
                && self.in_sight(&element).await
                && element.click().await.is_ok()
            {
                return;
            }
            assert!(
                Instant::now() < limit,
                "`{css}` cannot be pressed: {}",
                self.asked("return document.body.innerText").await
            );
            tokio::time::sleep(Duration::from_millis(30)).await;
        }
    }

    /// Brings something to the middle of the screen, where neither head nor foot of the page covers it.
    async fn in_sight(&self, element: &fantoccini::elements::Element) -> bool {
        let script = "arguments[0].scrollIntoView({block: 'center'}); return !arguments[0].disabled";
        let shown = self.client.execute(script, vec![serde_json::to_value(element).unwrap()]).await;
        matches!(shown, Ok(Value::Bool(true)))
    }

    pub(crate) async fn press_words(&self, words: &str) {
        tokio::time::sleep(Duration::from_millis(470)).await;
        let path = format!("//*[self::button or self::a or self::label][normalize-space()='{words}']");
        let limit = Instant::now() + Duration::from_secs(10);
        loop {
            if let Ok(element) = self.client.find(Locator::XPath(&path)).await
                && self.in_sight(&element).await
                && element.click().await.is_ok()
            {
                return;
            }
            assert!(
                Instant::now() < limit,
                "no `{words}`: {}",
                self.asked("return document.body.innerText").await
            );
            tokio::time::sleep(Duration::from_millis(30)).await;
        }
    }

    /// The step on the screen.
    pub(crate) async fn step(&self) -> String {
        let step = self.asked("return document.querySelector('[data-step]')?.dataset.step ?? ''").await;
        step.as_str().unwrap().to_owned()
    }

    /// Goes to a step.
    pub(crate) async fn go(&self, floor: &ShopFloor, step: &str) {
        let remember = format!("localStorage.setItem('at-{}', '{step}')", self.job);
        self.asked(&remember).await;
        self.reopen(floor).await;
        self.until(&format!("document.querySelector('[data-step]')?.dataset.step === '{step}'")).await;
    }

    /// Does the step on the screen and brings its bolts to value; what each tap took.
    pub(crate) async fn work(&self) -> Vec<Took> {
        let step = self.step().await;
        self.press("#deed-done").await;
        let mut took = vec![self.took().await];
        while self.step().await == step && self.has("[data-close]").await {
            self.press("[data-close]").await;
            if self.shows("Which wrench is at this stand?").await {
                self.press_words("Wrench 3").await;
            }
            if self.shows("What does the part itself say?").await {
                self.read_print().await;
            }
            took.push(self.took().await);
        }
        took
    }

    /// Six newton metres stand on the part.
    async fn read_print(&self) {
        self.press_words("One figure").await;
        for key in ["⌫", "6"] {
            self.press(&format!("[data-key='{key}']")).await;
        }
        self.press("#pad-keep").await;
    }

    async fn shows(&self, words: &str) -> bool {
        let script = format!("return document.body.innerText.includes({})", Value::from(words));
        self.asked(&script).await == Value::Bool(true)
    }

    /// What the last tap took, as the page timed it.
    async fn took(&self) -> Took {
        self.until("window.Stand.took").await;
        let took =
            self.asked("const took = window.Stand.took; window.Stand.took = undefined; return took").await;
        let ms = |name: &str| took[name].as_f64().unwrap();
        Took { shown_ms: ms("shown_ms"), kept_ms: ms("kept_ms") }
    }

    /// Waits until everything that this person tapped is with the shop.
    pub(crate) async fn all_sent(&self) {
        self.until("document.getElementById('net')?.textContent === 'all sent'").await;
    }

    /// The record of the job, entry by entry, the first one first, as its page shows it.
    pub(crate) async fn record(&self, floor: &ShopFloor) -> Vec<String> {
        self.client.goto(&floor.page(&format!("/jobs/{}/record", self.job))).await.unwrap();
        self.until("document.readyState === 'complete' && document.querySelector('ol.record > li')").await;
        let script = "return [...document.querySelectorAll('ol.record > li > div > p:first-child')].map((p) => p.textContent.trim()).reverse()";
        let all = self.asked(script).await;
        all.as_array().unwrap().iter().map(|one| one.as_str().unwrap().to_owned()).collect()
    }

    /// Kills the browser in the middle of whatever it does, as a battery that runs out; the folder stays.
    pub(crate) fn kill(self) -> TempDir {
        let Self { client, profile, .. } = self;
        for process in processes_of(profile.path()) {
            let _ = std::process::Command::new("kill").args(["-KILL", &process]).status();
        }
        drop(client);
        profile
    }

    /// The same tablet, started again.
    pub(crate) async fn start_again(
        driver: &Driver,
        floor: &ShopFloor,
        profile: TempDir,
        person: &str,
        job: &str,
    ) -> Self {
        let client = driver.client_in(profile.path(), WIDE, HIGH).await;
        let tablet = Self { client, job: job.to_owned(), profile };
        tablet.sign_in(floor, person).await;
        tablet
    }

    pub(crate) async fn close(self) {
        self.client.close().await.unwrap();
    }
}

/// The processes whose browser keeps what it knows in this folder.
fn processes_of(profile: &Path) -> Vec<String> {
    let wanted = format!("--user-data-dir={}", profile.display());
    let mut all = Vec::new();
    for entry in std::fs::read_dir("/proc").unwrap().flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        let line = std::fs::read(entry.path().join("cmdline")).unwrap_or_default();
        let is_it = line.split(|byte| *byte == 0).any(|word| word == wanted.as_bytes());
        if is_it && name.bytes().all(|byte| byte.is_ascii_digit()) {
            all.push(name);
        }
    }
    all
}
