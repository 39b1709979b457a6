//! A lesson to fold in an apron, and all lessons of a course as one booklet.

use super::block::{Block, Item, Run, Words, plain};
use super::card::{CardWriter, Sizes};
use super::choice::{link_state, shown_name, shown_words, ways_name, ways_words};
use super::code::Code;
use super::columns::{Draft, Form, Part};
use super::deck::short;
use super::fonts::Fonts;
use super::set::Setter;
use super::sheet::Paper;
use super::tags::Role;
use super::words::PaperWriter;
use super::{missing_letters, one, pdf};
use crate::check::CheckedCourse;
use crate::diag::{Code as Finding, Diagnostic, Diagnostics};
use crate::input::Project;
use crate::kitchen::Choice;
use crate::recipe::{Lesson, Recipe};
use crate::render::Cx;
use crate::render::keeping::more_words;
use crate::render::links::{Links, encoded};
use crate::render::live::Page;
use crate::render::markdown::without_notes;
use crate::render::plan::LessonPlan;
use crate::render::recipe_view::{amount_view, leaves_view, packed};
use crate::render::sections::{Section, sections};
use crate::render::used::{SourceUse, source_uses};
use crate::render::view::LessonNameView;
use std::collections::BTreeSet;

/// Sizes of type on a handout, in points. Nothing is under 12 pt, the least that guides on clear print allow.
const SIZES: Sizes = Sizes { words: 12.0, strong: 13.0, title: 24.0, large: 20.0 };
/// Headings of sections.
const SECTION: f32 = 16.0;

/// A handout, or a booklet of all handouts.
#[derive(Debug, Clone, PartialEq)]
pub struct HandoutChoice {
    /// A4 or Letter.
    pub paper: Paper,
    /// One or two.
    pub columns: usize,
    /// At which scale, in which units.
    pub shown: Choice,
    /// The way that is taken at each fork; all ways where none is named.
    pub ways: Vec<String>,
}

impl Default for HandoutChoice {
    /// A4 in two columns, as written.
    fn default() -> HandoutChoice {
        HandoutChoice { paper: Paper::A4, columns: 2, shown: Choice::AS_WRITTEN, ways: Vec::new() }
    }
}

impl HandoutChoice {
    /// What tells its file from others: `a4-x2-us`.
    pub fn name(&self) -> String {
        let columns = if self.columns == 1 { "-wide" } else { "" };
        format!("{}{columns}{}{}", self.paper.name(), shown_name(&self.shown), ways_name(&self.ways))
    }

    /// What it is, for whoever chooses a file: `A4, ×2, US units`.
    pub fn words(&self) -> String {
        let ways = ways_words(&self.ways).into_iter().collect();
        [vec![self.paper.words().to_owned()], shown_words(&self.shown), ways].concat().join(", ")
    }

    fn form(&self) -> Form {
        Form { paper: self.paper, columns: self.columns.clamp(1, 2), size: SIZES.words }
    }
}

/// The handout of a lesson as PDF. What comes back instead says why it cannot be set.
pub fn handout(
    project: &Project,
    course: &CheckedCourse,
    lesson: usize,
    choice: &HandoutChoice,
) -> Result<Vec<u8>, Diagnostics> {
    set_handout(&Cx::new(project, course), &mut Fonts::new(), lesson, choice)
}

/// All handouts of a course with contents, glossary and sources, as PDF.
pub fn booklet(project: &Project, course: &CheckedCourse, choice: &HandoutChoice) -> Result<Vec<u8>, Diagnostics> {
    set_booklet(&Cx::new(project, course), &mut Fonts::new(), choice)
}

pub(super) fn set_handout(
    cx: &Cx<'_>,
    fonts: &mut Fonts,
    index: usize,
    choice: &HandoutChoice,
) -> Result<Vec<u8>, Diagnostics> {
    let Some(lesson) = cx.course.lessons.get(index) else { return Err(Diagnostics::default()) };
    let mut setter = Setter::new(fonts);
    let mut draft = Draft::new(choice.form());
    draft.add(&mut setter, None, &lesson_part(cx, index, choice, true).part);
    let pages = draft.finish(&mut setter);
    let title = format!("{} – handout, {}", lesson.title, choice.words());
    draw(cx, setter, pages, lesson, title)
}

pub(super) fn set_booklet(cx: &Cx<'_>, fonts: &mut Fonts, choice: &HandoutChoice) -> Result<Vec<u8>, Diagnostics> {
    let Some(first) = cx.course.lessons.first() else { return Err(Diagnostics::default()) };
    let mut setter = Setter::new(fonts);
    // The contents come first and are known last.
    let (front, rest) = (setter.tree.add(None, Role::Section), setter.tree.add(None, Role::Section));
    let mut draft = Draft::new(choice.form());
    let mut entries = Vec::new();
    let mut terms = BTreeSet::new();
    for index in 0..cx.course.lessons.len() {
        entries.push((format!("{}. {}", index + 1, cx.course.lessons[index].title), draft.len()));
        let made = lesson_part(cx, index, choice, false);
        terms.extend(made.terms);
        draft.add(&mut setter, Some(rest), &made.part);
    }
    for part in [glossary_part(cx, &terms, choice), sources_part(cx)].into_iter().flatten() {
        entries.push((part.name.clone(), draft.len()));
        draft.add(&mut setter, Some(rest), &part);
    }
    let length = |setter: &mut Setter<'_>, entries: &[(String, usize)]| {
        let mut trial = Draft::new(choice.form());
        trial.add(setter, None, &contents_part(cx, entries, choice, 0));
        trial.len()
    };
    let before = length(&mut Setter::new(setter.fonts()), &entries);
    let mut whole = Draft::new(choice.form());
    whole.add(&mut setter, Some(front), &contents_part(cx, &entries, choice, before));
    whole.append(draft);
    let pages = whole.finish(&mut setter);
    let title = format!("{} – booklet, {}", cx.course.title, choice.words());
    draw(cx, setter, pages, first, title)
}

fn draw(
    cx: &Cx<'_>,
    setter: Setter<'_>,
    pages: Vec<pdf::Page>,
    lesson: &Lesson,
    title: String,
) -> Result<Vec<u8>, Diagnostics> {
    if !setter.missing.is_empty() {
        return Err(missing_letters(cx, lesson, &setter.missing));
    }
    let about = pdf::About { title, language: cx.course.language.clone() };
    pdf::draw(pages, setter.tree, &about).map_err(|why| {
        one(Diagnostic::new(Finding::NoPaper, "this handout cannot be drawn", lesson.title_span).note(why))
    })
}

/// A lesson as a part of a document, and the terms it uses.
struct Made {
    part: Part,
    terms: BTreeSet<usize>,
}

/// Alone, a handout explains its own terms and has room for notes.
fn lesson_part(cx: &Cx<'_>, index: usize, choice: &HandoutChoice, alone: bool) -> Made {
    let lesson = &cx.course.lessons[index];
    let page = Page::live(cx);
    let writer = PaperWriter::new(&page, lesson.file, choice.shown, SIZES.words);
    let writer = writer.drawing(&lesson.folder, choice.form().tallest());
    let mut writer = CardWriter::new(&page, lesson, writer, SIZES).by(&choice.ways);
    let (items, notes) = without_notes(&lesson.body);
    writer.notes = notes;
    let (title, sections) = sections(lesson, &items);
    let place = format!("Lesson {} of {} · {}", index + 1, cx.course.lessons.len(), cx.course.title);
    let mut head = vec![
        Block::Words { words: plain(place), size: SIZES.words },
        Block::Heading { level: 1, words: writer.writer.flow(&title), size: SIZES.title },
    ];
    if let Some(summary) = &lesson.summary {
        head.push(Block::Words { words: writer.writer.visible(summary), size: SIZES.strong });
    }
    let shown: Vec<String> = shown_words(&choice.shown).into_iter().chain(ways_words(&choice.ways)).collect();
    if !shown.is_empty() {
        head.push(Block::Words { words: vec![Run::bold(shown.join(", "))], size: SIZES.strong });
    }
    let mut head = match page_code(cx, lesson, &choice.shown) {
        Some(code) => vec![Block::Beside { blocks: head, code }],
        None => head,
    };
    head.push(Block::Rule);
    // The method first: it finds what warns, which stands before it.
    let method = method(&mut writer, &sections);
    let mut body = needs(&mut writer, index);
    body.append(&mut writer.time_plan());
    let charts = LessonPlan::new(cx, lesson).charts(cx, lesson, choice.form().column());
    for chart in charts.into_iter().filter(|chart| !writer.has_left(&chart.ways)) {
        let by = if chart.ways.is_empty() { String::new() } else { format!("By {}: ", chart.ways.join(", ")) };
        let told = Block::Words { words: plain(format!("{by}{}", chart.told)), size: SIZES.words };
        body.push(Block::Together(vec![told, Block::Chart(chart)]));
    }
    body.append(&mut writer.beware(&choice.shown, true));
    body.extend(method);
    body.append(&mut keeping(&mut writer, lesson));
    body.append(&mut writer.called_notes());
    let terms = std::mem::take(&mut writer.writer.terms);
    if alone {
        body.append(&mut writer.glossary(&terms));
    }
    Made { part: Part { name: short(&lesson.title), head, body, ruled: true }, terms }
}

/// The code of the lesson's page, as it shows the lesson here.
pub(crate) fn page_code(cx: &Cx<'_>, lesson: &Lesson, shown: &Choice) -> Option<Code> {
    let address = cx.course.address.as_ref()?;
    let page = encoded(&Links::lesson_page(&lesson.slug));
    let state = link_state(shown).join("&");
    let state = if state.is_empty() { state } else { format!("#{state}") };
    Code::new(
        &format!("{address}{page}{state}"),
        format!("Code that leads to the page of the lesson: {}", lesson.title),
    )
}

/// What it makes, what goes in, what is needed.
fn needs(writer: &mut CardWriter<'_>, index: usize) -> Vec<Block> {
    let Some(recipe) = &writer.lesson.recipe else { return Vec::new() };
    let mut blocks = writer.makes(recipe);
    for one in leaves_view(writer.cx, index, recipe) {
        let words = vec![
            Run::plain("Leaves "),
            Run::bold(writer.writer.amount_words(&one.amount)),
            Run::plain(format!(" {}{}", one.name, taken_by(&one.taken_by))),
        ];
        blocks.push(Block::Words { words, size: SIZES.words });
    }
    if let Some((id, what)) = &recipe.loses {
        let share = writer.writer.amount_words(&amount_view(writer.cx, *id));
        let mut words = vec![Run::plain("Loses "), Run::bold(share), Run::plain(" ")];
        words.extend(what.iter().flat_map(|what| writer.writer.visible(what)));
        blocks.push(Block::Words { words, size: SIZES.words });
    }
    blocks.append(&mut writer.ingredients(recipe));
    blocks.append(&mut writer.equipment(recipe));
    blocks
}

/// `, for “Whey flatbreads”`
fn taken_by(lessons: &[LessonNameView]) -> String {
    let titles: Vec<String> = lessons.iter().map(|lesson| format!("“{}”", lesson.title)).collect();
    if titles.is_empty() { String::new() } else { format!(", for {}", titles.join(", ")) }
}

/// The words of the lesson in their order.
fn method(writer: &mut CardWriter<'_>, sections: &[Section<'_>]) -> Vec<Block> {
    let lesson = writer.lesson;
    let mut blocks = Vec::new();
    for section in sections {
        let words = writer.writer.flow(&section.heading_items);
        let Some(index) = section.step else {
            let prose = writer.prose(section, None);
            if section.heading.is_some() && !prose.is_empty() {
                blocks.push(Block::Heading { level: 2, words, size: SECTION });
            }
            blocks.extend(prose);
            continue;
        };
        if writer.left_out.contains(&index) {
            continue;
        }
        let step = &lesson.steps[index];
        let number: Words = vec![Run::bold(format!("{}\u{2002}", index + 1))];
        let heading = Block::Heading { level: 2, words: [number, words].concat(), size: SECTION };
        let warned = writer.cautions.len();
        let mut plate = writer.plate(index, step);
        // Large figures do not stand alone at the foot of a column, unless a long list follows.
        let first = plate.len().min(if step.add.len() > 6 { 1 } else { 2 });
        blocks.push(Block::Together([Block::Rule, heading].into_iter().chain(plate.drain(..first)).collect()));
        let prose = writer.prose(section, Some(index));
        blocks.extend(plate);
        blocks.extend(writer.warnings(Some(index), true));
        let warnings: Vec<Block> = writer.cautions[warned..].iter().map(|(_, block)| block.clone()).collect();
        blocks.extend(warnings.into_iter().map(|block| Block::Boxed(vec![block])));
        blocks.extend(prose);
        blocks.extend(writer.rescues(step));
    }
    blocks
}

/// How what was made keeps.
fn keeping(writer: &mut CardWriter<'_>, lesson: &Lesson) -> Vec<Block> {
    let Some(recipe) = lesson.recipe.as_ref().filter(|recipe| !recipe.keeps.is_empty()) else { return Vec::new() };
    let items: Vec<Item> = (0..recipe.keeps.len()).map(|index| kept(writer, recipe, index)).collect();
    let heading = Block::Heading { level: 2, words: plain("How it keeps"), size: SECTION };
    vec![heading, Block::List { items, size: SIZES.words }]
}

fn kept(writer: &mut CardWriter<'_>, recipe: &Recipe, index: usize) -> Item {
    let keeping = &recipe.keeps[index];
    let what = match &keeping.what {
        Some(what) => writer.writer.visible(what),
        None => plain(recipe.makes.as_ref().map_or(String::new(), |product| packed(&product.name))),
    };
    let mut words: Words = what.into_iter().map(|run| Run { bold: true, ..run }).collect();
    words.push(Run::plain(": "));
    words.extend(writer.writer.visible(&keeping.place));
    let figures = [Some(keeping.time), keeping.at].into_iter().flatten();
    for id in figures {
        words.push(Run::plain(format!(", {}", writer.writer.amount_words(&amount_view(writer.cx, id)))));
    }
    let more = more_words(keeping, writer.cx.reference).into_iter();
    words.extend(more.map(|more| Run::plain(format!("; {more}"))));
    writer.item("•", words)
}

/// The course's title and summary, and on which page what begins.
fn contents_part(cx: &Cx<'_>, entries: &[(String, usize)], choice: &HandoutChoice, before: usize) -> Part {
    let mut head = vec![Block::Heading { level: 1, words: plain(cx.course.title.as_str()), size: 1.5 * SIZES.title }];
    if let Some(summary) = &cx.course.summary {
        head.push(Block::Words { words: plain(summary.text.as_str()), size: SECTION });
    }
    let shown = shown_words(&choice.shown);
    if !shown.is_empty() {
        head.push(Block::Words { words: vec![Run::bold(shown.join(", "))], size: SECTION });
    }
    head.push(Block::Rule);
    head.push(Block::Heading { level: 2, words: plain("Contents"), size: SECTION });
    let row = |(name, page): &(String, usize)| vec![plain(name.as_str()), plain((before + page + 1).to_string())];
    let rows = entries.iter().map(row).collect();
    head.push(Block::Table { shares: vec![9.0, -1.0], head: Vec::new(), rows, size: SIZES.strong });
    Part { name: "Contents".to_owned(), head, body: Vec::new(), ruled: false }
}

/// All terms that the lessons use, and all of the course's own.
fn glossary_part(cx: &Cx<'_>, used: &BTreeSet<usize>, choice: &HandoutChoice) -> Option<Part> {
    let lesson = cx.course.lessons.first()?;
    let own = (0..cx.course.terms.len()).filter(|term| cx.course.terms[*term].own);
    let terms: BTreeSet<usize> = used.iter().copied().chain(own).collect();
    let page = Page::still(cx);
    let writer = PaperWriter::new(
        &page,
        lesson.file,
        Choice { scale: crate::quantity::Exact::ONE, ..choice.shown },
        SIZES.words,
    );
    let body = CardWriter::new(&page, lesson, writer, SIZES).glossary(&terms);
    let body: Vec<Block> = body.into_iter().filter(|block| !matches!(block, Block::Heading { .. })).collect();
    let head = vec![Block::Heading { level: 1, words: plain("Glossary"), size: SIZES.title }, Block::Rule];
    (!body.is_empty()).then(|| Part { name: "Glossary".to_owned(), head, body, ruled: false })
}

/// Where the figures come from that the lessons use.
fn sources_part(cx: &Cx<'_>) -> Option<Part> {
    let uses = source_uses(cx);
    let mut body = Vec::new();
    for rows in uses.chunk_by(|a, b| a.group == b.group) {
        let heading = Block::Heading { level: 2, words: plain(rows[0].group.title()), size: SECTION };
        let about = Block::Words { words: plain(rows[0].group.about()), size: SIZES.words };
        body.push(Block::Together(vec![heading, about]));
        body.extend(rows.iter().map(|row| source_line(cx, row)));
    }
    let about = "Every conversion, weight, fact and rule that these lessons take from tables.";
    let head = vec![
        Block::Heading { level: 1, words: plain("Sources"), size: SIZES.title },
        Block::Words { words: plain(about), size: SIZES.words },
        Block::Rule,
    ];
    (!body.is_empty()).then(|| Part { name: "Sources".to_owned(), head, body, ruled: false })
}

fn source_line(cx: &Cx<'_>, row: &SourceUse) -> Block {
    let source = cx.reference.source_title(&row.source);
    let value = if row.value.is_empty() { String::new() } else { format!("{}, ", row.value) };
    let words = vec![Run::bold(format!("{}: ", row.what)), Run::plain(format!("{value}{source} ({})", row.status))];
    Block::Words { words, size: SIZES.words }
}
