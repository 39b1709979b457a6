//! What a rehearsal adds to a page: a strip with what is wrong, and the script that loads the page again.

/// A page with the strip and the script at its end, allowed by its own policy.
pub(super) fn dressed(page: &str, mark: &str, strip: &str) -> String {
    let page = with_policy(page);
    let hidden = if strip.is_empty() { " hidden" } else { "" };
    let more = format!(
        "<link rel=\"stylesheet\" href=\"/rehearse.css\">\n\
         <section id=\"_rehearse\" aria-label=\"Findings\" aria-live=\"polite\"{hidden}>{strip}</section>\n\
         <script src=\"/rehearse.js\" data-mark=\"{mark}\" defer></script>\n"
    );
    // A template may leave the end of the body to the browser.
    let end = page.rfind("</body>").unwrap_or(page.len());
    format!("{}{more}{}", &page[..end], &page[end..])
}

/// A page whose links to files name their form too, as `form` tells it: a browser then need not ask for them again.
pub(super) fn with_forms(page: &str, form: impl Fn(&str) -> Option<String>) -> String {
    let mut out = String::with_capacity(page.len());
    let mut rest = page;
    while let Some(start) = ["href=\"", "src=\""].iter().filter_map(|open| Some(rest.find(open)? + open.len())).min() {
        let Some(end) = rest[start..].find('"').map(|len| start + len) else { break };
        out.push_str(&rest[..end]);
        let name = rest[start..end].trim_start_matches('/');
        if let Some(form) = form(name) {
            out.push_str("?form=");
            out.push_str(&form);
        }
        rest = &rest[end..];
    }
    out + rest
}

/// A page of ours where the course has none.
pub(super) fn plain_page(words: &str) -> String {
    format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; script-src 'self'; style-src 'self'\">\n\
         <title>Rehearsal</title>\n<meta name=\"viewport\" content=\"width=device-width\">\n\
         <link rel=\"icon\" href=\"data:,\">\n</head>\n<body>\n<main>\n<p>{words}</p>\n\
         <p><a href=\"/\">To the first page</a></p>\n</main>\n</body>\n</html>\n"
    )
}

/// The page's policy lets in the strip's style, the script, and the news that it listens to.
fn with_policy(page: &str) -> String {
    const START: &str = "http-equiv=\"Content-Security-Policy\" content=\"";
    let Some(start) = page.find(START).map(|at| at + START.len()) else { return page.to_owned() };
    let Some(end) = page[start..].find('"').map(|length| start + length) else { return page.to_owned() };
    let mut policy: Vec<String> = page[start..end].split(';').map(|part| part.trim().to_owned()).collect();
    policy.retain(|part| !part.is_empty());
    for name in ["script-src", "style-src", "connect-src"] {
        let known = policy.iter_mut().find(|part| part.split(' ').next() == Some(name));
        match known {
            Some(part) if part.split(' ').any(|source| source == "'self'") => {}
            // `'none'` counts only where it stands alone.
            Some(part) => *part = part.replace(" 'none'", "") + " 'self'",
            None => policy.push(format!("{name} 'self'")),
        }
    }
    format!("{}{}{}", &page[..start], policy.join("; "), &page[end..])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_policy_lets_in_what_a_rehearsal_needs_and_nothing_else() {
        for (policy, wanted) in [
            (
                "default-src 'none'; script-src 'self'",
                "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'",
            ),
            (
                "script-src 'sha256-x'; style-src 'none';",
                "script-src 'sha256-x' 'self'; style-src 'self'; connect-src 'self'",
            ),
        ] {
            let page =
                |policy: &str| format!("<meta http-equiv=\"Content-Security-Policy\" content=\"{policy}\"><p>Words");
            assert_eq!(with_policy(&page(policy)), page(wanted));
        }
        assert_eq!(with_policy("<p>Words"), "<p>Words");
    }

    #[test]
    fn files_that_may_be_kept_are_named_with_their_form() {
        let form = |name: &str| (name == "style.css" || name == "pictures/a.svg").then(|| "7f".to_owned());
        let page = "<link href=\"style.css\"><a href=\"curd.html#x\"><img alt=\"\" src=\"pictures/a.svg\"><a href=\"";
        let kept = "<link href=\"style.css?form=7f\"><a href=\"curd.html#x\"><img alt=\"\" src=\"pictures/a.svg?form=7f\"><a href=\"";
        assert_eq!(with_forms(page, form), kept);
        assert_eq!(with_forms("<link href=\"/style.css\">", form), "<link href=\"/style.css?form=7f\">");
        assert_eq!(with_forms("<p>style.css", form), "<p>style.css");
    }

    #[test]
    fn the_strip_stands_at_the_end_of_the_body() {
        let page = dressed("<body><p>Words</body></html>", "7-1", "");
        assert!(page.starts_with("<body><p>Words<link") && page.ends_with("</script>\n</body></html>"), "{page}");
        assert!(page.contains("polite\" hidden></section>") && page.contains("data-mark=\"7-1\""));
        assert!(dressed("<p>Words", "7-1", "<p>One").contains("polite\"><p>One</section>"));
    }
}
