//! What readers need not carry of a page: quotes, end tags and blanks that its tree does without. Templates and the
//! writer of prose stay whole, so that people can read them; pages that a course's own templates make are left alone.
//!
//! Source of the rules: WHATWG, HTML, "Unquoted attribute value syntax" and "Optional tags" (from memory); a test
//! parses each page of the demo course before and after.

use std::borrow::Cow;

/// Elements that stand on lines of their own, so that blanks at their edges are not shown. Whatever else there is, a
/// button for one, stands within a line.
fn is_block(name: &str) -> bool {
    matches!(
        name,
        "address"
            | "article"
            | "aside"
            | "blockquote"
            | "body"
            | "caption"
            | "dd"
            | "details"
            | "div"
            | "dl"
            | "dt"
            | "fieldset"
            | "figcaption"
            | "figure"
            | "footer"
            | "form"
            | "h1"
            | "h2"
            | "h3"
            | "h4"
            | "h5"
            | "h6"
            | "head"
            | "header"
            | "hr"
            | "html"
            | "legend"
            | "li"
            | "link"
            | "main"
            | "meta"
            | "nav"
            | "ol"
            | "optgroup"
            | "option"
            | "p"
            | "pre"
            | "script"
            | "section"
            | "style"
            | "summary"
            | "table"
            | "tbody"
            | "td"
            | "tfoot"
            | "th"
            | "thead"
            | "title"
            | "tr"
            | "ul"
    )
}

/// Elements whose content is passed on letter by letter.
fn is_kept(name: &str) -> bool {
    matches!(name, "pre" | "script" | "style" | "svg" | "template" | "textarea" | "title")
}

/// Before their start a paragraph ends by itself.
fn starts_after_p(name: &str) -> bool {
    matches!(
        name,
        "address"
            | "article"
            | "aside"
            | "blockquote"
            | "details"
            | "div"
            | "dl"
            | "fieldset"
            | "figcaption"
            | "figure"
            | "footer"
            | "form"
            | "h1"
            | "h2"
            | "h3"
            | "h4"
            | "h5"
            | "h6"
            | "header"
            | "hr"
            | "main"
            | "nav"
            | "ol"
            | "p"
            | "pre"
            | "section"
            | "table"
            | "ul"
    )
}

/// With their end a paragraph ends too.
fn ends_around_p(name: &str) -> bool {
    matches!(
        name,
        "article"
            | "aside"
            | "blockquote"
            | "body"
            | "dd"
            | "details"
            | "div"
            | "fieldset"
            | "figcaption"
            | "figure"
            | "footer"
            | "form"
            | "header"
            | "li"
            | "main"
            | "nav"
            | "section"
            | "td"
            | "th"
    )
}

#[derive(Clone, Copy, PartialEq)]
enum Piece<'a> {
    Text(&'a str),
    /// Its name, and all between that and `>`.
    Start(&'a str, &'a str),
    End(&'a str),
    /// A comment, a doctype, or the content of an element that is kept.
    Kept(&'a str),
}

impl Piece<'_> {
    /// Whether blanks beside it are not shown.
    fn is_edge(&self) -> bool {
        match self {
            Piece::Start(name, _) | Piece::End(name) => is_block(name),
            Piece::Kept(text) => text.starts_with("<!"),
            Piece::Text(_) => false,
        }
    }
}

/// A page of ours without what its tree does without. A page that cannot be read comes back as it is.
pub(super) fn lean_page(page: &str) -> String {
    let mut out = String::with_capacity(page.len());
    let mut pieces = Pieces { rest: page, kept: None, is_broken: false };
    let mut lean = Lean { before: true, next: pieces.next(), pieces: &mut pieces }.peekable();
    while let Some(piece) = lean.next() {
        match piece {
            Piece::Text(text) => out.push_str(&plain_text(text)),
            Piece::Kept(text) => out.push_str(text),
            Piece::Start("head", "") if matches!(lean.peek(), Some(Piece::Start(..))) => {}
            Piece::Start(name, rest) => push_start(&mut out, name, rest),
            Piece::End(name) if ends_by_itself(name, lean.peek().copied()) => {}
            Piece::End(name) => out.extend(["</", name, ">"]),
        }
    }
    if pieces.is_broken { page.to_owned() } else { out }
}

/// The pieces of a page in order.
struct Pieces<'a> {
    rest: &'a str,
    /// The element that has just begun, if its content is kept.
    kept: Option<&'a str>,
    /// Whether something began that has no end.
    is_broken: bool,
}

impl<'a> Iterator for Pieces<'a> {
    type Item = Piece<'a>;

    fn next(&mut self) -> Option<Piece<'a>> {
        if self.rest.is_empty() {
            return None;
        }
        let (piece, len) = match self.kept.take() {
            Some(name) => self.rest.find(&format!("</{name}")).map(|len| (Piece::Kept(&self.rest[..len]), len)),
            None => first_piece(self.rest),
        }
        .unwrap_or_else(|| {
            self.is_broken = true;
            (Piece::Text(self.rest), self.rest.len())
        });
        self.rest = &self.rest[len..];
        self.kept = match piece {
            Piece::Start(name, _) if is_kept(name) => Some(name),
            _ => None,
        };
        Some(piece)
    }
}

/// The piece that a text begins with, and its length; nothing where it has no end.
fn first_piece(text: &str) -> Option<(Piece<'_>, usize)> {
    let len = match text.strip_prefix('<') {
        None => text.find('<').unwrap_or(text.len()),
        Some(comment) if comment.starts_with("!--") => text.find("-->")? + 3,
        Some(_) => tag_len(text)?,
    };
    let piece = &text[..len];
    let Some(tag) = piece.strip_prefix('<').and_then(|tag| tag.strip_suffix('>')) else {
        return Some((Piece::Text(piece), len));
    };
    let piece = if tag.starts_with('!') {
        Piece::Kept(piece)
    } else if let Some(name) = tag.strip_prefix('/') {
        Piece::End(name.trim_end())
    } else {
        let (name, attributes) = tag.split_at(tag.find(|c: char| c.is_ascii_whitespace()).unwrap_or(tag.len()));
        Piece::Start(name, attributes)
    };
    Some((piece, len))
}

/// The length of a tag, in whose quoted values a `>` may stand.
fn tag_len(tag: &str) -> Option<usize> {
    let mut quote = None;
    for (at, letter) in tag.bytes().enumerate() {
        match (quote, letter) {
            (None, b'"' | b'\'') => quote = Some(letter),
            (None, b'>') => return Some(at + 1),
            (Some(open), _) if open == letter => quote = None,
            _ => {}
        }
    }
    None
}

/// Pieces without the blanks at the edges of blocks.
struct Lean<'a, 'p> {
    pieces: &'p mut Pieces<'a>,
    next: Option<Piece<'a>>,
    /// Whether the piece before is an edge.
    before: bool,
}

impl<'a> Iterator for Lean<'a, '_> {
    type Item = Piece<'a>;

    fn next(&mut self) -> Option<Piece<'a>> {
        let blank = |letter: char| letter.is_ascii_whitespace();
        loop {
            let piece = self.next.take()?;
            self.next = self.pieces.next();
            let before = std::mem::replace(&mut self.before, piece.is_edge());
            let Piece::Text(mut text) = piece else { return Some(piece) };
            if before {
                text = text.trim_start_matches(blank);
            }
            if self.next.is_none_or(|next| next.is_edge()) {
                text = text.trim_end_matches(blank);
            }
            if !text.is_empty() {
                return Some(Piece::Text(text));
            }
        }
    }
}

/// Text without the references that it does without: outside of tags only `&` and `<` mean anything.
fn plain_text(text: &str) -> Cow<'_, str> {
    if !text.contains('&') {
        return Cow::Borrowed(text);
    }
    Cow::Owned(text.replace("&#x2F;", "/").replace("&#39;", "'").replace("&quot;", "\"").replace("&gt;", ">"))
}

fn push_start(out: &mut String, name: &str, attributes: &str) {
    out.extend(["<", name]);
    // Within a drawing a slash ends an element, and an unquoted value would swallow it.
    if attributes.ends_with('/') {
        out.extend([attributes, ">"]);
        return;
    }
    let mut rest = attributes.trim_start();
    while !rest.is_empty() {
        let end = rest.find(|c: char| c == '=' || c.is_ascii_whitespace()).unwrap_or(rest.len());
        out.extend([" ", &rest[..end]]);
        rest = &rest[end..];
        if let Some((value, after)) = rest.strip_prefix("=\"").and_then(|value| value.split_once('"')) {
            match value.contains('&') {
                true => push_value(out, &value.replace("&#x2F;", "/").replace("&#39;", "'")),
                false => push_value(out, value),
            }
            rest = after;
        } else if rest.starts_with('=') {
            // Written otherwise than we do: the rest stays as it is.
            out.push_str(rest);
            break;
        }
        rest = rest.trim_start();
    }
    out.push('>');
}

fn push_value(out: &mut String, value: &str) {
    if value.is_empty() {
        return;
    }
    let quoted = value.contains(|c: char| c.is_ascii_whitespace() || "\"'=<>`".contains(c)) || value.ends_with('/');
    let quote = if quoted { "\"" } else { "" };
    out.extend(["=", quote, value, quote]);
}

/// Whether the parser ends an element by itself where its end tag stands.
fn ends_by_itself(name: &str, next: Option<Piece<'_>>) -> bool {
    let next = match next {
        None => return name == "html",
        Some(Piece::Start(next, _)) => Ok(next),
        Some(Piece::End(next)) => Err(next),
        Some(_) => return false,
    };
    match (name, next) {
        ("p", Ok(starts)) => starts_after_p(starts),
        ("p", Err(ends)) => ends_around_p(ends),
        ("li", next) => matches!(next, Ok("li") | Err("ol" | "ul")),
        ("dt", next) => matches!(next, Ok("dd" | "dt")),
        ("dd", next) => matches!(next, Ok("dd" | "dt") | Err("div" | "dl")),
        ("option", next) => matches!(next, Ok("option" | "optgroup") | Err("optgroup" | "select")),
        ("td" | "th", next) => matches!(next, Ok("td" | "th") | Err("tr")),
        ("tr", next) => matches!(next, Ok("tr") | Err("table" | "tbody" | "tfoot" | "thead")),
        ("thead", next) => matches!(next, Ok("tbody" | "tfoot")),
        ("tbody", next) => matches!(next, Ok("tbody" | "tfoot") | Err("table")),
        ("head", next) => next == Ok("body"),
        ("body", next) => next == Err("html"),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use html5ever::tendril::TendrilSink;
    use markup5ever_rcdom::{Handle, NodeData, RcDom};

    /// A page as html5ever reads it, one line a node: tags with their attributes, texts without blanks at the edges of
    /// blocks.
    fn tree(page: &str) -> Vec<String> {
        let dom = html5ever::parse_document(RcDom::default(), Default::default()).one(page);
        let mut lines = Vec::new();
        list(&dom.document, &mut lines, true);
        lines
    }

    fn name_of(node: &Handle) -> Option<&str> {
        match &node.data {
            NodeData::Element { name, .. } => Some(&name.local),
            _ => None,
        }
    }

    fn list(node: &Handle, lines: &mut Vec<String>, squeezed: bool) {
        let children = node.children.borrow();
        let stands_alone = |node: &Handle| name_of(node).is_none_or(is_block);
        let kept = name_of(node).is_some_and(is_kept);
        for (at, child) in children.iter().enumerate() {
            let edge = |other: Option<&Handle>| other.map_or(stands_alone(node), &stands_alone) && squeezed && !kept;
            match &child.data {
                NodeData::Text { contents } => {
                    let text = contents.borrow();
                    let mut text: &str = &text;
                    if edge(at.checked_sub(1).and_then(|before| children.get(before))) {
                        text = text.trim_start_matches([' ', '\n']);
                    }
                    if edge(children.get(at + 1)) {
                        text = text.trim_end_matches([' ', '\n']);
                    }
                    if !text.is_empty() {
                        lines.push(format!("{text:?}"));
                    }
                }
                NodeData::Element { name, attrs, .. } => {
                    let attributes = attrs.borrow();
                    let said = attributes.iter().map(|one| format!(" {}={:?}", one.name.local, one.value.to_string()));
                    lines.push(format!("<{}{}>", name.local, said.collect::<String>()));
                    list(child, lines, squeezed && !kept);
                    lines.push(format!("</{}>", name.local));
                }
                NodeData::Comment { contents } => lines.push(format!("<!-- {contents} -->")),
                NodeData::Doctype { name, .. } => lines.push(format!("<!doctype {name}>")),
                NodeData::Document | NodeData::ProcessingInstruction { .. } => {}
            }
        }
    }

    #[test]
    fn a_browser_builds_the_same_tree_from_less() {
        let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("content/saltmarsh-hall");
        let project = crate::read_project(&root).unwrap();
        let course = crate::check(&project).course.expect("the demo course has no findings");
        let written = crate::render::render_with(&project, &course, str::to_owned).unwrap();
        let published = crate::render::render(&project, &course).unwrap();
        let mut count = 0;
        for (path, bytes) in written.files().iter().filter(|(path, _)| path.ends_with(".html")) {
            let [before, after] = [bytes, &published.files()[path]].map(|bytes| std::str::from_utf8(bytes).unwrap());
            let (want, got) = (tree(before), tree(after));
            let differs = want.iter().zip(&got).position(|(want, got)| want != got);
            assert_eq!(differs.map(|at| (&want[at], &got[at])), None, "{path}");
            assert_eq!(want.len(), got.len(), "{path}");
            assert!(after.len() < before.len(), "{path}");
            count += 1;
        }
        assert!(count >= 12, "{count}");
    }

    #[test]
    fn only_what_the_tree_does_without_is_left_out() {
        for (page, lean) in [
            ("<p>One.</p>\n<p>Two.</p>\n", "<p>One.<p>Two.</p>"),
            ("<div>\n<p>One.</p>\n</div>", "<div><p>One.</div>"),
            // In a link or a button it would go on behind it.
            ("<a href=\"x\"><p>One.</p></a> two", "<a href=x><p>One.</p></a> two"),
            ("<ul>\n<li><p>a</p>\n</li>\n<li>b</li>\n</ul>\n", "<ul><li><p>a<li>b</ul>"),
            ("<dl><div><dt>In</dt>\n<dd>pot</dd>\n</div></dl>", "<dl><div><dt>In<dd>pot</div></dl>"),
            (
                "<table>\n<thead>\n<tr><th scope=\"col\">a</th><th>b</th></tr>\n</thead>\n<tbody>\n<tr><td>1</td><td>2</td></tr>\n</tbody>\n</table>",
                "<table><thead><tr><th scope=col>a<th>b<tbody><tr><td>1<td>2</table>",
            ),
            // Blanks within a line stay.
            ("<p>a <b>b</b>\n<i>c</i> </p>", "<p>a <b>b</b>\n<i>c</i></p>"),
            (
                "<label>Unit <select name=\"u\"></select></label>\n<label>",
                "<label>Unit <select name=u></select></label>\n<label>",
            ),
            ("<button>Go</button> <button>Stop</button>", "<button>Go</button> <button>Stop</button>"),
            // A blank that does not break is a letter.
            ("<li>\u{a0}a</li>", "<li>\u{a0}a</li>"),
            (
                "<pre tabindex=\"0\"><code>  a\n\n<span class=\"x\">b</span> </code></pre>\n",
                "<pre tabindex=0><code>  a\n\n<span class=\"x\">b</span> </code></pre>",
            ),
            (
                "<script>if (a < \"b\") c(\"<p> </p>\") </script>\n<p>",
                "<script>if (a < \"b\") c(\"<p> </p>\") </script><p>",
            ),
            ("<a title=\"a b\" href=\"x/\" rel=\"\" id=\"1\">", "<a title=\"a b\" href=\"x/\" rel id=1>"),
            ("<a href=\"a?b=c\" title=\"it&#39;s\">", "<a href=\"a?b=c\" title=\"it's\">"),
            (
                "<a href=\"&quot;&amp;\">1 &lt; 2 &gt; &#39;1&#39; &quot;&amp;&#x2F;</a>",
                "<a href=&quot;&amp;>1 &lt; 2 > '1' \"&amp;/</a>",
            ),
            ("<img alt=\"a > b\" src=\"c\">", "<img alt=\"a > b\" src=c>"),
            ("<svg viewBox=\"0 0 1 1\"><path d=\"M0\"/></svg>", "<svg viewBox=\"0 0 1 1\"><path d=\"M0\"/></svg>"),
            ("<p hidden>a", "<p hidden>a"),
            ("<input value='a'>", "<input value='a'>"),
            // What cannot be read is left alone.
            ("<p>a</p> <a", "<p>a</p> <a"),
        ] {
            assert_eq!(lean_page(page), lean);
            assert_eq!(tree(page), tree(lean), "{page}");
        }
    }
}
