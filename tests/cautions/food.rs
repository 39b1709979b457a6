//! What goes in, who eats it, and how long it stands warm.

use crate::case::{COLD, Case, EATEN, HEAT, KIND};

pub const CASES: &[Case] = &[
    Case::new(
        "untreated-milk",
        "milk",
        r#"
# recipe
makes = "1 L milk"
[ingredients]
milk = "1 L raw milk"
# step
add = ["milk"]"#,
        ("raw milk", "whole milk"),
    )
    .left_out(&[("whole milk", "goat milk", HEAT)]),
    // 21 CFR 1240.61(b): 63 °C for 30 minutes.
    Case::new(
        "milk-without-hold",
        "milk",
        r#"
# recipe
makes = "1 L milk"
[ingredients]
milk = "1 L raw milk"
# step
add = ["milk"]
at  = "63 °C"
for = "29 min"
pasteurises = "milk""#,
        ("29 min", "30 min"),
    ),
    // The same, note 1: 3 °C (5 °F) more from 10 % of fat on.
    Case::new(
        "rich-milk-without-hold",
        "cream",
        r#"
# course
food-law = "us"
# pantry
[[ingredient]]
id = "farm cream"
name = "farm cream"
allergens = ["milk"]
allergens-us = ["milk"]
keeping = "chilled"
perishable = true
raw = "raw"
fat = "10 %"
tags = ["cream"]
# recipe
makes = "1 L cream"
[ingredients]
cream = "1 L farm cream"
# step
add = ["cream"]
at  = "65 °C"
for = "30 min"
pasteurises = "cream""#,
        ("fat = \"10 %\"", "fat = \"9.9 %\""),
    )
    .left_out(&[("fat = \"9.9 %\"", "", "how much fat is in it (`fat` in the pantry)")]),
    Case::new(
        "raw-cheese-sold",
        "milk",
        r#"
# course
food-law = "us"
eaten = ["sold"]
# recipe
makes = "100 g cheese"
kind  = "ripened-cheese"
[ingredients]
milk = "1 L raw milk"
# step
add = ["milk"]"#,
        ("\"sold\"", "\"at-class\""),
    )
    .left_out(&[("eaten = [\"at-class\"]", "eaten = unsaid", EATEN)]),
    Case::new(
        "raw-drink-scotland",
        "milk",
        r#"
# course
food-law = "scotland"
# recipe
makes = "1 L milk"
kind  = "drink"
[ingredients]
milk = "1 L raw milk"
# step
add = ["milk"]"#,
        ("\"drink\"", "\"ripened-cheese\""),
    )
    .left_out(&[("kind  = \"ripened-cheese\"", "", KIND)]),
    Case::new(
        "raw-drink",
        "milk",
        r#"
# recipe
makes = "1 L milk"
kind  = "drink"
[ingredients]
milk = "1 L raw milk"
# step
add = ["milk"]"#,
        ("\"drink\"", "\"ripened-cheese\""),
    )
    .left_out(&[("kind  = \"ripened-cheese\"", "", KIND)]),
    // Common practice: 160 °F, 71 °C.
    Case::new(
        "raw-egg",
        "eggs",
        r#"
# recipe
makes = "100 g custard"
[ingredients]
eggs = "2 eggs"
# step
add = ["eggs"]
to  = "70 °C""#,
        ("70 °C", "71 °C"),
    ),
    Case::new(
        "raw-flour",
        "flour",
        r#"
# recipe
makes = "100 g dough"
[ingredients]
flour = "100 g plain flour"
# step
add  = ["flour"]
does = "knead""#,
        ("knead", "bake"),
    ),
    Case::new(
        "raw-flour-note",
        "flour",
        r#"
# recipe
makes = "100 g biscuits"
[ingredients]
flour = "100 g plain flour"
# step
add  = ["flour"]
does = "bake""#,
        ("does = \"bake\"", "does = [\"taste\"]"),
    ),
    Case::new(
        "honey",
        "sweet",
        r#"
# recipe
makes = "100 g syrup"
[ingredients]
sweet = "100 g honey"
# step
add = ["sweet"]"#,
        ("honey", "golden syrup"),
    ),
    Case::new(
        "alcohol",
        "juice",
        r#"
# recipe
makes = "100 mL juice"
[ingredients]
juice = "100 mL red wine"
# step
add = ["juice"]"#,
        ("red wine", "grape juice"),
    ),
    Case::new(
        "sulphites",
        "fruit",
        r#"
# recipe
makes = "100 g fruit"
[ingredients]
fruit = "100 g sultanas"
# step
add = ["fruit"]"#,
        ("sultanas", "raisins"),
    ),
    Case::new(
        "kitchen-chemicals",
        "sour",
        r#"
# recipe
makes = "5 g powder"
[ingredients]
sour = "5 g citric acid"
# step
add = ["sour"]"#,
        ("citric acid", "caster sugar"),
    ),
    Case::new(
        "lye",
        "dip",
        r#"
# pantry
[[ingredient]]
id = "dipping salt"
name = "dipping salt"
allergens = []
allergens-us = []
keeping = "dry"
perishable = false
tags = ["lye"]
# recipe
makes = "40 g dip"
[ingredients]
dip = "40 g dipping salt"
# step
add = ["dip"]"#,
        ("\"lye\"", "\"leavening\""),
    ),
    Case::new(
        "fresh-cheese-listeria",
        "lesson",
        r#"
# recipe
makes = "100 g curd"
kind  = "fresh-cheese"
[ingredients]
milk = "1 L whole milk"
sour = "30 mL lemon juice"
# step
add = ["milk", "sour"]"#,
        ("fresh-cheese", "yoghurt"),
    )
    .left_out(&[("kind  = \"yoghurt\"", "", KIND)]),
    Case::new(
        "mould-ripened",
        "lesson",
        r#"
# recipe
makes = "100 g cheese"
kind  = "ripened-cheese"
[ingredients]
milk = "1 L whole milk"
set  = "1 mL liquid rennet"
# step
add = ["milk", "set"]"#,
        ("ripened-cheese", "fresh-cheese"),
    )
    .left_out(&[("kind  = \"fresh-cheese\"", "", KIND)]),
    Case::new(
        "illness",
        "lesson",
        r#"
# course
eaten = ["at-class"]
# recipe
makes = "1 L water"
[ingredients]
water = "1 L water"
# step
add = ["water"]"#,
        ("[\"at-class\"]", "[]"),
    )
    .left_out(&[("eaten = []", "eaten = unsaid", EATEN)]),
    Case::new("hands", "lesson", "# step\ntakes = \"5 min\"", ("# step\ntakes = \"5 min\"", "# lesson")),
    Case::new(
        "allergies",
        "lesson",
        r#"
# recipe
makes = "100 g nuts"
[ingredients]
nuts = "100 g walnuts"
# step
add = ["nuts"]"#,
        ("walnuts", "pumpkin seeds"),
    ),
    Case::new(
        "children",
        "lesson",
        r#"
# course
children = true
# step
does = "cut""#,
        ("true", "false"),
    )
    .left_out(&[(
        "children = false",
        "children = unsaid",
        "whether children take part (`children` in course.toml)",
    )]),
    Case::new(
        "selling",
        "lesson",
        r#"
# course
eaten = ["at-class", "sold"]
# step
takes = "5 min""#,
        (", \"sold\"", ", \"at-home\""),
    ),
    // Two hours: US, UK and Australian advice (note 1.2 of the project's sources).
    Case::new(
        "too-long-warm",
        "s0",
        r#"
# recipe
makes = "1 L milk"
[ingredients]
milk = "1 L whole milk"
# step
add = ["milk"]
at  = "20 °C"
for = "121 min""#,
        ("121 min", "120 min"),
    )
    .left_out(&[
        (
            "at  = \"20 °C\"\nfor = \"120 min\"",
            "for = \"121 min\"",
            "how warm it stands (`at`) and for how long (`for`)",
        ),
        ("120 min", "2–3 h", "how warm it stands (`at`) and for how long (`for`)"),
    ]),
    Case::new(
        "culturing",
        "s0",
        r#"
# recipe
makes = "1 L yoghurt"
kind  = "yoghurt"
[ingredients]
milk    = "1 L whole milk"
starter = "50 g live yoghurt"
# step
add   = ["milk", "starter"]
does  = "culture"
at    = "43 °C"
for   = "8 h"
until = "it has set""#,
        ("until = \"it has set\"", ""),
    ),
    Case::new(
        "culturing-unsaid",
        "s0",
        r#"
# recipe
makes = "1 L yoghurt"
kind  = "yoghurt"
[ingredients]
milk    = "1 L whole milk"
starter = "50 g live yoghurt"
# step
add   = ["milk", "starter"]
does  = "culture"
at    = "43 °C"
for   = "at least 8 h"
until = "it has set""#,
        ("at least 8 h", "8 h"),
    ),
    // From 57 °C (135 °F): US Food Code 3-501.14.
    Case::new(
        "cooling",
        "s1",
        r#"
# recipe
makes = "1 L milk"
[ingredients]
milk = "1 L whole milk"
# step
add = ["milk"]
to  = "57 °C"
# step
does = "cool"
to   = "20 °C""#,
        ("57 °C", "56 °C"),
    ),
    Case::new(
        "cooling-from-room",
        "s1",
        r#"
# course
food-law = "us"
# recipe
makes = "1 L milk"
[ingredients]
milk = "1 L whole milk"
# step
add = ["milk"]
to  = "56 °C"
# step
does = "cool"
to   = "5 °C""#,
        ("56 °C", "57 °C"),
    ),
    Case::new(
        "reheating",
        "s0",
        r#"
# step
does = "reheat""#,
        ("reheat", "heat"),
    ),
    Case::new(
        "kept-cold",
        "keeps 1",
        r#"
# recipe
makes = "1 L milk"
keeps = [{ where = "on the shelf", for = "1 day", at = "at most 6 °C", pack = "lidded" }]
[ingredients]
milk = "1 L whole milk"
# step
add = ["milk"]"#,
        ("at most 6 °C", "5 °C"),
    )
    .open()
    .left_out(&[(", at = \"5 °C\"", "", COLD)]),
    Case::new(
        "carried-home",
        "lesson",
        r#"
# course
eaten = ["at-home"]
# recipe
makes = "1 L drink"
keeps = [{ where = "in the fridge", for = "1 day", at = "at most 5 °C", pack = "lidded" }]
[ingredients]
drink = "1 L whole milk"
# step
add = ["drink"]"#,
        ("whole milk", "grape juice"),
    ),
    // USDA FSIS, leftovers, from memory: what comes hot from the stove is cooled, and cold within 2 hours of it.
    Case::new(
        "carried-home-warm",
        "lesson",
        r#"
# course
eaten = ["at-home"]
# recipe
makes = "1 L drink"
keeps = [{ where = "in the fridge", for = "1 day", at = "at most 5 °C", pack = "lidded" }]
[ingredients]
drink = "1 L whole milk, pasteurised"
# step
add = ["drink"]
to  = "72 °C""#,
        ("72 °C", "20 °C"),
    ),
    Case::new(
        "thermometer",
        "lesson",
        r#"
# step
to = "40 °C""#,
        ("to = \"40 °C\"", "takes = \"5 min\""),
    ),
];
