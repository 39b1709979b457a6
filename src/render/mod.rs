//! Pages: the finished site as bytes in memory.
//!
//! `page`, `index` and `glossary` turn the model into the plain structs of `view`; `theme` turns those into HTML.
//! Prose goes through `markdown`, which marks every mention that the ledger binds. Nothing here reads the disk, the
//! clock or the machine: the same course gives the same bytes.

mod again;
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

pub(crate) use again::MADE;
pub use again::{Again, LastSite, Made, MadeLesson, course_digest, digest};
pub use class::{
    CLASS_TABLE_OPENS, ClassSheet, SheetCost, SheetLesson, SheetLine, SheetPiece, SheetPortion, SheetSection, SheetUse,
    class_of_course, class_sheet,
};
pub(crate) use html::escaped;
pub use paper::{CardChoice, Cards, Edge, HandoutChoice, Paper, booklet, cards, handout, label_sheets};
pub use site::{Site, TakenFile, Taker};
pub(crate) use theme::{Templates, built_in};

use crate::check::{CheckedCourse, Ledger, not_reckoned};
use crate::diag::Diagnostics;
use crate::input::{Picture, Project, Work};
use crate::kitchen::{Account, Caution, LiveData, accounts, cautions};
use crate::quantity::reckoned;
use crate::recipe::{Course, TermIndex};
use crate::reference::Reference;
use crate::source::{Sources, Span};
use again::{Keys, made_lessons};
use amounts::Printer;
use assets::Assets;
use edition::Edition;
use head::Head;
use highlight::Highlighter;
use lean_page::lean_page;
use links::Links;
use mentions::MentionIndex;
use paper::{Papers, Pictures};
use rayon::iter::{IntoParallelIterator, ParallelIterator};
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::sync::OnceLock;
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
    /// What each lesson warns of, where all lessons are printed.
    cautions: Option<Vec<Vec<Caution<'a>>>>,
    mentions: MentionIndex<'a>,
    terms: TermIndex,
    /// Each term that is taught, with the lesson that teaches it.
    teachers: BTreeMap<usize, (usize, Span)>,
    links: Links<'a>,
    highlighter: &'static Highlighter,
    /// Pictures as papers draw them.
    pictures: Pictures<'a>,
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
            cautions: None,
            mentions: MentionIndex::new(checked.ledger(), course),
            terms: TermIndex::new(&course.terms),
            teachers: course.teachers(),
            links: Links::new(project),
            highlighter: Highlighter::ours(),
            pictures: Pictures::new(project),
        }
    }

    /// The same, with what several pages need of every lesson worked out beforehand.
    fn for_all(project: &'a Project, checked: &'a CheckedCourse) -> Cx<'a> {
        let cx = Cx::new(project, checked);
        let of = |lesson| cautions(cx.course, cx.reference, lesson);
        let all = (0..cx.course.lessons.len()).into_par_iter().map(of).collect();
        Cx { cautions: Some(all), ..cx }
    }

    /// What a lesson warns of.
    fn cautions(&self, lesson: usize) -> Cow<'_, [Caution<'a>]> {
        match &self.cautions {
            Some(all) => Cow::Borrowed(&all[lesson]),
            None => Cow::Owned(cautions(self.course, self.reference, lesson)),
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

/// The same, with a list of what everything was made from, so that the next time lessons stay as they are where nothing has
/// changed.
pub fn render_again(project: &Project, course: &CheckedCourse, again: Again<'_>) -> Result<Site, Diagnostics> {
    let theme = Theme::load(project)?;
    let Finished { mut site, faults, made } = print(project, course, &theme, &lean_page, Wanted::All, Some(again));
    let files = offline::put_worker(&theme, &mut site);
    let is_quiet = again.quiet && site.notes().is_empty();
    let digest = if is_quiet { course_digest(project, again.maker) } else { String::new() };
    again::put_made(&mut site, &Made { course: digest, lessons: made, files });
    if faults.is_empty() { Ok(site) } else { Err(faults.sorted()) }
}

/// The same; `finish` has the last word on pages that our own templates make.
fn render_with(
    project: &Project,
    course: &CheckedCourse,
    finish: impl Fn(&str) -> String + Sync,
) -> Result<Site, Diagnostics> {
    let theme = Theme::load(project)?;
    let Finished { mut site, faults, .. } = print(project, course, &theme, &finish, Wanted::All, None);
    offline::put_worker(&theme, &mut site);
    // A fault in a shared template shows on every page that uses it.
    if faults.is_empty() { Ok(site) } else { Err(faults.sorted()) }
}

/// One file of the site for a look before it is published: pages keep their blanks, and nothing keeps them on the
/// device. `None` for a file that is not there; what comes back instead says why it cannot be made.
pub(crate) fn preview(
    project: &Project,
    course: &CheckedCourse,
    templates: &Templates,
    name: &str,
) -> Result<Option<Vec<u8>>, Diagnostics> {
    let theme = Theme::preview(project, templates);
    if let Some(picture) = preview_pictures(project)(name) {
        return Ok(Some(picture.to_vec()));
    }
    let Finished { site, mut faults, .. } = print(project, course, &theme, &str::to_owned, Wanted::One(name), None);
    let file = site.files().get(name).cloned();
    if file.is_none() {
        faults.extend(site.notes().clone()); // why a paper could not be set
    }
    if faults.is_empty() { Ok(file) } else { Err(faults.sorted()) }
}

/// The pictures of a site by their names there.
pub(crate) fn preview_pictures<'a>(project: &'a Project) -> impl Fn(&str) -> Option<&'a Picture> {
    let links = Links::new(project);
    move |name| project.pictures.get(links.picture_at(name)?)
}

/// The faults of all pages, as the templates of their course print them.
pub(crate) fn preview_faults(project: &Project, course: &CheckedCourse, templates: &Templates) -> Diagnostics {
    let theme = Theme::preview(project, templates);
    print(project, course, &theme, &str::to_owned, Wanted::Pages, None).faults.sorted()
}

/// What pages load, and nothing that a lesson's words may change: to be kept while the course is looked at.
pub(crate) fn preview_assets(project: &Project, course: &CheckedCourse, templates: &Templates) -> Site {
    let mut site = Site::empty();
    shared_files(&Theme::preview(project, templates), course.course(), &mut site);
    site
}

/// The files of a course without its worker: all of them, or one.
fn print(
    project: &Project,
    course: &CheckedCourse,
    theme: &Theme<'_>,
    finish: &(dyn Fn(&str) -> String + Sync),
    wanted: Wanted<'_>,
    again: Option<Again<'_>>,
) -> Finished {
    let printed = reckoned(|| {
        let cx = match wanted {
            Wanted::All => Cx::for_all(project, course),
            Wanted::Pages | Wanted::One(_) => Cx::new(project, course),
        };
        let shell = index::course_view(&cx);
        Press {
            project,
            cx: &cx,
            shell: &shell,
            theme,
            alone: Default::default(),
            beside: Default::default(),
            finish,
            wanted,
            again,
        }
        .site()
    });
    printed.unwrap_or_else(|| Finished {
        site: Site::empty(),
        faults: project.course.map(not_reckoned).into_iter().collect(),
        made: BTreeMap::new(),
    })
}

/// What printing gave.
struct Finished {
    site: Site,
    faults: Diagnostics,
    /// What each lesson was made from, where that was asked for.
    made: BTreeMap<String, MadeLesson>,
}

/// Which files are made. What one file does not need is passed over.
#[derive(Clone, Copy)]
enum Wanted<'a> {
    All,
    Pages,
    One(&'a str),
}

impl Wanted<'_> {
    fn is(self, name: &str) -> bool {
        match self {
            Wanted::All => true,
            Wanted::Pages => name.ends_with(".html"),
            Wanted::One(wanted) => wanted == name,
        }
    }

    /// Whether files of that folder, which holds no pages.
    fn lies_in(self, folder: &str) -> bool {
        match self {
            Wanted::All => true,
            Wanted::Pages => false,
            Wanted::One(wanted) => wanted.starts_with(folder),
        }
    }
}

/// The page of terms.
const GLOSSARY: &str = "glossary.html";
/// The first page.
const INDEX: &str = "index.html";

/// Files that are the same whatever the lessons say.
fn shared_files(theme: &Theme<'_>, course: &Course, site: &mut Site) {
    Assets::put(theme, course.lessons.iter().any(|lesson| !lesson.sums.is_empty()), site);
    offline::put_manifest(theme, course, site);
    site.put(exported::SCHEMA.0.to_owned(), exported::SCHEMA.1.as_bytes().to_vec());
}

/// What makes the files of a course.
struct Press<'a> {
    project: &'a Project,
    cx: &'a Cx<'a>,
    shell: &'a CourseView,
    theme: &'a Theme<'a>,
    /// What a take-home page carries: without sums, with them, and where nothing changes.
    alone: [OnceLock<Assets>; 3],
    /// What the page of a lesson loads: rare things or not, without sums and with them, and where nothing changes.
    beside: [OnceLock<Assets>; 6],
    /// Has the last word on pages that our own templates make.
    finish: &'a (dyn Fn(&str) -> String + Sync),
    wanted: Wanted<'a>,
    again: Option<Again<'a>>,
}

/// A page that no lesson has for itself.
type Leaf<'a> = Box<dyn Fn() -> Result<String, Diagnostics> + Send + Sync + 'a>;

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

    /// The wanted files, but for the worker.
    fn site(&self) -> Finished {
        let Press { cx, shell, theme, wanted, .. } = *self;
        self.project.progress.start(Work::Printing, cx.course.lessons.len());
        let keys = self.again.map(|again| Keys::new(cx, self.project, again.maker));
        let taker = self.again.and_then(|again| again.taker);
        let kept = |lesson| self.kept(lesson, keys.as_ref()?, self.again?.last?);
        let lessons: Vec<Printed> = (0..cx.course.lessons.len())
            .into_par_iter()
            .map_init(
                || Papers::new(cx.course),
                |papers, lesson| kept(lesson).unwrap_or_else(|| self.reckoned(lesson, papers)),
            )
            .update(|printed| taker.into_iter().for_each(|taker| printed.site.hand_to(taker)))
            .inspect(|_| self.project.progress.one_done())
            .collect();
        let made_lessons = keys.map_or_else(BTreeMap::new, |keys| made_lessons(cx, &keys, &lessons));
        self.project.progress.start(Work::Binding, 0);
        let mut site = Site::empty();
        let mut faults = Diagnostics::default();
        let mut uses = TermUses::default();
        for (lesson, printed) in lessons.into_iter().enumerate() {
            site.append(printed.site);
            faults.extend(printed.faults);
            uses.add(lesson, printed.uses);
        }
        let plain = Assets::plain(theme);
        let styled = |page: &str, sheet: &'static str| Assets::styled(theme, sheet).with(Head::of(cx, page));
        let put_style = |sheet: &str, site: &mut Site| {
            theme.more_style(sheet).into_iter().for_each(|style| site.put(sheet.to_owned(), style.into_bytes()));
        };
        let any = |files: &[&str]| files.iter().chain(&[feeds::SITEMAP]).any(|name| wanted.is(name));
        let terms = glossary::glossary_page(cx, shell, &uses);
        terms.pictures.iter().for_each(|picture| site.put_picture(self.project, &cx.links, picture));
        let glossary = || {
            let head = Head::of(cx, GLOSSARY).with_data(structured::glossary_data(cx, &terms.view.body));
            theme.render("glossary.html", &terms.view, &Assets::glossary(theme).with(head))
        };
        let ledger = || {
            let assets = plain.with(Head::of(cx, ledger::PAGE));
            theme.render("ledger.html", &ledger::ledger_page(cx, shell), &assets)
        };
        let sources = || {
            let assets = plain.with(Head::of(cx, sources::PAGE));
            theme.render("sources.html", &sources::sources_page(cx, shell), &assets)
        };
        let mut papers = Papers::new(cx.course);
        let booklets = papers.put_booklets(cx, wanted, &mut site);
        let sheets = papers.put_labels(cx, wanted, &mut site);
        let index = || {
            let papers = booklets.iter().chain(&sheets).cloned().collect();
            let assets = plain.with(Head::of(cx, INDEX).with_data(structured::course_data(cx)));
            theme.render("index.html", &index::index_page(cx, shell, papers), &assets)
        };
        let mut leaves: Vec<(&str, Leaf<'_>)> = vec![
            (GLOSSARY, Box::new(glossary)),
            (ledger::PAGE, Box::new(ledger)),
            (sources::PAGE, Box::new(sources)),
            (INDEX, Box::new(index)),
        ];
        if any(&[allergen_page::PAGE, allergen_page::STYLE])
            && let Some(made) = allergen_page::allergen_page(cx, shell)
        {
            let assets = styled(allergen_page::PAGE, allergen_page::STYLE);
            leaves.push((allergen_page::PAGE, Box::new(move || theme.render("allergens.html", &made, &assets))));
            put_style(allergen_page::STYLE, &mut site);
        }
        if any(&[labels::PAGE, labels::STYLE])
            && let Some(made) = labels::label_page(cx, shell, sheets.clone())
        {
            let assets = styled(labels::PAGE, labels::STYLE);
            leaves.push((labels::PAGE, Box::new(move || theme.render("labels.html", &made, &assets))));
            put_style(labels::STYLE, &mut site);
        }
        if any(&[class::PAGE, class::TABLE, class::STYLE])
            && let Some((made, table)) = class::class_page(cx, shell)
        {
            let assets = styled(class::PAGE, class::STYLE);
            leaves.push((class::PAGE, Box::new(move || theme.render("class-plan.html", &made, &assets))));
            site.put(class::TABLE.to_owned(), table);
            put_style(class::STYLE, &mut site);
        }
        let mut pages: Vec<String> = shell.lessons.iter().map(|lesson| lesson.href.clone()).collect();
        pages.extend(leaves.iter().map(|(name, _)| (*name).to_owned()));
        let print = |(name, make): (&str, Leaf<'_>)| (name.to_owned(), make().map(|page| self.finished(page)));
        let printed: Vec<_> = leaves.into_par_iter().filter(|(name, _)| wanted.is(name)).map(print).collect();
        for (name, page) in printed {
            match page {
                Ok(page) => site.put(name, page),
                Err(found) => faults.extend(found),
            }
        }
        shared_files(theme, cx.course, &mut site);
        pages.sort();
        feeds::put_feeds(cx, &pages, &mut site);
        Finished { site, faults, made: made_lessons }
    }

    /// The wanted files that a lesson alone has: they depend on no other lesson's.
    fn lesson(&self, lesson: usize, papers: &mut Papers) -> Printed {
        let Press { project, cx, shell, theme, wanted, .. } = *self;
        let mut site = Site::empty();
        let mut faults = Diagnostics::default();
        let mut uses = BTreeMap::new();
        let mut live = None;
        let of_lesson = &cx.course.lessons[lesson];
        let has_sums = !of_lesson.sums.is_empty();
        let links = papers.put(cx, lesson, wanted, &mut site);
        if wanted.lies_in("captions/") {
            let spoken = captions::files(&project.sources, of_lesson);
            spoken.into_iter().for_each(|(path, bytes)| site.put(path, bytes));
        }
        let mut put = |name: String, page: Result<String, Diagnostics>, site: &mut Site| match page {
            Ok(page) => site.put(name, self.finished(page)),
            Err(found) => faults.extend(found),
        };
        let name = Links::lesson_page(&of_lesson.slug);
        let model_name = exported::file_of(&name);
        let parts = [name.as_str(), &model_name, GLOSSARY];
        if parts.iter().any(|part| wanted.is(part)) || wanted.lies_in(&codes::folder(of_lesson)) {
            let mut made = page::lesson_page(cx, shell, lesson, Edition::site(), None);
            made.view.body.lesson.papers = links;
            made.view.body.lesson.papers.extend(labels::link(cx, lesson));
            codes::put(&mut made.view.body.lesson, &mut site);
            let terms = made.uses.keys().copied().collect();
            let model = exported::lesson_model(cx, lesson, &made.name, &made.view.body.lesson, &terms);
            site.put(model_name, model.into_bytes());
            uses = std::mem::take(&mut made.uses);
            live = Some(made.view.body.live.clone());
            made.pictures.iter().for_each(|picture| site.put_picture(project, &cx.links, picture));
            if wanted.is(&name) {
                let rare = made.rare;
                let assets = match made.view.body.live {
                    Some(_) => self.beside[usize::from(rare) + 2 * usize::from(has_sums)]
                        .get_or_init(|| Assets::lesson(theme, rare, has_sums)),
                    None => self.beside[4 + usize::from(rare)].get_or_init(|| Assets::still(theme, rare)),
                };
                let assets = assets.with(lesson_head(cx, lesson, &made));
                put(name, theme.render("lesson.html", &made.view, &assets), &mut site);
            }
        }
        if wanted.is(&cx.links.take_home_page(&of_lesson.slug)) {
            let alone = take_home::take_home_page(cx, shell, lesson, live);
            let assets = match alone.view.body.lesson.live {
                Some(_) => self.alone[usize::from(has_sums)].get_or_init(|| Assets::alone(theme, has_sums)),
                None => self.alone[2].get_or_init(|| Assets::still_alone(theme)),
            };
            put(alone.name, theme.render("take-home.html", &alone.view, assets), &mut site);
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
