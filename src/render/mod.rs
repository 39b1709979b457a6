//! Pages: the finished site as bytes in memory.
//!
//! `page`, `index` and `glossary` turn the model into the plain structs of `view`; `theme` turns those into HTML.
//! Prose goes through `markdown`, which marks every mention that the ledger binds. Nothing here reads the disk, the
//! clock or the machine: the same course gives the same bytes.

mod allergens;
mod amounts;
mod assets;
mod bench;
mod captions;
mod cautions;
mod chart;
mod class;
mod codes;
mod edition;
mod explained;
mod exported;
mod faults;
mod feeds;
mod glossary;
mod head;
mod highlight;
mod html;
mod index;
mod inline;
mod lean;
mod lean_page;
mod ledger;
mod links;
mod live;
mod markdown;
mod marks;
mod mentions;
mod offline;
mod page;
mod paper;
mod plain;
mod plan;
mod recipe_view;
mod sections;
mod site;
mod sources;
mod structured;
mod sums;
mod take_home;
mod terms;
mod theme;
mod used;
mod view;

#[cfg(test)]
mod tests;

pub use class::{
    CLASS_TABLE_OPENS, ClassSheet, SheetCost, SheetLesson, SheetLine, SheetPiece, SheetPortion, SheetSection, SheetUse,
    class_of_course, class_sheet,
};
pub use paper::{CardChoice, Cards, Edge, HandoutChoice, Paper, booklet, cards, handout};
pub use site::Site;

use crate::check::{CheckedCourse, Ledger, not_reckoned};
use crate::diag::Diagnostics;
use crate::input::Project;
use crate::kitchen::LiveData;
use crate::quantity::reckoned;
use crate::recipe::{Course, TermIndex};
use crate::reference::Reference;
use crate::source::{FileId, Sources};
use amounts::Printer;
use assets::Assets;
use edition::Edition;
use head::Head;
use highlight::Highlighter;
use lean_page::lean_page;
use links::Links;
use mentions::MentionIndex;
use paper::Papers;
use std::cell::Cell;
use terms::TermUses;
use theme::Theme;

/// What every page is made from.
struct Cx<'a> {
    sources: &'a Sources,
    course: &'a Course,
    reference: &'a Reference,
    printer: Printer<'a>,
    ledger: &'a Ledger,
    mentions: MentionIndex<'a>,
    terms: TermIndex,
    links: Links<'a>,
    highlighter: Highlighter,
}

impl<'a> Cx<'a> {
    fn new(project: &'a Project, checked: &'a CheckedCourse) -> Cx<'a> {
        let (course, reference) = (checked.course(), checked.reference());
        Cx {
            sources: &project.sources,
            course,
            reference,
            printer: Printer::new(reference, course.home),
            ledger: checked.ledger(),
            mentions: MentionIndex::new(checked.ledger(), course),
            terms: TermIndex::new(&course.terms),
            links: Links::new(project),
            highlighter: Highlighter::new(),
        }
    }
}

/// The live figures of a lesson's page: what its script changes, in the order of the numbers that mentions carry there.
/// `None` for a lesson that is not there.
pub fn live_figures(project: &Project, course: &CheckedCourse, lesson: usize) -> Option<LiveData> {
    let cx = Cx::new(project, course);
    (lesson < cx.course.lessons.len()).then(|| page::live_figures(&cx, &index::course_view(&cx), lesson))?
}

/// Every output file, in memory. Faults of templates come back as findings on the template.
pub fn render(project: &Project, course: &CheckedCourse) -> Result<Site, Diagnostics> {
    render_with(project, course, lean_page)
}

/// The same; `finish` has the last word on pages that our own templates make.
fn render_with(
    project: &Project,
    course: &CheckedCourse,
    finish: impl Fn(&str) -> String,
) -> Result<Site, Diagnostics> {
    let at = Cell::new(project.course);
    reckoned(|| render_all(project, course, finish, &at))
        .unwrap_or_else(|| Err(at.get().map(not_reckoned).into_iter().collect()))
}

/// The same. `at` tells which file's figures are being reckoned with.
fn render_all(
    project: &Project,
    course: &CheckedCourse,
    finish: impl Fn(&str) -> String,
    at: &Cell<Option<FileId>>,
) -> Result<Site, Diagnostics> {
    let theme = Theme::load(project)?;
    let cx = Cx::new(project, course);
    let shell = index::course_view(&cx);
    let plain = Assets::plain(&theme);
    let alone = [false, true].map(|sums| Assets::alone(&theme, sums));
    let mut site = Site::empty();
    let mut papers = Papers::new(cx.course);
    let mut faults = Diagnostics::default();
    let mut uses = TermUses::default();
    let mut put = |name: String, made: Result<String, Diagnostics>, site: &mut Site| match made {
        Ok(text) if theme.has_own_templates() => site.put(name, text.into_bytes()),
        Ok(text) => site.put(name, finish(&text).into_bytes()),
        Err(found) => faults.extend(found),
    };
    for lesson in 0..cx.course.lessons.len() {
        at.set(Some(cx.course.lessons[lesson].file));
        let mut made = page::lesson_page(&cx, &shell, lesson, Edition::site());
        made.view.body.lesson.papers = papers.put(&cx, lesson, &mut site);
        codes::put(&mut made.view.body.lesson, &mut site);
        let model = exported::lesson_model(
            &cx,
            lesson,
            &made.name,
            &made.view.body.lesson,
            &made.uses.keys().copied().collect(),
        );
        site.put(exported::file_of(&made.name), model.into_bytes());
        uses.add(lesson, std::mem::take(&mut made.uses));
        made.pictures.iter().for_each(|picture| site.put_picture(project, &cx.links, picture));
        let spoken = captions::files(&project.sources, &cx.course.lessons[lesson]);
        spoken.into_iter().for_each(|(path, bytes)| site.put(path, bytes));
        let has_sums = !cx.course.lessons[lesson].sums.is_empty();
        let assets = Assets::lesson(&theme, made.rare, has_sums).with(lesson_head(&cx, lesson, &made));
        put(made.name, theme.render("lesson.html", &made.view, &assets), &mut site);
        let made = take_home::take_home_page(&cx, &shell, lesson);
        put(made.name, theme.render("take-home.html", &made.view, &alone[usize::from(has_sums)]), &mut site);
    }
    at.set(project.course);
    let made = glossary::glossary_page(&cx, &shell, &uses);
    made.pictures.iter().for_each(|picture| site.put_picture(project, &cx.links, picture));
    let head = Head::of(&cx, "glossary.html").with_data(structured::glossary_data(&cx, &made.view.body));
    put(
        "glossary.html".to_owned(),
        theme.render("glossary.html", &made.view, &Assets::glossary(&theme).with(head)),
        &mut site,
    );
    let (made, assets) = (ledger::ledger_page(&cx, &shell), plain.with(Head::of(&cx, ledger::PAGE)));
    put(ledger::PAGE.to_owned(), theme.render("ledger.html", &made, &assets), &mut site);
    let (made, assets) = (sources::sources_page(&cx, &shell), plain.with(Head::of(&cx, sources::PAGE)));
    put(sources::PAGE.to_owned(), theme.render("sources.html", &made, &assets), &mut site);
    let made = index::index_page(&cx, &shell, papers.put_booklets(&cx, &mut site));
    let head = Head::of(&cx, "index.html").with_data(structured::course_data(&cx));
    put("index.html".to_owned(), theme.render("index.html", &made, &plain.with(head)), &mut site);
    if let Some((made, table)) = class::class_page(&cx, &shell) {
        let styled = Assets::styled(&theme, class::STYLE).with(Head::of(&cx, class::PAGE));
        put(class::PAGE.to_owned(), theme.render("class-plan.html", &made, &styled), &mut site);
        site.put(class::TABLE.to_owned(), table);
        let style = theme.more_style(class::STYLE);
        style.into_iter().for_each(|style| site.put(class::STYLE.to_owned(), style.into_bytes()));
    }
    Assets::put(&theme, cx.course.lessons.iter().any(|lesson| !lesson.sums.is_empty()), &mut site);
    offline::put_manifest(&theme, cx.course, &mut site);
    site.put(exported::SCHEMA.0.to_owned(), exported::SCHEMA.1.as_bytes().to_vec());
    feeds::put_feeds(&cx, &mut site);
    offline::put_worker(&theme, &mut site);
    // A fault in a shared template shows on every page that uses it.
    if faults.is_empty() { Ok(site) } else { Err(faults.sorted()) }
}

/// What the head of a lesson's page says to programs.
fn lesson_head(cx: &Cx<'_>, lesson: usize, made: &page::LessonPage<'_>) -> Head {
    let picture = made.pictures.iter().next().map(|picture| links::encoded(&cx.links.picture_path(picture)));
    let image = cx.course.address.as_ref().zip(picture).map(|(address, picture)| format!("{address}{picture}"));
    let data = structured::lesson_data(cx, lesson, &made.view.body.lesson, image.as_ref());
    Head {
        kind: "article",
        model: Some(exported::file_of(&made.name)),
        image,
        ..Head::of(cx, &made.name).with_data(data)
    }
}
