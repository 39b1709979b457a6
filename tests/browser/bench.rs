//! How long a lesson of 200 live mentions, in eight steps, takes to scale in Chromium with its processor slowed four times.
//!
//! `cargo bench --bench page`. From the choice to the last word on the page, layout included; at most 16 ms is wanted,
//! one frame of a screen.

#![allow(dead_code, reason = "the tests use the rest of the driver")]
#![allow(clippy::print_stdout, reason = "the figures are what one runs this for")]

mod chromium;
mod page;
mod server;
mod tools;

use pottle::{Project, check, render, write_site};

const STEPS: usize = 8;
const RUNS: usize = 40;
const FIRST: usize = 40;
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
    format!("# Everything\n\n```recipe\nmakes = \"6 kg mixture\"\n\n[ingredients]\n{rows}```\n\n{steps}")
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
    page.slow_down(4);
    // The first changes are read and compiled as they run; a student makes many.
    let script = format!(
        "(() => {{
            const took = [], units = document.querySelector('[name=u]');
            for (let run = 1; run <= {RUNS} + {FIRST}; run++) {{
                const start = performance.now();
                units.value = ['', 'metric', 'us', 'imperial'][run % 4];
                Lesson.change({{ x: `${{run}}/7` }});
                document.body.offsetHeight;
                took.push(performance.now() - start);
            }}
            return took;
        }})()"
    );
    let mut took: Vec<f64> = serde_json::from_value(page.eval(&script)).expect("times");
    let very_first = took[0];
    took.drain(..FIRST);
    took.sort_by(f64::total_cmp);
    let at = |share: usize| took[(took.len() - 1) * share / 100];
    println!("{mentions} mentions, processor slowed 4×, {RUNS} scalings with layout, in ms:");
    println!("the very first {very_first:.1}; after {FIRST} of them:");
    println!("fastest {:.1}, half under {:.1}, nine in ten under {:.1}, slowest {:.1}", at(0), at(50), at(90), at(100));
}
