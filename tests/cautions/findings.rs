//! What a careful cook gets wrong, and the whole of what is then said.

use crate::case::Made;

/// The findings about dangers: `line: code: message` with the text underlined, then notes and help.
fn found(text: &str) -> Vec<String> {
    let made = Made::read(text);
    let danger = made.checked.findings.iter().filter(|one| ["danger", "idle-overrule"].contains(&one.code.name()));
    danger
        .map(|one| {
            let span = one.primary.span;
            let sources = &made.project.sources;
            let line = sources.get(span.file).position(span.range().start).line;
            let source = sources.get(span.file).text.lines().nth(line - 1).expect("it is there");
            let mut all = format!("{}: {}\nat: {source}", one.code.name(), one.message);
            one.notes.iter().for_each(|note| all.push_str(&format!("\nnote: {note}")));
            one.help.iter().for_each(|help| all.push_str(&format!("\nhelp: {help}")));
            all
        })
        .collect()
}

fn overrule(id: &str) -> String {
    format!(
        "if you have made sure of it in another way, say so in the lesson block, where students read it: \
         `overrules = {{ {id} = \"…\" }}`"
    )
}

const RAW: &str = "
# recipe
makes = \"1 L milk\"
kind  = \"other\"
[ingredients]
milk = \"1 L raw milk\"
# step
add = [\"milk\"]
at  = \"63 °C\"
for = \"30 min\"
pasteurises = \"milk\"";

#[test]
fn raw_milk_without_a_hold() {
    let found = found(&RAW.replace("pasteurises = \"milk\"", ""));
    let untreated = format!(
        "danger: untreated milk: raw milk\nat: milk = \"1 L raw milk\"\n\
         note: Milk that was not heat-treated can carry listeria, salmonella, E. coli and campylobacter, and smells and \
         looks normal. Choose pasteurised milk for a class.\n\
         note: source: US CDC and UK FSA advice on raw milk (published)\n\
         help: name pasteurised milk or cream, such as `whole milk, pasteurised`; or, {}",
        overrule("untreated-milk")
    );
    let never = format!(
        "danger: milk that is never pasteurised: raw milk\nat: milk = \"1 L raw milk\"\n\
         note: This milk never meets a time and temperature that the law accepts as pasteurising.\n\
         note: source: US Code of Federal Regulations, 21 CFR 1240.61(b), pasteurisation (published)\n\
         help: hold it in a step that says `pasteurises`, at 63 °C for 30 min or at 72 °C for 15 s (cream and sweetened \
         milk: 3 °C more under US law); or, {}",
        overrule("milk-without-hold")
    );
    assert_eq!(found, [untreated, never]);
}

#[test]
fn low_acid_food_in_a_sealed_jar_on_a_shelf() {
    let jar = "
# recipe
makes = \"1 kg carrots\"
kind  = \"other\"
keeps = [{ where = \"in a cupboard\", for = \"1 year\", at = \"20 °C\", pack = \"sealed-jar\" }]
[ingredients]
roots = \"1 kg carrots\"
# step
add = [\"roots\"]";
    let botulism = format!(
        "danger: botulism, as it is kept: in a cupboard\n\
         at: keeps = [{{ where = \"in a cupboard\", for = \"1 year\", at = \"20 °C\", pack = \"sealed-jar\" }}]\n\
         note: Low-acid food shut off from air at room temperature can grow the toxin of botulism, which may give no smell, \
         taste or gas. Acidify or pressure-can by a tested recipe, keep it in the fridge for a short time, or freeze it.\n\
         note: nobody says how acid it is (`ph`), nor how dry it is (`aw`), and what is not known counts as the dangerous \
         case\n\
         note: source: US Code of Federal Regulations, 21 CFR 114.3, acidified foods (published)\n\
         help: say how acid it is (`ph = \"at most 4.6\"`) where that was tested, or keep it in the fridge (`at = \"at most \
         5 °C\"`); or, {}",
        overrule("low-acid-sealed")
    );
    assert_eq!(found(jar), [botulism]);
    // Pressure that kills the spores is what the law asks for, and warns of itself.
    let canned = Made::read(&format!("{jar}\n# step\ndoes = \"pressure-can\"\nfor = \"75 min\""));
    assert_eq!(canned.places("low-acid-sealed"), [""; 0]);
    assert_eq!(canned.places("pressure-canning"), ["s1"]);
}

/// Packing is what the author alone knows, and what most often rules the danger out: that key stands first. Where it is
/// said, nobody is asked to say something else.
#[test]
fn where_packing_is_not_said_the_help_begins_with_its_key() {
    let shelf = |pack: &str| {
        format!(
            "\n# recipe\nmakes = \"1 kg carrots\"\nkind = \"other\"\n\
             keeps = [{{ where = \"in a cupboard\", for = \"1 year\", at = \"20 °C\"{pack} }}]\n\
             [ingredients]\nroots = \"1 kg carrots\"\n# step\nadd = [\"roots\"]"
        )
    };
    let help = |pack: &str| {
        let found = found(&shelf(pack)).into_iter().next()?;
        Some(found.split_once("help: ")?.1.to_owned())
    };
    let first = "say how it is packed (`pack`): `\"open\"`, `\"lidded\"`, `\"sealed-jar\"`, `\"vacuum\"`, `\"under-oil\"`, \
                 `\"under-brine\"`; or, say how acid it is";
    assert!(help("").is_some_and(|help| help.starts_with(first)), "{:?}", help(""));
    let sealed = help(", pack = \"sealed-jar\"").expect("low-acid food in a sealed jar");
    assert!(sealed.starts_with("say how acid it is") && !sealed.contains("`pack`"), "{sealed}");
    assert_eq!(help(", pack = \"lidded\""), None);
}

const BLEACH: &str = "
# lesson
sanitiser = { with = \"bleach\", strength = \"5 %\", amount = \"2 mL\", water = \"1 L\", rinse = true }
# recipe
makes = \"5 g powder\"
kind  = \"other\"
[ingredients]
sour = \"5 g citric acid\"
# step
does = \"sanitise\"
# step
add  = [\"sour\"]
does = []";

#[test]
fn bleach_and_citric_acid_in_one_lesson() {
    let gas = format!(
        "danger: bleach and acid make chlorine gas\n\
         at: sanitiser = {{ with = \"bleach\", strength = \"5 %\", amount = \"2 mL\", water = \"1 L\", rinse = true }}\n\
         note: Bleach gives off a poisonous gas with any acid: citric acid, lemon, vinegar, whey, brine or descaler. \
         Different jugs, different sinks, different times; rinse everything; never pour whey, brine or vinegar into a \
         bowl of bleach.\n\
         note: source: Advice of health departments and poison centres on bleach (published)\n\
         help: add a step that says `does = \"clear-away\"`, in which the bleach is poured away and everything rinsed before \
         anything sour is fetched, or clean without bleach; or, {}",
        overrule("bleach-and-acid")
    );
    assert_eq!(found(BLEACH), [gas]);
    let cleared = BLEACH.replace("\"sanitise\"", "[\"sanitise\", \"clear-away\"]");
    assert_eq!(found(&cleared), [""; 0]);
    assert_eq!(Made::read(&cleared).places("bleach-then-acid"), ["lesson"]);
}

/// Clearing away after the acid is out is too late.
#[test]
fn bleach_is_cleared_away_before_the_acid_comes() {
    let late = format!("{BLEACH}\n# step\ndoes = \"clear-away\"");
    assert_eq!(Made::read(&late).places("bleach-and-acid"), ["lesson"]);
}

/// Whey and the brine of a ferment are as sour as lemon juice.
#[test]
fn what_turns_sour_counts_as_acid_beside_bleach() {
    for (kind, goes_in, does) in [("ferment", "carrots", "ferment"), ("butter", "double cream", "culture")] {
        let text = format!(
            "# lesson\nsanitiser = {{ with = \"bleach\", strength = \"5 %\", amount = \"2 mL\", water = \"1 L\", rinse = true }}\n\
             # recipe\nmakes = \"1 kg food\"\nkind = \"{kind}\"\n[ingredients]\nfood = \"1 kg {goes_in}\"\n\
             # step\nadd = [\"food\"]\ndoes = \"{does}\""
        );
        assert_eq!(Made::read(&text).places("bleach-and-acid"), ["lesson"], "{kind}");
    }
}

#[test]
fn vinegar_of_unknown_strength() {
    let pickle = "
# pantry
[[ingredient]]
id = \"apple scrap vinegar\"
name = \"apple scrap vinegar\"
allergens = []
allergens-us = []
keeping = \"dry\"
perishable = false
tags = [\"acid\", \"vinegar\"]
# recipe
makes  = \"1 L pickle\"
kind   = \"pickle\"
keeps  = [{ where = \"in a cupboard\", for = \"1 year\", at = \"20 °C\", pack = \"lidded\" }]
tested = { amounts = { sour = \"500 mL\" }, by = \"the county kitchen\" }
[ingredients]
sour = \"1 L apple scrap vinegar\"
# step
add = [\"sour\"]";
    let weak = format!(
        "danger: vinegar too weak to keep by: apple scrap vinegar\nat: sour = \"1 L apple scrap vinegar\"\n\
         note: Pickles that stand at room temperature need vinegar of 5 % acid or more; vinegars of 4 % are on sale, and \
         that of home-made vinegar is not known.\n\
         note: nobody says how much acid is in it (`acid` in the pantry), and what is not known counts as the dangerous \
         case\n\
         note: source: USDA and National Center for Home Food Preservation, vinegar of 5 % (published)\n\
         help: name a vinegar of at least 5 %, such as through a pantry entry with `acid = \"5 %\"`, or keep the pickle in the \
         fridge; or, {}",
        overrule("weak-vinegar")
    );
    assert_eq!(found(pickle), [weak]);
}

#[test]
fn hot_curd_worked_by_hand() {
    let curd = "
# recipe
makes = \"100 g curd\"
kind  = \"fresh-cheese\"
[ingredients]
curd = \"100 g fresh curd\"
# step
does = []
add  = [\"curd\"]
# step
does    = \"stretch\"
at      = \"60 °C\"
by-hand = true";
    let made = Made::read(curd);
    assert_eq!(found(curd), [""; 0]);
    assert_eq!(made.places("hot-hands"), ["s1"]);
    let shown = pottle::kitchen::shown_at(&made.checked.model, 0, pottle::kitchen::CautionPlace::Step(1));
    assert_eq!(shown, Some(1));
    // A paddle touches it, no hand: nothing to say of gloves.
    assert_eq!(Made::read(&curd.replace("by-hand = true", "by-hand = false")).places("hot-hands"), [""; 0]);
}

#[test]
fn raw_milk_that_is_pasteurised_here_is_overruled_with_a_reason() {
    let reason = "Each group holds its milk at the legal heat in the first step.";
    let text = format!("# lesson\noverrules = {{ untreated-milk = \"{reason}\" }}{RAW}");
    assert_eq!(found(&text), [""; 0]);
    let all = Made::read(&text).all();
    let one = all.iter().find(|one| one.id == "untreated-milk").expect("it is still there to be printed");
    assert_eq!(one.overruled.as_deref(), Some(reason));
    // It stands for one danger and no other: the hold that is cut short is found again.
    let short = found(&text.replace("30 min", "20 min"));
    assert_eq!(short.len(), 1);
    assert!(short[0].starts_with("danger: milk that is never pasteurised: raw milk\n"), "{short:?}");
}

#[test]
fn overrules_that_stop_nothing() {
    let with = |id: &str| {
        let text = format!("# lesson\noverrules = {{ {id} = \"It was looked at by all of us.\" }}{RAW}");
        found(&text).into_iter().filter(|one| one.starts_with("idle")).collect::<Vec<_>>()
    };
    let at = |id: &str| format!("at: overrules = {{ {id} = \"It was looked at by all of us.\" }}");
    assert_eq!(
        with("weak-vinegar"),
        [format!(
            "idle-overrule: `weak-vinegar` does not apply to this lesson\n{}\n\
             help: take the line out: should the danger come back, it must be looked at again",
            at("weak-vinegar")
        )]
    );
    assert_eq!(
        with("illness"),
        [format!(
            "idle-overrule: `illness` stops nothing\n{}\n\
             help: take the line out: a caution that only warns is always printed",
            at("illness")
        )]
    );
    assert_eq!(
        with("untreated-mlik"),
        [format!(
            "idle-overrule: no caution is called `untreated-mlik`\n{}\nhelp: did you mean `untreated-milk`?",
            at("untreated-mlik")
        )]
    );
}

#[test]
fn two_words_are_no_reason() {
    let text = "overrules = { untreated-milk = \"It's fine.\" }";
    let lesson = format!("# Milk\n\n```lesson\n{text}\n```\n\nMilk.\n");
    let files = [("course.toml", "title = \"Hall\"\nhome = \"uk\"\n"), ("01-milk/lesson.md", lesson.as_str())];
    let checked = pottle::check(&pottle::Project::from_files(files));
    let wrong: Vec<_> = checked.findings.iter().filter(|one| one.code.name() == "wrong-type").collect();
    assert_eq!(wrong.len(), 1);
    assert_eq!(wrong[0].message, "`untreated-milk` is overruled without a reason");
    assert!(wrong[0].help.as_deref().is_some_and(|help| help.starts_with("say in a sentence why")));
}
