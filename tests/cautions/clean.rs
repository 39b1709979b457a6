//! What is cleaned with.

use crate::case::{Case, PPM};

pub const CASES: &[Case] = &[
    Case::new(
        "bleach-and-acid",
        "lesson",
        r#"
# lesson
sanitiser = { with = "bleach", strength = "5 %", amount = "2 mL", water = "1 L", rinse = true }
# recipe
makes = "100 mL juice"
[ingredients]
juice = "100 mL lemon juice"
# step
does = "sanitise"
# step
add  = ["juice"]"#,
        ("\"sanitise\"", "[\"sanitise\", \"clear-away\"]"),
    ),
    Case::new(
        "bleach-then-acid",
        "lesson",
        r#"
# lesson
sanitiser = { with = "bleach", strength = "5 %", amount = "2 mL", water = "1 L", rinse = true }
# recipe
makes = "100 mL juice"
[ingredients]
juice = "100 mL lemon juice"
# step
does = ["sanitise", "clear-away"]
# step
add  = ["juice"]"#,
        ("lemon juice", "water"),
    ),
    Case::new(
        "bleach",
        "lesson",
        r#"
# lesson
sanitiser = { with = "bleach", strength = "5 %", amount = "2 mL", water = "1 L", rinse = true }
# step
does = "sanitise""#,
        ("bleach", "other"),
    ),
    // 40 CFR 180.940, from memory: 200 ppm.
    Case::new(
        "bleach-strong",
        "lesson",
        r#"
# lesson
sanitiser = { with = "bleach", strength = "5 %", amount = "4.1 mL", water = "1 L", rinse = false }
# step
does = "sanitise""#,
        ("4.1 mL", "4 mL"),
    )
    .left_out(&[
        (", amount = \"4 mL\"", "", PPM),
        (
            "\"4 mL\", water = \"1 L\", rinse = false",
            "\"5 mL\", water = \"1 L\"",
            "whether the sanitiser is rinsed off (`rinse`)",
        ),
    ]),
    // US Food Code 4-501.114: 50 ppm.
    Case::new(
        "bleach-weak",
        "lesson",
        r#"
# lesson
sanitiser = { with = "bleach", strength = "5 %", amount = "0.9 mL", water = "1 L", at = "38 °C", rinse = true }
# step
does = "sanitise""#,
        ("0.9 mL", "1 mL"),
    )
    .left_out(&[(", strength = \"5 %\"", "", PPM)]),
    Case::new(
        "bleach-cold",
        "lesson",
        r#"
# lesson
sanitiser = { with = "bleach", strength = "5 %", amount = "1 mL", water = "1 L", at = "23 °C", rinse = true }
# step
does = "sanitise""#,
        ("23 °C", "24 °C"),
    )
    .left_out(&[(", at = \"24 °C\"", "", "how warm the sanitiser is (`at`)")]),
    Case::new(
        "sanitising",
        "s0",
        r#"
# step
does = "sanitise""#,
        ("sanitise", "drain"),
    ),
    Case::new(
        "alcohol-and-flame",
        "lesson",
        r#"
# lesson
sanitiser = { with = "alcohol" }
# step
to = "60 °C""#,
        ("60 °C", "59 °C"),
    ),
];
