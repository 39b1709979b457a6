//! Units as data: what each is worth, and how people spell it.

use super::style::Style;
use super::{Dimension, Exact};
use std::collections::BTreeMap;

/// Where the author teaches: decides what a bare pint, cup, spoon or degree means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Home {
    /// United Kingdom: imperial pints, 250 mL cups, °C.
    Uk,
    /// United States.
    Us,
    /// Australia: 20 mL tablespoons.
    Au,
    /// New Zealand.
    Nz,
    /// Canada.
    Ca,
}

impl Home {
    /// All homes.
    pub const ALL: [Home; 5] = [Home::Uk, Home::Us, Home::Au, Home::Nz, Home::Ca];

    /// As written in `course.toml`.
    pub fn name(self) -> &'static str {
        match self {
            Home::Uk => "uk",
            Home::Us => "us",
            Home::Au => "au",
            Home::Nz => "nz",
            Home::Ca => "ca",
        }
    }

    /// Reads a name as `course.toml` writes it.
    pub fn from_name(name: &str) -> Option<Home> {
        Home::ALL.into_iter().find(|home| home.name() == name)
    }
}

/// Units of one system are exact multiples of each other; between systems the trade rounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum System {
    /// Grams, litres, metric spoons and cups, °C.
    Metric,
    /// US customary liquid measures.
    Us,
    /// Imperial liquid measures.
    Imperial,
    /// The same in the US and the UK: ounces, pounds, inches, °F.
    Customary,
    /// US food labels: the 240 mL cup.
    Label,
    /// Common to all: time, shares, counts.
    Any,
}

impl System {
    /// Reads a name as `shared/units.toml` writes it.
    pub fn from_name(name: &str) -> Option<System> {
        Some(match name {
            "metric" => System::Metric,
            "us" => System::Us,
            "imperial" => System::Imperial,
            "customary" => System::Customary,
            "label" => System::Label,
            "any" => System::Any,
            _ => return None,
        })
    }
}

/// Which unit: an index into the table it came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct UnitId(u16);

/// One unit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unit {
    /// Id in `shared/units.toml`.
    pub id: String,
    /// What it measures.
    pub dimension: Dimension,
    /// Which family it belongs to.
    pub system: System,
    /// One of it in g, mL, mm, s, °C, K, fraction, pieces, J or W.
    pub size: Exact,
    /// Temperatures: °C = size × value + zero.
    pub zero: Exact,
    /// Printed after a number: `mL`.
    pub symbol: String,
    /// In words, one of it.
    pub one: String,
    /// In words, several.
    pub many: String,
    /// A pinch is not a measure that can be held to.
    pub approximate: bool,
    /// Id of the source of its size.
    pub source: String,
}

impl Unit {
    /// The value in the dimension's base unit of `value` of this.
    pub fn to_base(&self, value: Exact) -> Exact {
        value * self.size + self.zero
    }

    /// How many of this a base value is.
    pub fn from_base(&self, base: Exact) -> Exact {
        (base - self.zero) / self.size
    }
}

/// What the trade calls a unit of another system: an ounce of 30 g.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Convention {
    /// Id in `shared/units.toml`.
    pub id: String,
    /// The unit that is spoken of.
    pub unit: UnitId,
    /// What is measured for one of it, in g or mL.
    pub size: Exact,
    /// Id of its source.
    pub source: String,
}

/// A unit found at the start of a text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct UnitMatch {
    /// The unit, by the author's home where the word was bare.
    pub unit: UnitId,
    /// Bytes of text taken, a closing full stop left out.
    pub len: usize,
    /// Whether the word was bare: a pint, not a US pint.
    pub bare: bool,
}

/// The units one author can mean, compiled for reading: longest spelling first, one walk for all of them.
#[derive(Debug, Clone)]
pub struct Units {
    units: Vec<Unit>,
    by_id: BTreeMap<String, UnitId>,
    piece: UnitId,
    fraction: UnitId,
    gas: UnitId,
    nodes: Vec<Node>,
    /// Bare words as printed: symbol, one, many.
    bare_names: BTreeMap<UnitId, (String, String, String)>,
    gas_marks: Vec<GasMark>,
    conventions: Vec<Convention>,
    dials: Vec<(Exact, Exact)>,
    style: Style,
}

/// A gas mark and the dials that trade tables set beside it. No exact conversion of each other.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GasMark {
    /// The mark.
    pub mark: Exact,
    /// Its figures in °C, the usual one first.
    pub celsius: Vec<Exact>,
    /// Its figure in °F.
    pub fahrenheit: Exact,
}

#[derive(Debug, Clone, Default)]
struct Node {
    /// By letter, in order.
    next: Vec<(char, u32)>,
    /// Ends here in any letter case.
    word: Option<(UnitId, bool)>,
    /// Ends here with exactly these letters.
    symbol: Option<(UnitId, bool)>,
}

/// Collects units and spellings into [`Units`].
#[derive(Debug, Default)]
pub struct UnitsBuilder {
    units: Vec<Unit>,
    spellings: Vec<(String, bool, UnitId, bool)>,
    bare_names: BTreeMap<UnitId, (String, String, String)>,
    gas_marks: Vec<GasMark>,
    conventions: Vec<Convention>,
    dials: Vec<(Exact, Exact)>,
    style: Style,
}

impl UnitsBuilder {
    /// Adds a gas mark.
    pub fn gas_mark(&mut self, mark: GasMark) {
        self.gas_marks.push(mark);
    }

    /// Adds a unit; its spellings follow.
    pub fn unit(&mut self, unit: Unit) -> UnitId {
        let id = UnitId(u16::try_from(self.units.len()).expect("a table of units has fewer than 65 536 rows"));
        self.units.push(unit);
        id
    }

    /// Id of a unit added before.
    pub fn find(&self, id: &str) -> Option<UnitId> {
        self.units.iter().position(|unit| unit.id == id).map(|at| UnitId(at as u16))
    }

    /// A spelling in any letter case. `bare` when the author's home decided the unit.
    pub fn word(&mut self, text: &str, unit: UnitId, bare: bool) {
        self.spellings.push((text.to_lowercase(), false, unit, bare));
    }

    /// A spelling with exactly these letters.
    pub fn symbol(&mut self, text: &str, unit: UnitId, bare: bool) {
        self.spellings.push((text.to_owned(), true, unit, bare));
    }

    /// How a bare word for this unit is printed: symbol, singular, plural.
    pub fn bare_names(&mut self, unit: UnitId, symbol: &str, one: &str, many: &str) {
        self.bare_names.insert(unit, (symbol.to_owned(), one.to_owned(), many.to_owned()));
    }

    /// How numbers are written in this course.
    pub fn style(&mut self, style: Style) {
        self.style = style;
    }

    /// A convention that holds in this course.
    pub fn convention(&mut self, convention: Convention) {
        self.conventions.push(convention);
    }

    /// Two figures, in °C and °F, that stand for one setting of an oven.
    pub fn dial(&mut self, celsius: Exact, fahrenheit: Exact) {
        self.dials.push((celsius, fahrenheit));
    }

    /// The compiled table. A piece, a fraction and the gas mark are always in it.
    pub fn build(mut self) -> Units {
        let always = [
            (Units::PIECE, Dimension::Count),
            (Units::FRACTION, Dimension::Share),
            (Units::GAS_MARK, Dimension::Temperature),
        ];
        let [piece, fraction, gas] = always.map(|(id, dimension)| {
            self.unit(Unit {
                id: id.to_owned(),
                dimension,
                system: System::Any,
                size: Exact::ONE,
                zero: Exact::ZERO,
                symbol: String::new(),
                one: String::new(),
                many: String::new(),
                approximate: false,
                source: String::new(),
            })
        });
        let by_id = self.units.iter().enumerate().map(|(at, unit)| (unit.id.clone(), UnitId(at as u16))).collect();
        let mut units = Units {
            units: self.units,
            by_id,
            piece,
            fraction,
            gas,
            nodes: vec![Node::default()],
            bare_names: self.bare_names,
            gas_marks: self.gas_marks,
            conventions: self.conventions,
            dials: self.dials,
            style: self.style,
        };
        for (text, exact, unit, bare) in self.spellings {
            units.insert(&text, exact, unit, bare);
        }
        units
    }
}

impl Units {
    /// Id of the unit of counted things.
    pub const PIECE: &str = "piece";
    /// Id of the unit of plain fractions: half of something.
    pub const FRACTION: &str = "fraction";
    /// Id of the unit of gas marks, which are names of dials rather than multiples of anything.
    pub const GAS_MARK: &str = "gas-mark";

    /// The unit of an id handed out by this table.
    pub fn get(&self, id: UnitId) -> &Unit {
        &self.units[usize::from(id.0)]
    }

    /// A unit by its id in `shared/units.toml`.
    pub fn find(&self, id: &str) -> Option<UnitId> {
        self.by_id.get(id).copied()
    }

    /// The unit of counted things.
    pub fn piece(&self) -> UnitId {
        self.piece
    }

    /// The unit of plain fractions.
    pub fn fraction(&self) -> UnitId {
        self.fraction
    }

    /// The unit of gas marks.
    pub fn gas(&self) -> UnitId {
        self.gas
    }

    /// The dials beside a gas mark.
    pub fn gas_mark(&self, mark: Exact) -> Option<&GasMark> {
        self.gas_marks.iter().find(|row| row.mark == mark)
    }

    /// All units, in table order.
    pub fn iter(&self) -> impl Iterator<Item = (UnitId, &Unit)> {
        self.units.iter().enumerate().map(|(at, unit)| (UnitId(at as u16), unit))
    }

    /// Symbol, singular and plural for printing; the bare word where the author used one.
    pub fn names(&self, id: UnitId, bare: bool) -> (&str, &str, &str) {
        match self.bare_names.get(&id) {
            Some((symbol, one, many)) if bare => (symbol, one, many),
            _ => {
                let unit = self.get(id);
                (&unit.symbol, &unit.one, &unit.many)
            }
        }
    }

    /// How numbers are written in this course.
    pub fn style(&self) -> Style {
        self.style
    }

    /// The conventions that hold in this course.
    pub fn conventions(&self) -> &[Convention] {
        &self.conventions
    }

    /// Whether two figures, in °C and °F, are printed for one setting of an oven.
    pub fn is_dial(&self, celsius: Exact, fahrenheit: Exact) -> bool {
        self.dials.contains(&(celsius, fahrenheit))
    }

    /// The unit of *changes* on the same scale: °C → kelvin steps.
    pub fn change_of(&self, temperature: UnitId) -> Option<UnitId> {
        let unit = self.get(temperature);
        self.iter()
            .find(|(_, other)| other.dimension == Dimension::Difference && other.size == unit.size)
            .map(|(id, _)| id)
    }

    /// The longest spelling that `text` begins with and that ends at a word's edge.
    pub fn match_start(&self, text: &str) -> Option<UnitMatch> {
        let (mut words, mut symbols) = (Some(0u32), Some(0u32));
        let mut best = None;
        let mut chars = text.char_indices().peekable();
        while let Some((at, raw)) = chars.next() {
            let mut after = at + raw.len_utf8();
            let mut folded = fold(raw);
            if folded == ' ' {
                while let Some(&(next, more)) = chars.peek() {
                    if fold(more) != ' ' {
                        break;
                    }
                    after = next + more.len_utf8();
                    chars.next();
                }
            }
            symbols = symbols.and_then(|node| self.step(node, folded));
            folded = folded.to_lowercase().next().unwrap_or(folded);
            words = words.and_then(|node| self.step(node, folded));
            if words.is_none() && symbols.is_none() {
                break;
            }
            let word = words.and_then(|node| self.nodes[node as usize].word);
            let symbol = symbols.and_then(|node| self.nodes[node as usize].symbol);
            if let Some((unit, bare)) = symbol.or(word)
                && ends_word(raw, &text[after..])
            {
                // The stop of an abbreviation belongs to it, unless it may end the sentence.
                let goes_on = text[after..]
                    .trim_start()
                    .starts_with(|c: char| c.is_lowercase() || c.is_ascii_digit() || c == '(');
                let len = if raw == '.' && !goes_on { at } else { after };
                best = Some(UnitMatch { unit, len, bare });
            }
        }
        best
    }

    fn step(&self, node: u32, letter: char) -> Option<u32> {
        let next = &self.nodes[node as usize].next;
        next.binary_search_by_key(&letter, |(edge, _)| *edge).ok().map(|at| next[at].1)
    }

    fn insert(&mut self, text: &str, exact: bool, unit: UnitId, bare: bool) {
        let mut node = 0u32;
        for letter in text.chars() {
            node = match self.step(node, letter) {
                Some(next) => next,
                None => {
                    let next = self.nodes.len() as u32;
                    self.nodes.push(Node::default());
                    let edges = &mut self.nodes[node as usize].next;
                    let at = edges.partition_point(|(edge, _)| *edge < letter);
                    edges.insert(at, (letter, next));
                    next
                }
            };
        }
        let end = &mut self.nodes[node as usize];
        let slot = if exact { &mut end.symbol } else { &mut end.word };
        slot.get_or_insert((unit, bare));
    }
}

/// Whether a spelling that ended with `last` may end before `rest`.
fn ends_word(last: char, rest: &str) -> bool {
    match rest.chars().next() {
        Some(next) if last.is_alphabetic() => {
            // `1h30` is an hour and a half; `cm2` and `m³` are not lengths.
            let time_then_digit = next.is_ascii_digit() && last == 'h';
            !next.is_alphanumeric() && next != '²' && next != '³' || time_then_digit
        }
        Some(next) => !next.is_alphabetic() || !last.is_alphanumeric() && last != '°',
        None => true,
    }
}

/// Look-alikes to one letter. Not a Unicode normal form: those turn `1½` into eleven halves and `º` into a letter.
pub(crate) fn fold(letter: char) -> char {
    match letter {
        'º' | '˚' => '°',
        '\u{0421}' | '\u{FF23}' => 'C', // Cyrillic and full-width C after a degree sign
        '\u{FF26}' => 'F',
        '\u{FF05}' | '٪' => '%',
        '\u{2033}' | '”' => '″',
        c if c.is_whitespace() || matches!(c, '\u{200A}' | '\u{2060}') => ' ',
        c => c,
    }
}
