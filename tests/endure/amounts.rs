//! Amounts that no kitchen knows, and sums that have no exact answer.

use super::course::{Recipe, file, lesson, refused, with, words};

fn of(amount: &str) -> Vec<super::course::File> {
    Recipe { ingredients: &format!("water = \"{amount} water\""), ..Recipe::default() }.course()
}

fn step(keys: &str) -> Vec<super::course::File> {
    Recipe { step: &format!("add = [\"water\"]\n{keys}"), ..Recipe::default() }.course()
}

fn more(keys: &str) -> Vec<super::course::File> {
    Recipe { more: keys, ..Recipe::default() }.course()
}

/// Primes below ten thousand: fractions of them add up to denominators without end.
const PRIMES: [u32; 12] = [9973, 9967, 9949, 9941, 9931, 9929, 9923, 9907, 9901, 9887, 9883, 9871];

fn unlike_fractions() -> String {
    let lines: String =
        PRIMES.iter().enumerate().map(|(at, prime)| format!("w{at} = \"1/{prime} g water\"\n")).collect();
    let names: Vec<String> = (0..PRIMES.len()).map(|at| format!("\"w{at}\"")).collect();
    Recipe { ingredients: &lines, step: &format!("add = [{}]", names.join(", ")), ..Recipe::default() }.text()
}

fn unlike_parts() -> String {
    let steps: String = PRIMES
        .iter()
        .map(|prime| format!("\n## Pour {prime}\n\n```step\nadd = [{{ water = \"1/{prime}\" }}]\n```\n\nStir.\n"))
        .collect();
    Recipe { step: "add = [{ water = \"1/9859\" }]", words: &format!("Stir.\n{steps}"), ..Recipe::default() }.text()
}

refused! {
    nothing_of_something: of("0 g") => "bad-amount", "01-a/lesson.md", "water = ";
    less_than_nothing: of("-1 g") => "bad-amount", "01-a/lesson.md", "water = ";
    a_float_beyond_all: of("1e308 g") => "unknown-ingredient", "01-a/lesson.md", "water = ";
    not_a_number: of("NaN g") => "bad-amount", "01-a/lesson.md", "water = ";
    without_end: of("inf g") => "bad-amount", "01-a/lesson.md", "water = ";
    divided_by_nought: of("1/0 g") => "unknown-ingredient", "01-a/lesson.md", "water = ";
    twelve_figures: of("999999999999 g") => "bad-amount", "01-a/lesson.md", "water = ";
    thirty_figures: of("123456789012345678901234567890 g") => "bad-amount", "01-a/lesson.md", "water = ";
    a_millionth: of("0.000001 g") => "bad-amount", "01-a/lesson.md", "water = ";
    a_range_that_runs_down: of("5–1 g") => "bad-amount", "01-a/lesson.md", "water = ";
    a_temperature_for_an_amount: of("5 °C") => "wrong-kind", "01-a/lesson.md", "water = ";
    a_time_for_an_amount: of("5 min") => "wrong-kind", "01-a/lesson.md", "water = ";
    a_share_for_an_amount: of("50 %") => "wrong-kind", "01-a/lesson.md", "water = ";
    no_amount: of("") => "bad-amount", "01-a/lesson.md", "water = ";
    a_bare_number_for_an_amount: Recipe { ingredients: "water = 99999999999999999999999999", ..Recipe::default() }.course() => "wrong-type", "01-a/lesson.md", "water = ";
    a_bare_float_for_an_amount: Recipe { ingredients: "water = nan", ..Recipe::default() }.course() => "wrong-type", "01-a/lesson.md", "water = ";
    more_comes_out_than_goes_in: Recipe { makes: "1000000 kg tea", ..Recipe::default() }.course() => "unbalanced", "01-a/lesson.md", "makes";
    a_product_of_nothing: Recipe { makes: "0 L tea", ..Recipe::default() }.course() => "bad-amount", "01-a/lesson.md", "makes";
    below_absolute_nought: step("to = \"-1000000 °C\"") => "bad-amount", "01-a/lesson.md", "to = ";
    hotter_than_any_fire: step("to = \"1000000 °C\"") => "bad-amount", "01-a/lesson.md", "to = ";
    a_weight_for_a_temperature: step("to = \"5 g\"") => "wrong-kind", "01-a/lesson.md", "to = ";
    a_temperature_for_a_time: step("takes = \"5 °C\"") => "wrong-kind", "01-a/lesson.md", "takes = ";
    no_students_a_batch: more("students-per-batch = 0") => "bad-amount", "01-a/lesson.md", "students-per-batch";
    students_below_nought: more("students-per-batch = -1") => "bad-amount", "01-a/lesson.md", "students-per-batch";
    students_without_number: more("students-per-batch = 99999999999999999999") => "bad-amount", "01-a/lesson.md", "students-per-batch";
    an_absurd_scale: more("scale-within = \"0.000001–1000000\"") => "bad-amount", "01-a/lesson.md", "scale-within";
    a_time_in_no_recording: step("heard-at = \"99999999999:99\"") => "wrong-type", "01-a/lesson.md", "heard-at";
    a_class_of_billions: with(words("Stir."), "course.toml", "title = \"T\"\n[class]\nstudents = 999999999999\n") => "bad-amount", "course.toml", "students";
    a_class_of_nobody: with(words("Stir."), "course.toml", "title = \"T\"\n[class]\nstudents = 0\n") => "bad-amount", "course.toml", "students";
    a_hob_without_power: with(words("Stir."), "course.toml", "title = \"T\"\n[kitchen]\nhob = \"0 kW\"\n") => "bad-amount", "course.toml", "hob";
    a_room_colder_than_space: with(words("Stir."), "course.toml", "title = \"T\"\n[kitchen]\nroom = \"-300 °C\"\n") => "bad-amount", "course.toml", "room";
    cards_for_a_million_batches: with(words("Stir."), "course.toml", "title = \"T\"\n[[cards]]\npaper = \"a6\"\nscale = \"1000000\"\n") => "wrong-type", "course.toml", "scale";
    cards_for_no_batch: with(words("Stir."), "course.toml", "title = \"T\"\n[[cards]]\npaper = \"a6\"\nscale = \"0\"\n") => "wrong-type", "course.toml", "scale";
    three_hundred_sets_of_cards: with(words("Stir."), "course.toml", format!("title = \"T\"\n{}", "[[cards]]\npaper = \"a6\"\n".repeat(300))) => "wrong-type", "course.toml", "cards";
    three_hundred_handouts: with(words("Stir."), "course.toml", format!("title = \"T\"\n{}", "[[handouts]]\npaper = \"a4\"\n".repeat(300))) => "wrong-type", "course.toml", "handouts";
    a_pack_of_nothing: with(words("Stir."), "pantry.toml", "[[ingredient]]\nid = \"water\"\npacks = [{ holds = \"0 g\", price = \"1\" }]\n") => "bad-amount", "pantry.toml", "packs";
    a_price_below_nought: with(words("Stir."), "pantry.toml", "[[ingredient]]\nid = \"water\"\npacks = [{ holds = \"1 kg\", price = \"-5\" }]\n") => "bad-amount", "pantry.toml", "packs";
    a_density_of_nought: with(words("Stir."), "pantry.toml", pantry("0")) => "bad-table", "pantry.toml", "density";
    a_density_below_nought: with(words("Stir."), "pantry.toml", pantry("-1")) => "bad-table", "pantry.toml", "density";
    a_density_divided_by_nought: with(words("Stir."), "pantry.toml", pantry("1/0")) => "bad-table", "pantry.toml", "density";
    /// Found by fuzzing: each stroke was read by reading the rest, which overflowed, and would have run out of stack.
    a_density_divided_a_hundred_thousand_times: with(words("Stir."), "pantry.toml", pantry(&format!("1{}", "/9837313".repeat(100_000)))) => "bad-table", "pantry.toml", "density";
    a_density_divided_twice: with(words("Stir."), "pantry.toml", pantry("13/9813/9899")) => "bad-table", "pantry.toml", "density";
    a_density_of_forty_figures: with(words("Stir."), "pantry.toml", pantry(&"9".repeat(40))) => "bad-table", "pantry.toml", "density";
    a_fact_without_measure: with(words("Stir."), "facts.toml", "[[fact]]\nid = \"x\"\nname = \"x\"\nmeasure = \"1/0 g\"\nsource = \"x\"\nstatus = \"from memory\"\n") => "bad-amount", "facts.toml", "measure";
    /// The sum of unlike fractions does not fit in 128 bits: it stops, and is neither rounded nor wrapped.
    fractions_without_a_common_denominator: lesson(unlike_fractions()) => "not-reckoned", "01-a/lesson.md", "";
    parts_without_a_common_denominator: lesson(unlike_parts()) => "not-reckoned", "01-a/lesson.md", "";
    an_altitude_in_space: with(words("Stir."), "course.toml", "title = \"T\"\n[kitchen]\naltitude = \"1000000 km\"\n") => "bad-amount", "course.toml", "altitude";
}

fn pantry(density: &str) -> String {
    format!(
        "[[ingredient]]\nid = \"grit\"\nname = \"grit\"\ndensity = \"{density}\"\ndensity-source = \"made up\"\n\
         density-status = \"from memory\"\nallergens = []\nallergens-us = []\nkeeping = \"dry\"\nperishable = false\n"
    )
}

/// The other lessons are checked all the same.
#[test]
fn a_sum_without_answer_hides_no_finding_of_another_lesson() {
    let files = with(lesson(unlike_fractions()), "02-b/lesson.md", "# B\n\nTake 4 L of milk.\n");
    super::course::refuses(files, "unknown-mention", "02-b/lesson.md", "milk");
}

#[test]
fn amounts_at_the_edge_are_published() {
    for amount in ["1000000 L", "0.0001 L", "1/9973 L"] {
        let recipe = Recipe {
            makes: &format!("{amount} weak tea"),
            ingredients: &format!("water = \"{amount} water\""),
            ..Recipe::default()
        };
        let files = vec![file("course.toml", super::course::COURSE), file("01-a/lesson.md", recipe.text())];
        let (_, _, found) = super::course::looked_at(files);
        assert!(!found.iter().any(|one| one.code.name() == "not-reckoned"), "{amount}");
    }
}
