//! What a page's head says to programs: where the page lies, what it is about, the same as data.

use super::Cx;
use super::links::encoded;
use serde::Serialize;

/// Tags and data for programs.
#[derive(Debug, Clone, Default, Serialize)]
pub(super) struct Head {
    /// The page's own address; with it the page says what a preview of a link to it shows. Open Graph asks for that
    /// address, so without one nothing is said.
    pub canonical: Option<String>,
    /// `article` or `website`.
    pub kind: &'static str,
    /// `en_GB`
    pub locale: String,
    /// Address of a picture.
    pub image: Option<String>,
    /// The lesson's model as JSON.
    pub model: Option<String>,
    /// Whether there is a feed of the lessons.
    pub feed: bool,
    /// The page as linked data, fit to stand in a script element.
    pub data: Option<String>,
}

/// Where a page lies under the address of its site: the first page is the address itself.
pub(super) fn address_of(address: &str, page: &str) -> String {
    let page = if page == "index.html" { String::new() } else { encoded(page) };
    format!("{address}{page}")
}

impl Head {
    /// For a page of the site.
    pub(super) fn of(cx: &Cx<'_>, page: &str) -> Head {
        Head {
            canonical: cx.course.address.as_ref().map(|address| address_of(address, page)),
            kind: "website",
            locale: cx.course.language.replace('-', "_"),
            feed: super::feeds::newest(cx).is_some(),
            ..Head::default()
        }
    }

    /// The same with data.
    pub(super) fn with_data(self, data: String) -> Head {
        Head { data: Some(data), ..self }
    }
}
