//! The command `pottle`: arguments in, exit status out. Everything else is in the library and in [`cli`].

mod cli;

use clap::Parser;
use std::process::ExitCode;

fn main() -> ExitCode {
    cli::exit_code(cli::run(&cli::Args::parse()))
}
