//! What follows from a recipe and is held against it: pots, weights, the session, the order of steps, leftovers. For
//! each rule a lesson that breaks it, and one that comes near and does not.

mod steps;

use pottle::{Project, check};
use steps::lesson;

/// The codes of the findings of these lessons, with their messages.
fn findings(lessons: &[&str]) -> Vec<String> {
    let names: Vec<String> =
        ["01-first", "02-second", "03-third"].iter().map(|name| format!("{name}/lesson.md")).collect();
    let mut files = vec![("course.toml", "title = \"Hall\"\nhome = \"uk\"\nlanguage = \"en-GB\"\n")];
    files.extend(names.iter().map(String::as_str).zip(lessons.iter().copied()));
    let found = check(&Project::from_files(files)).findings;
    found.iter().map(|one| format!("{}: {}", one.code.name(), one.message)).collect()
}

#[track_caller]
fn finds(lessons: &[&str], expected: &[&str]) {
    assert_eq!(findings(lessons), expected);
}

const MILK: &str = "makes = \"4 L warm milk\"\n[ingredients]\nmilk = \"4 L whole milk\"\n[equipment]\n";

fn heated(holds: &str, step: &str) -> String {
    lesson(&format!("{MILK}pot = {{ name = \"pot\", holds = \"{holds}\" }}"), &[step])
}

#[test]
fn what_a_kit_packs_is_said_beside_the_kit_alone() {
    let recipe = "makes = \"4 L set milk\"\nkit = { batches = 2, packs = { rennet = \"2 mL\" } }\n[ingredients]\n\
                  milk = \"4 L whole milk\"\nrennet = \"0.8 mL liquid rennet\"\n[equipment]\npot = \"pot\"";
    let with = |words: &str| findings(&[&(lesson(recipe, &["add = [\"milk\", \"rennet\"]\nin = \"pot\""]) + words)]);
    for words in [
        "There is 2 mL of rennet in the kit.\n",
        "The rennet (2 mL) is packed cold.\n",
        "A packet with 2 mL of liquid rennet comes by post.\n",
        "The 2 mL of rennet that is posted keeps in the fridge.\n",
    ] {
        assert_eq!(with(words), [""; 0], "{words}");
    }
    let wrong = |words: &str| with(words).concat();
    assert!(wrong("There is 3 mL of rennet in the kit.\n").starts_with("disagrees: the words say “3 mL”"));
    // What goes in is not what is packed, and the pack of one thing says nothing of another.
    assert!(wrong("Stir in 2 mL of rennet.\n").starts_with("disagrees: the words say “2 mL”"));
    assert!(wrong("There is 2 mL of rennet. The kit is posted.\n").starts_with("disagrees: the words say “2 mL”"));
    assert!(wrong("There is 2 mL of milk in the kit.\n").starts_with("disagrees: the words say “2 mL”"));
}

#[test]
fn a_heated_pot_keeps_a_fifth_empty() {
    let boil = "add = [\"milk\"]\nin = \"pot\"\nto = \"85 °C\"";
    finds(&[&heated("3.9 L", boil)], &["does-not-fit: “Step 0” brings the pot to 4 L, more than it holds"]);
    finds(
        &[&heated("4.9 L", boil)],
        &["tight-fit: “Step 0” heats 4 L in the pot: less than a fifth of it stays empty"],
    );
    finds(&[&heated("5 L", boil)], &[]);
    // What stays cool does not rise.
    finds(&[&heated("4 L", "add = [\"milk\"]\nin = \"pot\"\nto = \"43 °C\"")], &[]);
}

#[test]
fn what_steps_put_into_a_pot_adds_up_until_another_is_taken() {
    let recipe = |pot: &str| {
        format!(
            "makes = \"6 L mixture\"\n[ingredients]\nmilk = \"4 L whole milk\"\nwater = \"2 L water\"\n[equipment]\n\
             pot = {{ name = \"pot\", holds = \"{pot}\" }}\nbowl = {{ name = \"bowl\", holds = \"3 L\" }}"
        )
    };
    let (milk, water) = ("add = [\"milk\"]\nin = \"pot\"", "add = [\"water\"]\nin = \"pot\"");
    let full = "does-not-fit: “Step 1” brings the pot to 6 L, more than it holds";
    finds(&[&lesson(&recipe("5.9 L"), &[milk, water])], &[full]);
    finds(&[&lesson(&recipe("6 L"), &[milk, water])], &[]);
    // A step that names no vessel neither fills nor empties one.
    finds(
        &[&lesson(&recipe("5.9 L"), &[milk, "takes = \"5 min\"", water])],
        &["does-not-fit: “Step 2” brings the pot to 6 L, more than it holds"],
    );
    finds(&[&lesson(&recipe("5.9 L"), &[milk, "in = \"bowl\"", water])], &[]);
}

#[test]
fn flour_sinks_into_what_is_poured_on_it() {
    // 500 g of flour lies in the bowl as about 860 mL, and makes 825 mL of dough with 325 mL of water.
    let recipe = |holds: &str| {
        format!(
            "makes = \"825 g dough\"\n[ingredients]\nflour = \"500 g strong white flour\"\nwater = \"325 mL water\"\n\
             [equipment]\nbowl = {{ name = \"bowl\", holds = \"{holds}\" }}"
        )
    };
    let all = "add = [\"flour\", \"water\"]\nin = \"bowl\"";
    finds(&[&lesson(&recipe("850 mL"), &[all])], &[]);
    finds(
        &[&lesson(&recipe("820 mL"), &[all])],
        &["does-not-fit: “Step 0” brings the bowl to 0.83 L, more than it holds"],
    );
    let dry = "add = [\"flour\"]\nin = \"bowl\"";
    finds(
        &[&lesson(&recipe("820 mL"), &[dry, "add = [\"water\"]"])],
        &["does-not-fit: “Step 0” brings the bowl to 0.86 L, more than it holds"],
    );
}

#[test]
fn each_fork_of_the_way_uses_everything_up() {
    let recipe = "makes = \"200 g mixture\"\n[ingredients]\nflour = \"200 g strong white flour\"";
    let half = |way: &str, part: &str| format!("add = {{ flour = \"{part}\" }}\nway = \"{way}\"");
    let (pan, oven, cloth, sieve) =
        (half("pan", "half"), half("oven", "half"), half("cloth", "rest"), half("sieve", "rest"));
    let steps = [pan.as_str(), &oven, "hands = \"on\"", &cloth, &sieve];
    finds(&[&lesson(recipe, &steps)], &[]);
    let third = half("sieve", "a third");
    let steps = [pan.as_str(), &oven, "hands = \"on\"", &cloth, &third];
    finds(&[&lesson(recipe, &steps)], &["not-used-up: the steps leave 16.7 % of the strong white flour unused"]);
}

fn yields(yields: &str) -> String {
    lesson(&format!("{yields}\n[ingredients]\nmilk = \"1 L whole milk\""), &["add = [\"milk\"]"])
}

#[test]
fn no_more_comes_out_than_goes_in() {
    // A litre of whole milk weighs 1.03 kg.
    finds(&[&yields("makes = \"1040 g curd\"")], &[]);
    finds(
        &[&yields("makes = \"1060 g curd\"")],
        &["unbalanced: more comes out than goes in: 2.8 % more, by weight, even at its least"],
    );
    // A range that begins low enough can be reached.
    finds(&[&yields("makes = \"140–150 g curd\"\nleaves = { whey = \"830–900 mL whey\" }")], &[]);
    finds(
        &[&yields("makes = \"140–150 g curd\"\nleaves = { whey = \"900 mL whey\" }")],
        &["unbalanced: more comes out than goes in: 4.3 % more, by weight, even at its least"],
    );
}

#[test]
fn the_loss_is_what_the_weights_leave() {
    let makes = "makes = \"140–150 g curd\"\nleaves = { whey = \"800–820 mL whey\" }\n";
    finds(&[&yields(&format!("{makes}loses = \"2–7 % steam\""))], &[]);
    let lost = findings(&[&yields(&format!("{makes}loses = \"10–12 % steam\""))]);
    assert!(lost[0].starts_with("unbalanced: by the amounts, "), "{lost:?}");
    let left = "leaves = { whey = \"100 mL whey\" }";
    finds(&[&yields(&format!("makes = \"680 g thick milk\"\n{left}"))], &[]);
    let short = format!("makes = \"656 g thick milk\"\n{left}");
    finds(&[&yields(&short)], &["unaccounted: 26.3 % of what goes in comes out nowhere"]);
    finds(&[&yields(&format!("{short}\nloses = \"20–30 % steam\""))], &[]);
    // Whoever names no leftovers does not account for them.
    finds(&[&yields("makes = \"140 g curd\"")], &[]);
    // What is made in pieces has no weight that we know.
    finds(&[&yields("makes = \"8 flatbreads\"")], &[]);
}

fn timed(session: &str, steps: &[&str]) -> String {
    lesson("makes = \"1 L water\"\n[ingredients]\nwater = \"1 L water\"", steps)
        .replace("# Make\n", &format!("# Make\n\n```lesson\nsession = \"{session}\"\n```\n"))
}

#[test]
fn the_steps_fit_into_the_session() {
    let steps = ["add = [\"water\"]\ntakes = \"20–30 min\"", "for = \"30 min\"", "takes = \"10 min\""];
    finds(&[&timed("70 min", &steps)], &[]);
    finds(
        &[&timed("65 min", &steps)],
        &[
            "tight-session: the steps take 1\u{a0}h\u{a0}10\u{a0}min if none goes quickly, and the session 1\u{a0}h\u{a0}5\u{a0}min",
        ],
    );
    finds(
        &[&timed("55 min", &steps)],
        &["over-session: the steps take 1\u{a0}h at the least, and the session 55\u{a0}min"],
    );
    // Done while the other step waits, or at home, a step takes no time of the class.
    let beside = [steps[0], steps[1], "takes = \"10 min\"\nwhile = \"s1\""];
    finds(&[&timed("60 min", &beside)], &[]);
    let home = [steps[0], steps[1], "takes = \"10 min\"\nat-home = true"];
    finds(&[&timed("60 min", &home)], &[]);
}

#[test]
fn of_several_ways_the_longest_must_fit() {
    let steps = [
        "add = [\"water\"]\ntakes = \"20 min\"",
        "takes = \"10 min\"\nway = \"pan\"",
        "takes = \"40 min\"\nway = \"oven\"",
    ];
    finds(&[&timed("1 h", &steps)], &[]);
    finds(
        &[&timed("50 min", &steps)],
        &["over-session: the steps by oven take 1\u{a0}h at the least, and the session 50\u{a0}min"],
    );
}

#[test]
fn a_step_waits_for_none_that_comes_later() {
    let steps = ["add = [\"water\"]\nafter = [\"s1\"]", "takes = \"10 min\""];
    finds(&[&timed("1 h", &steps)], &["out-of-order: “Step 0” is to run `after` “Step 1”, which comes later"]);
    let steps = ["add = [\"water\"]", "takes = \"10 min\"\nafter = [\"s0\"]"];
    finds(&[&timed("1 h", &steps)], &[]);
}

/// A lesson that leaves whey, for so many students a batch.
fn curd(students: u32) -> String {
    let recipe = format!(
        "makes = \"550–650 g curd\"\nleaves = {{ whey = \"3.2–3.4 L whey\" }}\nstudents-per-batch = {students}\n\
         [ingredients]\nmilk = \"4 L whole milk\""
    );
    lesson(&recipe, &["add = [\"milk\"]"])
}

fn bread(whey: &str, from: &str) -> String {
    let recipe = format!(
        "makes = \"8 flatbreads\"\n[ingredients]\nflour = \"500 g strong white flour\"\n\
         whey = {{ amount = \"{whey} whey\", from = \"{from}\", instead = \"water\" }}"
    );
    lesson(&recipe, &["add = [\"flour\", \"whey\"]"])
}

#[test]
fn an_earlier_lesson_leaves_what_is_taken() {
    // 3.2 L for ten students are 320 mL for each, 333 g at 246 g a US cup.
    finds(&[&curd(10), &bread("325 g", "first")], &[]);
    finds(
        &[&curd(10), &bread("335 g", "first")],
        &["not-enough-left: “Make” leaves 320 mL of whey for each student, and 322 mL are needed"],
    );
    // Two lessons that take of it take together.
    finds(&[&curd(10), &bread("160 g", "first"), &bread("160 g", "first")], &[]);
    finds(
        &[&curd(10), &bread("170 g", "first"), &bread("170 g", "first")],
        &["not-enough-left: “Make” leaves 320 mL of whey for each student, and 327 mL are needed"],
    );
}

#[test]
fn what_is_taken_comes_from_a_lesson_that_leaves_it() {
    finds(&[&curd(1), &bread("325 g", "frist")], &["unknown-name: this course has no lesson `frist`"]);
    finds(&[&bread("325 g", "second"), &curd(1)], &["out-of-order: “Make” does not come before this lesson"]);
    let without = curd(1).replace("leaves = { whey = \"3.2–3.4 L whey\" }", "loses = \"80–90 % whey, poured away\"");
    finds(&[&without, &bread("325 g", "first")], &["unknown-name: “Make” leaves no whey"]);
}

#[test]
fn leftovers_are_counted_for_the_class_that_a_course_plans() {
    // Thirteen students in groups of five make three batches, with two to a dough seven: 9.6 L against 7 × 313 mL.
    let course = |students: u32| format!("title = \"Hall\"\nhome = \"uk\"\n[class]\nstudents = {students}\n");
    let found = |students: u32, whey: &str| {
        let bread = bread(whey, "first").replace("makes =", "students-per-batch = 2\nmakes =");
        let (course, curd) = (course(students), curd(5));
        let files = [("course.toml", course.as_str()), ("01-first/lesson.md", &curd), ("02-second/lesson.md", &bread)];
        let found = check(&Project::from_files(files)).findings;
        found.iter().map(|one| one.message.clone()).collect::<Vec<_>>()
    };
    assert_eq!(found(13, "325 g"), [""; 0]);
    assert_eq!(found(13, "1400 g"), [""; 0]);
    assert_eq!(found(13, "1450 g"), ["“Make” leaves 9600 mL of whey for 13 students, and 9761 mL are needed"]);
}

#[test]
fn halving_the_curd_of_the_demo_course_leaves_too_little_whey_for_the_bread() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("content/saltmarsh-hall");
    let read = |path: &str| std::fs::read_to_string(folder.join(path)).expect("the demo course is there");
    let curd = read("02-pressed-curd/lesson.md");
    let halved = curd.replace("leaves   = { whey = \"3.2–3.4 L\" }", "leaves   = { whey = \"1.6–1.7 L\" }");
    assert_ne!(curd, halved);
    let bread = read("03-whey-flatbreads/lesson.md");
    let (settings, glossary) = (read("course.toml"), read("glossary.md"));
    let whole = pottle::read_project(&folder).expect("the demo course is there");
    let found = |curd: &str| {
        let files = [
            ("course.toml", settings.as_str()),
            ("glossary.md", &glossary),
            ("02-pressed-curd/lesson.md", curd),
            ("03-whey-flatbreads/lesson.md", &bread),
        ];
        let mut project = Project::from_files(files);
        project.pictures = whole.pictures.clone();
        let found = check(&project).findings;
        let found = found.iter().filter(|one| one.code == pottle::diag::Code::NotEnoughLeft);
        found.map(|one| one.message.clone()).collect::<Vec<_>>()
    };
    assert_eq!(found(&curd), [""; 0]);
    assert_eq!(found(&halved), ["“Pressed fresh curd” leaves 3200 mL of whey for 12 students, and 3751 mL are needed"]);
}

#[test]
fn only_words_about_a_loss_state_it() {
    let lesson = |words: &str| {
        let recipe = "makes = \"980 g thick milk\"\nloses = \"2–7 % steam\"\n[ingredients]\nmilk = \"1 L whole milk\"";
        lesson(recipe, &["add = [\"milk\"]"]) + words
    };
    finds(&[&lesson("About 5 % is lost as steam.")], &[]);
    finds(
        &[&lesson("Use milk with 5 % of fat.")],
        &["unknown-mention: the words say “5 %”, and no measure of this course says so"],
    );
}
