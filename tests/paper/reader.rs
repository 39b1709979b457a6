//! The reader of PDFs itself, tried on a page that is written by hand: one that sees nothing would let everything pass.

use super::pdf::{Font, Pdf, Rect};

/// A PDF of one page of A6 in millimetres as points, with these words: size, place of their baseline, text. The font is
/// one that every reader of PDFs has, so it is not embedded.
fn trial(words: &[(f64, f64, f64, &str)]) -> Pdf {
    let shown = words.iter().map(|(size, x, y, text)| format!("BT /F {size} Tf {x} {y} Td ({text}) Tj ET\n"));
    let shown: String = shown.collect();
    let objects = [
        "<</Type/Catalog/Pages 2 0 R>>".to_owned(),
        "<</Type/Pages/Kids[3 0 R]/Count 1>>".to_owned(),
        "<</Type/Page/Parent 2 0 R/MediaBox[0 0 297.64 419.53]/Contents 4 0 R/Resources<</Font<</F 5 0 R>>>>>>"
            .to_owned(),
        format!("<</Length {}>>stream\n{shown}endstream", shown.len()),
        "<</Type/Font/Subtype/Type1/BaseFont/Helvetica/Encoding/WinAnsiEncoding>>".to_owned(),
    ];
    let mut file = "%PDF-1.4\n".to_owned();
    let mut places = Vec::new();
    for (number, object) in (1..).zip(&objects) {
        places.push(file.len());
        file.push_str(&format!("{number} 0 obj{object}endobj\n"));
    }
    let table = file.len();
    file.push_str("xref\n0 6\n0000000000 65535 f \n");
    places.iter().for_each(|place| file.push_str(&format!("{place:010} 00000 n \n")));
    file.push_str(&format!("trailer<</Size 6/Root 1 0 R/Info<</Title(Trial)>>>>\nstartxref\n{table}\n%%EOF\n"));
    Pdf::read(file.as_bytes())
}

#[test]
fn pages_words_sizes_and_fonts_are_read() {
    let pdf = trial(&[(24.0, 20.0, 380.0, "32 C"), (12.0, 20.0, 340.0, "Warm & stir")]);
    assert_eq!(pdf.about.title.as_deref(), Some("Trial"));
    assert_eq!(pdf.fonts, [Font { name: "Helvetica".to_owned(), embedded: false, readable: false }]);
    let [leaf] = &pdf.leaves[..] else { panic!("one page") };
    assert_eq!((leaf.width, leaf.height), (297.64, 419.53));
    assert_eq!(pdf.text(), "32 C Warm & stir");
    let sizes: Vec<f64> = leaf.words.iter().map(|word| leaf.size_of(word)).collect();
    assert_eq!(sizes, [24.0, 24.0, 12.0, 12.0, 12.0]);
    let first = leaf.words[0].place;
    // Two figures of Helvetica are 0.556 em each, as its metrics say.
    assert!((first.left - 20.0).abs() < 0.01 && (first.right - 20.0 - 24.0 * 1.112).abs() < 0.01, "{first:?}");
    assert_eq!(leaf.smallest().map(|run| run.size), Some(12.0));
    assert!(leaf.overlaps().is_empty() && leaf.outside(leaf.place().inset(17.0)).is_empty());
}

#[test]
fn what_is_wrong_is_seen() {
    let pdf = trial(&[
        (12.0, 4.0, 380.0, "edge"),
        (12.0, 60.0, 380.0, "below"),
        (12.0, 62.0, 376.0, "over"),
        (11.8, 60.0, 300.0, "small"),
        // Letters beyond the paper are not read at all.
        (12.0, 290.0, 200.0, "cut"),
    ]);
    let found = pdf.faults(12.0, 17.0);
    for part in ["not embedded", "no tags", "“small” is set in 11.7 pt", "“edge” is too near", "“cu” is too near"]
    {
        assert!(found.iter().any(|fault| fault.contains(part)), "{part} is not among {found:#?}");
    }
    assert!(found.iter().any(|fault| fault.contains("“below”") && fault.contains("“over”")), "{found:#?}");
    assert_eq!(found.len(), 6, "{found:#?}");
}

#[test]
fn lines_set_solid_do_not_lie_over_each_other() {
    let pdf = trial(&[(12.0, 60.0, 380.0, "gypsy"), (12.0, 60.0, 368.0, "HALL"), (12.0, 96.0, 368.0, "beside")]);
    assert_eq!(pdf.leaves[0].overlaps(), []);
}

#[test]
fn a_page_becomes_a_picture_in_which_no_code_is_found() {
    let pdf = trial(&[(12.0, 60.0, 380.0, "words")]);
    let picture = std::fs::read(pdf.picture(1, 150)).expect("a picture");
    // 297.64 by 419.53 points at 150 dots to the inch, as the PNG's header gives them.
    assert_eq!(picture[16..24], [0, 0, 2, 109, 0, 0, 3, 107]);
    assert_eq!(pdf.codes(1, 150), Vec::<String>::new());
}

#[test]
fn places_hold_and_overlap() {
    let sheet = Rect { left: 0.0, top: 0.0, right: 10.0, bottom: 10.0 };
    let right = Rect { left: 8.0, top: 2.0, right: 12.0, bottom: 4.0 };
    assert!(sheet.holds(sheet.inset(1.0)) && !sheet.holds(right));
    assert_eq!(sheet.overlap(right), (2.0, 2.0));
}
