//! What cautions need to know beyond amounts: what is done at a step, what is cleaned with, what was tested, who eats.

use super::closed::words;
use super::context::{ANY, Context, STUFF, TEMPERATURE, VOLUME, Want};
use super::model::{MeasureId, Owner, Visible};
use super::names::Names;
use super::table::{Fields, choice, flag, list, one_or_more, table};
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::keys::Entry;
use crate::quantity::{Amount, Dimension, Home};
use crate::reference::PantryEntry;
use crate::source::{MappedText, Span};

words! {
    /// What is done at a step, as far as cautions care.
    Deed {
        /// Something is made hot.
        Heat "heat",
        /// It is held hot on purpose.
        Hold "hold",
        /// Something cooked is cooled.
        Cool "cool",
        /// A live culture works in milk or cream.
        Culture "culture",
        /// Vegetables or fruit sour under salt.
        Ferment "ferment",
        /// A dough rises.
        Prove "prove",
        /// Curd or dough is stretched.
        Stretch "stretch",
        /// Something is kneaded or pressed with the hands.
        Knead "knead",
        /// A liquid is drained off.
        Drain "drain",
        /// A liquid is poured.
        Pour "pour",
        /// Jars or tubs are filled.
        Fill "fill",
        /// Sugar is boiled.
        BoilSugar "boil-sugar",
        /// Something is fried in fat.
        Fry "fry",
        /// Something is baked.
        Bake "bake",
        /// Filled jars are boiled.
        BoilJars "boil-jars",
        /// Filled jars are cooked under pressure.
        PressureCan "pressure-can",
        /// Jars are sealed in any other way.
        SealOtherwise "seal-otherwise",
        /// Something is steeped in oil.
        OilInfuse "oil-infuse",
        /// Tools are scalded.
        Scald "scald",
        /// Tools or benches are sanitised.
        Sanitise "sanitise",
        /// The sanitiser is poured away and rinsed off, before anything sour is fetched.
        ClearAway "clear-away",
        /// Something is heated in a microwave oven.
        Microwave "microwave",
        /// Something is cut with a blade.
        Cut "cut",
        /// Something is blended.
        Blend "blend",
        /// Something is tasted.
        Taste "taste",
        /// Something is put away to keep.
        Store "store",
        /// Cooked food is made hot again.
        Reheat "reheat",
        /// Food is served.
        Serve "serve",
    }
}

words! {
    /// Whose figures cautions go by.
    FoodLaw {
        /// United States.
        Us "us",
        /// England, Wales and Northern Ireland.
        Uk "uk",
        /// Scotland.
        Scotland "scotland",
        /// European Union.
        Eu "eu",
        /// Australia.
        Au "au",
        /// Elsewhere: the strictest figure that is known.
        Other "other",
    }
}

impl FoodLaw {
    /// The allergens of an ingredient, as ids of the list that this law has.
    pub fn allergens(self, entry: &PantryEntry) -> &[String] {
        if self == FoodLaw::Us { &entry.allergens_us } else { &entry.allergens }
    }
}

words! {
    /// Where what is made is eaten.
    Eaten {
        /// At the class.
        AtClass "at-class",
        /// At home.
        AtHome "at-home",
        /// Wherever it is sold to.
        Sold "sold",
    }
}

words! {
    /// What tools and benches are sanitised with.
    SanitiserKind {
        /// With nothing but heat.
        None "none",
        /// With household bleach: sodium hypochlorite.
        Bleach "bleach",
        /// With alcohol.
        Alcohol "alcohol",
        /// With something else.
        Other "other",
    }
}

/// Whose figures hold, and who eats.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Guests {
    /// Whose figures cautions go by.
    pub law: FoodLaw,
    /// Whether children take part; `None` where nobody says.
    pub children: Option<bool>,
    /// Where what is made is eaten; `None` where nobody says.
    pub eaten: Option<Vec<Eaten>>,
}

impl Guests {
    /// What holds where a course says nothing.
    pub fn at(home: Home) -> Guests {
        let law = match home {
            Home::Us => FoodLaw::Us,
            Home::Uk => FoodLaw::Uk,
            Home::Au => FoodLaw::Au,
            Home::Nz | Home::Ca => FoodLaw::Other,
        };
        Guests { law, children: None, eaten: None }
    }
}

/// What tools and benches are sanitised with, and how strong it is made.
#[derive(Debug, Clone, PartialEq)]
pub struct Sanitiser {
    /// With what.
    pub kind: SanitiserKind,
    /// Its strength as bought.
    pub strength: Option<MeasureId>,
    /// How much of it.
    pub amount: Option<MeasureId>,
    /// To how much water.
    pub water: Option<MeasureId>,
    /// How warm the water is.
    pub at: Option<MeasureId>,
    /// Whether it is rinsed off.
    pub rinsed: Option<bool>,
    /// Where it is said.
    pub span: Span,
}

/// A proportion that was tested, and must not be changed.
#[derive(Debug, Clone, PartialEq)]
pub struct Tested {
    /// Ingredients and how much the tested recipe takes of each.
    pub amounts: Vec<(usize, Amount, Span)>,
    /// Who tested it.
    pub by: Visible,
    /// Where it is said.
    pub span: Span,
}

/// A caution that the author overrules, and why.
#[derive(Debug, Clone, PartialEq)]
pub struct Overrule {
    /// Id of the caution.
    pub id: String,
    /// Place of the id.
    pub span: Span,
    /// The reason, which readers see.
    pub reason: Visible,
}

const SANITISER: &[&str] = &["with", "strength", "amount", "water", "at", "rinse"];
const TESTED: &[&str] = &["amounts", "by"];
const PERCENT: Want = Want { kinds: &[Dimension::Share], words: "a strength", example: "5 %" };

/// The keys of `course.toml` that cautions need.
pub(super) fn read_guests(fields: &Fields<'_>, home: Home, sink: &mut Diagnostics) -> Guests {
    let mut guests = Guests::at(home);
    let law = fields.get("food-law").and_then(|entry| choice("food-law", &entry.value, FoodLaw::NAMES, sink));
    guests.law = law.and_then(FoodLaw::from_name).unwrap_or(guests.law);
    guests.children = fields.get("children").and_then(|entry| flag("children", &entry.value, sink));
    guests.eaten = fields.get("eaten").map(|entry| {
        let items = list("eaten", &entry.value, "[\"at-home\"]", sink);
        items.iter().filter_map(|item| Eaten::from_name(choice("eaten", item, Eaten::NAMES, sink)?)).collect()
    });
    guests
}

impl Context<'_> {
    /// What a step says is done at it; `None` where it says nothing.
    pub fn deeds(&mut self, entry: &Entry) -> Vec<Deed> {
        let items = one_or_more(&entry.value).iter();
        items.filter_map(|item| Deed::from_name(choice("does", item, Deed::NAMES, self.sink)?)).collect()
    }

    /// `{ with = "bleach", strength = "5 %", amount = "10 mL", water = "5 L", rinse = true }`
    pub fn sanitiser(&mut self, entry: &Entry) -> Option<Sanitiser> {
        let example = "{ with = \"bleach\", strength = \"5 %\", amount = \"10 mL\", water = \"5 L\", rinse = true }";
        let table = table("sanitiser", &entry.value, example, self.sink)?;
        let fields = Fields::new(table, entry.key_span, "a sanitiser", SANITISER, self.sink);
        let kind = fields
            .required("with", "\"bleach\"", self.sink)
            .and_then(|entry| choice("with", &entry.value, SanitiserKind::NAMES, self.sink))
            .and_then(SanitiserKind::from_name)?;
        let owner = Owner::Named { lesson: self.lesson };
        let mut read = |key: &str, want| {
            let entry = fields.get(key)?;
            self.measured(key, &entry.value, want, &format!("sanitiser.{key}"), owner)
        };
        let (strength, amount) = (read("strength", PERCENT), read("amount", VOLUME));
        let (water, at) = (read("water", VOLUME), read("at", TEMPERATURE));
        let rinsed = fields.get("rinse").and_then(|entry| flag("rinse", &entry.value, self.sink));
        Some(Sanitiser { kind, strength, amount, water, at, rinsed, span: entry.key_span })
    }

    /// `{ amounts = { vinegar = "500 mL", cucumber = "1 kg" }, by = "who tested it" }`
    pub fn tested(&mut self, entry: &Entry, names: &Names) -> Option<Tested> {
        let example = "{ amounts = { vinegar = \"500 mL\", cucumber = \"1 kg\" }, by = \"who tested it\" }";
        let fields = Fields::new(
            table("tested", &entry.value, example, self.sink)?,
            entry.key_span,
            "what was tested",
            TESTED,
            self.sink,
        );
        let amounts = fields
            .required("amounts", "{ vinegar = \"500 mL\" }", self.sink)
            .and_then(|entry| table("amounts", &entry.value, "{ vinegar = \"500 mL\" }", self.sink));
        let mut read = Vec::new();
        for entry in amounts.map_or(&[][..], |amounts| &amounts.entries) {
            let mut id = MappedText::new(entry.key_span.file);
            id.push(&entry.key, entry.key_span.range());
            let found = self.look_up(&id, "ingredient", &names.ingredients, names.sure_of_ingredients);
            let amount = self.amount(&entry.key, &entry.value, STUFF);
            read.extend(found.zip(amount).map(|(index, (amount, span))| (index, amount, span)));
        }
        let by = fields
            .required("by", "\"who tested it\"", self.sink)
            .and_then(|entry| self.visible_text("by", &entry.value, "who tested it", None))?;
        Some(Tested { amounts: read, by, span: entry.key_span })
    }

    /// `{ untreated-milk = "We pasteurise it ourselves, in the first step." }`
    pub fn overrules(&mut self, entry: &Entry) -> Vec<Overrule> {
        let example = "{ untreated-milk = \"We pasteurise it ourselves, in the first step.\" }";
        let Some(table) = table("overrules", &entry.value, example, self.sink) else { return Vec::new() };
        let mut overrules = Vec::new();
        for entry in &table.entries {
            let Some(reason) = self.visible_text(&entry.key, &entry.value, "Why it does not apply here.", None) else {
                continue;
            };
            if reason.text.split_whitespace().count() < 3 {
                let span = reason.home(0..reason.text.len());
                let message = format!("`{}` is overruled without a reason", entry.key);
                let found = Diagnostic::new(Code::WrongType, message, span).label("this is no reason");
                self.sink
                    .push(found.help("say in a sentence why the caution does not hold here: it is printed with it"));
            }
            overrules.push(Overrule { id: entry.key.clone(), span: entry.key_span, reason });
        }
        overrules
    }

    /// The least share of a thing that was tested: `never-below = "2 %"`.
    pub fn never_below(&mut self, id: &str, entry: &Entry) -> Option<MeasureId> {
        let owner = Owner::Named { lesson: self.lesson };
        let want = Want { kinds: &[Dimension::Share], words: "a share", ..ANY };
        self.measured("never-below", &entry.value, want, &format!("ingredients.{id}.never-below"), owner)
    }
}
