//! The plan of a class in words: what to buy, what is left over, what it costs, what must stand ready and who brings what.

mod money;
mod table;

use super::Cx;
use super::allergens;
use super::links::Links;
use super::view::{CourseView, HeadView, PageView};
use crate::check::CheckedCourse;
use crate::kitchen::{ClassAsk, ClassPlan, JUG, Piece, Portion, Purchase, SCALE, class_plan};
use crate::quantity::print::{self, NO_BREAK, capital};
use crate::quantity::{Bound, Dimension, Exact, System, UnitId};
use crate::recipe::{BroughtBy, Course};
use crate::reference::{Reference, Section, Storage};
use money::Money;
use serde::Serialize;

pub use table::CLASS_TABLE_OPENS;

/// The page, and the same as a table for other programs.
pub(super) const PAGE: &str = "class-plan.html";
pub(super) const TABLE: &str = "class-plan.csv";
/// The style of that page alone.
pub(super) const STYLE: &str = "class.css";

/// The plan of a class, in words.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ClassSheet {
    /// How many students.
    pub students: usize,
    /// Its lessons.
    pub lessons: Vec<SheetLesson>,
    /// What to buy, by part of the shop.
    pub sections: Vec<SheetSection>,
    /// What it costs; `None` where nothing has a price.
    pub cost: Option<SheetCost>,
    /// What students bring to eat or cook with.
    pub brought: Vec<SheetPortion>,
    /// What is left by an earlier lesson.
    pub handed_on: Vec<SheetPortion>,
    /// Equipment that must stand in the hall.
    pub hall: Vec<SheetPiece>,
    /// Equipment that students bring.
    pub from_students: Vec<SheetPiece>,
    /// The currency, as it stands before a figure.
    #[serde(skip)]
    currency: String,
}

/// A lesson of the class.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SheetLesson {
    /// Its page.
    pub href: String,
    /// Its title.
    pub title: String,
    /// `6 groups, a batch each`
    pub groups: String,
}

/// A part of the shop.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SheetSection {
    /// `Fruit and vegetables`
    pub name: String,
    /// What stands there.
    pub lines: Vec<SheetLine>,
}

/// A line of the shopping list.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SheetLine {
    /// What.
    pub name: String,
    /// How much all groups need.
    pub need: String,
    /// `12 × 2 L`, or `weigh out 54 g`.
    pub buy: String,
    /// What the packs leave over; `None` without packs.
    pub left: Option<String>,
    /// What it costs.
    pub cost: Option<String>,
    /// The same as a bare figure.
    #[serde(skip)]
    figure: Option<String>,
    /// What the recipes say of it.
    pub notes: Vec<String>,
    /// Its allergens.
    pub allergens: Vec<String>,
    /// `keep chilled`
    pub keep: Option<&'static str>,
    /// How much each lesson takes.
    pub uses: Vec<SheetUse>,
}

/// How much a lesson takes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SheetUse {
    /// Its title.
    pub lesson: String,
    /// How much.
    pub amount: String,
}

/// What it costs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SheetCost {
    /// All of it.
    pub total: String,
    /// A student's part.
    pub each: String,
    /// `rounded up to the penny`
    pub rounded: &'static str,
    /// What has no price and is not counted.
    pub without: Vec<String>,
}

/// An ingredient that is not bought.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SheetPortion {
    /// What.
    pub name: String,
    /// How much each group needs.
    pub each: String,
    /// How many groups need it.
    pub groups: usize,
    /// What the recipe says of it.
    pub note: Option<String>,
    /// The lesson that takes it.
    pub lesson: String,
    /// The lesson that leaves it.
    pub from: Option<String>,
}

/// A piece of equipment.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SheetPiece {
    /// How many.
    pub count: String,
    /// How many each group brings, where students do.
    pub each: Option<String>,
    /// What, with its size.
    pub name: String,
    /// How many each lesson takes.
    pub uses: Vec<SheetUse>,
}

/// The plan of a class for a course that is free of errors.
pub fn class_sheet(checked: &CheckedCourse, ask: &ClassAsk) -> ClassSheet {
    let (course, reference) = (checked.course(), checked.reference());
    let plan = class_plan(course, reference, ask);
    Words { course, reference, money: Money::of(course, reference) }.sheet(&plan)
}

/// The class that a course is planned for, with all its lessons.
pub fn class_of_course(course: &Course) -> Option<ClassAsk> {
    let class = course.class.as_ref()?;
    let lessons = (0..course.lessons.len()).collect();
    Some(ClassAsk { lessons, students: class.students, groups: class.groups })
}

/// What `class-plan.html` is given.
#[derive(Debug, Serialize)]
pub(super) struct ClassBody {
    plan: ClassSheet,
    table: &'static str,
}

/// The page, and the table beside it.
pub(super) fn class_page<'a>(cx: &Cx<'_>, course: &'a CourseView) -> Option<(PageView<'a, ClassBody>, Vec<u8>)> {
    let plan = class_plan(cx.course, cx.reference, &class_of_course(cx.course)?);
    let words = Words { course: cx.course, reference: cx.reference, money: Money::of(cx.course, cx.reference) };
    let plan = words.sheet(&plan);
    let page = HeadView {
        title: format!("Class plan – {}", course.title),
        description: format!("What to buy and what to put out for {}.", number_of(plan.students, "student")),
        kind: "class-plan",
    };
    let rows = plan.table();
    Some((PageView { course, page, body: ClassBody { plan, table: TABLE } }, rows))
}

struct Words<'a> {
    course: &'a Course,
    reference: &'a Reference,
    money: Money,
}

impl Words<'_> {
    fn sheet(&self, plan: &ClassPlan) -> ClassSheet {
        let lines = || plan.buy.iter().map(|line| (self.reference.pantry.get(line.pantry).section(), line));
        let sections = Section::ALL.into_iter().map(|section| SheetSection {
            name: capital(section.name()),
            lines: lines().filter(|(of, _)| *of == section).map(|(_, line)| self.line(line)).collect(),
        });
        let pieces = |by: BroughtBy| {
            let of = plan.equipment.iter().filter(|piece| piece.brought_by == by);
            of.map(|piece| self.piece(piece, plan)).collect()
        };
        ClassSheet {
            students: plan.students,
            lessons: plan.lessons.iter().map(|one| self.lesson(one.lesson, one.groups, plan.students)).collect(),
            sections: sections.filter(|section| !section.lines.is_empty()).collect(),
            cost: self.cost(plan),
            brought: plan.brought.iter().filter_map(|portion| self.portion(portion, None)).collect(),
            handed_on: plan.handed_on.iter().filter_map(|one| self.portion(&one.portion, Some(one.from))).collect(),
            hall: pieces(BroughtBy::Hall),
            from_students: pieces(BroughtBy::Student),
            currency: self.money.currency().to_owned(),
        }
    }

    fn lesson(&self, lesson: usize, groups: usize, students: usize) -> SheetLesson {
        let lesson = &self.course.lessons[lesson];
        let words = match groups {
            0 => "nothing to make".to_owned(),
            1 => "1 batch together".to_owned(),
            all if all == students => "a batch each".to_owned(),
            _ => format!("{groups} groups, a batch each"),
        };
        SheetLesson { href: Links::lesson_page(&lesson.slug), title: lesson.title.clone(), groups: words }
    }

    fn title(&self, lesson: usize) -> String {
        self.course.lessons.get(lesson).map_or(String::new(), |lesson| lesson.title.clone())
    }

    fn line(&self, line: &Purchase) -> SheetLine {
        let entry = self.reference.pantry.get(line.pantry);
        let about = if line.converted { "about " } else { "" };
        let mut notes: Vec<String> = Vec::new();
        for note in line.portions.iter().filter_map(|one| one.of(self.course)?.note.as_ref()) {
            if !notes.iter().any(|known| known.contains(&note.text)) {
                notes.retain(|known| !note.text.contains(known.as_str()));
                notes.push(note.text.clone());
            }
        }
        let left = (!line.packs.is_empty()).then(|| match line.left() {
            left if left.is_zero() => "nothing".to_owned(),
            left => format!("{about}{}", self.figure(left, self.pack_unit(line))),
        });
        let uses = line.portions.iter();
        SheetLine {
            name: self.name(line),
            need: format!("{about}{}", self.figure(line.need, line.unit)),
            buy: if line.packs.is_empty() { self.loose(line) } else { self.packs(line) },
            left,
            cost: line.cost.map(|cost| self.money.written(cost)),
            figure: line.cost.map(|cost| self.money.figure(cost)),
            notes,
            allergens: allergens::of_entry(entry, self.course.guests.law),
            keep: match entry.keeping {
                Storage::Chilled => Some("keep chilled"),
                Storage::Frozen => Some("keep frozen"),
                Storage::Cool | Storage::Dry => None,
            },
            uses: uses.filter_map(|one| self.of_portion(one)).collect(),
        }
    }

    /// As the recipes call it, where all call it alike.
    fn name(&self, line: &Purchase) -> String {
        let mut names = line.portions.iter().filter_map(|one| Some(one.of(self.course)?.name.as_str()));
        let first = names.next();
        match first.filter(|first| names.all(|name| name.eq_ignore_ascii_case(first))) {
            Some(name) => name.to_owned(),
            None => self.reference.pantry.get(line.pantry).name.clone(),
        }
    }

    fn of_portion(&self, portion: &Portion) -> Option<SheetUse> {
        let amount = &self.course.measure(portion.of(self.course)?.amount?).amount;
        let all = self.figure(portion.need(self.course)?, (amount.unit(), amount.bare));
        Some(SheetUse { lesson: self.title(portion.lesson), amount: all })
    }

    fn packs(&self, line: &Purchase) -> String {
        let entry = self.reference.pantry.get(line.pantry);
        let units = &self.reference.units;
        let words = line.packs.iter().map(|(index, count)| {
            let holds = &entry.packs[*index].holds;
            let size = print::amount(holds, units, units.style());
            let packs = if *count == 1 { "pack" } else { "packs" };
            if holds.dimension() == Dimension::Count {
                format!("{count} {packs} of {size}")
            } else {
                format!("{count}{NO_BREAK}×{NO_BREAK}{size}")
            }
        });
        words.collect::<Vec<_>>().join(" + ")
    }

    /// The unit in which the packs are told, where that is what was added up.
    fn pack_unit(&self, line: &Purchase) -> (UnitId, bool) {
        let entry = self.reference.pantry.get(line.pantry);
        let holds = line.packs.first().map(|(index, _)| entry.packs[*index].holds);
        let fits = holds.filter(|holds| holds.dimension() == line.dimension);
        fits.map_or(line.unit, |holds| (holds.unit(), holds.bare))
    }

    /// What is bought without packs, rounded up to what a scale or a jug shows.
    fn loose(&self, line: &Purchase) -> String {
        let metric = self.reference.units.get(line.unit.0).system == System::Metric;
        let need = match line.dimension {
            Dimension::Mass if metric => SCALE.round(line.need, Bound::AtLeast),
            Dimension::Volume if metric => JUG.round(line.need, Bound::AtLeast),
            Dimension::Count => -((-line.need).floor()),
            _ => line.need,
        };
        let verb = match line.dimension {
            Dimension::Mass => "weigh out ",
            Dimension::Volume => "measure out ",
            _ => "",
        };
        format!("{verb}{}", self.figure(need, line.unit))
    }

    /// A base value in its unit, or in the larger or smaller one of the same family where the figure would be clumsy.
    fn figure(&self, base: Exact, (unit, bare): (UnitId, bool)) -> String {
        let units = &self.reference.units;
        let large = base.abs() >= Exact::whole(1000);
        let handier = match (units.get(unit).id.as_str(), large) {
            ("gram", true) => "kilogram",
            ("kilogram", false) => "gram",
            ("millilitre", true) => "litre",
            ("litre", false) => "millilitre",
            _ => "",
        };
        let unit = units.find(handier).unwrap_or(unit);
        print::measure(units.get(unit).from_base(base), unit, bare, units, units.style())
    }

    fn cost(&self, plan: &ClassPlan) -> Option<SheetCost> {
        let (with, without): (Vec<&Purchase>, Vec<&Purchase>) = plan.buy.iter().partition(|line| line.cost.is_some());
        (!with.is_empty()).then(|| SheetCost {
            total: self.money.written(plan.total),
            each: self.money.written(plan.each),
            rounded: self.money.rounded(),
            without: without.into_iter().map(|line| self.name(line)).collect(),
        })
    }

    fn portion(&self, portion: &Portion, from: Option<usize>) -> Option<SheetPortion> {
        let (ingredient, units) = (portion.of(self.course)?, &self.reference.units);
        Some(SheetPortion {
            name: ingredient.name.clone(),
            each: print::amount(&self.course.measure(ingredient.amount?).amount, units, units.style()),
            groups: portion.groups,
            note: ingredient.note.as_ref().map(|note| note.text.clone()),
            lesson: self.title(portion.lesson),
            from: from.map(|lesson| self.title(lesson)),
        })
    }

    fn piece(&self, piece: &Piece, plan: &ClassPlan) -> SheetPiece {
        let units = &self.reference.units;
        let recipe = self.course.lessons[piece.lesson].recipe.as_ref();
        let of = recipe.and_then(|recipe| recipe.equipment.get(piece.equipment));
        let size = |id| print::amount(&self.course.measure(id).amount, units, units.style());
        let mut name = of.map_or(String::new(), |of| of.name.text.trim().to_owned());
        if let Some(holds) = of.and_then(|of| of.holds) {
            name.push_str(&format!(", holds {}", size(holds)));
        }
        if let Some(wide) = of.and_then(|of| of.size) {
            name.push_str(&format!(", {}", size(wide)));
        }
        let count = |count: Exact| units.style().rounded(count, 2);
        let uses = piece.each.iter();
        let groups = |lesson: usize| plan.lessons.iter().find(|one| one.lesson == lesson).map_or(0, |one| one.groups);
        let shared = of.is_none_or(|of| of.shared || of.brought_by == BroughtBy::Hall);
        let each = uses.clone().filter(|(lesson, _)| !shared && groups(*lesson) > 0);
        let each = each.map(|(lesson, all)| *all / Exact::whole(groups(*lesson) as i128)).max();
        SheetPiece {
            count: count(piece.most),
            each: each.map(count),
            name,
            uses: uses.map(|(lesson, each)| SheetUse { lesson: self.title(*lesson), amount: count(*each) }).collect(),
        }
    }
}

/// `1 student`, `12 students`.
fn number_of(count: usize, thing: &str) -> String {
    let ending = if count == 1 { "" } else { "s" };
    format!("{count} {thing}{ending}")
}
