//! Labels for jars and tubs: what is written on them, one block for each thing that a lesson makes or leaves and that is
//! kept. The page shows them, and `paper/labels` prints them.

use super::Cx;
use super::allergens;
use super::edition::Edition;
use super::html::escaped;
use super::keeping::{mark_words, packed_words};
use super::live::Page;
use super::markdown::Writer;
use super::paper::Paper;
use super::recipe_view::amount_view;
use super::view::{AmountView, CourseView, HeadView, PageView, PaperLinkView};
use crate::kitchen::label_mark;
use crate::quantity::print::capital;
use crate::quantity::{Dimension, Exact};
use crate::recipe::{Keeping, Lesson, MeasureId, Recipe, same_thing, words_in};
use serde::Serialize;

/// The page.
pub(super) const PAGE: &str = "labels.html";
/// The style of that page alone.
pub(super) const STYLE: &str = "labels.css";

/// Labels on a sheet in two columns, where no label is too tall for that.
pub(super) const COLUMNS: usize = 2;
pub(super) const ROWS: usize = 5;
/// More labels of one thing than this are a slip.
const MOST: i128 = 60;

/// What is used for jars and tubs.
const JARS: &[&str] = &["jar", "tub", "bottle", "box", "bag", "packet", "carton", "pouch"];

/// A label before it is printed.
pub(super) struct Label {
    /// `Pressed curd`
    pub name: String,
    /// Which entries of `keeps` it tells, the first with the date.
    pub keeps: Vec<usize>,
    /// How many are needed; a sheet of them where nothing says.
    pub copies: Option<usize>,
}

impl Label {
    /// What stands before its date: `Use by`.
    pub(super) fn mark(&self, cx: &Cx<'_>, recipe: &Recipe) -> String {
        let first = &recipe.keeps[self.keeps[0]];
        capital(mark_words(label_mark(recipe, first, cx.reference)))
    }
}

/// The labels of a lesson: what it makes, then what it leaves, as far as it says how they keep.
pub(super) fn labels(cx: &Cx<'_>, lesson: &Lesson) -> Vec<Label> {
    let Some(recipe) = &lesson.recipe else { return Vec::new() };
    let mut labels: Vec<Label> = Vec::new();
    for (index, keeping) in recipe.keeps.iter().enumerate() {
        let name = capital(&name_of(recipe, keeping));
        match labels.iter_mut().find(|label| label.name == name) {
            Some(label) => label.keeps.push(index),
            None => labels.push(Label { name, keeps: vec![index], copies: copies(cx, recipe, keeping) }),
        }
    }
    labels
}

/// What is kept, without what it is packed in.
fn name_of(recipe: &Recipe, keeping: &Keeping) -> String {
    let product = recipe.makes.as_ref().map_or("", |product| product.name.as_str());
    let what = keeping.what.as_ref().map_or(product, |what| what.text.trim());
    let left = recipe.leaves.iter().find(|left| same_thing(&left.id, what) || same_thing(&left.name, what));
    let name = match left {
        Some(left) => left.name.as_str(),
        None if same_thing(what, product) => product,
        None => what,
    };
    match name.split_once(' ') {
        Some((first, rest)) if is_jar(first) => rest.strip_prefix("of ").unwrap_or(rest).to_owned(),
        _ => name.to_owned(),
    }
}

fn is_jar(word: &str) -> bool {
    JARS.iter().any(|jar| word.eq_ignore_ascii_case(jar) || same_thing(word, jar))
}

/// The jars that the recipe makes or names with their number.
fn copies(cx: &Cx<'_>, recipe: &Recipe, keeping: &Keeping) -> Option<usize> {
    let made = recipe.makes.as_ref().filter(|product| {
        keeping.what.is_none() && product.name.split(' ').next().is_some_and(is_jar) && is_count(cx, product.amount)
    });
    // Whey in a tub needs a tub; what it makes may go into any of them.
    let serves = |jar: &str| keeping.what.is_none() || words_in(&keeping.place.text).any(|word| same_thing(word, jar));
    let vessel = || {
        let is_one = |name: &str, jar: &str| serves(jar) && words_in(name).any(|one| same_thing(one, jar));
        let named = |name: &str| JARS.iter().any(|jar| is_one(name, jar));
        recipe.equipment.iter().filter(|piece| named(&piece.name.text)).find_map(|piece| piece.count)
    };
    let count = cx.course.measure(made.map(|product| product.amount).or_else(vessel)?).amount.high.quantity.base();
    (1..=MOST).find(|all| Exact::whole(*all) >= count).and_then(|all| usize::try_from(all).ok())
}

fn is_count(cx: &Cx<'_>, id: MeasureId) -> bool {
    cx.course.measure(id).amount.dimension() == Dimension::Count
}

/// The link from a lesson to its labels.
pub(super) fn link(cx: &Cx<'_>, lesson: usize) -> Option<PaperLinkView> {
    let lesson = &cx.course.lessons[lesson];
    (!labels(cx, lesson).is_empty()).then(|| PaperLinkView {
        href: format!("{PAGE}#{}", super::links::encoded(&section_id(lesson))),
        text: "labels for jars and tubs".to_owned(),
    })
}

/// Ids of sections do not meet those that every page has.
fn section_id(lesson: &Lesson) -> String {
    format!("for-{}", lesson.slug)
}

/// What `labels.html` is given.
#[derive(Debug, Serialize)]
pub(super) struct LabelBody {
    /// `a4` or `letter`.
    paper: &'static str,
    papers: Vec<PaperLinkView>,
    lessons: Vec<SheetsView>,
}

/// The labels of a lesson.
#[derive(Debug, Serialize)]
struct SheetsView {
    id: String,
    title: String,
    href: String,
    number: usize,
    labels: Vec<LabelView>,
}

#[derive(Debug, Serialize)]
struct LabelView {
    name: String,
    contains: Vec<String>,
    may: Vec<String>,
    /// Whose list the names come from, where it is another place's.
    list: Option<&'static str>,
    keep_html: String,
    also_html: Vec<String>,
    mark: String,
    time: String,
    /// Rows of them on a sheet.
    rows: usize,
    /// A number for each further copy.
    again: Vec<usize>,
    /// `10 labels`
    count: String,
}

/// The page; none where nothing says how it keeps.
pub(super) fn label_page<'a>(
    cx: &Cx<'_>,
    course: &'a CourseView,
    papers: Vec<PaperLinkView>,
) -> Option<PageView<'a, LabelBody>> {
    let mut lessons = Vec::new();
    for (index, lesson) in cx.course.lessons.iter().enumerate() {
        let Some(recipe) = &lesson.recipe else { continue };
        let page = Page::still(cx);
        let mut writer = Writer::new(&page, lesson.file, &lesson.folder, &lesson.headings, Edition::site());
        let labels: Vec<LabelView> =
            labels(cx, lesson).iter().map(|label| label_view(&page, &mut writer, recipe, label)).collect();
        if labels.is_empty() {
            continue;
        }
        let link = &course.lessons[index];
        lessons.push(SheetsView {
            id: section_id(lesson),
            title: link.title.clone(),
            href: link.href.clone(),
            number: index + 1,
            labels,
        });
    }
    let page = HeadView {
        title: format!("Labels – {}", course.title),
        description: format!("Labels for what the lessons of {} make and leave.", course.title),
        kind: "label-sheets",
    };
    let paper = Paper::of_home(cx.course.home).name();
    (!lessons.is_empty()).then_some(PageView { course, page, body: LabelBody { paper, papers, lessons } })
}

fn label_view(page: &Page<'_>, writer: &mut Writer<'_>, recipe: &Recipe, label: &Label) -> LabelView {
    let said = allergens::of_recipe(recipe, page.reference, page.course.guests.law);
    let first = &recipe.keeps[label.keeps[0]];
    let mut also_html = Vec::new();
    for keeping in label.keeps[1..].iter().map(|index| &recipe.keeps[*index]) {
        let time = both(&amount_view(page, keeping.time));
        also_html.push(format!("{}, {}", kept_html(page, writer, keeping), escaped(&time)));
    }
    let keep_html = kept_html(page, writer, first);
    let names = said.names.iter().chain(&said.may).map(|name| name.len() + 2).sum::<usize>() + 10;
    let rows = rows_for(
        Paper::of_home(page.course.home),
        [names, keep_html.len() + 6].into_iter().chain(also_html.iter().map(|also| also.len() + 6)),
    );
    let copies = label.copies.unwrap_or(COLUMNS * rows);
    LabelView {
        rows,
        name: label.name.clone(),
        contains: said.names,
        may: said.may,
        list: said.foreign.then_some(said.list),
        keep_html,
        also_html,
        mark: label.mark(page, recipe),
        time: both(&amount_view(page, first.time)),
        again: (2..=copies).collect(),
        count: if copies == 1 { "1 label".to_owned() } else { format!("{copies} labels") },
    }
}

/// How many rows of labels a sheet of the page has room for, by the letters of the paragraphs that differ. A browser sets
/// them in a type of its own: one that sets them wider takes more room and another sheet, and cuts nothing off.
fn rows_for(paper: Paper, letters: impl Iterator<Item = usize>) -> usize {
    const IN_A_LINE: usize = 38;
    // Name, two dates, the time between them, the lot.
    let lines = 5 + letters.map(|letters| letters.div_ceil(IN_A_LINE)).sum::<usize>();
    // Lines of 12 pt on a label, by the rows on the sheet: Letter is the lower one.
    let room: [(usize, usize); 3] =
        if paper == Paper::Letter { [(7, ROWS), (9, 4), (13, 3)] } else { [(8, ROWS), (10, 4), (14, 3)] };
    room.iter().find(|(most, _)| lines <= *most).map_or(2, |(_, rows)| *rows)
}

/// Where, and how cold.
fn kept_html(page: &Page<'_>, writer: &mut Writer<'_>, keeping: &Keeping) -> String {
    let mut words = writer.visible_quietly(&keeping.place);
    if let Some(more) = packed_words(keeping) {
        words.push_str(&format!(", {more}"));
    }
    if let Some(at) = keeping.at {
        words.push_str(&escaped(&format!(", {}", both(&amount_view(page, at)))));
    }
    words
}

/// `at most 5 °C (41 °F)`
fn both(amount: &AmountView) -> String {
    match &amount.other {
        Some(other) => format!("{} ({other})", amount.text),
        None => amount.text.clone(),
    }
}
