//! One page in one tab, driven as a reader drives it.

use super::chromium::{Answer, Chromium, PATIENCE};
use base64::Engine;
use serde_json::{Value, json};
use std::cell::{Cell, RefCell};
use std::rc::Rc;
use std::sync::mpsc::Receiver;
use std::time::{Duration, Instant};

/// Script for [`Page::eval`] that defines `sight`.
pub const SIGHT: &str = include_str!("sight.js");

/// A profile that nobody used before: no storage, no workers, no history. It is thrown away with its last page.
struct Profile {
    chromium: &'static Chromium,
    id: String,
}

impl Drop for Profile {
    fn drop(&mut self) {
        // If the browser is gone, so is the profile.
        let _ = self.chromium.call(None, "Target.disposeBrowserContext", json!({ "browserContextId": self.id }));
    }
}

/// A page. When it is dropped it fails its test if anything went wrong on it that the test did not ask for.
pub struct Page {
    profile: Rc<Profile>,
    session: String,
    events: Receiver<Value>,
    troubles: RefCell<Vec<String>>,
    /// Width, height, scale, mobile or not.
    screen: Cell<(u32, u32, f64, bool)>,
}

impl Page {
    /// A page in a fresh profile.
    pub fn fresh() -> Page {
        let chromium = Chromium::shared();
        let made = chromium.call(None, "Target.createBrowserContext", json!({})).expect("a fresh profile");
        Page::in_profile(Rc::new(Profile { chromium, id: text(&made["browserContextId"]) }))
    }

    /// A second page in the same profile.
    pub fn another(&self) -> Page {
        Page::in_profile(Rc::clone(&self.profile))
    }

    fn in_profile(profile: Rc<Profile>) -> Page {
        let chromium = profile.chromium;
        // In a window of its own: a tab behind another is not drawn.
        let asked = json!({ "url": "about:blank", "browserContextId": profile.id, "newWindow": true });
        let target = chromium.call(None, "Target.createTarget", asked).expect("a page");
        let asked = json!({ "targetId": target["targetId"], "flatten": true });
        let session = text(&chromium.call(None, "Target.attachToTarget", asked).expect("the page")["sessionId"]);
        let events = chromium.events(&session);
        let screen = Cell::new((1280, 800, 1.0, false));
        let page = Page { profile, session, events, troubles: RefCell::default(), screen };
        for domain in ["Page", "Runtime", "Log"] {
            page.call(&format!("{domain}.enable"), json!({}));
        }
        page.call("Page.setLifecycleEventsEnabled", json!({ "enabled": true }));
        page.call("Emulation.setFocusEmulationEnabled", json!({ "enabled": true }));
        page.screen(1280, 800, 1.0, false);
        page
    }

    /// Any call of the DevTools protocol.
    #[track_caller]
    pub fn call(&self, method: &str, params: Value) -> Value {
        match self.profile.chromium.call(Some(&self.session), method, params) {
            Ok(answer) => answer,
            Err(error) => panic!("{error}"),
        }
    }

    /// Goes to an address and waits until it is loaded. A mere change of `#…` loads nothing.
    #[track_caller]
    pub fn open(&self, url: &str) {
        let answer = self.call("Page.navigate", json!({ "url": url }));
        assert!(answer.get("errorText").is_none(), "{url}: {}", answer["errorText"]);
        if let Some(loader) = answer.get("loaderId") {
            self.wait_for("load", |event| {
                event["method"] == "Page.lifecycleEvent"
                    && event["params"]["name"] == "load"
                    && event["params"]["loaderId"] == *loader
            });
        }
    }

    /// Loads the page again and waits for it.
    #[track_caller]
    pub fn reload(&self) {
        self.after_loading(|| drop(self.call("Page.reload", json!({}))));
    }

    /// Does something that loads another page, and waits for that.
    #[track_caller]
    pub fn after_loading(&self, act: impl FnOnce()) {
        self.hear();
        act();
        self.wait_for("load", |event| event["method"] == "Page.loadEventFired");
    }

    #[track_caller]
    fn wait_for(&self, what: &str, wanted: impl Fn(&Value) -> bool) {
        let end = Instant::now() + PATIENCE;
        loop {
            let left = end.saturating_duration_since(Instant::now());
            let Ok(event) = self.events.recv_timeout(left) else { panic!("waited in vain for {what}") };
            self.note(&event);
            if wanted(&event) {
                return;
            }
        }
    }

    /// Runs script in the page; a promise is awaited.
    #[track_caller]
    pub fn eval(&self, script: &str) -> Value {
        let asked = json!({ "expression": script, "awaitPromise": true, "returnByValue": true, "userGesture": true });
        let mut answer = self.call("Runtime.evaluate", asked);
        if let Some(details) = answer.get("exceptionDetails") {
            let shown: String = script.chars().take(400).collect();
            panic!("{}\nin {shown}", thrown(details));
        }
        answer["result"]["value"].take()
    }

    /// As [`Page::eval`], for a text.
    #[track_caller]
    pub fn text(&self, script: &str) -> String {
        let value = self.eval(script);
        value.as_str().map_or_else(|| panic!("{script} is no text but {value}"), str::to_owned)
    }

    /// As [`Page::eval`], for a question.
    #[track_caller]
    pub fn is(&self, script: &str) -> bool {
        self.eval(&format!("!!({script})")) == true
    }

    /// Waits until a question is answered with yes.
    #[track_caller]
    pub fn wait_until(&self, script: &str) {
        let end = Instant::now() + Duration::from_secs(10);
        while !self.is(script) {
            assert!(Instant::now() < end, "it never came about that {script}");
            std::thread::sleep(Duration::from_millis(15));
        }
    }

    /// The middle of an element, scrolled into view. Nothing may lie over it.
    #[track_caller]
    fn middle_of(&self, selector: &str) -> (f64, f64) {
        let place = self.eval(&format!(
            "(() => {{
                const all = document.querySelectorAll({selector:?});
                if (all.length != 1) throw Error(`${{all.length}} elements`);
                const one = all[0];
                one.scrollIntoView({{ block: 'center', inline: 'center', behavior: 'instant' }});
                const box = one.getClientRects()[0];
                if (!box) throw Error('it is not shown');
                const x = box.left + box.width / 2, y = box.top + box.height / 2;
                const hit = document.elementFromPoint(x, y);
                if (!hit || !(one.contains(hit) || one.closest('label')?.contains(hit)))
                    throw Error(`${{hit && hit.outerHTML.slice(0, 100)}} lies over it`);
                return [x, y];
            }})()"
        ));
        let number = |at: usize| place[at].as_f64().expect("a place is two numbers");
        (number(0), number(1))
    }

    /// Clicks on the only element that a selector finds.
    #[track_caller]
    pub fn click(&self, selector: &str) {
        let (x, y) = self.middle_of(selector);
        self.call("Input.dispatchMouseEvent", json!({ "type": "mouseMoved", "x": x, "y": y }));
        for kind in ["mousePressed", "mouseReleased"] {
            let asked = json!({ "type": kind, "x": x, "y": y, "button": "left", "clickCount": 1 });
            self.call("Input.dispatchMouseEvent", asked);
        }
    }

    /// Taps on the only element that a selector finds, with a finger, and waits for the click that comes of it.
    #[track_caller]
    pub fn tap(&self, selector: &str) {
        let (x, y) = self.middle_of(selector);
        self.eval(
            "globalThis.tapped = new Promise((done, fail) => {
                addEventListener('click', done, { once: true, capture: true });
                setTimeout(fail, 10000, 'no click comes of the tap');
            }); 0",
        );
        // Both at once: on a busy machine a wait between them would make a long press of it.
        let touches = [("touchStart", json!([{ "x": x, "y": y }])), ("touchEnd", json!([]))].map(|(kind, points)| {
            let asked = json!({ "type": kind, "touchPoints": points });
            self.profile.chromium.ask(Some(&self.session), "Input.dispatchTouchEvent", asked)
        });
        for touch in touches {
            touch.and_then(Answer::wait).expect("a finger on the screen");
        }
        self.eval("tapped.then(() => 0)");
    }

    /// Presses a key by its name in the UI Events standard: `Tab`, `Shift+Tab`, `ArrowRight`, `Enter`, `Escape`, `a`.
    #[track_caller]
    pub fn press(&self, keys: &str) {
        let (modifiers, key) = match keys.split_once('+') {
            Some(("Shift", key)) => (8, key),
            Some(("Control", key)) => (2, key),
            _ => (0, keys),
        };
        let (code, number, typed) = key_code(key);
        let mut asked = json!({
            "type": "keyDown", "key": key, "code": code, "windowsVirtualKeyCode": number, "modifiers": modifiers
        });
        // With text it is a whole key stroke, and without a mere key going down.
        match typed {
            Some(typed) if modifiers != 2 => asked["text"] = typed.into(),
            _ => asked["type"] = "rawKeyDown".into(),
        }
        self.call("Input.dispatchKeyEvent", asked.clone());
        asked["type"] = "keyUp".into();
        asked.as_object_mut().expect("it is one").remove("text");
        self.call("Input.dispatchKeyEvent", asked);
    }

    /// Types into whatever has the focus.
    #[track_caller]
    pub fn write(&self, words: &str) {
        words.chars().for_each(|sign| self.press(&sign.to_string()));
    }

    /// Puts a text into a field as a reader would: a click, all of it selected, other words typed over it.
    #[track_caller]
    pub fn fill(&self, selector: &str, words: &str) {
        self.click(selector);
        self.eval("document.activeElement.select?.()");
        self.write(words);
    }

    /// A screen of so many CSS pixels. On a mobile one there is touch, and the page's own viewport counts.
    #[track_caller]
    pub fn screen(&self, width: u32, height: u32, scale: f64, mobile: bool) {
        self.screen.set((width, height, scale, mobile));
        let asked = json!({ "width": width, "height": height, "deviceScaleFactor": scale, "mobile": mobile });
        self.call("Emulation.setDeviceMetricsOverride", asked);
        self.call("Emulation.setTouchEmulationEnabled", json!({ "enabled": mobile, "maxTouchPoints": 1 }));
    }

    /// Waits until a lesson has fetched what it fetches while it rests.
    #[track_caller]
    pub fn settle(&self) {
        self.wait_until("!document.getElementById('_leave') || document.getElementById('_leave').onclick");
    }

    /// Waits until the page has written down what it changed: it shows first and remembers a moment later.
    pub fn let_it_remember(&self) {
        self.eval("new Promise(done => setTimeout(done))");
    }

    /// Does something while the screen is as high as the page.
    #[track_caller]
    pub fn as_a_whole<T>(&self, act: impl FnOnce() -> T) -> T {
        let (width, height, scale, mobile) = self.screen.get();
        // Steps out of sight are not laid out before they are looked at; here all of them are.
        self.eval(
            "{ const all = new CSSStyleSheet(); all.replaceSync('.step, .recipe { content-visibility: visible !important }');
            document.adoptedStyleSheets = [all]; } 0",
        );
        let whole = self.eval("document.documentElement.scrollHeight").as_u64().expect("a height");
        self.screen(width, u32::try_from(whole).expect("a page of usual length"), 1.0, mobile);
        let done = act();
        self.eval("document.adoptedStyleSheets = []; 0");
        self.screen(width, height, scale, mobile);
        done
    }

    /// The medium (`""` for screen, `print`) and what the reader prefers, all of it at once.
    pub fn media(&self, medium: &str, preferences: &[(&str, &str)]) {
        let features: Vec<Value> =
            preferences.iter().map(|(name, value)| json!({ "name": name, "value": value })).collect();
        self.call("Emulation.setEmulatedMedia", json!({ "media": medium, "features": features }));
    }

    /// A processor so many times slower.
    pub fn slow_down(&self, times: u32) {
        self.call("Emulation.setCPUThrottlingRate", json!({ "rate": times }));
    }

    /// Whether pages loaded from now on may run script.
    pub fn allow_script(&self, allowed: bool) {
        self.call("Emulation.setScriptExecutionDisabled", json!({ "value": !allowed }));
    }

    /// Script that runs before that of every page loaded from now on.
    pub fn before_loading(&self, script: &str) {
        self.call("Page.addScriptToEvaluateOnNewDocument", json!({ "source": script }));
    }

    /// The screen as PNG.
    pub fn screenshot(&self) -> Vec<u8> {
        let taken = self.call("Page.captureScreenshot", json!({ "format": "png" }));
        base64::engine::general_purpose::STANDARD.decode(text(&taken["data"])).expect("a picture in Base64")
    }

    /// The page as PDF, with its own sizes of paper where it has some.
    pub fn printed(&self, mut asked: Value) -> Vec<u8> {
        asked["preferCSSPageSize"] = true.into();
        let made = self.call("Page.printToPDF", asked);
        base64::engine::general_purpose::STANDARD.decode(text(&made["data"])).expect("a file in Base64")
    }

    /// What went wrong so far; whoever asks has dealt with it.
    pub fn troubles(&self) -> Vec<String> {
        // Messages come in order: after this answer all of what happened before has been heard.
        self.eval("0");
        self.hear();
        self.troubles.take()
    }

    fn hear(&self) {
        while let Ok(event) = self.events.try_recv() {
            self.note(&event);
        }
    }

    fn note(&self, event: &Value) {
        let params = &event["params"];
        let trouble = match event["method"].as_str() {
            Some("Runtime.exceptionThrown") => thrown(&params["exceptionDetails"]),
            Some("Runtime.consoleAPICalled") if params["type"] == "error" => format!("console: {}", params["args"]),
            Some("Log.entryAdded") if params["entry"]["level"] == "error" => {
                format!("{} {}", text(&params["entry"]["text"]), params["entry"]["url"].as_str().unwrap_or_default())
            }
            _ => return,
        };
        // Only a server that its test has stopped refuses; that story may come at any time later.
        if trouble.contains("net::ERR_CONNECTION_") {
            return;
        }
        self.troubles.borrow_mut().push(trouble);
    }
}

impl Drop for Page {
    fn drop(&mut self) {
        if !std::thread::panicking() {
            let troubles = self.troubles();
            assert!(troubles.is_empty(), "on {}: {troubles:#?}", self.text("location.href"));
        }
        self.profile.chromium.forget(&self.session);
    }
}

fn text(value: &Value) -> String {
    value.as_str().unwrap_or_else(|| panic!("a text was expected, not {value}")).to_owned()
}

fn thrown(details: &Value) -> String {
    let exception = &details["exception"];
    let what = exception["description"].as_str().map_or_else(|| exception["value"].to_string(), str::to_owned);
    format!("{} {what}", details["text"].as_str().unwrap_or_default())
}

/// The `code` and `keyCode` of a key in the UI Events standard, and what it types.
fn key_code(key: &str) -> (String, u32, Option<String>) {
    let named = |code: &str, number, typed: Option<&str>| (code.to_owned(), number, typed.map(str::to_owned));
    match key {
        "Tab" => named("Tab", 9, None),
        "Enter" => named("Enter", 13, Some("\r")),
        "Escape" => named("Escape", 27, None),
        "Backspace" => named("Backspace", 8, None),
        "End" => named("End", 35, None),
        "Home" => named("Home", 36, None),
        "ArrowLeft" => named("ArrowLeft", 37, None),
        "ArrowUp" => named("ArrowUp", 38, None),
        "ArrowRight" => named("ArrowRight", 39, None),
        "ArrowDown" => named("ArrowDown", 40, None),
        " " => named("Space", 32, Some(" ")),
        _ => {
            let sign = key.chars().next().expect("a key has a name");
            assert_eq!(key.chars().count(), 1, "there is no key {key}");
            let code =
                if sign.is_ascii_digit() { format!("Digit{sign}") } else { format!("Key{}", key.to_uppercase()) };
            let number = if sign.is_ascii_alphanumeric() { u32::from(sign.to_ascii_uppercase()) } else { 0 };
            (code, number, Some(key.to_owned()))
        }
    }
}
