//! A small file server on this machine alone, which can be stopped: then there is no signal in the kitchen.

use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::net::{Ipv4Addr, SocketAddr, TcpListener, TcpStream};
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread::JoinHandle;
use std::time::Duration;
use tempfile::TempDir;

/// Serves a folder for as long as it lives. Each one is an origin of its own.
pub struct Server {
    folder: Arc<TempDir>,
    address: SocketAddr,
    running: Arc<AtomicBool>,
    listener: Option<JoinHandle<()>>,
}

impl Server {
    /// Serves a folder, and removes it at the end.
    pub fn start(folder: TempDir) -> Server {
        let socket = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).expect("a free port");
        let address = socket.local_addr().expect("its address");
        let (folder, running) = (Arc::new(folder), Arc::new(AtomicBool::new(true)));
        let (shared, go_on) = (Arc::clone(&folder), Arc::clone(&running));
        let listener = std::thread::spawn(move || listen(&socket, &shared, &go_on));
        Server { folder, address, running, listener: Some(listener) }
    }

    /// Serves a few files made up by a test.
    pub fn of(files: &[(&str, &str)]) -> Server {
        let folder = tempfile::tempdir().expect("a folder");
        for (path, text) in files {
            fs::write(folder.path().join(path), text).expect("the folder is ours");
        }
        Server::start(folder)
    }

    /// The folder that is served.
    pub fn folder(&self) -> &Path {
        self.folder.path()
    }

    /// The address of one file.
    pub fn url(&self, path: &str) -> String {
        format!("http://{}/{path}", self.address)
    }

    /// Nothing is served from now on; the port refuses.
    pub fn stop(&mut self) {
        self.running.store(false, Ordering::SeqCst);
        if let Some(listener) = self.listener.take() {
            // A last caller wakes the listener. If it is gone already there is nobody to wake.
            let _ = TcpStream::connect(self.address);
            listener.join().expect("the listener does not panic");
        }
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        self.stop();
    }
}

fn listen(socket: &TcpListener, folder: &Arc<TempDir>, running: &Arc<AtomicBool>) {
    for stream in socket.incoming() {
        if !running.load(Ordering::SeqCst) {
            break;
        }
        let (Ok(stream), folder, running) = (stream, Arc::clone(folder), Arc::clone(running)) else { continue };
        // A browser opens connections ahead of need and may never use them; a caller who hangs up is no fault.
        std::thread::spawn(move || {
            let _ = answer(&stream, folder.path(), &running);
        });
    }
}

fn answer(mut stream: &TcpStream, folder: &Path, running: &AtomicBool) -> std::io::Result<()> {
    stream.set_read_timeout(Some(Duration::from_secs(30)))?;
    let mut lines = BufReader::new(stream).lines();
    let request = lines.next().transpose()?.unwrap_or_default();
    while lines.next().transpose()?.is_some_and(|line| !line.is_empty()) {}
    if !running.load(Ordering::SeqCst) {
        return Ok(());
    }
    let target = request.split(' ').nth(1).unwrap_or_default();
    let path = target.split('?').next().unwrap_or_default().trim_start_matches('/');
    let path = if path.is_empty() { "index.html" } else { &decoded(path) };
    let file = Some(path).filter(|path| !path.contains("..")).and_then(|path| fs::read(folder.join(path)).ok());
    let (status, body) = file.map_or_else(|| ("404 Not Found", b"not here".to_vec()), |body| ("200 OK", body));
    let (kind, length) = (content_type(path), body.len());
    write!(stream, "HTTP/1.1 {status}\r\nContent-Type: {kind}\r\nContent-Length: {length}\r\n")?;
    // Nothing from an earlier visit may answer for the site.
    write!(stream, "Cache-Control: no-cache\r\nX-Content-Type-Options: nosniff\r\nConnection: close\r\n\r\n")?;
    stream.write_all(&body)
}

/// A path with `%20` and the like made plain.
fn decoded(path: &str) -> String {
    let mut parts = path.split('%');
    let mut bytes = parts.next().unwrap_or_default().as_bytes().to_vec();
    for part in parts {
        let code = part.get(..2).and_then(|digits| u8::from_str_radix(digits, 16).ok());
        bytes.extend(code.unwrap_or(b'%').to_be_bytes());
        bytes.extend(part.get(code.map_or(0, |_| 2)..).unwrap_or_default().as_bytes());
    }
    String::from_utf8(bytes).unwrap_or_else(|_| path.to_owned())
}

fn content_type(path: &str) -> &'static str {
    match path.rsplit('.').next().unwrap_or_default() {
        "html" => "text/html; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "js" => "text/javascript; charset=utf-8",
        "json" => "application/json",
        "webmanifest" => "application/manifest+json",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "jpg" | "jpeg" => "image/jpeg",
        "vtt" => "text/vtt; charset=utf-8",
        "srt" => "application/x-subrip; charset=utf-8",
        "txt" => "text/plain; charset=utf-8",
        "xml" => "application/xml",
        "pdf" => "application/pdf",
        _ => "application/octet-stream",
    }
}
