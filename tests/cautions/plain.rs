//! Plain lessons: what is said of them, all of it, so that nothing silly creeps in; and dangers that hide in plain words.

use crate::case::Made;

/// All that is said of a lesson, without what is said of every one.
fn said(text: &str) -> Vec<String> {
    let made = Made::read(text);
    let all = ["hands", "illness", "thermometer", "allergies"];
    let seen = made.all().into_iter().filter(|one| !all.contains(&one.id.as_str()));
    seen.map(|one| format!("{} {}", one.id, one.at)).collect()
}

#[test]
fn a_lesson_without_a_recipe_speaks_of_hands() {
    let made = Made::read("# step\ntakes = \"5 min\"");
    assert_eq!(made.ids(), ["hands"]);
}

#[test]
fn a_lesson_of_words_alone_speaks_of_nothing() {
    assert_eq!(Made::read("# lesson\nsummary = \"How this course works.\"").ids(), [""; 0]);
}

#[test]
fn tea_is_hot_and_nothing_else() {
    let tea = "
# recipe
makes = \"500 mL tea\"
[ingredients]
water = \"500 mL water\"
leaf  = \"5 g tea leaves\"
milk  = \"50 mL semi-skimmed milk\"
sugar = \"5 g caster sugar\"
lemon = \"1 lemon\"
# step
add  = [\"water\"]
does = \"heat\"
to   = \"100 °C\"
# step
add  = [\"leaf\"]
does = \"pour\"
for  = \"4 min\"
# step
add  = [\"milk\", \"sugar\"]
does = []
# step
add  = [\"lemon\"]
does = []";
    let without = tea.replace("lemon = \"1 lemon\"\n", "").replace("# step\nadd  = [\"lemon\"]\ndoes = []", "");
    assert_eq!(said(&without), ["scald s1"]);
    // With lemon in it the milk curdles, and nobody says that no cheese is meant.
    let kind = tea.replace("makes", "kind = \"drink\"\nmakes");
    assert_eq!(said(&kind), ["scald s1"]);
}

#[test]
fn boiled_eggs_are_cooked() {
    let eggs = "
# recipe
makes = \"4 boiled eggs\"
kind  = \"other\"
[ingredients]
eggs  = \"4 eggs\"
water = \"1 L water\"
# step
add  = [\"eggs\", \"water\"]
does = \"heat\"
at   = \"100 °C\"
for  = \"8 min\"
# step
does = \"drain\"";
    assert_eq!(said(eggs), ["scald s1"]);
    assert_eq!(said(&eggs.replace("4 eggs\"\nwater", "200 g pasteurised egg\"\nwater")), ["scald s1"]);
}

#[test]
fn pasteurised_egg_may_stay_raw() {
    let egg = |what: &str| {
        format!(
            "# recipe\nmakes = \"100 g sauce\"\nkind = \"sauce\"\n[ingredients]\negg = \"{what}\"\n# step\nadd = [\"egg\"]\ndoes = []"
        )
    };
    assert_eq!(said(&egg("100 g pasteurised egg")), [""; 0]);
    assert_eq!(said(&egg("2 egg yolks")), ["raw-egg egg"]);
}

#[test]
fn dry_spices_keep_in_any_jar() {
    let mix = "
# recipe
makes = \"20 g spice mix\"
keeps = [{ where = \"in a cupboard\", for = \"1 year\", at = \"20 °C\", pack = \"sealed-jar\" }]
[ingredients]
cumin  = \"10 g cumin seed\"
pepper = \"10 g black peppercorns\"
# step
add  = [\"cumin\", \"pepper\"]
does = []";
    assert_eq!(said(mix), ["spoilt keeps 1"]);
    // A fresh root in the jar is another matter.
    assert!(
        said(&mix.replace("10 g black peppercorns", "10 g fresh ginger"))
            .contains(&"low-acid-sealed keeps 1".to_owned())
    );
    // So are spices under oil.
    let oil = mix.replace("10 g black peppercorns", "10 mL olive oil").replace("sealed-jar", "under-oil");
    assert!(said(&oil).contains(&"low-acid-sealed keeps 1".to_owned()));
}

const DOUGH: &str = "
# recipe
makes = \"800 g bread\"
kind  = \"bread\"
keeps = [{ where = \"in a cloth\", for = \"2 days\", pack = \"open\" }]
[ingredients]
flour = \"500 g strong white flour\"
water = \"325 mL water\"
yeast = \"5 g instant yeast\"
# step
add  = [\"flour\", \"water\", \"yeast\"]
does = \"knead\"
by-hand = true
# step
does  = \"prove\"
at    = \"24 °C\"
for   = \"3 h\"
until = \"it has doubled\"
# step
does = \"bake\"
at   = \"220 °C\"
for  = \"35 min\"
# step
for  = \"3 h\"
does = []";

#[test]
fn bread_rises_for_as_long_as_it_needs() {
    assert_eq!(said(DOUGH), ["raw-flour-note flour", "culturing s1", "hot-oven s2", "bread-date lesson"]);
    // Sourdough is a live starter too.
    let sour = DOUGH.replace("5 g instant yeast", "100 g sourdough starter");
    assert_eq!(
        said(&sour),
        ["raw-flour-note flour", "raw-flour-note yeast", "culturing s1", "hot-oven s2", "bread-date lesson"]
    );
    // Milk in the dough is guarded by the yeast, once it has an end and a longest time.
    let milk = DOUGH.replace("325 mL water", "325 mL whole milk");
    assert!(!said(&milk).iter().any(|one| one.starts_with("too-long-warm")), "{:?}", said(&milk));
    let endless = milk.replace("until = \"it has doubled\"\n", "");
    assert!(said(&endless).contains(&"too-long-warm s1".to_owned()));
    // `ferment` for a dough is no crock of cabbage.
    let ferment = DOUGH.replace("\"prove\"", "\"ferment\"");
    assert_eq!(said(&ferment), said(DOUGH));
}

#[test]
fn dough_that_is_tasted_raw_is_raw_flour() {
    let tasted = DOUGH.replace("does = \"knead\"", "does = [\"knead\", \"taste\"]");
    assert!(said(&tasted).contains(&"raw-flour flour".to_owned()), "{:?}", said(&tasted));
    let after = DOUGH.replace("does = []", "does = \"taste\"");
    assert!(!said(&after).contains(&"raw-flour flour".to_owned()));
}

const SOUP: &str = "
# recipe
makes = \"1 kg soup\"
kind  = \"other\"
keeps = [{ where = \"in the fridge\", for = \"2 days\", at = \"at most 5 °C\", pack = \"lidded\" }]
[ingredients]
leek  = \"500 g leeks\"
water = \"500 mL water\"
# step
add  = [\"leek\", \"water\"]
does = \"heat\"
to   = \"95 °C\"
for  = \"30 min\"
# step
does = \"cool\"
to   = \"20 °C\"
for  = \"90 min\"
# step
does = \"store\"
at   = \"at most 5 °C\"
for  = \"4 h\"";

#[test]
fn chilled_soup_stands_cold() {
    assert_eq!(said(SOUP), ["cooling s1"]);
    // Cooked vegetables spoil in the warm as milk does; raw ones do not.
    let warm = SOUP.replace("at   = \"at most 5 °C\"", "at   = \"20 °C\"");
    assert_eq!(said(&warm), ["too-long-warm s2", "cooling s1"]);
    let salad = warm.replace("does = \"heat\"\nto   = \"95 °C\"", "does = \"cut\"");
    assert!(!said(&salad).iter().any(|one| one.starts_with("too-long-warm")), "{:?}", said(&salad));
}

/// What was hot and stands without a reading cools through the warmth in which things grow.
#[test]
fn what_stands_without_a_reading_does_not_stay_as_hot_as_it_was() {
    let stands = |before: &str, time: &str| {
        let text = format!(
            "# recipe\nmakes = \"1 L milk\"\nkind = \"other\"\n[ingredients]\nmilk = \"1 L whole milk\"\n\
             # step\nadd = [\"milk\"]\nto = \"{before}\"\ndoes = []\n# step\nfor = \"{time}\"\ndoes = []"
        );
        let made = Made::read(&text);
        made.all().into_iter().find(|one| one.id == "too-long-warm").map(|one| (one.at, one.unsaid.len()))
    };
    // From 30 °C it goes nowhere but into the warmth of a room.
    for (before, unsaid) in [("85 °C", 1), ("5 °C", 1), ("30 °C", 0)] {
        assert_eq!(stands(before, "3 h"), Some(("s1".to_owned(), unsaid)), "{before}");
        assert_eq!(stands(before, "2 h"), None, "{before}");
    }
}

/// Cooling is told by its readings where its author does not say so.
#[test]
fn what_was_hot_and_reads_cooler_is_cooled() {
    let cools = |step: &str| {
        let text = format!(
            "# recipe\nmakes = \"1 L milk\"\nkind = \"other\"\n[ingredients]\nmilk = \"1 L whole milk\"\n\
             # step\nadd = [\"milk\"]\nto = \"85 °C\"\ndoes = []\n# step\n{step}"
        );
        Made::read(&text).places("cooling")
    };
    assert_eq!(cools("to = \"5 °C\""), ["s1"]);
    assert_eq!(cools("to = \"5 °C\"\ndoes = []"), [""; 0]);
    assert_eq!(cools("to = \"90 °C\""), [""; 0]);
}

#[test]
fn frozen_food_is_not_told_to_go_into_the_fridge() {
    for at in ["-18 °C", "at most −18 °C", "0 °F"] {
        let text = SOUP.replacen("at most 5 °C", at, 1).replace("2 days", "12 weeks");
        assert_eq!(said(&text), ["cooling s1"], "{at}");
    }
}

#[test]
fn whey_that_is_left_spoils_and_pickling_vinegar_does_not() {
    let left = |what: &str, at: &str| {
        format!(
            "# recipe\nmakes = \"100 g curd\"\nkind = \"yoghurt\"\nleaves = {{ {what} = \"800 mL {what}\" }}\n\
             keeps = [{{ what = \"{what}\", where = \"in a jar\", for = \"3 days\", at = \"{at}\", pack = \"lidded\" }}]\n\
             [ingredients]\nmilk = \"1 L whole milk\"\n# step\nadd = [\"milk\"]\ndoes = []"
        )
    };
    assert_eq!(said(&left("whey", "20 °C")), ["kept-cold keeps 1"]);
    assert_eq!(said(&left("whey", "at most 5 °C")), [""; 0]);
    assert_eq!(said(&left("brine", "20 °C")), [""; 0]);
}

#[test]
fn what_soaks_beside_the_milk_is_not_the_milk() {
    let text = "
# recipe
makes = \"1 kg pudding\"
kind  = \"other\"
[ingredients]
milk  = \"1 L whole milk\"
fruit = \"100 g raisins\"
water = \"100 mL water\"
[equipment]
pan  = \"pan\"
bowl = \"bowl\"
# step
add  = [\"milk\"]
in   = \"pan\"
at   = \"20 °C\"
for  = \"2 h\"
does = []
# step
add   = [\"fruit\", \"water\"]
in    = \"bowl\"
for   = \"8 h\"
while = \"s0\"
does  = []";
    assert_eq!(said(text), [""; 0]);
    assert_eq!(
        said(&text.replace("\"fruit\", \"water\"]\nin    = \"bowl\"", "\"fruit\", \"water\"]\nin    = \"pan\"")).len(),
        1
    );
}

#[test]
fn a_cake_with_plums_is_no_jam_and_a_pudding_no_cheese() {
    let cake = "
# recipe
makes = \"1 kg cake\"
keeps = [{ where = \"in a tin\", for = \"3 days\", at = \"20 °C\", pack = \"open\" }]
[ingredients]
flour = \"500 g plain flour\"
plums = \"500 g plums\"
sugar = \"100 g caster sugar\"
milk  = \"100 mL whole milk\"
# step
add  = [\"flour\", \"plums\", \"sugar\", \"milk\"]
does = \"bake\"
at   = \"180 °C\"
for  = \"40 min\"";
    assert!(
        !said(cake).iter().any(|one| one.starts_with("less-sugar") || one.starts_with("mould")),
        "{:?}",
        said(cake)
    );
    let pudding = "
# recipe
makes = \"1 kg pudding\"
[ingredients]
milk  = \"1 L whole milk\"
sugar = \"100 g caster sugar\"
# step
add  = [\"milk\", \"sugar\"]
does = []";
    assert_eq!(said(pudding), [""; 0]);
}

#[test]
fn names_of_equipment_tell_no_more_than_they_say() {
    let pot = |name: &str| {
        let text = format!(
            "# recipe\nmakes = \"1 kg syrup\"\nkind = \"other\"\n[ingredients]\nsugar = \"1 kg caster sugar\"\n\
             [equipment]\npot = \"{name}\"\n# step\nadd = [\"sugar\"]\nin = \"pot\"\nto = \"120 °C\""
        );
        said(&text)
    };
    assert_eq!(pot("Dutch oven"), pot("pan"));
    assert_eq!(pot("pan"), ["hot-sugar s0"]);
    assert_eq!(pot("oven"), [""; 0]);
    assert_eq!(pot("air fryer"), pot("pan"));
    assert_eq!(pot("deep fryer"), ["hot-fat s0"]);
}

#[test]
fn bread_with_whey_may_be_baked_on_iron() {
    let bread = |does: &str| {
        format!(
            "# recipe\nmakes = \"1 kg bread\"\nkind = \"bread\"\n[ingredients]\nflour = \"500 g plain flour\"\nwhey = \"300 mL whey\"\n\
             [equipment]\npan = \"iron pan\"\n# step\nadd = [\"flour\", \"whey\"]\nin = \"pan\"\ndoes = \"{does}\"\nto = \"150 °C\""
        )
    };
    assert!(!said(&bread("bake")).contains(&"soft-metal s0".to_owned()));
    assert!(said(&bread("heat")).contains(&"soft-metal s0".to_owned()));
}

/// A crock turns sour by itself.
#[test]
fn a_ferment_is_sour_without_anything_sour_in_it() {
    let crock = "
# recipe
makes = \"1 kg cabbage\"
kind  = \"ferment\"
[ingredients]
leaf = \"1 kg white cabbage\"
salt = { amount = \"20 g fine salt\", share = \"2 % of leaf\", never-below = \"2 %\" }
[equipment]
tub = \"aluminium tub\"
# step
add   = [\"leaf\", \"salt\"]
in    = \"tub\"
does  = \"ferment\"
at    = \"20 °C\"
for   = \"3 weeks\"
until = \"it is sour\"";
    assert_eq!(said(crock), ["culturing s0", "soft-metal s0"]);
}

/// Dried herbs may stand in oil, fresh ones may not.
#[test]
fn only_what_is_fresh_is_a_danger_in_oil() {
    let oil = |what: &str| {
        let text = format!(
            "# recipe\nmakes = \"1 L oil\"\nkind = \"other\"\n\
             keeps = [{{ where = \"in a cupboard\", for = \"4 weeks\", at = \"20 °C\", pack = \"lidded\" }}]\n\
             [ingredients]\noil = \"1 L olive oil\"\nleaf = \"10 g {what}\"\n\
             # step\nadd = [\"oil\", \"leaf\"]\ndoes = \"oil-infuse\""
        );
        said(&text).contains(&"oil-infusion-kept keeps 1".to_owned())
    };
    assert_eq!(["garlic", "rosemary", "tomatoes", "fresh chilli"].map(oil), [true; 4]);
    assert_eq!(["dried oregano", "bay leaf", "dried chilli"].map(oil), [false; 3]);
}

/// Heat that nobody measured may be any heat.
#[test]
fn what_was_heated_without_a_reading_may_be_hot() {
    let text = "
# recipe
makes = \"1 L water\"
kind  = \"other\"
[ingredients]
water = \"1 L water\"
# step
add  = [\"water\"]
does = \"heat\"
# step
does = \"pour\"";
    let made = Made::read(text);
    let scald = made.all().into_iter().find(|one| one.id == "scald").expect("it applies");
    assert_eq!((scald.at.as_str(), scald.unsaid), ("s1", vec!["how hot it is"]));
    assert_eq!(said(&text.replace("does = \"heat\"", "does = []")), [""; 0]);
}

#[test]
fn an_adult_stands_at_every_hob() {
    let children = |does: &str| {
        let text = format!("# course\nchildren = true\n# step\ndoes = \"{does}\"");
        !Made::read(&text).places("children").is_empty()
    };
    assert_eq!(["heat", "bake", "cut", "fry", "boil-sugar", "scald", "microwave"].map(children), [true; 7]);
    assert_eq!(["knead", "taste", "store"].map(children), [false; 3]);
}

/// How a name and its note say how milk was heated.
#[test]
fn words_that_deny_are_not_read_as_saying() {
    let heat = |what: &str| {
        let text = format!(
            "# recipe\nmakes = \"1 L milk\"\nkind = \"other\"\n[ingredients]\nmilk = \"1 L {what}\"\n# step\nadd = [\"milk\"]"
        );
        match Made::read(&text).all().into_iter().find(|one| one.id == "untreated-milk") {
            Some(one) if one.unsaid.is_empty() => "raw",
            Some(_) => "not said",
            None => "treated",
        }
    };
    for (what, expected) in [
        ("whole milk", "treated"),
        ("whole milk, pasteurised", "treated"),
        ("whole milk, pasteurised, not homogenised if you can get it", "treated"),
        ("whole milk, not homogenised but pasteurised", "treated"),
        ("whole milk, not UHT", "treated"),
        ("whole milk, pasteurised, never raw", "treated"),
        ("goat milk, pasteurized", "treated"),
        ("goat milk, UHT", "treated"),
        ("long-life milk", "treated"),
        ("whole milk, raw", "raw"),
        ("whole milk, straight from the cow and unpasteurised", "raw"),
        ("whole milk, un-pasteurised", "raw"),
        ("whole milk, non-pasteurised", "raw"),
        ("whole milk, not pasteurised", "raw"),
        ("whole milk, not yet pasteurised", "raw"),
        ("whole milk, to be pasteurised in the first step", "raw"),
        ("raw milk, pasteurised in the first step", "raw"),
        ("goat milk, raw or pasteurised", "raw"),
        ("goat milk", "not said"),
        ("goat milk, from the farm", "not said"),
        ("goat milk, pasteurised if you can get it", "not said"),
        ("goat milk, not ultra-pasteurised", "not said"),
    ] {
        assert_eq!(heat(what), expected, "{what}");
    }
}

/// An entry of a course's own pantry that says nothing of heat is not known to have been heated.
#[test]
fn milk_of_an_own_pantry_is_not_known_to_be_treated() {
    let text = "
# pantry
[[ingredient]]
id = \"mare milk\"
name = \"mare milk\"
allergens = [\"milk\"]
allergens-us = [\"milk\"]
keeping = \"chilled\"
perishable = true
tags = [\"milk\"]
# recipe
makes = \"1 L milk\"
kind  = \"other\"
[ingredients]
milk = \"1 L mare milk\"
# step
add = [\"milk\"]";
    let found = Made::read(text).all();
    let one = found.iter().find(|one| one.id == "untreated-milk").expect("it applies");
    assert_eq!(one.unsaid, ["how the milk was heated"]);
}

/// The same lesson in other countries.
#[test]
fn a_plain_lesson_is_plain_in_every_home() {
    for (home, more) in [("us", ""), ("uk", "food-law = \"scotland\"\n"), ("au", ""), ("nz", ""), ("ca", "")] {
        let text = format!("# course\nhome = \"{home}\"\n{more}{SOUP}");
        let allowed = ["cooling s1"];
        assert_eq!(said(&text), allowed, "{home} {more}");
        let bread = said(&format!("# course\nhome = \"{home}\"\n{more}{DOUGH}"));
        let dated = home == "uk";
        assert_eq!(bread.contains(&"bread-date lesson".to_owned()), dated, "{home}: {bread:?}");
    }
}
