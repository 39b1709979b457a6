//! Pages: the finished site as bytes in memory.
//!
//! `page`, `index` and `glossary` turn the model into the plain structs of `view`; `theme` turns those into HTML.
//! Prose goes through `markdown`, which marks every mention that the ledger binds. Nothing here reads the disk, the
//! clock or the machine: the same course gives the same bytes.

mod allergen_page;
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
mod keeping;
mod labels;
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
pub use paper::{CardChoice, Cards, Edge, HandoutChoice, Paper, booklet, cards, handout, label_sheets};
pub use site::Site;

use crate::check::{CheckedCourse, Ledger, not_reckoned};
use crate::diag::Diagnostics;
use crate::input::Project;
use crate::kitchen::{Account, LiveData, accounts};
use crate::quantity::reckoned;
use crate::recipe::{Course, TermIndex};
use crate::reference::Reference;
use crate::source::Sources;
use amounts::Printer;
use assets::Assets;
use edition::Edition;
use head::Head;
use highlight::Highlighter;
use lean_page::lean_page;
use links::Links;
use mentions::MentionIndex;
use paper::Papers;
use rayon::iter::{IntoParallelIterator, ParallelIterator};
use std::collections::BTreeMap;
use terms::TermUses;
use theme::Theme;
use view::CourseView;

/// What every page is made from.
struct Cx<'a> {
    sources: &'a Sources,
    course: &'a Course,
    reference: &'a Reference,
    printer: Printer<'a>,
    ledger: &'a Ledger,
    /// What lessons leave each other.
    accounts: Vec<Account>,
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
            accounts: accounts(course, reference),
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
    finish: impl Fn(&str) -> String + Sync,
) -> Result<Site, Diagnostics> {
    reckoned(|| render_all(project, course, finish))
        .unwrap_or_else(|| Err(project.course.map(not_reckoned).into_iter().collect()))
}

fn render_all(
    project: &Project,
    course: &CheckedCourse,
    finish: impl Fn(&str) -> String + Sync,
) -> Result<Site, Diagnostics> {
    let theme = Theme::load(project)?;
    let cx = Cx::new(project, course);
    let shell = index::course_view(&cx);
    let plain = Assets::plain(&theme);
    let alone = [false, true].map(|sums| Assets::alone(&theme, sums));
    let press = Press { project, cx: &cx, shell: &shell, theme: &theme, alone, finish: &finish };
    let lessons: Vec<Printed> = (0..cx.course.lessons.len())
        .into_par_iter()
        .map_init(|| Papers::new(cx.course), |papers, lesson| press.reckoned(lesson, papers))
        .collect();
    let mut site = Site::empty();
    let mut faults = Diagnostics::default();
    let mut uses = TermUses::default();
    for (lesson, printed) in lessons.into_iter().enumerate() {
        site.append(printed.site);
        faults.extend(printed.faults);
        uses.add(lesson, printed.uses);
    }
    let mut papers = Papers::new(cx.course);
    let mut put = |name: String, made: Result<String, Diagnostics>, site: &mut Site| match made {
        Ok(text) => site.put(name, press.finished(text)),
        Err(found) => faults.extend(found),
    };
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
    let booklets = papers.put_booklets(&cx, &mut site);
    let sheets = papers.put_labels(&cx, &mut site);
    let made = index::index_page(&cx, &shell, booklets.into_iter().chain(sheets.iter().cloned()).collect());
    let head = Head::of(&cx, "index.html").with_data(structured::course_data(&cx));
    put("index.html".to_owned(), theme.render("index.html", &made, &plain.with(head)), &mut site);
    let put_style = |sheet: &str, site: &mut Site| {
        theme.more_style(sheet).into_iter().for_each(|style| site.put(sheet.to_owned(), style.into_bytes()));
    };
    if let Some(made) = allergen_page::allergen_page(&cx, &shell) {
        let styled = Assets::styled(&theme, allergen_page::STYLE).with(Head::of(&cx, allergen_page::PAGE));
        put(allergen_page::PAGE.to_owned(), theme.render("allergens.html", &made, &styled), &mut site);
        put_style(allergen_page::STYLE, &mut site);
    }
    if let Some(made) = labels::label_page(&cx, &shell, sheets) {
        let styled = Assets::styled(&theme, labels::STYLE).with(Head::of(&cx, labels::PAGE));
        put(labels::PAGE.to_owned(), theme.render("labels.html", &made, &styled), &mut site);
        put_style(labels::STYLE, &mut site);
    }
    if let Some((made, table)) = class::class_page(&cx, &shell) {
        let styled = Assets::styled(&theme, class::STYLE).with(Head::of(&cx, class::PAGE));
        put(class::PAGE.to_owned(), theme.render("class-plan.html", &made, &styled), &mut site);
        site.put(class::TABLE.to_owned(), table);
        put_style(class::STYLE, &mut site);
    }
    Assets::put(&theme, cx.course.lessons.iter().any(|lesson| !lesson.sums.is_empty()), &mut site);
    offline::put_manifest(&theme, cx.course, &mut site);
    site.put(exported::SCHEMA.0.to_owned(), exported::SCHEMA.1.as_bytes().to_vec());
    feeds::put_feeds(&cx, &mut site);
    offline::put_worker(&theme, &mut site);
    // A fault in a shared template shows on every page that uses it.
    if faults.is_empty() { Ok(site) } else { Err(faults.sorted()) }
}

/// What makes the pages of a course.
struct Press<'a> {
    project: &'a Project,
    cx: &'a Cx<'a>,
    shell: &'a CourseView,
    theme: &'a Theme<'a>,
    /// What a take-home page carries, without sums and with them.
    alone: [Assets; 2],
    /// Has the last word on pages that our own templates make.
    finish: &'a (dyn Fn(&str) -> String + Sync),
}

/// The files of one lesson.
struct Printed {
    site: Site,
    faults: Diagnostics,
    /// Terms linked, with the fragment of their first use.
    uses: BTreeMap<usize, String>,
}

impl Press<'_> {
    fn finished(&self, page: String) -> Vec<u8> {
        if self.theme.has_own_templates() { page.into_bytes() } else { (self.finish)(&page).into_bytes() }
    }

    /// What [`Press::lesson`] makes; where its figures cannot be reckoned with, a fault that says so.
    fn reckoned(&self, lesson: usize, papers: &mut Papers) -> Printed {
        reckoned(|| self.lesson(lesson, papers)).unwrap_or_else(|| {
            let faults = [not_reckoned(self.cx.course.lessons[lesson].file)].into_iter().collect();
            Printed { site: Site::empty(), faults, uses: BTreeMap::new() }
        })
    }

    /// All files that a lesson alone has: they depend on no other lesson's.
    fn lesson(&self, lesson: usize, papers: &mut Papers) -> Printed {
        let Press { project, cx, shell, theme, .. } = self;
        let mut site = Site::empty();
        let mut faults = Diagnostics::default();
        let mut made = page::lesson_page(cx, shell, lesson, Edition::site());
        made.view.body.lesson.papers = papers.put(cx, lesson, &mut site);
        made.view.body.lesson.papers.extend(labels::link(cx, lesson));
        codes::put(&mut made.view.body.lesson, &mut site);
        let terms = made.uses.keys().copied().collect();
        let model = exported::lesson_model(cx, lesson, &made.name, &made.view.body.lesson, &terms);
        site.put(exported::file_of(&made.name), model.into_bytes());
        let uses = std::mem::take(&mut made.uses);
        made.pictures.iter().for_each(|picture| site.put_picture(project, &cx.links, picture));
        let spoken = captions::files(&project.sources, &cx.course.lessons[lesson]);
        spoken.into_iter().for_each(|(path, bytes)| site.put(path, bytes));
        let has_sums = !cx.course.lessons[lesson].sums.is_empty();
        let assets = Assets::lesson(theme, made.rare, has_sums).with(lesson_head(cx, lesson, &made));
        let alone = take_home::take_home_page(cx, shell, lesson);
        let pages = [
            (made.name, theme.render("lesson.html", &made.view, &assets)),
            (alone.name, theme.render("take-home.html", &alone.view, &self.alone[usize::from(has_sums)])),
        ];
        for (name, page) in pages {
            match page {
                Ok(page) => site.put(name, self.finished(page)),
                Err(found) => faults.extend(found),
            }
        }
        Printed { site, faults, uses }
    }
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
