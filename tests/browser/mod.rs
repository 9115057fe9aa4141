//! A page in Chromium without a screen, driven with mouse and keys.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, Instant};

use headless_chrome::protocol::cdp::{Emulation, Network, Page};
use headless_chrome::{Browser, LaunchOptions, Tab};
use serde_json::Value;
use tempfile::TempDir;

/// How a page is looked at.
#[derive(Debug, Clone, Copy)]
pub struct View {
    pub width: u32,
    pub height: u32,
    pub dark: bool,
}

pub const DESKTOP: View = View { width: 1280, height: 900, dark: false };
pub const PHONE: View = View { width: 360, height: 740, dark: false };

/// A browser with one page open. Everything goes when it is dropped.
pub struct Visit {
    tab: Arc<Tab>,
    _browser: Browser,
    /// What is saved lands here.
    pub downloads: TempDir,
}

/// How long anything on a page may take: decoding on a machine that others use as well.
const PATIENCE: Duration = Duration::from_secs(40);

impl Visit {
    /// Opens a file with the network cut; `prelude` runs before the page's own script. None where there is no browser, which is a
    /// failure in CI.
    pub fn open(page: &Path, view: View, prelude: &str) -> Option<Self> {
        Self::launched(page, view, prelude, false)
    }

    /// The same with the page's content security policy left aside, so that a test can bring modules of its own.
    pub fn open_unguarded(page: &Path, view: View, prelude: &str) -> Option<Self> {
        Self::launched(page, view, prelude, true)
    }

    fn launched(page: &Path, view: View, prelude: &str, unguarded: bool) -> Option<Self> {
        let Some(path) = chromium() else {
            assert!(std::env::var("CI").as_deref() != Ok("true"), "a skipped check is a failure in CI: no Chromium");
            eprintln!("skipped: no Chromium");
            return None;
        };
        let flags = ["--disable-quic", "--disable-component-update", "--mute-audio"];
        let options = LaunchOptions {
            path: Some(path),
            sandbox: false,
            window_size: Some((view.width, view.height)),
            args: flags.iter().map(std::ffi::OsStr::new).collect(),
            idle_browser_timeout: PATIENCE * 3,
            ..LaunchOptions::default()
        };
        let browser = Browser::new(options).unwrap();
        let tab = browser.new_tab().unwrap();
        tab.set_default_timeout(PATIENCE);
        let visit = Self { tab, _browser: browser, downloads: tempfile::tempdir().unwrap() };
        visit.look(view);
        visit.cut_network();
        visit.allow_downloads();
        visit.tab.call_method(Page::SetBypassCSP { enabled: unguarded }).unwrap();
        let source = prelude.to_string();
        let script = Page::AddScriptToEvaluateOnNewDocument {
            source,
            world_name: None,
            include_command_line_api: None,
            run_immediately: None,
        };
        visit.tab.call_method(script).unwrap();
        visit.tab.navigate_to(&format!("file://{}", page.display())).unwrap().wait_until_navigated().unwrap();
        Some(visit)
    }

    /// The same, waited for until it can play.
    pub fn ready(page: &Path, view: View, prelude: &str) -> Option<Self> {
        let visit = Self::open(page, view, prelude)?;
        visit.until("document.getElementById('play').textContent === 'Play'");
        Some(visit)
    }

    /// Changes size and theme.
    pub fn look(&self, view: View) {
        let scheme = if view.dark { "dark" } else { "light" };
        let metrics = serde_json::json!({
            "width": view.width, "height": view.height, "deviceScaleFactor": 1, "mobile": view.width < 500,
        });
        let metrics: Emulation::SetDeviceMetricsOverride = serde_json::from_value(metrics).unwrap();
        self.tab.call_method(metrics).unwrap();
        // Nothing is measured half-way between two colours.
        self.media(&[("prefers-color-scheme", scheme), ("prefers-reduced-motion", "reduce")]);
    }

    /// Sets media features.
    pub fn media(&self, features: &[(&str, &str)]) {
        let features = features
            .iter()
            .map(|(name, value)| Emulation::MediaFeature { name: (*name).into(), value: (*value).into() });
        let features = Emulation::SetEmulatedMedia { media: None, features: Some(features.collect()) };
        self.tab.call_method(features).unwrap();
    }

    /// The value of an expression; promises are awaited.
    pub fn value(&self, expression: &str) -> Value {
        // As text: values of any depth come back whole.
        let text = format!("Promise.resolve({expression}).then((value) => JSON.stringify(value ?? null))");
        let found = self.tab.evaluate(&text, true).unwrap_or_else(|error| panic!("{expression}: {error}"));
        serde_json::from_str(found.value.unwrap().as_str().unwrap()).unwrap()
    }

    /// Waits until an expression is true.
    pub fn until(&self, expression: &str) {
        let start = Instant::now();
        while self.value(expression) != Value::Bool(true) {
            assert!(
                start.elapsed() < PATIENCE,
                "waited in vain for {expression} on “{}”",
                self.value("document.title")
            );
            std::thread::sleep(Duration::from_millis(40));
        }
    }

    /// Clicks in the middle of an element, as a mouse does.
    pub fn click(&self, selector: &str) {
        let element = self.tab.find_element(selector).unwrap_or_else(|error| panic!("{selector}: {error}"));
        element.scroll_into_view().unwrap().click().unwrap_or_else(|error| panic!("{selector}: {error}"));
    }

    /// Presses a key.
    pub fn press(&self, key: &str) {
        self.tab.press_key(key).unwrap();
    }

    /// Types into a field.
    pub fn type_into(&self, selector: &str, text: &str) {
        self.tab.find_element(selector).unwrap().scroll_into_view().unwrap().type_into(text).unwrap();
    }

    /// Text of an element as it is shown.
    pub fn text(&self, selector: &str) -> String {
        self.value(&format!("document.querySelector({selector:?}).innerText")).as_str().unwrap().to_string()
    }

    /// A picture of the whole page into the folder of `DRYFIT_PICTURES`, for somebody to look at; nothing without it.
    pub fn picture(&self, name: &str) {
        let Some(folder) = std::env::var_os("DRYFIT_PICTURES") else { return };
        let png = self.tab.capture_screenshot(Page::CaptureScreenshotFormatOption::Png, None, None, true).unwrap();
        std::fs::write(Path::new(&folder).join(format!("{name}.png")), png).unwrap();
    }

    /// The file that the page saved, once it is there.
    pub fn saved(&self) -> PathBuf {
        let start = Instant::now();
        loop {
            let mut files = std::fs::read_dir(self.downloads.path()).unwrap().map(|entry| entry.unwrap().path());
            // The name is taken with an empty file first; what was saved is moved there as a whole.
            let is_saved = |path: &PathBuf| {
                path.extension().is_some_and(|ending| ending == "json") && path.metadata().is_ok_and(|of| of.len() > 0)
            };
            if let Some(file) = files.find(is_saved) {
                return file;
            }
            assert!(start.elapsed() < PATIENCE, "nothing was saved");
            std::thread::sleep(Duration::from_millis(40));
        }
    }

    fn cut_network(&self) {
        let conditions =
            serde_json::json!({ "offline": true, "latency": 0, "downloadThroughput": 0, "uploadThroughput": 0 });
        let conditions: Network::EmulateNetworkConditions = serde_json::from_value(conditions).unwrap();
        self.tab.call_method(conditions).unwrap();
    }

    fn allow_downloads(&self) {
        let folder = self.downloads.path().display().to_string();
        let behaviour = serde_json::json!({ "behavior": "allow", "downloadPath": folder });
        let behaviour: Page::SetDownloadBehavior = serde_json::from_value(behaviour).unwrap();
        self.tab.call_method(behaviour).unwrap();
    }
}

fn chromium() -> Option<PathBuf> {
    let names = ["chromium", "chromium-browser", "google-chrome"];
    let folders: Vec<PathBuf> = std::env::split_paths(&std::env::var_os("PATH")?).collect();
    names.iter().flat_map(|name| folders.iter().map(move |folder| folder.join(name))).find(|path| path.is_file())
}
