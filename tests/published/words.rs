//! What a careful reader of proofs finds in a text: spelling, doubled words, straight quotation marks, long lines.

/// American forms and the British ones that Pottle writes. Source: common practice, from memory; words in -ise follow
/// what the cautions and the handbook have written from the first.
pub const PAIRS: &[(&str, &str)] = &[
    ("aluminum", "aluminium"),
    ("analyze", "analyse"),
    ("analyzed", "analysed"),
    ("armor", "armour"),
    ("ax", "axe"),
    ("behavior", "behaviour"),
    ("canceled", "cancelled"),
    ("canceling", "cancelling"),
    ("catalog", "catalogue"),
    ("catalyze", "catalyse"),
    ("center", "centre"),
    ("centered", "centred"),
    ("centers", "centres"),
    ("centimeter", "centimetre"),
    ("centimeters", "centimetres"),
    ("checkered", "chequered"),
    ("chili", "chilli"),
    ("color", "colour"),
    ("colored", "coloured"),
    ("coloring", "colouring"),
    ("colorless", "colourless"),
    ("colors", "colours"),
    ("cozy", "cosy"),
    ("defense", "defence"),
    ("dialed", "dialled"),
    ("diarrhea", "diarrhoea"),
    ("esophagus", "oesophagus"),
    ("favor", "favour"),
    ("favorite", "favourite"),
    ("feces", "faeces"),
    ("fiber", "fibre"),
    ("fibers", "fibres"),
    ("flavor", "flavour"),
    ("flavored", "flavoured"),
    ("flavoring", "flavouring"),
    ("flavors", "flavours"),
    ("fulfill", "fulfil"),
    ("gray", "grey"),
    ("grayish", "greyish"),
    ("harbor", "harbour"),
    ("honor", "honour"),
    ("humor", "humour"),
    ("jewelry", "jewellery"),
    ("kilometer", "kilometre"),
    ("labeled", "labelled"),
    ("labeling", "labelling"),
    ("labor", "labour"),
    ("leukemia", "leukaemia"),
    ("leveled", "levelled"),
    ("leveling", "levelling"),
    ("licorice", "liquorice"),
    ("liter", "litre"),
    ("liters", "litres"),
    ("luster", "lustre"),
    ("marvelous", "marvellous"),
    ("meager", "meagre"),
    ("meters", "metres"),
    ("milliliter", "millilitre"),
    ("milliliters", "millilitres"),
    ("millimeter", "millimetre"),
    ("millimeters", "millimetres"),
    ("modeled", "modelled"),
    ("mold", "mould"),
    ("molded", "moulded"),
    ("molds", "moulds"),
    ("moldy", "mouldy"),
    ("molt", "moult"),
    ("neighbor", "neighbour"),
    ("neighboring", "neighbouring"),
    ("odor", "odour"),
    ("odorless", "odourless"),
    ("odors", "odours"),
    ("offense", "offence"),
    ("omelet", "omelette"),
    ("paralyze", "paralyse"),
    ("plow", "plough"),
    ("pretense", "pretence"),
    ("rumor", "rumour"),
    ("savor", "savour"),
    ("savory", "savoury"),
    ("signaled", "signalled"),
    ("skeptical", "sceptical"),
    ("skillful", "skilful"),
    ("smolder", "smoulder"),
    ("somber", "sombre"),
    ("sulfate", "sulphate"),
    ("sulfite", "sulphite"),
    ("sulfites", "sulphites"),
    ("sulfur", "sulphur"),
    ("theater", "theatre"),
    ("traveled", "travelled"),
    ("traveling", "travelling"),
    ("tumor", "tumour"),
    ("unflavored", "unflavoured"),
    ("unlabeled", "unlabelled"),
    ("unmold", "unmould"),
    ("vapor", "vapour"),
    ("vigor", "vigour"),
    ("yogurt", "yoghurt"),
];

/// Names of laws and authorities, which keep their own spelling.
const NAMES: &[&str] = &["Pasteurized Milk Ordinance", "Centers for Disease Control", "National Center for"];

/// Words with a z that is in their root.
const ROOTS: &[&str] = &["size", "prize", "seize", "maize", "capsize", "oversize", "undersize", "resize", "outsize"];

/// Words of a text in American spelling, each with the form that Pottle writes.
pub fn american(text: &str) -> Vec<String> {
    let text = NAMES.iter().fold(text.to_owned(), |text, name| text.replace(name, " "));
    let words = text.split(|letter: char| !letter.is_alphabetic() && !matches!(letter, '\'' | '’'));
    let mut faults = Vec::new();
    for word in words.map(|word| word.replace('’', "'").to_lowercase()) {
        let word = word.trim_matches('\'');
        if let Some((_, ours)) = PAIRS.iter().find(|(theirs, _)| *theirs == word) {
            faults.push(format!("{word} is spelt {ours} here"));
        } else if ends_in_ize(word) {
            faults.push(format!("{word} is spelt with s here"));
        }
    }
    faults
}

fn ends_in_ize(word: &str) -> bool {
    const ENDS: &[&str] = &["ize", "izes", "ized", "izer", "izers", "izing", "ization", "izations"];
    let Some(stem) = ENDS.iter().find_map(|end| word.strip_suffix(end)) else { return false };
    !stem.is_empty() && !ROOTS.iter().any(|root| root.strip_suffix("ize") == Some(stem))
}

/// Words that stand twice running.
pub fn doubled(text: &str) -> Vec<String> {
    // “He said that that was that”, “what they had had”: rare, and right.
    const MAY: &[&str] = &["had", "that"];
    let words: Vec<&str> = text.split_whitespace().collect();
    (words.windows(2))
        .filter(|pair| pair[0].chars().all(char::is_alphabetic))
        .filter(|pair| {
            let next = pair[1].trim_end_matches(|letter: char| !letter.is_alphanumeric());
            // A capital opens a sentence or an entry: “raw milk Milk as it comes”.
            let goes_on = next == pair[0] || next.starts_with(char::is_lowercase);
            goes_on && next.chars().all(char::is_alphabetic) && next.to_lowercase() == pair[0].to_lowercase()
        })
        .filter(|pair| !MAY.contains(&pair[0].to_lowercase().as_str()))
        .map(|pair| format!("“{} {}”", pair[0], pair[1]))
        .collect()
}

/// Straight quotation marks, each with the words around it.
pub fn straight(text: &str) -> Vec<String> {
    let letters: Vec<char> = text.chars().collect();
    (letters.iter().enumerate())
        .filter(|(_, letter)| **letter == '"')
        .map(|(at, _)| letters[at.saturating_sub(20)..(at + 20).min(letters.len())].iter().collect())
        .collect()
}

/// The most columns of a line of a lesson's source.
pub const COLUMNS: usize = 120;

/// Lines of Markdown that are too long although they could be broken, by their numbers. Blocks and tables cannot be, nor
/// headings, nor a line that is one long address.
pub fn long_lines(source: &str) -> Vec<usize> {
    let mut fence: Option<&str> = None;
    let mut found = Vec::new();
    for (at, line) in source.lines().enumerate() {
        let text = line.trim_start();
        let opens = ["```", "~~~"].into_iter().find(|sign| text.starts_with(sign));
        match (fence, opens) {
            (Some(open), Some(sign)) if open == sign => {
                fence = None;
                continue;
            }
            (Some(_), _) => continue,
            (None, Some(sign)) => {
                fence = Some(sign);
                continue;
            }
            (None, None) => {}
        }
        let fixed = text.starts_with('|') || text.starts_with('#');
        // A sign that opens an item of a list is no place to break at.
        let marker = text.find(' ').filter(|at| !text[..*at].contains(char::is_alphabetic)).map_or(0, |at| at + 1);
        if !fixed && line.chars().count() > COLUMNS && text[marker..].trim().contains(' ') {
            found.push(at + 1);
        }
    }
    found
}
