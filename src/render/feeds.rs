//! What is published for programs that follow a site: a list of its pages and a feed of its lessons. Both need the
//! address of the site; neither holds a clock.
//!
//! Sources: sitemaps.org protocol 0.9; RFC 4287, the Atom syndication format.

use super::Cx;
use super::head::address_of;
use super::html::escaped;
use super::links::{Links, encoded};
use super::site::Site;
use crate::recipe::Lesson;

pub(super) const SITEMAP: &str = "sitemap.xml";
const FEED: &str = "feed.xml";

/// The date of the newest lesson, where there is an address to lead to it.
pub(super) fn newest<'a>(cx: &Cx<'a>) -> Option<&'a str> {
    cx.course.address.as_ref()?;
    cx.course.lessons.iter().filter_map(|lesson| lesson.published.as_deref()).max()
}

/// Adds both, where they have something to say. `pages` are all but the copies to take home, in order.
pub(super) fn put_feeds(cx: &Cx<'_>, pages: &[String], site: &mut Site) {
    let Some(address) = &cx.course.address else { return };
    let sitemap = sitemap(address, pages);
    site.put(SITEMAP.to_owned(), sitemap.into_bytes());
    if let Some(newest) = newest(cx) {
        site.put(FEED.to_owned(), feed(cx, address, newest).into_bytes());
    }
}

fn sitemap(address: &str, pages: &[String]) -> String {
    let mut text = String::from(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<urlset xmlns=\"http://www.sitemaps.org/schemas/sitemap/0.9\">\n",
    );
    for page in pages {
        text.push_str(&format!("<url><loc>{}</loc></url>\n", escaped(&address_of(address, page))));
    }
    text + "</urlset>\n"
}

/// The lessons that have a date, the newest first; of one date in the order of the course.
fn feed(cx: &Cx<'_>, address: &str, newest: &str) -> String {
    let course = cx.course;
    let mut lessons: Vec<(&str, &Lesson)> =
        course.lessons.iter().filter_map(|lesson| Some((lesson.published.as_deref()?, &**lesson))).collect();
    lessons.sort_by(|(one, _), (other, _)| other.cmp(one));
    let address = escaped(address);
    let author = course.author.as_deref().unwrap_or(&course.title);
    let mut text = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<feed xmlns=\"http://www.w3.org/2005/Atom\" xml:lang=\"{}\">\n\
         <id>{address}</id>\n<title>{}</title>\n<updated>{}</updated>\n<author><name>{}</name></author>\n\
         <link href=\"{address}\"/>\n<link rel=\"self\" type=\"application/atom+xml\" href=\"{address}{FEED}\"/>\n",
        escaped(&course.language),
        escaped(&course.title),
        instant(newest),
        escaped(author),
    );
    for (date, lesson) in lessons {
        let page = format!("{address}{}", encoded(&Links::lesson_page(&lesson.slug)));
        let date = instant(date);
        text.push_str(&format!(
            "<entry>\n<id>{page}</id>\n<title>{}</title>\n<updated>{date}</updated>\n<published>{date}</published>\n\
             <link href=\"{page}\"/>\n",
            escaped(&lesson.title)
        ));
        let summary = lesson.summary.as_ref().map_or(lesson.title.as_str(), |summary| summary.text.as_str());
        text.push_str(&format!("<summary>{}</summary>\n</entry>\n", escaped(summary)));
    }
    text + "</feed>\n"
}

/// A day as Atom wants it: its first moment, where no hour is known.
fn instant(date: &str) -> String {
    format!("{date}T00:00:00Z")
}
