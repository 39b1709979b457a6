//! The pages of a rehearsal over HTTP, for browsers on this machine alone.
//!
//! Files are looked up by name among those of the rehearsal, never on the disk, so no path leads out of it. The Host
//! header is checked, or a page from elsewhere could read them under a name that it has made to mean this machine.

use super::Failure;
use pottle::Rehearsal;
use std::borrow::Cow;
use std::io::{self, BufRead, BufReader, Read, Write};
use std::net::{Ipv4Addr, Shutdown, TcpListener, TcpStream};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Condvar, Mutex, PoisonError};
use std::thread;
use std::time::Duration;

/// Where pages hear of changes.
const EVENTS: &str = "rehearse-events";
/// How many callers are heard at once, pages that listen among them.
const CALLERS: usize = 128;
/// How long a caller may stay silent: a browser opens lines ahead of need and may never use them.
const SILENCE: Duration = Duration::from_secs(10);
/// No browser says more than so many bytes before it waits for an answer.
const LONGEST: u64 = 64 * 1024;
/// A line now and then finds out which listeners have gone.
const BEAT: Duration = Duration::from_secs(15);

/// What is shown just now, and who waits for something else.
pub(super) struct Stage {
    now: Mutex<Arc<Rehearsal>>,
    changed: Condvar,
    callers: AtomicUsize,
    ahead: Mutex<Ahead>,
}

/// The page that was asked for last: it will be asked for again after a change.
#[derive(Default)]
struct Ahead {
    name: String,
    /// As some version has it.
    printed: Option<(u64, Vec<u8>)>,
}

impl Stage {
    pub(super) fn new(rehearsal: Rehearsal) -> Stage {
        Stage {
            now: Mutex::new(Arc::new(rehearsal)),
            changed: Condvar::new(),
            callers: AtomicUsize::new(0),
            ahead: Mutex::default(),
        }
    }

    /// What is shown.
    pub(super) fn now(&self) -> Arc<Rehearsal> {
        Arc::clone(&self.now.lock().unwrap_or_else(PoisonError::into_inner))
    }

    /// Shows something else, and prints the page that was asked for last while its browser hears of that.
    pub(super) fn show(&self, next: Rehearsal) {
        let next = Arc::new(next);
        let mut ahead = self.ahead.lock().unwrap_or_else(PoisonError::into_inner);
        let mut now = self.now.lock().unwrap_or_else(PoisonError::into_inner);
        let _last = std::mem::replace(&mut *now, Arc::clone(&next)); // thrown away when all is told
        drop(now);
        self.changed.notify_all();
        if !ahead.name.is_empty() {
            ahead.printed = next.file(&ahead.name).map(|page| (next.version(), page.into_owned()));
        }
    }

    /// A file as it is shown now.
    fn file<'r>(&self, now: &'r Rehearsal, name: &str) -> Option<Cow<'r, [u8]>> {
        if !name.ends_with(".html") {
            return now.file(name);
        }
        let mut ahead = self.ahead.lock().unwrap_or_else(PoisonError::into_inner);
        match &ahead.printed {
            Some((version, page)) if ahead.name == name && *version == now.version() => Some(Cow::Owned(page.clone())),
            _ => {
                *ahead = Ahead { name: name.to_owned(), printed: None };
                drop(ahead);
                now.file(name)
            }
        }
    }

    /// Waits for another version, but not for ever.
    fn after(&self, version: Option<u64>) -> Option<Arc<Rehearsal>> {
        let now = self.now.lock().unwrap_or_else(PoisonError::into_inner);
        let same = |now: &mut Arc<Rehearsal>| Some(now.version()) == version;
        let (now, waited) = self.changed.wait_timeout_while(now, BEAT, same).unwrap_or_else(PoisonError::into_inner);
        (!waited.timed_out()).then(|| Arc::clone(&now))
    }
}

/// Serves from now on, for as long as the program runs: the port.
pub(super) fn serve(stage: &Arc<Stage>, port: u16) -> Result<u16, Failure> {
    let fail = |source| Failure::Port { port, source };
    let socket = TcpListener::bind((Ipv4Addr::LOCALHOST, port)).map_err(fail)?;
    let bound = socket.local_addr().map_err(fail)?.port();
    let stage = Arc::clone(stage);
    thread::spawn(move || {
        for caller in socket.incoming().flatten() {
            let stage = Arc::clone(&stage);
            // A thread each, so that nobody waits behind one who listens or says nothing.
            if stage.callers.fetch_add(1, Ordering::SeqCst) < CALLERS {
                thread::spawn(move || {
                    // A browser that has gone away does not mind that its answer is lost.
                    let _ = answer(&stage, &caller, bound);
                    stage.callers.fetch_sub(1, Ordering::SeqCst);
                });
            } else {
                stage.callers.fetch_sub(1, Ordering::SeqCst);
            }
        }
    });
    Ok(bound)
}

/// What a caller asks for.
#[derive(Debug, PartialEq, Eq)]
struct Request {
    method: String,
    address: String,
    /// What its Host headers say.
    hosts: Vec<String>,
}

impl Request {
    /// Source: RFC 9112, sections 2 to 5.
    fn read(caller: impl Read) -> io::Result<Option<Request>> {
        let mut lines = BufReader::new(caller.take(LONGEST)).lines();
        let mut next = || lines.next().unwrap_or_else(|| Err(io::ErrorKind::UnexpectedEof.into()));
        let first = next()?;
        let words: Vec<&str> = first.split(' ').collect();
        let [method, address, "HTTP/1.0" | "HTTP/1.1"] = words[..] else { return Ok(None) };
        let mut request = Request { method: method.to_owned(), address: address.to_owned(), hosts: Vec::new() };
        loop {
            let line = next()?;
            if line.is_empty() {
                return Ok(Some(request));
            }
            let Some((name, value)) = line.split_once(':').filter(|(name, _)| !name.contains([' ', '\t'])) else {
                return Ok(None);
            };
            if name.eq_ignore_ascii_case("host") {
                request.hosts.push(value.trim().to_owned());
            }
        }
    }

    /// Whether it asks for `127.0.0.1` or `localhost` at our port, once and by no other name.
    fn names_this_machine(&self, port: u16) -> bool {
        let ours = ["127.0.0.1", "localhost"].map(|name| format!("{name}:{port}"));
        matches!(self.hosts.as_slice(), [host] if ours.iter().any(|own| host.eq_ignore_ascii_case(own)))
    }
}

/// Answers one request, and the line is closed: a page needs few files, and no line is held open without need.
fn answer(stage: &Stage, mut caller: &TcpStream, port: u16) -> io::Result<()> {
    caller.set_read_timeout(Some(SILENCE))?;
    caller.set_nodelay(true)?;
    let request = match Request::read(caller) {
        Ok(request) => request,
        Err(error) if error.kind() == io::ErrorKind::InvalidData => None,
        Err(error) => return Err(error),
    };
    let refuse = |status: &str, words: &str| {
        respond(caller, status, "text/plain; charset=utf-8", (words.as_bytes(), FRESH), true)
    };
    let Some(request) = request else { return refuse("400 Bad Request", "This is no request.\n") };
    if !request.names_this_machine(port) {
        return refuse("403 Forbidden", "This address is not served here.\n");
    }
    let with_body = match request.method.as_str() {
        "GET" => true,
        "HEAD" => false,
        _ => return refuse("405 Method Not Allowed\r\nAllow: GET, HEAD", "Pages here can only be read.\n"),
    };
    let name = name_of(&request.address);
    if with_body && name.as_deref() == Some(EVENTS) {
        return tell_changes(stage, &mut caller);
    }
    let rehearsal = stage.now();
    let file = name.as_deref().and_then(|name| stage.file(&rehearsal, name));
    match (&name, file) {
        (Some(name), Some(file)) => {
            let asked = request.address.split_once("?form=").map(|(_, form)| form);
            let stays = asked.is_some() && rehearsal.form(name).as_deref() == asked;
            respond(caller, "200 OK", content_type(name), (&file, if stays { KEPT } else { FRESH }), with_body)
        }
        _ => respond(caller, "404 Not Found", content_type(".html"), (&rehearsal.missing(), FRESH), with_body),
    }
}

/// Said with every answer.
const ALWAYS: &str = "X-Content-Type-Options: nosniff\r\nCross-Origin-Resource-Policy: same-origin\r\n\
                      Connection: close\r\n";
/// Said of what may be another the next time.
const FRESH: &str = "Cache-Control: no-store\r\n";
/// Said of a file that was asked for by its form.
const KEPT: &str = "Cache-Control: private, max-age=86400, immutable\r\n";

/// Answers with some bytes, and how long they may be kept.
fn respond(
    mut caller: &TcpStream,
    status: &str,
    kind: &str,
    (body, kept): (&[u8], &str),
    with_body: bool,
) -> io::Result<()> {
    let size = body.len();
    let head = format!("HTTP/1.1 {status}\r\nContent-Type: {kind}\r\nContent-Length: {size}\r\n{kept}{ALWAYS}\r\n");
    let body = if with_body { body } else { &[] };
    caller.write_all(&[head.as_bytes(), body].concat())?;
    // A line that is closed while words still come in may lose the answer.
    caller.shutdown(Shutdown::Write)?;
    io::copy(&mut caller.take(LONGEST), &mut io::sink())?;
    Ok(())
}

/// The name of a file in an address, such as `/pressed-curd.html?x`.
fn name_of(address: &str) -> Option<String> {
    let path = address.strip_prefix('/')?;
    let path = path.split(['?', '#']).next()?;
    if path.is_empty() {
        return Some("index.html".to_owned());
    }
    let (mut bytes, mut rest) = (Vec::new(), path.as_bytes());
    while let [first, after @ ..] = rest {
        if *first != b'%' {
            bytes.push(*first);
            rest = after;
            continue;
        }
        let digit = |at: usize| char::from(*after.get(at)?).to_digit(16);
        bytes.push(u8::try_from(digit(0)? * 16 + digit(1)?).ok()?);
        rest = &after[2..];
    }
    String::from_utf8(bytes).ok()
}

fn content_type(name: &str) -> &'static str {
    match name.rsplit('.').next().unwrap_or_default().to_ascii_lowercase().as_str() {
        "html" => "text/html; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "js" => "text/javascript; charset=utf-8",
        "json" => "application/json",
        "webmanifest" => "application/manifest+json",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "jpg" | "jpeg" => "image/jpeg",
        "webp" => "image/webp",
        "gif" => "image/gif",
        "vtt" => "text/vtt; charset=utf-8",
        "srt" => "application/x-subrip; charset=utf-8",
        "csv" => "text/csv; charset=utf-8",
        "xml" => "application/xml",
        "pdf" => "application/pdf",
        _ => "application/octet-stream",
    }
}

/// Tells a page of each version until it is gone: server-sent events. Source: HTML Standard, section 9.2.
fn tell_changes(stage: &Stage, page: &mut impl Write) -> io::Result<()> {
    write!(page, "HTTP/1.1 200 OK\r\nContent-Type: text/event-stream\r\n{FRESH}{ALWAYS}\r\nretry: 500\n\n")?;
    let mut told = None;
    loop {
        let line = match stage.after(told) {
            Some(now) => {
                told = Some(now.version());
                let news = serde_json::json!({ "version": now.version(), "mark": now.mark(), "strip": now.strip() });
                format!("data: {news}\n\n")
            }
            None => ":\n\n".to_owned(),
        };
        page.write_all(line.as_bytes())?;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_request_is_read_strictly() {
        let read = |text: &str| Request::read(text.as_bytes());
        let request = read("GET /a HTTP/1.1\r\nhost: localhost:80\r\nX: y\r\n\r\nmore").unwrap().unwrap();
        assert_eq!((request.method.as_str(), request.address.as_str()), ("GET", "/a"));
        assert!(request.names_this_machine(80) && !request.names_this_machine(81));
        for broken in [
            "GET /a\r\n\r\n",
            "GET  /a HTTP/1.1\r\n\r\n",
            "GET /a HTTP/2\r\n\r\n",
            "GET /a HTTP/1.1\r\nHost : localhost:80\r\n\r\n",
            "GET /a HTTP/1.1\r\nX: y\r\n folded: z\r\n\r\n",
            "GET /a HTTP/1.1\r\nHost\r\n\r\n",
        ] {
            assert_eq!(read(broken).unwrap(), None, "{broken:?}");
        }
        assert!(read("GET /a HTTP/1.1\r\nHost: x\r\n").is_err(), "it breaks off");
        assert!(read(&format!("GET /a HTTP/1.1\r\nX: {}\r\n\r\n", "y".repeat(70_000))).is_err(), "it is too long");
    }

    #[test]
    fn a_name_is_what_stands_in_the_address_and_nothing_is_walked() {
        let some = |name: &str| Some(name.to_owned());
        assert_eq!(name_of("/"), some("index.html"));
        assert_eq!(name_of("/a%20b.html?x=1"), some("a b.html"));
        assert_eq!(name_of("/%2e%2e/course.toml"), some("../course.toml"));
        assert_eq!(name_of("//course.toml"), some("/course.toml"));
        for broken in ["a.html", "http://elsewhere/a.html", "/%", "/%2", "/%zz", "/%+1", "/%ff", "*"] {
            assert_eq!(name_of(broken), None, "{broken}");
        }
    }
}
