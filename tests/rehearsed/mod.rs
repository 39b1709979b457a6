//! A running `pottle rehearse`, for tests.

use serde_json::Value;
use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{Ipv4Addr, TcpStream};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, ExitStatus, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

/// How long anything may take on a busy machine.
pub const PATIENCE: Duration = Duration::from_secs(60);
/// The lesson of the course.
pub const LESSON: &str = "01-first-lesson/lesson.md";
/// Its page.
pub const PAGE: &str = "/first-lesson.html";

/// A running rehearsal of the course that `pottle begin` makes, with its first lesson alone.
pub struct Rehearsed {
    pub room: tempfile::TempDir,
    child: Child,
    pub port: u16,
    said: Arc<Mutex<String>>,
}

/// An answer: its status, its head in small letters, its body.
pub struct Answer {
    pub status: u16,
    pub head: String,
    pub body: Vec<u8>,
}

impl Answer {
    pub fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }
}

pub fn pottle() -> Command {
    Command::new(env!("CARGO_BIN_EXE_pottle"))
}

pub fn wait_for<T>(what: &str, mut look: impl FnMut() -> Option<T>) -> T {
    let end = Instant::now() + PATIENCE;
    loop {
        if let Some(found) = look() {
            return found;
        }
        assert!(Instant::now() < end, "waited in vain for {what}");
        std::thread::sleep(Duration::from_millis(10));
    }
}

impl Rehearsed {
    pub fn start() -> Rehearsed {
        Rehearsed::start_with(|_| {})
    }

    /// With files changed before it starts.
    pub fn start_with(change: impl FnOnce(&Path)) -> Rehearsed {
        let room = tempfile::tempdir().unwrap();
        let made = pottle().args(["begin", "course"]).current_dir(room.path()).output().unwrap();
        assert!(made.status.success());
        fs::remove_dir_all(room.path().join("course/02-crisp-crumbs")).unwrap();
        change(&room.path().join("course"));
        Rehearsed::of(room)
    }

    /// Of the course that lies in `course` in a folder of the test's own.
    pub fn of(room: tempfile::TempDir) -> Rehearsed {
        let mut child = pottle()
            .args(["rehearse", "course", "--report", "short"])
            .current_dir(room.path())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let said = Arc::new(Mutex::new(String::new()));
        let streams: [Box<dyn Read + Send>; 2] =
            [Box::new(child.stdout.take().unwrap()), Box::new(child.stderr.take().unwrap())];
        for stream in streams {
            let said = Arc::clone(&said);
            std::thread::spawn(move || {
                for line in BufReader::new(stream).lines().map_while(Result::ok) {
                    said.lock().unwrap().push_str(&(line + "\n"));
                }
            });
        }
        let port = wait_for("the address", || {
            let said = said.lock().unwrap();
            said.split("http://127.0.0.1:").nth(1)?.split('/').next()?.parse().ok()
        });
        Rehearsed { room, child, port, said }
    }

    pub fn path(&self, below: &str) -> PathBuf {
        self.room.path().join("course").join(below)
    }

    pub fn write(&self, path: &str, text: &str) {
        fs::create_dir_all(self.path(path).parent().unwrap()).unwrap();
        fs::write(self.path(path), text).unwrap();
    }

    /// Writes beside the file and renames over it: nobody sees half of it.
    pub fn write_at_once(&self, path: &str, text: &str) {
        let beside = self.path(path).with_file_name(".beside");
        fs::create_dir_all(beside.parent().unwrap()).unwrap();
        fs::write(&beside, text).unwrap();
        fs::rename(&beside, self.path(path)).unwrap();
    }

    pub fn lesson(&self) -> String {
        fs::read_to_string(self.path(LESSON)).unwrap()
    }

    pub fn said(&self) -> String {
        self.said.lock().unwrap().clone()
    }

    /// A request as it is written.
    pub fn ask(&self, request: &str) -> Answer {
        let mut stream = TcpStream::connect((Ipv4Addr::LOCALHOST, self.port)).unwrap();
        stream.set_read_timeout(Some(PATIENCE)).unwrap();
        stream.write_all(request.as_bytes()).unwrap();
        let mut bytes = Vec::new();
        stream.read_to_end(&mut bytes).unwrap();
        let end = bytes.windows(4).position(|four| four == b"\r\n\r\n").expect("a head");
        let head = String::from_utf8_lossy(&bytes[..end]).to_lowercase();
        let status = head.split(' ').nth(1).and_then(|status| status.parse().ok()).expect("a status");
        Answer { status, head, body: bytes[end + 4..].to_vec() }
    }

    pub fn get(&self, path: &str) -> Answer {
        self.by("GET", path, &format!("localhost:{}", self.port))
    }

    pub fn by(&self, method: &str, path: &str, host: &str) -> Answer {
        self.ask(&format!("{method} {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n"))
    }

    /// Waits until a page holds some words.
    pub fn wait_for(&self, page: &str, words: &str) {
        wait_for(words, || self.get(page).text().contains(words).then_some(()));
    }

    /// What a page hears from now on.
    pub fn events(&self) -> Receiver<Value> {
        let mut stream = TcpStream::connect((Ipv4Addr::LOCALHOST, self.port)).unwrap();
        stream.set_read_timeout(Some(PATIENCE)).unwrap();
        write!(stream, "GET /rehearse-events HTTP/1.1\r\nHost: 127.0.0.1:{}\r\n\r\n", self.port).unwrap();
        let (sender, receiver) = channel();
        std::thread::spawn(move || {
            for line in BufReader::new(stream).lines().map_while(Result::ok) {
                let event = line.strip_prefix("data: ").map(|data| serde_json::from_str(data).expect("JSON"));
                if event.is_some_and(|event| sender.send(event).is_err()) {
                    break;
                }
            }
        });
        receiver
    }

    pub fn version(&self) -> u64 {
        self.events().recv_timeout(PATIENCE).unwrap()["version"].as_u64().unwrap()
    }

    /// Tells it to stop, as `kill` does.
    pub fn stop(&mut self, signal: &str) -> ExitStatus {
        let told = Command::new("kill").args([signal, &self.child.id().to_string()]).status().unwrap();
        assert!(told.success());
        wait_for("its end", || self.child.try_wait().unwrap())
    }
}

impl Drop for Rehearsed {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
