//! `pottle explain`: what a kind of finding means, and what to do about it.

use super::args::ExplainArgs;
use super::report::{self, Stream};
use super::{Failure, Verdict};
use pottle::diag::Code;
use pottle::explain;

pub(super) fn run(args: &ExplainArgs) -> Result<Verdict, Failure> {
    let text = match &args.code {
        None => list(),
        Some(name) => explain(name).ok_or_else(|| Failure::NoSuchCode(name.clone()))?.to_owned(),
    };
    report::print(Stream::Output, text.as_bytes())?;
    Ok(Verdict::Clean)
}

fn list() -> String {
    let width = Code::ALL.iter().map(|code| code.name().len()).max().unwrap_or(0);
    Code::ALL
        .iter()
        .map(|code| format!("{:<width$}  {:<5}  {}\n", code.name(), code.severity().as_str(), code.meaning()))
        .collect()
}
