//! The figures at which cautions begin, against the sources they were read from.

use crate::case::Made;

fn applies(id: &str, text: &str) -> bool {
    !Made::read(text).places(id).is_empty()
}

fn held(law: &str, goes_in: &str, at: &str, time: &str) -> bool {
    let text = format!(
        "# course\nfood-law = \"{law}\"\n# recipe\nmakes = \"1 L milk\"\n[ingredients]\n{goes_in}\n# step\n\
         add = [{}]\nat = \"{at}\"\nfor = \"{time}\"\npasteurises = \"milk\"",
        if goes_in.contains("sugar") { "\"milk\", \"sugar\"" } else { "\"milk\"" }
    );
    !applies("milk-without-hold", &text)
}

/// 21 CFR 1240.61(b) and its note 1: 63 °C (145 °F) for 30 minutes or 72 °C (161 °F) for 15 seconds, and 3 °C (5 °F)
/// more for 10 % of fat or for sweetened milk.
#[test]
fn milk_is_held_as_the_law_asks() {
    let (milk, cream) = ("milk = \"1 L raw milk\"", "milk = \"1 L raw cream\"");
    let sweet = "milk = \"1 L raw milk\"\nsugar = \"100 g caster sugar\"";
    let table = [
        // milk, and both pairs of the law
        ("us", milk, "63 °C", "30 min", true),
        ("us", milk, "62 °C", "30 min", false),
        ("us", milk, "63 °C", "29 min", false),
        ("us", milk, "72 °C", "15 s", true),
        ("us", milk, "71 °C", "15 s", false),
        ("us", milk, "72 °C", "14 s", false),
        ("us", milk, "145 °F", "30 min", true),
        ("us", milk, "144 °F", "30 min", false),
        ("us", milk, "161 °F", "15 s", true),
        ("us", milk, "160 °F", "15 s", false),
        ("uk", milk, "63 °C", "30 min", true),
        ("uk", milk, "72 °C", "15 s", true),
        ("uk", milk, "62 °C", "30 min", false),
        // cream and sweetened milk
        ("us", cream, "66 °C", "30 min", true),
        ("us", cream, "65 °C", "30 min", false),
        ("us", cream, "75 °C", "15 s", true),
        ("us", cream, "74 °C", "15 s", false),
        ("us", cream, "150 °F", "30 min", true),
        ("us", cream, "149 °F", "30 min", false),
        ("us", cream, "166 °F", "15 s", true),
        ("us", cream, "165 °F", "15 s", false),
        ("us", sweet, "63 °C", "30 min", false),
        ("us", sweet, "66 °C", "30 min", true),
        // the strictest where no law is known; Europe knows no richer class
        ("other", cream, "63 °C", "30 min", false),
        ("other", cream, "66 °C", "30 min", true),
        ("uk", cream, "63 °C", "30 min", true),
    ];
    for (law, goes_in, at, time, expected) in table {
        assert_eq!(held(law, goes_in, at, time), expected, "{law}: {goes_in} at {at} for {time}");
    }
}

fn sealed(law: &str, keep: &str) -> Vec<String> {
    let made = Made::read(&format!(
        "# course\nfood-law = \"{law}\"\n# recipe\nmakes = \"1 kg roots\"\nkind = \"other\"\n\
         keeps = [{{ where = \"put away\", {keep} }}]\n[ingredients]\nroots = \"1 kg carrots\"\n# step\nadd = [\"roots\"]"
    ));
    made.ids().into_iter().filter(|id| id == "low-acid-sealed" || id == "sealed-chilled-long").collect()
}

/// 21 CFR 114.3: low-acid food has a pH above 4.6 and a water activity above 0.85.
#[test]
fn low_acid_food_is_what_the_law_calls_so() {
    for ph in ["3.5", "4.5", "4.6", "4.7", "7"] {
        for aw in ["0.8", "0.85", "0.86", "0.99"] {
            let low_acid = ph.parse::<f64>().unwrap() > 4.6 && aw.parse::<f64>().unwrap() > 0.85;
            for pack in ["sealed-jar", "vacuum", "under-oil"] {
                let keep = format!("for = \"1 year\", at = \"20 °C\", pack = \"{pack}\", ph = \"{ph}\", aw = \"{aw}\"");
                let expected: &[&str] = if low_acid { &["low-acid-sealed"] } else { &[] };
                assert_eq!(sealed("us", &keep), expected, "{keep}");
            }
        }
    }
    // Bounds say what is not known: "at most 4.6" is enough, "at least 4" is not.
    let bound =
        |ph: &str| sealed("us", &format!("for = \"1 year\", at = \"20 °C\", pack = \"sealed-jar\", ph = \"{ph}\""));
    assert_eq!(bound("at most 4.6"), [""; 0]);
    assert_eq!(bound("at least 4"), ["low-acid-sealed"]);
    assert_eq!(bound("4.2–4.8"), ["low-acid-sealed"]);
}

/// US Food Code, definition of food that needs control of time and temperature, table A (heat-treated, then packed), as
/// adopted in Tennessee, Nevada, Texas, Wyoming and Georgia: wherever a product assessment is asked for above pH 4.6,
/// a sealed jar at room temperature stops the lesson. Nothing is ever said of the cells beside them.
#[test]
fn no_cell_of_the_food_code_that_asks_for_an_assessment_is_let_pass() {
    let cells = [("5.7", "0.93"), ("5.7", "0.95"), ("4.7", "0.96"), ("5.6", "0.96"), ("5.7", "0.96"), ("7", "1")];
    for (ph, aw) in cells {
        let keep = format!("for = \"1 year\", at = \"20 °C\", pack = \"sealed-jar\", ph = \"{ph}\", aw = \"{aw}\"");
        assert_eq!(sealed("us", &keep), ["low-acid-sealed"], "{keep}");
    }
}

/// UK FSA, guidance on vacuum-packed chilled food: 10 days (read), pH 5 and water activity 0.97 (from memory).
#[test]
fn ten_days_without_air_are_counted_where_that_law_counts_them() {
    let keep = |days: &str, more: &str| format!("for = \"{days}\", at = \"4 °C\", pack = \"vacuum\"{more}");
    for (law, expected) in [("uk", 1), ("scotland", 1), ("eu", 1), ("other", 1), ("us", 0), ("au", 0)] {
        assert_eq!(sealed(law, &keep("11 days", "")).len(), expected, "{law}");
        assert_eq!(sealed(law, &keep("10 days", "")).len(), 0, "{law}");
    }
    assert_eq!(sealed("uk", &keep("2 weeks", ", ph = \"5\"")), [""; 0]);
    assert_eq!(sealed("uk", &keep("2 weeks", ", ph = \"5.1\"")), ["sealed-chilled-long"]);
    assert_eq!(sealed("uk", &keep("2 weeks", ", aw = \"0.97\"")), [""; 0]);
    assert_eq!(sealed("uk", &keep("2 weeks", ", aw = \"0.98\"")), ["sealed-chilled-long"]);
    assert_eq!(sealed("uk", "for = \"12 weeks\", at = \"at most -18 °C\", pack = \"vacuum\""), [""; 0]);
}

/// USDA and NCHFP, as carried by Georgia and Michigan: 5 % of acid; vinegars of 4 % are on sale.
#[test]
fn vinegars_are_told_by_the_weakest_on_sale() {
    for (vinegar, weak) in [
        ("malt vinegar", true),
        ("cider vinegar", true),
        ("rice vinegar", true),
        ("white vinegar", true),
        ("white wine vinegar", false),
        ("pickling vinegar", false),
        ("sherry vinegar", false),
    ] {
        let text = format!(
            "# recipe\nmakes = \"1 L pickle\"\nkind = \"pickle\"\n\
             keeps = [{{ where = \"on the shelf\", for = \"1 year\", at = \"20 °C\", pack = \"lidded\" }}]\n\
             [ingredients]\nsour = \"1 L {vinegar}\"\n# step\nadd = [\"sour\"]"
        );
        assert_eq!(applies("weak-vinegar", &text), weak, "{vinegar}");
        assert!(!applies("weak-vinegar", &text.replace("at = \"20 °C\"", "at = \"5 °C\"")), "{vinegar} in the fridge");
    }
}

/// What bleach does in so much water: too weak, too strong to leave on.
fn strength(percent: &str, amount: &str, water: &str) -> (bool, bool) {
    let made = Made::read(&format!(
        "# lesson\nsanitiser = {{ with = \"bleach\", strength = \"{percent} %\", amount = \"{amount}\", \
         water = \"{water}\", at = \"38 °C\", rinse = false }}\n# step\ndoes = \"sanitise\""
    ));
    (!made.places("bleach-weak").is_empty(), !made.places("bleach-strong").is_empty())
}

/// Household bleach, mL to the litre of water = ppm ÷ (per cent × 10), to the digits that are printed; 50 ppm by US Food
/// Code 4-501.114 (read as adopted in Louisiana, Maine and DC), 200 ppm by 40 CFR 180.940 (from memory). The last
/// column is what a US tablespoon to the US gallon gives: 1 part in 256.
#[test]
fn household_bleach_is_reckoned_as_it_is_printed() {
    let table = [
        ("3", ["1.67", "3.33", "6.67"], 117),
        ("5", ["1.00", "2.00", "4.00"], 195),
        ("5.25", ["0.95", "1.90", "3.81"], 205),
        ("6", ["0.83", "1.67", "3.33"], 234),
        ("7.5", ["0.67", "1.33", "2.67"], 293),
        ("8.25", ["0.61", "1.21", "2.42"], 322),
    ];
    for (percent, doses, spoon) in table {
        let share: f64 = percent.parse().unwrap();
        for (dose, ppm) in doses.into_iter().zip([50.0, 100.0, 200.0]) {
            assert_eq!(format!("{:.2}", ppm / (share * 10.0)), dose, "{percent} %, {ppm} ppm");
            assert_eq!(strength(percent, &format!("{dose} mL"), "1 L"), (false, false), "{percent} %, {dose} mL");
        }
        // A twentieth less or more is told apart.
        let times = |dose: &str, by: f64| format!("{:.3} mL", dose.parse::<f64>().unwrap() * by);
        assert_eq!(strength(percent, &times(doses[0], 0.95), "1 L"), (true, false), "{percent} %");
        assert_eq!(strength(percent, &times(doses[2], 1.05), "1 L"), (false, true), "{percent} %");
        assert_eq!((share * 1e4 / 256.0).round() as i64, spoon, "{percent} %");
        assert_eq!(strength(percent, "1 US tablespoon", "1 US gallon"), (false, spoon > 200), "{percent} %");
    }
}

/// US Food Code 4-501.114: 50 ppm in water of 24 °C (75 °F) at the least; 100 ppm in cooler water.
#[test]
fn weak_bleach_wants_warm_water() {
    let cold = |amount: &str, at: &str| {
        applies(
            "bleach-cold",
            &format!(
                "# lesson\nsanitiser = {{ with = \"bleach\", strength = \"5 %\", amount = \"{amount}\", water = \"1 L\", \
                 at = \"{at}\", rinse = true }}\n# step\ndoes = \"sanitise\""
            ),
        )
    };
    assert_eq!((cold("1 mL", "23 °C"), cold("1 mL", "24 °C"), cold("1 mL", "75 °F")), (true, false, false));
    assert_eq!((cold("1.98 mL", "20 °C"), cold("2 mL", "20 °C")), (true, false));
}

/// US CPSC, tap-water scalds (mirror): 60 °C in about 6 seconds, 66 °C in 2, 49 °C in 5 minutes.
#[test]
fn scalds_begin_where_the_commission_says() {
    let made = Made::read("# step\ntakes = \"5 min\"");
    let say = |id: &str| made.rules().iter().find(|rule| rule.id == id).expect("it is there").say.clone();
    assert!(say("scald").contains("60 °C (140 °F) burns deeply in about 6 seconds, at 66 °C (150 °F) in 2"));
    assert!(say("hot-hands").contains("49 °C (120 °F) skin burns in minutes"));
    let pours = |at: &str| {
        applies(
            "scald",
            &format!(
                "# recipe\nmakes = \"1 L water\"\n[ingredients]\nw = \"1 L water\"\n# step\nadd = [\"w\"]\ndoes = \"pour\"\nat = \"{at}\""
            ),
        )
    };
    assert_eq!((pours("59 °C"), pours("60 °C"), pours("140 °F"), pours("139 °F")), (false, true, true, false));
    // A range that may reach it does not rule it out.
    assert_eq!((pours("55–65 °C"), pours("at least 50 °C"), pours("at most 59 °C")), (true, true, false));
    let kneads = |at: &str| applies("hot-hands", &format!("# step\ndoes = \"knead\"\nby-hand = true\nat = \"{at}\""));
    assert_eq!((kneads("48 °C"), kneads("49 °C")), (false, true));
}

/// North Dakota State and UC extension services: 60 to 75 °F.
#[test]
fn vegetables_sour_between_sixty_and_seventy_five_fahrenheit() {
    let off = |at: &str| {
        applies(
            "ferment-warmth",
            &format!(
                "# recipe\nmakes = \"1 kg roots\"\nkind = \"ferment\"\n[ingredients]\nroots = \"1 kg carrots\"\n\
                 # step\nadd = [\"roots\"]\ndoes = \"ferment\"\nat = \"{at}\"\nfor = \"3 weeks\""
            ),
        )
    };
    assert_eq!((off("60–75 °F"), off("59–75 °F"), off("60–76 °F")), (false, true, true));
    assert_eq!((off("15.5–24 °C"), off("15–24 °C"), off("15.5–24.5 °C")), (false, true, true));
}

/// What each law says of cold and hot, and what we teach of it; read in: USDA FSIS and the Food Code as adopted in
/// Washington (US); FSA guidance and the 1995 Regulations (UK, Scotland); Victoria, North Sydney and ACT (Australia).
#[test]
fn limits_are_those_of_each_law() {
    let made = Made::read("# step\ntakes = \"5 min\"");
    let limits = &made.checked.reference.cautions.limits;
    let rows: Vec<(&str, f64, f64, f64)> =
        limits.iter().map(|one| (one.law.as_str(), one.cold, one.hot, one.minutes)).collect();
    let table = [
        ("us", 5.0, 60.0, 120.0),
        ("uk", 5.0, 63.0, 120.0),
        ("scotland", 5.0, 63.0, 120.0),
        ("eu", 5.0, 63.0, 120.0),
        ("au", 5.0, 60.0, 120.0),
        ("other", 4.4, 63.0, 120.0),
    ];
    assert_eq!(rows, table);
    for (law, words) in [
        ("us", ["4 °C (40 °F)", "74 °C (165 °F)", "to 5 °C (41 °F) within 6 hours", "32 °C (90 °F)"]),
        ("uk", ["5 °C (41 °F)", "70 °C (158 °F) for 2 minutes", "90 minutes", "2 hours"]),
        ("scotland", ["5 °C (41 °F)", "82 °C (180 °F)", "90 minutes", "2 hours"]),
        ("eu", ["5 °C (41 °F)", "70 °C (158 °F) for 2 minutes", "as quickly as possible", "2 hours"]),
        ("au", ["5 °C (41 °F)", "60 °C (140 °F)", "within 4 hours more", "4 hours and it is thrown away"]),
        ("other", ["4 °C (40 °F)", "82 °C (180 °F)", "32 °C (90 °F)", "within 4 hours in all"]),
    ] {
        let limit = limits.iter().find(|one| one.law == law).expect("it is there");
        let all = [&limit.cold_words, &limit.reheat_words, &limit.cool_words, &limit.out_words].map(String::as_str);
        words.iter().for_each(|word| assert!(all.iter().any(|text| text.contains(word)), "{law}: {word}"));
    }
}

/// Two hours between cold and hot, at the edges of each law; half a degree written in °F does not count.
#[test]
fn the_zone_of_each_law_ends_at_its_figures() {
    let stands = |law: &str, at: &str, time: &str| {
        applies(
            "too-long-warm",
            &format!(
                "# course\nfood-law = \"{law}\"\n# recipe\nmakes = \"1 L milk\"\n[ingredients]\nmilk = \"1 L whole milk\"\n\
                 # step\nadd = [\"milk\"]\nat = \"{at}\"\nfor = \"{time}\""
            ),
        )
    };
    for (law, hot, below) in [
        ("us", "60 °C", "59 °C"),
        ("us", "140 °F", "139 °F"),
        ("uk", "63 °C", "62 °C"),
        ("uk", "145 °F", "144 °F"),
        ("scotland", "63 °C", "62 °C"),
        ("eu", "63 °C", "62 °C"),
        ("au", "60 °C", "59 °C"),
        ("other", "63 °C", "62 °C"),
    ] {
        assert!(!stands(law, hot, "3 h"), "{law} at {hot}");
        assert!(stands(law, below, "3 h"), "{law} at {below}");
        assert!(!stands(law, below, "2 h"), "{law} at {below} for 2 h");
        assert!(stands(law, below, "2–3 h"), "{law} at {below} for up to 3 h");
        assert!(!stands(law, "5 °C", "3 h") && !stands(law, "at most 41 °F", "3 h"), "{law} in the fridge");
        assert!(stands(law, "6 °C", "3 h"), "{law} at 6 °C");
    }
}

#[test]
fn homes_have_the_law_of_their_country_and_scotland_is_named() {
    for (home, law, reheat) in [
        ("us", "", "74 °C (165 °F)"),
        ("uk", "", "70 °C (158 °F) for 2 minutes"),
        ("uk", "food-law = \"scotland\"", "82 °C (180 °F)"),
        ("au", "", "60 °C (140 °F)"),
        ("nz", "", "82 °C (180 °F)"),
        ("ca", "", "82 °C (180 °F)"),
    ] {
        let made = Made::read(&format!("# course\nhome = \"{home}\"\n{law}\n# step\ndoes = \"reheat\""));
        let say = made.all().into_iter().find(|one| one.id == "reheating").expect("it applies").say;
        assert!(say.contains(&format!("to {reheat}")), "{home} {law}: {say}");
    }
}

/// Pairs in the texts, to the degree: official ones are rounded.
#[test]
fn every_pair_in_the_texts_is_one_temperature() {
    let made = Made::read("# step\ntakes = \"5 min\"");
    let limits = made.checked.reference.cautions.limits.iter();
    let words =
        limits.flat_map(|one| [&one.cold_words, &one.hot_words, &one.reheat_words, &one.cool_words, &one.out_words]);
    let texts: Vec<&String> = made.rules().iter().map(|rule| &rule.say).chain(words).collect();
    let mut pairs = 0;
    for text in texts {
        for (at, _) in text.match_indices(" °C (") {
            let (before, after) = (&text[..at], &text[at + " °C (".len()..]);
            let celsius: f64 =
                before.rsplit([' ', '\u{a0}']).next().and_then(|figure| figure.parse().ok()).expect(text);
            let figures = after.split_once(" °F)").expect(text).0;
            let fahrenheit: f64 = figures.rsplit(' ').next().and_then(|figure| figure.parse().ok()).expect(text);
            if (celsius, fahrenheit) == (3.0, 5.0) {
                continue; // a difference
            }
            assert!((celsius * 1.8 + 32.0 - fahrenheit).abs() <= 1.0, "{text}");
            pairs += 1;
        }
    }
    assert!(pairs > 30, "{pairs}");
}

/// 1,000 ft: Michigan State and Utah State extension services.
#[test]
fn a_thousand_feet_are_high() {
    let high = |altitude: &str| {
        let text = format!("# course\nkitchen = {{ altitude = \"{altitude}\" }}\n# step\ndoes = \"pressure-can\"");
        applies("jar-altitude", &text)
    };
    assert_eq!((high("1000 ft"), high("1100 ft"), high("0 m")), (false, true, false));
}

/// Sources differ from 2 to 10 days for oil; the shortest that is kept is 4, from memory, and the text says so.
#[test]
fn the_shortest_advice_on_oil_is_kept_and_the_others_named() {
    let made = Made::read("# step\ntakes = \"5 min\"");
    let say = &made.rules().iter().find(|rule| rule.id == "oil-infusion-kept").expect("it is there").say;
    assert!(say.contains("within 4 days") && say.contains("from 2 to 10 days"), "{say}");
}

/// Where a source was not read, the table says so.
#[test]
fn what_is_from_memory_is_marked() {
    let made = Made::read("# step\ntakes = \"5 min\"");
    let memory: Vec<&str> =
        made.rules().iter().filter(|rule| rule.status.name() == "from memory").map(|rule| rule.id.as_str()).collect();
    assert_eq!(memory, ["raw-cheese-sold", "carried-home-warm", "bleach-strong", "bread-date"]);
}

/// A jam that stands on a shelf in sealed jars, and of which nobody states a pH: whether it stops.
fn jam_stops(pantry: &str, goes_in: &str, steps: &str) -> bool {
    applies(
        "low-acid-sealed",
        &format!(
            "{pantry}\n# recipe\nmakes = \"1.5 kg jam\"\nkind = \"jam\"\nkeeps = [{{ where = \"in a cupboard\", for = \"26 weeks\", \
             at = \"20 °C\", pack = \"sealed-jar\" }}]\n[ingredients]\n{goes_in}\n{steps}"
        ),
    )
}

/// 21 CFR 114.3 leaves jams out of acidified foods; 21 CFR 150 wants 65 % of soluble solids, and what sets at 104.4 °C
/// (220 °F) has 68 % (tables of home preserving; ICUMSA for the solids). US FDA, approximate pH of foods (from memory):
/// plums 2.8 to 4.5, raspberries 3.2 to 4.0, figs 5.0 to 6.0, melons 6.1 to 6.7, bananas 4.5 to 5.2, pumpkin 4.8 to 5.5,
/// tomatoes 4.3 to 4.9, apricots 3.3 to 4.8; peaches with white flesh lie above 4.6 (NCHFP).
#[test]
fn jam_of_sour_fruit_with_its_weight_in_sugar_needs_no_stated_ph() {
    let fine = |fruit: &str| format!("fruit = \"1 kg {fruit}\"\nsugar = \"1 kg granulated sugar\"");
    let sets = "# step\nadd = [\"fruit\", \"sugar\"]\nto = \"104 °C\"";
    for fruit in ["plums", "raspberries", "blackcurrants", "strawberries", "gooseberries", "damsons"] {
        assert!(!jam_stops("", &fine(fruit), sets), "{fruit}");
    }
    for fruit in
        ["figs", "pears", "rhubarb", "tomatoes", "green tomatoes", "peaches", "apricots", "elderberries", "carrots"]
    {
        assert!(jam_stops("", &fine(fruit), sets), "{fruit}");
    }
    for (id, tags) in
        [("melon", "\"fruit\""), ("banana", "\"fruit\""), ("pumpkin", "\"vegetable\""), ("berry of ours", "")]
    {
        let pantry = format!(
            "# pantry\n[[ingredient]]\nid = \"{id}\"\nname = \"{id}\"\nallergens = []\nallergens-us = []\nkeeping = \"cool\"\n\
             perishable = false\ntags = [{tags}]"
        );
        assert!(jam_stops(&pantry, &fine(id), sets), "{id}");
    }
    let plums = fine("plums");
    for (goes_in, steps) in [
        // too little sugar, or perhaps too little
        ("fruit = \"1 kg plums\"\nsugar = \"990 g granulated sugar\"", sets),
        ("fruit = \"1 kg plums\"\nsugar = \"900 g–1.1 kg granulated sugar\"", sets),
        ("fruit = \"at least 1 kg plums\"\nsugar = \"1 kg granulated sugar\"", sets),
        // not boiled until it sets, or nobody says so, or not by every way
        (&plums, "# step\nadd = [\"fruit\", \"sugar\"]\nto = \"103 °C\""),
        (&plums, "# step\nadd = [\"fruit\", \"sugar\"]\nto = \"at most 105 °C\""),
        (&plums, "# step\nadd = [\"fruit\", \"sugar\"]\nuntil = \"setting point\""),
        (&plums, "# step\nadd = [\"fruit\"]\nto = \"104 °C\"\n# step\nadd = [\"sugar\"]"),
        (
            &plums,
            "# step\nadd = [\"fruit\", \"sugar\"]\n# step\nway = \"thermometer\"\nto = \"104 °C\"\n# step\nway = \"plate\"",
        ),
        // something else in it
        (
            "fruit = \"1 kg plums\"\nsugar = \"1 kg granulated sugar\"\nmore = \"100 g carrots\"",
            "# step\nadd = [\"fruit\", \"sugar\", \"more\"]\nto = \"104 °C\"",
        ),
        (
            "fruit = \"1 kg plums\"\nsugar = \"1 kg granulated sugar\"\nmore = \"100 g figs\"",
            "# step\nadd = [\"fruit\", \"sugar\", \"more\"]\nto = \"104 °C\"",
        ),
        (
            "fruit = \"1 kg lemons\"\nsugar = \"1 kg granulated sugar\"\nmore = \"100 g butter\"",
            "# step\nadd = [\"fruit\", \"sugar\", \"more\"]\nto = \"104 °C\"",
        ),
    ] {
        assert!(jam_stops("", goes_in, steps), "{goes_in}\n{steps}");
    }
    // By both ways, and higher up, where it sets at 101.4 °C: 920 m, tables of home preserving (3,000 ft: 214 °F).
    let both = "# step\nadd = [\"fruit\", \"sugar\"]\n# step\nway = \"hob\"\nto = \"104 °C\"\n# step\nway = \"stove\"\nto = \"105 °C\"";
    assert!(!jam_stops("", &plums, both));
    let high = "# course\n[kitchen]\naltitude = \"920 m\"";
    let lower = "# step\nadd = [\"fruit\", \"sugar\"]\nto = \"101 °C\"";
    assert!(!jam_stops(high, &plums, lower) && jam_stops("", &plums, lower));
}
