//! Pictures that are broken, far too large, or more than pictures.

use super::course::{File, accepts, file, refused, words};

/// One grey pixel after a head that claims so many.
fn png(width: u32, height: u32) -> Vec<u8> {
    let mut bytes = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR".to_vec();
    bytes.extend(width.to_be_bytes().iter().chain(&height.to_be_bytes()));
    bytes.extend(b"\x08\0\0\0\0\0\0\0\0");
    bytes.extend(b"\0\0\0\x01IDAT\0\0\0\0\0\0\0\0\0IEND\xaeB`\x82");
    bytes
}

fn jpeg(width: u16, height: u16) -> Vec<u8> {
    let mut bytes = b"\xff\xd8\xff\xe0\0\x04\0\0\xff\xc0\0\x0b\x08".to_vec();
    bytes.extend(height.to_be_bytes().iter().chain(&width.to_be_bytes()));
    bytes.extend(b"\x01\x01\x11\0\xff\xda\0\x02\0\0\xff\xd9");
    bytes
}

fn shown(name: &str, bytes: impl AsRef<[u8]>) -> Vec<File> {
    [words(format!("![a pot](<{name}>)")), vec![file(&format!("01-a/{name}"), bytes)]].concat()
}

fn drawing(inside: &str) -> Vec<File> {
    shown("pot.svg", format!("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 9 9\">{inside}</svg>"))
}

refused! {
    a_picture_that_is_not_there: words("![a pot](pot.png)") => "broken-reference", "01-a/lesson.md", "pot.png";
    a_picture_out_of_the_course: words("![a pot](../../../etc/passwd)") => "broken-reference", "01-a/lesson.md", "passwd";
    a_picture_out_of_the_course_by_escapes: words("![a pot](..%2f..%2f..%2fetc%2fpasswd)") => "broken-reference", "01-a/lesson.md", "passwd";
    a_picture_from_the_root: words("![a pot](/etc/passwd)") => "broken-reference", "01-a/lesson.md", "passwd";
    a_picture_by_file_address: words("![a pot](file:///etc/passwd)") => "broken-reference", "01-a/lesson.md", "passwd";
    a_picture_from_elsewhere: words("![a pot](https://example.org/pot.png)") => "broken-reference", "01-a/lesson.md", "example";
    a_picture_in_data: words("![a pot](data:image/png;base64,AAAA)") => "broken-reference", "01-a/lesson.md", "data:";
    a_picture_that_runs: words("![a pot](javascript:alert(1))") => "broken-reference", "01-a/lesson.md", "javascript";
    a_picture_of_another_lesson: [words("![a pot](../02-b/pot.svg)"), vec![file("02-b/lesson.md", "# B\n"), file("02-b/pot.svg", "<svg/>")]].concat() => "broken-reference", "01-a/lesson.md", "pot.svg";
    a_png_of_two_thousand_million_columns: shown("pot.png", png(1 << 31, 1 << 31)) => "bad-picture", "01-a/lesson.md", "pot.png";
    a_png_of_no_width: shown("pot.png", png(0, 9)) => "bad-picture", "01-a/lesson.md", "pot.png";
    a_png_cut_in_its_middle: shown("pot.png", &png(9, 9)[..40]) => "bad-picture", "01-a/lesson.md", "pot.png";
    a_png_of_its_signature_alone: shown("pot.png", &png(9, 9)[..8]) => "bad-picture", "01-a/lesson.md", "pot.png";
    a_jpeg_of_four_thousand_million_pixels: shown("pot.jpg", jpeg(65535, 65535)) => "bad-picture", "01-a/lesson.md", "pot.jpg";
    a_jpeg_cut_in_its_middle: shown("pot.jpeg", &jpeg(9, 9)[..12]) => "bad-picture", "01-a/lesson.md", "pot.jpeg";
    a_program_called_picture: shown("pot.gif", "MZ\u{90}") => "bad-picture", "01-a/lesson.md", "pot.gif";
    an_empty_picture: shown("pot.webp", "") => "bad-picture", "01-a/lesson.md", "pot.webp";
    a_page_called_picture: shown("pot.png", "<script>alert(1)</script>") => "bad-picture", "01-a/lesson.md", "pot.png";
    a_page_called_drawing: shown("pot.svg", "<html><body></body></html>") => "bad-picture", "01-a/lesson.md", "pot.svg";
    a_drawing_in_latin_1: shown("pot.svg", b"<svg>caf\xe9</svg>") => "bad-picture", "01-a/lesson.md", "pot.svg";
    a_drawing_with_a_script: drawing("<script>alert(1)</script>") => "bad-picture", "01-a/lesson.md", "pot.svg";
    a_drawing_that_runs_when_loaded: drawing("<path onload=\"alert(1)\"/>") => "bad-picture", "01-a/lesson.md", "pot.svg";
    a_drawing_with_a_link_that_runs: drawing("<a href=\"javascript:alert(1)\"><path/></a>") => "bad-picture", "01-a/lesson.md", "pot.svg";
    a_drawing_with_a_page_in_it: drawing("<foreignObject><body xmlns=\"http://www.w3.org/1999/xhtml\"/></foreignObject>") => "bad-picture", "01-a/lesson.md", "pot.svg";
    a_drawing_that_fetches: drawing("<image href=\"https://example.org/a.png\"/>") => "bad-picture", "01-a/lesson.md", "pot.svg";
    a_drawing_that_fetches_by_style: drawing("<style>@import 'https://example.org/a.css'</style>") => "bad-picture", "01-a/lesson.md", "pot.svg";
    a_drawing_of_a_thousand_million_laughs: shown("pot.svg", "<!DOCTYPE svg [<!ENTITY a \"ha\"><!ENTITY b \"&a;&a;&a;&a;\">]><svg>&b;</svg>") => "bad-picture", "01-a/lesson.md", "pot.svg";
}

#[test]
fn pictures_in_order_are_published_as_they_are() {
    for (name, bytes) in [("pot.png", png(640, 480)), ("pot.jpg", jpeg(640, 480))] {
        let site = accepts(shown(name, &bytes));
        assert_eq!(site.files()[&format!("pictures/a/{name}")], bytes);
    }
}
