//! The words of a cue: tags left out, character references read, and the way home kept.

use super::Format;
use crate::source::MappedText;

/// Character references that captions are likely to hold. One that is not here stays as it is written.
///
/// Source: HTML Living Standard, "Named character references", which WebVTT refers to.
const REFERENCES: &[(&str, &str)] = &[
    ("amp", "&"),
    ("lt", "<"),
    ("gt", ">"),
    ("quot", "\""),
    ("apos", "'"),
    ("nbsp", "\u{a0}"),
    // Marks of writing direction take no room, and must not stand between a figure and its unit.
    ("lrm", ""),
    ("rlm", ""),
    ("shy", ""),
    ("deg", "°"),
    ("frac12", "½"),
    ("frac14", "¼"),
    ("frac34", "¾"),
    ("times", "×"),
    ("minus", "−"),
    ("ndash", "–"),
    ("mdash", "—"),
    ("hellip", "…"),
    ("rsquo", "’"),
    ("lsquo", "‘"),
];

/// Adds the payload of a cue, which stands at `start` of its file, to the words of the whole recording.
pub(super) fn push_payload(words: &mut MappedText, payload: &str, start: usize, format: Format) {
    let mut at = 0;
    let mut plain = 0;
    while let Some(letter) = payload[at..].chars().next() {
        let rest = &payload[at..];
        let found = match letter {
            '<' => tag(rest, format).map(|len| (len, String::new())),
            '{' if format == Format::SubRip => placing(rest).map(|len| (len, String::new())),
            '&' => reference(rest),
            '\n' | '\r' => Some((1, " ".to_owned())),
            _ => None,
        };
        let Some((len, text)) = found else {
            at += letter.len_utf8();
            continue;
        };
        words.push(&payload[plain..at], start + plain..start + at);
        words.push(&text, start + at..start + at + len);
        at += len;
        plain = at;
    }
    words.push(&payload[plain..], start + plain..start + payload.len());
}

/// The `<` of a WebVTT cue after which nothing is shown, because it is never closed.
pub(super) fn open_tag(payload: &str) -> Option<usize> {
    let mut at = 0;
    while let Some(open) = payload[at..].find('<').map(|open| at + open) {
        match payload[open..].find('>') {
            Some(len) => at = open + len,
            None => return Some(open),
        }
    }
    None
}

/// Bytes of a tag. In WebVTT every `<` opens one, and one that is not closed takes the rest of the cue, which no viewer
/// then sees; in SRT only what looks like a tag is one.
fn tag(rest: &str, format: Format) -> Option<usize> {
    let end = rest.find('>').map(|end| end + 1);
    match format {
        Format::WebVtt => Some(end.unwrap_or(rest.len())),
        Format::SubRip => {
            let inner = rest[1..].trim_start_matches('/');
            end.filter(|end| inner.starts_with(|c: char| c.is_ascii_alphabetic()) && !rest[..*end].contains('\n'))
        }
    }
}

/// `{\an8}`: where on the picture an SRT cue stands, as common practice has it.
fn placing(rest: &str) -> Option<usize> {
    let end = rest.find('}')? + 1;
    rest.starts_with("{\\").then_some(end)
}

/// `&deg;`, `&#176;`, `&#xb0;`
fn reference(rest: &str) -> Option<(usize, String)> {
    let end = rest.find(';').filter(|end| *end <= 10)?;
    let name = &rest[1..end];
    let text = match name.strip_prefix('#') {
        Some(code) => {
            let hex = code.strip_prefix(['x', 'X']);
            let value = hex.map_or_else(|| code.parse().ok(), |hex| u32::from_str_radix(hex, 16).ok())?;
            char::from_u32(value)?.to_string()
        }
        None => REFERENCES.iter().find(|(known, _)| *known == name)?.1.to_owned(),
    };
    Some((end + 1, text))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::FileId;

    fn read(payload: &str, format: Format) -> String {
        let mut words = MappedText::new(FileId(0));
        push_payload(&mut words, payload, 0, format);
        words.text
    }

    #[test]
    fn tags_of_web_vtt_are_left_out() {
        for (payload, words) in [
            ("<v Ann Other>Heat it</v>", "Heat it"),
            ("<c.loud>9</c>2 <i>°C</i>", "92 °C"),
            ("to <00:01:12.500>ninety <00:01:13.000>two", "to ninety two"),
            ("salt &amp; milk &lt;b&gt; 92&nbsp;&deg;C 1&frac12; 9&#50;&#xb0;", "salt & milk <b> 92\u{a0}°C 1½ 92°"),
            ("four\nlitres", "four litres"),
            ("9&lrm;2", "92"),
            ("left &unknown; open &", "left &unknown; open &"),
            ("an open <tag hides the rest", "an open "),
        ] {
            assert_eq!(read(payload, Format::WebVtt), words, "{payload}");
        }
    }

    #[test]
    fn tags_of_srt_are_left_out_and_signs_kept() {
        for (payload, words) in [
            ("{\\an8}<font color=\"red\">9</font>2 °C", "92 °C"),
            ("<i>four</i> litres", "four litres"),
            ("5 < 6 and 7 > 6", "5 < 6 and 7 > 6"),
            ("{as it is}", "{as it is}"),
        ] {
            assert_eq!(read(payload, Format::SubRip), words, "{payload}");
        }
    }

    #[test]
    fn words_lead_home_through_tags() {
        let payload = "to <b>9</b>2 &deg;C";
        let mut words = MappedText::new(FileId(0));
        push_payload(&mut words, payload, 100, Format::WebVtt);
        let at = words.text.find("92 °C").unwrap();
        let home = words.home(at..at + "92 °C".len());
        assert_eq!(&payload[home.start - 100..home.end - 100], "9</b>2 &deg;C");
    }
}
