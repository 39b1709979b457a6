//! Shares by their base, doses, dilutions, usual yields and kits, held against the amounts. For each rule a lesson that
//! breaks it, and one that comes near and does not.

use pottle::{Project, check};

/// The codes of the findings of a recipe whose ingredients all go in at one step, with their messages.
fn findings(recipe: &str, add: &[&str]) -> Vec<String> {
    let add: Vec<String> = add.iter().map(|id| format!("\"{id}\"")).collect();
    let text = format!("# Make\n\n```recipe\n{recipe}\n```\n\n## Mix\n\n```step\nadd = [{}]\n```\n", add.join(", "));
    let course = "title = \"Hall\"\nhome = \"uk\"\nlanguage = \"en-GB\"\n";
    let project = Project::from_files([("course.toml", course), ("01-first/lesson.md", text.as_str())]);
    check(&project).findings.iter().map(|one| format!("{}: {}", one.code.name(), one.message)).collect()
}

#[track_caller]
fn finds(recipe: &str, add: &[&str], expected: &[&str]) {
    assert_eq!(findings(recipe, add), expected);
}

const NONE: &[&str] = &[];

fn brine(salt: &str, share: &str) -> String {
    format!(
        "makes = \"1 kg brined roots\"\n[ingredients]\nwater = \"1000 g water\"\n\
         salt = {{ amount = \"{salt} fine salt\", share = \"{share}\" }}"
    )
}

// A balance of masses: 250 g to a kilogram of water is 20 % by weight; at 20 °C a brine of 20 % weighs 1147.8 kg/m³ (the
// table of densities named in shared/brine.toml), so that 100 mL of it hold 22.96 g.
#[test]
fn a_strength_of_brine_is_read_by_its_base() {
    let add = ["water", "salt"];
    for near in ["20 % of brine", "20 % w/w of brine", "25 % of water", "23 % w/v of brine", "22.96 % w/v of brine"] {
        finds(&brine("250 g", near), &add, NONE);
    }
    finds(
        &brine("250 g", "25 % of brine"),
        &add,
        &["share-apart: by the amounts, the fine salt is 20 % of the brine by weight"],
    );
    finds(
        &brine("250 g", "20 % w/v of brine"),
        &add,
        &["share-apart: by the amounts, the fine salt is 22.96 % of the brine, in grams in 100 mL made up at 20 °C"],
    );
    finds(&brine("250 g", "20 % of water"), &add, &["share-apart: by the amounts, the fine salt is 25 % of the water"]);
    finds(
        &brine("50 g", "5 % brine"),
        &add,
        &["unclear-share: a strength of brine has three readings, and this names none"],
    );
    // A brine that is bought, or left by another lesson, is a thing of its own.
    let bought = "makes = \"1 kg brined roots\"\n[ingredients]\nbrine = \"1000 g brine\"\n\
                  dill = { amount = \"20 g dill\", share = \"2 % of brine\" }";
    finds(bought, &["brine", "dill"], NONE);
}

#[test]
fn several_flours_are_the_flour_together() {
    let dough = |share: &str, base: &str| {
        format!(
            "makes = \"8 flatbreads\"\n[ingredients]\nwhite = \"400 g strong white flour\"\nrye = \"100 g rye flour\"\n\
             water = \"325 g water\"\nsalt = {{ amount = \"10 g fine salt\", share = \"{share} of {base}\" }}"
        )
    };
    let add = ["white", "rye", "water", "salt"];
    finds(&dough("2 %", "flour"), &add, NONE);
    finds(&dough("1.2 %", "dough"), &add, NONE);
    finds(&dough("2.5 %", "flour"), &add, &["share-apart: by the amounts, the fine salt is 2 % of the flour"]);
    finds(&dough("2.0 %", "dough"), &add, &["share-apart: by the amounts, the fine salt is 1.2 % of the dough"]);
    // One of them alone, by its own name.
    finds(&dough("10 %", "rye"), &add, NONE);
}

fn rennet(amount: &str, keys: &str) -> String {
    format!(
        "makes = \"10 L set milk\"\n[ingredients]\nmilk = \"10 L whole milk\"\n\
         rennet = {{ amount = \"{amount} liquid rennet\", {keys} }}"
    )
}

#[test]
fn a_dose_agrees_with_the_amounts() {
    let add = ["milk", "rennet"];
    for near in
        ["2 mL per 10 L of milk", "0.2 mL per litre of milk", "2 mL per 9.8 L of milk", "1.5–2.5 mL per 10 L of milk"]
    {
        finds(&rennet("2 mL", &format!("dose = \"{near}\"")), &add, NONE);
    }
    let apart = findings(&rennet("2 mL", "dose = \"3 mL per 10 L of milk\""), &add);
    assert_eq!(
        apart,
        ["dose-apart: by the dose, the whole milk takes 3\u{a0}mL of liquid rennet, and the recipe has 2\u{a0}mL"]
    );
    finds(
        &rennet("2 mL", "dose = \"2 mL per 10 L of beer\""),
        &add,
        &["unknown-name: no ingredient of this recipe is called “beer”"],
    );
}

// Usual are 30 to 50 IMCU for a litre (shared/doses.toml, common practice); a tenth to either side is usual too.
#[test]
fn rennet_is_dosed_by_its_strength() {
    let add = ["milk", "rennet"];
    let strong = |amount: &str, imcu: &str| findings(&rennet(amount, &format!("strength = \"{imcu}\"")), &add);
    for (amount, imcu) in
        [("2 mL", "200 IMCU/mL"), ("1 mL", "400 IMCU per mL"), ("1.4 mL", "200 IMCU/mL"), ("2.7 mL", "200 imcu/ml")]
    {
        assert_eq!(strong(amount, imcu), NONE, "{amount} of {imcu}");
    }
    assert_eq!(
        strong("2 mL", "600 IMCU/mL"),
        ["unlikely-dose: the liquid rennet comes to 120 IMCU for a litre of milk, and 30 to 50 are usual"]
    );
    assert_eq!(strong("1 mL", "200 IMCU/mL").len(), 1);
    assert_eq!(strong("2 mL", "200 per mL"), ["bad-amount: `200 per mL` is no strength that we know"]);
}

#[test]
fn words_may_state_a_dose() {
    let lesson = |words: &str| {
        let recipe = rennet("2 mL", "dose = \"2 mL per 10 L of milk\"");
        let text = format!(
            "# Make\n\n```recipe\n{recipe}\n```\n\n## Mix\n\n```step\nadd = [\"milk\", \"rennet\"]\n```\n\n{words}\n"
        );
        let course = "title = \"Hall\"\nhome = \"uk\"\n";
        let project = Project::from_files([("course.toml", course), ("01-first/lesson.md", text.as_str())]);
        check(&project).findings.iter().map(|one| one.code.name()).collect::<Vec<_>>()
    };
    assert_eq!(lesson("Take 2 mL of rennet per 10 litres of milk."), NONE);
    assert_ne!(lesson("Take 3 mL of rennet per 10 litres of milk."), NONE);
}

// c₁ V₁ = c₂ V₂: 400 mL of 70 % are 280 mL of the pure thing, which is 40 % of 700 mL, so that 300 mL go to it.
#[test]
fn a_dilution_comes_to_its_strength() {
    let mix = |water: &str, to: &str, with: &str| {
        let recipe = format!(
            "makes = \"650 g weak vinegar\"\n[ingredients]\nwater = \"{water} water\"\nvinegar = {{ amount = \"400 mL white vinegar\", \
             diluted = {{ from = \"70 %\", to = \"{to}\", with = \"{with}\" }} }}"
        );
        findings(&recipe, &["water", "vinegar"])
    };
    assert_eq!(mix("300 mL", "40 %", "water"), NONE);
    assert_eq!(mix("295 mL", "40 %", "water"), NONE);
    assert_eq!(mix("300 mL", "38–42 %", "water"), NONE);
    assert_eq!(
        mix("400 mL", "40 %", "water"),
        ["dilution-apart: by volume, the white vinegar comes to 35 % with that much water"]
    );
    assert_eq!(mix("300 mL", "40 %", "wine"), ["unknown-name: no ingredient of this recipe is called “wine”"]);
}

// The ranges of shared/yields.toml, each with its source: pressed curd 0.12–0.17 of the milk, strained yoghurt
// 0.35–0.6 of the yoghurt; a tenth to either side counts as usual.
#[test]
fn a_yield_is_a_usual_one() {
    let made = |makes: &str, ingredients: &str, add: &[&str]| {
        let found =
            findings(&format!("makes = \"{makes}\"\nloses = \"1–99 % whey\"\n[ingredients]\n{ingredients}"), add);
        found.into_iter().filter(|one| one.starts_with("unlikely-yield")).collect::<Vec<_>>()
    };
    let milk = "milk = \"4 L whole milk\"";
    for near in [
        "600 g pressed curd",
        "550–650 g pressed curd",
        "760 g pressed curd",
        "300–460 g pressed curd",
        "850 g fresh curd",
    ] {
        assert_eq!(made(near, milk, &["milk"]), NONE, "{near}");
    }
    assert_eq!(
        made("850 g pressed curd", milk, &["milk"]),
        ["unlikely-yield: a kilogram of milk gives 206 g of pressed curd here, and 120 to 170 g are usual"]
    );
    assert_eq!(made("300–400 g pressed curd", milk, &["milk"]).len(), 1);
    // Of skimmed milk less comes, and what is only flavoured with a curd's name is none.
    assert_eq!(made("400 g pressed curd", "milk = \"4 L skimmed milk\"", &["milk"]), NONE);
    assert_eq!(
        made(
            "850 g pressed curd",
            "flour = \"1 kg strong white flour\"\nmilk = \"300 mL whole milk\"",
            &["flour", "milk"]
        ),
        NONE
    );
    let both = "milk = \"2 L whole milk\"\nstarter = \"100 g live yoghurt\"";
    assert_eq!(made("900–1000 g strained yoghurt", both, &["milk", "starter"]), NONE);
    assert_eq!(made("1600 g strained yoghurt", both, &["milk", "starter"]).len(), 1);
}

// A litre of double cream of 48 % fat weighs 999 g and holds 480 g of fat, which is 600 g of butter of 80 %.
#[test]
fn butter_goes_by_the_fat_of_its_cream() {
    let made = |grams: &str, cream: &str| {
        let found = findings(
            &format!(
                "makes = \"{grams} cultured butter\"\nloses = \"1–99 % buttermilk\"\n[ingredients]\ncream = \"1 L {cream}\""
            ),
            &["cream"],
        );
        found.into_iter().filter(|one| one.starts_with("unlikely-yield")).count()
    };
    assert_eq!((made("530–570 g", "double cream"), made("600 g", "double cream")), (0, 0));
    assert_eq!((made("700 g", "double cream"), made("440 g", "double cream")), (1, 1));
    assert_eq!((made("440 g", "whipping cream"), made("570 g", "whipping cream")), (0, 1));
}

#[test]
fn a_pack_of_a_kit_lasts_for_its_batches() {
    let kit = |salt: &str, batches: &str| {
        let recipe = format!(
            "makes = \"1 L salted milk\"\nkit = {{ batches = {batches}, packs = {{ salt = \"{salt}\" }} }}\n[ingredients]\n\
             milk = \"1 L whole milk\"\nsalt = \"10 g fine salt\""
        );
        findings(&recipe, &["milk", "salt"])
    };
    assert_eq!(kit("40 g", "4"), NONE);
    assert_eq!(kit("0.05 kg", "4"), NONE);
    assert_eq!(kit("40 g", "5"), ["kit-short: 5 batches take 50\u{a0}g of fine salt, and the kit packs 40\u{a0}g"]);
    // A level teaspoon of fine salt weighs about 6 g, so that seven of them hold 42 g.
    assert_eq!(kit("7 tsp", "4"), NONE);
    assert_eq!(kit("5 tsp", "4").len(), 1);
}
