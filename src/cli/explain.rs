//! `pottle explain`: what a kind of finding means, and what to do about it.

use super::args::ExplainArgs;
use super::report::{self, Stream};
use super::{Failure, Verdict};
use pottle::diag::Code;
use pottle::explain;

pub(super) fn run(args: &ExplainArgs) -> Result<Verdict, Failure> {
    let text = match &args.code {
        None => list(),
        Some(name) => explain(name).ok_or_else(|| no_such_code(name))?.to_owned(),
    };
    report::print(Stream::Output, text.as_bytes())?;
    Ok(Verdict::Clean)
}

/// Names that begin like what was typed are offered.
fn no_such_code(typed: &str) -> Failure {
    let begins = |name: &str| !typed.is_empty() && (name.starts_with(typed) || typed.starts_with(name));
    let names: Vec<String> =
        Code::ALL.iter().map(|code| code.name()).filter(|name| begins(name)).map(|name| format!("`{name}`")).collect();
    let meant = if names.is_empty() { String::new() } else { format!("; did you mean {}?", names.join(" or ")) };
    Failure::NoSuchCode { typed: typed.to_owned(), meant }
}

fn list() -> String {
    let width = Code::ALL.iter().map(|code| code.name().len()).max().unwrap_or(0);
    Code::ALL
        .iter()
        .map(|code| format!("{:<width$}  {:<5}  {}\n", code.name(), code.severity().as_str(), code.meaning()))
        .collect()
}
