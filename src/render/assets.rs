//! What a page looks and works with: files beside it, or the same on the page itself.

use super::inline::{inline_script, inline_style, policy_hash};
use super::site::Site;
use super::theme::Theme;
use serde::Serialize;

/// The scripts of a lesson, in the order in which they lean on each other. A theme need not have all of them.
const LESSON: [&str; 3] = ["kitchen.js", "lesson.js", "stove.js"];

/// The script of every page of the site.
const EVERY: &str = "offline.js";

/// What `base.html` needs to know of style and scripts.
#[derive(Debug, Serialize)]
pub(super) struct Assets {
    /// Scripts to load, in order.
    scripts: Vec<&'static str>,
    /// Whether to load the sheet that few pages need.
    more: bool,
    /// A style sheet of this page alone.
    own_style: Option<&'static str>,
    /// What a page holds that gets by alone.
    inline: Option<Inline>,
    /// Colours of the strip at the top by day and by night, for the browser's own strips; empty where the style sheet
    /// names them in another way.
    strip: Vec<String>,
}

/// Style and scripts as they stand on a page, and how its policy names them.
#[derive(Debug, Serialize)]
struct Inline {
    style: String,
    style_hash: String,
    script: String,
    script_hash: String,
}

impl Assets {
    /// For the pages that are no lesson.
    pub(super) fn plain(theme: &Theme<'_>) -> Assets {
        Assets::beside(theme, &[], true)
    }

    /// For a page with a style sheet of its own, where the theme has it.
    pub(super) fn styled(theme: &Theme<'_>, sheet: &'static str) -> Assets {
        let own_style = theme.more_style(sheet).map(|_| sheet);
        Assets { own_style, ..Assets::plain(theme) }
    }

    /// For the page of a lesson, which may show what few pages do.
    pub(super) fn lesson(theme: &Theme<'_>, rare: bool) -> Assets {
        Assets::beside(theme, &LESSON, rare)
    }

    fn beside(theme: &Theme<'_>, names: &[&'static str], more: bool) -> Assets {
        let all = names.iter().copied().chain([EVERY]);
        let scripts = all.filter(|name| theme.script(name).is_some()).collect();
        let more = more && theme.more_style("more.css").is_some();
        Assets { scripts, more, own_style: None, inline: None, strip: theme.colours("sheet") }
    }

    /// For the page of a lesson that gets by alone.
    pub(super) fn alone(theme: &Theme<'_>) -> Assets {
        let scripts: Vec<String> = LESSON.iter().filter_map(|name| theme.script(name)).collect();
        let style = theme.more_style("more.css").unwrap_or_default() + &theme.style();
        let (style, script) = (inline_style(&style), inline_script(&scripts));
        let hash = |text: &str| if text.is_empty() { "'none'".to_owned() } else { policy_hash(text) };
        let (style_hash, script_hash) = (hash(&style), hash(&script));
        let inline = Inline { style, style_hash, script, script_hash };
        Assets {
            scripts: Vec::new(),
            more: false,
            own_style: None,
            inline: Some(inline),
            strip: theme.colours("sheet"),
        }
    }

    /// The files that pages load.
    pub(super) fn put(theme: &Theme<'_>, site: &mut Site) {
        site.put("style.css".to_owned(), theme.style().into_bytes());
        if let Some(more) = theme.more_style("more.css") {
            site.put("more.css".to_owned(), more.into_bytes());
        }
        for name in LESSON.iter().chain([&EVERY]) {
            if let Some(script) = theme.script(name) {
                site.put((*name).to_owned(), script.into_bytes());
            }
        }
    }
}
