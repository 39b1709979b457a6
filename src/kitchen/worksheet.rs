//! A sum of a lesson, worked out in words: what stands on paper, and what the page's script repeats.
//!
//! The formulas are those of [`sums`](super::sums); here values come in as they are typed, in their author's units, and
//! go out as a sentence. `sums.js` does the same operations in the same order. Only powers could differ between the two
//! by a last bit, so a value that lies within 1e-9 of a half in the last printed digit is rounded up on both sides.

use super::sums::{
    Bath, SumFault, amounts_for_dough, bath_seconds_to, boiling_celsius, dilution, dose_for_litres,
    dough_water_celsius, hot_share, ice_kg, rennet_ml, salt_kg_for_water, setting_celsius,
};
use crate::quantity::{Exact, System, Unit, UnitId, Units};
use crate::recipe::{Course, Sum, SumKind, SumScale, SumValue};
use serde_json::{Value, json};

/// Specific heat of what ice cools, as of water, kJ/(kg·K).
const WATER_KJ_PER_KG_KELVIN: f64 = 4.18;

/// The longest that a forecast of cooling looks ahead, in minutes: a week.
const FORECAST_MINUTES: f64 = 10_080.0;

/// A value that a student may change.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// What it is.
    pub label: String,
    /// Its unit, as a text to stand after it; empty for a bare number.
    pub unit: String,
    /// The value to begin with, as a field holds it.
    pub text: String,
    /// The same as a number.
    pub value: f64,
    /// On the scale of the sum it is value · `by` + `plus`.
    by: f64,
    plus: f64,
    low: f64,
    high: f64,
    /// What to say when it lies outside.
    fault: String,
}

/// How a result is written.
#[derive(Debug, Clone, PartialEq)]
enum Outcome {
    /// A temperature in both degrees, °F first where the author writes so.
    Warmth { fahrenheit: bool },
    /// An amount; below one of its unit in a thousandth of it, where that has a name.
    Amount { unit: String, small: Option<&'static str> },
}

/// A sum with the values it begins with.
#[derive(Debug, Clone, PartialEq)]
pub struct Worksheet {
    /// What it is called.
    pub title: &'static str,
    /// What it takes for granted, what to beware of, and where it comes from.
    pub about: &'static str,
    /// Its values.
    pub entries: Vec<Entry>,
    kind: SumKind,
    outcomes: Vec<Outcome>,
    /// The sentence; `{0}` stands for the first value, the results follow the values.
    sentence: String,
    /// What to say when each value is fine and all together are not.
    impossible: &'static str,
}

impl Worksheet {
    /// Of a sum of a course.
    pub fn new(sum: &Sum, course: &Course, units: &Units) -> Worksheet {
        let kind = sum.kind;
        let entries: Vec<Entry> = sum.values.iter().map(|value| entry(value, course, units)).collect();
        let (title, about, impossible) = texts(kind);
        let outcomes = outcomes(kind, sum, course, units);
        let sentence = sentence(sum);
        Worksheet { title, about, entries, kind, outcomes, sentence, impossible }
    }

    /// The sentence for values as they are typed, or what is wrong with them.
    pub fn said(&self, typed: &[f64]) -> Result<String, String> {
        let mut values = Vec::new();
        for (entry, value) in self.entries.iter().zip(typed) {
            let value = value * entry.by + entry.plus;
            // Written so that what is no number is refused.
            if !(value >= entry.low && value <= entry.high) {
                return Err(entry.fault.clone());
            }
            values.push(value);
        }
        let found = reckon(self.kind, &values).map_err(|_| self.impossible.to_owned())?;
        let given = typed.iter().zip(&self.entries).map(|(value, entry)| printed(*value, 2) + &entry.unit);
        let found = found.iter().zip(&self.outcomes).map(|(value, outcome)| outcome.printed(*value));
        let all: Vec<String> = given.chain(found).collect();
        let mut pieces = self.sentence.split(['{', '}']);
        let mut out = pieces.next().unwrap_or_default().to_owned();
        while let (Some(number), Some(words)) = (pieces.next(), pieces.next()) {
            out += number.parse().ok().and_then(|number: usize| all.get(number)).map_or("", String::as_str);
            out += words;
        }
        Ok(out)
    }

    /// The sentence for the values it begins with.
    pub fn example(&self) -> Result<String, String> {
        self.said(&self.entries.iter().map(|entry| entry.value).collect::<Vec<_>>())
    }

    /// What the script needs to say the same.
    pub fn data(&self) -> Value {
        let entries = self.entries.iter().map(|one| json!([one.by, one.plus, one.low, one.high, one.fault, one.unit]));
        let outcomes = self.outcomes.iter().map(|outcome| match outcome {
            Outcome::Warmth { fahrenheit } => json!(*fahrenheit),
            Outcome::Amount { unit, small } => json!([unit, small]),
        });
        json!({
            "of": name(self.kind),
            "in": entries.collect::<Vec<_>>(),
            "out": outcomes.collect::<Vec<_>>(),
            "say": self.sentence,
            "no": self.impossible,
        })
    }
}

/// The worksheets of a lesson, in the order of its sums.
pub fn worksheets(course: &Course, units: &Units, lesson: usize) -> Vec<Option<Worksheet>> {
    let sums = course.lessons.get(lesson).map_or(&[][..], |lesson| &lesson.sums);
    sums.iter().map(|sum| sum.as_ref().map(|sum| Worksheet::new(sum, course, units))).collect()
}

/// The formula by its name in the script: two of them serve two kinds.
fn name(kind: SumKind) -> &'static str {
    match kind {
        SumKind::Mix => "mix",
        SumKind::DoughWater => "dough",
        SumKind::Brine => "brine",
        SumKind::BrineOnWater => "water",
        SumKind::Dilute => "dilute",
        SumKind::Boiling => "boil",
        SumKind::Rennet => "rennet",
        SumKind::Dose => "dose",
        SumKind::Bakers => "flour",
        SumKind::BakersDough => "shares",
        SumKind::Ice => "ice",
        SumKind::Cooling => "cool",
    }
}

/// The results of a sum, from values on its own scales.
fn reckon(kind: SumKind, values: &[f64]) -> Result<Vec<f64>, SumFault> {
    Ok(match (kind, values) {
        (SumKind::Mix, [hot, cold, want, make]) => {
            let warm = make * hot_share(*hot, *cold, *want)?;
            vec![warm, make - warm]
        }
        (SumKind::DoughWater, [dough, friction, others @ ..]) => vec![dough_water_celsius(*dough, others, *friction)?],
        (SumKind::Brine, [water, strength]) => vec![salt_kg_for_water(*strength, *water)?],
        (SumKind::BrineOnWater, [water, strength]) => vec![water * strength / 100.0],
        (SumKind::Dilute, [strong, weak, make]) => {
            let made = dilution(*strong, *weak, *make)?;
            vec![made.strong, made.water]
        }
        (SumKind::Boiling, [height]) => vec![boiling_celsius(*height)?, setting_celsius(*height)?],
        (SumKind::Rennet, [milk, dose, strength]) => vec![rennet_ml(*milk, *dose, *strength)?],
        (SumKind::Dose, [milk, each]) => vec![dose_for_litres(*milk, *each)?],
        (SumKind::Bakers, [flour, shares @ ..]) => {
            let others: Vec<f64> = shares.iter().map(|share| flour * share / 100.0).collect();
            let dough = others.iter().fold(*flour, |dough, other| dough + other);
            [others, vec![dough]].concat()
        }
        (SumKind::BakersDough, [dough, shares @ ..]) => {
            let made = amounts_for_dough(*dough, shares)?;
            [made.others_g, vec![made.flour_g]].concat()
        }
        (SumKind::Ice, [kg, from, to]) => vec![ice_kg(*kg, WATER_KJ_PER_KG_KELVIN, *from, *to)?],
        (SumKind::Cooling, [from, to, room, after, read]) => vec![minutes_to(*from, *to, *room, *after, *read)?],
        _ => return Err(SumFault::Impossible("a value is missing")),
    })
}

/// Whole minutes until something is as warm as wanted, rounded up: nobody should look too early.
fn minutes_to(from: f64, to: f64, room: f64, after: f64, read: f64) -> Result<f64, SumFault> {
    let bath = Bath { start_celsius: from, bath_celsius: room, reading_celsius: read, reading_seconds: after * 60.0 };
    let minutes = bath_seconds_to(&bath, to)? / 60.0;
    if minutes > FORECAST_MINUTES {
        return Err(SumFault::Impossible("nobody waits so long"));
    }
    Ok((minutes - 1e-9).ceil())
}

/// Title, small print, and what to say when nothing comes of it.
fn texts(kind: SumKind) -> (&'static str, &'static str, &'static str) {
    match kind {
        SumKind::Mix => (
            "Hot and cold water",
            "Water with water, by weight; by volume right to 4\u{a0}%. The bowl takes some of the warmth: stir and measure. \
             Hot water scalds: pour it slowly, away from you. From a balance of energy.",
            "The temperature wanted must lie between the cold water and the hot.",
        ),
        SumKind::DoughWater => (
            "Water for a dough",
            "Common practice of bakeries. How much kneading warms a dough, your own bowl must teach you.",
            "No water is so cold or so hot.",
        ),
        SumKind::Brine | SumKind::BrineOnWater => (
            "Salt for a brine",
            "By weight; a litre of water is taken as a kilogram. From a balance of masses. The strength that a tested \
             recipe gives comes first.",
            "No brine is so strong.",
        ),
        SumKind::Dilute => (
            "A weaker solution",
            "By weight; by volume nearly so. Pour the strong into the water, never the other way round, and read its \
             label first. From a balance of masses.",
            "Water makes nothing stronger.",
        ),
        SumKind::Boiling => (
            "What water boils at",
            "In the standard atmosphere (ISO 2533), by the steam tables of IAPWS-IF97; weather moves it by 1\u{a0}°C. Jam \
             sets 4.4\u{a0}°C higher: a rule of home preserving.",
            "There is no answer for this height.",
        ),
        SumKind::Rennet => (
            "Rennet",
            "In proportion. What the bottle says comes first; suppliers name 30 to 50 IMCU for a litre as usual.",
            "There is no answer for these values.",
        ),
        SumKind::Dose => {
            ("Dose", "In proportion. What the pack says comes first.", "There is no answer for these values.")
        }
        SumKind::Bakers | SumKind::BakersDough => (
            "Bakers’ shares",
            "Each share is one of the flour’s weight, which counts as 100\u{a0}%.",
            "There is no answer for these values.",
        ),
        SumKind::Ice => (
            "Ice to cool with",
            "Ice at 0\u{a0}°C, and the food taken as water. Pot and room need more: take plenty, stir, and measure. From a \
             balance of energy. How fast food must be cold, your local rules say.",
            "Ice does not warm anything.",
        ),
        SumKind::Cooling => (
            "When it will be as warm as you want",
            "Newton’s law of cooling: right while you stir and the room or bath stays as it is; what stands unstirred, or \
             in a bath that warms, takes longer. A forecast: only a thermometer shows how warm it is. How fast food must \
             be cold, your local rules say.",
            "It goes from what it was at first towards the room or bath, and both temperatures must lie on that way.",
        ),
    }
}

fn sentence(sum: &Sum) -> String {
    let count = sum.values.len();
    let shares = || -> Vec<String> {
        let names = sum.values.iter().enumerate().skip(1);
        // Brackets of this kind stand for places.
        names.map(|(at, value)| format!("{{{}}} {}", at + count - 1, value.label.replace(['{', '}'], ""))).collect()
    };
    let last = 2 * count - 1;
    match sum.kind {
        SumKind::Mix => "For {3} at {2} pour {4} at {0} into {5} at {1}.".to_owned(),
        SumKind::DoughWater => format!("For a dough at {{0}} use water at {{{}}}.", count),
        SumKind::Brine => "Into {0} of water stir {2} of salt: {1} of the brine is salt.".to_owned(),
        SumKind::BrineOnWater => "Into {0} of water stir {2} of salt: {1} of the water.".to_owned(),
        SumKind::Dilute => "For {2} at {1} take {3} at {0} and {4} of water.".to_owned(),
        SumKind::Boiling => "At {0} above the sea water boils at about {1}. Jam sets at about {2}.".to_owned(),
        SumKind::Rennet => "For {0} of milk measure {3} of rennet.".to_owned(),
        SumKind::Dose => "For {0} of milk measure {2}.".to_owned(),
        SumKind::Bakers => format!("To {{0}} of flour go {}: {{{last}}} of dough.", shares().join(", ")),
        SumKind::BakersDough => format!("For {{0}} of dough take {{{last}}} of flour, {}.", shares().join(", ")),
        SumKind::Ice => "To cool {0} from {1} to {2}, melt {3} of ice in it.".to_owned(),
        SumKind::Cooling => {
            "From {0} to {4} in {3}, with {2} around it: it comes to {1} about {5} after the start.".to_owned()
        }
    }
}

fn outcomes(kind: SumKind, sum: &Sum, course: &Course, units: &Units) -> Vec<Outcome> {
    let of = |at: usize| sum.values.get(at).map(|value| course.measure(value.measure).amount);
    let fahrenheit = of(0).is_some_and(|amount| units.get(amount.unit()).system != System::Metric);
    let warm = Outcome::Warmth { fahrenheit };
    let like = |at: usize| {
        of(at).map_or(amount("g"), |one| {
            let unit = after(units, one.unit(), one.bare);
            let small = match units.get(one.unit()).id.as_str() {
                "litre" => Some("mL"),
                "kilogram" => Some("g"),
                _ => None,
            };
            Outcome::Amount { unit, small }
        })
    };
    match kind {
        SumKind::Mix => vec![like(3), like(3)],
        SumKind::DoughWater => vec![warm],
        SumKind::Brine | SumKind::BrineOnWater | SumKind::Ice => vec![amount("kg")],
        SumKind::Dilute => vec![like(2), like(2)],
        SumKind::Boiling => vec![warm.clone(), warm],
        SumKind::Rennet => vec![amount("mL")],
        SumKind::Cooling => vec![amount("min")],
        SumKind::Dose => vec![like(1)],
        SumKind::Bakers | SumKind::BakersDough => vec![like(0); sum.values.len()],
    }
}

fn amount(unit: &str) -> Outcome {
    Outcome::Amount { unit: format!("\u{a0}{unit}"), small: (unit == "kg").then_some("g") }
}

impl Outcome {
    fn printed(&self, value: f64) -> String {
        match self {
            Outcome::Warmth { fahrenheit } => {
                let celsius = format!("{}\u{a0}°C", printed(value, 1));
                let other = format!("{}\u{a0}°F", printed(value * 1.8 + 32.0, 0));
                if *fahrenheit { format!("{other} ({celsius})") } else { format!("{celsius} ({other})") }
            }
            Outcome::Amount { small: Some(small), .. } if value > 0.0 && value < 1.0 => {
                format!("{}\u{a0}{small}", three_digits(value * 1000.0))
            }
            Outcome::Amount { unit, .. } => three_digits(value) + unit,
        }
    }
}

fn three_digits(value: f64) -> String {
    printed(value, if value < 10.0 { 2 } else { usize::from(value < 100.0) })
}

/// A number with at most two digits after the point.
fn printed(value: f64, places: usize) -> String {
    let scale = [1.0, 10.0, 100.0][places.min(2)];
    let size = (value.abs() * scale + (0.5 + 1e-9)).floor() / scale;
    let sign = if value < 0.0 && size > 0.0 { "−" } else { "" };
    format!("{sign}{size}")
}

fn entry(value: &SumValue, course: &Course, units: &Units) -> Entry {
    let amount = course.measure(value.measure).amount;
    let unit = units.get(amount.unit());
    let (by, plus) = conversion(value.scale, unit);
    let text = unit.from_base(amount.low.quantity.base()).to_decimal(4).replace('−', "-");
    let unit = after(units, amount.unit(), amount.bare);
    let end = |value: f64| printed((value - plus) / by, 2);
    let label = value.label.clone();
    let mut letters = label.chars();
    let name: String = letters.next().into_iter().flat_map(char::to_uppercase).chain(letters).collect();
    let fault = format!("{name}: from {} to {}{unit}, please.", end(value.low), end(value.high));
    let number = text.parse().unwrap_or(f64::NAN);
    Entry { label: name, unit, text, value: number, by, plus, low: value.low, high: value.high, fault }
}

/// A unit as it stands after a number; nothing after a count.
fn after(units: &Units, id: UnitId, bare: bool) -> String {
    if id == units.piece() {
        return String::new();
    }
    let (symbol, _, many) = units.names(id, bare);
    format!("\u{a0}{}", if symbol.is_empty() { many } else { symbol })
}

/// From a number in a unit to the scale of the sum: by what it is multiplied, and what is added.
fn conversion(scale: SumScale, unit: &Unit) -> (f64, f64) {
    let parts = |base: i128| (unit.size / Exact::whole(base)).to_f64();
    match scale {
        SumScale::Celsius => (unit.size.to_f64(), unit.zero.to_f64()),
        SumScale::Kelvin => (unit.size.to_f64(), 0.0),
        SumScale::Kilograms | SumScale::Litres | SumScale::Metres => (parts(1000), 0.0),
        SumScale::Minutes => (parts(60), 0.0),
        SumScale::Percent => ((unit.size * Exact::whole(100)).to_f64(), 0.0),
        SumScale::AsWritten => (1.0, 0.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::input::Project;

    fn sheet(body: &str) -> Worksheet {
        let lesson = format!("# A\n\n```sum\n{body}\n```\n");
        let project =
            Project::from_files([("course.toml", "title = \"A\"\nhome = \"uk\"\n"), ("01-a/lesson.md", &lesson)]);
        let checked = crate::check(&project);
        worksheets(&checked.model, &checked.reference.units, 0).remove(0).unwrap_or_else(|| panic!("{body}"))
    }

    fn says(body: &str) -> String {
        sheet(body).example().unwrap_or_else(|fault| fault).replace('\u{a0}', " ")
    }

    /// Each answer can be had from the named source; the formulas themselves are held to published figures in
    /// `tests/worked_examples.rs`.
    #[test]
    fn each_sum_says_its_worked_example() {
        for (source, body, said) in [
            (
                "balance of energy: two parts at 80 °C in five, by (40 − 10)/(80 − 10) = 3/7",
                "of = \"mix\"\nhot = \"80 °C\"\ncold = \"10 °C\"\nwant = \"40 °C\"\nmake = \"2 L\"",
                "For 2 L at 40 °C pour 857 mL at 80 °C into 1.14 L at 10 °C.",
            ),
            (
                "baking schools: three times the dough less room, flour and friction, 3·24 − 22 − 20 − 4",
                "of = \"dough-water\"\ndough = \"24 °C\"\nfriction = \"4 °C\"\nroom = \"22 °C\"\nflour = \"20 °C\"",
                "For a dough at 24 °C use water at 26 °C (79 °F).",
            ),
            (
                "the same with a leaven: four times the dough",
                "of = \"dough-water\"\ndough = \"24 °C\"\nfriction = \"4 °C\"\nroom = \"22 °C\"\nflour = \"20 °C\"\nleaven = \"25 °C\"",
                "For a dough at 24 °C use water at 25 °C (77 °F).",
            ),
            (
                "balance of masses: 1 kg at 5 % of the brine is 1000·5/95",
                "of = \"brine\"\nwater = \"1 L\"\nstrength = \"5 %\"",
                "Into 1 L of water stir 52.6 g of salt: 5 % of the brine is salt.",
            ),
            (
                "arithmetic: 5 % of 1 kg",
                "of = \"brine\"\nwater = \"1 L\"\nstrength = \"5 %\"\nbasis = \"water\"",
                "Into 1 L of water stir 50 g of salt: 5 % of the water.",
            ),
            (
                "balance of masses: 500·5/25",
                "of = \"dilute\"\nstrong = \"25 %\"\nweak = \"5 %\"\nmake = \"500 g\"",
                "For 500 g at 5 % take 100 g at 25 % and 400 g of water.",
            ),
            (
                "USDA altitude tables: 5000 ft boils at 203 °F, jam sets at 211 °F",
                "of = \"boiling\"\nheight = \"5000 feet\"",
                "At 5000 ft above the sea water boils at about 203 °F (94.9 °C). Jam sets at about 211 °F (99.3 °C).",
            ),
            (
                "proportion: 4·40/200",
                "of = \"rennet\"\nmilk = \"4 L\"\ndose = \"40\"\nstrength = \"200\"",
                "For 4 L of milk measure 0.8 mL of rennet.",
            ),
            ("proportion", "of = \"dose\"\nmilk = \"4 L\"\neach = \"0.2 g\"", "For 4 L of milk measure 0.8 g."),
            (
                "arithmetic: 65 and 2 % of 500",
                "of = \"bakers\"\nflour = \"500 g\"\nshares = { water = \"65 %\", salt = \"2 %\" }",
                "To 500 g of flour go 325 g water, 10 g salt: 835 g of dough.",
            ),
            (
                "the same turned round",
                "of = \"bakers\"\ndough = \"835 g\"\nshares = { water = \"65 %\", salt = \"2 %\" }",
                "For 835 g of dough take 500 g of flour, 325 g water, 10 g salt.",
            ),
            (
                "balance of energy, melting 333.6 kJ/kg: 4·4.18·60/(333.6 + 4.18·20)",
                "of = \"ice\"\ncool = \"4 L\"\nfrom = \"80 °C\"\nto = \"20 °C\"",
                "To cool 4 L from 80 °C to 20 °C, melt 2.4 kg of ice in it.",
            ),
            (
                "Newton's law: the gap of 80 K halves in 10 minutes, and three halvings leave 10 K",
                "of = \"cooling\"\nfrom = \"90 °C\"\nto = \"20 °C\"\nroom = \"10 °C\"\nafter = \"10 min\"\nread = \"50 °C\"",
                "From 90 °C to 50 °C in 10 min, with 10 °C around it: it comes to 20 °C about 30 min after the start.",
            ),
        ] {
            assert_eq!(says(body), said, "{source}");
        }
    }

    #[test]
    fn what_cannot_be_gets_a_sentence() {
        let mix = sheet("of = \"mix\"\nhot = \"80 °C\"\ncold = \"10 °C\"\nwant = \"40 °C\"\nmake = \"2 L\"");
        let between = "The temperature wanted must lie between the cold water and the hot.";
        assert_eq!(mix.said(&[40.0, 10.0, 60.0, 2.0]), Err(between.to_owned()));
        assert_eq!(mix.said(&[20.0, 20.0, 20.0, 2.0]), Err(between.to_owned()));
        let hot = "Hot water: from 0 to 100\u{a0}°C, please.";
        for typed in [f64::NAN, f64::INFINITY, 100.1, -1.0] {
            assert_eq!(mix.said(&[typed, 10.0, 40.0, 2.0]), Err(hot.to_owned()));
        }
        let boiling = sheet("of = \"boiling\"\nheight = \"600 feet\"");
        let height = "Height above the sea: from −1410.76 to 29527.56\u{a0}ft, please.";
        assert_eq!(boiling.said(&[30_000.0]), Err(height.to_owned()));
    }

    #[test]
    fn nothing_cools_past_what_is_around_it() {
        let body = "of = \"cooling\"\nfrom = \"90 °C\"\nto = \"20 °C\"\nroom = \"10 °C\"\nafter = \"10 min\"\nread = \"50 °C\"";
        let cooling = sheet(body);
        let fault = Err(cooling.impossible.to_owned());
        for (what, typed) in [
            ("colder than the bath", [90.0, 5.0, 10.0, 10.0, 50.0]),
            ("hotter than at first", [90.0, 95.0, 10.0, 10.0, 50.0]),
            ("it has not moved", [90.0, 20.0, 10.0, 10.0, 90.0]),
            ("as warm as its bath", [90.0, 20.0, 90.0, 10.0, 50.0]),
            ("in a year", [90.0, 10.1, 10.0, 1440.0, 89.9]),
        ] {
            assert_eq!(cooling.said(&typed), fault, "{what}");
        }
        // The same law warms.
        let warmed = cooling.said(&[4.0, 34.0, 44.0, 5.0, 24.0]).unwrap().replace('\u{a0}', " ");
        assert!(warmed.ends_with("it comes to 34 °C about 10 min after the start."), "{warmed}");
    }

    #[test]
    fn numbers_are_rounded_half_away_and_have_no_sign_at_nought() {
        let shown = [(0.125, 2), (2.5, 0), (-2.5, 0), (-0.004, 2), (1e6, 2), (99.95, 1), (0.3 - 0.1, 2)];
        let texts = shown.map(|(value, places)| printed(value, places));
        assert_eq!(texts, ["0.13", "3", "−3", "0", "1000000", "100", "0.2"]);
    }
}
