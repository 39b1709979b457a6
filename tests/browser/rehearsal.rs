//! How soon a change is seen: from a lesson saved to its page loaded again in Chromium, in a course of a thousand lessons,
//! beside a publish of the whole course by the same command.
//!
//! `cargo bench --bench rehearsal`, or with fewer lessons `cargo bench --bench rehearsal -- 200`. At most 100 ms is wanted,
//! and 3 % of the publish.

#![allow(dead_code, reason = "the tests use the rest of the driver")]
#![allow(clippy::print_stdout, reason = "the figures are what one runs this for")]

mod chromium;
mod page;
#[path = "../rehearsed/mod.rs"]
mod rehearsed;
#[path = "../synthetic/mod.rs"]
mod synthetic;
mod tools;

use std::time::{Duration, Instant};

const TURNS: usize = 15;

fn main() {
    let lessons = std::env::args().skip(1).find_map(|one| one.parse().ok()).unwrap_or(1000);
    let room = tempfile::tempdir().expect("there is a place for temporary files");
    let course = room.path().join("course");
    synthetic::write(&synthetic::course(lessons, false), &course);
    let project = pottle::read_project(&course).expect("it was written");
    let lesson = &project.lessons[lessons / 2];
    let (address, path) = (format!("/{}.html", lesson.slug), format!("{}/lesson.md", lesson.folder));
    let text = project.sources.get(lesson.file).text.clone();
    let start = Instant::now();
    let published = rehearsed::pottle().arg("publish").arg(&course).arg("--to").arg(room.path().join("site")).output();
    let publish = start.elapsed();
    assert!(published.expect("the command is built").status.success());
    println!("{lessons} lessons published without papers: {publish:.1?}");
    let rehearsed = rehearsed::Rehearsed::of(room);
    let page = page::Page::fresh();
    page.screen(390, 844, 3.0, true);
    page.open(&format!("http://127.0.0.1:{}{address}", rehearsed.port));
    let mut times: Vec<Duration> = (0..TURNS)
        .map(|turn| {
            page.settle();
            std::thread::sleep(Duration::from_millis(300));
            let start = Instant::now();
            page.after_loading(|| rehearsed.write(&path, &format!("{text}\n\nThe end, {turn}.\n")));
            let time = start.elapsed();
            assert!(page.is(&format!("document.querySelector('main').textContent.includes('The end, {turn}.')")));
            time
        })
        .collect();
    times.sort();
    let half = times[TURNS / 2];
    println!(
        "from save to page loaded: fastest {:.1?}, half under {half:.1?}, slowest {:.1?}",
        times[0],
        times[TURNS - 1]
    );
    let share = half.as_secs_f64() / publish.as_secs_f64() * 100.0;
    println!("half under {share:.2} % of the publish (wanted: at most 3 %, and under 100 ms)");
}
