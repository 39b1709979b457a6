//! The page of one lesson.

use super::Cx;
use super::bench;
use super::captions::{heard_view, recording_view};
use super::cautions::{Care, caution_views};
use super::codes;
use super::edition::Edition;
use super::explained::explained;
use super::keeping::more_words;
use super::links::Links;
use super::live::Page;
use super::markdown::{Writer, without_notes};
use super::plan::LessonPlan;
use super::recipe_view::{amount_view, goes_in_view, leaves_view, makes_view, named_views, packed, recipe_view};
use super::sections::{Block, Section, sections};
use super::sums::sum_view;
use super::view::{
    BlockView, CourseView, GaugeView, HeadView, KeepView, LessonBody, LessonView, LossView, PageView, PartView,
    SectionView, StepLinkView, StepView,
};
use crate::kitchen::{LiveData, claim, hold_words, reckoned};
use crate::recipe::{Lesson, Step};
use std::collections::{BTreeMap, BTreeSet};

/// A lesson's page before its template, and what it used.
pub(super) struct LessonPage<'a> {
    /// Its file name.
    pub name: String,
    pub view: PageView<'a, LessonBody>,
    /// Terms linked, with the fragment of their first use.
    pub uses: BTreeMap<usize, String>,
    /// Whether it shows what few pages do.
    pub rare: bool,
    /// Pictures shown, by path in the course folder.
    pub pictures: BTreeSet<String>,
}

/// Builds the page of a lesson.
/// `known` are its live figures as JSON, where another edition of the same lesson has them: they are the same.
pub(super) fn lesson_page<'a>(
    cx: &'a Cx<'a>,
    course: &'a CourseView,
    index: usize,
    links: Edition,
    known: Option<Option<String>>,
) -> LessonPage<'a> {
    let lesson = &cx.course.lessons[index];
    let live = Page::live(cx);
    let writer = Writer::new(&live, lesson.file, &lesson.folder, &lesson.headings, links);
    let mut builder =
        Builder { cx: &live, lesson, plan: LessonPlan::new(cx, lesson), care: Care::new(cx, lesson), writer };
    let view = builder.lesson(course, index);
    let live = known.unwrap_or_else(|| bench::live_json(&live, lesson));
    let summary = lesson.summary.as_ref().map(|summary| summary.text.clone());
    let page = HeadView {
        title: format!("{} – {}", lesson.title, course.title),
        description: summary.unwrap_or_else(|| lesson.title.clone()),
        kind: "lesson",
    };
    LessonPage {
        name: Links::lesson_page(&lesson.slug),
        view: PageView { course, page, body: LessonBody { lesson: view, live } },
        uses: builder.writer.state.uses,
        rare: builder.writer.state.rare,
        pictures: builder.writer.state.pictures,
    }
}

/// The live figures of that page.
pub(super) fn live_figures(cx: &Cx<'_>, course: &CourseView, index: usize) -> Option<LiveData> {
    let lesson = &cx.course.lessons[index];
    let live = Page::live(cx);
    let writer = Writer::new(&live, lesson.file, &lesson.folder, &lesson.headings, Edition::site());
    Builder { cx: &live, lesson, plan: LessonPlan::new(cx, lesson), care: Care::new(cx, lesson), writer }
        .lesson(course, index);
    live.data().map(|(data, _)| data)
}

struct Builder<'a> {
    cx: &'a Page<'a>,
    lesson: &'a Lesson,
    plan: LessonPlan,
    care: Care<'a>,
    writer: Writer<'a>,
}

impl<'a> Builder<'a> {
    fn lesson(&mut self, course: &CourseView, index: usize) -> LessonView {
        let (cx, lesson) = (self.cx, self.lesson);
        let (items, note_texts) = without_notes(&lesson.body);
        let (title, sections) = sections(lesson, &items);
        let recipe = lesson.recipe.as_ref();
        // Terms become links in running text only, and in reading order.
        let title_html = self.writer.flow_quietly(&title);
        let summary_html = lesson.summary.as_ref().map(|summary| self.writer.visible_quietly(summary));
        let learn_html = lesson.learn.iter().map(|text| self.writer.visible_quietly(text)).collect();
        let recipe_lists = recipe.map(|recipe| recipe_view(cx, recipe, &lesson.steps, &mut self.writer));
        let loses = recipe.and_then(|recipe| recipe.loses.as_ref()).map(|(id, words)| LossView {
            amount: amount_view(cx, *id),
            words_html: words.as_ref().map(|words| self.writer.visible_quietly(words)),
        });
        let cautions = caution_views(&self.care.at(None), &mut self.writer);
        let parts = self.parts(&sections);
        let keeps = self.keeps();
        let keep_cautions = caution_views(&self.care.of_keeping(), &mut self.writer);
        let notes = self.writer.notes(&note_texts);
        let explained = explained(cx, index, self.writer.glossary(), &self.writer.state.explained);
        LessonView {
            slug: lesson.slug.clone(),
            number: index + 1,
            title_slug: lesson
                .title_heading
                .and_then(|title| lesson.headings.get(title))
                .map_or(String::new(), |title| title.slug.clone()),
            title_html,
            summary_html,
            learn_html,
            makes: recipe.and_then(|recipe| makes_view(cx, recipe)),
            leaves: recipe.map_or(Vec::new(), |recipe| leaves_view(cx, index, recipe)),
            loses,
            session: lesson.session.map(|id| amount_view(cx, id)),
            code: codes::of_lesson(cx, lesson),
            recording: recording_view(lesson),
            take_home: Some(cx.links.take_home_page(&lesson.slug)),
            papers: Vec::new(),
            step_count: lesson.steps.len(),
            plan: self.plan.view(cx, lesson),
            recipe: recipe_lists,
            cautions,
            parts,
            keeps,
            keep_cautions,
            notes,
            explained,
            previous: index.checked_sub(1).and_then(|before| course.lessons.get(before)).cloned(),
            next: course.lessons.get(index + 1).cloned(),
        }
    }

    /// The sections in order, steps that follow each other gathered in one list.
    fn parts(&mut self, sections: &[Section<'_>]) -> Vec<PartView> {
        let mut parts = Vec::new();
        for section in sections {
            let slug = self.slug(section);
            self.writer.begin_section(&slug);
            match (section.heading, section.step) {
                (None, _) => parts.push(PartView::Opening { blocks: self.blocks(section) }),
                (Some(_), None) => parts.push(PartView::Section { section: self.section(section, slug) }),
                (Some(_), Some(step)) => {
                    let view = self.step(section, slug, step);
                    match parts.last_mut() {
                        Some(PartView::Steps { steps, .. }) => steps.push(view),
                        _ => parts.push(PartView::Steps { first: view.number, steps: vec![view] }),
                    }
                }
            }
        }
        parts
    }

    fn slug(&self, section: &Section<'_>) -> String {
        let heading = section.heading.and_then(|index| self.lesson.headings.get(index));
        heading.map_or(String::new(), |heading| heading.slug.clone())
    }

    fn section(&mut self, section: &Section<'_>, slug: String) -> SectionView {
        let heading = section.heading.and_then(|index| self.lesson.headings.get(index));
        let heading_html = self.writer.flow_quietly(&section.heading_items);
        SectionView {
            level: heading.map_or(2, |heading| heading.level.max(2)),
            slug,
            heading_html,
            blocks: self.blocks(section),
        }
    }

    fn blocks(&mut self, section: &Section<'_>) -> Vec<BlockView> {
        let mut views = Vec::new();
        for block in &section.blocks {
            match block {
                Block::Prose(items) => views.push(BlockView::Prose { html: self.writer.flow(items) }),
                Block::Recipe => views.push(BlockView::Recipe),
                Block::Sum(index) => {
                    views.extend(sum_view(self.cx, self.lesson, *index).map(|sum| BlockView::Sum { sum }));
                }
                Block::Rescue { step, index } => {
                    let rescue = self.lesson.steps.get(*step).and_then(|step| step.rescues.get(*index));
                    let Some(rescue) = rescue else { continue };
                    let sign_html = self.writer.visible(&rescue.sign);
                    views.push(BlockView::Rescue { sign_html, remedy_html: self.writer.visible(&rescue.remedy) });
                }
            }
        }
        views
    }

    fn step(&mut self, section: &Section<'_>, slug: String, index: usize) -> StepView {
        let (cx, lesson) = (self.cx, self.lesson);
        let step = &lesson.steps[index];
        let recipe = lesson.recipe.as_ref();
        let add = step.add.iter();
        let goes_in =
            recipe.map_or(Vec::new(), |recipe| add.map(|part| goes_in_view(cx, lesson, recipe, index, part)).collect());
        let equipment = recipe.map_or(&[][..], |recipe| &recipe.equipment);
        let vessels = step.vessels.iter().filter_map(|vessel| equipment.get(*vessel));
        let vessels_html = vessels.map(|one| self.writer.visible_quietly(&one.name)).collect();
        let sign_html = step.until.as_ref().map(|sign| self.writer.visible(sign));
        StepView {
            number: index + 1,
            id: step.id.clone(),
            title: step.title.clone(),
            gauges: gauges(cx, step),
            cautions: caution_views(&self.care.at(Some(index)), &mut self.writer),
            at_home: step.at_home,
            goes_in,
            measures: named_views(cx, &step.measures),
            vessels_html,
            reckoned: reckoned(cx.course, cx.reference, lesson, index).map(|one| one.in_words(cx.course)),
            pasteurises: pasteurised_words(cx, lesson, index),
            worth: worth_words(cx, lesson, index),
            hands: step.hands_on.map(|on| if on { "on" } else { "off" }),
            sign_html,
            way: step.way.clone(),
            beside: step.beside.and_then(|other| self.step_link(other)),
            after: step.after.iter().filter_map(|other| self.step_link(*other)).collect(),
            code: codes::of_step(cx, lesson, index),
            heard: heard_view(lesson, step),
            section: self.section(section, slug),
        }
    }

    fn step_link(&self, index: usize) -> Option<StepLinkView> {
        let step = self.lesson.steps.get(index)?;
        let slug = self.lesson.headings.get(step.heading)?.slug.clone();
        Some(StepLinkView { number: index + 1, slug, title: step.title.clone() })
    }

    fn keeps(&mut self) -> Vec<KeepView> {
        let (cx, lesson) = (self.cx, self.lesson);
        let Some(recipe) = &lesson.recipe else {
            return Vec::new();
        };
        let product = recipe.makes.as_ref().map_or(String::new(), |product| packed(&product.name));
        let mut keeps = Vec::new();
        for keeping in &recipe.keeps {
            let what = keeping.what.as_ref().map(|what| self.writer.visible_quietly(what));
            keeps.push(KeepView {
                what_html: what.unwrap_or_else(|| super::html::escaped(&product)),
                place_html: self.writer.visible_quietly(&keeping.place),
                time: amount_view(cx, keeping.time),
                at: keeping.at.map(|id| amount_view(cx, id)),
                more: more_words(keeping, cx.reference),
            });
        }
        keeps
    }
}

/// The temperatures and times of a step.
pub(super) fn gauges(cx: &Page<'_>, step: &Step) -> Vec<GaugeView> {
    let readings = [
        ("from", "heat", "from", step.from),
        ("bring to", "heat", "to", step.to),
        ("keep at", "heat", "at", step.at),
        ("for", "time", "wait", step.lasts),
        ("takes", "time", "takes", step.takes),
    ];
    let several = |sort| readings.iter().filter(|(_, of, _, id)| *of == sort && id.is_some()).count() > 1;
    let shown = readings.iter().filter_map(|(label, sort, word, id)| Some((*label, *sort, *word, (*id)?)));
    shown
        .map(|(label, sort, word, id)| GaugeView {
            label,
            sort,
            word: several(sort).then_some(word),
            amount: amount_view(cx, id),
        })
        .collect()
}

/// What a hold that meets its law is worth at the temperature of the law.
fn worth_words(cx: &Page<'_>, lesson: &Lesson, index: usize) -> Option<String> {
    let claim = claim(cx.course, cx.reference, lesson.recipe.as_ref()?, &lesson.steps, index)?;
    claim.met?;
    let worth = claim.worth(cx.reference)?;
    let (words, basis) = (worth.in_words(), worth.basis());
    Some(format!("by reckoning worth {words}, with {basis}: an estimate, which shortens no hold"))
}

/// The legal hold that a step claims to meet, and does.
pub(super) fn pasteurised_words(cx: &Page<'_>, lesson: &Lesson, index: usize) -> Option<String> {
    let recipe = lesson.recipe.as_ref()?;
    let hold = claim(cx.course, cx.reference, recipe, &lesson.steps, index)?.met?;
    let claims = &lesson.steps[index].pasteurises;
    let names: Vec<&str> = claims.iter().map(|one| recipe.ingredients[one.ingredient].name.as_str()).collect();
    let source = cx.reference.source_title(&hold.source);
    Some(format!("{}, held at {} ({source})", names.join(", "), hold_words(hold)))
}
