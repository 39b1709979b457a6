//! Lists of figures behind the sums: compositions, legal holds, altitude, brine, syrups, yields, doses.

use super::load::read_table;
use super::status::Status;
use crate::diag::Diagnostics;
use crate::source::{FileId, Sources};
use serde::Deserialize;

/// The files they stand in.
pub(super) const FIGURE_FILES: [&str; 7] = [
    "shared/composition.toml",
    "shared/holds.toml",
    "shared/altitude.toml",
    "shared/brine.toml",
    "shared/preserves.toml",
    "shared/yields.toml",
    "shared/doses.toml",
];

/// All lists. A file may hold any of them; lists of one name are joined.
#[derive(Debug, Clone, Default, PartialEq, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Figures {
    /// What foods are made of.
    #[serde(rename = "food")]
    pub foods: Vec<Food>,
    /// Legal pairs of temperature and time.
    #[serde(rename = "hold")]
    pub holds: Vec<Hold>,
    /// Bands of heat that a law names.
    #[serde(rename = "band")]
    pub bands: Vec<HeatBand>,
    /// Stages of cooling, in order.
    pub cooling: Vec<CoolingStage>,
    /// Added canning time by altitude, lowest first.
    pub canning: Vec<CanningStep>,
    /// Density of brine by strength, weakest first.
    #[serde(rename = "density")]
    pub densities: Vec<BrineDensity>,
    /// How much salt dissolves, coldest first.
    #[serde(rename = "saturation")]
    pub saturations: Vec<Saturation>,
    /// What 100 degrees of a salometer mean.
    #[serde(rename = "salometer")]
    pub salometers: Vec<Salometer>,
    /// Sugar syrups, weakest first.
    #[serde(rename = "syrup")]
    pub syrups: Vec<Syrup>,
    /// Laws of jam.
    #[serde(rename = "jam")]
    pub jams: Vec<JamLaw>,
    /// Usual yields.
    #[serde(rename = "yield")]
    pub yields: Vec<YieldRange>,
    /// Kinds of yeast.
    #[serde(rename = "yeast")]
    pub yeasts: Vec<Yeast>,
    /// Usual doses.
    #[serde(rename = "dose")]
    pub doses: Vec<Dose>,
}

/// Composition in parts of 100 by weight.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Food {
    /// Id of the pantry entry.
    pub id: String,
    /// What was analysed.
    pub name: String,
    /// Water.
    pub water: f64,
    /// Protein.
    pub protein: f64,
    /// Fat.
    pub fat: f64,
    /// Carbohydrate by difference: with the fibre, where that is not given apart.
    pub carbohydrate: f64,
    /// Fibre, where it is given apart.
    #[serde(default)]
    pub fibre: f64,
    /// Ash.
    pub ash: f64,
    /// Number of the food in its source, or how it was arrived at.
    pub basis: String,
    /// Id of its source.
    pub source: String,
    /// How well it is known.
    pub status: Status,
}

/// A legal pair: at least so hot, for at least so long.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Hold {
    /// Whose law: `us`, `eu`, `codex`, `au`, `uk-1995`.
    pub law: String,
    /// Class of product: `milk`, `rich-milk` …
    pub product: String,
    /// °C as the law prints it.
    pub celsius: f64,
    /// °F, where the law was made in °F.
    #[serde(default)]
    pub fahrenheit: Option<f64>,
    /// Least time.
    pub seconds: f64,
    /// Id of its source.
    pub source: String,
    /// How well it is known.
    pub status: Status,
}

/// A band of heat that a law names without making it a [`Hold`].
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct HeatBand {
    /// Its id: `uht`, `thermisation`.
    pub id: String,
    /// Whose law.
    pub law: String,
    /// At least this.
    pub low_celsius: f64,
    /// At most this.
    #[serde(default)]
    pub high_celsius: Option<f64>,
    /// For so long.
    #[serde(default)]
    pub seconds: Option<f64>,
    /// Id of its source.
    pub source: String,
    /// How well it is known.
    pub status: Status,
}

/// One stage of cooling: from one temperature to the next within a time.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct CoolingStage {
    /// Whose law.
    pub law: String,
    /// From this.
    pub from_celsius: f64,
    /// To this.
    pub to_celsius: f64,
    /// Within this.
    pub seconds: f64,
    /// Id of its source.
    pub source: String,
    /// How well it is known.
    pub status: Status,
}

/// Minutes added to a canning time between two altitudes.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct CanningStep {
    /// Above this.
    pub above_metres: f64,
    /// Up to this.
    pub to_metres: f64,
    /// Added.
    pub extra_minutes: f64,
    /// Id of its source.
    pub source: String,
    /// How well it is known.
    pub status: Status,
}

/// Density of a brine at 20 °C.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct BrineDensity {
    /// Salt in 100 parts of brine, by weight.
    pub percent: f64,
    /// Density.
    pub kg_per_m3: f64,
    /// Id of its source.
    pub source: String,
    /// How well it is known.
    pub status: Status,
}

/// How much salt dissolves.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Saturation {
    /// At this temperature.
    pub celsius: f64,
    /// Salt in a kilogram of water.
    pub g_per_kg_water: f64,
    /// Id of its source.
    pub source: String,
    /// How well it is known.
    pub status: Status,
}

/// What 100 degrees of a salometer mean.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Salometer {
    /// Its id: `usual`, `canning`.
    pub id: String,
    /// Salt in 100 parts of brine, by weight, at 100 degrees.
    pub percent: f64,
    /// Id of its source.
    pub source: String,
    /// How well it is known.
    pub status: Status,
}

/// A syrup of sucrose.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Syrup {
    /// Sucrose in 100 parts of syrup, by weight.
    pub brix: f64,
    /// Apparent density at 20 °C.
    pub g_per_ml: f64,
    /// How far above water it boils.
    pub rise_kelvin: f64,
    /// Id of its source.
    pub source: String,
    /// How well it is known.
    pub status: Status,
}

/// What the fruit of a jam is a share of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum FruitPer {
    /// A kilogram of finished jam.
    Finished,
    /// A kilogram of the fruit and sweetener that went in.
    Ingredients,
}

/// Least fruit and least soluble solids of a jam.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct JamLaw {
    /// Whose law.
    pub law: String,
    /// Name of the product.
    pub product: String,
    /// Least fruit.
    pub fruit_g_per_kg: f64,
    /// In a kilogram of what.
    pub per: FruitPer,
    /// Least soluble solids, in 100 parts.
    pub solids_percent: f64,
    /// Id of its source.
    pub source: String,
    /// How well it is known.
    pub status: Status,
}

/// What usually comes of a kilogram of what goes in.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct YieldRange {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// What goes in: `milk`, `cream`, `yoghurt`.
    pub from: String,
    /// Kilograms of a kilogram, at least.
    pub low: f64,
    /// Kilograms of a kilogram, at most.
    pub high: f64,
    /// Id of its source.
    pub source: String,
    /// How well it is known.
    pub status: Status,
}

/// A kind of yeast.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Yeast {
    /// Its id: `fresh`, `active-dry`, `instant`.
    pub id: String,
    /// Amount that raises like 1 of fresh yeast.
    pub per_fresh: f64,
    /// Id of its source.
    pub source: String,
    /// How well it is known.
    pub status: Status,
}

/// A usual dose for a litre of milk.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Dose {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// `IMCU` or `g`.
    pub unit: String,
    /// At least.
    pub low: f64,
    /// At most.
    pub high: f64,
    /// Id of its source.
    pub source: String,
    /// How well it is known.
    pub status: Status,
}

impl Figures {
    /// Joins the lists of all files that are there.
    pub(super) fn read(sources: &Sources, file: impl Fn(&str) -> Option<FileId>, sink: &mut Diagnostics) -> Figures {
        let mut all = Figures::default();
        for path in FIGURE_FILES {
            if let Some(more) = file(path).and_then(|file| read_table::<Figures>(sources, file, sink)) {
                all.join(more);
            }
        }
        all
    }

    fn join(&mut self, more: Figures) {
        self.foods.extend(more.foods);
        self.holds.extend(more.holds);
        self.bands.extend(more.bands);
        self.cooling.extend(more.cooling);
        self.canning.extend(more.canning);
        self.densities.extend(more.densities);
        self.saturations.extend(more.saturations);
        self.salometers.extend(more.salometers);
        self.syrups.extend(more.syrups);
        self.jams.extend(more.jams);
        self.yields.extend(more.yields);
        self.yeasts.extend(more.yeasts);
        self.doses.extend(more.doses);
    }

    /// Id of the source of every row, for tests and lists of sources.
    pub fn source_ids(&self) -> impl Iterator<Item = &str> {
        let foods = self.foods.iter().map(|row| &row.source).chain(self.holds.iter().map(|row| &row.source));
        let heat = self.bands.iter().map(|row| &row.source).chain(self.cooling.iter().map(|row| &row.source));
        let jars = self.canning.iter().map(|row| &row.source).chain(self.densities.iter().map(|row| &row.source));
        let salt = self.saturations.iter().map(|row| &row.source).chain(self.salometers.iter().map(|row| &row.source));
        let jams = self.syrups.iter().map(|row| &row.source).chain(self.jams.iter().map(|row| &row.source));
        let rest = self.yields.iter().map(|row| &row.source).chain(self.yeasts.iter().map(|row| &row.source));
        let rest = rest.chain(self.doses.iter().map(|row| &row.source));
        foods.chain(heat).chain(jars).chain(salt).chain(jams).chain(rest).map(String::as_str)
    }
}
