//! `pottle completions`: lets a shell finish what is typed.

use super::args::{Args, CompletionsArgs};
use super::report::{self, Stream};
use super::{Failure, Verdict};
use clap::CommandFactory;

pub(super) fn run(args: &CompletionsArgs) -> Result<Verdict, Failure> {
    let mut script = Vec::new(); // the generator stops the program where it cannot write; we can say why
    clap_complete::generate(args.shell, &mut Args::command(), "pottle", &mut script);
    report::print(Stream::Output, &script)?;
    Ok(Verdict::Clean)
}
