//! Jars, brine, oil and what keeps by acid, salt or sugar.

use crate::case::{COLD, Case, PACK};

pub const CASES: &[Case] = &[
    // 21 CFR 114.3: pH 4.6.
    Case::new(
        "low-acid-sealed",
        "keeps 1",
        r#"
# recipe
makes = "1 kg sauce"
kind  = "sauce"
keeps = [{ where = "on the shelf", for = "1 year", at = "20 °C", pack = "sealed-jar", ph = "4.7", aw = "0.86" }]
[ingredients]
roots = "1 kg carrots"
# step
add = ["roots"]"#,
        ("4.7", "4.6"),
    )
    .left_out(&[
        (", ph = \"4.6\"", "", "how acid it is (`ph`)"),
        ("ph = \"4.6\", aw = \"0.86\"", "ph = \"5\"", "how dry it is (`aw`)"),
        (", pack = \"sealed-jar\", ph = \"4.6\"", "", PACK),
        (", at = \"20 °C\", pack = \"sealed-jar\", ph = \"4.6\"", ", pack = \"sealed-jar\", ph = \"5\"", COLD),
    ]),
    // UK FSA, vacuum-packed chilled food: 10 days; pH 5 and aw 0.97 from memory.
    Case::new(
        "sealed-chilled-long",
        "keeps 1",
        r#"
# recipe
makes = "1 kg roots"
kind  = "other"
keeps = [{ where = "in the fridge", for = "11 days", at = "4 °C", pack = "vacuum", ph = "5.1", aw = "0.98" }]
[ingredients]
roots = "1 kg carrots"
# step
add = ["roots"]"#,
        ("11 days", "10 days"),
    )
    .left_out(&[
        (
            "10 days\", at = \"4 °C\", pack = \"vacuum\", ph = \"5.1\"",
            "11 days\", at = \"4 °C\", pack = \"vacuum\"",
            "how acid it is (`ph`)",
        ),
        ("10 days\", at = \"4 °C\", pack = \"vacuum\"", "11 days\", at = \"4 °C\"", PACK),
    ]),
    Case::new(
        "jar-boiled-briefly",
        "s0",
        r#"
# step
does = "boil-jars"
for  = "9 min""#,
        ("9 min", "10 min"),
    )
    .left_out(&[("for  = \"10 min\"", "", "how long it takes")]),
    // 1,000 ft: Michigan State and Utah State extension services.
    Case::new(
        "jar-altitude",
        "s0",
        r#"
# course
kitchen = { altitude = "306 m" }
# step
does = "boil-jars"
for  = "10 min""#,
        ("306 m", "305 m"),
    )
    .left_out(&[("kitchen = { altitude = \"305 m\" }", "", "how high above the sea it is")]),
    Case::new(
        "jar-time",
        "s0",
        r#"
# step
does = "boil-jars"
for  = "10 min""#,
        ("boil-jars", "scald"),
    ),
    Case::new(
        "pressure-canning",
        "s0",
        r#"
# step
does = "pressure-can"
for  = "75 min""#,
        ("pressure-can", "boil-jars"),
    ),
    Case::new(
        "jar-other",
        "s0",
        r#"
# step
does = "seal-otherwise""#,
        ("seal-otherwise", "boil-jars"),
    ),
    // USDA and NCHFP, as carried by Georgia and Michigan: 5 %.
    Case::new(
        "weak-vinegar",
        "vinegar",
        r#"
# pantry
[[ingredient]]
id = "house vinegar"
name = "house vinegar"
allergens = []
allergens-us = []
keeping = "dry"
perishable = false
acid = "4.9 %"
tags = ["acid", "vinegar"]
# recipe
makes = "1 L pickle"
kind  = "pickle"
keeps = [{ where = "on the shelf", for = "1 year", at = "20 °C", pack = "lidded" }]
[ingredients]
vinegar = "1 L house vinegar"
# step
add = ["vinegar"]"#,
        ("4.9 %", "5 %"),
    )
    .left_out(&[
        ("acid = \"5 %\"", "", "how much acid is in it (`acid` in the pantry)"),
        ("acid = \"5 %\"", "acid = \"at most 5 %\"", "how much acid is in it (`acid` in the pantry)"),
    ]),
    Case::new(
        "tested-proportion",
        "lesson",
        r#"
# recipe
makes  = "2 kg pickle"
kind   = "pickle"
keeps  = [{ where = "on the shelf", for = "1 year", at = "20 °C", pack = "lidded" }]
tested = { amounts = { vinegar = "500 mL", roots = "1 kg" }, by = "the county kitchen" }
[ingredients]
vinegar = "1 L pickling vinegar"
roots   = "2.1 kg carrots"
# step
add = ["vinegar", "roots"]"#,
        ("2.1 kg", "2 kg"),
    )
    .left_out(&[(
        "tested = { amounts = { vinegar = \"500 mL\", roots = \"1 kg\" }, by = \"the county kitchen\" }",
        "",
        "which tested recipe its proportions follow (`tested`)",
    )]),
    Case::new(
        "too-little-salt",
        "salt",
        r#"
# recipe
makes = "1 kg roots"
kind  = "ferment"
[ingredients]
roots = "1 kg carrots"
salt  = { amount = "20 g fine salt", share = "2 % of roots", never-below = "2.1 %" }
# step
add = ["roots", "salt"]"#,
        ("2.1 %", "2 %"),
    )
    .left_out(&[(
        ", never-below = \"2 %\"",
        "",
        "the least share of salt that was tested (`share` and `never-below`)",
    )]),
    Case::new(
        "unsalted-ferment",
        "lesson",
        r#"
# recipe
makes = "1 kg roots"
kind  = "ferment"
[ingredients]
roots = "1 kg carrots"
more  = "20 g water"
# step
add = ["roots", "more"]"#,
        ("water", "fine salt"),
    ),
    // North Dakota State and UC extension services: 60 to 75 °F, 15.5 to 24 °C.
    Case::new(
        "ferment-warmth",
        "s0",
        r#"
# recipe
makes = "1 kg roots"
kind  = "ferment"
[ingredients]
roots = "1 kg carrots"
# step
add  = ["roots"]
does = "ferment"
at   = "20–24.5 °C""#,
        ("20–24.5 °C", "15.5–24 °C"),
    )
    .left_out(&[("at   = \"15.5–24 °C\"", "", "how warm it ferments (`at`)")]),
    Case::new(
        "ferment-gas",
        "s0",
        r#"
# recipe
makes = "1 kg roots"
[ingredients]
roots = "1 kg carrots"
[equipment]
jar = "clip-top jar"
# step
add  = ["roots"]
in   = "jar"
does = "ferment""#,
        ("clip-top jar", "crock"),
    ),
    // From memory, the shortest of the advice: 4 days.
    Case::new(
        "oil-infusion-kept",
        "keeps 1",
        r#"
# recipe
makes = "1 L oil"
keeps = [{ where = "in a small bottle", for = "5 days", at = "5 °C", pack = "lidded" }]
[ingredients]
oil   = "1 L olive oil"
clove = "20 g garlic"
# step
add  = ["oil", "clove"]
does = "oil-infuse""#,
        ("5 days", "4 days"),
    )
    .left_out(&[(", at = \"5 °C\"", "", COLD)]),
    Case::new(
        "oil-infusion",
        "s0",
        r#"
# step
does = "oil-infuse""#,
        ("oil-infuse", "pour"),
    ),
    Case::new(
        "borderline-fruit",
        "fruit",
        r#"
# recipe
makes = "1 kg sauce"
keeps = [{ where = "on the shelf", for = "1 year", at = "20 °C", pack = "sealed-jar", ph = "4.5" }]
[ingredients]
fruit = "1 kg tomatoes"
sour  = "30 mL water"
# step
add = ["fruit", "sour"]"#,
        ("pack = \"sealed-jar\"", "pack = \"open\""),
    )
    .left_out(&[(", pack = \"open\"", "", PACK)]),
    // Common practice: the weight of the fruit in sugar. The setting point is 104.4 °C (220 °F) by the sea: tables of home
    // preserving.
    Case::new(
        "full-jam",
        "lesson",
        r#"
# recipe
makes = "1.5 kg jam"
kind  = "jam"
keeps = [{ where = "in a cupboard", for = "26 weeks", at = "20 °C", pack = "sealed-jar" }]
[ingredients]
fruit = "1 kg plums"
lemon = "30 mL lemon juice"
sugar = "1 kg caster sugar"
# step
add = ["fruit", "lemon", "sugar"]
to  = "104 °C""#,
        ("to  = \"104 °C\"", "to  = \"103 °C\""),
    ),
    // Common practice: half sugar.
    Case::new(
        "less-sugar",
        "lesson",
        r#"
# recipe
makes = "1.5 kg jam"
kind  = "jam"
keeps = [{ where = "on the shelf", for = "1 year", at = "20 °C", pack = "lidded" }]
[ingredients]
fruit = "1 kg plums"
sugar = "990 g caster sugar"
# step
add = ["fruit", "sugar"]"#,
        ("at = \"20 °C\"", "at = \"5 °C\""),
    )
    .left_out(&[(", at = \"5 °C\"", "", COLD)]),
    Case::new(
        "spoilt",
        "keeps 1",
        r#"
# recipe
makes = "1 kg roots"
kind  = "other"
keeps = [{ where = "in the fridge", for = "3 days", at = "4 °C", pack = "vacuum" }]
[ingredients]
roots = "1 kg carrots"
# step
add = ["roots"]"#,
        ("vacuum", "lidded"),
    )
    .left_out(&[(", pack = \"lidded\"", "", PACK)]),
    Case::new(
        "bread-date",
        "lesson",
        r#"
# recipe
makes = "1 kg loaf"
kind  = "bread"
[ingredients]
flour = "1 kg plain flour"
# step
add = ["flour"]"#,
        ("\"bread\"", "\"other\""),
    ),
];
