//! Large courses for measuring: the lessons of the demo course over and over, each under a name of its own, each as
//! consistent as its pattern, so that all of it publishes.

use std::collections::BTreeMap;
use std::path::Path;

/// The files of a course with so many lessons, by path. Without papers, unless they are wanted.
pub fn course(lessons: usize, papers: bool) -> BTreeMap<String, Vec<u8>> {
    let content = concat!(env!("CARGO_MANIFEST_DIR"), "/content/saltmarsh-hall");
    let demo = pottle::read_project(content.as_ref()).expect("the demo course is in the repo");
    let text = |id| demo.sources.get(id).text.clone();
    let mut files = BTreeMap::new();
    for (name, file) in [("pantry.toml", demo.pantry), ("facts.toml", demo.facts), ("glossary.md", demo.glossary)] {
        files.extend(file.map(|file| (name.to_owned(), text(file).into_bytes())));
    }
    let settings = demo.course.map(text).unwrap_or_default();
    let none = if papers { "" } else { "cards = []\nhandouts = []\n" };
    files.insert("course.toml".to_owned(), settings.replacen("\n\n[", &format!("\n{none}\n["), 1).into_bytes());
    let slugs: Vec<&str> = demo.lessons.iter().map(|lesson| lesson.slug.as_str()).collect();
    for index in 0..lessons {
        let (round, pattern) = (index / slugs.len(), &demo.lessons[index % slugs.len()]);
        let folder = format!("{:05}-{}-{round}", index + 1, pattern.slug);
        let renamed = |text: String| slugs.iter().fold(text, |text, slug| renamed(&text, slug, round));
        files.insert(format!("{folder}/lesson.md"), renamed(text(pattern.file)).into_bytes());
        for captions in &pattern.captions {
            let name =
                Path::new(&demo.sources.get(*captions).path).file_name().expect("it is a file").to_string_lossy();
            files.insert(format!("{folder}/{name}"), text(*captions).into_bytes());
        }
        let pictures = demo.pictures.iter().filter(|(path, _)| path.starts_with(&format!("{}/", pattern.folder)));
        files.extend(pictures.map(|(path, bytes)| (path.replacen(&pattern.folder, &folder, 1), bytes.to_vec())));
    }
    files
}

/// A text in which the names of other lessons are those of the same round.
fn renamed(text: &str, slug: &str, round: usize) -> String {
    let text = text.replace(&format!("from = \"{slug}\""), &format!("from = \"{slug}-{round}\""));
    text.replace(&format!("-{slug}/lesson.md"), &format!("-{slug}-{round}/lesson.md"))
}

/// Writes a course to a folder.
pub fn write(files: &BTreeMap<String, Vec<u8>>, folder: &Path) {
    for (path, bytes) in files {
        let path = folder.join(path);
        std::fs::create_dir_all(path.parent().expect("it lies in the folder")).expect("the folder can be made");
        std::fs::write(path, bytes).expect("the file can be written");
    }
}
