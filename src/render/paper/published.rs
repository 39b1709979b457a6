//! The papers that a site publishes: what `course.toml` asks for, or A6 cards and a handout on the paper of its home.

use super::choice::CardChoice;
use super::fonts::Fonts;
use super::handout::{HandoutChoice, set_booklet, set_handout};
use super::labels::set_labels;
use super::set_cards;
use super::sheet::Paper;
use crate::recipe::Course;
use crate::render::labels;
use crate::render::links::encoded;
use crate::render::site::Site;
use crate::render::view::PaperLinkView;
use crate::render::{Cx, Wanted};

/// Makes the papers of one site.
pub(crate) struct Papers {
    cards: Vec<CardChoice>,
    handouts: Vec<HandoutChoice>,
    /// Whether its author chose them: only then is it news that a card runs on.
    chosen: bool,
    /// Read when the first paper is set.
    fonts: Option<Fonts>,
}

impl Papers {
    pub(crate) fn new(course: &Course) -> Papers {
        let cards = match &course.cards {
            Some(wanted) => wanted.iter().filter_map(CardChoice::wanted).collect(),
            None => vec![CardChoice::default()],
        };
        let paper = Paper::of_home(course.home);
        let handouts = match &course.handouts {
            Some(wanted) => wanted.iter().filter_map(HandoutChoice::wanted).collect(),
            None => vec![HandoutChoice { paper, ..HandoutChoice::default() }],
        };
        Papers { cards, handouts, chosen: course.cards.is_some(), fonts: None }
    }

    /// Puts the wanted papers of a lesson on the site: links to all. A lesson without steps has no cards.
    pub(crate) fn put(&mut self, cx: &Cx<'_>, index: usize, wanted: Wanted<'_>, site: &mut Site) -> Vec<PaperLinkView> {
        let lesson = &cx.course.lessons[index];
        let mut links = Vec::new();
        for choice in self.cards.iter().filter(|_| !lesson.steps.is_empty()) {
            let path = format!("papers/{}-cards-{}.pdf", lesson.slug, choice.name());
            let link = PaperLinkView { href: encoded(&path), text: format!("step cards, {}", choice.words()) };
            if !wanted.is(&path) {
                links.push(link);
                continue;
            }
            match set_cards(cx, self.fonts.get_or_insert_with(Fonts::new), index, choice) {
                Ok(cards) => {
                    links.push(link);
                    site.put(path, cards.pdf);
                    if self.chosen {
                        site.note(cards.notes);
                    }
                }
                // One reason is enough, however many papers it stops.
                Err(found) => {
                    site.note(found);
                    break;
                }
            }
        }
        for choice in &self.handouts {
            let path = format!("papers/{}-handout-{}.pdf", lesson.slug, choice.name());
            let link = PaperLinkView { href: encoded(&path), text: format!("handout, {}", choice.words()) };
            if !wanted.is(&path) {
                links.push(link);
                continue;
            }
            match set_handout(cx, self.fonts.get_or_insert_with(Fonts::new), index, choice) {
                Ok(pdf) => {
                    links.push(link);
                    site.put(path, pdf);
                }
                Err(found) => {
                    // The cards have said it.
                    if self.cards.is_empty() || lesson.steps.is_empty() {
                        site.note(found);
                    }
                    break;
                }
            }
        }
        links
    }

    /// Puts the labels of all lessons on the site, if wanted, on the paper of the handouts: links to them. A course that
    /// publishes no paper has none.
    pub(crate) fn put_labels(&mut self, cx: &Cx<'_>, wanted: Wanted<'_>, site: &mut Site) -> Vec<PaperLinkView> {
        if (0..cx.course.lessons.len()).all(|lesson| labels::link(cx, lesson).is_none()) {
            return Vec::new();
        }
        let mut papers: Vec<Paper> = self.handouts.iter().map(|choice| choice.paper).collect();
        if papers.is_empty() && !self.cards.is_empty() {
            papers.push(Paper::of_home(cx.course.home));
        }
        papers.sort();
        papers.dedup();
        let mut links = Vec::new();
        for paper in papers {
            let path = format!("papers/labels-{}.pdf", paper.name());
            let text = format!("labels for jars and tubs, {}", paper.words());
            let link = PaperLinkView { href: encoded(&path), text };
            if !wanted.is(&path) {
                links.push(link);
                continue;
            }
            match set_labels(cx, self.fonts.get_or_insert_with(Fonts::new), paper) {
                Some(Ok(pdf)) => {
                    links.push(link);
                    site.put(path, pdf);
                }
                Some(Err(found)) => {
                    site.note(found);
                    break;
                }
                None => break,
            }
        }
        links
    }

    /// Puts the wanted booklets of all lessons on the site: links to all. What stops one has stopped a lesson's handout.
    pub(crate) fn put_booklets(&mut self, cx: &Cx<'_>, wanted: Wanted<'_>, site: &mut Site) -> Vec<PaperLinkView> {
        let mut links = Vec::new();
        for choice in &self.handouts {
            let path = format!("papers/booklet-{}.pdf", choice.name());
            let text = format!("all lessons as a booklet, {}", choice.words());
            let link = PaperLinkView { href: encoded(&path), text };
            if wanted.is(&path) {
                let Ok(pdf) = set_booklet(cx, self.fonts.get_or_insert_with(Fonts::new), choice) else { break };
                site.put(path, pdf);
            }
            links.push(link);
        }
        links
    }
}
