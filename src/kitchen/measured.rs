//! What is asked of a kitchen and what it answers.

use crate::quantity::{Bound, Dimension, Exact, Unit, UnitId, Units};

/// How much an ingredient forgives.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Care {
    /// Flour, milk, herbs: what half a step of a spoon set brings is forgiven, a third of the amount at the worst.
    #[default]
    Ordinary,
    /// Rennet, salt, acids and other additives, yeast, cultures: a twentieth at the most.
    Careful,
}

impl Care {
    /// The largest error, as a share of the amount, with which a way of measuring is still offered.
    ///
    /// Common practice: a spoonful of fine salt spreads by ±5 %, so a dose that matters is held to that; and between
    /// two neighbouring spoons, such as ⅛ and ¼ tsp, a third is the most that rounding can move.
    pub fn limit(self) -> Exact {
        match self {
            Care::Ordinary => Exact::new(1, 3),
            Care::Careful => Exact::new(1, 20),
        }
    }

    /// What a pantry entry's tags ask for.
    pub fn of_tags(tags: &[String]) -> Care {
        // Buttermilk is a live starter too, but one is poured by the cup.
        const CAREFUL: [&str; 5] = ["additive", "culture", "rennet", "salt", "yeast"];
        let careful = tags.iter().any(|tag| CAREFUL.contains(&tag.as_str()));
        if careful { Care::Careful } else { Care::Ordinary }
    }
}

/// What the reader would rather measure with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Tool {
    /// Weigh it, where a density allows.
    #[default]
    Scale,
    /// A measuring jug; in a US kitchen, cups.
    Jug,
    /// Spoons and cups.
    Spoons,
    /// A beaker with fine marks: what a spoon or cup holds, told in mL.
    Beaker,
    /// A pot or a tub, which nobody fills to a spoonful; in a US kitchen, quarts.
    Pot,
}

impl Tool {
    /// All tools.
    pub const ALL: [Tool; 5] = [Tool::Scale, Tool::Jug, Tool::Spoons, Tool::Beaker, Tool::Pot];
}

impl Tool {
    /// The tool that a written unit speaks of.
    pub fn of_unit(unit: &Unit) -> Tool {
        let vessel = ["cup", "spoon", "stick of butter"].iter().any(|thing| unit.one.ends_with(thing));
        match unit.dimension {
            Dimension::Volume if vessel || unit.approximate => Tool::Spoons,
            Dimension::Volume => Tool::Jug,
            _ => Tool::Scale,
        }
    }
}

/// What is known about an amount that is to be measured out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ask {
    /// What the reader would rather measure with.
    pub tool: Tool,
    /// How much the ingredient forgives.
    pub care: Care,
    /// Grams per millilitre, where the pantry holds a figure.
    pub density: Option<Exact>,
    /// A limit is rounded to its safe side: "at least" up, "at most" down. Readings, times and lengths only.
    pub bound: Bound,
    /// Whether a temperature is an oven's setting.
    pub oven: bool,
}

impl Default for Ask {
    fn default() -> Ask {
        Ask { tool: Tool::Scale, care: Care::Ordinary, density: None, bound: Bound::None, oven: false }
    }
}

/// How an amount is measured out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Method {
    /// Spoons, cups and, for much, US quarts and gallons.
    Spoons,
    /// A jug with marks.
    Jug,
    /// A kitchen scale.
    Scale,
    /// A pocket scale that shows hundredths of a gram.
    FineScale,
    /// A ruler.
    Ruler,
    /// A timer.
    Timer,
    /// A thermometer or an oven's dial.
    Degrees,
    /// Counted.
    Count,
    /// Nothing that is measured out: a share, an energy. At most four figures are shown.
    Figures,
}

/// One filling or reading: `1 tbsp`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Part {
    /// How many.
    pub number: Exact,
    /// Of what.
    pub unit: UnitId,
    /// Whether its bare name will do: a cup or spoon of the reader's own home. Pints are always named in full,
    /// because a US and an imperial pint differ by a fifth.
    pub bare: bool,
}

impl Part {
    /// Its value in the base unit.
    pub fn base(&self, units: &Units) -> Exact {
        units.get(self.unit).to_base(self.number)
    }
}

/// An amount as one would measure it.
#[derive(Debug, Clone, PartialEq)]
pub struct Measured {
    /// In words: `about ¼ cup + 3 tbsp`.
    pub text: String,
    /// What to measure out, the largest first; together they are `rounded`.
    pub parts: Vec<Part>,
    /// With what.
    pub method: Method,
    /// What `exact` and `rounded` measure: the mass, where a volume is weighed.
    pub dimension: Dimension,
    /// The exact value, in the base unit of `dimension`.
    pub exact: Exact,
    /// What is measured out, in the same unit.
    pub rounded: Exact,
    /// (rounded − exact) / exact; of a temperature, which has no share, rounded − exact in kelvin.
    pub error: Exact,
    /// Whether rounding moved an amount by more than 2 %, so that it is "about" that much.
    pub about: bool,
}

/// Two ends of a range, measured in the same way.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasuredRange {
    /// In words: `550–650 g`.
    pub text: String,
    /// The lower end.
    pub low: Measured,
    /// The upper end.
    pub high: Measured,
}

/// An amount that nothing in the kitchen can measure within the ingredient's limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("too small to measure")]
pub struct Unmeasurable {
    /// The amount, in the base unit of the dimension it was asked in.
    pub exact: Exact,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Home;
    use crate::reference::Reference;

    #[test]
    fn doses_that_can_spoil_a_batch_are_careful() {
        let reference = Reference::built_in(Home::Uk);
        let care = |name: &str| {
            let entry = reference.pantry.get(reference.pantry.find(name).unwrap());
            Care::of_tags(&entry.tags)
        };
        for name in ["fine salt", "liquid rennet", "citric acid", "instant yeast", "mesophilic starter culture"] {
            assert_eq!(care(name), Care::Careful, "{name}");
        }
        for name in ["whole milk", "buttermilk", "plain flour"] {
            assert_eq!(care(name), Care::Ordinary, "{name}");
        }
    }

    #[test]
    fn a_unit_names_its_tool() {
        let units = Reference::built_in(Home::Uk).units;
        let tool = |id: &str| Tool::of_unit(units.get(units.find(id).unwrap()));
        assert_eq!(tool("metric-teaspoon"), Tool::Spoons);
        assert_eq!(tool("us-cup"), Tool::Spoons);
        assert_eq!(tool("pinch"), Tool::Spoons);
        assert_eq!(tool("litre"), Tool::Jug);
        assert_eq!(tool("ounce"), Tool::Scale);
    }
}
