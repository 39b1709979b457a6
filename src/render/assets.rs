//! What a page looks and works with: files beside it, or the same on the page itself.

use super::head::Head;
use super::inline::{inline_script, inline_style, policy_hash};
use super::site::Site;
use super::sums;
use super::theme::Theme;
use serde::Serialize;

/// The scripts of a lesson, in the order in which they lean on each other. A theme need not have all of them.
const LESSON: [&str; 2] = ["kitchen.js", "lesson.js"];

/// What they fetch when it is first wanted, or while the page rests.
const LATER: &str = "stove.js";
const LATER_STYLE: &str = "later.css";

/// How a page is set on paper.
const PRINT: &str = "print.css";

/// The script of the glossary.
const GLOSSARY: &str = "glossary.js";

/// The scripts that the page of a lesson names, which has sums or has none.
fn scripts(has_sums: bool) -> Vec<&'static str> {
    LESSON.into_iter().chain(has_sums.then_some(sums::SCRIPT)).collect()
}

/// The same, and what they fetch.
fn all_scripts(has_sums: bool) -> Vec<&'static str> {
    LESSON.into_iter().chain([LATER]).chain(has_sums.then_some(sums::SCRIPT)).collect()
}

/// The script of every page of the site.
const EVERY: &str = "offline.js";

/// What `base.html` needs to know of style and scripts.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Assets {
    /// Scripts to load, in order.
    scripts: Vec<&'static str>,
    /// Whether to load the sheet that few pages need.
    more: bool,
    /// Whether there is a sheet for paper.
    print: bool,
    /// A style sheet of this page alone.
    own_style: Option<&'static str>,
    /// What a page holds that gets by alone.
    inline: Option<Inline>,
    /// Colours of the strip at the top by day and by night, for the browser's own strips; empty where the style sheet
    /// names them in another way.
    strip: Vec<String>,
    /// What its head says to programs.
    head: Head,
}

/// Style and scripts as they stand on a page, and how its policy names them.
#[derive(Debug, Clone, Serialize)]
struct Inline {
    style: String,
    style_hash: String,
    script: String,
    script_hash: String,
}

impl Assets {
    /// For the pages that are no lesson.
    pub(super) fn plain(theme: &Theme<'_>) -> Assets {
        Assets::beside(theme, &[], true, None)
    }

    /// For a page with a style sheet of its own, where the theme has it.
    pub(super) fn styled(theme: &Theme<'_>, sheet: &'static str) -> Assets {
        Assets::beside(theme, &[], true, Some(sheet))
    }

    /// For the glossary.
    pub(super) fn glossary(theme: &Theme<'_>) -> Assets {
        Assets::beside(theme, &[GLOSSARY], true, None)
    }

    /// For the page of a lesson, which may show what few pages do, and may have sums.
    pub(super) fn lesson(theme: &Theme<'_>, rare: bool, has_sums: bool) -> Assets {
        Assets::beside(theme, &scripts(has_sums), rare, has_sums.then_some(sums::STYLE))
    }

    /// For the page of a lesson on which nothing changes.
    pub(super) fn still(theme: &Theme<'_>, rare: bool) -> Assets {
        Assets::beside(theme, &[], rare, None)
    }

    fn beside(theme: &Theme<'_>, names: &[&'static str], more: bool, own: Option<&'static str>) -> Assets {
        let all = names.iter().copied().chain([EVERY]);
        let scripts = all.filter(|name| theme.script(name).is_some()).collect();
        let more = more && theme.more_style("more.css").is_some();
        let own_style = own.filter(|sheet| theme.more_style(sheet).is_some());
        let print = theme.print_style().is_some();
        Assets { scripts, more, print, own_style, inline: None, strip: theme.colours("sheet"), head: Head::default() }
    }

    /// The same with what its head says to programs.
    pub(super) fn with(&self, head: Head) -> Assets {
        Assets { head, ..self.clone() }
    }

    /// For the page of a lesson that gets by alone.
    pub(super) fn alone(theme: &Theme<'_>, has_sums: bool) -> Assets {
        Assets::within(theme, &all_scripts(has_sums), has_sums)
    }

    /// For such a page on which nothing changes.
    pub(super) fn still_alone(theme: &Theme<'_>) -> Assets {
        Assets::within(theme, &[], false)
    }

    fn within(theme: &Theme<'_>, names: &[&'static str], has_sums: bool) -> Assets {
        let scripts: Vec<String> = names.iter().filter_map(|name| theme.script(name)).collect();
        let own = has_sums.then(|| theme.more_style(sums::STYLE)).flatten();
        let before = ["more.css", LATER_STYLE].map(|sheet| theme.more_style(sheet).unwrap_or_default());
        let style = before.concat()
            + &theme.style()
            + &theme.print_style().unwrap_or_default()
            + own.unwrap_or_default().as_str();
        let (style, script) = (inline_style(&style), inline_script(&scripts));
        let hash = |text: &str| if text.is_empty() { "'none'".to_owned() } else { policy_hash(text) };
        let (style_hash, script_hash) = (hash(&style), hash(&script));
        let inline = Inline { style, style_hash, script, script_hash };
        Assets {
            scripts: Vec::new(),
            more: false,
            print: false,
            own_style: None,
            inline: Some(inline),
            strip: theme.colours("sheet"),
            head: Head::default(),
        }
    }

    /// The files that pages load.
    pub(super) fn put(theme: &Theme<'_>, has_sums: bool, site: &mut Site) {
        site.put("style.css".to_owned(), theme.style().into_bytes());
        for name in ["more.css", LATER_STYLE] {
            if let Some(style) = theme.more_style(name) {
                site.put(name.to_owned(), style.into_bytes());
            }
        }
        if let Some(style) = theme.print_style() {
            site.put(PRINT.to_owned(), style.into_bytes());
        }
        if let Some(style) = has_sums.then(|| theme.more_style(sums::STYLE)).flatten() {
            site.put(sums::STYLE.to_owned(), style.into_bytes());
        }
        for name in all_scripts(has_sums).into_iter().chain([EVERY, GLOSSARY]) {
            if let Some(script) = theme.script(name) {
                site.put(name.to_owned(), script.into_bytes());
            }
        }
    }
}
