//! `pottle rehearse` as a browser and an editor meet it: files change on disk, and pages are asked for over a socket.

mod rehearsed;

use rehearsed::{LESSON, PAGE, PATIENCE, Rehearsed, pottle, wait_for};
use std::fs;

#[test]
fn every_kind_of_change_is_followed() {
    let rehearsed = Rehearsed::start();
    assert!(rehearsed.get(PAGE).text().contains("Pat the dough"));
    // Words of a lesson.
    rehearsed.write(LESSON, &rehearsed.lesson().replace("Pat the dough", "Press the dough"));
    rehearsed.wait_for(PAGE, "Press the dough");
    assert!(
        wait_for("the line", || Some(rehearsed.said()).filter(|said| said.contains(LESSON))).contains(" ms, no errors")
    );
    // An editor that writes beside the file and renames over it.
    rehearsed.write_at_once(LESSON, &rehearsed.lesson().replace("Press the dough", "Lay the dough"));
    rehearsed.wait_for(PAGE, "Lay the dough");
    // A new lesson in a new folder, words in it, its captions, another name for it, and its end.
    rehearsed.write("02-tea/lesson.md", "# Tea\n\nPour and wait.\n");
    rehearsed.wait_for("/tea.html", "Pour and wait");
    rehearsed.write("02-tea/lesson.md", "# Tea\n\nPour, cover and wait.\n");
    rehearsed.wait_for("/tea.html", "Pour, cover and wait");
    rehearsed.write("02-tea/lesson.vtt", "WEBVTT\n\n00:00:01.000 --> 00:00:02.000\nWe pour.\n");
    rehearsed.wait_for("/captions/tea.vtt", "We pour");
    rehearsed.write("02-tea/lesson.vtt", "WEBVTT\n\n00:00:01.000 --> 00:00:02.000\nWe wait.\n");
    rehearsed.wait_for("/captions/tea.vtt", "We wait");
    fs::rename(rehearsed.path("02-tea"), rehearsed.path("02-mint-tea")).unwrap();
    rehearsed.wait_for("/mint-tea.html", "Pour, cover and wait");
    assert_eq!(rehearsed.get("/tea.html").status, 404);
    rehearsed.write("02-mint-tea/lesson.md", "# Mint tea\n\nStill followed.\n");
    rehearsed.wait_for("/mint-tea.html", "Still followed");
    fs::remove_dir_all(rehearsed.path("02-mint-tea")).unwrap();
    wait_for("its end", || (rehearsed.get("/mint-tea.html").status == 404).then_some(()));
    // The theme, the glossary, the pantry, the course itself.
    rehearsed.write("theme/own.css", "p { color: teal }");
    rehearsed.wait_for("/style.css", "color: teal");
    rehearsed.write("theme/base.html", "<!doctype html><title>x</title><p>Mine{% block main %}{% endblock main %}");
    rehearsed.wait_for(PAGE, "<p>Mine");
    fs::remove_dir_all(rehearsed.path("theme")).unwrap();
    wait_for("the old theme", || (!rehearsed.get(PAGE).text().contains("<p>Mine")).then_some(()));
    rehearsed.write("glossary.md", "# Words\n\n## Peel\n\nA broad wooden shovel for loaves.\n");
    rehearsed.wait_for("/glossary.html", "A broad wooden shovel");
    rehearsed.write("pantry.toml", "[[ingredient]]\nid = 1\n");
    rehearsed.wait_for(PAGE, "pantry.toml:");
    rehearsed.write("pantry.toml", "");
    wait_for("no findings", || (!rehearsed.get(PAGE).text().contains("pantry.toml:")).then_some(()));
    let course = fs::read_to_string(rehearsed.path("course.toml")).unwrap();
    rehearsed.write("course.toml", &course.replace("My cooking course", "Our cooking course"));
    rehearsed.wait_for("/", "Our cooking course");
}

#[test]
fn an_error_keeps_the_last_good_page_and_a_mend_goes_on() {
    let rehearsed = Rehearsed::start();
    let events = rehearsed.events();
    let first = events.recv_timeout(PATIENCE).unwrap();
    assert_eq!(first["strip"], "");
    rehearsed.write(LESSON, &rehearsed.lesson().replace("8 g of salt", "80 g of salt"));
    let wrong = events.recv_timeout(PATIENCE).unwrap();
    assert_eq!(wrong["mark"], first["mark"], "no page is out of date");
    assert!(wrong["strip"].as_str().unwrap().contains("error[disagrees] 01-first-lesson/lesson.md:57:53"), "{wrong}");
    let page = rehearsed.get(PAGE).text();
    assert!(page.contains("error[disagrees]") && page.contains("Pat the dough"), "{page}");
    wait_for("the findings", || rehearsed.said().contains("course/01-first-lesson/lesson.md:57:53").then_some(()));
    // A page that nobody asked for yet is the last good one too, and other changes wait.
    rehearsed.write(LESSON, &rehearsed.lesson().replace("Pat the dough", "Press the dough"));
    assert!(rehearsed.get("/first-lesson-take-home.html").text().contains("Pat the dough"));
    rehearsed.write(LESSON, &rehearsed.lesson().replace("80 g of salt", "8 g of salt"));
    let right = wait_for("the mend", || events.recv_timeout(PATIENCE).ok().filter(|event| event["strip"] == ""));
    assert_ne!(right["mark"], first["mark"]);
    let page = rehearsed.get(PAGE).text();
    assert!(page.contains("Press the dough") && !page.contains("error["), "{page}");
    // A course that is gone for a moment.
    let (course, aside) = (rehearsed.path("course.toml"), rehearsed.path("course.toml~"));
    fs::rename(&course, &aside).unwrap();
    rehearsed.wait_for(PAGE, "is not a course");
    fs::rename(&aside, &course).unwrap();
    wait_for("the course", || (!rehearsed.get(PAGE).text().contains("is not a course")).then_some(()));
}

#[test]
fn a_course_that_begins_with_errors_shows_them_and_then_its_pages() {
    let rehearsed = Rehearsed::start_with(|course| {
        let path = course.join(LESSON);
        fs::write(&path, fs::read_to_string(&path).unwrap().replace("8 g of salt", "80 g of salt")).unwrap();
    });
    assert!(rehearsed.get("/").text().contains("error[disagrees]"));
    let page = rehearsed.get(PAGE);
    assert!(page.status == 404 && page.text().contains("/rehearse.js"), "it loads again when there is one");
    rehearsed.write(LESSON, &rehearsed.lesson().replace("80 g of salt", "8 g of salt"));
    rehearsed.wait_for(PAGE, "Pat the dough");
}

#[test]
fn a_burst_of_writes_is_one_change() {
    let rehearsed = Rehearsed::start();
    let lesson = rehearsed.lesson();
    // Between two writes a busy machine may let more time pass than a burst allows: one burst of several must do.
    let rises = (0..8).map(|burst| {
        let before = rehearsed.version();
        for write in 1..=50 {
            rehearsed.write(LESSON, &lesson.replace("Pat the dough", &format!("Pat dough {burst} time {write}.")));
        }
        rehearsed.wait_for(PAGE, &format!("Pat dough {burst} time 50."));
        rehearsed.version() - before
    });
    let mut seen = Vec::new();
    assert!(rises.inspect(|rise| seen.push(*rise)).any(|rise| rise == 1), "{seen:?}");
    assert!(seen.iter().all(|rise| *rise < 25), "{seen:?}");
    // What is no part of the course, and what stays as it was, is no change.
    let before = rehearsed.version();
    rehearsed.write("notes.txt", "buy milk");
    rehearsed.write(".hidden/lesson.md", "# Hidden\n");
    rehearsed.write_at_once(LESSON, &rehearsed.lesson());
    rehearsed.write_at_once("02-tea/lesson.md", "# Tea\n\nPour.\n");
    rehearsed.wait_for("/tea.html", "Pour");
    assert_eq!(rehearsed.version(), before + 1);
}

#[test]
fn only_browsers_on_this_machine_are_answered() {
    let rehearsed = Rehearsed::start();
    let port = rehearsed.port;
    for host in [format!("127.0.0.1:{port}"), format!("localhost:{port}"), format!("LocalHost:{port}")] {
        assert_eq!(rehearsed.by("GET", "/", &host).status, 200, "{host}");
    }
    let strange = ["example.org", "127.0.0.1", "localhost", "localhost:1", "127.0.0.1.example.org", "[::1]", ""];
    for host in strange.map(str::to_owned).into_iter().chain([format!("example.org:{port}"), format!("0.0.0.0:{port}")])
    {
        for path in ["/", "/rehearse-events"] {
            let answer = rehearsed.by("GET", path, &host);
            assert_eq!(answer.status, 403, "{host}");
            assert!(!answer.text().contains("cooking"), "{host}");
        }
    }
    for request in [
        "GET / HTTP/1.0\r\n\r\n".to_owned(),
        format!("GET / HTTP/1.1\r\nHost: localhost:{port}\r\nHost: example.org\r\nConnection: close\r\n\r\n"),
    ] {
        assert_eq!(rehearsed.ask(&request).status, 403, "{request}");
    }
}

/// A browser opens lines ahead of need.
#[test]
fn silent_callers_hold_nobody_up() {
    let rehearsed = Rehearsed::start();
    let silent = || std::net::TcpStream::connect(("127.0.0.1", rehearsed.port)).unwrap();
    let (lines, listeners): (Vec<_>, Vec<_>) = (0..20).map(|_| (silent(), rehearsed.events())).unzip();
    let start = std::time::Instant::now();
    for _ in 0..20 {
        assert_eq!(rehearsed.get("/style.css").status, 200);
    }
    assert!(start.elapsed().as_secs() < 8, "nobody waits until the silent ones are hung up on");
    drop((lines, listeners));
}

#[test]
fn pages_can_only_be_read() {
    let rehearsed = Rehearsed::start();
    let host = format!("localhost:{}", rehearsed.port);
    for method in ["POST", "PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "BAKE"] {
        let answer = rehearsed.by(method, "/", &host);
        assert_eq!(answer.status, 405, "{method}");
        assert!(answer.head.contains("allow: get, head"), "{}", answer.head);
    }
    let (got, head) = (rehearsed.get(PAGE), rehearsed.by("HEAD", PAGE, &host));
    assert_eq!((head.status, head.body.len()), (200, 0));
    for line in ["content-type: text/html; charset=utf-8", "cache-control: no-store", "x-content-type-options: nosniff"]
    {
        assert!(got.head.contains(line) && head.head.contains(line), "{line} in {}", got.head);
    }
    for (path, kind) in [
        ("/style.css", "text/css"),
        ("/rehearse.js", "text/javascript"),
        ("/rehearse.css", "text/css"),
        ("/icon.svg", "image/svg+xml"),
        ("/first-lesson.json", "application/json"),
        ("/site.webmanifest", "application/manifest+json"),
        ("/papers/first-lesson-cards-a6.pdf", "application/pdf"),
    ] {
        let answer = rehearsed.get(path);
        assert!(
            answer.status == 200 && answer.head.contains(&format!("content-type: {kind}")),
            "{path}: {}",
            answer.head
        );
    }
}

#[test]
fn a_browser_may_keep_only_what_it_asks_for_by_its_form() {
    let rehearsed = Rehearsed::start();
    let page = rehearsed.get(PAGE).text();
    let link = |page: &str| {
        let start = page.find("style.css?form=").unwrap_or_else(|| panic!("the sheet has a form in {page}"));
        let end = page[start..].find('"').map_or(page.len(), |len| start + len);
        format!("/{}", &page[start..end])
    };
    let kept = |path: &str| rehearsed.get(path).head.contains("immutable");
    let before = link(&page);
    assert!(kept(&before));
    for path in ["/style.css", "/style.css?form=", "/style.css?form=1", "/first-lesson.html?form=1", PAGE] {
        assert!(!kept(path) && rehearsed.get(path).head.contains("no-store"), "{path}");
    }
    rehearsed.write("theme/own.css", "p { color: red }");
    let after = wait_for("another sheet", || Some(link(&rehearsed.get(PAGE).text())).filter(|now| *now != before));
    assert!(kept(&after) && rehearsed.get(&after).text().contains("red"));
    assert!(!kept(&before), "another sheet is not taken for the one that was asked for");
}

#[test]
fn what_stands_under_two_names_is_shown_under_both() {
    let rehearsed = Rehearsed::start_with(|course| {
        fs::create_dir(course.join("02-again")).unwrap();
        std::os::unix::fs::symlink("../01-first-lesson/lesson.md", course.join("02-again/lesson.md")).unwrap();
    });
    rehearsed.write(LESSON, &rehearsed.lesson().replace("Pat the dough", "Press the dough"));
    rehearsed.wait_for(PAGE, "Press the dough");
    rehearsed.wait_for("/again.html", "Press the dough");
}

#[test]
fn only_what_was_made_is_served() {
    let rehearsed = Rehearsed::start();
    for path in [
        "/course.toml",
        "/../course.toml",
        "/..%2fcourse.toml",
        "/%2e%2e/course.toml",
        "/%2e%2e%2fcourse.toml",
        "/..%5ccourse.toml",
        "/./course.toml",
        "//course.toml",
        "/pictures/../course.toml",
        "/pictures/%2e%2e/course.toml",
        "/01-first-lesson/lesson.md",
        "/index.html/../../course.toml",
        "/etc/passwd",
        "//etc/passwd",
        "/..%c0%af..%c0%afetc/passwd",
        "/index.html%00",
        "/%zz",
        "/sw.js",
        "/offline.js",
        "/INDEX.HTML",
    ] {
        let answer = rehearsed.get(path);
        assert_eq!(answer.status, 404, "{path}");
        assert!(!answer.text().contains("title    =") && !answer.text().contains("root:"), "{path}");
    }
    assert_eq!(rehearsed.get("/?x=1").status, 200);
    assert_eq!(rehearsed.get("/first%2Dlesson.html").status, 200);
}

#[test]
fn a_port_that_is_taken_is_said_and_a_signal_ends_it_well() {
    let mut rehearsed = Rehearsed::start();
    let again = pottle()
        .args(["rehearse", "course", "--port", &rehearsed.port.to_string()])
        .current_dir(rehearsed.room.path())
        .output()
        .unwrap();
    assert_eq!(again.status.code(), Some(2));
    let words = String::from_utf8(again.stderr).unwrap();
    assert!(words.contains(&format!("port {}", rehearsed.port)) && words.contains("--port"), "{words}");
    // A page that listens does not hold it up.
    let events = rehearsed.events();
    events.recv_timeout(PATIENCE).unwrap();
    assert_eq!(rehearsed.stop("-INT").code(), Some(0));
    for signal in ["-TERM", "-HUP"] {
        assert_eq!(Rehearsed::start().stop(signal).code(), Some(0), "{signal}");
    }
    let none = pottle().args(["rehearse", "nowhere"]).current_dir(rehearsed.room.path()).output().unwrap();
    assert_eq!(none.status.code(), Some(2));
    assert!(String::from_utf8(none.stderr).unwrap().contains("there is no folder `nowhere`"));
}
