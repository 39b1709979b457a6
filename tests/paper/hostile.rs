//! A lesson that is hard to set: more of everything, longer, and no place where a line could break.

use std::fs;
use tempfile::TempDir;

/// Its title, of 120 characters.
pub const TITLE: &str = "All that we shall do with crème fraîche, jalapeños, Gruyère, half a dozen eggs, \
    a fine sieve & far, far too long a night";

/// A word of 60 letters.
pub const LONG_WORD: &str = "Kartoffelpuffervorratskammerschlüsselbundaufhängehakenreihen";

/// How many ingredients there are.
pub const INGREDIENTS: usize = 40;

/// How many words the longest step has at the least.
pub const WORDS: usize = 900;

/// Cautions as authors write them, each in another place: before the first heading, in a section before the steps, among
/// the words of steps, in a rescue, and in a section after the steps.
pub const CAUTIONS: [&str; 6] = [
    "Take care: this kitchen-wide warning comes before all else.",
    "Take care with knives-and-graters while you weigh.",
    "Take care: what boils spits, and hot sugar sticks to the skin and goes on burning.",
    "**Take care**: the bowl-of-hot-paste slides on a wet table.",
    "Take care: lift the lid-of-the-pot away from you.",
    "Take care: the jar-that-was-hot cracks under cold water.",
];

/// A course of that lesson alone.
pub fn course() -> TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let write = |path: &str, text: &str| fs::write(folder.path().join(path), text).expect("the folder is ours");
    fs::create_dir(folder.path().join("01-hostile")).expect("the folder is ours");
    write("course.toml", "title = \"Hard to set\"\nhome = \"uk\"\nlanguage = \"en-GB\"\n");
    write("pantry.toml", &pantry());
    write("01-hostile/lesson.md", &lesson());
    folder
}

/// The name of an ingredient.
fn name(number: usize) -> String {
    match number {
        7 => LONG_WORD.to_owned(),
        9 => "crème fraîche left out of the fridge for as long as it takes to find all else on this list".to_owned(),
        _ => format!("spice number-{}", word(number)),
    }
}

fn pantry() -> String {
    let row = |number: usize| {
        let allergens = if number.is_multiple_of(3) { "[\"sesame\"]" } else { "[]" };
        format!(
            "[[ingredient]]\nid = \"thing-{number}\"\nname = \"{}\"\ndensity = \"0.5\"\n\
             density-source = \"made up\"\ndensity-status = \"from memory\"\nallergens = {allergens}\nallergens-us = []\n\
             keeping = \"dry\"\nperishable = false\n\n",
            name(number)
        )
    };
    (1..=INGREDIENTS).map(row).collect()
}

fn lesson() -> String {
    let ids: Vec<String> = (1..=INGREDIENTS).map(|number| format!("thing-{number}")).collect();
    let ingredient = |(number, id): (usize, &String)| format!("{id} = \"{number} g {}\"\n", name(number));
    let ingredients: String = (1..).zip(&ids).map(ingredient).collect();
    let (first, rest) = ids.split_at(38);
    let quoted = |ids: &[String]| ids.iter().map(|id| format!("{id:?}")).collect::<Vec<_>>().join(", ");
    let long: Vec<String> = (0..WORDS).map(sentence_word).collect();
    let paragraphs: Vec<String> = long.chunks(90).map(|words| format!("{}.", words.join(" "))).collect();
    format!(
        "# {TITLE}

```lesson
summary = \"As much as one lesson can hold, for a printer to break its teeth on: {LONG_WORD}.\"
learn   = [\"see what does not fit\"]
session = \"3 h\"
```

{}

## Before you begin

Lay all of it out in a row.

{}

```recipe
makes = \"800–850 g paste\"
keeps = [{{ where = \"covered in the fridge\", for = \"4 days\", at = \"at most 5 °C\" }}]

[ingredients]
{ingredients}
[equipment]
pot  = {{ name = \"heavy {LONG_WORD} pot\", holds = \"6 L\" }}
bowl = {{ name = \"bowl\", holds = \"3 L\" }}
```

## Weigh and warm everything that stands on the list, one after the other, and do not lose count of it

```step
id    = \"all\"
add   = [{}]
in    = \"pot\"
to    = \"62–65 °C\"
takes = \"1 h 10 min to 1 h 25 min\"
hands = \"on\"
until = \"the paste is smooth, shines, and smells of {LONG_WORD}\"
```

{}

{} Keep at 62–65 °C (144–149 °F).

| What you see | What you read |
| --- | --- |
| {LONG_WORD} | 62 °C (144 °F) |

- {LONG_WORD}{LONG_WORD}
- ½, ⅓, ⅔, ¼, ¾, ⅛ – “crème brûlée”, jalapeño, smørrebrød, żurek

```rescue
sign = \"It smells of {LONG_WORD}\"
do   = \"Begin again: {LONG_WORD} cannot be mended, and what is burnt stays burnt.\"
```

```rescue
sign = \"It boils over\"
do   = \"{}\"
```

## Stir in the rest

```step
id    = \"rest\"
add   = [{}]
in    = \"bowl\"
at    = \"20 °C\"
takes = \"5 min\"
```

Stir in the last two, and rest.

{}

## When it is done

Wash the pot.

{}
",
        CAUTIONS[0],
        CAUTIONS[1],
        quoted(first),
        paragraphs.join("\n\n"),
        CAUTIONS[2],
        CAUTIONS[4],
        quoted(rest),
        CAUTIONS[3],
        CAUTIONS[5],
    )
}

/// Words without figures, so that each can be told from the others: `word-ab`.
fn sentence_word(number: usize) -> String {
    if number % 300 == 123 { LONG_WORD.to_owned() } else { format!("stir-{}", word(number)) }
}

fn word(number: usize) -> String {
    let letter = |value: usize| char::from(b'a' + u8::try_from(value % 26).expect("a letter"));
    [number / 676, number / 26, number].map(letter).iter().collect()
}
