//! The pages of a rehearsal over HTTP, for browsers on this machine alone.
//!
//! Files are looked up by name among those of the rehearsal, never on the disk, so no path leads out of it. The Host
//! header is checked, or a page from elsewhere could read them under a name that it has made to mean this machine.

use super::Failure;
use pottle::Rehearsal;
use std::io::{self, Write};
use std::net::{Ipv4Addr, TcpListener};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Condvar, Mutex, PoisonError};
use std::thread;
use std::time::Duration;
use tiny_http::{Header, Method, Request, Response, Server};

/// Where pages hear of changes.
const EVENTS: &str = "rehearse-events";
/// Who answers requests. A paper takes a while, and pages should not wait for it.
const ANSWERERS: usize = 4;
/// How many pages may listen at once.
const LISTENERS: usize = 64;
/// A line now and then finds out which of them have gone.
const BEAT: Duration = Duration::from_secs(15);

/// What is shown just now, and who waits for something else.
pub(super) struct Stage {
    now: Mutex<Arc<Rehearsal>>,
    changed: Condvar,
    listeners: AtomicUsize,
}

impl Stage {
    pub(super) fn new(rehearsal: Rehearsal) -> Stage {
        Stage { now: Mutex::new(Arc::new(rehearsal)), changed: Condvar::new(), listeners: AtomicUsize::new(0) }
    }

    /// What is shown.
    pub(super) fn now(&self) -> Arc<Rehearsal> {
        Arc::clone(&self.now.lock().unwrap_or_else(PoisonError::into_inner))
    }

    /// Shows something else.
    pub(super) fn show(&self, next: Rehearsal) {
        *self.now.lock().unwrap_or_else(PoisonError::into_inner) = Arc::new(next);
        self.changed.notify_all();
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
    let socket = TcpListener::bind((Ipv4Addr::LOCALHOST, port)).map_err(|error| fail(error.into()))?;
    let bound = socket.local_addr().map_err(|error| fail(error.into()))?.port();
    let server = Arc::new(Server::from_listener(socket, None).map_err(fail)?);
    for _ in 0..ANSWERERS {
        let (stage, server) = (Arc::clone(stage), Arc::clone(&server));
        thread::spawn(move || {
            for request in server.incoming_requests() {
                answer(&stage, request, bound);
            }
        });
    }
    Ok(bound)
}

/// A browser that has gone away does not mind that its answer is lost.
fn answer(stage: &Arc<Stage>, request: Request, port: u16) {
    let is_head = *request.method() == Method::Head;
    if !names_this_machine(&request, port) {
        return refuse(request, 403, "This address is not served here.\n");
    }
    if !is_head && *request.method() != Method::Get {
        return refuse(request, 405, "Pages here can only be read.\n");
    }
    let name = name_of(request.url());
    if name.as_deref() == Some(EVENTS) && !is_head {
        return listen(stage, request);
    }
    let rehearsal = stage.now();
    let file = name.as_deref().and_then(|name| rehearsal.file(name));
    let (status, kind, body) = match (&name, file) {
        (Some(name), Some(file)) => (200, content_type(name), file),
        _ => (404, content_type(".html"), rehearsal.missing()),
    };
    let response =
        Response::from_data(body.into_owned()).with_status_code(status).with_header(header("Content-Type", kind));
    let _ = request.respond(with_headers(response));
}

fn refuse(request: Request, status: u16, words: &str) {
    let kind = header("Content-Type", "text/plain; charset=utf-8");
    let response = Response::from_data(words.as_bytes()).with_status_code(status).with_header(kind);
    let response = if status == 405 { response.with_header(header("Allow", "GET, HEAD")) } else { response };
    let _ = request.respond(with_headers(response));
}

const HEADERS: [(&str, &str); 3] = [
    ("Cache-Control", "no-store"),
    ("X-Content-Type-Options", "nosniff"),
    ("Cross-Origin-Resource-Policy", "same-origin"),
];

fn with_headers<R: io::Read>(response: Response<R>) -> Response<R> {
    HEADERS.iter().fold(response, |response, (name, value)| response.with_header(header(name, value)))
}

fn header(name: &str, value: &str) -> Header {
    Header::from_bytes(name, value).expect("names and values of ours are plain letters")
}

/// Whether a request asks for `127.0.0.1` or `localhost` at our port, once and by no other name.
fn names_this_machine(request: &Request, port: u16) -> bool {
    let mut hosts = request.headers().iter().filter(|header| header.field.equiv("Host"));
    let ours = ["127.0.0.1", "localhost"].map(|name| format!("{name}:{port}"));
    let is_ours = |host: &Header| ours.iter().any(|own| host.value.as_str().eq_ignore_ascii_case(own));
    hosts.next().is_some_and(is_ours) && hosts.next().is_none()
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

/// Tells a page of each version, on a thread of its own, until the page is gone.
fn listen(stage: &Arc<Stage>, request: Request) {
    if stage.listeners.fetch_add(1, Ordering::SeqCst) >= LISTENERS {
        stage.listeners.fetch_sub(1, Ordering::SeqCst);
        return refuse(request, 503, "Too many pages listen.\n");
    }
    let stage = Arc::clone(stage);
    thread::spawn(move || {
        let _ = tell_changes(&stage, request.into_writer());
        stage.listeners.fetch_sub(1, Ordering::SeqCst);
    });
}

/// Server-sent events. Source: HTML Standard, section 9.2.
fn tell_changes(stage: &Stage, mut page: Box<dyn Write + Send>) -> io::Result<()> {
    write!(page, "HTTP/1.1 200 OK\r\nContent-Type: text/event-stream\r\nConnection: close\r\n")?;
    HEADERS.iter().try_for_each(|(name, value)| write!(page, "{name}: {value}\r\n"))?;
    write!(page, "\r\nretry: 500\n\n")?;
    page.flush()?;
    let mut told = None;
    loop {
        match stage.after(told) {
            Some(now) => {
                told = Some(now.version());
                let news = serde_json::json!({ "version": now.version(), "mark": now.mark(), "strip": now.strip() });
                write!(page, "data: {news}\n\n")?;
            }
            None => write!(page, ":\n\n")?,
        }
        page.flush()?;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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
