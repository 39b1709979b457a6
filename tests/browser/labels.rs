//! The pages of labels and of allergens on paper, printed by Chromium and read back by poppler.

use super::page::Page;
use super::pdf::{Leaf, Pdf};
use super::site;
use serde_json::json;
use tempfile::TempDir;

const A4: (f64, f64) = (595.28, 841.89);
const LETTER: (f64, f64) = (612.0, 792.0);

fn is_sized(leaf: &Leaf, (width, height): (f64, f64)) -> bool {
    (leaf.width - width).abs() < 1.0 && (leaf.height - height).abs() < 1.0
}

/// Nothing is under 12 pt, and nothing where printers leave the paper blank: up to 6 mm (common practice).
fn assert_sound(pdf: &Pdf, what: &str) {
    let found = pdf.faults(11.9, 17.0);
    assert!(found.is_empty(), "{what}: {} faults, {:#?}", found.len(), &found[..found.len().min(8)]);
}

/// A course in the US, with a short label and a long one.
fn american() -> TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let lesson = |keeps: &str| {
        format!(
            "# Make\n\n```recipe\nmakes = \"500 g make\"\nkeeps = [{keeps}]\n[ingredients]\nthing = \"500 g whole milk\"\n```\n\n\
             ## Make it\n\n```step\nadd = [\"thing\"]\n```\n\nMix it.\n"
        )
    };
    let fridge = "{ where = \"covered in the fridge\", for = \"4 days\", at = \"at most 41 °F\" }";
    let freezer = "{ where = \"well wrapped, in a bag with the air pressed out, in the freezer\", for = \"4 weeks\" }";
    let files = [
        ("course.toml", "title = \"Hall\"\nhome = \"us\"\nlanguage = \"en-US\"\n".to_owned()),
        ("01-short/lesson.md", lesson(fridge)),
        ("02-long/lesson.md", lesson(&format!("{fridge}, {freezer}"))),
    ];
    for (path, text) in files {
        let path = folder.path().join(path);
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("the folder is ours");
        std::fs::write(path, text).expect("the folder is ours");
    }
    folder
}

#[test]
fn each_label_fills_one_sheet_of_either_paper_and_nothing_else_is_printed() {
    let abroad = american();
    for (server, size) in [(site::served(), A4), (site::served_course(abroad.path()), LETTER)] {
        let page = Page::fresh();
        page.open(&server.url("labels.html"));
        let wanted = page.eval("document.querySelectorAll('.labels').length").as_u64().expect("a number");
        let pdf = Pdf::read(&page.printed(json!({})));
        assert_eq!(pdf.leaves.len() as u64, wanted, "{size:?}");
        assert!(pdf.leaves.iter().all(|leaf| is_sized(leaf, size)), "{size:?}");
        assert_sound(&pdf, "labels");
        for leaf in &pdf.leaves {
            let text = leaf.text();
            let labels = text.matches("Made on").count();
            assert!([2, 6, 8, 10].contains(&labels), "{labels} in {text}");
            assert_eq!(text.matches("from the day it was made)").count(), labels, "{text}");
        }
        assert!(!pdf.text().contains("Sheets to print") && !pdf.text().contains("Your local food-safety"));
    }
}

#[test]
fn a_lesson_leads_to_its_own_labels_and_prints_no_others() {
    let server = site::served();
    let page = Page::fresh();
    page.open(&server.url("cultured-butter.html"));
    let href = page.text("document.querySelector('.facts a[href^=\"labels.html\"]').getAttribute('href')");
    assert_eq!(href, "labels.html#for-cultured-butter");
    page.open(&server.url(&href));
    let pdf = Pdf::read(&page.printed(json!({})));
    assert_eq!(pdf.leaves.len(), 2);
    assert!(pdf.leaves[0].text().contains("Cultured butter") && pdf.leaves[1].text().contains("Buttermilk"));
    // On screen there is one of each, and no other is told to a reader of screens.
    let shown = "[...document.querySelectorAll('#for-cultured-butter li')].filter(one => one.checkVisibility()).length";
    assert_eq!(page.eval(shown), 2);
}

#[test]
fn the_table_of_allergens_lies_on_its_side_and_is_whole() {
    let server = site::served();
    let page = Page::fresh();
    page.open(&server.url("allergens.html"));
    for (inches, size) in [((8.27, 11.69), A4), ((8.5, 11.0), LETTER)] {
        let pdf = Pdf::read(&page.printed(json!({ "paperWidth": inches.0, "paperHeight": inches.1 })));
        let sideways = pdf.leaves.iter().all(|leaf| leaf.width > leaf.height);
        assert!(sideways && pdf.leaves.len() <= 3, "{size:?}: {} sheets", pdf.leaves.len());
        let small: Vec<_> = pdf.leaves.iter().filter_map(Leaf::smallest).filter(|run| run.size < 11.9).collect();
        assert!(small.is_empty(), "{small:#?}");
        let text = pdf.leaves[0].text();
        let lessons = page.eval("document.querySelectorAll('tbody tr').length").as_u64().expect("a number");
        let rows = page.eval("[...document.querySelectorAll('tbody th a')].map(one => one.innerText)");
        let rows: Vec<String> = serde_json::from_value(rows).expect("texts");
        assert!(rows.len() as u64 == lessons && rows.iter().all(|title| text.contains(title.as_str())), "{text}");
        for word in ["contains", "celery", "molluscs"] {
            assert!(text.contains(word), "{word}: {text}");
        }
    }
    // A narrow screen scrolls the table in its own box, and not the page.
    page.screen(360, 800, 2.0, true);
    assert!(page.is("document.documentElement.scrollWidth <= innerWidth"));
    assert!(page.is("document.querySelector('.scroll').scrollWidth > document.querySelector('.scroll').clientWidth"));
    assert_eq!(page.eval("document.querySelector('.scroll').tabIndex"), 0);
}
