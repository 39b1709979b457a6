//! What goes in, what comes out, what is needed, how it keeps.

use super::{MeasureId, Visible};
use crate::quantity::{Dimension, Exact};
use crate::recipe::care::Tested;
use crate::recipe::keeping::{Limit, Mark, Pack, ProductKind};
use crate::source::Span;
use std::collections::BTreeMap;

/// Who brings a thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum BroughtBy {
    /// It is bought for the class, or stands in the hall.
    #[default]
    Hall,
    /// Each student, or each group of them.
    Student,
}

/// What goes in, what comes out, what is needed.
#[derive(Debug, Clone, PartialEq)]
pub struct Recipe {
    /// Place of the block's name, for findings about the whole.
    pub span: Span,
    /// What it makes.
    pub makes: Option<Product>,
    /// What is left over and useful.
    pub leaves: Vec<Leftover>,
    /// The ingredient whose amount a student changes to scale the batch.
    pub scale_by: Option<usize>,
    /// Batches, from least to most, for which its author vouches.
    pub scale_within: Option<(Exact, Exact)>,
    /// How many students work on one batch.
    pub students: Exact,
    /// The share of what goes in that is lost: steam, what clings to the pot. And in what.
    pub loses: Option<(MeasureId, Option<Visible>)>,
    /// How long it keeps.
    pub keeps: Vec<Keeping>,
    /// What goes in, in order.
    pub ingredients: Vec<Ingredient>,
    /// What is needed, in order.
    pub equipment: Vec<Equipment>,
    /// Any other named measure of the whole lesson.
    pub measures: BTreeMap<String, MeasureId>,
    /// The kit that goes to a student.
    pub kit: Option<Kit>,
    /// A proportion that was tested, and must not be changed.
    pub tested: Option<Tested>,
    /// What sort of make it is.
    pub kind: Option<ProductKind>,
    /// Allergens that may be in it beside those of its ingredients, as its author says: ids of
    /// [`EU_ALLERGENS`](crate::reference::EU_ALLERGENS) or [`US_ALLERGENS`](crate::reference::US_ALLERGENS).
    pub may_contain: Vec<String>,
}

/// What is packed for a student, and for how many batches it is enough.
#[derive(Debug, Clone, PartialEq)]
pub struct Kit {
    /// How many batches.
    pub batches: MeasureId,
    /// Ingredients, and how much of each is packed.
    pub packs: Vec<(usize, MeasureId)>,
}

/// An ingredient of a recipe.
#[derive(Debug, Clone, PartialEq)]
pub struct Ingredient {
    /// Its key.
    pub id: String,
    /// Place of the key.
    pub id_span: Span,
    /// The name as the author wrote it: `whole milk`.
    pub name: String,
    /// What follows the comma: `not homogenised`.
    pub note: Option<Visible>,
    /// Row of the pantry; `None` after a finding.
    pub pantry: Option<usize>,
    /// How much.
    pub amount: Option<MeasureId>,
    /// Its share, and of what: `1.5 % of curd`.
    pub share: Option<(MeasureId, String)>,
    /// How that share is to be understood.
    pub share_basis: ShareBasis,
    /// How strong it is: rennet.
    pub strength: Option<Strength>,
    /// How much of it goes to how much of another ingredient, and its name: `2 mL per 10 L of milk`.
    pub dose: Option<(MeasureId, String)>,
    /// From what strength to what it is diluted here, and with what.
    pub diluted: Option<Diluted>,
    /// The least share of it that was tested.
    pub never_below: Option<MeasureId>,
    /// Who brings it.
    pub brought_by: BroughtBy,
    /// The earlier lesson that leaves it over.
    pub from: Option<From>,
    /// What to take instead, for whoever lacks what the earlier lesson leaves.
    pub instead: Option<Visible>,
}

impl Ingredient {
    /// What is said of it beside its amount: its share, its dose, its strengths.
    pub fn said(&self) -> impl Iterator<Item = MeasureId> {
        let pairs = [self.share.as_ref(), self.dose.as_ref()];
        let strengths = self.diluted.iter().flat_map(|diluted| [diluted.from, diluted.to]);
        pairs.into_iter().flatten().map(|(id, _)| *id).chain(strengths)
    }
}

/// A strong solution that is made weaker.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diluted {
    /// Its strength.
    pub from: MeasureId,
    /// The strength wanted.
    pub to: MeasureId,
    /// The ingredient that it is diluted with, as its author named it.
    pub with: String,
    /// Where that is named.
    pub span: Span,
}

/// How much rennet does, in the trade's units of clotting.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Strength {
    /// Units (IMCU) in a millilitre or a gram.
    pub imcu: Exact,
    /// Volume or mass.
    pub per: Dimension,
    /// Where it is written.
    pub span: Span,
}

/// How a share is to be understood.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ShareBasis {
    /// A part of what it names, by weight or as both are measured: `2 % of flour`, `5 % w/w of brine`.
    #[default]
    Part,
    /// Grams in 100 mL made up: `5 % w/v of brine`.
    ByVolume,
    /// Not said: `5 % brine`.
    Unsaid,
}

/// The lesson that leaves an ingredient over, as the author named it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct From {
    /// Its slug.
    pub lesson: String,
    /// Where it is named.
    pub span: Span,
}

/// What a recipe makes.
#[derive(Debug, Clone, PartialEq)]
pub struct Product {
    /// `pressed curd`, `flatbreads`.
    pub name: String,
    /// How much or how many.
    pub amount: MeasureId,
}

/// What is left over and useful.
#[derive(Debug, Clone, PartialEq)]
pub struct Leftover {
    /// Its key.
    pub id: String,
    /// Its name: the key, unless a name follows the amount.
    pub name: String,
    /// How much.
    pub amount: MeasureId,
}

/// How long something keeps, and how.
#[derive(Debug, Clone, PartialEq)]
pub struct Keeping {
    /// Which leftover, if not the product.
    pub what: Option<Visible>,
    /// Where.
    pub place: Visible,
    /// How long.
    pub time: MeasureId,
    /// How cold.
    pub at: Option<MeasureId>,
    /// How it is packed.
    pub pack: Option<Pack>,
    /// How sour it is.
    pub ph: Option<Limit>,
    /// How much of its water is free: its water activity.
    pub aw: Option<Limit>,
    /// What its label says before the date.
    pub mark: Option<Mark>,
    /// Where it is written.
    pub span: Span,
}

/// A piece of equipment.
#[derive(Debug, Clone, PartialEq)]
pub struct Equipment {
    /// Its key.
    pub id: String,
    /// Its name.
    pub name: Visible,
    /// What it holds.
    pub holds: Option<MeasureId>,
    /// How wide or long it is.
    pub size: Option<MeasureId>,
    /// How many.
    pub count: Option<MeasureId>,
    /// Who brings it.
    pub brought_by: BroughtBy,
    /// Whether one serves the whole class, not one each group.
    pub shared: bool,
}
