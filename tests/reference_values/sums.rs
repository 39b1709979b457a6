//! Rows that the sums of `kitchen::sums` answer. `true`: checked; `false`: no sum of ours does.

use crate::rows::{Bench, Row};
use pottle::kitchen::sums::*;
use pottle::reference::Figures;

/// Metres in a foot, by definition (NIST Handbook 44).
const FOOT: f64 = 0.3048;

/// Published specific heats of foods we have no composition of, or whose own text counts otherwise.
const UNLIKE: &[&str] = &[
    // 2.177 for milk fat counts some of its melting; the sum leaves melting out.
    "cp.pub.milkfat",
    // 1.80 to 1.88 is for a drier flour than the 13.4 % of water of ours.
    "cp.pub.flour.lo",
    "cp.pub.flour.hi",
    // Cream, bread and egg of no given composition.
    "cp.pub.cream4560.lo",
    "cp.pub.cream4560.hi",
    "cp.pub.bread.lo",
    "cp.pub.bread.hi",
    "cp.pub.egg",
];

pub fn check(bench: &Bench, row: &Row) -> bool {
    let figures = &bench.reference.figures;
    let from = number(&row.from_value);
    match row.kind.as_str() {
        "specific-heat" => near(row, specific_heat_kj(&food(figures, dish(row)), from)),
        "specific-heat-component" => near(row, specific_heat_kj(&pure(row), from)),
        "density-component" => near(row, density_kg_per_m3(&pure(row), from)),
        "specific-heat-published" => published_heat(figures, row),
        "heating" | "cooling" | "mixing" => heat(row),
        "boiling-point" => near(row, boiling_celsius(from * FOOT)),
        "boiling-point-published" => near(row, boiling_celsius(from * FOOT).map(fahrenheit)),
        "jelly-set-temperature" => near(row, setting_celsius(from * FOOT).map(fahrenheit)),
        "canning-extra-time" => near(row, canning_extra_minutes(&figures.canning, from * FOOT)),
        "pasteurisation-hold" => hold(figures, row),
        "temperature-minimum" | "thermisation-limit" => band(figures, row),
        "pasteurisation-units" | "thermal-equivalence" | "implied-z" => equivalence(row),
        "brine-ww-to-gL" => near(row, salt_g_per_l(&figures.densities, from)),
        "brine-ww-to-water" => near(row, salt_g_per_kg_water(from)),
        "salometer" => salometer(figures, row),
        "solubility" => {
            near(row, saturation_percent(&figures.saturations, 25.0)) && near(row, percent_from_water(10.0 * from))
        }
        "brix-density" => near(row, syrup_g_per_ml(&figures.syrups, from)),
        "brix-boiling-elevation" => near(row, boiling_rise_kelvin(&figures.syrups, from)),
        // By the row's own reckoning the sea boils at 100 °C.
        "jam-set" => near(row, brix_for_rise(&figures.syrups, celsius(from) - 100.0)),
        "jam-yield" => jam_yield(row),
        "bakers-percent" => dough(row),
        "yield-formula" => near(row, curd_kg_per_100_kg(from, 2.5, 0.37, CaseinFat::PUBLISHED)),
        "mass-balance" => near(row, butter_kg(from, 38.0, 81.11, 1.0)),
        "fact" => dose(figures, row) || law(figures, row) || usual_yield(figures, row) || dough_water(row),
        _ => false,
    }
}

fn number(text: &str) -> f64 {
    text.parse().unwrap_or_else(|_| panic!("`{text}` is no number"))
}

fn celsius(fahrenheit: f64) -> f64 {
    (fahrenheit - 32.0) / 1.8
}

fn fahrenheit(celsius: f64) -> f64 {
    celsius * 1.8 + 32.0
}

/// The answer is the row's, within its tolerance.
fn near(row: &Row, got: Result<f64, SumFault>) -> bool {
    let got = got.unwrap_or_else(|fault| panic!("{fault}: {}", row.told()));
    // Sums of floats end in other digits than the same sums in decimals.
    let off = number(&row.tolerance) + 1e-9;
    assert!((got - number(&row.to_value)).abs() <= off, "we get {got}: {}", row.told());
    true
}

fn food(figures: &Figures, id: &str) -> Fractions {
    let found = figures.foods.iter().find(|food| food.id == id);
    Fractions::of(found.unwrap_or_else(|| panic!("no composition of {id}")))
}

/// Our food of a row like `cp.whole_milk_3_25_.20`.
fn dish(row: &Row) -> &'static str {
    match row.id.rsplit_once('.').map(|(head, _)| head).unwrap_or_default() {
        "cp.whole_milk_3_25_" => "whole-milk",
        "cp.producer_milk_3_7_" => "raw-milk",
        "cp.skim_milk" => "skimmed-milk",
        "cp.sweet_whey" => "sweet-whey",
        "cp.acid_whey" => "acid-whey",
        "cp.heavy_cream_37_" => "whipping-cream",
        "cp.plain_yoghurt_whole" => "yoghurt",
        "cp.whole_milk_ricotta" => "ricotta",
        "cp.bread_flour" => "strong-white-flour",
        "cp.honey" => "honey",
        "cp.salted_butter" => "salted-butter",
        other => panic!("which food is {other}?"),
    }
}

/// The one component of a row like `cp.component.fat.20`.
fn pure(row: &Row) -> Fractions {
    let none = Fractions::default();
    match row.id.split('.').nth(2).unwrap_or_default() {
        "water" => Fractions { water: 1.0, ..none },
        "protein" => Fractions { protein: 1.0, ..none },
        "fat" => Fractions { fat: 1.0, ..none },
        "carb" => Fractions { carbohydrate: 1.0, ..none },
        "fibre" => Fractions { fibre: 1.0, ..none },
        "ash" => Fractions { ash: 1.0, ..none },
        other => panic!("which component is {other}?"),
    }
}

/// Measured values in print, within the 2 % that published sums differ by.
fn published_heat(figures: &Figures, row: &Row) -> bool {
    if UNLIKE.contains(&row.id.as_str()) {
        return false;
    }
    let (id, at) = match row.id.trim_start_matches("cp.pub.") {
        "milk.mean" | "milk.text" => ("whole-milk", 20.0),
        "wholemilk.80" => ("whole-milk", 80.0),
        "skim.lo" | "skim.hi" => ("skimmed-milk", 20.0),
        "skim.80" => ("skimmed-milk", 80.0),
        "skim.1" => ("skimmed-milk", 1.0),
        "skim.50" => ("skimmed-milk", 50.0),
        "water.20" => ("water", 20.0),
        "oliveoil" => ("olive-oil", 20.0),
        "butter.4" => ("salted-butter", 4.0),
        other => panic!("which food is {other}?"),
    };
    let got = specific_heat_kj(&food(figures, id), at).expect("a food at a temperature of the kitchen");
    let want = number(&row.to_value);
    assert!((got - want).abs() <= 0.02 * want, "we get {got}: {}", row.told());
    true
}

fn heat(row: &Row) -> bool {
    let milk_kg = 1.03 * number(&row.from_value);
    let milk = |to| energy_kj(milk_kg, 3.93, 4.0, to);
    match row.id.as_str() {
        "thermo.heat.4L" => near(row, milk(63.0)),
        "thermo.heat.4L.time" => near(row, milk(63.0).and_then(|kj| seconds_to_warm(kj, 1500.0, 0.7))),
        "thermo.heat.4L.kwh" => near(row, milk(63.0).map(|kj| kj / 3600.0)),
        "thermo.heat.10L.time" => near(row, milk(32.0).and_then(|kj| seconds_to_warm(kj, 2000.0, 0.8))),
        "thermo.chill.ice" => near(row, ice_kg(milk_kg, 3.93, 63.0, 10.0)),
        "thermo.mix.hotcold" => near(row, hot_share(100.0, 10.0, 40.0).map(|share| 2.0 * share)),
        "thermo.mix.washwater" => {
            near(row, top_up_kg(&Part { kg: milk_kg, kj_per_kg_kelvin: 3.93, celsius: 30.0 }, 80.0, 4.18, 38.0))
        }
        _ => false,
    }
}

/// The row stands in our table, and the hold it names is met at its °C and at no shorter time.
fn hold(figures: &Figures, row: &Row) -> bool {
    let (from, seconds) = (number(&row.from_value), number(&row.to_value));
    let in_fahrenheit = row.from_unit == "degF";
    let law = match row.id.split('.').nth(1).unwrap_or_default() {
        "uk1995" => "uk-1995",
        other => other,
    };
    let product = match row.source.split_once(" - ").map_or("milk", |(_, product)| product) {
        name if name.starts_with("milk") => "milk",
        name if name.starts_with("10 % fat") => "rich-milk",
        name if name.starts_with("frozen") => "frozen-dessert-mix",
        name if name.starts_with("cream") => "cream-for-butter",
        name if name.starts_with("plastic") => "plastic-cream",
        name if name.starts_with("ultra") => "ultra-pasteurised",
        other => panic!("which product is {other}?"),
    };
    let ours = figures.holds.iter().find(|hold| {
        let reading = if in_fahrenheit { hold.fahrenheit } else { Some(hold.celsius) };
        hold.law == law && hold.product == product && reading == Some(from)
    });
    let ours = ours.unwrap_or_else(|| panic!("no such hold: {}", row.told()));
    assert_eq!((ours.seconds, ours.status.name()), (seconds, row.status.as_str()), "{}", row.told());
    let met = |seconds| met_hold(&figures.holds, law, product, ours.celsius, seconds).expect("a possible hold");
    assert!(met(seconds).is_some() && met(0.99 * seconds).is_none(), "{}", row.told());
    let least = least_hold_seconds(&figures.holds, law, product, ours.celsius);
    assert_eq!(least, Ok(Some(seconds)), "{}", row.told());
    true
}

fn band(figures: &Figures, row: &Row) -> bool {
    let of = |id: &str| figures.bands.iter().find(|band| band.id == id).expect("a band of heat");
    let ours = match row.id.as_str() {
        "past.eu.uht" => Some(of("uht").low_celsius),
        "therm.min" => Some(of("thermisation").low_celsius),
        "therm.max" => of("thermisation").high_celsius,
        _ => return false,
    };
    assert_eq!(ours, Some(number(&row.from_value)), "{}", row.told());
    if row.kind == "thermisation-limit" {
        assert_eq!(of("thermisation").seconds, Some(number(&row.to_value)), "{}", row.told());
    }
    true
}

fn equivalence(row: &Row) -> bool {
    match row.id.as_str() {
        "zval.example" => near(row, equivalent_seconds(900.0, 85.0, 102.0, 8.7)),
        "zval.implied.c" => near(row, implied_z_kelvin(63.0, 1800.0, 72.0, 15.0)),
        // A difference: °C to °F without the 32.
        "zval.implied.f" => near(row, implied_z_kelvin(celsius(145.0), 1800.0, celsius(161.0), 15.0).map(|z| 1.8 * z)),
        "pu.72" => near(row, pasteurisation_units(15.0, 72.0)),
        "pu.63" => near(row, pasteurisation_units(1800.0, 63.0)),
        _ => false,
    }
}

fn salometer(figures: &Figures, row: &Row) -> bool {
    let id = if row.id == "salometer.alt" { "canning" } else { "usual" };
    let full = figures.salometers.iter().find(|scale| scale.id == id).expect("a salometer").percent;
    near(row, percent_from_salometer(number(&row.from_value), full))
}

fn jam_yield(row: &Row) -> bool {
    let (solids, sugar, target) = match row.id.as_str() {
        "jam.yield.a" => (10.0, 550.0, 65.0),
        "jam.yield.b" => (10.0, 550.0, 60.0),
        "jam.yield.c" => (11.0, 1000.0, 65.0),
        _ => return false,
    };
    near(row, jam_yield_g(number(&row.from_value), solids, sugar, target))
}

fn dough(row: &Row) -> bool {
    let made = amounts_for_dough(1600.0, &[68.0, 2.0, 1.0]);
    match row.id.as_str() {
        "bakers.flour" => near(row, made.map(|made| made.flour_g)),
        "bakers.water" => near(row, made.map(|made| made.others_g[0])),
        "bakers.salt" => near(row, made.map(|made| made.others_g[1])),
        "bakers.yeast" => near(row, made.map(|made| made.others_g[2])),
        "bakers.hydration" => near(row, hydration_percent(500.0, &[(number(&row.from_value), 1.0)])),
        _ => false,
    }
}

fn dose(figures: &Figures, row: &Row) -> bool {
    let of = |id: &str| figures.doses.iter().find(|dose| dose.id == id).expect("a usual dose");
    let gallon = 3.785_411_784;
    let same = |ours: f64, theirs: f64, off: f64| {
        assert!((ours - theirs).abs() <= off, "ours is {ours}: {}", row.told());
        true
    };
    match row.id.as_str() {
        "fact.rennet.lo" => near(row, Ok(of("rennet").low)),
        "fact.rennet.hi" => near(row, Ok(of("rennet").high)),
        "fact.rennet.ex1" => near(row, rennet_ml(100.0, 30.0, 600.0)),
        "fact.rennet.ex2" => near(row, rennet_ml(10.0, 40.0, 200.0)),
        "fact.rennet.single" => near(row, rennet_ml(1000.0, 40.0, 200.0)),
        // Teaspoons of 5 g in a US gallon; our grams for a litre are rounded to one digit.
        "fact.citric.lo" => same(of("citric-acid").low, 5.0 * number(&row.to_value) / gallon, 0.06),
        "fact.citric.hi" => same(of("citric-acid").high, 5.0 * number(&row.to_value) / gallon, 0.06),
        "fact.citric.gL" => same(dose_for_litres(gallon, number(&row.to_value)).expect("a dose"), 7.5, 0.001),
        "fact.yeast.fresh.adry" => near(row, converted_yeast_g(&figures.yeasts, 1.0, "fresh", "active-dry")),
        "fact.yeast.fresh.inst" => near(row, converted_yeast_g(&figures.yeasts, 1.0, "fresh", "instant")),
        _ => false,
    }
}

/// Laws of jam and of cooling, as they stand in our tables.
fn law(figures: &Figures, row: &Row) -> bool {
    let of = |law: &str, product: &str| {
        figures.jams.iter().find(|row| row.law == law && row.product == product).expect("a law of jam")
    };
    let share = |fruit: f64, sweetener: f64| 1000.0 * fruit / (fruit + sweetener);
    let (ours, theirs) = match row.id.as_str() {
        "fact.jam.us.ss" => (of("us", "jam-group-1").solids_percent, number(&row.to_value)),
        "fact.jam.eu.ss" => (of("eu", "jam").solids_percent, number(&row.to_value)),
        "fact.jam.au.ss" => (of("au", "jam").solids_percent, number(&row.to_value)),
        "fact.fruitbutter.ss" => (of("us", "fruit-butter").solids_percent, number(&row.to_value)),
        "fact.jam.au.fruit" => (of("au", "jam").fruit_g_per_kg, number(&row.to_value)),
        "fact.jam.eu.fruit" => (of("eu", "jam").fruit_g_per_kg, number(&row.to_value)),
        "fact.jam.eu.extra" => (of("eu", "extra-jam").fruit_g_per_kg, number(&row.to_value)),
        "fact.jam.us.fruit1" => {
            (of("us", "jam-group-1").fruit_g_per_kg, share(number(&row.from_value), number(&row.to_value)))
        }
        "fact.jam.us.fruit2" => {
            (of("us", "jam-group-2").fruit_g_per_kg, share(number(&row.from_value), number(&row.to_value)))
        }
        "fact.cool.stage1" => (figures.cooling[0].seconds, 3600.0 * number(&row.to_value)),
        "fact.cool.stage2" => (figures.cooling[1].seconds, 3600.0 * number(&row.to_value)),
        _ => return false,
    };
    assert!((ours - theirs).abs() < 1e-5, "ours is {ours}: {}", row.told());
    true
}

/// Printed yields lie in our ranges.
fn usual_yield(figures: &Figures, row: &Row) -> bool {
    let product = match row.id.as_str() {
        "fact.yield.creamcheese" => "cream-cheese",
        "fact.yield.feta" => "brined-cheese",
        "fact.yield.soft.lo" | "fact.yield.soft.hi" => "bloomy-soft",
        "fact.yield.hard" => "semi-hard",
        "fact.yield.vhard.lo" | "fact.yield.vhard.hi" => "very-hard",
        "fact.yield.cottage" => "cottage-cheese",
        "fact.yield.paneer" => "pressed-curd",
        _ => return false,
    };
    let ours = figures.yields.iter().find(|row| row.id == product).expect("a usual yield");
    let theirs = number(&row.to_value) / number(&row.from_value);
    assert!(theirs >= ours.low - 1e-9 && theirs <= ours.high + 1e-9, "ours is {ours:?}: {}", row.told());
    true
}

/// Worked examples of bakers in °F; friction is a difference.
fn dough_water(row: &Row) -> bool {
    let (others, friction): (&[f64], f64) = match row.id.as_str() {
        "fact.ddt.1" => (&[65.0, 65.0], 8.0),
        "fact.ddt.2" => (&[71.0, 71.0, 71.0], 20.0),
        "fact.ddt.3" => (&[60.0, 70.0], 16.0),
        _ => return false,
    };
    let others: Vec<f64> = others.iter().copied().map(celsius).collect();
    near(row, dough_water_celsius(celsius(number(&row.from_value)), &others, friction / 1.8).map(fahrenheit))
}
