//! Lessons and captions as texts: their letters, their markup, their size.

use super::course::{accepts, in_time, lesson, looked_at, refused, with, words};
use pottle::{Project, check};

const L: &str = "01-a/lesson.md";

fn many(text: &str, count: usize) -> String {
    text.repeat(count)
}

fn captioned(name: &str, text: impl AsRef<[u8]>) -> Vec<super::course::File> {
    with(words("Stir."), name, text)
}

refused! {
    latin_1_is_no_utf_8: with(words(""), L, b"# A\n\nTake \xbd cup.\n") => "not-utf8", "01-a/lesson.md", "Take";
    utf_16_is_no_utf_8: with(words(""), L, b"\xff\xfe#\0 \0A\0\n\0") => "not-utf8", "01-a/lesson.md", "";
    half_a_letter_at_the_end_is_no_utf_8: with(words(""), L, b"# A\n\nSalt \xe2\x82") => "not-utf8", "01-a/lesson.md", "Salt";
    a_surrogate_in_bytes_is_no_utf_8: with(words(""), L, b"# A\n\nSalt \xed\xa0\x80\n") => "not-utf8", "01-a/lesson.md", "Salt";
    course_toml_in_latin_1: with(words("Stir."), "course.toml", b"title = \"Caf\xe9\"\n") => "not-utf8", "course.toml", "title";
    pantry_in_latin_1: with(words("Stir."), "pantry.toml", b"# caf\xe9\n") => "not-utf8", "pantry.toml", "caf";
    glossary_in_latin_1: with(words("Stir."), "glossary.md", b"## caf\xe9\n\nA house.\n") => "not-utf8", "glossary.md", "caf";
    captions_in_latin_1: captioned("01-a/lesson.vtt", b"WEBVTT\n\n00:01.000 --> 00:02.000\nCaf\xe9\n") => "not-utf8", "01-a/lesson.vtt", "Caf";
    a_lesson_of_a_million_headings: words(many("#\n", 1_000_000)) => "too-large", "01-a/lesson.md", "";
    a_table_that_is_wider_than_long: words(format!("{}|\n{}|\n{}", many("|a", 3000), many("|-", 3000), many("|b\n", 1000))) => "too-large", "01-a/lesson.md", "|a|a";
    fifty_thousand_headings: words(many("# b\n", 50_000)) => "too-large", "01-a/lesson.md", "# b";
    a_glossary_of_two_megabytes: with(words("Stir."), "glossary.md", many("## a\n\nb\n\n", 250_000)) => "too-large", "glossary.md", "";
    a_pantry_of_two_megabytes: with(words("Stir."), "pantry.toml", many("# bag\n", 350_000)) => "too-large", "pantry.toml", "";
    captions_of_two_megabytes: captioned("01-a/lesson.vtt", many("WEBVTT\n", 300_000)) => "too-large", "01-a/lesson.vtt", "";
    an_empty_lesson: lesson("") => "missing-title", "01-a/lesson.md", "";
    a_lesson_of_blanks: lesson(many(" \t\n", 5000)) => "missing-title", "01-a/lesson.md", "";
    quotes_ten_thousand_deep: words(format!("{}deep", many("> ", 10_000))) => "too-deep", "01-a/lesson.md", "deep";
    quotes_without_blanks_ten_thousand_deep: words(format!("{}deep", many(">", 10_000))) => "too-deep", "01-a/lesson.md", "deep";
    a_thousand_lines_two_hundred_quotes_deep: words(many(&format!("{}deep\n", many("> ", 200)), 1000)) => "too-deep", "01-a/lesson.md", "deep";
    lists_on_one_line_a_thousand_deep: words(format!("{}deep", many("- ", 1000))) => "too-deep", "01-a/lesson.md", "deep";
    numbered_lists_a_thousand_deep: words(format!("{}deep", many("1. ", 1000))) => "too-deep", "01-a/lesson.md", "deep";
    lists_by_indent_six_hundred_deep: words((0..600).map(|at| format!("{}- a\n", many("  ", at))).collect::<String>()) => "too-deep", "01-a/lesson.md", "- a";
    a_fence_that_is_never_closed: words("```\nboil\n") => "open-fence", "01-a/lesson.md", "```";
    three_thousand_fences_that_are_never_closed: words(many("```recipe\n", 3000)) => "open-fence", "01-a/lesson.md", "```recipe";
    fences_of_every_length: words((3..900).map(|at| format!("{}x\n", many("`", at))).collect::<String>()) => "open-fence", "01-a/lesson.md", "```x";
    html_in_a_lesson: words("A <b onclick=\"alert(1)\">bold</b> word.") => "raw-html", "01-a/lesson.md", "bold";
    a_script_in_a_lesson: words("<script>alert(1)</script>") => "raw-html", "01-a/lesson.md", "script";
    a_hidden_remark: words("<!-- 4 L -->") => "raw-html", "01-a/lesson.md", "4 L";
    fifty_thousand_remarks_never_closed: words(many("<!--", 50_000)) => "raw-html", "01-a/lesson.md", "<!--";
    a_processing_instruction: words("<?php echo 1 ?>") => "raw-html", "01-a/lesson.md", "php";
    a_link_to_script: words("[words](javascript:alert(1))") => "broken-reference", "01-a/lesson.md", "javascript";
    a_link_to_script_in_capitals: words("[words](JaVaScRiPt:alert(1))") => "broken-reference", "01-a/lesson.md", "JaVa";
    a_link_to_script_by_entity: words("[words](&#106;avascript:alert(1))") => "broken-reference", "01-a/lesson.md", "avascript";
    a_link_to_script_by_tab: words("[words](java&Tab;script:alert(1))") => "broken-reference", "01-a/lesson.md", "java";
    a_link_to_script_after_a_blank: words("[words](<  javascript:alert(1)>)") => "broken-reference", "01-a/lesson.md", "javascript";
    a_link_to_script_after_a_control: words("[words](<&#1;javascript:alert(1)>)") => "broken-reference", "01-a/lesson.md", "javascript";
    a_link_to_script_by_reference: words("[words][1]\n\n[1]: javascript:alert(1)") => "broken-reference", "01-a/lesson.md", "words";
    a_link_to_script_in_pointed_brackets: words("<javascript:alert(1)>") => "broken-reference", "01-a/lesson.md", "javascript";
    a_link_to_data: words("[words](data:text/html,<script>alert(1)</script>)") => "broken-reference", "01-a/lesson.md", "data:";
    a_link_to_vbscript: words("[words](vbscript:msgbox)") => "broken-reference", "01-a/lesson.md", "vbscript";
    a_link_to_a_file: words("[words](file:///etc/passwd)") => "broken-reference", "01-a/lesson.md", "file:";
    a_link_that_borrows_its_scheme: words("[words](//example.org/)") => "broken-reference", "01-a/lesson.md", "//example";
    a_link_with_backslashes: words("[words](\\\\\\\\example.org\\\\x)") => "broken-reference", "01-a/lesson.md", "example";
    a_link_out_of_the_course: words("[words](../../../etc/passwd)") => "broken-reference", "01-a/lesson.md", "passwd";
    fifty_thousand_links_to_nowhere: words(many("[a](b) ", 2500)) => "broken-reference", "01-a/lesson.md", "[a]";
    a_reference_bomb: words(format!("{}\n\n[a]: /{}", many("[a] ", 4000), many("x", 50_000))) => "broken-reference", "01-a/lesson.md", "[a]";
    a_footnote_without_end: words("Words[^1].") => "broken-reference", "01-a/lesson.md", "[^1]";
    a_footnote_twice: words("Words[^1].\n\n[^1]: a\n\n[^1]: b") => "broken-reference", "01-a/lesson.md", "[^1]: b";
    a_paragraph_without_end: words(many("Take 4 L of milk. ", 10_000)) => "too-large", "01-a/lesson.md", "milk";
    a_row_of_links_without_end: words(many("[a](", 50_000)) => "too-large", "01-a/lesson.md", "[a]";
    a_row_of_pictures_without_end: words(many("![a](", 50_000)) => "too-large", "01-a/lesson.md", "[a]";
    a_number_without_end: words(format!("Take {} g.", many("1,000", 100_000))) => "too-large", "01-a/lesson.md", "Take";
    a_range_without_end: words(format!("Take {} g.", many("1–2–3–", 30_000))) => "too-large", "01-a/lesson.md", "Take";
    a_word_without_end: words(many("a", 500_000)) => "too-large", "01-a/lesson.md", "aaa";
    /// Found by hand: a figure for each word after "point" made a ratio that did not fit.
    a_decimal_in_words_without_end: words(format!("Add one point {}litres.", many("nine ", 60))) => "unknown-mention", "01-a/lesson.md", "Add";
    hundreds_of_hundreds: words(format!("Add {}litres.", many("two hundred ", 900))) => "unknown-mention", "01-a/lesson.md", "Add";
    a_nought_byte: words("Take it \0 out.") => "not-utf8", "01-a/lesson.md", "Take";
    captions_that_run_backwards: captioned("01-a/lesson.vtt", "WEBVTT\n\n00:02.000 --> 00:01.000\nHi\n") => "bad-captions", "01-a/lesson.vtt", "-->";
    captions_past_the_end_of_time: captioned("01-a/lesson.vtt", "WEBVTT\n\n99999999999999999999:00:00.000 --> 99999999999999999999:00:01.000\nHi\n") => "bad-captions", "01-a/lesson.vtt", "9999";
    captions_that_are_something_else: captioned("01-a/lesson.vtt", "PK\u{3}\u{4}zip") => "not-utf8", "01-a/lesson.vtt", "";
    captions_of_arrows: captioned("01-a/lesson.vtt", format!("WEBVTT\n\n{}", many("-->", 100_000))) => "bad-captions", "01-a/lesson.vtt", "-->";
    two_thousand_captions_of_no_time: captioned("01-a/lesson.srt", many("1\n99:99:99,999 --> 00:00:00,000\nHi\n\n", 2000)) => "bad-captions", "01-a/lesson.srt", "-->";
    colours_of_a_terminal: words("Take \u{1b}[31m4 L\u{1b}[0m \u{7}\u{1b}]0;x\u{7} of milk.") => "not-utf8", "01-a/lesson.md", "Take";
    words_that_run_the_other_way: words("Take \u{202e}4 L\u{202c} of milk.") => "unknown-mention", "01-a/lesson.md", "Take";
    a_nought_byte_beside_a_figure: words("Take 4 L\0 of milk.") => "not-utf8", "01-a/lesson.md", "Take";
}

const PLAIN: &str = "# A\n\n```recipe\nmakes = \"1 L weak tea\"\n\n[ingredients]\nwater = \"1 L water\"\n```\n\n## Pour\n\n```step\nadd = [\"water\"]\n```\n\nPour 1 litre.\n";

#[test]
fn line_ends_of_windows_and_a_byte_order_mark_change_no_page() {
    let plain = accepts(lesson(PLAIN));
    let other = accepts(lesson(format!("\u{feff}{}", PLAIN.replace('\n', "\r\n"))));
    assert_eq!(plain.files()["a.html"], other.files()["a.html"]);
}

#[test]
fn a_finding_in_a_file_of_windows_names_the_right_line() {
    let text = PLAIN.replace("Pour 1 litre", "Pour 2 litres").replace('\n', "\r\n");
    super::course::refuses(lesson(format!("\u{feff}{text}")), "disagrees", L, "Pour 2 litres");
}

#[test]
fn controls_written_as_references_or_escapes_reach_no_page() {
    let block = "```lesson\nsummary = \"Tea \\u0000 and \\u0001 water\"\n```\n\n";
    let text =
        PLAIN.replace("# A\n\n", &format!("# A &#1; b\n\n{block}")).replace("Pour 1", "Pour &#0; and &#8; and &#27; 1");
    let course = "title = \"T \\u0002\"\nsummary = \"S\\u001b\"\naddress = \"https://example.org/\"\n";
    let site = accepts(with(lesson(text), "course.toml", course));
    for (path, bytes) in site.files().iter().filter(|(path, _)| !path.ends_with(".pdf") && !path.ends_with(".png")) {
        let control = bytes.iter().find(|byte| **byte < b' ' && !b"\t\n\r".contains(byte));
        assert_eq!(control, None, "{path}");
    }
}

#[test]
fn markup_that_is_slow_to_read_elsewhere_is_read_in_time() {
    for text in [
        many("*a **b ", 2500),
        many("[", 15_000),
        (1..150).map(|at| format!("{} a ", many("`", at))).collect(),
        many("[^1] ", 3000) + "\n\n[^1]: a",
        many("a\n===\n", 1500),
        many("&amp;", 3000),
        many("<a ", 6000),
        many("a <![CDATA[", 1500),
        many("\\", 15_000),
        many("- a\n", 3000),
        many("> a\n\n", 3000),
        many("| a |\n| - |\n| 4 L |\n\n", 300),
    ] {
        looked_at(words(text));
    }
}

#[test]
fn a_thousand_cues_with_a_figure_each_are_read_in_time() {
    let time = |at: usize| format!("{:02}:{:02}:{:02}.000", at / 3600, at / 60 % 60, at % 60);
    let cue = |at: usize| format!("{} --> {}\nTake 4 L\n\n", time(at), time(at + 1));
    let text: String = (0..1000).map(cue).collect();
    let (_, _, found) = looked_at(captioned("01-a/lesson.vtt", format!("WEBVTT\n\n{text}")));
    assert!(found.iter().any(|one| one.code.name() == "unknown-mention"));
}

/// The same without any other word, as a fuzzer would write it.
#[test]
fn many_figures_after_a_point_in_words_are_no_number() {
    let text = format!("one point {}litres", many("nine ", 19));
    in_time(move || drop(check(&Project::from_files([("course.toml", super::course::COURSE), (L, text.as_str())]))));
}
