//! The tools of these tests, tried on small pages: a driver that does nothing would let everything pass.

use super::chromium::Chromium;
use super::page::Page;
use super::server::Server;
use serde_json::json;

const HEAD: &str = "<!doctype html><html lang=en><meta charset=utf-8><title>Trial</title><link rel=icon href='data:,'>
<meta name=viewport content='width=device-width'>";

fn trial(body: &str) -> (Server, Page) {
    let server = Server::of(&[("index.html", &format!("{HEAD}{body}"))]);
    let page = Page::fresh();
    page.open(&server.url(""));
    (server, page)
}

#[test]
fn a_closed_browser_leaves_nothing_behind() {
    let chromium = Chromium::start();
    chromium.call(None, "Browser.getVersion", json!({})).expect("it answers");
    let room = chromium.room().to_owned();
    assert!(room.is_dir());
    drop(chromium);
    assert!(!room.exists());
}

#[test]
fn mouse_finger_and_keys_arrive() {
    let (_server, page) = trial(
        "<button id=far style='margin-top:4000px'>Far</button><label><input id=box type=checkbox> Box</label><input id=words value=old>
        <script>globalThis.log = []; for (const kind of ['click', 'touchstart', 'keydown', 'input'])
        addEventListener(kind, e => log.push(`${kind} ${e.key || e.target.id || 'label'}`));</script>",
    );
    page.screen(400, 600, 2.0, true);
    page.click("#far");
    page.tap("#box");
    page.wait_until("document.getElementById('box').checked");
    page.fill("#words", "1½ L");
    page.press("Shift+Tab");
    let log: Vec<String> = serde_json::from_value(page.eval("log")).expect("texts");
    let keys = "keydown 1,input words,keydown ½,input words,keydown  ,input words,keydown L,input words,keydown Tab";
    assert_eq!(log.join(","), format!("click far,touchstart box,click box,input box,click words,{keys}"));
    assert_eq!(page.text("document.getElementById('words').value"), "1½ L");
    assert_eq!(page.text("document.activeElement.id"), "box");
}

#[test]
#[should_panic(expected = "lies over it")]
fn what_is_covered_cannot_be_clicked() {
    let (_server, page) = trial("<button id=under>Under</button><div style='position:fixed;inset:0'></div>");
    page.click("#under");
}

#[test]
fn screen_media_and_speed_can_be_chosen() {
    let (_server, page) = trial("<p>Words</p>");
    page.screen(390, 844, 3.0, true);
    assert_eq!(page.eval("[innerWidth, devicePixelRatio, navigator.maxTouchPoints]"), json!([390, 3, 1]));
    let picture = page.screenshot();
    assert_eq!(&picture[..8], b"\x89PNG\r\n\x1a\n");
    assert_eq!(picture[16..24], [0, 0, 4, 146, 0, 0, 9, 228], "1170 by 2532, as the PNG's header gives them");
    page.eval("document.querySelector('p').style.height = '3000px'");
    assert!(page.as_a_whole(|| page.is("innerHeight >= 3000")));
    assert_eq!(page.eval("innerHeight"), 844);
    for (name, value) in
        [("prefers-color-scheme", "dark"), ("forced-colors", "active"), ("prefers-reduced-motion", "reduce")]
    {
        page.media("", &[(name, value)]);
        assert!(page.is(&format!("matchMedia('({name}: {value})').matches")), "{name}");
    }
    page.media("print", &[]);
    assert!(page.is("matchMedia('print').matches"));
    let took = |page: &Page| {
        let script = "(() => { const start = performance.now(); let sum = 0; for (let i = 0; i < 2e7; i++) sum += i % 7; return performance.now() - start; })()";
        page.eval(script).as_f64().expect("a time")
    };
    let usual = took(&page);
    page.slow_down(8);
    assert!(took(&page) > 2.0 * usual);
}

#[test]
fn script_can_be_switched_off_and_put_before() {
    let (_server, page) =
        trial("<p>still</p><script>document.querySelector('p').textContent = globalThis.word || 'moved'</script>");
    assert_eq!(page.text("document.querySelector('p').textContent"), "moved");
    page.before_loading("globalThis.word = 'before'");
    page.reload();
    assert_eq!(page.text("document.querySelector('p').textContent"), "before");
    page.allow_script(false);
    page.reload();
    assert_eq!(page.text("document.querySelector('p').textContent"), "still");
}

#[test]
fn a_profile_is_shared_by_its_pages_and_by_no_others() {
    let (server, page) = trial("<p>Words</p>");
    page.eval("localStorage.setItem('word', 'kept')");
    let (second, stranger) = (page.another(), Page::fresh());
    for (page, expected) in [(&second, json!("kept")), (&stranger, json!(null))] {
        page.open(&server.url(""));
        assert_eq!(page.eval("localStorage.getItem('word')"), expected);
    }
}

#[test]
fn a_stopped_server_is_gone() {
    let (mut server, page) = trial("<a href=second.html>Second</a>");
    std::fs::write(server.folder().join("second.html"), HEAD).expect("the folder is ours");
    page.after_loading(|| page.click("a"));
    assert_eq!(page.text("location.href"), server.url("second.html"));
    server.stop();
    assert!(page.is("fetch('second.html').then(() => false, () => true)"));
}

#[test]
fn all_sorts_of_trouble_are_heard() {
    let (_server, page) = trial(
        "<meta http-equiv=Content-Security-Policy content=\"default-src 'none'; script-src 'unsafe-inline'; img-src 'self'\">
        <p style='color:red'>Words</p><img src=gone.png alt=''>
        <script>console.error('said'); setTimeout(() => { throw Error('thrown') }); Promise.reject(Error('broken'))</script>",
    );
    page.wait_until("document.readyState == 'complete'");
    let troubles = page.troubles();
    for part in ["Content Security Policy", "404", "said", "Error: thrown", "Error: broken"] {
        assert!(troubles.iter().any(|one| one.contains(part)), "{part} is not among {troubles:#?}");
    }
}

#[test]
#[should_panic(expected = "Error: thrown")]
fn a_page_in_trouble_fails_its_test() {
    let (_server, page) = trial("<script>throw Error('thrown')</script>");
    page.wait_until("document.readyState == 'complete'");
}

#[test]
#[should_panic(expected = "RangeError: too far")]
fn what_a_script_throws_fails_the_test() {
    let (_server, page) = trial("<p>Words</p>");
    page.eval("Promise.reject(RangeError('too far'))");
}
