//! What a class needs: how much of everything over all its lessons, in which packs, what is left and what it costs; which
//! equipment must stand ready, and what students bring.
//!
//! One group makes one batch. All figures are exact; what a page says of them is its own business.

use super::leftovers::source;
use super::packs::{PackSize, choose};
use super::rounding::round_toward;
use crate::quantity::{Bound, Dimension, Exact, UnitId};
use crate::recipe::{BroughtBy, Course, Equipment, Ingredient, Recipe};
use crate::reference::{PantryEntry, Reference, Storage};

/// Which class is asked about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClassAsk {
    /// The lessons, as indices into the course, in order.
    pub lessons: Vec<usize>,
    /// How many students.
    pub students: usize,
    /// How many groups; else as many as each lesson's students to a batch make.
    pub groups: Option<usize>,
}

/// What the class needs.
#[derive(Debug, Clone, PartialEq)]
pub struct ClassPlan {
    /// How many students.
    pub students: usize,
    /// Its lessons.
    pub lessons: Vec<ClassLesson>,
    /// What is bought, in the order in which lessons need it.
    pub buy: Vec<Purchase>,
    /// What students bring, a row for each lesson's ingredient.
    pub brought: Vec<Portion>,
    /// What an earlier lesson leaves for a later one.
    pub handed_on: Vec<HandedOn>,
    /// Equipment, in the order in which lessons need it.
    pub equipment: Vec<Piece>,
    /// What all that has a price costs.
    pub total: Exact,
    /// The same for each student, rounded up to the hundredth.
    pub each: Exact,
}

/// A lesson of the class.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ClassLesson {
    /// Which.
    pub lesson: usize,
    /// How many groups, each with its own batch; none where nothing is made.
    pub groups: usize,
}

/// An ingredient of one lesson, for all its groups.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Portion {
    /// The lesson.
    pub lesson: usize,
    /// Which ingredient of its recipe.
    pub ingredient: usize,
    /// How many groups take it.
    pub groups: usize,
}

/// An ingredient that an earlier lesson leaves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct HandedOn {
    /// What takes it.
    pub portion: Portion,
    /// The lesson that leaves it.
    pub from: usize,
}

/// A line of the shopping list.
#[derive(Debug, Clone, PartialEq)]
pub struct Purchase {
    /// Row of the pantry.
    pub pantry: usize,
    /// Who takes it.
    pub portions: Vec<Portion>,
    /// What `need`, `held` and `left` measure.
    pub dimension: Dimension,
    /// A unit to tell them in, and whether its bare word was written.
    pub unit: (UnitId, bool),
    /// How much is needed, in the base unit, ranges at their upper end.
    pub need: Exact,
    /// Whether part of the need, or a pack, was worked out through a density or the weight of a piece.
    pub converted: bool,
    /// Indices of packs in the pantry's row, and how many of each; empty where no pack can be told.
    pub packs: Vec<(usize, usize)>,
    /// What those packs hold together.
    pub held: Exact,
    /// What they cost; `None` without packs or without a price.
    pub cost: Option<Exact>,
}

impl Purchase {
    /// What is left over.
    pub fn left(&self) -> Exact {
        self.held - self.need
    }
}

/// A piece of equipment over all lessons.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// The first lesson that needs it.
    pub lesson: usize,
    /// Which piece of its recipe.
    pub equipment: usize,
    /// Who brings it.
    pub brought_by: BroughtBy,
    /// How many must be there: as many as the lesson that takes most, since a pot serves again on another evening.
    pub most: Exact,
    /// How many each lesson takes.
    pub each: Vec<(usize, Exact)>,
}

/// What a class needs for its lessons.
pub fn class_plan(course: &Course, reference: &Reference, ask: &ClassAsk) -> ClassPlan {
    let supplied = |lesson, ingredient| source(course, reference, lesson, ingredient).map(|source| source.lesson);
    plan_with(course, reference, ask, &supplied)
}

fn plan_with(
    course: &Course,
    reference: &Reference,
    ask: &ClassAsk,
    supplied: &dyn Fn(usize, usize) -> Option<usize>,
) -> ClassPlan {
    let lessons: Vec<ClassLesson> = ask
        .lessons
        .iter()
        .map(|lesson| ClassLesson { lesson: *lesson, groups: groups(course, ask, *lesson) })
        .collect();
    let (mut bought, mut brought, mut handed_on) = (Vec::new(), Vec::new(), Vec::new());
    for ClassLesson { lesson, groups } in &lessons {
        let Some(recipe) = &course.lessons[*lesson].recipe else { continue };
        for (index, ingredient) in recipe.ingredients.iter().enumerate() {
            let portion = Portion { lesson: *lesson, ingredient: index, groups: *groups };
            match supplied(*lesson, index) {
                Some(from) => handed_on.push(HandedOn { portion, from }),
                None if ingredient.brought_by == BroughtBy::Student => brought.push(portion),
                None => bought.push(portion),
            }
        }
    }
    let buy = Shopper { course, reference }.lines(&bought);
    let total: Exact = buy.iter().filter_map(|line| line.cost).sum();
    let penny = Exact::new(1, 100);
    let each = round_toward(total / Exact::whole(ask.students.max(1) as i128), penny, Bound::AtLeast);
    ClassPlan {
        students: ask.students,
        equipment: pieces(course, &lessons),
        lessons,
        buy,
        brought,
        handed_on,
        total,
        each,
    }
}

/// How many groups cook in a lesson.
pub(super) fn groups(course: &Course, ask: &ClassAsk, lesson: usize) -> usize {
    let Some(recipe) = &course.lessons[lesson].recipe else { return 0 };
    let by_batch = || {
        let groups = Exact::whole(ask.students as i128) / recipe.students;
        usize::try_from(round_toward(groups, Exact::ONE, Bound::AtLeast).over()).unwrap_or(ask.students)
    };
    ask.groups.unwrap_or_else(by_batch)
}

impl Portion {
    /// The ingredient it is of.
    pub fn of<'a>(&self, course: &'a Course) -> Option<&'a Ingredient> {
        course.lessons.get(self.lesson)?.recipe.as_ref()?.ingredients.get(self.ingredient)
    }

    /// How much all groups take, in the base unit of what the recipe measures it in.
    pub fn need(&self, course: &Course) -> Option<Exact> {
        let amount = &course.measure(self.of(course)?.amount?).amount;
        Some(amount.high.quantity.base() * Exact::whole(self.groups as i128))
    }

    /// What the recipe measures it in.
    pub fn dimension(&self, course: &Course) -> Option<Dimension> {
        Some(course.measure(self.of(course)?.amount?).amount.dimension())
    }
}

struct Shopper<'a> {
    course: &'a Course,
    reference: &'a Reference,
}

impl Shopper<'_> {
    /// One line for each ingredient; two where its amounts cannot be added up.
    fn lines(&self, portions: &[Portion]) -> Vec<Purchase> {
        let mut lines: Vec<Purchase> = Vec::new();
        let row = |portion: &Portion| portion.of(self.course).and_then(|ingredient| ingredient.pantry);
        let mut rows: Vec<usize> = Vec::new();
        for row in portions.iter().filter_map(row) {
            if !rows.contains(&row) {
                rows.push(row);
            }
        }
        for pantry in rows.into_iter().filter(|row| !is_on_tap(self.reference.pantry.get(*row))) {
            let mut left: Vec<Portion> = portions.iter().filter(|one| row(one) == Some(pantry)).copied().collect();
            left.retain(|one| one.need(self.course).is_some());
            while let Some(first) = left.first().copied() {
                let entry = self.reference.pantry.get(pantry);
                let dimension = self.dimension(entry, &left, first);
                let joins = |one: &Portion| {
                    let own = one.dimension(self.course);
                    own.is_some_and(|own| entry.convert(Exact::ONE, own, dimension).is_some())
                };
                let (together, rest) = left.into_iter().partition(joins);
                lines.push(self.line(pantry, dimension, together));
                left = rest;
            }
        }
        lines
    }

    /// In what a line is added up: as its packs are sold, or else as all recipes measure it, or else by weight.
    fn dimension(&self, entry: &PantryEntry, portions: &[Portion], first: Portion) -> Dimension {
        let own = |portion: &Portion| portion.dimension(self.course).unwrap_or(Dimension::Mass);
        let of_first = own(&first);
        let reaches = |to: Dimension| entry.convert(Exact::ONE, of_first, to).is_some();
        let sold = entry.packs.iter().map(|pack| pack.holds.dimension()).find(|kind| reaches(*kind));
        let alike = portions.iter().all(|portion| own(portion) == of_first);
        match sold {
            Some(kind) => kind,
            None if alike || !reaches(Dimension::Mass) => of_first,
            None => Dimension::Mass,
        }
    }

    fn line(&self, pantry: usize, dimension: Dimension, portions: Vec<Portion>) -> Purchase {
        let entry = self.reference.pantry.get(pantry);
        let need_of =
            |portion: &Portion| entry.convert(portion.need(self.course)?, portion.dimension(self.course)?, dimension);
        let need: Exact = portions.iter().filter_map(need_of).sum();
        let sizes = entry.packs.iter().enumerate().filter_map(|(index, pack)| {
            let holds = entry.convert(pack.holds.low.quantity.base(), pack.holds.dimension(), dimension)?;
            Some((index, PackSize { holds, price: pack.price }))
        });
        let sizes = sizes.collect::<Vec<_>>();
        let counts = choose(need, &sizes.iter().map(|(_, size)| *size).collect::<Vec<_>>());
        let chosen: Vec<(usize, PackSize, usize)> = sizes
            .iter()
            .zip(counts)
            .filter(|(_, count)| *count > 0)
            .map(|((at, size), count)| (*at, *size, count))
            .collect();
        let times = |count: usize| Exact::whole(count as i128);
        let held = chosen.iter().map(|(_, size, count)| size.holds * times(*count)).sum();
        let cost = chosen.iter().map(|(_, size, count)| Some(size.price? * times(*count))).sum::<Option<Exact>>();
        let other = |kind: Dimension| kind != dimension;
        let converted = portions.iter().filter_map(|one| one.dimension(self.course)).any(other)
            || chosen.iter().any(|(at, ..)| other(entry.packs[*at].holds.dimension()));
        Purchase {
            pantry,
            unit: self.unit(entry, &portions, dimension),
            portions,
            dimension,
            need,
            converted,
            cost: cost.filter(|_| !chosen.is_empty()),
            packs: chosen.into_iter().map(|(at, _, count)| (at, count)).collect(),
            held,
        }
    }

    /// As the recipes write it, or else as it is sold.
    fn unit(&self, entry: &PantryEntry, portions: &[Portion], dimension: Dimension) -> (UnitId, bool) {
        let amount = |portion: &Portion| Some(self.course.measure(portion.of(self.course)?.amount?).amount);
        let written = portions.iter().filter_map(amount).chain(entry.packs.iter().map(|pack| pack.holds));
        let units = &self.reference.units;
        let plain = if dimension == Dimension::Volume { "millilitre" } else { "gram" };
        let fallback = units.find(plain).unwrap_or(units.piece());
        let mut fitting = written.filter(|amount| amount.dimension() == dimension);
        fitting.next().map_or((fallback, false), |amount| (amount.unit(), amount.bare))
    }
}

/// Whether a thing comes out of the tap: plain water, unless the course knows packs of it.
fn is_on_tap(entry: &PantryEntry) -> bool {
    entry.tags == ["water"] && entry.keeping != Storage::Frozen && entry.packs.is_empty()
}

/// Equipment over all lessons: alike where name, size and who brings it are.
fn pieces(course: &Course, lessons: &[ClassLesson]) -> Vec<Piece> {
    let mut pieces: Vec<Piece> = Vec::new();
    for ClassLesson { lesson, groups } in lessons {
        let Some(recipe) = &course.lessons[*lesson].recipe else { continue };
        for (index, equipment) in recipe.equipment.iter().enumerate() {
            let one = equipment.count.map_or(Exact::ONE, |id| course.measure(id).amount.high.quantity.base());
            let count = if equipment.shared { one } else { one * Exact::whole(*groups as i128) };
            let same = pieces.iter_mut().find(|piece| {
                let recipe: Option<&Recipe> = course.lessons[piece.lesson].recipe.as_ref();
                recipe.is_some_and(|recipe| are_alike(course, &recipe.equipment[piece.equipment], equipment))
            });
            match same {
                None => pieces.push(Piece {
                    lesson: *lesson,
                    equipment: index,
                    brought_by: equipment.brought_by,
                    most: count,
                    each: vec![(*lesson, count)],
                }),
                Some(piece) => piece.add(*lesson, count),
            }
        }
    }
    pieces
}

impl Piece {
    /// Two of a sort in one lesson stand side by side; in two lessons they are the same one.
    fn add(&mut self, lesson: usize, count: Exact) {
        match self.each.last_mut() {
            Some((last, sum)) if *last == lesson => *sum = *sum + count,
            _ => self.each.push((lesson, count)),
        }
        self.most = self.each.iter().map(|(_, count)| *count).max().unwrap_or(count);
    }
}

fn are_alike(course: &Course, one: &Equipment, other: &Equipment) -> bool {
    let name = |piece: &Equipment| piece.name.text.trim().to_lowercase();
    let size =
        |piece: &Equipment| [piece.holds, piece.size].map(|id| id.map(|id| course.measure(id).amount.high.quantity));
    name(one) == name(other) && size(one) == size(other) && one.brought_by == other.brought_by
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::input::Project;
    use crate::recipe::lower_course;

    /// What another lesson leaves is not bought; all else is.
    #[test]
    fn what_an_earlier_lesson_leaves_is_not_bought() {
        let lesson = |title: &str, taken: &str| {
            format!(
                "# {title}\n\n```recipe\nmakes = \"1 thing\"\nstudents-per-batch = 2\n[ingredients]\nx = \"{taken}\"\n```\n"
            )
        };
        let (curd, bread) = (lesson("Curd", "4 L whole milk"), lesson("Bread", "325 g whey"));
        let files = [("course.toml", "title = \"T\""), ("01-curd/lesson.md", &curd), ("02-bread/lesson.md", &bread)];
        let (course, reference) = lower_course(&Project::from_files(files), &mut Default::default());
        let ask = ClassAsk { lessons: vec![0, 1], students: 5, groups: None };
        let plan = plan_with(&course, &reference, &ask, &|lesson, _| (lesson == 1).then_some(0));
        let portion = Portion { lesson: 1, ingredient: 0, groups: 3 };
        assert_eq!(plan.handed_on, [HandedOn { portion, from: 0 }]);
        assert_eq!(plan.buy.iter().map(|line| line.need).collect::<Vec<_>>(), [Exact::whole(12_000)]);
        assert_eq!(class_plan(&course, &reference, &ask).buy.len(), 2);
    }
}
