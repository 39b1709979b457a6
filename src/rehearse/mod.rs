//! A course while it is being written: its last good pages, what is wrong with it now, and one file after the other as a
//! browser asks for them.
//!
//! Nothing is printed before it is asked for, so that a change costs a check and the one page that is looked at. Pure:
//! whoever reads the disk hands in a new [`Project`] after each change; whoever serves pages asks for files by name.

mod dress;
mod strip;

use crate::check::{CheckedCourse, Memory, check_again};
use crate::diag::Diagnostics;
use crate::input::Project;
use crate::render::{Site, Templates, built_in, preview, preview_assets, preview_faults, preview_pictures};
use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::{Arc, Mutex, PoisonError};

/// The first page.
const INDEX: &str = "index.html";

/// A course while it is being written. A clone is cheap, and goes its own way.
#[derive(Debug, Clone)]
pub struct Rehearsal {
    project: Arc<Project>,
    /// Lessons that were checked. It knows them by what they are made from, so clones may share it.
    memory: Arc<Mutex<Memory>>,
    findings: Diagnostics,
    /// Why the course could not be read at all, the last time that it was tried.
    trouble: Option<String>,
    shown: Option<Arc<Shown>>,
    /// Tells the pages of one run from those of another.
    seed: u64,
    /// How often the pages have changed.
    turn: u64,
    version: u64,
    strip: String,
}

/// The last course without errors.
#[derive(Debug)]
struct Shown {
    project: Arc<Project>,
    course: CheckedCourse,
    templates: Templates,
    /// What its pages load.
    assets: Site,
    /// Which form of it that is, by name.
    forms: BTreeMap<String, String>,
}

impl Rehearsal {
    /// A course as it stands.
    pub fn new(project: impl Into<Arc<Project>>) -> Rehearsal {
        let project = project.into();
        let mut hasher = DefaultHasher::new();
        files(&project).for_each(|file| file.hash(&mut hasher));
        let mut rehearsal = Rehearsal {
            project: Arc::default(),
            memory: Arc::default(),
            findings: Diagnostics::default(),
            trouble: None,
            shown: None,
            seed: hasher.finish(),
            turn: 0,
            version: 1,
            strip: String::new(),
        };
        rehearsal.look(project);
        rehearsal.strip = rehearsal.drawn();
        rehearsal
    }

    /// The course after a change: the files that differ, in order of their paths. Nothing is done when none does.
    pub fn change(&mut self, project: impl Into<Arc<Project>>) -> Vec<String> {
        let project = project.into();
        let changed = if self.project == project { Vec::new() } else { changed_files(&self.project, &project) };
        let turn = self.turn;
        self.trouble = None;
        if !changed.is_empty() {
            self.look(project);
        }
        self.redraw(turn);
        changed
    }

    /// Says why the course cannot be read just now. Its last good pages stay.
    pub fn cannot_read(&mut self, why: &str) {
        self.trouble = Some(why.to_owned());
        self.redraw(self.turn);
    }

    /// Why the course cannot be read just now, if it cannot.
    pub fn trouble(&self) -> Option<&str> {
        self.trouble.as_deref()
    }

    /// A number that rises with each change that can be seen.
    pub fn version(&self) -> u64 {
        self.version
    }

    /// A mark of the pages as they are now: a page that bears another one is out of date.
    pub fn mark(&self) -> String {
        format!("{:x}-{}", self.seed, self.turn)
    }

    /// What is wrong with the course as it was read last.
    pub fn findings(&self) -> &Diagnostics {
        &self.findings
    }

    /// The course as it was read last, for which the findings hold.
    pub fn project(&self) -> &Project {
        &self.project
    }

    /// What is wrong, as a piece of a page; empty when nothing is.
    pub fn strip(&self) -> &str {
        &self.strip
    }

    /// A file of the site by its name, as the last good course has it. Pages load two files that only a rehearsal has:
    /// they show what is wrong, and load the page again after a change.
    pub fn file(&self, name: &str) -> Option<Cow<'_, [u8]>> {
        if let Some(text) = own_file(name) {
            return Some(Cow::Borrowed(text.as_bytes()));
        }
        let Some(shown) = &self.shown else {
            return (name == INDEX).then(|| self.plain("There is no page yet: first put right what stands below."));
        };
        if let Some(asset) = shown.assets.files().get(name) {
            return Some(Cow::Borrowed(asset));
        }
        let is_page = name.ends_with(".html");
        match preview(&shown.project, &shown.course, &shown.templates, name) {
            Ok(file) => file.map(|bytes| if is_page { self.dressed(&bytes, &self.strip) } else { Cow::Owned(bytes) }),
            Err(faults) if is_page => {
                let page = dress::plain_page("This page could not be made.");
                Some(self.dressed(page.as_bytes(), &strip::strip(&shown.project.sources, &faults, None, "")))
            }
            Err(_) => None,
        }
    }

    /// Which form of a file that pages load this is, where that can be told without making it: its bytes never change as
    /// long as its form stays, so a browser may keep it.
    pub fn form(&self, name: &str) -> Option<String> {
        self.forms()(name)
    }

    fn forms(&self) -> impl Fn(&str) -> Option<String> {
        let shown = self.shown.as_deref();
        let pictures = shown.map(|shown| preview_pictures(&shown.project));
        move |name| {
            if let Some(text) = own_file(name) {
                return Some(form(text.as_bytes()));
            }
            let picture = || Some(format!("{:x}", pictures.as_ref()?(name)?.digest()));
            shown?.forms.get(name).cloned().or_else(picture)
        }
    }

    /// The page for a name that no file has.
    pub fn missing(&self) -> Cow<'_, [u8]> {
        self.plain("There is no page of this name.")
    }

    fn plain(&self, words: &str) -> Cow<'_, [u8]> {
        self.dressed(dress::plain_page(words).as_bytes(), &self.strip)
    }

    fn dressed(&self, page: &[u8], strip: &str) -> Cow<'_, [u8]> {
        let page = dress::dressed(&String::from_utf8_lossy(page), &self.mark(), strip);
        Cow::Owned(dress::with_forms(&page, self.forms()).into_bytes())
    }

    /// Checks a course. Without errors it is the one that is shown from now on.
    fn look(&mut self, project: Arc<Project>) {
        let checked = check_again(&project, &mut self.memory.lock().unwrap_or_else(PoisonError::into_inner));
        let mut findings = checked.findings;
        // Checking may have passed these on already; sorting drops the echoes.
        findings.extend(project.problems.clone());
        self.findings = findings.sorted();
        self.project = project;
        let Some(course) = checked.course.filter(|_| !self.findings.has_errors()) else { return };
        match Shown::new(&self.project, course, self.shown.as_deref()) {
            Ok(shown) => {
                self.shown = Some(Arc::new(shown));
                self.turn += 1;
            }
            Err(faults) => {
                self.findings.extend(faults);
                self.findings = std::mem::take(&mut self.findings).sorted();
            }
        }
    }

    fn redraw(&mut self, turn: u64) {
        let strip = self.drawn();
        if strip != self.strip || turn != self.turn {
            self.version += 1;
            self.strip = strip;
        }
    }

    fn drawn(&self) -> String {
        let stale = self.shown.as_ref().is_some_and(|shown| !Arc::ptr_eq(&shown.project, &self.project));
        let so = if stale { "; what you see is from before" } else { "" };
        strip::strip(&self.project.sources, &self.findings, self.trouble.as_deref(), so)
    }
}

impl Shown {
    /// Made from a course without errors, unless its templates have faults. What `before` has and still holds is taken over.
    fn new(project: &Arc<Project>, course: CheckedCourse, before: Option<&Shown>) -> Result<Shown, Diagnostics> {
        let same = before.filter(|before| own_templates(&before.project) == own_templates(project));
        let templates = match same {
            Some(before) => before.templates.clone(),
            None => Templates::load(project)?,
        };
        if same.is_none() && !own_templates(project).is_empty() {
            let faults = preview_faults(project, &course, &templates);
            if !faults.is_empty() {
                return Err(faults);
            }
        }
        let assets = preview_assets(project, &course, &templates);
        let forms = assets.files().iter().map(|(name, bytes)| (name.clone(), form(bytes))).collect();
        Ok(Shown { project: Arc::clone(project), course, templates, assets, forms })
    }
}

/// A file that only a rehearsal has.
fn own_file(name: &str) -> Option<&'static str> {
    ["rehearse.js", "rehearse.css"].contains(&name).then(|| built_in(&format!("preview/{name}")))?
}

/// A short name for some bytes that others hardly have.
fn form(bytes: &[u8]) -> String {
    let mut hasher = DefaultHasher::new();
    bytes.hash(&mut hasher);
    format!("{:x}", hasher.finish())
}

/// Templates that a course brings.
fn own_templates(project: &Project) -> Vec<(&str, &str)> {
    let own = project.theme.iter().filter(|(path, _)| path.ends_with(".html"));
    own.map(|(path, file)| (path.as_str(), project.sources.get(*file).text.as_str())).collect()
}

/// A path, and the bytes there.
type File<'a> = (&'a str, &'a [u8]);

/// All files of a course by their paths.
fn files(project: &Project) -> impl Iterator<Item = File<'_>> {
    let texts = project.sources.iter().map(|(_, file)| (file.path.as_str(), file.text.as_bytes()));
    texts.chain(project.pictures.iter().map(|(path, bytes)| (path.as_str(), &**bytes)))
}

/// The files that only one of two courses has, or both in different form.
fn changed_files(before: &Project, after: &Project) -> Vec<String> {
    let (old, new): (Vec<_>, Vec<_>) = (files(before).collect(), files(after).collect());
    // Most is shared: what comes before and after all changes is passed over.
    let shared = |(old, new): &(&File<'_>, &File<'_>)| old.0 == new.0 && std::ptr::eq(old.1, new.1);
    let start = old.iter().zip(&new).take_while(shared).count();
    let (old, new) = (&old[start..], &new[start..]);
    let end = old.iter().rev().zip(new.iter().rev()).take_while(shared).count();
    let [old, new] = [old, new].map(|some| some[..some.len() - end].iter().copied().collect::<BTreeMap<_, _>>());
    let paths: BTreeSet<&str> = old.keys().chain(new.keys()).copied().collect();
    paths.into_iter().filter(|path| old.get(path) != new.get(path)).map(str::to_owned).collect()
}

#[cfg(test)]
mod tests;
