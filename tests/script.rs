//! The page's sums against ours: the very file of the theme, run by another engine on the data that a page carries.

#![allow(clippy::print_stdout, reason = "the figures are asked for with --nocapture")]

use pottle::kitchen::{
    Care, Choice, Kitchens, LiveData, LiveMeasure, LiveMention, MeasuredBy, Reader, Role, Thermometer, Tool, Worksheet,
    worksheets,
};
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
    let beside = Role::Beside(MeasuredBy { reader: dice.of(&Reader::ALL), tool: dice.of(&Tool::ALL) });
    LiveMention {
        measure,
        role: dice.of(&[Role::Alone, Role::Alone, Role::First, beside, beside, Role::Second, Role::Fixed]),
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
    let project =
        pottle::read_project(Path::new(env!("CARGO_MANIFEST_DIR")).join("content/saltmarsh-hall").as_path()).unwrap();
    let course = pottle::check(&project).course.expect("the demo course has no findings");
    pottle::render(&project, &course).unwrap()
}

/// A script as the demo course is published with it.
fn published(name: &str) -> String {
    String::from_utf8(site().files()[name].clone()).unwrap()
}

/// A lesson's page as it is opened: the HTML without the drawings in it and without the block of data for machines, `style.css`, and the scripts that the page
/// itself names. Not counted: drawings, and what comes after it: `stove.js` and `later.css`, which a
/// script fetches, and `print.css`, for which no browser waits on a screen. All of that is printed.
#[test]
fn a_lesson_of_eight_steps_is_opened_with_at_most_60_000_bytes() {
    let site = site();
    let size = |file: &str| site.files()[file].len();
    let mut count = 0;
    for (path, bytes) in site.files() {
        let page = String::from_utf8_lossy(bytes);
        let steps = page.matches(" data-step=").count();
        if path.ends_with("-take-home.html") || steps != 8 {
            continue;
        }
        count += 1;
        let marks = [" src=", "<link rel=stylesheet href="];
        let named =
            marks.iter().flat_map(|mark| page.split(mark).skip(1)).filter_map(|rest| rest.split([' ', '>']).next());
        let named = named.filter(|file| file.ends_with(".css") || file.ends_with(".js"));
        let (paper, named): (Vec<&str>, Vec<&str>) = named.partition(|file| *file == PAPER);
        assert_eq!(paper, [PAPER], "{path}");
        assert!(page.contains("<link rel=stylesheet href=print.css media=print>"), "{path}");
        let (sums, common): (Vec<&str>, Vec<&str>) = named.iter().partition(|file| file.starts_with("sums."));
        assert_eq!(common, ["kitchen.js", "lesson.js", "offline.js", "style.css"], "{path}");
        assert_eq!(sums, if page.contains("data-sum=") { &["sums.js", "sums.css"][..] } else { &[] }, "{path}");
        let drawings: usize =
            page.split("<svg").skip(1).filter_map(|rest| rest.split("</svg>").next()).map(str::len).sum();
        let data = data_block(&page).len();
        assert!((1..=14_000).contains(&data), "{path}: {data} bytes of data");
        let html = bytes.len() - drawings - data;
        let sum = html + named.iter().map(|file| size(file)).sum::<usize>();
        println!(
            "{path}: {sum} bytes as opened, {html} of them HTML; {drawings} of drawings and {data} of data on top"
        );
        assert!(sum <= 60_000, "{path}: {sum} bytes");
    }
    assert_eq!(count, 3);
    let worker = published("sw.js");
    for file in LATER.into_iter().chain([PAPER]) {
        println!("{file}: {} bytes, after the page was opened", size(file));
        assert!(worker.contains(&format!("\"{file}\"")), "{file} is kept on the device");
    }
}

/// The element that holds a page's linked data.
fn data_block(page: &str) -> &str {
    let start = page.find("<script type=application/ld+json>").expect("each lesson has its data");
    let end = page[start..].find("</script>").expect("it ends") + "</script>".len();
    &page[start..start + end]
}

/// What the scripts of a lesson fetch after it was opened.
const LATER: [&str; 2] = ["later.css", "stove.js"];
/// What a browser fetches after all else, as it is for paper only.
const PAPER: &str = "print.css";

/// What a phone has to carry beside the words, as published: all scripts of a lesson together, whenever they come.
#[test]
fn the_scripts_of_a_lesson_are_light_and_can_be_read() {
    let scripts = ["kitchen.js", "lesson.js", "stove.js", "offline.js"].map(published);
    let bytes: usize = scripts.iter().map(String::len).sum();
    assert!(bytes <= 16_000, "{bytes}");
    println!("{bytes} bytes of script on a lesson's page, whenever they come");
    let sums = published("sums.js");
    assert!(sums.len() <= 4_000, "{}", sums.len());
    let search = published("glossary.js");
    println!("{} bytes of script on the glossary's page", search.len());
    assert!(search.len() <= 1_500, "{}", search.len());
    assert!(published("sums.css").len() <= 300);
    let runtime = Runtime::new().unwrap();
    for script in scripts.into_iter().chain([sums, search]) {
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

/// A sum block of each kind in units of an author's choice. What it begins with has an answer; what is typed need not.
fn sum_block(dice: &mut Dice) -> String {
    let heat = |dice: &mut Dice, celsius: usize| match dice.below(2) {
        0 => format!("{celsius} °C"),
        _ => format!("{} °F", celsius * 9 / 5 + 32),
    };
    let much =
        |dice: &mut Dice| format!("{} {}", 1 + dice.below(40), dice.of(&["L", "mL", "kg", "g", "lb", "US cups"]));
    let weight = |dice: &mut Dice| format!("{} {}", 1 + dice.below(900), dice.of(&["g", "kg", "oz", "lb"]));
    let milk =
        |dice: &mut Dice| format!("{} {}", 1 + dice.below(9), dice.of(&["L", "mL", "imperial pints", "US gallons"]));
    let share = |dice: &mut Dice, most| format!("{}.{} %", 1 + dice.below(most), dice.below(10));
    match dice.below(14) {
        0 => format!(
            "of = \"mix\"\nhot = \"{}\"\ncold = \"{}\"\nwant = \"{}\"\nmake = \"{}\"",
            heat(dice, 90),
            heat(dice, 5),
            heat(dice, 40),
            much(dice)
        ),
        1 | 2 => {
            let leaven = if dice.often(2) { format!("leaven = \"{}\"", heat(dice, 25)) } else { String::new() };
            format!(
                "of = \"dough-water\"\ndough = \"{}\"\nfriction = \"{}\"\nroom = \"{}\"\nflour = \"{}\"\n{leaven}",
                heat(dice, 25),
                dice.of(&["3 °C", "8 °F", "4 K"]),
                heat(dice, 20),
                heat(dice, 20)
            )
        }
        3 => format!("of = \"brine\"\nwater = \"{}\"\nstrength = \"{}\"", much(dice), share(dice, 25)),
        4 => {
            format!("of = \"brine\"\nwater = \"{}\"\nstrength = \"{}\"\nbasis = \"water\"", much(dice), share(dice, 30))
        }
        5 => format!("of = \"dilute\"\nstrong = \"80 %\"\nweak = \"{}\"\nmake = \"{}\"", share(dice, 70), much(dice)),
        6 if dice.often(4) => "of = \"boiling\"".to_owned(),
        6 | 7 => format!("of = \"boiling\"\nheight = \"{} {}\"", dice.below(9000) / 4, dice.of(&["m", "feet"])),
        8 => format!("of = \"rennet\"\nmilk = \"{}\"\ndose = \"40\"\nstrength = \"200\"", milk(dice)),
        9 => format!(
            "of = \"dose\"\nmilk = \"{}\"\neach = \"{}\"",
            milk(dice),
            dice.of(&["0.2 g", "1.5 mL", "1 tsp", "2 drops"])
        ),
        10 => {
            let of = dice.of(&["flour", "dough"]);
            let salt = if dice.often(2) { format!(", sea-salt = \"{}\"", share(dice, 3)) } else { String::new() };
            format!(
                "of = \"bakers\"\n{of} = \"{}\"\nshares = {{ water = \"{}\"{salt} }}",
                weight(dice),
                share(dice, 90)
            )
        }
        11 | 12 => {
            let room = if dice.often(4) { String::new() } else { format!("room = \"{}\"", heat(dice, 10)) };
            format!(
                "of = \"cooling\"\nfrom = \"{}\"\nto = \"{}\"\n{room}\nafter = \"{}\"\nread = \"{}\"",
                heat(dice, 90),
                heat(dice, 40),
                dice.of(&["5 min", "0.5 h", "300 s", "20 min"]),
                heat(dice, 70)
            )
        }
        _ => format!(
            "of = \"ice\"\ncool = \"{}\"\nfrom = \"{}\"\nto = \"{}\"",
            much(dice),
            heat(dice, 80),
            heat(dice, 10)
        ),
    }
}

/// What a student may type: near the value to begin with, round figures, halves of the last digit, and what no sum takes.
fn typed(dice: &mut Dice, begin: f64) -> f64 {
    let random = dice.below(1_000_000) as f64 / 1_000.0;
    match dice.below(10) {
        0 | 1 => begin,
        2..=4 => begin * (0.5 + random / 1_000.0),
        5 => random,
        6 => (random / 10.0).round() + 0.5,
        7 => -random / 4.0,
        8 => (random * 10.0).round() / 2.0,
        _ => dice.of(&[0.0, 100.0, 9_000.0, 1e7, f64::NAN]),
    }
}

/// The sums of a lesson as the script says them.
fn say(script: &str, cases: &[(Value, Vec<f64>)]) -> Vec<(String, bool)> {
    let runtime = Runtime::new().unwrap();
    let context = Context::full(&runtime).unwrap();
    // JSON has no word for what is no number; a text is none either.
    let number = |value: &f64| if value.is_nan() { json!("none") } else { json!(value) };
    let cases: Value =
        cases.iter().map(|(sum, typed)| json!([sum, typed.iter().map(number).collect::<Vec<_>>()])).collect();
    context.with(|ctx| {
        let harness = format!(
            "globalThis.document = {{ querySelectorAll: () => [] }}; {script};\n(cases) => JSON.stringify(JSON.parse(cases).map(\
             ([sum, typed]) => {{ const [said, wrong] = Sums.say(sum, typed); return [said, wrong === undefined]; }}))"
        );
        let say: Function<'_> = ctx.eval(harness).catch(&ctx).expect("the script loads");
        let said: String = say.call((cases.to_string(),)).catch(&ctx).expect("the script runs");
        serde_json::from_str(&said).unwrap()
    })
}

#[test]
fn the_page_s_script_says_each_sum_as_we_do() {
    let script = published("sums.js");
    let (mut dice, mut checked, mut answered) = (Dice(0x5DEE_CE66_D1CE_4E5B), 0, 0);
    let blocks: Vec<String> = (0..600).map(|_| format!("```sum\n{}\n```\n", sum_block(&mut dice))).collect();
    let lesson = format!("# Sums\n\n{}", blocks.join("\n"));
    let course = "title = \"Sums\"\nhome = \"uk\"\n";
    let project = pottle::Project::from_files([("course.toml", course), ("01-sums/lesson.md", lesson.as_str())]);
    let result = pottle::check(&project);
    assert!(
        result.findings.is_empty(),
        "{:#?}",
        result.findings.iter().map(|one| (&one.message, &one.help)).collect::<Vec<_>>()
    );
    let sheets: Vec<Worksheet> = worksheets(&result.model, &result.reference.units, 0).into_iter().flatten().collect();
    assert_eq!(sheets.len(), blocks.len());
    let mut cases = Vec::new();
    let mut ours = Vec::new();
    for sheet in &sheets {
        for _ in 0..50 {
            let values: Vec<f64> = sheet.entries.iter().map(|entry| typed(&mut dice, entry.value)).collect();
            ours.push(sheet.said(&values));
            cases.push((sheet.data(), values));
        }
    }
    for (((_, values), ours), (theirs, is_answer)) in cases.iter().zip(&ours).zip(say(&script, &cases)) {
        answered += usize::from(is_answer);
        assert_eq!(ours.is_ok(), is_answer, "{values:?}: {ours:?}, {theirs}");
        let ours = ours.as_ref().unwrap_or_else(|fault| fault);
        assert_eq!(*ours, theirs, "{values:?}");
        assert!(!ours.contains("NaN") && !ours.contains("inf") && !ours.contains('{'), "{ours}");
        checked += 1;
    }
    println!("{checked} cases of {} sums, {answered} with an answer: no difference", sheets.len());
    assert!(checked >= 20_000 && answered * 3 > checked && answered < checked, "{checked} {answered}");
}
