//! Caption files, right and broken, as teachers and their tools write them.

use super::*;

fn read(path: &str, raw: &str) -> (Sources, Captions, Diagnostics) {
    let mut sources = Sources::default();
    let file = sources.add(path, raw);
    let mut sink = Diagnostics::default();
    let captions = parse_captions(&sources, file, &mut sink);
    (sources, captions, sink)
}

/// What was found: the line and the words under the mark.
fn faults(path: &str, raw: &str) -> Vec<(usize, String, String)> {
    let (sources, _, sink) = read(path, raw);
    let place = |found: &Diagnostic| {
        assert_eq!(found.code, Code::BadCaptions);
        let span = found.primary.span;
        let line = sources.get(span.file).position(span.start).line;
        (line, sources.text(span).to_owned(), found.message.clone())
    };
    sink.iter().map(place).collect()
}

const TALK: &str = "\u{feff}WEBVTT - an evening\r\nKind: captions\r\n\r\nNOTE checked twice\r\nand again\r\n\r\n\
    STYLE\r\n::cue { color: white }\r\n\r\nREGION\r\nid:low\r\n\r\nhello\r\n00:00.500 --> 00:02.000 align:start line:90%\r\n\
    <v Ann>Pour in four\r\n\r\n00:00:02.000 --> 00:00:04.250\r\n<i>litres</i> of\r\nmilk &amp; wait\r\n\r\n\
    01:00:00.000 --> 01:00:01.000\r\nDone";

#[test]
fn web_vtt_is_read_as_the_standard_has_it() {
    let (_, captions, sink) = read("01-a/lesson.vtt", TALK);
    assert!(sink.is_empty(), "{sink:?}");
    assert_eq!(captions.words.text, "Pour in four litres of milk & wait Done");
    let cues: Vec<_> =
        captions.cues.iter().map(|cue| (cue.name(), cue.start.thousandths(), cue.end.thousandths())).collect();
    assert_eq!(
        cues,
        [
            ("cue 1 (“hello”)".to_owned(), 500, 2000),
            ("cue 2".to_owned(), 2000, 4250),
            ("cue 3".to_owned(), 3_600_000, 3_601_000)
        ]
    );
    assert_eq!(captions.end().short(), "1:00:01");
}

#[test]
fn words_across_two_cues_are_one_text_and_lead_home_to_both() {
    let (sources, captions, _) = read("01-a/lesson.vtt", TALK);
    let at = captions.words.text.find("four litres").unwrap();
    let range = at..at + "four litres".len();
    let span = captions.words.home(range.clone());
    let text = sources.text(span);
    assert!(text.starts_with("four\n\n00:00:02.000") && text.ends_with("litres"), "{text}");
    let pieces: Vec<_> = captions.words.home_pieces(range).into_iter().collect();
    let words: Vec<_> = pieces.iter().map(|piece| &sources.get(captions.file).text[piece.clone()]).collect();
    assert_eq!(words, ["four", "\n", "litres"]);
    let cues: Vec<_> = captions.cues_at(span).iter().map(|cue| cue.number).collect();
    assert_eq!(cues, [1, 2]);
    let on_disk = sources.get(captions.file).offset_on_disk(span.start);
    assert!(TALK[on_disk..].starts_with("four"));
}

#[test]
fn srt_is_read_as_it_is_commonly_written() {
    let raw = "1\r\n00:00:01,000 --> 00:00:02,500\r\n<i>Heat to ninety</i>\r\n \r\n\
        2\r\n00:00:02,500 --> 00:00:04,000 X1:1 X2:2\r\ntwo degrees\r\n\r\n\r\n00:00:05,000 --> 00:00:06,000\r\nand wait\r\n";
    let (_, captions, sink) = read("01-a/lesson.SRT", raw);
    assert!(sink.is_empty(), "{sink:?}");
    assert_eq!(captions.words.text, "Heat to ninety two degrees and wait");
    assert_eq!(captions.cues[1].name(), "cue 2");
    assert_eq!(captions.cues[2].id, None);
    assert_eq!(captions.cues[1].start.to_string(), "0:00:02.500");
}

#[test]
fn what_is_wrong_is_found_on_its_line_and_once() {
    let after = |cues: &str| format!("WEBVTT\n\n{cues}");
    for (path, raw, line, words, message) in [
        ("a.vtt", "00:01.000 --> 00:02.000\nHi\n".to_owned(), 1, "00:01.000 --> 00:02.000", "not `WEBVTT`"),
        ("a.vtt", "WEBVT\n\n00:01.000 --> 00:02.000\nHi\n".to_owned(), 1, "WEBVT", "not `WEBVTT`"),
        ("a.vtt", "WEBVTTX\n\n00:01.000 --> 00:02.000\nHi\n".to_owned(), 1, "WEBVTTX", "not `WEBVTT`"),
        ("a.vtt", String::new(), 1, "", "not `WEBVTT`"),
        ("a.vtt", "WEBVTT\n".to_owned(), 1, "WEBVTT", "holds no words"),
        ("a.srt", "\n\n".to_owned(), 1, "", "holds no words"),
        ("a.vtt", after("00:01,000 --> 00:02.000\nHi\n"), 3, "00:01,000", "`00:01,000` is not a time"),
        ("a.vtt", after("00:01.000 --> 2.000\nHi\n"), 3, "2.000", "`2.000` is not a time"),
        ("a.vtt", after("00:01.000 -->\nHi\n"), 3, "00:01.000 -->", "is not a time"),
        ("a.vtt", after("00:03.000 --> 00:02.000\nHi\n"), 3, "00:02.000", "ends before"),
        ("a.vtt", after("00:03.000 --> 00:03.000\nHi\n"), 3, "00:03.000", "ends before"),
        (
            "a.vtt",
            after("00:03.000 --> 00:04.000\nHi\n\n00:02.000 --> 00:05.000\nHo\n"),
            6,
            "00:02.000",
            "begins before the one above",
        ),
        ("a.vtt", after("Hi there\n\n00:02.000 --> 00:05.000\nHo\n"), 3, "Hi there", "have no time"),
        (
            "a.vtt",
            after("00:01.000 --> 00:02.000\nHi\n00:02.000 --> 00:03.000\nHo\n"),
            5,
            "00:02.000 --> 00:03.000",
            "no empty line",
        ),
        (
            "a.vtt",
            after("00:01.000 --> 00:02.000\n<i>under</i> 3 < 4 and\n92 °C\n\n00:02.000 --> 00:03.000\n<b>\n"),
            4,
            "< 4 and",
            "never closed",
        ),
        ("a.srt", "1\n00:00:01.000 --> 00:00:02,000\nHi\n".to_owned(), 2, "00:00:01.000", "is not a time"),
        (
            "a.srt",
            "1\n00:00:01,000 --> 00:00:02,000\nHi\n2\n00:00:02,000 --> 00:00:03,000\nHo\n".to_owned(),
            5,
            "00:00:02,000 --> 00:00:03,000",
            "no empty line",
        ),
    ] {
        let found = faults(path, &raw);
        assert_eq!(found.len(), 1, "{raw:?}: {found:?}");
        assert_eq!((found[0].0, found[0].1.as_str()), (line, words), "{raw:?}");
        assert!(found[0].2.contains(message), "{raw:?}: {}", found[0].2);
    }
}

#[test]
fn words_are_read_also_where_times_are_broken() {
    let (_, captions, _) = read("a.srt", "1\n00:01 --> 00:02\nfour\n2\n00:00:03,000 --> 00:00:04,000\nlitres\n");
    assert_eq!(captions.words.text, "four litres");
}

#[test]
fn a_place_between_cues_belongs_to_none() {
    let (sources, captions, _) = read("01-a/lesson.vtt", TALK);
    let at = sources.get(captions.file).text.find("checked").unwrap();
    assert!(captions.cues_at(Span::new(captions.file, at..at + 3)).is_empty());
    assert!(captions.cues_at(Span::new(FileId(9), 0..900)).is_empty());
}

#[test]
fn a_cue_in_a_comment_is_read_because_players_show_it() {
    let (_, captions, sink) =
        read("a.vtt", "WEBVTT\n\nNOTE left out\n\nNOTE\n7\n00:01.000 --> 00:02.000\nfour\nlitres\n");
    assert!(sink.is_empty(), "{sink:?}");
    assert_eq!((captions.words.text.as_str(), captions.cues[0].name().as_str()), ("four litres", "cue 1 (“7”)"));
}
