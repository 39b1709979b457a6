//! The theme: our built-in templates, and the course's own instead of any of them.
//!
//! A course overrides `lesson.html` by a file of that name in its `theme/` folder. Its `style.css` takes the place of
//! ours; its `own.css` is added after it. Scripts and the icon are replaced in the same way. A fault of a template is a
//! finding at its place in the course's file.

use super::assets::Assets;
use super::faults::Fault;
use super::lean::{lean_script, lean_style, with_short_names};
use super::view::PageView;
use crate::diag::Diagnostics;
use crate::input::Project;
use include_dir::{Dir, include_dir};
use serde::Serialize;
use std::collections::BTreeMap;
use std::sync::{Arc, LazyLock};
use tera::{Context, ErrorKind, Tera};

/// The built-in theme.
pub(super) static BUILT_IN: Dir<'static> = include_dir!("$CARGO_MANIFEST_DIR/themes/scullery");

/// Before the names of built-in templates, so that a course's own of the same name is found first.
pub(super) const PREFIX: &str = "scullery/";

/// Templates and style of one course.
pub(super) struct Theme<'a> {
    templates: Templates,
    project: &'a Project,
    /// Whether its pages may be kept on a device.
    keeps: bool,
}

/// The compiled templates of a course.
#[derive(Debug, Clone)]
pub(crate) struct Templates(Arc<Tera>);

impl Templates {
    /// Compiles the templates; each of the course's own that cannot be read gives one finding.
    pub(crate) fn load(project: &Project) -> Result<Templates, Diagnostics> {
        let mut own: BTreeMap<&str, &str> = BTreeMap::new();
        for (path, file) in project.theme.iter().filter(|(path, _)| path.ends_with(".html")) {
            own.insert(path, &project.sources.get(*file).text);
        }
        let mut faults = Diagnostics::default();
        loop {
            let error = match compile(&own) {
                Ok(tera) if faults.is_empty() => return Ok(Templates(Arc::new(tera))),
                Ok(_) => return Err(faults.sorted()),
                Err(error) => error,
            };
            Fault::all(&error).iter().for_each(|fault| faults.push(fault.finding(project)));
            // Only a template that cannot be read at all is set aside to look for more: without it, others that lean
            // on it would be blamed too.
            let set_aside = match error.kind() {
                ErrorKind::SyntaxError(report) => own.remove(report.filename()).is_some(),
                _ => false,
            };
            if !set_aside {
                return Err(faults.sorted());
            }
        }
    }
}

impl<'a> Theme<'a> {
    /// The theme of a site.
    pub(super) fn load(project: &'a Project) -> Result<Theme<'a>, Diagnostics> {
        Ok(Theme { templates: Templates::load(project)?, project, keeps: true })
    }

    /// The theme of pages that are looked at while their course is written: a browser that keeps them would show old ones.
    pub(super) fn preview(project: &'a Project, templates: &Templates) -> Theme<'a> {
        Theme { templates: templates.clone(), project, keeps: false }
    }

    /// A page.
    pub(super) fn render<T: Serialize>(
        &self,
        template: &str,
        view: &PageView<'_, T>,
        assets: &Assets,
    ) -> Result<String, Diagnostics> {
        let context = Context::from_serialize(view).map(|mut context| {
            let course = view.course.value.get_or_init(|| tera::Value::from_serializable(view.course));
            context.insert_value("course", course.clone());
            context.insert("assets", assets);
            context
        });
        context.and_then(|context| self.templates.0.render(template, &context)).map_err(|error| {
            let mut faults = Diagnostics::default();
            Fault::all(&error).iter().for_each(|fault| faults.push(fault.finding(self.project)));
            faults
        })
    }

    /// Whether the course brings any template.
    pub(super) fn has_own_templates(&self) -> bool {
        self.project.theme.keys().any(|path| path.ends_with(".html"))
    }

    /// The style sheet.
    pub(super) fn style(&self) -> String {
        let ours = || self.our_style("style.css");
        let mut style = self.own("style.css").map(str::to_owned).or_else(ours).unwrap_or_default();
        if let Some(more) = self.own("own.css") {
            style.push('\n');
            style.push_str(more);
        }
        style
    }

    /// A sheet of ours. Names of colours stay where the course's own files may speak of them.
    fn our_style(&self, name: &str) -> Option<String> {
        let sheets = if self.project.theme.is_empty() { &SHORT } else { &LEAN };
        sheets.get(name).cloned()
    }

    /// A sheet that few pages need, if the theme has it. What comes before a style sheet of ours is of no use before
    /// another.
    pub(super) fn more_style(&self, name: &str) -> Option<String> {
        let useless = name == "more.css" && self.own("style.css").is_some();
        let ours = || (!useless).then(|| self.our_style(name))?;
        self.own(name).map(str::to_owned).or_else(ours)
    }

    /// The sheet for paper, if the theme has it. It comes after the style sheet, at whose end a course's `own.css` has the
    /// last word: so it has it here too.
    pub(super) fn print_style(&self) -> Option<String> {
        let ours = || self.own("style.css").is_none().then(|| self.our_style("print.css"))?;
        let style = self.own("print.css").map(str::to_owned).or_else(ours)?;
        Some(self.own("own.css").into_iter().fold(style, |style, own| style + "\n" + own))
    }

    /// A script, if the theme has it. What a course brings is left as it was written.
    pub(super) fn script(&self, name: &str) -> Option<String> {
        let wanted = self.keeps || !KEEPING.contains(&name);
        wanted.then(|| self.own(name).map(str::to_owned).or_else(|| LEAN.get(name).cloned()))?
    }

    /// A picture of the theme itself.
    pub(super) fn picture(&self, name: &str) -> Vec<u8> {
        let own = self.project.pictures.get(&format!("theme/{name}"));
        own.map(|bytes| bytes.to_vec())
            .or_else(|| Some(BUILT_IN.get_file(name)?.contents().to_vec()))
            .unwrap_or_default()
    }

    /// A colour of the style sheet by day and by night, where it stands on lines of its own as `--sheet: #fffdf7;`.
    pub(super) fn colours(&self, name: &str) -> Vec<String> {
        let style = self.own("style.css").or_else(|| built_in("style.css")).unwrap_or_default();
        let style = format!("{style}\n{}", self.own("own.css").unwrap_or_default());
        let mark = format!("--{name}:");
        let values = style.split(&mark).skip(1);
        let hex = values.filter_map(|value| value.split([';', '}']).next()?.trim().strip_prefix('#'));
        let hex = hex.filter(|hex| hex.len() == 6 && hex.bytes().all(|digit| digit.is_ascii_hexdigit()));
        hex.take(2).map(|hex| format!("#{hex}")).collect()
    }

    /// A text that the course's own theme brings.
    fn own(&self, name: &str) -> Option<&str> {
        self.project.theme.get(name).map(|file| self.project.sources.get(*file).text.as_str())
    }
}

/// A text of the built-in theme.
pub(crate) fn built_in(name: &str) -> Option<&'static str> {
    BUILT_IN.get_file(name).and_then(|file| file.contents_utf8())
}

/// What keeps a site on a device.
const KEEPING: [&str; 2] = ["offline.js", "sw.js"];

/// Our scripts and sheets without what readers need not carry, worked out once for a run.
static LEAN: LazyLock<BTreeMap<&'static str, String>> = LazyLock::new(|| {
    let texts = BUILT_IN.files().filter_map(|file| Some((file.path().to_str()?, file.contents_utf8()?)));
    let lean = texts.filter_map(|(name, text)| match name.rsplit_once('.')?.1 {
        "css" => Some((name, lean_style(text))),
        "js" => Some((name, lean_script(name, text))),
        _ => None,
    });
    lean.collect()
});

/// Our sheets with short names of colours too.
static SHORT: LazyLock<BTreeMap<&'static str, String>> = LazyLock::new(|| {
    let sheets = ["style.css", "more.css"].map(|name| LEAN.get(name).map_or("", String::as_str));
    let styles = LEAN.iter().filter(|(name, _)| name.ends_with(".css"));
    styles.map(|(name, style)| (*name, with_short_names(sheets, style))).collect()
});

fn compile(own: &BTreeMap<&str, &str>) -> Result<Tera, tera::Error> {
    let mut tera = Tera::new();
    tera.set_fallback_prefixes([PREFIX])?;
    let built_in = BUILT_IN.get_dir("templates").map(|dir| dir.files()).into_iter().flatten();
    let built_in = built_in.filter_map(|file| Some((file.path().file_name()?.to_str()?, file.contents_utf8()?)));
    let templates = built_in.map(|(name, text)| (format!("{PREFIX}{name}"), text));
    let own = own.iter().map(|(name, text)| ((*name).to_owned(), *text));
    tera.add_raw_templates(templates.chain(own).collect::<Vec<_>>())?;
    Ok(tera)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The colours of one scheme, by the name of their custom property.
    fn colours(block: &str) -> BTreeMap<&str, [f64; 3]> {
        let lines =
            block.lines().filter_map(|line| line.trim().strip_prefix("--")?.strip_suffix(';')?.split_once(": #"));
        let channel = |hex: &str, at: usize| f64::from(u8::from_str_radix(&hex[at..at + 2], 16).unwrap()) / 255.0;
        lines.map(|(name, hex)| (name, [0, 2, 4].map(|at| channel(hex, at)))).collect()
    }

    /// Contrast ratio as WCAG 2.2 defines it (relative luminance of sRGB).
    fn contrast(one: [f64; 3], other: [f64; 3]) -> f64 {
        let luminance = |colour: [f64; 3]| {
            let linear = |c: f64| {
                if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
            };
            0.2126 * linear(colour[0]) + 0.7152 * linear(colour[1]) + 0.0722 * linear(colour[2])
        };
        let (a, b) = (luminance(one), luminance(other));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    #[test]
    fn text_and_edges_stand_out_by_day_and_by_night() {
        // Two pairs that the WCAG understanding documents work out, so that the formula itself is checked.
        assert!((contrast([0.0; 3], [1.0; 3]) - 21.0).abs() < 1e-9);
        let grey = f64::from(0x76) / 255.0; // #767676, the floor of 4.5:1 on white
        assert!((contrast([grey; 3], [1.0; 3]) - 4.54).abs() < 0.01);
        let [mut day, mut night] = [BTreeMap::new(), BTreeMap::new()];
        for sheet in ["style.css", "more.css"] {
            let mut schemes = built_in(sheet).unwrap().split(":root {").skip(1);
            let mut scheme = || schemes.next().map_or("", |rest| rest.split('}').next().unwrap_or(rest));
            day.extend(colours(scheme()));
            night.extend(colours(scheme()));
        }
        assert_eq!(day.keys().collect::<Vec<_>>(), night.keys().collect::<Vec<_>>());
        for (ink, on, least) in [
            ("ink", &["paper", "sheet", "code"][..], 7.0),
            ("soft", &["paper", "sheet", "code"][..], 4.5),
            ("link", &["paper", "sheet"][..], 4.5),
            ("copper", &["paper", "sheet"][..], 4.5),
            ("plate-ink", &["plate"][..], 7.0),
            ("plate-soft", &["plate"][..], 4.5),
            ("warn-ink", &["warn", "paper"][..], 7.0),
            ("code-key", &["code"][..], 4.5),
            ("code-text", &["code"][..], 4.5),
            ("edge", &["paper", "sheet"][..], 3.0),
        ] {
            for paper in on {
                for (scheme, colours) in [("day", &day), ("night", &night)] {
                    let ratio = contrast(colours[ink], colours[paper]);
                    assert!(ratio >= least, "{ink} on {paper} by {scheme}: {ratio:.2}");
                }
            }
        }
    }

    /// The compiler notices an edited file of the theme but not a new one.
    #[test]
    fn the_built_in_theme_holds_every_file_of_its_folder() {
        let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("themes/scullery");
        let mut count = 0;
        for entry in walkdir::WalkDir::new(&root) {
            let entry = entry.unwrap();
            if entry.file_type().is_file() {
                let path = entry.path().strip_prefix(&root).unwrap();
                assert!(BUILT_IN.get_file(path).is_some(), "{} is new: touch src/render/theme.rs", path.display());
                count += 1;
            }
        }
        assert!(count > 8, "{count}");
    }

    #[test]
    fn the_style_is_light_to_carry() {
        let style = BUILT_IN.get_file("style.css").unwrap().contents();
        assert!(style.len() < 17_800, "{}", style.len());
    }
}
