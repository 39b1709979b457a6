//! What a course says of its class: how many students, in how many groups, and who brings what.

use super::model::{BroughtBy, ClassWanted};
use super::table::{Fields, choice, table, text, wrong_type};
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::keys::{Entry, ValueKind};

const CLASS: &[&str] = &["students", "groups", "currency"];

/// More than any hall holds, and few enough to multiply.
const MOST: usize = 10_000;

/// The `[class]` table of `course.toml`.
pub(super) fn read_class(entry: &Entry, sink: &mut Diagnostics) -> Option<ClassWanted> {
    let group = table("class", &entry.value, "{ students = 12 }", sink)?;
    let fields = Fields::new(group, entry.key_span, "the class", CLASS, sink);
    let groups = fields.get("groups").and_then(|entry| how_many(entry, "groups", sink));
    let currency = fields.get("currency").and_then(|entry| read_currency(entry, sink));
    let students = fields.required("students", "12", sink).and_then(|entry| how_many(entry, "students", sink))?;
    Some(ClassWanted { students, groups, currency })
}

/// A whole number, one at least.
fn how_many(entry: &Entry, things: &str, sink: &mut Diagnostics) -> Option<usize> {
    let (key, value) = (&entry.key, &entry.value);
    let ValueKind::Number(number) = &value.kind else {
        wrong_type(key, value, "a number without quotes", &format!("{key} = 12"), sink);
        return None;
    };
    let count = number.replace('_', "").parse().ok().filter(|count| (1..=MOST).contains(count));
    if count.is_none() {
        let message = format!("`{key}` needs a whole number of {things}, from 1 to {MOST}");
        sink.push(Diagnostic::new(Code::BadAmount, message, value.span).help(format!("write it like `{key} = 12`")));
    }
    count
}

/// A sign, or a code of three letters as ISO 4217 has them.
fn read_currency(entry: &Entry, sink: &mut Diagnostics) -> Option<String> {
    let written = text("currency", &entry.value, "£", sink)?;
    let currency = written.text.trim();
    let code = currency.len() == 3 && currency.bytes().all(|letter| letter.is_ascii_uppercase());
    let odd = |c: char| c.is_alphanumeric() || c.is_whitespace() || c.is_control() || ".,-+=@<>&'\"".contains(c);
    let sign = currency.chars().count() == 1 && !currency.contains(odd);
    if !code && !sign {
        let span = written.home(0..written.text.len());
        let message = format!("`{currency}` is neither the sign of a currency nor a code of three letters");
        sink.push(Diagnostic::new(Code::WrongType, message, span).help("write it like `£`, `€`, `$` or `SEK`"));
        return None;
    }
    Some(currency.to_owned())
}

/// Who brings an ingredient or a piece of equipment.
pub(super) fn brought_by(fields: &Fields<'_>, sink: &mut Diagnostics) -> BroughtBy {
    let named =
        fields.get("brought-by").and_then(|entry| choice("brought-by", &entry.value, &["student", "hall"], sink));
    if named == Some("student") { BroughtBy::Student } else { BroughtBy::Hall }
}
