//! Heat, steam and blades.

use crate::case::{Case, HOT};

pub const CASES: &[Case] = &[
    // US CPSC, scald figures: 60 °C.
    Case::new(
        "scald",
        "s0",
        r#"
# recipe
makes = "1 L water"
[ingredients]
water = "1 L water"
# step
add  = ["water"]
does = "pour"
at   = "60 °C""#,
        ("does = \"pour\"", "does = []"),
    )
    .left_out(&[("does = []", "", "what is done at the step (`does`)")]),
    // US CPSC: 49 °C burns in minutes.
    Case::new(
        "hot-hands",
        "s0",
        r#"
# recipe
makes = "100 g curd"
[ingredients]
curd = "100 g fresh curd"
# step
add     = ["curd"]
does    = "stretch"
at      = "49 °C"
by-hand = true"#,
        ("by-hand = true", "by-hand = false"),
    )
    .left_out(&[("by-hand = false", "", "whether hands touch it (`by-hand`)")]),
    Case::new(
        "hot-sugar",
        "s0",
        r#"
# recipe
makes = "100 g syrup"
[ingredients]
sugar = "100 g caster sugar"
# step
add = ["sugar"]
to  = "104 °C""#,
        ("104 °C", "103 °C"),
    ),
    Case::new(
        "microwave",
        "s0",
        r#"
# recipe
makes = "1 L water"
[ingredients]
water = "1 L water"
[equipment]
oven = "microwave oven"
# step
add = ["water"]
in  = "oven""#,
        ("microwave oven", "oven"),
    ),
    Case::new(
        "hot-oven",
        "s0",
        r#"
# step
does = "bake"
at   = "200 °C""#,
        ("200 °C", "199 °C"),
    )
    .left_out(&[("at   = \"199 °C\"", "", HOT)]),
    Case::new(
        "hot-fat",
        "s0",
        r#"
# recipe
makes = "100 g crisps"
[ingredients]
roots = "100 g potatoes"
[equipment]
pan = "deep fryer"
# step
add = ["roots"]
in  = "pan""#,
        ("deep fryer", "air fryer"),
    ),
    Case::new(
        "blades",
        "s0",
        r#"
# step
does = "cut""#,
        ("cut", "knead"),
    ),
    Case::new(
        "hot-blend",
        "s0",
        r#"
# step
does = "blend"
at   = "60 °C""#,
        ("60 °C", "59 °C"),
    ),
    Case::new(
        "hot-glass",
        "s0",
        r#"
# recipe
makes = "1 L water"
[ingredients]
water = "1 L water"
[equipment]
jars = "glass jars"
# step
add  = ["water"]
in   = "jars"
does = "fill"
at   = "60 °C""#,
        ("60 °C", "59 °C"),
    ),
    Case::new(
        "soft-metal",
        "s0",
        r#"
# recipe
makes = "1 L juice"
[ingredients]
juice = "1 L lemon juice"
[equipment]
pan = "copper pan"
# step
add  = ["juice"]
in   = "pan"
does = "heat""#,
        ("copper pan", "steel pan"),
    ),
];
