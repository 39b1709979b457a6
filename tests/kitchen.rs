//! Scaling, rounding and printing, held against hand arithmetic and GNU units.

use pottle::kitchen::{Ask, Care, Degrees, Kitchen, Measured, Method, Reader, Tool, Unmeasurable, scale};
use pottle::quantity::print::{self, NO_BREAK, Style, Which};
use pottle::quantity::{Bound, Dimension, Exact, Home, parse_amount};
use pottle::reference::Reference;
use proptest::prelude::*;
use std::sync::LazyLock;

static REFERENCES: LazyLock<Vec<(Home, Reference)>> =
    LazyLock::new(|| Home::ALL.into_iter().map(|home| (home, Reference::built_in(home))).collect());

fn reference(home: Home) -> &'static Reference {
    REFERENCES.iter().find(|(other, _)| *other == home).map(|(_, reference)| reference).unwrap()
}

fn kitchen(reader: Reader, home: Home) -> Kitchen<'static> {
    Kitchen::new(reference(home), reader, home).unwrap()
}

fn plain(text: &str) -> String {
    text.replace(NO_BREAK, " ")
}

fn exact(text: &str) -> Exact {
    Exact::parse(text).unwrap()
}

/// `45 mL +1.4 %`: the words, and what rounding moved.
fn cell(measured: Result<Measured, Unmeasurable>) -> String {
    match measured {
        Err(error) => error.to_string(),
        Ok(measured) if measured.error.is_zero() => plain(&measured.text),
        Ok(measured) => {
            let (hundred, unit) = match measured.dimension {
                Dimension::Temperature => (Exact::ONE, "K"),
                _ => (Exact::whole(100), "%"),
            };
            let sign = if measured.error > Exact::ZERO { "+" } else { "" };
            let error = (measured.error * hundred).to_decimal(1);
            format!("{} {sign}{error} {unit}", plain(&measured.text))
        }
    }
}

/// Awkward scalings: k, what is written and where, density in g/mL, careful or not; the exact base value; and how a
/// metric, a US and an imperial kitchen measure it, then metric spoons and cups, each with its error.
///
/// Each exact value and error was computed again with GNU units 2.22 from the words of the cell. The densities are
/// round figures, for arithmetic only.
const AWKWARD: &str = "
1/3   | ¼ tsp           | us |      | ordinary | 157725491/384000000  | too small to measure   | too small to measure          | too small to measure                      | too small to measure
1/3   | ¼ tsp           | us | 1.2  | careful  | 157725491/384000000  | 0.49 g −0.6 %          | 0.49 g −0.6 %                 | 0.49 g −0.6 %                             | 0.49 g −0.6 %
1/4   | ¼ tsp           | us |      | ordinary | 157725491/512000000  | too small to measure   | too small to measure          | too small to measure                      | too small to measure
7     | 1 tbsp          | us |      | ordinary | 3312235311/32000000  | 105 mL +1.4 %          | ¼ cup + 3 tbsp                | about 3½ imp fl oz −3.9 %                 | ⅓ cup + 1 tbsp + 1 tsp −0.2 %
7     | 1 tbsp          | uk |      | ordinary | 105                  | 105 mL                 | ¼ cup + 3 tbsp −1.4 %         | about 3½ imp fl oz −5.3 %                 | ⅓ cup + 1 tbsp + 1 tsp −1.6 %
0.37  | 120 mL          | uk |      | ordinary | 222/5                | 45 mL +1.4 %           | 3 tbsp −0.1 %                 | 3 tbsp +1.4 %                             | 3 tbsp +1.4 %
3/8   | 1 tsp           | us |      | ordinary | 473176473/256000000  | ¼ tsp + ⅛ tsp +1.4 %   | ¼ tsp + ⅛ tsp                 | ¼ tsp + ⅛ tsp +1.4 %                      | ¼ tsp + ⅛ tsp +1.4 %
1/3   | 1 cup           | us |      | ordinary | 157725491/2000000    | 80 mL +1.4 %           | ⅓ cup                         | about 3 imp fl oz +8.1 %                  | 5 tbsp + 1 tsp +1.4 %
1/3   | 1 tbsp          | us |      | ordinary | 157725491/32000000   | 1 tsp +1.4 %           | 1 tsp                         | 1 tsp +1.4 %                              | 1 tsp +1.4 %
2/3   | ¾ cup           | us |      | ordinary | 473176473/4000000    | 120 mL +1.4 %          | ½ cup                         | about 4 imp fl oz −3.9 %                  | ⅓ cup + 2 tbsp + 1 tsp +0 %
5/8   | 1 cup           | us |      | ordinary | 473176473/3200000    | 150 mL +1.4 %          | ½ cup + 2 tbsp                | about 5 imp fl oz −3.9 %                  | ½ cup + 1 tbsp + 2 tsp +1.4 %
3/4   | ⅓ cup           | us |      | ordinary | 473176473/8000000    | 60 mL +1.4 %           | ¼ cup                         | about 2 imp fl oz −3.9 %                  | 4 tbsp +1.4 %
3/4   | 4.5 L           | uk |      | ordinary | 3375                 | 3.4 L +0.7 %           | 3 US quarts + 2¼ cups −0.1 %  | 6 imperial pints +1 %                     | 3.4 L +0.7 %
1/3   | 4 L             | uk |      | ordinary | 4000/3               | 1.35 L +1.3 %          | 5⅔ cups +0.6 %                | 2 imperial pints 7 imp fl oz +0.2 %       | 1.35 L +1.3 %
13/4  | 1 L             | uk |      | ordinary | 3250                 | 3.25 L                 | 3 US quarts + 1¾ cups +0.1 %  | 5¾ imperial pints +0.5 %                  | 3.25 L
1/3   | 1 imperial pint | uk |      | ordinary | 454609/2400          | 190 mL +0.3 %          | ⅔ cup + 2 tbsp −1.1 %         | about 6½ imp fl oz −2.5 %                 | ¾ cup −1 %
5/2   | 1 US gallon     | us |      | ordinary | 473176473/50000      | 9.5 L +0.4 %           | 2 US gallons + 2 US quarts    | 2 imperial gallons ½ imperial pint −0.9 % | 9.5 L +0.4 %
1/3   | 250 g           | uk |      | ordinary | 250/3                | 83 g −0.4 %            | about 3 oz +2.1 %             | about 3 oz +2.1 %                         | 83 g −0.4 %
1/7   | 9 g             | uk | 1.2  | careful  | 9/7                  | 1.3 g +1.1 %           | 1.3 g +1.1 %                  | 1.3 g +1.1 %                              | 1.3 g +1.1 %
1/3   | 9 g             | uk | 1.2  | ordinary | 3                    | 3 g                    | 3 g                           | 3 g                                       | ½ tsp
4/3   | 9 g             | uk | 1.2  | careful  | 12                   | 12 g                   | 12 g                          | 12 g                                      | 2 tsp
0.37  | 250 g           | uk | 0.53 | ordinary | 185/2                | 93 g +0.5 %            | 3¼ oz −0.4 %                  | 3¼ oz −0.4 %                              | ½ cup + 3 tbsp + 1 tsp +0.3 %
5/3   | 1 lb            | us |      | ordinary | 45359237/60000       | 755 g −0.1 %           | 1 lb 10½ oz −0.6 %            | 1 lb 10½ oz −0.6 %                        | 755 g −0.1 %
2/3   | 1 lb 4 oz       | us |      | ordinary | 45359237/120000      | 380 g +0.5 %           | 13¼ oz −0.6 %                 | 13¼ oz −0.6 %                             | 380 g +0.5 %
1/6   | 1 oz            | us |      | ordinary | 45359237/9600000     | 4.7 g −0.5 %           | 4.7 g −0.5 %                  | 4.7 g −0.5 %                              | 4.7 g −0.5 %
1/8   | 0.75 mL         | uk | 1.03 | careful  | 3/32                 | too small to measure   | too small to measure          | too small to measure                      | too small to measure
3/4   | 1 mL            | uk | 1    | careful  | 3/4                  | 0.75 g                 | 0.75 g                        | 0.75 g                                    | 0.75 g
7/3   | 3               | uk |      | ordinary | 7                    | 7                      | 7                             | 7                                         | 7
1/5   | 2               | uk |      | ordinary | 2/5                  | too small to measure   | too small to measure          | too small to measure                      | too small to measure
1.7   | 1½ cups         | us |      | ordinary | 24132000123/40000000 | 600 mL −0.5 %          | 2½ cups + 1 tbsp +0.5 %       | 1 imperial pint 1 imp fl oz −1.1 %        | 2¼ cups + 3 tbsp +0.7 %
1/100 | 1 g             | uk |      | careful  | 1/100                | too small to measure   | too small to measure          | too small to measure                      | too small to measure
1.5   | 2¾ tsp          | us |      | ordinary | 5204941203/256000000 | 1 tbsp + 1 tsp −1.6 %  | about 1 tbsp + 1 tsp −3 %     | 1 tbsp + 1 tsp −1.6 %                     | 1 tbsp + 1 tsp −1.6 %
0.9   | 30 mL           | uk |      | ordinary | 27                   | 1 tbsp + 2½ tsp +1.9 % | 1 tbsp + 2½ tsp +0.4 %        | 1 tbsp + 2½ tsp +1.9 %                    | 1 tbsp + 2½ tsp +1.9 %
5     | 1 tbsp          | au |      | ordinary | 100                  | 100 mL                 | ⅓ cup + 1 tbsp + 1 tsp −1.4 % | 3½ imp fl oz −0.6 %                       | 5 tbsp
1/3   | 1 cup           | au |      | ordinary | 250/3                | 85 mL +2 %             | ⅓ cup + 1 tsp +0.6 %          | about 3 imp fl oz +2.3 %                  | ⅓ cup
";

#[test]
fn awkward_scalings_come_out_as_a_cook_would_measure_them() {
    let (mut rows, mut wrong) = (0, String::new());
    for line in AWKWARD.lines().filter(|line| !line.trim().is_empty()) {
        let columns: Vec<&str> = line.split('|').map(str::trim).collect();
        let [k, written, home, density, care, want @ ..] = columns.as_slice() else { panic!("short row: {line}") };
        let home = Home::from_name(home).unwrap();
        let amount = parse_amount(written, &reference(home).units).unwrap();
        let amount = scale(&amount, exact(k)).unwrap();
        let base = amount.low.quantity.base();
        let tool = if amount.dimension() == Dimension::Volume { Tool::Jug } else { Tool::Scale };
        let care = if *care == "careful" { Care::Careful } else { Care::Ordinary };
        let metric_home = if home == Home::Us { Home::Uk } else { home };
        let get = |reader, home, tool| {
            let ask = Ask { tool, care, density: Exact::parse(density), ..Ask::default() };
            cell(kitchen(reader, home).measure(amount.dimension(), base, &ask))
        };
        let got = [
            base.to_string(),
            get(Reader::Metric, metric_home, tool),
            get(Reader::Us, Home::Us, tool),
            get(Reader::Imperial, Home::Uk, tool),
            get(Reader::Metric, metric_home, Tool::Spoons),
        ];
        if got.as_slice() != want {
            wrong.push_str(&format!("{k} × {written} gives {}\n", got.join(" | ")));
        }
        rows += 1;
    }
    assert!(rows >= 30 && wrong.is_empty(), "{wrong}");
}

#[test]
fn times_lengths_and_readings_go_to_what_the_tool_shows() {
    let uk = kitchen(Reader::Metric, Home::Uk);
    let us = kitchen(Reader::Us, Home::Us);
    let show = |kitchen: &Kitchen<'_>, written: &str, k: &str, ask: Ask| {
        let amount = parse_amount(written, &reference(Home::Uk).units).unwrap();
        cell(kitchen.measure(amount.dimension(), amount.low.quantity.base() * exact(k), &ask))
    };
    let plainly = Ask::default();
    for (written, k, want) in [
        ("90 s", "1", "90 s"),
        ("60 s", "1", "1 min"),
        ("150 s", "1", "2 min 30 s"),
        ("20 min", "1/3", "about 7 min +5 %"),
        ("90 min", "1", "1 h 30 min"),
        ("10 h", "1/3", "3 h 20 min"),
        ("30 h", "1", "30 h"),
        ("4 days", "1", "4 days"),
        ("7 days", "1/2", "3.5 days"),
        ("2 weeks", "1", "14 days"),
        ("1 in", "1", "2.5 cm −1.6 %"),
        ("½ in", "1", "about 13 mm +2.4 %"),
        ("1 ft", "1", "30 cm −1.6 %"),
        ("198 °F", "1", "92 °C −0.2 K"),
    ] {
        assert_eq!(show(&uk, written, k, plainly), want, "{written}");
    }
    assert_eq!(show(&us, "92 °C", "1", plainly), "198 °F +0.2 K");
    assert_eq!(show(&us, "2.5 cm", "1", plainly), "1 in +1.6 %");
    assert_eq!(show(&us, "6 mm", "1", plainly), "about ¼ in +5.8 %");
    let at_least = Ask { bound: Bound::AtLeast, ..plainly };
    assert_eq!(show(&uk, "145 °F", "1", at_least), "63 °C +0.2 K");
    let dial = Ask { oven: true, ..plainly };
    assert_eq!(plain(&us.measure(Dimension::Temperature, exact("180"), &dial).unwrap().text), "350 °F");
    let both = uk.clone().with_degrees(Degrees::Fahrenheit);
    assert_eq!(plain(&both.measure(Dimension::Temperature, exact("32"), &plainly).unwrap().text), "90 °F");
}

#[test]
fn a_range_is_measured_in_one_way() {
    let show = |kitchen: &Kitchen<'_>, dimension, low, high, ask: &Ask| {
        let range = kitchen.measure_range(dimension, exact(low), exact(high), ask).unwrap();
        assert_eq!(range.low.method, range.high.method);
        plain(&range.text)
    };
    let (uk, us) = (kitchen(Reader::Metric, Home::Uk), kitchen(Reader::Us, Home::Us));
    let ask = Ask::default();
    assert_eq!(show(&uk, Dimension::Mass, "550", "650", &ask), "550–650 g");
    assert_eq!(show(&uk, Dimension::Mass, "950", "1050", &ask), "950 g to 1.05 kg");
    assert_eq!(show(&uk, Dimension::Mass, "100", "100.2", &ask), "100 g");
    assert_eq!(show(&us, Dimension::Volume, "236.5882365", "473.176473", &ask), "1–2 cups");
    assert_eq!(show(&uk, Dimension::Temperature, "-20", "-18", &ask), "−20 to −18 °C");
    assert_eq!(show(&uk, Dimension::Time, "1200", "1500", &ask), "20–25 min");
    assert_eq!(show(&us, Dimension::Temperature, "30", "35", &ask), "86–95 °F");
    // 3 g is near enough to no ounce mark, so neither end is weighed in ounces.
    assert_eq!(show(&us, Dimension::Mass, "3", "57", &ask), "3–57 g");
}

#[test]
fn a_written_amount_keeps_its_limits_and_its_about() {
    let us = kitchen(Reader::Us, Home::Us);
    for (written, k, want) in [
        ("at least 30 min", "1", "at least 30 min"),
        ("at most 5 °C", "1", "at most 41 °F"),
        ("at least 63 °C", "1", "at least 146 °F"),
        ("about 500 g", "1/2", "about 8¾ oz"),
        ("550–650 g", "2", "2 lb 7 oz to 2 lb 14 oz"),
        ("2–3 US cups", "1/2", "1–1½ cups"),
    ] {
        let amount = parse_amount(written, &reference(Home::Us).units).unwrap();
        let ask = Ask { tool: Tool::of_unit(reference(Home::Us).units.get(amount.unit())), ..Ask::default() };
        let range = us.measure_amount(&scale(&amount, exact(k)).unwrap(), &ask).unwrap();
        assert_eq!(plain(&range.text), want, "{written}");
    }
}

#[test]
fn a_dose_is_weighed_where_spoons_are_too_coarse() {
    let uk = kitchen(Reader::Metric, Home::Uk);
    let salt = Ask { tool: Tool::Spoons, care: Care::Careful, density: Some(exact("1.2")), ..Ask::default() };
    let spooned = uk.measure(Dimension::Mass, exact("12"), &salt).unwrap();
    assert_eq!((plain(&spooned.text).as_str(), spooned.method), ("2 tsp", Method::Spoons));
    let weighed = uk.measure(Dimension::Mass, exact("6.8"), &salt).unwrap();
    assert_eq!((plain(&weighed.text).as_str(), weighed.method), ("6.8 g", Method::Scale));
    let dose = uk.measure(Dimension::Mass, exact("0.37"), &salt).unwrap();
    assert_eq!((plain(&dose.text).as_str(), dose.method), ("0.37 g", Method::FineScale));
    let unweighable = Ask { density: None, ..salt };
    let fine = uk.measure(Dimension::Volume, exact("16.3"), &unweighable).unwrap();
    assert_eq!(plain(&fine.text), "1 tbsp + ¼ tsp");
    assert!(uk.measure(Dimension::Volume, exact("0.8"), &unweighable).is_err());
}

#[test]
fn a_decimal_comma_reaches_every_text() {
    let german = kitchen(Reader::Metric, Home::Uk).with_style(Style::for_language("de"));
    let measured = german.measure(Dimension::Mass, exact("1250"), &Ask::default()).unwrap();
    assert_eq!(plain(&measured.text), "1,25 kg");
}

fn readers() -> impl Strategy<Value = (Reader, Home)> {
    (prop::sample::select(&Reader::ALL[..]), prop::sample::select(&Home::ALL[..]))
}

fn asks() -> impl Strategy<Value = Ask> {
    let tools = prop::sample::select(vec![Tool::Scale, Tool::Jug, Tool::Spoons]);
    let cares = prop::sample::select(vec![Care::Ordinary, Care::Careful]);
    let densities = prop::sample::select(vec![None, Some("1"), Some("0.53"), Some("1.2173"), Some("0.0917")]);
    (tools, cares, densities).prop_map(|(tool, care, density)| Ask {
        tool,
        care,
        density: density.map(exact),
        ..Ask::default()
    })
}

/// From next to nothing to nearly half a million, with the denominators that scaling by halves, thirds and sevenths brings.
fn bases() -> impl Strategy<Value = Exact> {
    let unders = prop::sample::select(vec![1i128, 3, 7, 8, 30, 210, 1000]);
    let sizes = prop::sample::select(vec!["1", "1/100", "236.5882365", "4.92892159375", "28.349523125", "28.4130625"]);
    (1i128..2000, unders, sizes).prop_map(|(over, under, size)| Exact::new(over, under) * exact(size))
}

/// The value in the dimension that was asked for.
fn as_asked(measured: &Measured, dimension: Dimension, ask: &Ask) -> Exact {
    match (measured.dimension, dimension) {
        (Dimension::Mass, Dimension::Volume) => measured.rounded / ask.density.unwrap(),
        (Dimension::Volume, Dimension::Mass) => measured.rounded * ask.density.unwrap(),
        _ => measured.rounded,
    }
}

fn amounts() -> impl Strategy<Value = Dimension> {
    prop::sample::select(vec![Dimension::Mass, Dimension::Volume, Dimension::Count])
}

fn any_measure() -> impl Strategy<Value = Dimension> {
    prop::sample::select(vec![
        Dimension::Mass,
        Dimension::Volume,
        Dimension::Count,
        Dimension::Time,
        Dimension::Length,
        Dimension::Temperature,
    ])
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn rounding_never_makes_the_larger_of_two_amounts_the_smaller(
        (reader, home) in readers(), ask in asks(), dimension in any_measure(), a in bases(), b in bases(), near in any::<bool>(),
    ) {
        let kitchen = kitchen(reader, home);
        // Half the time a neighbour within a few per cent, where two ways of measuring meet.
        let b = if near { a + a * (b - b.floor()) / Exact::whole(20) } else { b };
        let (low, high) = (a.min(b), a.max(b));
        let measured = (kitchen.measure(dimension, low, &ask), kitchen.measure(dimension, high, &ask));
        if let (Ok(low), Ok(high)) = measured {
            prop_assert!(
                as_asked(&low, dimension, &ask) <= as_asked(&high, dimension, &ask),
                "{} before {}", low.text, high.text
            );
        }
    }

    #[test]
    fn rounding_moves_an_amount_by_exactly_what_it_reports(
        (reader, home) in readers(), ask in asks(), dimension in amounts(), base in bases(),
    ) {
        let Ok(measured) = kitchen(reader, home).measure(dimension, base, &ask) else { return Ok(()) };
        let units = &reference(home).units;
        prop_assert_eq!(measured.parts.iter().map(|part| part.base(units)).sum::<Exact>(), measured.rounded);
        prop_assert_eq!(measured.exact + measured.exact * measured.error, measured.rounded);
        prop_assert!(measured.error.abs() <= ask.care.limit(), "{}", measured.text);
        prop_assert_eq!(measured.about, measured.error.abs() > Exact::new(1, 50));
        prop_assert!(measured.parts.len() <= 4 && measured.rounded > Exact::ZERO);
    }

    #[test]
    fn what_is_measured_out_needs_no_more_rounding((reader, home) in readers(), dimension in any_measure(), base in bases()) {
        let kitchen = kitchen(reader, home);
        if let Ok(measured) = kitchen.measure(dimension, base, &Ask::default()) {
            let again = kitchen.measure(dimension, measured.rounded, &Ask::default());
            prop_assert_eq!(again.map(|again| (again.rounded, again.error)), Ok((measured.rounded, Exact::ZERO)));
        }
    }

    #[test]
    fn a_printed_measure_reads_back((reader, home) in readers(), ask in asks(), dimension in any_measure(), base in bases()) {
        let units = &reference(home).units;
        let Ok(measured) = kitchen(reader, home).measure(dimension, base, &ask) else { return Ok(()) };
        let mut sum = Exact::ZERO;
        for part in measured.text.split(" + ") {
            let amount = parse_amount(part, units);
            prop_assert!(amount.is_ok(), "{part}: {amount:?}");
            sum = sum + amount.unwrap().low.quantity.base();
        }
        prop_assert_eq!(sum, measured.rounded, "{}", measured.text);
    }

    #[test]
    fn k_and_then_one_over_k_changes_nothing(
        over in 1i128..400, under in 1i128..60, value in 1i128..5000, places in 0u32..3, unit in prop::sample::select(vec!["g", "mL", "tsp", "cups", "oz", "°C", "min", ""]),
    ) {
        let units = &reference(Home::Us).units;
        let text = format!("{} {unit}", Exact::new(value, 10i128.pow(places)).to_decimal(places));
        let amount = parse_amount(&text, units).unwrap();
        let k = Exact::new(over, under);
        prop_assert_eq!(scale(&scale(&amount, k).unwrap(), Exact::ONE / k), Some(amount));
    }

    #[test]
    fn a_printed_amount_reads_back(
        low in 1i128..4000, more in 1i128..900, places in 0u32..3, form in 0..4, unit in prop::sample::select(vec!["g", "kg", "L", "mL", "tsp", "cups", "pints", "oz", "in", "°C", "min", "days", "%", "pinches", ""]),
    ) {
        let units = &reference(Home::Uk).units;
        let number = |value| Exact::new(value, 10i128.pow(places)).to_decimal(places);
        let text = match form {
            0 => format!("{} {unit}", number(low)),
            1 => format!("{} to {} {unit}", number(low), number(low + more)),
            2 => format!("at least {low} {}/8 {unit}", more % 7 + 1),
            _ => format!("about {}/{} {unit}", low % 9 + 1, more % 16 + 1),
        };
        let amount = parse_amount(&text, units).unwrap();
        let printed = print::amount(&amount, units, Style::default());
        let again = parse_amount(&printed, units).unwrap();
        // A fraction without an end or a sign of its own is the one thing that printing may shorten.
        let whole = |base: Exact| (amount.low.number.value * Exact::whole(7 * 9 * 5 * 64)).is_whole() || base.is_zero();
        if form < 3 && whole(amount.low.quantity.base()) {
            prop_assert_eq!(again.low.quantity, amount.low.quantity, "{} as {}", text, printed);
            prop_assert_eq!(again.high.quantity, amount.high.quantity, "{} as {}", text, printed);
        }
        prop_assert_eq!((again.bound, again.about, again.range), (amount.bound, amount.about, amount.range), "{}", printed);
    }

    #[test]
    fn a_mended_text_can_be_mended_back(
        old in 2i128..500, new in 2i128..500, unit in prop::sample::select(vec!["g", "litres", "tsp", "minutes", "hrs", "inches", "cups", "tablespoonfuls"]),
    ) {
        let units = &reference(Home::Uk).units;
        let (text, wanted) = (format!("{old} {unit}"), format!("{new} {unit}"));
        let read = |text: &str| parse_amount(text, units).unwrap();
        let mend = |text: &str, to: &str| {
            print::in_words_form(text, Which::Low, &read(text), read(to).low.quantity.base(), units, Style::default())
        };
        prop_assert_eq!(mend(&text, &wanted), Some(wanted.clone()));
        prop_assert_eq!(mend(&wanted, &text), Some(text));
    }
}
