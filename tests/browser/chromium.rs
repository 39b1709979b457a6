//! A Chromium without a window, spoken to through two pipes in the DevTools protocol.

use super::tools;
use serde_json::{Value, json};
use std::collections::HashMap;
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError};
use std::time::{Duration, Instant};

/// How long an answer may take on a busy machine.
pub const PATIENCE: Duration = Duration::from_secs(30);

/// The browser ends when its pipe closes, and then the shell removes its folder. Rust's test runner drops nothing at
/// its end and may be killed, so nobody else could do it. The shell outlives an interrupt for the same reason.
const SCRIPT: &str = r#"
trap : INT TERM HUP
"$1" --headless --no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking \
    --disable-component-update --disable-sync --disable-renderer-backgrounding --disable-backgrounding-occluded-windows \
    --disable-background-timer-throttling --hide-scrollbars --remote-debugging-pipe --user-data-dir="$0/profile" \
    about:blank 3<&0 4>&1 </dev/null >/dev/null
# A helper of the browser that ends after it may write once more.
for try in 1 2 3 4 5 6 7 8 9; do
    rm -rf "$0"
    sleep 0.3
    [ -e "$0" ] || break
done
"#;

/// A running browser.
pub struct Chromium {
    room: PathBuf,
    child: Mutex<Child>,
    input: Mutex<Option<ChildStdin>>,
    switchboard: Arc<Switchboard>,
    next: AtomicU64,
}

/// An answer that is on its way.
pub struct Answer {
    method: String,
    receiver: Receiver<Value>,
}

impl Answer {
    /// Waits for it.
    pub fn wait(self) -> Result<Value, String> {
        let method = self.method;
        let answer = self.receiver.recv_timeout(PATIENCE);
        let mut answer = answer.map_err(|_| format!("{method}: Chromium does not answer"))?;
        match answer.get("error") {
            Some(error) => Err(format!("{method}: {error}")),
            None => Ok(answer["result"].take()),
        }
    }
}

/// Who waits for which answer, and who hears the events of which page.
#[derive(Default)]
struct Switchboard {
    answers: Mutex<HashMap<u64, Sender<Value>>>,
    events: Mutex<HashMap<String, Sender<Value>>>,
}

/// A failed test must not fail its neighbours.
fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Chromium {
    /// The browser that all tests of this run share.
    pub fn shared() -> &'static Chromium {
        static SHARED: OnceLock<Chromium> = OnceLock::new();
        SHARED.get_or_init(Chromium::start)
    }

    /// Starts another one.
    pub fn start() -> Chromium {
        let room =
            tempfile::Builder::new().prefix("pottle-chromium-").tempdir().expect("a folder for the browser").keep();
        let mut child = Command::new("sh")
            .args(["-c", SCRIPT])
            .args([&room, &tools::program("chromium")])
            // What it leaves in a home or among temporary files goes with the folder.
            .envs([("HOME", &room), ("TMPDIR", &room), ("XDG_CONFIG_HOME", &room), ("XDG_CACHE_HOME", &room)])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("the shell starts");
        let (input, output) = (child.stdin.take(), child.stdout.take().expect("its output is a pipe"));
        let switchboard = Arc::new(Switchboard::default());
        let listener = Arc::clone(&switchboard);
        std::thread::spawn(move || listener.listen(output));
        let (child, input) = (Mutex::new(child), Mutex::new(input));
        Chromium { room, child, input, switchboard, next: AtomicU64::new(1) }
    }

    /// The folder with all it writes.
    pub fn room(&self) -> &Path {
        &self.room
    }

    /// Asks for something and waits for the answer.
    pub fn call(&self, session: Option<&str>, method: &str, params: Value) -> Result<Value, String> {
        self.ask(session, method, params)?.wait()
    }

    /// Asks for something without waiting yet.
    pub fn ask(&self, session: Option<&str>, method: &str, params: Value) -> Result<Answer, String> {
        let id = self.next.fetch_add(1, Ordering::Relaxed);
        let (sender, receiver) = channel();
        lock(&self.switchboard.answers).insert(id, sender);
        let mut message = json!({ "id": id, "method": method, "params": params });
        if let Some(session) = session {
            message["sessionId"] = session.into();
        }
        self.send(&message)?;
        Ok(Answer { method: method.to_owned(), receiver })
    }

    fn send(&self, message: &Value) -> Result<(), String> {
        let mut input = lock(&self.input);
        let pipe = input.as_mut().ok_or("Chromium was closed")?;
        let sent = pipe.write_all(format!("{message}\0").as_bytes()).and_then(|()| pipe.flush());
        sent.map_err(|error| format!("Chromium is gone: {error}"))
    }

    /// All events of one page from now on.
    pub fn events(&self, session: &str) -> Receiver<Value> {
        let (sender, receiver) = channel();
        lock(&self.switchboard.events).insert(session.to_owned(), sender);
        receiver
    }

    /// Nobody listens to that page any more.
    pub fn forget(&self, session: &str) {
        lock(&self.switchboard.events).remove(session);
    }
}

impl Switchboard {
    /// Messages are JSON, each ended by a zero byte.
    fn listen(&self, output: ChildStdout) {
        for message in BufReader::new(output).split(0) {
            let Ok(message) = message.map(|bytes| serde_json::from_slice::<Value>(&bytes)) else { break };
            self.pass_on(message.expect("Chromium speaks JSON"));
        }
        // Whoever still waits learns that no answer will come.
        lock(&self.answers).clear();
        lock(&self.events).clear();
    }

    fn pass_on(&self, message: Value) {
        let receiver = match (message["id"].as_u64(), message["sessionId"].as_str()) {
            (Some(id), _) => lock(&self.answers).remove(&id),
            (None, Some(session)) => lock(&self.events).get(session).cloned(),
            (None, None) => None,
        };
        // One that has given up is not there any more.
        let _ = receiver.map(|receiver| receiver.send(message));
    }
}

impl Drop for Chromium {
    fn drop(&mut self) {
        lock(&self.input).take();
        let started = Instant::now();
        let mut child = lock(&self.child);
        while matches!(child.try_wait(), Ok(None)) && started.elapsed() < PATIENCE {
            std::thread::sleep(Duration::from_millis(20));
        }
    }
}
