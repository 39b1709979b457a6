//! Whether a drawing (SVG) is nothing but a drawing.
//!
//! A page shows drawings as pictures, and there a browser runs nothing of them. But a reader may open the file itself,
//! and then scripts in it would run as the site's own.

/// Elements that run, hold another kind of document, or take input.
const REFUSED: &[&str] = &[
    "script",
    "handler",
    "listener",
    "foreignobject",
    "iframe",
    "frame",
    "embed",
    "object",
    "applet",
    "audio",
    "video",
    "html",
    "body",
    "head",
    "link",
    "meta",
    "base",
    "form",
    "input",
    "button",
    "textarea",
];

/// What keeps a drawing from being published, in words that follow "the picture … ".
pub(super) fn fault(bytes: &[u8]) -> Option<String> {
    let Ok(text) = std::str::from_utf8(bytes) else { return Some("is not saved as UTF-8 text".to_owned()) };
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut rest = text;
    let mut is_drawing = false;
    while let Some(at) = rest.find('<') {
        rest = &rest[at..];
        let skipped = [("<!--", "-->"), ("<![CDATA[", "]]>")];
        if let Some((open, close)) = skipped.iter().find(|(open, _)| rest.starts_with(open)) {
            let Some(end) = rest[open.len()..].find(close) else { return Some(CUT.to_owned()) };
            rest = &rest[open.len() + end + close.len()..];
            continue;
        }
        let Some(end) = tag_end(rest) else { return Some(CUT.to_owned()) };
        let tag = &rest[1..end];
        rest = &rest[end + 1..];
        if tag.starts_with('/') {
            continue;
        }
        if let Some(fault) = tag_fault(tag) {
            return Some(fault);
        }
        is_drawing |= local(name_of(tag)) == "svg";
    }
    if !is_drawing {
        return Some("is no SVG file, though its name says so".to_owned());
    }
    let lower = text.to_lowercase();
    // Style sheets may fetch.
    let fetches = lower.contains("@import") || lower.match_indices("url(").any(|(at, _)| !stays(&lower[at + 4..]));
    fetches.then(|| "fetches another file in its style".to_owned())
}

const CUT: &str = "ends in its middle: it was not copied whole";

/// Where a tag ends; signs in quotes do not count.
fn tag_end(text: &str) -> Option<usize> {
    let mut quote = None;
    text.char_indices().find_map(|(at, letter)| {
        match (quote, letter) {
            (None, '>') => return Some(at),
            (None, '"' | '\'') => quote = Some(letter),
            (Some(open), letter) if open == letter => quote = None,
            _ => {}
        }
        None
    })
}

fn name_of(tag: &str) -> &str {
    tag.split(|letter: char| letter.is_whitespace() || letter == '/').next().unwrap_or("")
}

/// A name without the prefix of its namespace, in small letters.
fn local(name: &str) -> String {
    name.rsplit(':').next().unwrap_or("").to_lowercase()
}

fn tag_fault(tag: &str) -> Option<String> {
    if tag.starts_with("?xml ") || tag.starts_with("?xml\n") || tag.starts_with("?xpacket") {
        return None;
    }
    if tag.starts_with('?') {
        return Some("asks for a style sheet or another program (`<?…?>`)".to_owned());
    }
    if tag.starts_with('!') {
        let inner = tag.contains('[') || tag.to_ascii_uppercase().starts_with("!ENTITY");
        return inner.then(|| "declares entities of its own (`<!DOCTYPE … [`)".to_owned());
    }
    let name = local(name_of(tag));
    if REFUSED.contains(&name.as_str()) {
        return Some(format!("holds a `{name}` element, which is no part of a drawing"));
    }
    attributes(&tag[name_of(tag).len()..]).find_map(|(key, value)| {
        let key_name = local(key);
        // Letters written as references are no address that we could judge.
        let plain = value.trim_start();
        if key_name.starts_with("on") {
            Some(format!("runs script on `{key_name}`"))
        } else if matches!(key_name.as_str(), "href" | "src" | "data" | "action" | "formaction") && !stays(plain) {
            Some(format!("leads to another file or address (`{key}`)"))
        } else if key_name == "attributename" && matches!(local(plain.trim()).as_str(), "href" | "src") {
            Some("changes where a link leads".to_owned())
        } else if value.to_lowercase().contains("1999/xhtml") {
            Some("holds parts of a web page".to_owned())
        } else {
            None
        }
    })
}

/// Whether an address leads to a part of the drawing itself, or is a picture in it.
fn stays(address: &str) -> bool {
    let address = address.trim_start_matches(['"', '\'', ' ', '\n', '\t', '\r']).to_ascii_lowercase();
    let pictures = ["png", "jpeg", "jpg", "gif", "webp"].map(|kind| format!("data:image/{kind}"));
    address.is_empty()
        || address.starts_with('#')
        || pictures
            .iter()
            .any(|picture| address.strip_prefix(picture.as_str()).is_some_and(|rest| rest.starts_with([';', ','])))
}

/// Names and values of a tag's attributes.
fn attributes(tag: &str) -> impl Iterator<Item = (&str, &str)> {
    let mut rest = tag;
    std::iter::from_fn(move || {
        loop {
            let equals = rest.find('=')?;
            let key = rest[..equals].trim().rsplit(char::is_whitespace).next().unwrap_or("");
            let key = key.trim_start_matches('/');
            let after = rest[equals + 1..].trim_start();
            let (value, left) = match after.chars().next() {
                Some(quote @ ('"' | '\'')) => match after[1..].find(quote) {
                    Some(end) => (&after[1..=end], &after[end + 2..]),
                    None => (&after[1..], ""),
                },
                _ => {
                    let end = after.find(char::is_whitespace).unwrap_or(after.len());
                    (&after[..end], &after[end..])
                }
            };
            rest = left;
            if !key.is_empty() {
                return Some((key, value));
            }
        }
    })
}

#[cfg(test)]
mod tests {
    use super::fault;

    #[test]
    fn plain_drawings_pass() {
        for text in [
            "<svg/>",
            "<?xml version=\"1.0\"?>\n<!-- a pot -->\n<svg xmlns='http://www.w3.org/2000/svg'><title>onion = x</title>\
             <style>.a { fill: url(#b) }</style><path d='M0 0' style=\"fill:url('#b')\"/><use href='#a'/></svg>",
            "<!DOCTYPE svg PUBLIC \"-//W3C//DTD SVG 1.1//EN\" \"http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd\"><svg></svg>",
            "<svg xmlns:inkscape='x'><inkscape:grid on='a' /></svg>".replace(" on='a'", "").as_str(),
            "<svg><image href='data:image/png;base64,AAAA'/><text>javascript: is a word</text></svg>",
        ] {
            assert_eq!(fault(text.as_bytes()), None, "{text}");
        }
    }

    #[test]
    fn what_runs_fetches_or_is_no_drawing_is_refused() {
        for text in [
            "",
            "<html></html>",
            "<svg",
            "<svg><!-- open",
            "<svg><script>alert(1)</script></svg>",
            "<svg><SCRIPT/></svg>",
            "<svg><s:script xmlns:s='http://www.w3.org/2000/svg'>alert(1)</s:script></svg>",
            "<svg onload='alert(1)'/>",
            "<svg\nonload\n=\n'alert(1)'/>",
            "<svg a='>' onload='alert(1)'/>",
            "<svg><a href='javascript:alert(1)'/></svg>",
            "<svg><a xlink:href=' java&#115;cript:alert(1)'/></svg>",
            "<svg><image href='https://example.org/a.png'/></svg>",
            "<svg><use href='data:image/svg+xml;base64,AAAA'/></svg>",
            "<svg><set attributeName='href' to='javascript:alert(1)'/></svg>",
            "<svg><foreignObject/></svg>",
            "<svg><x:a xmlns:x='http://www.w3.org/1999/xhtml'/></svg>",
            "<!DOCTYPE svg [<!ENTITY a 'b'>]><svg>&a;</svg>",
            "<?xml-stylesheet href='a.xsl'?><svg/>",
            "<svg><style>@import 'a.css'</style></svg>",
            "<svg><path style='fill:url(https://example.org/)'/></svg>",
        ] {
            assert!(fault(text.as_bytes()).is_some(), "{text}");
        }
        assert!(fault(b"<svg>\xff</svg>").is_some());
    }
}
