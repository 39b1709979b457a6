//! What a text is written for, and so where its links may lead.

use super::links::{Links, Target};
use crate::recipe::{Term, term_named};
use std::collections::BTreeSet;

/// The kind of page that a text stands on.
pub(super) struct Edition {
    /// What stands before a term's slug in a link to it.
    pub page: &'static str,
    /// Whether words of the trade are explained where they stand, and not by a link.
    pub in_place: bool,
    /// Only these terms are links, where not all of them can be.
    pub only: Option<BTreeSet<usize>>,
    /// What stands in the ids of footnotes, so that a page can have two lists of them.
    pub notes: &'static str,
    /// On a page that gets by alone.
    alone: Option<Alone>,
}

/// Names of pages on the site, by which links are known that can stay.
struct Alone {
    /// The lesson that the page is made from.
    lesson: String,
    /// Where the text stands there.
    here: String,
}

/// Where a link of the site leads on this page.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Lead {
    To(String),
    ToTerm(usize),
    Nowhere,
}

/// The id of a term at the end of a take-home page is this and its slug, which may be the slug of a heading too.
pub(super) const WORD: &str = "_word-";

const WORD_LINK: &str = "#_word-";
const GLOSSARY: &str = "glossary.html";

impl Edition {
    /// A page of the site.
    pub(super) fn site() -> Edition {
        Edition { page: "glossary.html#", in_place: true, only: None, notes: "", alone: None }
    }

    /// The glossary, which shows these terms.
    pub(super) fn glossary(shown: BTreeSet<usize>) -> Edition {
        Edition { page: "#", in_place: false, only: Some(shown), notes: "", alone: None }
    }

    /// A lesson as one file.
    pub(super) fn take_home(slug: &str) -> Edition {
        let lesson = Links::lesson_page(slug);
        let alone = Some(Alone { here: lesson.clone(), lesson });
        Edition { page: WORD_LINK, in_place: true, only: None, notes: "", alone }
    }

    /// The terms at the end of such a file, which are these.
    pub(super) fn words(slug: &str, shown: BTreeSet<usize>) -> Edition {
        let alone = Some(Alone { here: GLOSSARY.to_owned(), lesson: Links::lesson_page(slug) });
        Edition { page: WORD_LINK, in_place: false, only: Some(shown), notes: "words-", alone }
    }

    /// Whether pictures are part of the page.
    pub(super) fn holds_pictures(&self) -> bool {
        self.alone.is_some()
    }

    /// Where a link leads that is resolved for the site.
    pub(super) fn lead(&self, target: Target, terms: &[Term]) -> Lead {
        let shown = |term: &usize| self.only.as_ref().is_none_or(|only| only.contains(term));
        if let Target::Term(word) = &target {
            return term_named(terms, word).filter(shown).map_or(Lead::Nowhere, Lead::ToTerm);
        }
        let (Some(alone), Target::Page(href)) = (&self.alone, &target) else {
            return match target {
                Target::Page(href) | Target::Elsewhere(href) => Lead::To(href),
                Target::Picture(_, href) if self.alone.is_none() => Lead::To(href),
                Target::Picture(..) | Target::Term(_) | Target::Nowhere => Lead::Nowhere,
            };
        };
        let (page, fragment) = href.split_once('#').unwrap_or((href, ""));
        let page = if page.is_empty() { alone.here.as_str() } else { page };
        if page == alone.lesson {
            return Lead::To(format!("#{}", if fragment.is_empty() { "_main" } else { fragment }));
        }
        let term = terms.iter().position(|term| page == GLOSSARY && term.slug == fragment).filter(shown);
        term.map_or(Lead::Nowhere, Lead::ToTerm)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::{FileId, Span};

    #[test]
    fn on_a_page_of_its_own_a_link_stays_on_it_or_is_none() {
        let term = |slug: &str| Term {
            name: slug.to_owned(),
            slug: slug.to_owned(),
            also: Vec::new(),
            definition: Vec::new(),
            span: Span::new(FileId(0), 0..0),
            own: true,
        };
        let terms = [term("curd"), term("whey")];
        let page = |href: &str| Target::Page(href.to_owned());
        let again = |target: &Target| match target {
            Target::Page(href) => Target::Page(href.clone()),
            Target::Picture(path, href) => Target::Picture(path.clone(), href.clone()),
            Target::Term(word) => Target::Term(word.clone()),
            other => unreachable!("{other:?}"),
        };
        let to = |href: &str| Lead::To(href.to_owned());
        let (lesson, words) = (Edition::take_home("curd"), Edition::words("curd", BTreeSet::from([1])));
        for (target, in_lesson, in_words) in [
            (page("#heat"), to("#heat"), Lead::Nowhere),
            (page("curd.html#heat"), to("#heat"), to("#heat")),
            (page("curd.html"), to("#_main"), to("#_main")),
            (page("pans.html#rinse"), Lead::Nowhere, Lead::Nowhere),
            (page("index.html"), Lead::Nowhere, Lead::Nowhere),
            (page("glossary.html"), Lead::Nowhere, Lead::Nowhere),
            (page("glossary.html#whey"), Lead::ToTerm(1), Lead::ToTerm(1)),
            (page("glossary.html#curd"), Lead::ToTerm(0), Lead::Nowhere),
            (page("#whey"), to("#whey"), Lead::ToTerm(1)),
            (Target::Term("Whey".to_owned()), Lead::ToTerm(1), Lead::ToTerm(1)),
            (Target::Term("curd".to_owned()), Lead::ToTerm(0), Lead::Nowhere),
            (Target::Term("rind".to_owned()), Lead::Nowhere, Lead::Nowhere),
        ] {
            assert_eq!((lesson.lead(again(&target), &terms), words.lead(target, &terms)), (in_lesson, in_words));
        }
        let picture = Target::Picture("a/b.svg".to_owned(), "pictures/a/b.svg".to_owned());
        assert_eq!(lesson.lead(again(&picture), &terms), Lead::Nowhere);
        assert_eq!(Edition::site().lead(picture, &terms), to("pictures/a/b.svg"));
        assert_eq!(lesson.lead(Target::Elsewhere("tel:1".to_owned()), &terms), to("tel:1"));
    }
}
