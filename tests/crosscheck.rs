//! Ten thousand random conversions against two general-purpose programs: GNU units and the Python package pint.
//!
//! `tests/run` installs both. They count in floating point, so "the same" is one part in a thousand million.

use pottle::quantity::{Dimension, Exact, Home, Unit, Units};
use pottle::reference::Reference;
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use std::io::Write;
use std::process::{Command, Stdio};

const CASES: usize = 10_000;

struct Case<'a> {
    value: Exact,
    from: &'a Row<'a>,
    to: &'a Row<'a>,
}

/// A unit and what the other program calls it.
struct Row<'a> {
    unit: &'a Unit,
    name: String,
}

fn table<'a>(units: &'a Units, text: &str) -> Vec<Row<'a>> {
    let lines = text.lines().filter(|line| !line.starts_with('#') && !line.trim().is_empty());
    lines
        .map(|line| {
            let mut columns = line.split('\t');
            let (id, name) = (columns.next().expect("an id"), columns.next().expect("a name"));
            let unit = units.get(units.find(id).unwrap_or_else(|| panic!("there is no unit `{id}`")));
            Row { unit, name: name.to_owned() }
        })
        .collect()
}

/// The same cases on every run: a random order that does not change cannot pass today and fail tomorrow.
fn cases<'a>(rows: &'a [Row<'a>]) -> Vec<Case<'a>> {
    let mut runner = TestRunner::new_with_rng(Config::default(), TestRng::deterministic_rng(RngAlgorithm::ChaCha));
    let picks = (0..rows.len(), 0..rows.len(), 1i64..2_000_000, 0u32..4);
    let mut found = Vec::new();
    while found.len() < CASES {
        let (from, to, digits, decimals) = picks.new_tree(&mut runner).expect("a plain range").current();
        let (from, to) = (&rows[from], &rows[to]);
        if from.unit.dimension == to.unit.dimension {
            let value = Exact::new(i128::from(digits), 10i128.pow(decimals));
            found.push(Case { value, from, to });
        }
    }
    found
}

fn answers(program: &mut Command, input: String) -> Vec<f64> {
    let mut child = program
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap_or_else(|error| panic!("{program:?} does not start ({error}); tests/run installs what it needs"));
    let mut stdin = child.stdin.take().expect("its input is a pipe");
    let writer = std::thread::spawn(move || stdin.write_all(input.as_bytes()));
    let output = child.wait_with_output().expect("it ends");
    writer.join().expect("the writer ends").expect("all input is read");
    let text = String::from_utf8_lossy(&output.stdout);
    text.lines().map(|line| line.trim().parse().unwrap_or_else(|_| panic!("not a number: {line}"))).collect()
}

fn compare(cases: &[Case<'_>], theirs: &[f64], who: &str) {
    assert_eq!(theirs.len(), cases.len(), "{who} answers every question");
    for (case, theirs) in cases.iter().zip(theirs) {
        let ours = case.to.unit.from_base(case.from.unit.to_base(case.value)).to_f64();
        // Near 0 °F or 0 °C a reading has no relative error; a thousand millionth of a degree stands for it.
        let scale = if case.from.unit.dimension == Dimension::Temperature { ours.abs().max(1.0) } else { ours.abs() };
        let gap = (ours - theirs).abs() / scale;
        assert!(
            gap <= 1e-9,
            "{} {} in {}: ours {ours}, {who} {theirs}",
            case.value,
            case.from.unit.id,
            case.to.unit.id
        );
    }
}

#[test]
fn gnu_units_agrees_on_ten_thousand_conversions() {
    let units = Reference::built_in(Home::Uk).units;
    let rows = table(&units, include_str!("data/gnu-units.tsv"));
    let cases = cases(&rows);
    let input: String = cases
        .iter()
        .map(|case| format!("{} ({})\n{}\n", case.value.to_decimal(3), case.from.name, case.to.name))
        .collect();
    let mut program = Command::new("units");
    program.args(["--quiet", "--terse", "--digits", "15"]).env("LC_ALL", "C").env("UNITS_ENGLISH", "US");
    compare(&cases, &answers(&mut program, input), "GNU units");
}

#[test]
fn pint_agrees_on_ten_thousand_conversions() {
    let units = Reference::built_in(Home::Uk).units;
    let rows = table(&units, include_str!("data/pint-units.tsv"));
    let cases = cases(&rows);
    let input: String = cases
        .iter()
        .map(|case| format!("{}\t{}\t{}\n", case.value.to_decimal(3), case.from.name, case.to.name))
        .collect();
    let root = env!("CARGO_MANIFEST_DIR");
    let mut program = Command::new("python3");
    program.arg(format!("{root}/tests/data/pint_convert.py")).env("PYTHONPATH", format!("{root}/target/test-python"));
    compare(&cases, &answers(&mut program, input), "pint");
}
