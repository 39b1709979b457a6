//! The page's sums against ours: the very file of the theme, run by another engine on the data that a page carries.

#![allow(clippy::print_stdout, reason = "the figures are asked for with --nocapture")]

use pottle::kitchen::{Care, Choice, Kitchens, LiveData, LiveMeasure, LiveMention, Reader, Role, Thermometer, Tool};
use pottle::quantity::{Bound, Dimension, Exact, Home, UnitId};
use pottle::reference::Reference;
use pottle::render::Site;
use rquickjs::{CatchResultExt, Context, Function, Runtime};
use serde_json::{Value, json};
use std::path::Path;

/// So many random cases of each home.
const CASES: usize = 6_000;
const HOMES: [Home; 5] = Home::ALL;

/// A source of numbers that gives the same ones on every machine (xorshift64*, Vigna 2016).
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_F491_4F6C_DD1D)
    }

    fn below(&mut self, end: usize) -> usize {
        (self.next() >> 16) as usize % end
    }

    fn of<T: Clone>(&mut self, list: &[T]) -> T {
        list[self.below(list.len())].clone()
    }

    fn often(&mut self, one_in: usize) -> bool {
        self.below(one_in) == 0
    }
}

/// Units that authors write, with the dimension they measure.
fn units(reference: &Reference) -> Vec<(UnitId, Dimension)> {
    let wanted = [Dimension::Mass, Dimension::Volume, Dimension::Length, Dimension::Count];
    let heat = [Dimension::Temperature, Dimension::Difference];
    let all = reference.units.iter().map(|(id, unit)| (id, unit.dimension));
    all.filter(|(_, dimension)| wanted.contains(dimension) || heat.contains(dimension)).collect()
}

/// Values of every size: whole, decimal, kitchen fractions, and such as no kitchen writes.
fn value(dice: &mut Dice) -> Exact {
    let whole =
        dice.of(&[1, 2, 3, 4, 5, 6, 7, 8, 10, 12, 15, 20, 24, 25, 30, 48, 50, 75, 100, 120, 250, 325, 500, 999]);
    let under = dice.of(&[1, 1, 1, 1, 2, 3, 4, 8, 10, 16, 100, 7, 1000]);
    Exact::new(whole * dice.of(&[1, 1, 1, 1, 10]), under)
}

fn scale(dice: &mut Dice) -> Exact {
    if dice.often(2) {
        let common = [(1, 1), (1, 2), (2, 1), (3, 1), (37, 100), (27, 40), (3, 2), (1, 3), (2, 3), (1, 8), (12, 1)];
        let (over, under) = dice.of(&common);
        return Exact::new(over, under);
    }
    Exact::new(1 + dice.below(400) as i128, 1 + dice.below(150) as i128)
}

fn measure(dice: &mut Dice, dimension: Dimension, unit: UnitId, reference: &Reference) -> LiveMeasure {
    let unit = reference.units.get(unit);
    let low = unit.to_base(value(dice));
    let high = if dice.often(3) { low + (unit.size * value(dice) / Exact::whole(4)) } else { low };
    let dense = matches!(dimension, Dimension::Mass | Dimension::Volume) && !dice.often(3);
    LiveMeasure {
        name: "milk".to_owned(),
        dimension,
        low,
        high,
        bound: dice.of(&[Bound::None, Bound::None, Bound::AtLeast, Bound::AtMost]),
        scales: !dice.often(5),
        care: dice.of(&[Care::Ordinary, Care::Careful]),
        oven: dice.often(4),
        density: dense
            .then(|| dice.of(&[Exact::ONE, Exact::new(103, 100), Exact::new(53, 100), Exact::new(292_000, 236_588)])),
    }
}

fn mention(dice: &mut Dice, measure: usize, unit: UnitId, kitchens: &Kitchens<'_>) -> LiveMention {
    let text = |dice: &mut Dice, list: &[&str]| dice.of(list).to_owned();
    LiveMention {
        measure,
        role: dice.of(&[Role::Alone, Role::Alone, Role::First, Role::Beside, Role::Second, Role::Fixed]),
        unit,
        bare: dice.often(2),
        reader: kitchens.reader_of(unit),
        tool: dice.of(&Tool::ALL),
        abroad: dice.of(&Tool::ALL),
        article: dice.of(&[None, None, None, Some('a'), Some('A')]),
        prefix: text(dice, &["", "", "about ", "at least "]),
        suffix: text(dice, &["", " flatbreads"]),
        suffix_of_one: text(dice, &["", " flatbread"]),
        kept: text(dice, &["", "gas mark 4"]),
        join: dice.of(&[None, None, Some(" to ".to_owned()), Some(" and ".to_owned())]),
        adjective: dice.often(5),
        plain: dice.often(4),
        stated: None,
    }
}

fn choice(dice: &mut Dice) -> Choice {
    let degrees = [None, Some(Thermometer::Celsius), Some(Thermometer::Fahrenheit), Some(Thermometer::Both)];
    Choice {
        scale: scale(dice),
        units: dice.of(&[None, Some(Reader::Metric), Some(Reader::Us), Some(Reader::Imperial)]),
        degrees: dice.of(&degrees),
        by: dice.of(&[None, None, Some(Tool::Scale), Some(Tool::Spoons)]),
    }
}

/// A choice as the page's script makes it.
fn chosen(choice: &Choice) -> Value {
    let degrees = match choice.degrees {
        None => "",
        Some(Thermometer::Celsius) => "c",
        Some(Thermometer::Fahrenheit) => "f",
        Some(Thermometer::Both) => "both",
    };
    let by = match choice.by {
        Some(Tool::Scale) => "weigh",
        Some(_) => "spoon",
        None => "",
    };
    json!({
        "scale": choice.scale.to_string(),
        "units": choice.units.map_or("", Reader::name),
        "degrees": degrees,
        "by": by,
    })
}

/// What the script shows in each case, as JSON.
fn run(script: &str, live: &Value, cases: &[(usize, Value)]) -> Vec<Value> {
    let runtime = Runtime::new().unwrap();
    let context = Context::full(&runtime).unwrap();
    context.with(|ctx| {
        let harness = format!(
            "{script}\n(live, cases) => {{ const kitchen = Kitchen(JSON.parse(live)); return JSON.stringify(JSON.parse(cases).map(\
             ([n, choice]) => kitchen.show(n, {{ ...choice, scale: kitchen.ratio(choice.scale) }}))); }}"
        );
        let show: Function<'_> = ctx.eval(harness).catch(&ctx).expect("the script loads");
        let shown: String =
            show.call((live.to_string(), json!(cases).to_string())).catch(&ctx).expect("the script runs");
        serde_json::from_str(&shown).unwrap()
    })
}

/// The published demo course.
fn site() -> Site {
    let project = pottle::read_project(Path::new(env!("CARGO_MANIFEST_DIR")).join("content").as_path()).unwrap();
    let course = pottle::check(&project).course.expect("the demo course has no findings");
    pottle::render(&project, &course).unwrap()
}

/// A script as the demo course is published with it.
fn published(name: &str) -> String {
    String::from_utf8(site().files()[name].clone()).unwrap()
}

/// The page, its style and its scripts; pictures come on top.
#[test]
fn a_lesson_of_eight_steps_is_at_most_60_000_bytes() {
    let site = site();
    let mut count = 0;
    for (path, bytes) in site.files() {
        let page = String::from_utf8_lossy(bytes);
        let steps = page.matches(" data-step=").count();
        if path.ends_with("-take-home.html") || steps != 8 {
            continue;
        }
        count += 1;
        let marks = [" src=", "<link rel=stylesheet href="];
        let loaded =
            marks.iter().flat_map(|mark| page.split(mark).skip(1)).filter_map(|rest| rest.split([' ', '>']).next());
        let loaded: Vec<&str> = loaded.filter(|file| file.ends_with(".css") || file.ends_with(".js")).collect();
        assert_eq!(loaded, ["kitchen.js", "lesson.js", "stove.js", "offline.js", "style.css"], "{path}");
        let sum: usize = loaded.iter().map(|file| site.files()[*file].len()).sum();
        assert!(bytes.len() + sum <= 60_000, "{path}: {} bytes", bytes.len() + sum);
    }
    assert_eq!(count, 3);
}

/// What a phone has to carry beside the words, as published.
#[test]
fn the_scripts_of_a_lesson_are_light_and_can_be_read() {
    let scripts = ["kitchen.js", "lesson.js", "stove.js", "offline.js"].map(published);
    let bytes: usize = scripts.iter().map(String::len).sum();
    assert!(bytes <= 16_000, "{bytes}");
    let runtime = Runtime::new().unwrap();
    for script in scripts {
        assert!(!script.contains('\0'), "a browser would read another letter there");
        let context = Context::full(&runtime).unwrap();
        // Read as the body of a function that nobody calls: the page it asks for is not here.
        context.with(|ctx| ctx.eval::<(), _>(format!("() => {{ {script} }};")).catch(&ctx).expect("it can be read"));
    }
}

#[test]
fn the_page_s_script_reckons_as_we_do() {
    let script = published("kitchen.js");
    let (mut checked, mut changed, mut lost) = (0, 0, 0);
    for (seed, home) in HOMES.into_iter().enumerate() {
        let reference = Reference::built_in(home);
        let kitchens = Kitchens::new(&reference, home).unwrap();
        let units = units(&reference);
        let mut dice = Dice(0x9E37_79B9_7F4A_7C15 + seed as u64);
        let mut data = LiveData::default();
        let mut cases = Vec::new();
        for _ in 0..CASES {
            let (unit, dimension) = dice.of(&units);
            let measure = data.measure(measure(&mut dice, dimension, unit, &reference));
            let mention = data.mention(mention(&mut dice, measure, unit, &kitchens));
            cases.push((mention, choice(&mut dice)));
        }
        let live = Value::Object(data.to_json(&kitchens));
        let asked: Vec<(usize, Value)> = cases.iter().map(|(mention, choice)| (*mention, chosen(choice))).collect();
        for ((mention, choice), theirs) in cases.iter().zip(run(&script, &live, &asked)) {
            let mention = &data.mentions[*mention];
            let measure = &data.measures[mention.measure];
            let ours = kitchens.show(measure, mention, choice).map_or(Value::Null, |one| {
                changed += 1;
                lost += usize::from(one.lost);
                json!({ "text": one.text, "exact": one.exact, "moved": one.moved, "about": one.about, "lost": one.lost, "after": one.after })
            });
            assert_eq!(theirs, ours, "{} {choice:?}\n{measure:?}\n{mention:?}", home.name());
            checked += 1;
        }
    }
    println!("{checked} cases, {changed} changed, {lost} too small to measure: no difference");
    assert!(checked >= 20_000 && changed * 2 > checked && lost > 100, "{checked} {changed} {lost}");
}
