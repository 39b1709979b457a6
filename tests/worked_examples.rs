//! The sums of `kitchen::sums` against worked examples, each with where its answer comes from.
//!
//! *published*: the named text, standard, law or table gives the answer, or it follows from its figures by the
//! arithmetic shown. *arithmetic*: a sum anyone can do in the head. *common practice*, *from memory*: so said. Where
//! an answer was worked out for this file by another program, its name and version stand there. What cannot be is
//! below: every such input is a fault, never a number.

use pottle::kitchen::sums::*;
use pottle::quantity::Home;
use pottle::reference::{Figures, Reference};
use std::sync::LazyLock;

static FIGURES: LazyLock<Figures> = LazyLock::new(|| Reference::built_in(Home::Uk).figures);

/// Where an answer comes from, what we get, what it says, and how far we may be off.
type Example = (&'static str, Result<f64, SumFault>, f64, f64);

fn food(id: &str) -> Fractions {
    let found = FIGURES.foods.iter().find(|food| food.id == id);
    Fractions::of(found.unwrap_or_else(|| panic!("no composition of {id}")))
}

/// Every example of this file; what is printed in °F is turned into °C here, by the definition.
fn all() -> Vec<Example> {
    [
        composition(),
        warming(),
        mixing(),
        boiling(),
        saturation(),
        holding(),
        brine(),
        culture(),
        bread(),
        jam(),
        dairy(),
    ]
    .concat()
}

fn celsius(fahrenheit: f64) -> f64 {
    (fahrenheit - 32.0) / 1.8
}

fn fahrenheit(celsius: f64) -> f64 {
    celsius * 1.8 + 32.0
}

fn composition() -> Vec<Example> {
    let heat = |id: &str, celsius| specific_heat_kj(&food(id), celsius);
    let water = food("water");
    vec![
        ("transport-process textbook, appendix: whole milk 3.85, published", heat("whole-milk", 20.0), 3.85, 0.077),
        ("dairy engineering course: milk 3.93, published", heat("whole-milk", 20.0), 3.93, 0.079),
        ("dairy chemistry text: whole milk at 80 °C, published", heat("whole-milk", 80.0), 3.931, 0.079),
        ("dairy chemistry text: skimmed milk at 50 °C, published", heat("skimmed-milk", 50.0), 3.993, 0.08),
        (
            "transport-process textbook, appendix: butter 2.30 at 4 °C, published",
            heat("salted-butter", 4.0),
            2.30,
            0.046,
        ),
        ("transport-process textbook, appendix: olive oil 2.01, published", heat("olive-oil", 20.0), 2.01, 0.04),
        ("transport-process textbook, appendix: water 4.185, published", heat("water", 20.0), 4.185, 0.02),
        ("IAPWS-95: water at 20 °C 998.2 kg/m³, published", density_kg_per_m3(&water, 20.0), 998.2, 3.0),
        (
            "USDA SR28, 244 g a US cup of milk: 1031 kg/m³, published",
            density_kg_per_m3(&food("whole-milk"), 20.0),
            1031.0,
            10.0,
        ),
        (
            "balance of masses: equal parts of cream of 37 % and milk of 3.25 % have 20.125 % fat, published arithmetic",
            blend(&[(1.0, food("whipping-cream")), (1.0, food("whole-milk"))]).map(|mix| mix.fat),
            0.20125,
            1e-12,
        ),
    ]
}

fn warming() -> Vec<Example> {
    let milk_kg = 4.0 * 1.03;
    // Half the gap to a bath of 10 °C is gone after ten minutes.
    let bath = Bath { start_celsius: 90.0, bath_celsius: 10.0, reading_celsius: 50.0, reading_seconds: 600.0 };
    // Halving each 20 min towards 0 °C, from 57.
    let cake = Bath {
        start_celsius: celsius(300.0),
        bath_celsius: celsius(70.0),
        reading_celsius: celsius(200.0),
        reading_seconds: 180.0,
    };
    let cooling = Bath { start_celsius: 57.0, bath_celsius: 0.0, reading_celsius: 28.5, reading_seconds: 1200.0 };
    let stage = |index: usize| cooling_stages(&FIGURES.cooling, "us", &cooling).map(|stages| stages[index].seconds);
    vec![
        (
            "definition of the kilocalorie (NIST SP 811): 1 kg of water by 1 K, published",
            energy_kj(1.0, 4.184, 14.5, 15.5),
            4.184,
            1e-9,
        ),
        ("balance of energy, 4 L of milk from 4 to 63 °C, published", energy_kj(milk_kg, 3.93, 4.0, 63.0), 955.3, 0.05),
        (
            "the same 955.3 kJ by composition, within the 2 % that sums differ by, published",
            energy_kj_of(&food("whole-milk"), milk_kg, 4.0, 63.0),
            955.3,
            19.0,
        ),
        (
            "iapws 1.5.5 (IAPWS-IF97): enthalpy of water from 20 to 80 °C at 101.325 kPa",
            energy_kj_of(&food("water"), 1.0, 20.0, 80.0),
            250.979,
            0.6,
        ),
        (
            "power is energy over time: 1 kWh at 1 kW is an hour, published",
            seconds_to_warm(3600.0, 1000.0, 1.0),
            3600.0,
            1e-9,
        ),
        (
            "balance of energy, that milk on 1.5 kW at 70 %, published",
            seconds_to_warm(955.3016, 1500.0, 0.7),
            909.8,
            0.5,
        ),
        (
            "10 L of milk from 4 to 32 °C on 2 kW at 80 %, published",
            energy_kj(10.0 * 1.03, 3.93, 4.0, 32.0).and_then(|kj| seconds_to_warm(kj, 2000.0, 0.8)),
            708.4,
            0.5,
        ),
        (
            "balance of energy, ice for 4 L of milk from 63 to 10 °C, published",
            ice_kg(milk_kg, 3.93, 63.0, 10.0),
            2.286,
            0.0005,
        ),
        (
            "water of 80 °C melts its own mass of ice to 0 °C: 80 cal/g, from memory",
            ice_kg(1.0, 4.18, 79.8, 0.0),
            1.0,
            0.001,
        ),
        ("Newton's law: three halvings, published", bath_seconds_to(&bath, 20.0), 1800.0, 1e-9),
        ("Newton's law: two halvings, published", bath_celsius_after(&bath, 1200.0), 30.0, 1e-9),
        ("Newton's law: nothing has changed at the start, published", bath_celsius_after(&bath, 0.0), 90.0, 1e-9),
        (
            "Newton's law, warming: half the gap in 300 s, a quarter left after 600, published",
            bath_seconds_to(
                &Bath { start_celsius: 4.0, bath_celsius: 44.0, reading_celsius: 24.0, reading_seconds: 300.0 },
                34.0,
            ),
            600.0,
            1e-9,
        ),
        (
            "textbooks of differential equations, a cake of 300 °F in a room of 70 °F, 200 °F after 3 min: 75 °F after \
             20.1 min, from memory",
            bath_seconds_to(&cake, celsius(75.0)).map(|seconds| seconds / 60.0),
            20.1,
            0.05,
        ),
        (
            "the same cake: 71 °F after 28.6 min, from memory",
            bath_seconds_to(&cake, celsius(71.0)).map(|seconds| seconds / 60.0),
            28.6,
            0.05,
        ),
        ("Newton's law and the US Food Code, 57 to 21 °C: 1200 log₂(57/21) s, published", stage(0), 1728.687, 0.001),
        ("Newton's law and the US Food Code, 21 to 5 °C: 1200 log₂(21/5) s, published", stage(1), 2484.467, 0.001),
    ]
}

fn mixing() -> Vec<Example> {
    let of = |kg, kj_per_kg_kelvin, celsius| Part { kg, kj_per_kg_kelvin, celsius };
    let friction = |degrees_fahrenheit: f64| degrees_fahrenheit / 1.8;
    let dough = |dough, others: &[f64], rubbed| {
        let others: Vec<f64> = others.iter().copied().map(celsius).collect();
        dough_water_celsius(celsius(dough), &others, friction(rubbed)).map(fahrenheit)
    };
    vec![
        (
            "balance of energy: hot share for 40 °C of 100 and 10 °C, published",
            hot_share(100.0, 10.0, 40.0),
            1.0 / 3.0,
            1e-12,
        ),
        (
            "balance of energy: a target as cold as the cold takes nothing hot, arithmetic",
            hot_share(100.0, 10.0, 10.0),
            0.0,
            1e-12,
        ),
        (
            "balance of energy: a target as hot as the hot takes nothing cold, arithmetic",
            hot_share(100.0, 10.0, 100.0),
            1.0,
            1e-12,
        ),
        (
            "equal waters meet in the middle, published",
            mixed_celsius(&[of(1.0, 4.18, 20.0), of(1.0, 4.18, 80.0)]),
            50.0,
            1e-12,
        ),
        (
            "one part boiling to two of 10 °C: 40 °C, published",
            mixed_celsius(&[of(1.0, 4.18, 100.0), of(2.0, 4.18, 10.0)]),
            40.0,
            1e-12,
        ),
        (
            "three parts, 1 kg each of 10, 20 and 60 °C: 30 °C, arithmetic",
            mixed_celsius(&[of(1.0, 4.0, 10.0), of(1.0, 4.0, 20.0), of(1.0, 4.0, 60.0)]),
            30.0,
            1e-12,
        ),
        (
            "wash water of 80 °C for 5 L of milk from 30 to 38 °C, published",
            top_up_kg(&of(5.0 * 1.03, 3.93, 30.0), 80.0, 4.18, 38.0),
            0.9223,
            0.0005,
        ),
        (
            "balance of energy, that wash water makes 38 °C, published",
            mixed_celsius(&[of(5.15, 3.93, 30.0), of(0.922_29, 4.18, 80.0)]),
            38.0,
            0.0005,
        ),
        (
            "cold water cools as hot water warms: 1 kg of 10 °C takes 2 kg of 25 °C to 20, arithmetic",
            top_up_kg(&of(2.0, 4.18, 25.0), 10.0, 4.18, 20.0),
            1.0,
            1e-12,
        ),
        (
            "baking-school example, factor 3: dough 75 °F, room 65, flour 65, friction 8: 87 °F, published",
            dough(75.0, &[65.0, 65.0], 8.0),
            87.0,
            1e-9,
        ),
        (
            "cookery example, factor 4: dough 75 °F, room, flour and leaven 71, friction 20: 67 °F, common practice",
            dough(75.0, &[71.0, 71.0, 71.0], 20.0),
            67.0,
            1e-9,
        ),
        (
            "cookery example, factor 3: dough 78 °F, flour 60, room 70, friction 16: 88 °F, common practice",
            dough(78.0, &[60.0, 70.0], 16.0),
            88.0,
            1e-9,
        ),
        (
            "the baking-school example in °C: 30.56, published",
            dough_water_celsius(celsius(75.0), &[celsius(65.0), celsius(65.0)], friction(8.0)),
            30.56,
            0.005,
        ),
        (
            "the baking-school example turned round: friction of 8 °F is 4.44 K, published",
            friction_kelvin(celsius(75.0), &[celsius(65.0), celsius(65.0)], celsius(87.0)),
            4.444,
            0.001,
        ),
    ]
}

fn boiling() -> Vec<Example> {
    vec![
        ("ISO 2533 standard atmosphere, sea level, published by definition", pressure_kpa(0.0), 101.325, 1e-9),
        (
            "ISO 2533 standard atmosphere, 1000 m geopotential: 89.875 kPa, from memory",
            pressure_kpa(1000.0),
            89.875,
            0.002,
        ),
        (
            "ISO 2533 standard atmosphere, 2000 m geopotential: 79.495 kPa, from memory",
            pressure_kpa(2000.0),
            79.495,
            0.002,
        ),
        (
            "ISO 2533 standard atmosphere, 3000 m geopotential: 70.108 kPa, from memory",
            pressure_kpa(3000.0),
            70.108,
            0.002,
        ),
        (
            "ISO 2533 standard atmosphere, 5000 m geopotential: 54.020 kPa, from memory",
            pressure_kpa(5000.0),
            54.020,
            0.002,
        ),
        ("NASA/NOAA list: 203 °F at 5000 ft, published", boiling_celsius(1524.0).map(fahrenheit), 203.0, 0.6),
        ("NASA/NOAA list: 193.6 °F at 10 000 ft, published", boiling_celsius(3048.0).map(fahrenheit), 193.6, 0.6),
        ("rule of thumb: 1 °C for 300 m, common practice", boiling_celsius(300.0), 99.0, 0.1),
        (
            "home-preserving tables: jam sets at 220 °F by the sea, published",
            setting_celsius(0.0).map(fahrenheit),
            220.0,
            1.0,
        ),
        (
            "home-preserving tables: jam sets at 212 °F at 4000 ft, published",
            setting_celsius(1219.2).map(fahrenheit),
            212.0,
            1.0,
        ),
        (
            "US home-canning tables: none up to 1000 ft, published",
            canning_extra_minutes(&FIGURES.canning, 304.8),
            0.0,
            0.0,
        ),
        (
            "US home-canning tables: 5 min to 3000 ft, published",
            canning_extra_minutes(&FIGURES.canning, 914.4),
            5.0,
            0.0,
        ),
        (
            "US home-canning tables: 10 min above 3000 ft, published",
            canning_extra_minutes(&FIGURES.canning, 914.5),
            10.0,
            0.0,
        ),
        (
            "US home-canning tables: 20 min at 10 000 ft, published",
            canning_extra_minutes(&FIGURES.canning, 3048.0),
            20.0,
            0.0,
        ),
    ]
}

/// IAPWS-IF97, table 36, and the saturation temperatures of the Python packages `iapws` 1.5.5 (IAPWS-IF97, region 4)
/// and CoolProp 8.0.0 (backend `IF97::Water`), which agree with each other to 1e-11; CoolProp's own equation of state
/// (IAPWS-95) lies within 0.008 K of them.
fn saturation() -> Vec<Example> {
    let table = "IAPWS-IF97, table 36 from memory, and iapws 1.5.5 to all its digits";
    let library = "iapws 1.5.5 and CoolProp 8.0.0 (IF97)";
    let iapws_95 = "CoolProp 8.0.0, equation of state IAPWS-95";
    vec![
        (table, saturation_celsius(100.0), 372.755_919 - 273.15, 5e-6),
        (table, saturation_celsius(1000.0), 453.035_632 - 273.15, 5e-6),
        (table, saturation_celsius(10_000.0), 584.149_488 - 273.15, 5e-6),
        (library, saturation_celsius(1.0), 6.969_632_412_561, 1e-8),
        (library, saturation_celsius(5.0), 32.875_489_523_760, 1e-8),
        (library, saturation_celsius(20.0), 60.058_642_660_058, 1e-8),
        (library, saturation_celsius(50.0), 81.316_735_996_641, 1e-8),
        (library, saturation_celsius(57.18), 84.695_478_933_913, 1e-8),
        (library, saturation_celsius(70.0), 89.931_510_066_447, 1e-8),
        (library, saturation_celsius(84.3), 94.900_645_272_371, 1e-8),
        (library, saturation_celsius(95.0), 98.178_332_112_035, 1e-8),
        (library, saturation_celsius(101.325), 99.974_300_000_481, 1e-8),
        (library, saturation_celsius(200.0), 120.211_545_936_489, 1e-8),
        (library, saturation_celsius(500.0), 151.836_243_876_845, 1e-8),
        (iapws_95, saturation_celsius(70.0), 89.931_733_664_742, 0.001),
        (iapws_95, saturation_celsius(101.325), 99.974_295_847_666, 0.001),
    ]
}

fn holding() -> Vec<Example> {
    let least = |law, product, celsius| {
        least_hold_seconds(&FIGURES.holds, law, product, celsius).map(|seconds| seconds.unwrap_or(f64::INFINITY))
    };
    vec![
        ("Regulation (EC) 853/2004: 63 °C for 30 min, published", least("eu", "milk", 63.0), 1800.0, 0.0),
        ("Regulation (EC) 853/2004: 72 °C for 15 s, published", least("eu", "milk", 72.0), 15.0, 0.0),
        (
            "Regulation (EC) 853/2004: 71.9 °C is no 72, so still 30 min, published",
            least("eu", "milk", 71.9),
            1800.0,
            0.0,
        ),
        ("US milk ordinance: cream at 66 °C, 30 min, published", least("us", "rich-milk", 66.0), 1800.0, 0.0),
        (
            "US milk ordinance: frozen dessert mix at 80 °C, 25 s, published",
            least("us", "frozen-dessert-mix", 80.0),
            25.0,
            0.0,
        ),
        ("US milk ordinance: milk at 100 °C, 0.01 s, published", least("us", "milk", 100.0), 0.01, 0.0),
        ("UK regulations of 1995: 71.7 °C for 15 s, published", least("uk-1995", "milk", 71.7), 15.0, 0.0),
        (
            "dairy-science notes: 15 min at 85 °C, z 8.7, are 10 s at 102 °C, published",
            equivalent_seconds(900.0, 85.0, 102.0, 8.7),
            10.0,
            0.05,
        ),
        (
            "definition of z: ten times as hot by one z takes a tenth, published",
            equivalent_seconds(100.0, 60.0, 67.0, 7.0),
            10.0,
            1e-9,
        ),
        ("definition: one minute at 60 °C is one unit, published", pasteurisation_units(60.0, 60.0), 1.0, 1e-12),
        ("definition: 15 s at 72 °C, published", pasteurisation_units(15.0, 72.0), 12.949, 0.005),
        ("definition: 30 min at 63 °C, published", pasteurisation_units(1800.0, 63.0), 80.481, 0.005),
        ("z of 63 °C, 30 min and 72 °C, 15 s, published", implied_z_kelvin(63.0, 1800.0, 72.0, 15.0), 4.3286, 0.0005),
        (
            "z of 145 °F, 30 min and 161 °F, 15 s: 4.275 K, published",
            implied_z_kelvin(celsius(145.0), 1800.0, celsius(161.0), 15.0),
            4.275,
            0.0005,
        ),
    ]
}

fn brine() -> Vec<Example> {
    let dense = &FIGURES.densities;
    vec![
        ("balance of masses: 50 g to 1 kg of water is 4.76 %, published", percent_from_water(50.0), 4.762, 0.0005),
        (
            "50 g in 1 L of water of 20 °C (0.9982 kg) is 4.77 %, published",
            percent_from_water(50.0 / 0.9982),
            4.77,
            0.005,
        ),
        (
            "50 g made up to 1 L of brine is 4.84 % by weight, handbook NaCl table, published",
            percent_of_basis(dense, Basis::Volume, 5.0),
            4.84,
            0.005,
        ),
        ("5 % by weight holds 51.7 g in a litre, handbook NaCl table, published", salt_g_per_l(dense, 5.0), 51.7, 0.05),
        ("5 % by weight needs 52.63 g to a kilogram of water, published", salt_g_per_kg_water(5.0), 52.63, 0.005),
        (
            "by definition a strength by weight is itself, arithmetic",
            percent_of_basis(dense, Basis::Weight, 7.5),
            7.5,
            0.0,
        ),
        (
            "25 g to 100 g of water is 20 %, published arithmetic",
            percent_of_basis(dense, Basis::Water, 25.0),
            20.0,
            1e-12,
        ),
        ("handbook NaCl table: 10 % weighs 1070.7 kg/m³, published", brine_kg_per_m3(dense, 10.0), 1070.7, 1e-9),
        (
            "handbook NaCl table, second copy: 15 % weighs 1108.5 kg/m³, from memory",
            brine_kg_per_m3(dense, 15.0),
            1108.5,
            0.3,
        ),
        (
            "handbook NaCl table: 107.07 g in a litre is 10 %, published",
            percent_from_g_per_l(dense, 107.07),
            10.0,
            1e-9,
        ),
        (
            "10 % brine from 2 kg of water takes 222 g, published arithmetic",
            salt_kg_for_water(10.0, 2.0),
            0.222_222,
            1e-6,
        ),
        (
            "10 kg of brine from 10 to 20 %: 1.25 kg of salt, published arithmetic",
            salt_kg_to_strengthen(10.0, 10.0, 20.0),
            1.25,
            1e-12,
        ),
        (
            "processing handbook: 50 ° salometer is 13.2 %, published",
            percent_from_salometer(50.0, 26.395),
            13.1975,
            0.0001,
        ),
        ("processing handbook: 10.6 % is 40 ° salometer, published", salometer_degrees(10.558, 26.395), 40.0, 0.001),
        ("canning salometer: 100 ° is 25 %, published", percent_from_salometer(100.0, 25.0), 25.0, 0.0),
        (
            "c₁V₁ = c₂V₂: 1 L of 4 % acid takes 50 mL of 80 %, published",
            dilution(80.0, 4.0, 1000.0).map(|made| made.strong),
            50.0,
            1e-9,
        ),
        (
            "c₁V₁ = c₂V₂: the rest, 950 mL, is water, published",
            dilution(80.0, 4.0, 1000.0).map(|made| made.water),
            950.0,
            1e-9,
        ),
        (
            "hydrometer notes: 35.9 g in 100 g of water at 25 °C is 26.42 %, published",
            saturation_percent(&FIGURES.saturations, 25.0),
            26.416,
            0.005,
        ),
    ]
}

fn culture() -> Vec<Example> {
    vec![
        (
            "supplier's example: 100 L at 30 IMCU/L of 600 IMCU/mL is 5 mL, common practice",
            rennet_ml(100.0, 30.0, 600.0),
            5.0,
            1e-12,
        ),
        (
            "single strength: 10 L at 40 IMCU/L of 200 IMCU/mL is 2 mL, common practice",
            rennet_ml(10.0, 40.0, 200.0),
            2.0,
            1e-12,
        ),
        (
            "single strength by definition: 200 mL for 1000 L, common practice",
            rennet_ml(1000.0, 40.0, 200.0),
            200.0,
            1e-9,
        ),
        (
            "stretched-curd practice: 7.5 g of citric acid a US gallon is 1.98 g/L, common practice",
            dose_for_litres(3.785_411_784, 1.9813),
            7.5,
            0.001,
        ),
        ("2 % of starter in 5 kg of milk is 100 g, arithmetic", culture_g(5.0, 2.0), 100.0, 1e-12),
        ("6 g of acid stand in 100 mL of juice of 6 %, arithmetic", acid_ml(6.0, 6.0), 100.0, 1e-12),
    ]
}

fn bread() -> Vec<Example> {
    let dough = amounts_for_dough(1600.0, &[68.0, 2.0, 1.0]);
    let other = |index: usize| dough.clone().map(|made| made.others_g[index]);
    let yeast = |grams, from, to| converted_yeast_g(&FIGURES.yeasts, grams, from, to);
    vec![
        (
            "baker's percentage, 1600 g of 171 %: flour, published arithmetic",
            dough.clone().map(|made| made.flour_g),
            935.673,
            0.001,
        ),
        ("the same dough: water, published arithmetic", other(0), 636.257, 0.001),
        ("the same dough: salt, published arithmetic", other(1), 18.713, 0.001),
        ("the same dough: instant yeast, published arithmetic", other(2), 9.357, 0.001),
        (
            "350 g of water on 500 g of flour is 70 %, common practice",
            hydration_percent(500.0, &[(350.0, 1.0)]),
            70.0,
            1e-12,
        ),
        (
            "milk of 88 % water in its place is 61.6 %, arithmetic",
            hydration_percent(500.0, &[(350.0, 0.88)]),
            61.6,
            1e-9,
        ),
        (
            "10 g of salt on 500 g of flour is 2 %, common practice",
            bakers_percents(500.0, &[350.0, 10.0]).map(|all| all[1]),
            2.0,
            1e-12,
        ),
        (
            "a leaven of 100 % is half flour, common practice",
            leaven_parts(200.0, 100.0).map(|parts| parts.flour_g),
            100.0,
            1e-12,
        ),
        (
            "a leaven of 125 %: 180 g hold 100 g of water, arithmetic",
            leaven_parts(180.0, 125.0).map(|parts| parts.water_g),
            100.0,
            1e-9,
        ),
        (
            "10 g fresh yeast is 4 g active dry, bakery factor, common practice",
            yeast(10.0, "fresh", "active-dry"),
            4.0,
            1e-12,
        ),
        (
            "10 g fresh yeast is 3.3 g instant, bakery factor, common practice",
            yeast(10.0, "fresh", "instant"),
            3.3,
            1e-12,
        ),
        ("7 g instant is 21.2 g fresh, bakery factor, common practice", yeast(7.0, "instant", "fresh"), 21.21, 0.01),
    ]
}

fn jam() -> Vec<Example> {
    let syrups = &FIGURES.syrups;
    let law = |law: &str, product: &str| {
        FIGURES.jams.iter().find(|row| row.law == law && row.product == product).expect("a row of the table")
    };
    let made = JamFacts { fruit_g: 450.0, sweetener_g: 550.0, jam_g: 915.4, solids_percent: 65.0 };
    let share = |row| jam_verdict(row, &made).map(|verdict| verdict.fruit_g_per_kg);
    vec![
        (
            "formula tabulated in GNU units 2.22: 65 °Brix boils 3.794 K higher, published",
            boiling_rise_kelvin(syrups, 65.0),
            3.7944,
            1e-9,
        ),
        (
            "the formula itself, worked out in Python 3.11 at 67.5 °Brix, published",
            boiling_rise_kelvin(syrups, 67.5),
            4.3394,
            0.005,
        ),
        (
            "GNU units 2.22: 220 °F is 67.93 °Brix by the sea, published",
            brix_for_rise(syrups, celsius(220.0) - 100.0),
            67.93,
            0.05,
        ),
        (
            "NIST Circular 440, table 114, apparent, 20 °C: 60 °Brix, published",
            syrup_g_per_ml(syrups, 60.0),
            1.285_44,
            2e-5,
        ),
        (
            "balance of solids: 450 g of fruit of 10 %, 550 g of sugar, to 65 %, published",
            jam_yield_g(450.0, 10.0, 550.0, 65.0),
            915.38,
            0.01,
        ),
        ("balance of solids: the same to 60 %, published", jam_yield_g(450.0, 10.0, 550.0, 60.0), 991.67, 0.01),
        (
            "balance of solids: 1 kg of fruit of 11 %, 1 kg of sugar, to 65 %, published",
            jam_yield_g(1000.0, 11.0, 1000.0, 65.0),
            1707.69,
            0.01,
        ),
        (
            "21 CFR 150.160, 45 parts to 55: 450 g to a kilogram, published",
            share(law("us", "jam-group-1")),
            450.0,
            1e-9,
        ),
        (
            "Directive 2001/113/EC counts by the finished jam: 450/0.9154, published",
            share(law("eu", "jam")),
            491.6,
            0.05,
        ),
    ]
}

fn dairy() -> Vec<Example> {
    vec![
        (
            "casein-fat formula: F 3.6, C 2.5, W 0.37, published",
            curd_kg_per_100_kg(3.6, 2.5, 0.37, CaseinFat::PUBLISHED),
            9.945,
            0.001,
        ),
        (
            "usual yield of semi-hard curd is a tenth, common practice",
            curd_kg_per_100_kg(3.5, 2.6, 0.38, CaseinFat::PUBLISHED),
            10.0,
            0.3,
        ),
        (
            "balance of fat: 1 kg of cream of 38 % to butter of 81.11 %, published",
            butter_kg(1.0, 38.0, 81.11, 1.0),
            0.4685,
            0.0005,
        ),
        (
            "balance of solids: 1 kg of yoghurt of 12 % to 24 %, whey of 6 %, arithmetic",
            drained_kg(1.0, 12.0, 24.0, 6.0),
            1.0 / 3.0,
            1e-12,
        ),
        ("balance of solids: nothing is drained, arithmetic", drained_kg(1.0, 12.0, 12.0, 6.0), 1.0, 1e-12),
        (
            "Codex way to count: 22.5 % fat and 55 % water is 50 % fat in dry matter, arithmetic",
            fat_in_dry_matter_percent(22.5, 55.0),
            50.0,
            1e-12,
        ),
    ]
}

#[test]
fn every_example_comes_out() {
    let examples = all();
    let wrong = |(source, got, want, off): &Example| match got {
        Ok(got) if (got - want).abs() <= *off => None,
        Ok(got) => Some(format!("{source}: we get {got}, it says {want} (within {off})")),
        Err(fault) => Some(format!("{source}: {fault}")),
    };
    let wrong: Vec<String> = examples.iter().filter_map(wrong).collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(examples.len() >= 130, "{}", examples.len());
}

#[test]
fn every_example_names_where_it_comes_from() {
    for (source, ..) in all() {
        let status = ["published", "common practice", "from memory", "arithmetic", "iapws 1.5.5", "CoolProp 8.0.0"];
        assert!(status.iter().any(|word| source.contains(word)), "{source}");
    }
}

fn met(law: &str, product: &str, celsius: f64, seconds: f64) -> bool {
    met_hold(&FIGURES.holds, law, product, celsius, seconds).expect("a possible hold").is_some()
}

/// Regulation (EC) 853/2004 and the US ordinance, both published.
#[test]
fn a_hold_meets_a_legal_pair_or_it_does_not() {
    assert!(met("eu", "milk", 72.0, 15.0) && met("eu", "milk", 75.0, 20.0) && met("eu", "milk", 63.0, 1800.0));
    // Half a degree or one second short is short, and no sum makes up for it.
    assert!(!met("eu", "milk", 71.5, 15.0) && !met("eu", "milk", 72.0, 14.0) && !met("eu", "milk", 68.0, 600.0));
    // What is enough for milk is not enough for cream.
    assert!(met("us", "milk", 63.0, 1800.0) && !met("us", "rich-milk", 63.0, 1800.0));
    // 155 °F is 68.33 °C; the ordinance prints 69, because it is a least.
    assert!(!met("us", "frozen-dessert-mix", 68.4, 1800.0) && met("us", "frozen-dessert-mix", 69.0, 1800.0));
    assert!(!met("us", "cheese", 90.0, 3600.0) && !met("nowhere", "milk", 90.0, 3600.0));
    // 65 °C for 10 min is "equivalent" to 63 °C for 30 by the z of the legal pairs, and yet no legal pair.
    let same = equivalent_seconds(1800.0, 63.0, 65.0, 4.3286).unwrap();
    assert!(same < 630.0 && !met("eu", "milk", 65.0, same));
}

/// The °C of the US ordinance are its °F rounded up to the whole degree: 22 rows, published.
#[test]
fn printed_celsius_of_the_us_are_ceilings() {
    let rows: Vec<_> = FIGURES.holds.iter().filter(|hold| hold.law == "us").collect();
    assert_eq!(rows.len(), 22);
    for row in rows {
        let exact = celsius(row.fahrenheit.expect("US rows are in °F"));
        assert_eq!(row.celsius, (exact - 1e-9).ceil(), "{row:?}");
    }
}

/// US Food Code, published: 57 to 21 °C in 2 h, then to 5 °C in 4 h.
#[test]
fn slow_cooling_is_told() {
    let pot =
        |seconds| Bath { start_celsius: 90.0, bath_celsius: 2.0, reading_celsius: 46.0, reading_seconds: seconds };
    let keeps = |seconds| {
        let stages = cooling_stages(&FIGURES.cooling, "us", &pot(seconds)).unwrap();
        stages.iter().map(StageTime::keeps).collect::<Vec<_>>()
    };
    assert_eq!(keeps(1800.0), [true, true]);
    assert_eq!(keeps(5400.0), [false, true]);
    assert_eq!(keeps(7200.0), [false, false]);
    // A pot of 18 °C is in the second stage already, and in a room of 20 °C no pot gets there.
    let cold = Bath { start_celsius: 18.0, ..pot(60.0) };
    let cold = Bath { reading_celsius: 17.0, ..cold };
    assert_eq!(cooling_stages(&FIGURES.cooling, "us", &cold).unwrap().len(), 1);
    let room = Bath { bath_celsius: 20.0, reading_celsius: 70.0, ..pot(1800.0) };
    assert!(cooling_stages(&FIGURES.cooling, "us", &room).is_err());
    assert!(cooling_stages(&FIGURES.cooling, "elsewhere", &pot(60.0)).is_err());
}

/// Directive 2001/113/EC, 21 CFR 150 and the Australian code, published.
#[test]
fn one_jam_is_jam_in_one_country_and_not_in_another() {
    let made = JamFacts { fruit_g: 380.0, sweetener_g: 620.0, jam_g: 1000.0, solids_percent: 62.0 };
    let verdict = |law: &str, product: &str| {
        let row = FIGURES.jams.iter().find(|row| row.law == law && row.product == product).expect("a row");
        let verdict = jam_verdict(row, &made).unwrap();
        (verdict.fruit_enough, verdict.solids_enough)
    };
    assert_eq!(verdict("eu", "jam"), (true, true));
    assert_eq!(verdict("eu", "extra-jam"), (false, true));
    assert_eq!(verdict("uk", "jam"), (true, true));
    assert_eq!(verdict("us", "jam-group-1"), (false, false));
    assert_eq!(verdict("au", "jam"), (false, false));
}

/// Common practice: a tenth of the milk is semi-hard curd, a fifth is not.
#[test]
fn a_yield_is_usual_or_it_is_told() {
    let verdict = |product: &str, made_kg| yield_verdict(&FIGURES.yields, product, 4.12, made_kg).unwrap();
    assert_eq!(verdict("semi-hard", 0.41), Some(YieldVerdict::Usual));
    assert_eq!(verdict("semi-hard", 0.82), Some(YieldVerdict::High));
    assert_eq!(verdict("pressed-curd", 0.6), Some(YieldVerdict::Usual));
    assert_eq!(verdict("pressed-curd", 0.3), Some(YieldVerdict::Low));
    assert_eq!(verdict("moon-cheese", 0.3), None);
}

/// What cannot be, and what nearly cannot: a fault each time.
#[test]
fn what_cannot_be_is_a_fault() {
    let milk = food("whole-milk");
    let part = |kg| Part { kg, kj_per_kg_kelvin: 4.18, celsius: 30.0 };
    let bath = Bath { start_celsius: 90.0, bath_celsius: 10.0, reading_celsius: 50.0, reading_seconds: 600.0 };
    let bad: Vec<(&str, Option<SumFault>)> = vec![
        ("a negative mass", energy_kj(-1.0, 4.18, 4.0, 63.0).err()),
        ("no number", energy_kj(f64::NAN, 4.18, 4.0, 63.0).err()),
        ("without end", energy_kj(f64::INFINITY, 4.18, 4.0, 63.0).err()),
        ("below the coldest", energy_kj(1.0, 4.18, -300.0, 63.0).err()),
        ("frozen milk", specific_heat_kj(&milk, -5.0).err()),
        ("half a food", specific_heat_kj(&Fractions { water: 0.5, ..Fractions::default() }, 20.0).err()),
        (
            "a food of less than nothing",
            density_kg_per_m3(&Fractions { water: 1.5, fat: -0.5, ..Fractions::default() }, 20.0).err(),
        ),
        ("a mix of nothing", blend(&[]).err()),
        ("more than all heat arrives", seconds_to_warm(100.0, 1000.0, 1.2).err()),
        ("no power", seconds_to_warm(100.0, 0.0, 0.7).err()),
        ("ice that warms", ice_kg(1.0, 3.9, 10.0, 20.0).err()),
        ("colder than ice", ice_kg(1.0, 3.9, 10.0, -1.0).err()),
        ("a bath warmer than the target", bath_seconds_to(&bath, 5.0).err()),
        ("the bath's own temperature", bath_seconds_to(&bath, 10.0).err()),
        ("a target hotter than the start", bath_seconds_to(&bath, 95.0).err()),
        ("a reading on the far side of the bath", bath_seconds_to(&Bath { reading_celsius: 9.0, ..bath }, 20.0).err()),
        ("a pot that got hotter in a cold bath", bath_seconds_to(&Bath { reading_celsius: 91.0, ..bath }, 20.0).err()),
        ("a pot that did not change", bath_seconds_to(&Bath { reading_celsius: 90.0, ..bath }, 20.0).err()),
        ("a reading at once", bath_seconds_to(&Bath { reading_seconds: 0.0, ..bath }, 20.0).err()),
        ("a bath as warm as the pot", bath_seconds_to(&Bath { bath_celsius: 90.0, ..bath }, 20.0).err()),
        ("time that runs back", bath_celsius_after(&bath, -1.0).err()),
        ("nothing to mix", mixed_celsius(&[]).err()),
        ("parts that weigh nothing", mixed_celsius(&[part(0.0)]).err()),
        ("a target above both waters", hot_share(60.0, 10.0, 70.0).err()),
        ("a target below both waters", hot_share(60.0, 10.0, 5.0).err()),
        ("hot colder than cold", hot_share(10.0, 60.0, 30.0).err()),
        ("two like waters", hot_share(30.0, 30.0, 30.0).err()),
        ("hot water that is cooler than the target", top_up_kg(&part(5.0), 35.0, 4.18, 38.0).err()),
        ("water of the target's temperature", top_up_kg(&part(5.0), 38.0, 4.18, 38.0).err()),
        ("water colder than ice for a dough", dough_water_celsius(20.0, &[35.0, 35.0], 10.0).err()),
        ("friction that cools", dough_water_celsius(24.0, &[18.0, 18.0], -13.3).err()),
        ("a dough of water alone", dough_water_celsius(24.0, &[], 4.0).err()),
        ("above every mountain", boiling_celsius(12_000.0).err()),
        ("under the sea", boiling_celsius(-1000.0).err()),
        ("a vacuum", saturation_celsius(0.0).err()),
        ("canning above the table", canning_extra_minutes(&FIGURES.canning, 3500.0).err()),
        ("an empty table", canning_extra_minutes(&[], 0.0).err()),
        ("a hold of no time", met_hold(&FIGURES.holds, "eu", "milk", 72.0, 0.0).err()),
        ("a z of nought", equivalent_seconds(15.0, 72.0, 63.0, 0.0).err()),
        ("two like holds", implied_z_kelvin(63.0, 1800.0, 63.0, 1800.0).err()),
        ("brine of salt alone", salt_g_per_kg_water(100.0).err()),
        ("brine stronger than the table", brine_kg_per_m3(&FIGURES.densities, 30.0).err()),
        ("more salt than a litre takes", percent_from_g_per_l(&FIGURES.densities, 400.0).err()),
        ("salt that weakens", salt_kg_to_strengthen(1.0, 10.0, 5.0).err()),
        ("water that strengthens", dilution(4.0, 6.0, 1.0).err()),
        ("a dilution of water", dilution(0.0, 0.0, 1.0).err()),
        ("degrees beyond the stem", percent_from_salometer(120.0, 26.395).err()),
        ("rennet without strength", rennet_ml(10.0, 40.0, 0.0).err()),
        ("rennet by the bucket", rennet_ml(10.0, 4000.0, 200.0).err()),
        ("acid from water", acid_ml(6.0, 0.0).err()),
        ("bread without flour", bakers_percents(0.0, &[10.0]).err()),
        ("a negative percentage", amounts_for_dough(1000.0, &[-1.0]).err()),
        ("yeast nobody sells", converted_yeast_g(&FIGURES.yeasts, 1.0, "fresh", "wild").err()),
        ("jam weaker than what went in", jam_yield_g(100.0, 10.0, 100.0, 40.0).err()),
        ("jam of nothing", fruit_g_per_kg(100.0, 0.0).err()),
        ("syrup of sugar alone", boiling_rise_kelvin(&FIGURES.syrups, 100.0).err()),
        ("curd of water", curd_kg_per_100_kg(3.6, 2.5, 1.0, CaseinFat::PUBLISHED).err()),
        ("cream fatter than butter", butter_kg(1.0, 90.0, 80.0, 1.0).err()),
        ("whey thicker than curd", drained_kg(1.0, 5.0, 10.0, 6.0).err()),
        ("more than the whole", fat_in_dry_matter_percent(60.0, 60.0).err()),
        ("a yield of nothing", yield_verdict(&FIGURES.yields, "butter", 0.0, 1.0).err()),
    ];
    for (what, fault) in &bad {
        let fault = fault.unwrap_or_else(|| panic!("{what} has an answer"));
        assert!(!fault.to_string().is_empty(), "{what}");
    }
}

/// Every formula at the ends of its range, and with the largest and smallest numbers: an answer is a number.
#[test]
fn an_answer_is_always_a_number() {
    let odd =
        [0.0, -0.0, 1e-300, 1e-9, 0.5, 1.0, 26.0, 63.0, 99.9, 100.0, 1800.0, 1e9, 1e300, -1.0, f64::MAX, f64::MIN];
    let mut answers = 0;
    let mut finite = |answer: Result<f64, SumFault>| {
        if let Ok(number) = answer {
            assert!(number.is_finite());
            answers += 1;
        }
    };
    let (dense, syrups) = (&FIGURES.densities, &FIGURES.syrups);
    let milk = food("whole-milk");
    for a in odd {
        finite(specific_heat_kj(&milk, a));
        finite(pressure_kpa(a));
        finite(saturation_celsius(a));
        finite(percent_from_water(a));
        finite(percent_from_g_per_l(dense, a));
        finite(salt_g_per_l(dense, a));
        finite(boiling_rise_kelvin(syrups, a));
        finite(brix_for_rise(syrups, a));
        finite(saturation_percent(&FIGURES.saturations, a));
        for b in odd {
            finite(salometer_degrees(a, b));
            finite(pasteurisation_units(a, b));
            finite(hydration_percent(a, &[(b, 1.0)]));
            finite(leaven_parts(a, b).map(|parts| parts.water_g));
            finite(fruit_g_per_kg(a, b));
            finite(energy_kj_of(&milk, 1.0, a, b));
            for c in odd {
                finite(hot_share(a, b, c));
                finite(ice_kg(1.0, a, b, c));
                finite(dilution(a, b, c).map(|made| made.strong));
                finite(drained_kg(1.0, a, b, c));
                finite(equivalent_seconds(15.0, a, b, c));
                finite(salt_kg_to_strengthen(a, b, c));
                finite(seconds_to_warm(a, b, c));
                finite(dough_water_celsius(a, &[b], c));
                finite(rennet_ml(a, b, c));
                let bath = Bath { start_celsius: a, bath_celsius: b, reading_celsius: c, reading_seconds: 60.0 };
                for d in odd {
                    finite(bath_seconds_to(&bath, d));
                    finite(bath_celsius_after(&bath, d));
                    finite(jam_yield_g(a, b, c, d));
                    finite(butter_kg(a, b, c, d));
                    finite(top_up_kg(&Part { kg: a, kj_per_kg_kelvin: 4.18, celsius: b }, c, 4.18, d));
                    finite(implied_z_kelvin(a, b, c, d));
                }
            }
        }
    }
    assert!(answers > 1000, "{answers}");
}

/// The strength of a brine by the litre and by weight are one the other's inverse all the way up.
#[test]
fn there_and_back_is_the_same_place() {
    for step in 0..=260 {
        let percent = f64::from(step) / 10.0;
        let litre = salt_g_per_l(&FIGURES.densities, percent).unwrap();
        assert!((percent_from_g_per_l(&FIGURES.densities, litre).unwrap() - percent).abs() < 1e-9, "{percent}");
        let water = salt_g_per_kg_water(percent).unwrap();
        assert!((percent_from_water(water).unwrap() - percent).abs() < 1e-9, "{percent}");
    }
    for step in 0..=850 {
        let brix = f64::from(step) / 10.0;
        let rise = boiling_rise_kelvin(&FIGURES.syrups, brix).unwrap();
        assert!((brix_for_rise(&FIGURES.syrups, rise).unwrap() - brix).abs() < 1e-6, "{brix}");
    }
}

/// Rows stand in the order that reading between them needs.
#[test]
fn tables_rise() {
    let rises = |list: Vec<f64>| list.windows(2).all(|pair| pair[0] < pair[1]);
    assert!(rises(FIGURES.densities.iter().map(|row| row.percent).collect()));
    assert!(rises(FIGURES.densities.iter().map(|row| row.kg_per_m3).collect()));
    assert!(rises(FIGURES.saturations.iter().map(|row| row.celsius).collect()));
    assert!(rises(FIGURES.syrups.iter().map(|row| row.brix).collect()));
    assert!(rises(FIGURES.syrups.iter().map(|row| row.rise_kelvin).collect()));
    assert!(rises(FIGURES.syrups.iter().map(|row| row.g_per_ml).collect()));
    assert!(rises(FIGURES.canning.iter().map(|row| row.to_metres).collect()));
    for steps in FIGURES.canning.windows(2) {
        assert_eq!(steps[0].to_metres, steps[1].above_metres);
    }
    for row in &FIGURES.yields {
        assert!(row.low <= row.high && row.high < 1.0, "{}", row.id);
    }
    for food in &FIGURES.foods {
        assert!(specific_heat_kj(&Fractions::of(food), 20.0).is_ok(), "{}", food.id);
    }
    let pantry = Reference::built_in(Home::Uk).pantry;
    for food in &FIGURES.foods {
        assert!(pantry.find(&food.id).is_some(), "the pantry lacks {}", food.id);
    }
}
