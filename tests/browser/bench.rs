//! How long a lesson of 200 live mentions, in eight steps, takes to scale in Chromium with its processor slowed four times.
//!
//! `cargo bench --bench page`. From the choice to the last word on the page, layout included; at most 16 ms is wanted,
//! one frame of a screen.
//!
//! Chromium slows itself by stopping for a while again and again, so that one short piece of work is hit by a stop or is
//! not. How far that alone spreads the times is shown beside: a loop that takes as long at full speed, slowed too.

#![allow(dead_code, reason = "the tests use the rest of the driver")]
#![allow(clippy::print_stdout, reason = "the figures are what one runs this for")]

mod chromium;
mod page;
mod server;
mod tools;

use pottle::{Project, check, render, write_site};

const STEPS: usize = 8;
const RUNS: usize = 80;
const INGREDIENTS: &[&str] = &[
    "4 L whole milk",
    "120 mL lemon juice",
    "9 g fine salt",
    "500 g strong white flour",
    "7 g instant yeast",
    "20 mL olive oil",
    "250 g caster sugar",
    "325 g whey",
    "300 mL double cream",
    "75 g butter",
];

/// A lesson whose steps say each amount again and again.
fn lesson() -> String {
    let rows: String = INGREDIENTS.iter().enumerate().map(|(at, line)| format!("i{at} = \"{line}\"\n")).collect();
    let all: Vec<String> = (0..INGREDIENTS.len()).map(|at| format!("\"i{at}\"")).collect();
    let words = |line: &&str| {
        let (amount, name) = line.split_at(line.match_indices(' ').nth(1).map_or(line.len(), |(at, _)| at));
        format!("Weigh {amount} of{name}. ")
    };
    let once: String = INGREDIENTS.iter().map(words).collect();
    let steps: String = (1..=STEPS)
        .map(|step| {
            let add = if step == 1 { format!("add = [{}]\n", all.join(", ")) } else { String::new() };
            format!("## Step {step}\n\n```step\n{add}hands = \"on\"\n```\n\n{once}\n\n{once}\n\n")
        })
        .collect();
    format!("# Everything\n\n```recipe\nmakes = \"5.5 kg mixture\"\n\n[ingredients]\n{rows}```\n\n{steps}")
}

fn main() {
    let course = "title = \"Bench\"\nhome = \"uk\"\nlanguage = \"en-GB\"\n";
    let text = lesson();
    let project = Project::from_files([("course.toml", course), ("01-all/lesson.md", text.as_str())]);
    let checked = check(&project);
    let course = checked.course.unwrap_or_else(|| panic!("{:?}", checked.findings));
    let folder = tempfile::tempdir().expect("a folder");
    write_site(&render(&project, &course).expect("the theme is sound"), folder.path()).expect("a new folder");
    let server = server::Server::start(folder);
    let page = page::Page::fresh();
    page.screen(390, 844, 3.0, true);
    page.open(&server.url("all.html"));
    let mentions = page.eval("document.querySelectorAll('[data-m]').length");
    page.eval("new Promise(done => setTimeout(done, 500))");
    println!("{mentions} mentions on a phone, from the choice to the end of layout, in ms:");
    page.slow_down(4);
    println!("slowed 4×, the very first: {:.1}", times(&page, 1, SCALE)[0]);
    // A browser makes a script faster while it runs, and a student makes many changes.
    times(&page, RUNS, SCALE);
    report("slowed 4×", times(&page, RUNS, SCALE));
    page.slow_down(1);
    let full = report("full speed", times(&page, RUNS, SCALE));
    let turns = |count: f64| format!("for (let n = {count:.0}; n > 0; n--) self.sum = n ^ self.sum;");
    times(&page, RUNS, &turns(1_000_000.0));
    let mut loops = times(&page, RUNS, &turns(1_000_000.0));
    loops.sort_by(f64::total_cmp);
    let as_long = turns(1_000_000.0 * full / loops[RUNS / 2]);
    report("a loop, full speed", times(&page, RUNS, &as_long));
    page.slow_down(4);
    report("that loop, slowed 4×", times(&page, RUNS, &as_long));
}

/// Another scale and other units at each turn, and the page laid out.
const SCALE: &str = "const units = document.querySelector('[name=u]');
    units.value = ['', 'metric', 'us', 'imperial'][run % 4];
    Lesson.change({ x: `${run}/7` });
    document.body.offsetHeight;";

/// How long each of so many runs takes, in milliseconds.
fn times(page: &page::Page, runs: usize, work: &str) -> Vec<f64> {
    let script = format!(
        "(() => {{
            const took = [];
            for (let run = 1; run <= {runs}; run++) {{
                const start = performance.now();
                {work}
                took.push(performance.now() - start);
            }}
            return took;
        }})()"
    );
    serde_json::from_value(page.eval(&script)).expect("times")
}

/// Prints the times; their middle.
fn report(what: &str, mut took: Vec<f64>) -> f64 {
    took.sort_by(f64::total_cmp);
    let at = |share: usize| took[(took.len() - 1) * share / 100];
    let mean = took.iter().sum::<f64>() / took.len() as f64;
    println!(
        "{what:<22} mean {mean:5.1}, half under {:5.1}, nine in ten under {:5.1}, slowest {:5.1}",
        at(50),
        at(90),
        at(100)
    );
    at(50)
}
