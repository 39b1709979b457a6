//! What is read out of a sentence. The forms and look-alikes are those that printed kitchen texts use
//! (common practice; style rules from the SI Brochure 5.3 and NIST SP 811 chapter 7).

use super::{Nouns, scan_run};
use crate::quantity::{Exact, Home};
use crate::reference::Reference;
use crate::source::{FileId, MappedText};

fn read(text: &str) -> Vec<String> {
    let units = Reference::built_in(Home::Uk).units;
    let mut nouns = Nouns::default();
    for name in ["milk", "lemon juice", "salt", "flour", "brine", "pot", "butter", "rennet", "water"] {
        nouns.add(name, false);
    }
    for name in ["egg", "lemon", "flatbread", "jar", "clove"] {
        nouns.add(name, true);
    }
    let mut run = MappedText::new(FileId(0));
    run.push(text, 0..text.len());
    scan_run(&run, &units, &nouns)
        .iter()
        .map(|mention| {
            let show = |value: Exact| value.to_decimal(2);
            let (low, high) = (mention.amount.low.quantity.base(), mention.amount.high.quantity.base());
            let mut out = format!("{} {}", mention.dimension(), show(low));
            if mention.amount.range {
                out += &format!("..{}", show(high));
            }
            match mention.amount.bound {
                crate::quantity::Bound::None => {}
                bound => out += &format!(" {}", bound.name()),
            }
            if let Some(pair) = mention.pair {
                out += &format!(" p{pair}");
            }
            if let Some(per) = mention.amount.per {
                out += &format!(" per {}", show(per.quantity.base()));
            }
            if mention.marks.fan {
                out += " fan";
            }
            if let Some(times) = mention.times {
                out += &format!(" x{}", times.value);
            }
            out
        })
        .collect()
}

#[test]
fn forms_that_are_one_quantity() {
    let mut wrong = Vec::new();
    for (text, want) in [
        ("Heat to 72 °C.", "temperature 72"),
        ("Heat to 72°C.", "temperature 72"),
        ("Heat to 72 ° C.", "temperature 72"),
        ("Heat to 72 C.", "temperature 72"),
        ("Heat to 72ºC", "temperature 72"),
        ("Heat to 72˚C", "temperature 72"),
        ("Heat to 72℃", "temperature 72"),
        ("Heat to 161 °F", "temperature 71.67"),
        ("Heat to 72 degrees C", "temperature 72"),
        ("Heat to 72 degrees Celsius", "temperature 72"),
        ("Heat to 72 deg. C", "temperature 72"),
        ("seventy-two degrees", "temperature 72"),
        ("ninety fahrenheit", "temperature 32.22"),
        ("85–90 °C", "temperature 85..90"),
        ("85-90 °C", "temperature 85..90"),
        ("85 to 90 °C", "temperature 85..90"),
        ("between 85 and 90 °C", "temperature 85..90"),
        ("from 85 °C up to 90 °C", "temperature 85..90"),
        ("85°–90°C", "temperature 85..90"),
        ("−18 °C", "temperature −18"),
        ("-18 °C", "temperature −18"),
        ("minus 18 °C", "temperature −18"),
        ("at least 72 °C", "temperature 72 at-least"),
        ("72 °C or above", "temperature 72 at-least"),
        ("below 5 °C", "temperature 5 at-most"),
        ("no more than 40 °C", "temperature 40 at-most"),
        ("up to 40 °C", "temperature 40 at-most"),
        ("40 °C at most", "temperature 40 at-most"),
        ("never above 43 °C", "temperature 43 at-most"),
        ("about 38 °C", "temperature 38"),
        ("c. 38 °C", "temperature 38"),
        ("38 ± 1 °C", "temperature 37..39"),
        ("500 g", "mass 500"),
        ("500g", "mass 500"),
        ("500 grams", "mass 500"),
        ("0.5 kg", "mass 500"),
        (".5 kg", "mass 500"),
        ("½ kg", "mass 500"),
        ("1 kg 250 g", "mass 1250"),
        ("1,000 g", "mass 1000"),
        ("1\u{a0}000 g", "mass 1000"),
        ("8 oz", "mass 226.8"),
        ("8oz.", "mass 226.8"),
        ("1 lb 4 oz", "mass 566.99"),
        ("1lb 4oz", "mass 566.99"),
        ("half a pound", "mass 226.8"),
        ("2 litres", "volume 2000"),
        ("two and a half litres", "volume 2500"),
        ("500㎖", "volume 500"),
        ("5 cc", "volume 5"),
        ("half a litre", "volume 500"),
        ("a litre and a half", "volume 1500"),
        ("1 pint", "volume 568.26"),
        ("1 US pint", "volume 473.18"),
        ("1½ cups", "volume 375"),
        ("1 1/2 cups", "volume 375"),
        ("1-1/2 cups", "volume 375"),
        ("3⁄4 cup", "volume 187.5"),
        ("two thirds of a cup", "volume 166.67"),
        ("a cup of milk", "volume 250"),
        ("1 Tbsp.", "volume 15"),
        ("1 T", "volume 15"),
        ("1 t", "volume 5"),
        ("2 tablespoonfuls", "volume 30"),
        ("a level teaspoon of salt", "volume 5"),
        ("8 fl. oz.", "volume 227.3"),
        ("half a teaspoon", "volume 2.5"),
        ("three eggs", "count 3"),
        ("two lemons", "count 2"),
        ("a dozen jars", "count 12"),
        ("five or six flatbreads", "count 5..6"),
        ("eight soft flatbreads", "count 8"),
        ("2 × 250 g", "mass 250 x2"),
        ("3 x 30 s", "time 30 x3"),
        ("4–6 cloves", "count 4..6"),
        ("half the salt", "share 0.5"),
        ("two thirds of the brine", "share 0.67"),
        ("30 mins", "time 1800"),
        ("1 h 30 min", "time 5400"),
        ("1 hr 30", "time 5400"),
        ("1h30", "time 5400"),
        ("1½ hours", "time 5400"),
        ("an hour and a half", "time 5400"),
        ("three quarters of an hour", "time 2700"),
        ("a 30-minute rest", "time 1800"),
        ("8 to 12 hours", "time 28800..43200"),
        ("2–3 days", "time 172800..259200"),
        ("another 10 minutes", "time 600"),
        ("10 more minutes", "time 600"),
        ("2 per cent", "share 0.02"),
        ("a 3.5 % brine", "share 0.04"),
        ("1-cm dice", "length 10"),
        ("½-inch", "length 12.7"),
        ("2.5-centimetre cubes", "length 25"),
        ("2 in cubes", "length 50.8"),
        ("drops by 5 degrees", "difference 5"),
        ("5 °C cooler", "difference 5"),
        ("a rise of 10 °F", "difference 5.56"),
        ("gas mark 6", "temperature 200"),
        ("Gas 4", "temperature 180"),
        ("160 °C fan", "temperature 160 fan"),
        ("10 g per litre", "mass 10 per 1000"),
        ("10 g/L", "mass 10 per 1000"),
        ("2 ml per kg of milk", "volume 2 per 1000"),
        ("2° per minute", "difference 2 per 60"),
        ("10 g to the litre", "mass 10 per 1000"),
    ] {
        differs(&mut wrong, text, &[want]);
    }
    assert_eq!(wrong, [""; 0]);
}

/// Collects what was read differently, so that one run shows all of it.
fn differs(wrong: &mut Vec<String>, text: &str, want: &[&str]) {
    let got = read(text);
    if got != want {
        wrong.push(format!("{text}: {got:?}"));
    }
}

#[test]
fn pairs_are_one_measure_in_two_units() {
    for (text, want) in [
        ("72 °C (161 °F)", ["temperature 72 p0", "temperature 71.67 p0"]),
        ("161 °F/72 °C", ["temperature 71.67 p0", "temperature 72 p0"]),
        ("4 litres (about 7 pints)", ["volume 4000 p0", "volume 3977.83 p0"]),
        ("325 g of flour (about 310 mL)", ["mass 325 p0", "volume 310 p0"]),
        ("85–90 °C (185–194 °F)", ["temperature 85..90 p0", "temperature 85..90 p0"]),
        ("320 g (310 mL)", ["mass 320 p0", "volume 310 p0"]),
        ("1 kg, or 2.2 lb", ["mass 1000 p0", "mass 997.9 p0"]),
    ] {
        assert_eq!(read(text), want, "{text}");
    }
    assert_eq!(read("between 20 and 22 °C (68 and 72 °F)"), ["temperature 20..22 p0", "temperature 20..22.22 p0"]);
    assert_eq!(
        read("180C/160C fan/350F/Gas 4"),
        ["temperature 180 p0", "temperature 160 p0 fan", "temperature 176.67 p0", "temperature 180 p0"]
    );
    assert_eq!(read("a 20 × 30 cm tin"), ["length 200", "length 300"]);
    assert_eq!(read("8 by 4 inches"), ["length 203.2", "length 101.6"]);
    assert_eq!(read("1 tbsp = 15 ml"), [""; 0], "a unit explained is no quantity");
    assert_eq!(read("1 tbsp = 20 ml"), ["volume 15 p0", "volume 20 p0"], "explained wrongly it is");
    assert_eq!(read("two 250 g jars"), ["count 2", "mass 250 x2"]);
    assert_eq!(read("1 °C every 5 minutes"), ["difference 1", "time 300"]);
    assert_eq!(read("turn it at 5 and 10 minutes"), ["time 300", "time 600"]);
    assert_eq!(read("20 minutes, then 5 minutes"), ["time 1200", "time 300"]);
    assert_eq!(read("92 °C, or 20 minutes"), ["temperature 92", "time 1200"]);
}

#[test]
fn look_alikes_are_no_quantities() {
    let mut wrong = Vec::new();
    for text in [
        "See step 3.",
        "Say “ninety two”, and then the unit.",
        "steps 2 and 3",
        "between steps 2 and 3",
        "Figure 2",
        "page 12",
        "p. 12",
        "2 May 2026",
        "May 2",
        "05/06/2026",
        "5.6.26",
        "2026-06-05",
        "in 1987",
        "the 1990s",
        "9:30",
        "at 9.30 am",
        "7 pm",
        "10 o'clock",
        "half past two",
        "ten to four",
        "doors open 18:00–21:00",
        "555 0100",
        "999",
        "£4.50",
        "$12",
        "50p",
        "£2 a litre",
        "E330",
        "type 00 flour",
        "T65",
        "No. 1 salt",
        "lot 4412",
        "Room 3",
        "v1.2",
        "2nd edition",
        "3 in 4 learners",
        "100 % sure",
        "100 % cotton cloth",
        "2 % milk",
        "a 45° angle",
        "turn it 90 degrees",
        "a quarter turn",
        "fold in half",
        "cut into quarters",
        "the first rise",
        "a second pan",
        "wait a second",
        "just a minute",
        "in a minute",
        "minute holes",
        "the larger one",
        "one another",
        "take a cup",
        "with a teaspoon",
        "cup your hands",
        "pound the garlic",
        "vitamin C",
        "B12",
        "CaCl2",
        "50/50",
        "24/7",
        "2-in-1",
        "4x4",
        "in 2 batches",
        "in three additions",
        "two at a time",
        "two flatbreads at a time",
        "table of 6",
        "class of 12",
        "above 1,000 ft",
        "at 300 m",
        "16 pt type",
        "https://example.org/v2/lesson-3",
        "the 60-day rule",
        "size 10 jars",
        "1st",
        "21st",
        "8 kitchens in 3 towns",
        "Plan B",
        "10-year-old vinegar",
        "3-week-old starter",
        "a 1 kg-rated scale",
        "pH 4.6",
        "a pH of 4.6",
        "put 4 in the pot",
        "twice a week",
        "once a month",
        "one of the eggs",
        "1:1",
        "by the spoonful",
        "a stone's throw",
    ] {
        differs(&mut wrong, text, &[]);
    }
    assert_eq!(wrong, [""; 0]);
}

#[test]
fn a_quantity_is_tied_to_its_thing() {
    let units = Reference::built_in(Home::Uk).units;
    let mut nouns = Nouns::default();
    let ids: Vec<_> =
        ["whole milk", "salt", "pot", "lemon juice"].iter().map(|name| nouns.add(name, false).unwrap()).collect();
    for (text, want) in [
        ("4 L of whole milk", Some(0)),
        ("4 litres whole milk", Some(0)),
        ("9 g (2 tsp) of fine salt", Some(1)),
        ("salt (9 g)", Some(1)),
        ("Salt: 9 g", Some(1)),
        ("a 6-litre pot", Some(2)),
        ("a 6-litre heavy pot", Some(2)),
        ("the pot holds 6 L", Some(2)),
        ("120 mL of strained lemon juice", Some(3)),
        ("the last 120 mL in the pot", None),
        ("warm it for 20 minutes in the pot", None),
    ] {
        let mut run = MappedText::new(FileId(0));
        run.push(text, 0..text.len());
        let found = scan_run(&run, &units, &nouns);
        let noun = found[0].nouns.iter().find(|hit| hit.firm).map(|hit| hit.noun);
        assert_eq!(noun, want.map(|at: usize| ids[at]), "{text}");
    }
}

#[test]
fn a_drop_that_falls_is_no_amount_and_a_drop_that_goes_in_is_one() {
    for text in [
        "A drop of whey runs off.",
        "Lift the spoon: when a drop of brine still hangs from it, wait.",
        "Let a drop of milk fall on a cold plate.",
        "Wait for a drop of brine to form under the cloth.",
        "until a drop of clear brine no longer runs\nout",
        "A drop falls into the milk.",
        "a drop runs down the pot",
        "Press it until not a drop of brine comes.",
        "Beat the butter without a drop of water.",
        "Wait until a drop of brine will cling to the spoon.",
    ] {
        assert_eq!(read(text), [""; 0], "{text}");
    }
    for text in [
        "Add a drop of rennet.",
        "Stir in a drop of lemon juice, which runs down the pot.",
        "A drop of rennet is enough.",
        "A drop of rennet sets a litre.",
        "a drop of rennet",
        "With a drop of rennet the milk sets; whey runs off.",
        "Give it a drop of lemon juice. Runs of cloth are cut next.",
        "and now add a drop of rennet falls of snow outside",
        "Let a drop of rennet into the milk.",
        "1 drop of rennet runs off",
        "2 drops of rennet fall",
    ] {
        assert!(read(text).iter().any(|found| found.starts_with("volume 0.")), "{text}");
    }
}
